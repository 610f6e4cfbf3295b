//! Characters that no font has, found before anything is laid out: for the choices that were made, and for each other value of each option,
//! since a set can be printed or it can't.

use super::files::Input;
use super::jobs::Wants;
use super::shelf::Material;
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
        let mut choices = self.choices.to_vec();
        let mut found = Vec::new();
        for (number, set) in self.sets.iter().enumerate().filter(|(number, _)| printable(*number)) {
            let made = choices[number].clone();
            let options = set.catalogue.options.iter();
            let ways = options.flat_map(|(option, def)| (0..def.value.values.len()).map(move |value| (option, value)));
            for way in std::iter::once(None).chain(ways.map(Some)) {
                choices[number] = made.clone();
                if let Some((option, value)) = way {
                    choices[number].set(option, value);
                }
                let material = Material {
                    files: self.files,
                    sets: self.sets,
                    facts: self.facts,
                    choices: &choices,
                };
                let jobs = material.jobs(Wants::Cards, input, |wanted| wanted == number);
                found.extend(jobs.iter().flat_map(|job| material.unprintable_of(job)));
            }
            choices[number] = made;
        }
        found
    }
}
