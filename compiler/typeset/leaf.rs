//! The kinds of leaf: which data is laid out by which template.
//!
//! A new kind is a type with an `Identity`, a template of its own in `templates/`, its line in `template::EMBEDDED`, and this trait.

use serde::Serialize;

use super::assets::figures;
use crate::cards::card::{Card, CloseOut, Identity, Pocket};

/// Plain data that a template lays out on one or more leaves.
pub trait Leaf: Serialize {
    /// The template it starts from, below the templates folder.
    const TEMPLATE: &'static str;
    /// What the data is called in that template.
    const NAME: &'static str;

    /// What the head and the foot of every leaf say.
    fn identity(&self) -> &Identity;

    /// The same, to change the paper or to give it a fingerprint.
    fn identity_mut(&mut self) -> &mut Identity;

    /// Paths of the pictures it shows, below the set's folder.
    fn figures(&self) -> Vec<String> {
        Vec::new()
    }
}

impl Leaf for Card {
    const TEMPLATE: &'static str = "card.typ.j2";
    const NAME: &'static str = "card";

    fn identity(&self) -> &Identity {
        &self.identity
    }

    fn identity_mut(&mut self) -> &mut Identity {
        &mut self.identity
    }

    fn figures(&self) -> Vec<String> {
        figures(self)
    }
}

impl Leaf for CloseOut {
    const TEMPLATE: &'static str = "close-out.typ.j2";
    const NAME: &'static str = "out";

    fn identity(&self) -> &Identity {
        &self.identity
    }

    fn identity_mut(&mut self) -> &mut Identity {
        &mut self.identity
    }
}

impl Leaf for Pocket {
    const TEMPLATE: &'static str = "pocket.typ.j2";
    const NAME: &'static str = "pocket";

    fn identity(&self) -> &Identity {
        &self.identity
    }

    fn identity_mut(&mut self) -> &mut Identity {
        &mut self.identity
    }
}
