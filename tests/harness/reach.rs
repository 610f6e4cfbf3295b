//! What must come off, asked of the crate.

use super::Checked;
use benchleaf_core::model::Choices;
use benchleaf_core::reach;

impl Checked {
    /// What must come off of the first set to reach some parts, as its JSON; the word and what is most likely meant where it is no part.
    pub fn reach(
        &self,
        options: &[(&str, &str)],
        parts: &[&str],
    ) -> Result<serde_json::Value, (String, Option<String>)> {
        let (set, choices) = self.chosen(options);
        let parts: Vec<String> = parts.iter().map(ToString::to_string).collect();
        let reach = reach::reach(set, &choices, &parts).map_err(|fault| (fault.word, fault.near))?;
        Ok(serde_json::to_value(reach).unwrap_or_default())
    }

    /// The same as a person reads it.
    pub fn reach_text(&self, options: &[(&str, &str)], parts: &[&str]) -> String {
        let (set, choices) = self.chosen(options);
        let parts: Vec<String> = parts.iter().map(ToString::to_string).collect();
        match reach::reach(set, &choices, &parts) {
            Ok(reach) => reach::text(&reach),
            Err(fault) => panic!("{fault:?}"),
        }
    }

    /// What the steps of the first set never reach for some choices.
    pub fn not_reached(&self, options: &[(&str, &str)]) -> Vec<String> {
        let (set, choices) = self.chosen(options);
        let scope = reach::scope(set, &choices);
        scope.not_reached.into_iter().map(|part| part.id).collect()
    }

    /// The way to some parts of the first set and back, as two procedures with a head; why there is none.
    pub fn skeleton(&self, parts: &[&str]) -> Result<[String; 2], String> {
        let set = self.compilation.model.sets.first().unwrap_or_else(|| panic!("no set"));
        let parts: Vec<String> = parts.iter().map(ToString::to_string).collect();
        let written = reach::skeleton(set, &parts).map_err(|fault| format!("{fault:?}"))?;
        let apart = format!("---\ntitle: Apart\n---\n\n{}", written.apart);
        let together = format!("---\ntitle: Together\nafter: [apart]\n---\n\n{}", written.together);
        Ok([apart, together])
    }

    /// The ids of the parts of the first set.
    pub fn parts(&self) -> Vec<String> {
        let set = self.compilation.model.sets.first().unwrap_or_else(|| panic!("no set"));
        set.catalogue.parts.iter().map(|(_, def)| def.id.text.clone()).collect()
    }

    fn chosen(&self, options: &[(&str, &str)]) -> (&benchleaf_core::model::Set, Choices) {
        let sets = &self.compilation.model.sets;
        let set = sets.first().unwrap_or_else(|| panic!("no set"));
        let mut choices = Choices::defaults(&set.catalogue);
        for (option, value) in options {
            let known = choices.choose(&set.catalogue, option, value);
            assert_eq!(known, Ok(true), "{option}={value}");
        }
        (set, choices)
    }
}
