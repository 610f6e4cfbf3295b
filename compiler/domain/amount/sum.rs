//! Amounts added up: counts with counts, and measures exactly with those of their dimension.

use super::Amount;
use crate::quantity::{Figure, Measure, Rounding, round_to_digits};
use rust_decimal::Decimal;

/// A sum of amounts.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sum {
    count: u64,
    /// One for each dimension, in the unit that came first.
    measures: Vec<Measure>,
    /// True for each of these that is several amounts, so that its figure is no author's.
    added: Vec<bool>,
}

impl Sum {
    pub fn add(&mut self, amount: &Amount) {
        match amount {
            Amount::Count(count) => self.count = self.count.saturating_add(u64::from(*count)),
            Amount::Measure(measure) => {
                let mut known = self.measures.iter_mut().zip(&mut self.added);
                match known.find(|(sum, _)| sum.dimension() == measure.dimension()) {
                    Some((sum, added)) => {
                        *added = true;
                        *sum = plus(sum, measure).unwrap_or_else(|| sum.clone());
                    }
                    None => {
                        self.measures.push(measure.clone());
                        self.added.push(false);
                    }
                }
            }
        }
    }

    pub fn is_empty(&self) -> bool {
        self.count == 0 && self.measures.is_empty()
    }

    /// Of counts, no more than there are of the thing: what goes on twice, or on and off, is still the same one.
    pub fn cap(&mut self, most: u32) {
        if self.measures.is_empty() {
            self.count = self.count.min(u64::from(most));
        }
    }

    /// The sum as one amount; `None` where it is none, or of several kinds.
    pub fn single(&self) -> Option<Amount> {
        match self.measures.as_slice() {
            [] => u32::try_from(self.count).ok().filter(|n| *n > 0).map(Amount::Count),
            [measure] if self.count == 0 => Some(Amount::Measure(shown(measure))),
            _ => None,
        }
    }

    /// How many packs of an amount it takes, whole ones; `None` where they can't be compared.
    pub fn packs(&self, pack: &Amount) -> Option<u64> {
        let (needed, pack) = match (pack, self.measures.as_slice()) {
            (Amount::Count(pack), []) => (Decimal::from(self.count), Decimal::from(*pack)),
            (Amount::Measure(pack), [needed]) if self.count == 0 => {
                (needed.unit().convert(needed.value(), pack.unit())?, pack.value())
            }
            _ => return None,
        };
        u64::try_from(needed.checked_div(pack)?.ceil()).ok()
    }

    /// What doesn't add stands side by side, `2` and `35 mL`; beside each whether it is several amounts added up, and so no author's figure.
    pub fn parts(&self) -> Vec<(String, bool)> {
        let count = (self.count > 0).then(|| (self.count.to_string(), false));
        let measures = self.measures.iter().zip(&self.added);
        let measures = measures.map(|(measure, added)| (shown(measure).to_string(), *added));
        count.into_iter().chain(measures).collect()
    }
}

/// A sum of two systems has endless decimals: it is shown to four digits, rounded up, since it is bought by.
fn shown(sum: &Measure) -> Measure {
    match sum.value().normalize().scale() <= 8 {
        true => sum.clone(),
        false => Measure::new(
            Figure::computed(round_to_digits(sum.value(), 4, Rounding::Up)),
            sum.unit(),
        ),
    }
}

fn plus(sum: &Measure, more: &Measure) -> Option<Measure> {
    let value = sum
        .value()
        .checked_add(more.unit().convert(more.value(), sum.unit())?)?;
    let mut value = value.normalize();
    value.rescale(value.scale().max(sum.value().normalize().scale()));
    Some(Measure::new(Figure::computed(value), sum.unit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(amounts: &[&str]) -> Sum {
        let mut sum = Sum::default();
        amounts.iter().for_each(|a| sum.add(&Amount::parse(a).unwrap()));
        sum
    }

    #[test]
    fn what_adds_is_added_and_the_rest_stands_side_by_side() {
        let parts = |amounts: &[&str]| {
            let parts = sum(amounts).parts();
            let words = parts
                .iter()
                .map(|(text, added)| format!("{text}{}", if *added { " added" } else { "" }));
            words.collect::<Vec<_>>().join(" + ")
        };
        assert_eq!(parts(&["20 mL", "0.5 L", "4 mL"]), "524 mL added");
        assert_eq!(parts(&["1.1 L", "300 mL"]), "1.4 L added");
        assert_eq!(parts(&["2", "4", "5 mL", "100 g"]), "6 + 5 mL + 100 g");
        assert_eq!(parts(&["0.1 L", "0.2 L"]), "0.3 L added");
        assert!(sum(&[]).is_empty());
    }

    #[test]
    fn packs_are_whole() {
        let pack = |text: &str| Amount::parse(text).unwrap();
        assert_eq!(sum(&["1.1 L", "300 mL"]).packs(&pack("1.4 L")), Some(1));
        assert_eq!(sum(&["1.1 L", "301 mL"]).packs(&pack("1.4 L")), Some(2));
        assert_eq!(sum(&["5"]).packs(&pack("2")), Some(3));
        assert_eq!(sum(&["5"]).packs(&pack("2 L")), None);
    }
}
