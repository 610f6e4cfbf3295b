//! What comes over a connection to the preview.
#![no_main]

benchleaf_fuzz::fuzzed_edge!(Requests);
