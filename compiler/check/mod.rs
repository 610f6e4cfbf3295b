//! Model in; findings out. Facts are worked out once and rules only read them.

pub mod rules;

use crate::finding::Finding;
use crate::model::Model;

/// Runs every rule over every set.
pub fn check(model: &Model) -> Vec<Finding> {
    let mut findings = Vec::new();
    for set in &model.sets {
        rules::unused_id::check(set, &mut findings);
    }
    findings
}
