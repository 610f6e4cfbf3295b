//! Files of a set, and all that an editor asks of them: the pure part of the language server.
#![no_main]

benchleaf_fuzz::fuzzed!(Desk);
