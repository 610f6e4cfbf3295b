//! Amounts added up: counts with counts, and measures exactly with those of their dimension.

use crate::domain::amount::Amount;
use crate::domain::quantity::{Figure, Measure, Rounding, round_to_digits};
use crate::words::{Phrase, joined};
use rust_decimal::Decimal;

/// A sum of amounts.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sum {
    count: u64,
    /// One for each dimension, in the unit that came first.
    measures: Vec<Part>,
}

/// The amounts of one dimension.
#[derive(Debug, Clone, PartialEq)]
struct Part {
    sum: Measure,
    /// True where there are several, so that the figure is no author's.
    added: bool,
}

impl Sum {
    pub fn add(&mut self, amount: &Amount) {
        match amount {
            Amount::Count(count) => self.count = self.count.saturating_add(u64::from(*count)),
            Amount::Measure(measure) => {
                let same = |part: &&mut Part| part.sum.dimension() == measure.dimension();
                match self.measures.iter_mut().find(same) {
                    Some(part) => {
                        part.added = true;
                        part.sum = plus(&part.sum, measure).unwrap_or_else(|| part.sum.clone());
                    }
                    None => self.measures.push(Part {
                        sum: measure.clone(),
                        added: false,
                    }),
                }
            }
        }
    }

    pub fn is_empty(&self) -> bool {
        self.count == 0 && self.measures.is_empty()
    }

    /// How many packs of an amount it takes, whole ones; `None` where they can't be compared.
    pub fn packs(&self, pack: &Amount) -> Option<u64> {
        let (needed, pack) = match (pack, self.measures.as_slice()) {
            (Amount::Count(pack), []) => (Decimal::from(self.count), Decimal::from(*pack)),
            (Amount::Measure(pack), [Part { sum: needed, added: _ }]) if self.count == 0 => {
                (needed.unit().convert(needed.value(), pack.unit())?, pack.value())
            }
            _ => return None,
        };
        u64::try_from(needed.checked_div(pack)?.ceil()).ok()
    }

    /// `2`, `35 mL`; sums that don't add side by side: `2 + 35 mL`.
    pub fn text(&self) -> Phrase {
        let count = (self.count > 0).then(|| Phrase::from(self.count.to_string()));
        let measures = self.measures.iter().map(|Part { sum, added }| match added {
            true => Phrase::figure(shown(sum).to_string()),
            false => Phrase::from(shown(sum).to_string()),
        });
        joined(count.into_iter().chain(measures), " + ")
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
        assert_eq!(sum(&["20 mL", "0.5 L", "4 mL"]).text().english(), "524 mL");
        assert_eq!(sum(&["1.1 L", "300 mL"]).text().english(), "1.4 L");
        assert_eq!(sum(&["2", "4", "5 mL", "100 g"]).text().english(), "6 + 5 mL + 100 g");
        assert_eq!(sum(&["0.1 L", "0.2 L"]).text().english(), "0.3 L");
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
