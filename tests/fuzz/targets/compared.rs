//! Two states of a set compared, there and back.
#![no_main]

benchleaf_fuzz::fuzzed!(Compared);
