//! A tightening spec as the rules on torque see it: its words and where they stand.

use super::tightening::{Estimate, TorqueFacts};
use crate::finding::{Finding, Rule};
use crate::model::Set;
use crate::model::registers::Torque;
use crate::source::Span;
use uom::si::f64::Ratio;
use uom::si::ratio::percent as per_cent;

/// One spec with an estimate.
pub struct Spec<'a> {
    pub torque: &'a Torque,
    id: Span,
}

/// Every spec that has an estimate and whose author has not confirmed the figure.
pub fn estimates<'a>(set: &'a Set, facts: &'a TorqueFacts) -> impl Iterator<Item = (Spec<'a>, &'a Estimate)> {
    facts.torques.iter().filter_map(|(handle, tightening)| {
        let def = set.catalogue.torques.get(*handle);
        let estimate = tightening.estimate.as_ref().filter(|_| def.value.confirmed.is_none())?;
        Some((
            Spec {
                torque: &def.value,
                id: def.id.span,
            },
            estimate,
        ))
    })
}

impl Spec<'_> {
    /// Where a stage's figure stands.
    pub fn stage(&self, index: usize) -> Span {
        self.torque.stages.get(index).map_or(self.id, |s| s.span)
    }

    /// Thread and class, as written.
    pub fn fastener(&self) -> &str {
        self.torque
            .fastener
            .as_ref()
            .map_or("this fastener", |f| f.word.text.as_str())
    }

    fn fastener_span(&self) -> Span {
        self.torque.fastener.as_ref().map_or(self.id, |f| f.word.span)
    }

    /// The lubrication in brackets, as written.
    pub fn lubrication(&self) -> String {
        let lubrication = &self.torque.lubrication;
        match (&lubrication.threads, &lubrication.face) {
            (None, None) => "(lubrication not said)".to_string(),
            (Some(threads), Some(face)) if threads.value != face.value => {
                format!("(threads {}, face {})", threads.word.text, face.word.text)
            }
            (Some(word), _) | (None, Some(word)) => format!("({})", word.word.text),
        }
    }

    pub fn lubrication_span(&self) -> Option<Span> {
        self.torque.lubrication.threads.as_ref().map(|w| w.word.span)
    }

    /// What a torque comes to: `25 N·m on M8 8.8 (oiled) comes to an estimated 87 % of its proof load`; from the least to the greatest
    /// where it has a range or a tolerance.
    pub fn comes_to(&self, estimate: &Estimate, share: Ratio) -> String {
        let ends = estimate.assessment.usual_shares_of_proof();
        let shares = match ends.filter(|_| estimate.torque.has_bounds()) {
            Some((low, high)) if percent(low) != percent(high) => format!("{} to {}", percent(low), percent(high)),
            _ => percent(share),
        };
        format!(
            "{} on {} {} comes to an estimated {shares} of its proof load",
            estimate.torque,
            self.fastener(),
            self.lubrication(),
        )
    }

    /// A finding at the figure, with the fastener as the other place.
    pub fn finding(&self, rule: &'static Rule, estimate: &Estimate, message: String) -> Finding {
        Finding::new(rule, self.stage(estimate.stage), message).also(self.fastener_span(), "for this fastener")
    }

    /// Where the tapped material stands.
    pub fn tapped_span(&self) -> Option<Span> {
        self.torque.into.as_ref().map(|w| w.word.span)
    }
}

/// A share in whole per cent: an estimate has no use for more.
pub fn percent(share: Ratio) -> String {
    let share = share.get::<per_cent>();
    if share < 1.0 {
        "less than 1 %".to_string()
    } else {
        format!("{share:.0} %")
    }
}
