//! What is heard of a card that is read aloud: each box is a figure of the tag tree with a text that tells which box it is (PDF/UA-1, 7.3: figures have
//! alternative texts). Read by another library than the one that writes.

use crate::harness::Outcome;
use crate::printer::card::{Card, Spec};
use crate::printer::{self, Printed};
use std::collections::BTreeMap;

pub fn trial() -> Outcome {
    let mut wrong = Vec::new();
    for paper in ["a4", "half-letter"] {
        for printed in printer::demo_cards(paper) {
            let heard = match heard(printed) {
                Ok(heard) => heard,
                Err(fault) => {
                    wrong.push(fault);
                    continue;
                }
            };
            let name = &printed.data.identity.procedure;
            let tell = |(text, wanted): (String, usize)| {
                let count = heard.get(&text).copied().unwrap_or(0);
                (count != wanted).then(|| format!("{name} on {paper}: “{text}” is heard {count} times, not {wanted}"))
            };
            wrong.extend(boxes(&printed.data).into_iter().filter_map(tell));
            let squares: usize = printed.texts()?.iter().map(|text| text.matches('☐').count()).sum();
            let named: usize = heard
                .iter()
                .filter(|(text, _)| text.starts_with("box"))
                .map(|(_, count)| count)
                .sum();
            if named < squares {
                wrong.push(format!(
                    "{name} on {paper}: {squares} squares and {named} boxes with a text"
                ));
            }
        }
    }
    super::complaints(wrong)
}

/// Texts of the figures of the tag tree, and how often each is there.
fn heard(printed: &Printed) -> Result<BTreeMap<String, usize>, String> {
    let document = lopdf::Document::load_mem(&printed.pdf).map_err(|e| format!("the PDF can't be read: {e}"))?;
    let mut found = BTreeMap::new();
    for object in document.objects.values() {
        let Ok(dictionary) = object.as_dict() else { continue };
        let is_figure = dictionary
            .get(b"S")
            .and_then(lopdf::Object::as_name)
            .is_ok_and(|name| name == b"Figure");
        if let Some(text) = dictionary.get(b"Alt").ok().filter(|_| is_figure) {
            let text = lopdf::decode_text_string(text).map_err(|e| format!("a text can't be read: {e}"))?;
            *found.entry(text).or_insert(0) += 1;
        }
    }
    Ok(found)
}

/// The boxes that a card must have: of steps and sub-steps, of ends of phases, of fasteners stage by stage, of single readings.
fn boxes(card: &Card) -> Vec<(String, usize)> {
    let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
    let mut want = |text: String| *wanted.entry(text).or_default() += 1;
    for phase in &card.phases {
        if phase.end.count > 0 {
            want(format!("box of the end of phase {}", phase.number));
        }
        for step in phase.runs.iter().flat_map(|run| &run.steps) {
            let own = format!("box of step {}", step.number);
            let of = |members: &[String], own: &str| match members {
                [] => vec![own.to_string()],
                members => members.iter().map(|member| format!("{own}, {member}")).collect(),
            };
            of(&step.members.0, &own).into_iter().for_each(&mut want);
            for sub in &step.substeps {
                of(&sub.members.0, &format!("{own}, {}", sub.letter))
                    .into_iter()
                    .for_each(&mut want);
            }
            for hold in &step.holds {
                want(format!("room for: Initials, {}", hold.what));
            }
            let specs = step.specs.iter().chain(step.substeps.iter().flat_map(|sub| &sub.specs));
            for spec in specs {
                let Spec::Torque(torque) = spec else { continue };
                for stage in torque
                    .stages
                    .iter()
                    .filter(|stage| stage.passes.is_empty() && stage.members.0.is_empty())
                {
                    let own = format!("box: {}, {}", torque.name, stage.figure.said().english());
                    match stage.boxes {
                        1 => want(own),
                        boxes => (1..=boxes).for_each(|n| want(format!("{own}, {n}"))),
                    }
                }
            }
        }
    }
    wanted.into_iter().collect()
}
