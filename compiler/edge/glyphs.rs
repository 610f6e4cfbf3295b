//! Characters that no font has, found before anything is laid out: for the choices that were made, and for each other value of each option,
//! since a set can be printed or it can't.

use super::files::Input;
use super::jobs::Wants;
use super::shelf::{Material, OneSet};
use crate::finding::Finding;
use benchleaf_press as typeset;

impl Material<'_> {
    /// Those of the leaves that are asked for, of the sets that can be printed. A finding stands as often as it is met.
    pub fn unprintable(&self, input: &Input, printable: impl Fn(usize) -> bool) -> Vec<Finding> {
        let mut files = self.files.ids().map(|id| self.files.get(id));
        // Making the leaves takes as long as the check, and few sets have such a character in a text or a name.
        if !files.any(|file| {
            [&file.text, &file.path]
                .iter()
                .any(|text| typeset::may_be_unprintable(text))
        }) {
            return Vec::new();
        }
        let mut found = Vec::new();
        for (_, one) in self.each().filter(|(number, _)| printable(*number)) {
            let options = one.set.catalogue.options.iter();
            let ways = options.flat_map(|(option, def)| (0..def.value.values.len()).map(move |value| (option, value)));
            for way in std::iter::once(None).chain(ways.map(Some)) {
                let mut choices = one.choices.clone();
                if let Some((option, value)) = way {
                    choices.set(option, value);
                }
                let chosen = OneSet {
                    choices: &choices,
                    ..one
                };
                let kinds = chosen.documents(Wants::Cards, input);
                found.extend(kinds.iter().flat_map(|kind| chosen.unprintable(kind)));
            }
        }
        found
    }
}
