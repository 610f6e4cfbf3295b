//! The kinds of leaf: which data is laid out by which template.
//!
//! A new kind is a type with an `Identity` and a code (`fingerprint::Kind`, which names its data in the template), a template of its own in
//! `templates/`, its line in `template::EMBEDDED`, and this trait.

use serde::Serialize;

use super::assets::figures;
use benchleaf_core::booklet::Booklet;
use benchleaf_core::cards::beside::{CloseOut, Pocket, RecordForm, SetSheet};
use benchleaf_core::cards::card::{Card, Identity};
use benchleaf_core::diff::leaf::ChangeSheet;
use benchleaf_core::fingerprint::Kind;
use benchleaf_core::kit::leaf::KitSheet;
use benchleaf_core::plan::leaf::PlanSheet;
use benchleaf_core::reach::leaf::ReachSheet;
use benchleaf_core::record::leaf::RecordSheet;

/// Plain data that a template lays out on one or more leaves.
pub trait Leaf: Serialize + Kind + Clone {
    /// The template it starts from, below the templates folder.
    const TEMPLATE: &'static str;

    /// What the head and the foot of every leaf say.
    fn identity(&self) -> &Identity;

    /// The same, to change the paper.
    fn identity_mut(&mut self) -> &mut Identity;

    /// Paths of the pictures it shows, below the set's folder.
    fn figures(&self) -> Vec<String> {
        Vec::new()
    }
}

impl Leaf for Card {
    const TEMPLATE: &'static str = "card.typ.j2";

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

/// A kind of leaf without pictures.
macro_rules! plain_leaf {
    ($data:ty, $template:literal) => {
        impl Leaf for $data {
            const TEMPLATE: &'static str = $template;

            fn identity(&self) -> &Identity {
                &self.identity
            }

            fn identity_mut(&mut self) -> &mut Identity {
                &mut self.identity
            }
        }
    };
}

plain_leaf!(SetSheet, "set-sheet.typ.j2");
plain_leaf!(CloseOut, "close-out.typ.j2");
plain_leaf!(Pocket, "pocket.typ.j2");
plain_leaf!(RecordForm, "form.typ.j2");
plain_leaf!(KitSheet, "kit.typ.j2");
plain_leaf!(ReachSheet, "reach.typ.j2");
plain_leaf!(PlanSheet, "plan.typ.j2");
plain_leaf!(RecordSheet, "record.typ.j2");
plain_leaf!(ChangeSheet, "changes.typ.j2");
plain_leaf!(Booklet, "manual.typ.j2");
