//! Objects of a repository, and what else git keeps, read as history.
#![no_main]

benchleaf_fuzz::fuzzed_edge!(Objects);
