//! What an editor says to the language server, from its first byte to its last.
#![no_main]

benchleaf_fuzz::fuzzed_edge!(Messages);
