//! Values as an author writes them, and questions at the bench.
#![no_main]

benchleaf_fuzz::fuzzed!(Values);
