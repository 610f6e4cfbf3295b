//! Files of a set spelt anew: no code and no finding changes, and a second run changes nothing.
#![no_main]

benchleaf_fuzz::fuzzed!(Format);
