//! YAML of a procedure, of a set and of a shop.
#![no_main]

benchleaf_fuzz::fuzzed!(FrontMatter);
