//! Figures of the domain as phrases: the few words that stand between them are of the tables, and a figure that was worked out knows it.

use crate::domain::amount::Sum;
use crate::domain::limit::{Bounds, Form, Interval, Limit};
use crate::domain::quantity::Unit;
use crate::domain::tightening::{Stage, TorqueValue};
use crate::words::{Phrase, joined, phrase, say};

/// Whose figure it is: the author's stays as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    Author,
    Us,
}

impl By {
    pub fn figure(self, figure: &impl ToString) -> Phrase {
        match self {
            By::Author => Phrase::from(figure.to_string()),
            By::Us => Phrase::figure(figure.to_string()),
        }
    }
}

/// `41.2–41.9 mm`, `−3 to −1 °C`.
pub fn interval(interval: &Interval, by: By) -> Phrase {
    let (low, high) = (interval.low(), interval.high());
    let same = low.unit() == high.unit();
    // An en dash next to a minus sign can't be read.
    match (same, high.value().is_sign_negative()) {
        (true, false) => by.figure(interval),
        (true, true) => say::from_to(by.figure(low.figure()), by.figure(high)),
        (false, _) => say::from_to(by.figure(low), by.figure(high)),
    }
}

/// As its author put it.
pub fn interval_of(range: &Interval) -> Phrase {
    interval(range, By::Author)
}

/// The same of bounds of which one may be missing.
pub fn bounds(bounds: &Bounds, by: By) -> Phrase {
    match (&bounds.low, &bounds.high) {
        (Some(low), Some(high)) => match Interval::new(low.clone(), high.clone()) {
            Some(both) => interval(&both, by),
            None => say::from_to(by.figure(low), by.figure(high)),
        },
        (None, Some(high)) if bounds.open => phrase!("< ", by.figure(high)),
        (Some(low), None) if bounds.open => phrase!("> ", by.figure(low)),
        (None, Some(high)) => say::at_most(by.figure(high)),
        (Some(low), None) => say::at_least(by.figure(low)),
        (None, None) => Phrase::default(),
    }
}

/// A limit as its author put it.
pub fn limit(limit: &Limit) -> Phrase {
    match limit.form() {
        Form::Around { .. } | Form::Fit(_) => By::Author.figure(limit),
        Form::Range | Form::AtMost | Form::AtLeast | Form::Below | Form::Above => bounds(limit.bounds(), By::Author),
    }
}

/// The bounds of a limit where the author's own form doesn't say them: of a tolerance, and of a fit. Empty otherwise.
pub fn worked_out(limit: &Limit) -> Phrase {
    match limit.form() {
        Form::Around { .. } | Form::Fit(_) => bounds(limit.bounds(), By::Us),
        Form::Range | Form::AtMost | Form::AtLeast | Form::Below | Form::Above => Phrase::default(),
    }
}

/// A torque as its author put it.
pub fn torque(torque: &TorqueValue) -> Phrase {
    match range(torque) {
        Some(range) => interval(&range, By::Author),
        None => By::Author.figure(torque),
    }
}

/// The same in another unit: a range rounded inward, anything else as the figure aimed at. `None` if the unit isn't one of torque.
pub fn torque_in_unit(torque: &TorqueValue, unit: Unit) -> Option<Phrase> {
    match range(torque) {
        Some(range) => Bounds::of(&range).in_unit(unit).map(|found| bounds(&found, By::Us)),
        None => torque.in_unit(unit).map(Phrase::figure),
    }
}

fn range(torque: &TorqueValue) -> Option<Interval> {
    let ends = || Interval::new(torque.low().measure().clone(), torque.high().measure().clone());
    torque.is_range().then(ends).flatten()
}

/// Amounts added up: `2 + 35 mL`.
pub fn sum(sum: &Sum) -> Phrase {
    let part = |(text, added)| match added {
        true => Phrase::figure(text),
        false => Phrase::from(text),
    };
    joined(sum.parts().into_iter().map(part), " + ")
}

/// A stage as its author put it.
pub fn stage(stage: &Stage) -> Phrase {
    match stage {
        Stage::Torque(value) => torque(value),
        Stage::Turn(turn) => By::Author.figure(turn),
        Stage::Hand => say::hand_tight(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    /// The words of the domain's own text, which messages are made of, and those of a leaf are the same in English.
    #[test]
    fn a_leaf_says_what_messages_say() {
        for text in [
            "41.2..41.9 mm",
            "-3..-1 °C",
            "max 0.05 mm",
            "min 1.2 bar",
            "< 0.05 mm",
            "> 1.2 bar",
            "0.20 ± 0.02 mm",
            "30 H7",
            "1 mm..2 in",
        ] {
            let read = Limit::parse(text).unwrap();
            assert_eq!(limit(&read).english(), read.to_string(), "{text}");
            assert_eq!(
                worked_out(&read).english(),
                read.worked_out().unwrap_or_default(),
                "{text}"
            );
        }
        for text in ["20 N·m", "20..24 N·m", "12 ± 2 N·m", "20 N·m..20 lbf·ft"] {
            let read = TorqueValue::parse(text).unwrap();
            let foot = Unit::find("lbf·ft").unwrap();
            assert_eq!(torque(&read).english(), read.to_string(), "{text}");
            assert_eq!(
                torque_in_unit(&read, foot).map(|p| p.english()),
                read.in_unit(foot),
                "{text}"
            );
        }
    }

    #[test]
    fn the_author_s_figure_stays_as_it_is_written() {
        let read = Limit::parse("max 0.05 mm").unwrap();
        assert_eq!(limit(&read).in_language(Language::German), "höchstens 0.05 mm");
        let inch = read.in_unit(Unit::find("in").unwrap()).unwrap();
        assert_eq!(
            bounds(&inch, By::Us).in_language(Language::German),
            "höchstens 0,0019 in"
        );
    }
}
