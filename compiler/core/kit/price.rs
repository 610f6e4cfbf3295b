//! Prices as authors write them (`12.50`, `12.50 EUR`, `EUR 12.50`), and sums in one currency.

use crate::domain::quantity::{Rounding, round_to_place};
use rust_decimal::Decimal;

/// A figure and its currency; the house's own where none is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Price {
    pub value: Decimal,
    pub currency: String,
}

impl Price {
    /// Reads a price; `None` where there is no single figure, or one below zero.
    pub fn parse(text: &str) -> Option<Price> {
        let figure = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
        let digits: String = text.chars().filter(|c| figure(*c)).collect();
        let (before, rest) = text.split_at_checked(text.find(figure)?)?;
        let (written, after) = rest.split_at_checked(digits.len())?;
        if !written.chars().all(figure) {
            return None;
        }
        let value = Decimal::from_str_exact(&digits)
            .ok()
            .filter(|v| !v.is_sign_negative())?;
        let rest = format!("{before} {after}");
        let words: Vec<&str> = rest.split_whitespace().collect();
        match words.as_slice() {
            [] => Some(Price {
                value,
                currency: String::new(),
            }),
            [currency] => Some(Price {
                value,
                currency: (*currency).to_string(),
            }),
            _ => None,
        }
    }

    pub fn times(&self, count: u64) -> Option<Price> {
        Some(Price {
            value: self.value.checked_mul(Decimal::from(count))?,
            currency: self.currency.clone(),
        })
    }

    /// To the hundredth, and finer where the author's figure is: `71.40 EUR`.
    pub fn text(&self) -> String {
        let places = self.value.normalize().scale().max(2);
        let value = round_to_place(self.value, -i32::try_from(places).unwrap_or(2), Rounding::Nearest);
        format!("{value} {}", self.currency).trim_end().to_string()
    }
}

/// The sum of prices; one without a currency is in the currency of the others. `Err` names the currencies where there are several.
pub fn total(prices: &[Price]) -> Result<Option<Price>, Vec<String>> {
    let mut currencies: Vec<String> = prices
        .iter()
        .map(|p| p.currency.clone())
        .filter(|c| !c.is_empty())
        .collect();
    currencies.sort();
    currencies.dedup();
    if currencies.len() > 1 {
        return Err(currencies);
    }
    let sum = prices.iter().try_fold(Decimal::ZERO, |sum, p| sum.checked_add(p.value));
    let priced = !prices.is_empty();
    Ok(sum.filter(|_| priced).map(|value| Price {
        value,
        currency: currencies.pop().unwrap_or_default(),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_in_the_ways_they_are_written() {
        let read = |text: &str| Price::parse(text).map(|p| p.text());
        assert_eq!(read("12.5"), Some("12.50".to_string()));
        assert_eq!(read("12.50 EUR"), Some("12.50 EUR".to_string()));
        assert_eq!(read("EUR 0.125"), Some("0.125 EUR".to_string()));
        assert_eq!(read("€4"), Some("4.00 €".to_string()));
        for text in ["", "on request", "1 or 2", "12.50 EUR net", "-4", "1.2.3"] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn sums_keep_to_one_currency() {
        let all = |texts: &[&str]| total(&texts.iter().filter_map(|t| Price::parse(t)).collect::<Vec<_>>());
        assert_eq!(all(&["1.10 EUR", "2.20"]).unwrap().unwrap().text(), "3.30 EUR");
        assert_eq!(all(&[]), Ok(None));
        assert_eq!(
            all(&["1 EUR", "1 USD"]),
            Err(vec!["EUR".to_string(), "USD".to_string()])
        );
    }
}
