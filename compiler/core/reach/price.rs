//! What has to be bought when something comes off.

use crate::check::machine::{Node, Shape};
use crate::kit::Price;
use crate::model::handle;
use crate::model::registers::Part;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// What prices may be compared by: those of one currency.
#[derive(Debug, Default)]
pub struct Prices {
    /// False where prices are in several currencies: none is then more than another.
    comparable: bool,
}

impl Prices {
    pub fn new(shape: &Shape) -> Prices {
        let entries = shape.set.catalogue.parts.iter();
        let prices = entries.filter_map(|(_, def)| Price::parse(&def.value.price.as_ref()?.text));
        let currencies: BTreeSet<String> = prices.map(|price| price.currency).filter(|c| !c.is_empty()).collect();
        Prices {
            comparable: currencies.len() <= 1,
        }
    }

    /// Of what is new once a place has been emptied; nothing where that isn't known.
    pub fn of_place(&self, shape: &Shape, on: &[Node]) -> Decimal {
        let new = on.iter().filter_map(|node| renewed(shape, *node));
        let value = |part: &Part| price(part).map_or(Decimal::ZERO, |price| price.value);
        let all = new.filter_map(|node| shape.part(node)).map(value);
        match self.comparable {
            true => all.sum(),
            false => Decimal::ZERO,
        }
    }
}

/// The price of all pieces of a part.
pub fn price(part: &Part) -> Option<Price> {
    Price::parse(&part.price.as_ref()?.text)?.times(u64::from(part.qty))
}

/// The part that is bought when a piece has come off: its own where one entry stands for old and new, else what takes the place of a single-use
/// one.
pub fn renewed(shape: &Shape, node: Node) -> Option<Node> {
    let part = shape.part(node)?;
    if part.renew {
        return Some(node);
    }
    if !shape.is_single(node) {
        return None;
    }
    successor(shape, node).or(Some(node))
}

/// The part that takes the place of another and isn't on at the start.
pub fn successor(shape: &Shape, node: Node) -> Option<Node> {
    let own = handle::<Part>(node.entity)?;
    let place = shape.place(node)?;
    place.parts.iter().copied().find(|other| {
        let replaces = handle(other.entity).and_then(|part| shape.set.links.replaces.get(&part));
        replaces == Some(&own) && shape.part(*other).is_some_and(|part| !part.fitted)
    })
}
