//! Two choices side by side.

use super::{Comparison, Difference, Kit, Line};
use crate::words::{Phrase, say};

/// What differs between two kits.
pub fn compare(left: &Kit, right: &Kit) -> Comparison {
    let mut rows = Vec::new();
    for ((section, left), (_, right)) in left.sections().into_iter().zip(right.sections()) {
        for line in left {
            let other = right.iter().find(|l| l.id == line.id && l.name == line.name);
            if other.is_none_or(|o| o.amount != line.amount || o.price != line.price) {
                rows.push(row(&section, Some(line), other));
            }
        }
        let new = |line: &&Line| !left.iter().any(|l| l.id == line.id && l.name == line.name);
        rows.extend(right.iter().filter(new).map(|line| row(&section, None, Some(line))));
    }
    Comparison {
        set: left.set.clone(),
        title: left.title.clone(),
        left: left.chosen(),
        right: right.chosen(),
        rows,
        left_total: left.total.clone(),
        right_total: right.total.clone(),
    }
}

fn row(section: &Phrase, left: Option<&Line>, right: Option<&Line>) -> Difference {
    let amount = |line: Option<&Line>| match line {
        None => "-".into(),
        Some(line) if line.amount.is_empty() => say::yes(),
        Some(line) => line.amount.clone(),
    };
    let price = |line: Option<&Line>| line.map_or_else(Phrase::default, |l| l.price.clone());
    let shown = left.or(right);
    Difference {
        section: section.clone(),
        id: shown.map_or_else(String::new, |l| l.id.clone()),
        name: shown.map_or_else(String::new, |l| l.name.clone()),
        left: amount(left),
        right: amount(right),
        left_price: price(left),
        right_price: price(right),
    }
}
