//! The lines of a kit priced and added up.

use super::Line;
use super::price::{Price, total};
use crate::model::Name;

/// Prices on their way to a total.
#[derive(Default)]
pub struct Bill {
    prices: Vec<Price>,
    /// What to know about the figures.
    pub remarks: Vec<String>,
}

impl Bill {
    /// Prices a line: so many pieces or packs, `None` where that can't be told.
    pub fn price(&mut self, line: &mut Line, written: Option<&Name>, count: Option<u64>) {
        let Some(written) = written else {
            // A consumable without a price is shop stock; a part without one is an open question.
            if line.single_use {
                self.remarks.push(format!("{} has no price", line.name));
            }
            return;
        };
        let Some(price) = Price::parse(&written.text) else {
            self.remarks
                .push(format!("the price of {} can't be read: {}", line.name, written.text));
            return;
        };
        line.unit_price = price.text();
        match count.and_then(|count| price.times(count)) {
            Some(price) => {
                line.price = price.text();
                self.prices.push(price);
            }
            None => self.remarks.push(format!(
                "{}: what is used and what the price is for can't be compared",
                line.name
            )),
        }
    }

    /// The sum; empty without a price, or in several currencies.
    pub fn total(&mut self) -> String {
        match total(&self.prices) {
            Ok(sum) => sum.map_or_else(String::new, |s| s.text()),
            Err(currencies) => {
                self.remarks
                    .push(format!("prices are in {}: no total", currencies.join(" and ")));
                String::new()
            }
        }
    }
}
