//! What marks say about a whole step, in words of the card: when it is done, for which members, and what comes after it.

use super::card::{Block, Inline};
use super::needed;
use crate::model::registers::Part;
use crate::model::ties::{Answer, Asked, PerMember, Question};
use crate::model::{Act, ActKind, Handle, Item, Set};

/// What stands before a step or behind a heading: `IF end play is out of its limits`, `FOR EACH OF left, right`.
pub fn before(set: &Set, ifs: &[Question], each: Option<PerMember>) -> String {
    let asked: Vec<String> = ifs.iter().map(|question| asked(set, question)).collect();
    let mut words = asked.join(" AND ");
    if let Some(each) = each {
        let members: Vec<&str> = set.catalogue.groups[each.group]
            .members
            .iter()
            .map(|member| member.text.as_str())
            .collect();
        let how = if each.in_turn {
            "ONE AFTER THE OTHER"
        } else {
            "FOR EACH OF"
        };
        let gap = if words.is_empty() { "" } else { ", " };
        words = format!("{words}{gap}{how} {}", members.join(", "));
    }
    words
}

fn asked(set: &Set, question: &Question) -> String {
    match &question.of {
        Asked::Limit { limit, member, answer } => {
            let name = &set.catalogue.limits[*limit].name;
            let member = needed::member(set, limit.entity(), *member);
            let name = member.map_or_else(|| name.clone(), |member| format!("{name}, {member},"));
            let how = match answer {
                Answer::Out => "is out of its limits",
                Answer::In => "is inside its limits",
                Answer::Low => "is below its limits",
                Answer::High => "is above its limits",
            };
            format!("IF {name} {how}")
        }
        Asked::Case(case) => {
            let what = &set.catalogue.cases[*case].what;
            let word = if question.not { "UNLESS" } else { "IF" };
            format!("{word} {what}")
        }
    }
}

/// What stands behind a step: `As marked.`, `Then go back to step 2.1.`
pub fn after(set: &Set, acts: &[&Act]) -> String {
    let sentences: Vec<String> = acts.iter().filter_map(|act| sentence(set, act)).collect();
    sentences.join(" ")
}

fn sentence(set: &Set, act: &Act) -> Option<String> {
    let catalogue = &set.catalogue;
    match &act.kind {
        ActKind::Fit(Item::Part(part), _) if catalogue.parts[*part].marked => {
            Some(format!("The {} sits as marked.", part_name(set, *part)))
        }
        ActKind::Measure(limit, true) => {
            let name = &catalogue.limits[*limit].name;
            Some(format!("The {name} is written down as found and not judged."))
        }
        ActKind::Wait(consumable) => {
            let entry = &catalogue.consumables[*consumable];
            let cure = entry.cure.as_ref()?;
            Some(format!("Not before {} after {} was closed in.", cure.value, entry.name))
        }
        ActKind::Repeat(number) => Some(format!("Then go back to step {number}, once.")),
        ActKind::Stop => Some("The job ends here.".to_string()),
        _ => None,
    }
}

fn part_name(set: &Set, part: Handle<Part>) -> &str {
    &set.catalogue.parts[part].name
}

/// Puts words before the first paragraph of a step and behind its last one; where there is none, they are one.
pub fn frame(blocks: &mut Vec<Block>, before: &str, after: &str) {
    if !before.is_empty() {
        let words = Inline::Strong {
            text: vec![Inline::Text {
                text: format!("{before}:"),
            }],
        };
        let gap = Inline::Text { text: " ".to_string() };
        match blocks.first_mut() {
            Some(Block::Paragraph { text }) => {
                text.splice(0..0, [words, gap]);
            }
            _ => blocks.insert(0, Block::Paragraph { text: vec![words] }),
        }
    }
    if !after.is_empty() {
        let words = Inline::Text {
            text: after.to_string(),
        };
        let gap = Inline::Text { text: " ".to_string() };
        match blocks.last_mut() {
            Some(Block::Paragraph { text }) => text.extend([gap, words]),
            _ => blocks.push(Block::Paragraph { text: vec![words] }),
        }
    }
}
