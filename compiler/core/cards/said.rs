//! What marks say about a whole step, in words of the card: when it is done, for which members, and what comes after it.

use super::card::{Block, Inline};
use super::needed;
use crate::model::ties::{Answer, Asked, PerMember, Question};
use crate::model::{Act, ActKind, Item, Set};
use crate::words::{Phrase, joined, say};

/// What stands before a step or behind a heading: `IF end play is out of its limits`, `FOR EACH OF left, right`.
pub fn before(set: &Set, ifs: &[Question], each: Option<PerMember>) -> Phrase {
    let asked = ifs.iter().map(|question| asked(set, question)).reduce(say::asked_both);
    let members = each.map(|each| {
        let members = &set.catalogue.groups[each.group].members;
        let members = joined(members.iter().map(|member| &member.text), ", ");
        match each.in_turn {
            true => say::one_after_the_other(members),
            false => say::for_each_of(members),
        }
    });
    match (asked, members) {
        (Some(asked), Some(members)) => joined([asked, members], ", "),
        (one, other) => one.or(other).unwrap_or_default(),
    }
}

fn asked(set: &Set, question: &Question) -> Phrase {
    match &question.of {
        Asked::Limit { limit, member, answer } => {
            let name = &set.catalogue.limits[*limit].name;
            let member = needed::member(set, limit.entity(), *member);
            let name = member.map_or_else(|| name.clone(), |member| format!("{name} ({member})"));
            match answer {
                Answer::Out => say::asked_out(name),
                Answer::In => say::asked_in(name),
                Answer::Low => say::asked_low(name),
                Answer::High => say::asked_high(name),
            }
        }
        Asked::Case(case) => {
            let what = &set.catalogue.cases[*case].what;
            match question.not {
                true => say::asked_unless(what),
                false => say::asked_if(what),
            }
        }
    }
}

/// What stands behind a step: `Then go back to step 2.1, once.`
pub fn after(set: &Set, acts: &[&Act]) -> Phrase {
    joined(acts.iter().filter_map(|act| sentence(set, act)), " ")
}

fn sentence(set: &Set, act: &Act) -> Option<Phrase> {
    let catalogue = &set.catalogue;
    match &act.kind {
        ActKind::Fit(Item::Part(part), _) if catalogue.parts[*part].marked => {
            Some(say::sits_as_marked(&catalogue.parts[*part].name))
        }
        ActKind::Measure(limit, true) => Some(say::as_found(&catalogue.limits[*limit].name)),
        ActKind::Wait(consumable) => {
            let entry = &catalogue.consumables[*consumable];
            let cure = entry.cure.as_ref()?;
            Some(say::not_before(Phrase::figure(cure.value.to_string()), &entry.name))
        }
        ActKind::Repeat(number) => Some(say::back_to(say::step(number.to_string()))),
        ActKind::Stop => Some(say::job_ends_here()),
        ActKind::Fit(..)
        | ActKind::Remove(..)
        | ActKind::Measure(..)
        | ActKind::Torque(_)
        | ActKind::Snug(_)
        | ActKind::Loosen(_)
        | ActKind::Use(..)
        | ActKind::Need(_)
        | ActKind::Set(..)
        | ActKind::Do(_)
        | ActKind::Start(_)
        | ActKind::End(_)
        | ActKind::Hold(_)
        | ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Time(_)
        | ActKind::Only
        | ActKind::Mark(_)
        | ActKind::Each
        | ActKind::If(_) => None,
    }
}

/// Puts words before the first paragraph of a step and behind its last one; where there is none, they are one.
pub fn frame(blocks: &mut Vec<Block>, before: Phrase, after: Phrase) {
    let alone = |words| Block::Paragraph {
        text: vec![words],
        span: None,
    };
    let gap = || Inline::Text { text: " ".to_string() };
    if !before.is_empty() {
        let words = Inline::Strong {
            text: vec![Inline::Said { text: before.then(":") }],
        };
        match blocks.first_mut() {
            Some(Block::Paragraph { text, .. }) => {
                text.splice(0..0, [words, gap()]);
            }
            _ => blocks.insert(0, alone(words)),
        }
    }
    if !after.is_empty() {
        let words = Inline::Said { text: after };
        match blocks.last_mut() {
            Some(Block::Paragraph { text, .. }) => text.extend([gap(), words]),
            _ => blocks.push(alone(words)),
        }
    }
}
