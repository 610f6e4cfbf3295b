//! The command line on top of the crates that do the work.

#![deny(unsafe_code)]

pub mod edge;

use benchleaf_core::{
    Compilation, bench, cards, check, compile, desk, diff, finding, fingerprint, kit, leaves, model, parse, plan,
    record, report, rules, source,
};
use benchleaf_domain as domain;
