//! The lines of a kit priced and added up.

use super::Line;
use super::price::{Price, total};
use crate::model::Name;
use crate::words::{Phrase, say};

/// Prices on their way to a total.
#[derive(Default)]
pub struct Bill {
    prices: Vec<Price>,
    /// What to know about the figures.
    pub remarks: Vec<Phrase>,
}

impl Bill {
    /// Prices a line: so many pieces or packs, `None` where that can't be told.
    pub fn price(&mut self, line: &mut Line, written: Option<&Name>, count: Option<u64>) {
        let Some(written) = written else {
            // A consumable without a price is shop stock; a part without one is an open question.
            if line.single_use {
                self.remarks.push(say::no_price(&line.name));
            }
            return;
        };
        let Some(price) = Price::parse(&written.text) else {
            self.remarks.push(say::unreadable_price(&line.name, &written.text));
            return;
        };
        line.unit_price = Phrase::figure(price.text());
        match count.and_then(|count| price.times(count)) {
            Some(price) => {
                line.price = Phrase::figure(price.text());
                self.prices.push(price);
            }
            None => self.remarks.push(say::price_not_comparable(&line.name)),
        }
    }

    /// The sum; empty without a price, or in several currencies.
    pub fn total(&mut self) -> Phrase {
        match total(&self.prices) {
            Ok(sum) => sum.map_or_else(Phrase::default, |s| Phrase::figure(s.text())),
            Err(currencies) => {
                let all = currencies.iter().map(Phrase::from).reduce(say::and);
                self.remarks.push(say::no_total(all.unwrap_or_default()));
                Phrase::default()
            }
        }
    }
}
