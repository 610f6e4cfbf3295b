//! Files of a set, from texts to findings, every leaf with its code, and what must come off.
#![no_main]

benchleaf_fuzz::fuzzed!(Set);
