//! The command line on top of the crates that do the work.

#![deny(unsafe_code)]

pub mod edge;

use benchleaf_core::{
    Compilation, bench, cards, check, compile, diff, finding, fingerprint, groups, kit, leaves, model, parse, plan,
    record, report, rules, source, words,
};
use benchleaf_domain as domain;
