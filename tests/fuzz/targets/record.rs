//! A filled-in record, judged by the cards of the demo sets and by one that has a box of every kind.
#![no_main]

benchleaf_fuzz::fuzzed!(Record);
