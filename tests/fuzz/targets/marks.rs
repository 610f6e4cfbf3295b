//! One mark, in each place where one may stand.
#![no_main]

benchleaf_fuzz::fuzzed!(Marks);
