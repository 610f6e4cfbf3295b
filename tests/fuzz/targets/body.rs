//! Markdown of a procedure.
#![no_main]

benchleaf_fuzz::fuzzed!(Body);
