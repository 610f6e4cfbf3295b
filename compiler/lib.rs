//! The command line on top of the crates that do the work.

#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::string_slice, reason = "tests may stop"))]

pub mod edge;

use benchleaf_core::{
    Compilation, answers, bench, booklet, budgets, cards, check, compile, desk, diff, dump, finding, fingerprint,
    groups, kit, leaves, model, parse, plan, reach, reckon, record, report, rules, source, words,
};
use benchleaf_domain as domain;
