//! For which members of a group something is done: each has a box of its own, a reading of its own, a count of its own.

use crate::fingerprint::{Meaning, Sink};
use crate::model::ties::PerMember;
use crate::model::{Act, ActKind, Entity, Item, Set};
use crate::source::Sourced;
use crate::words::{Language, Speak};
use serde::Serialize;

/// Names of members; empty where it is done once. A leaf that has none has the code that it had before there was such a field.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[serde(transparent)]
pub struct Members(pub Vec<String>);

impl Meaning for Members {
    fn feed(&self, sink: &mut Sink) {
        if !self.0.is_empty() {
            sink.text(stringify!(Members));
            self.0.feed(sink);
        }
    }
}

impl Sourced for Members {}

impl Speak for Members {
    fn speak(&mut self, _: Language) {}
}

/// The members that a step is done for.
pub fn of_step(set: &Set, each: Option<PerMember>) -> Members {
    Members(each.map_or_else(Vec::new, |each| names(set, each)))
}

fn names(set: &Set, each: PerMember) -> Vec<String> {
    let members = &set.catalogue.groups[each.group].members;
    members.iter().map(|member| member.text.clone()).collect()
}

/// The members that a mark is for, in a step that is done for those of a group or for none: inside of it a thing of the group is its member's, outside a
/// bare name is all of them; what has no members of its own is met once for each.
pub fn of_mark(set: &Set, each: Option<PerMember>, act: &Act) -> Members {
    let Some(thing) = thing(&act.kind) else {
        return Members::default();
    };
    let own = set.links.ties(thing).each;
    let all = |group| -> Vec<String> {
        let members = &set.catalogue.groups[group].members;
        members.iter().map(|member| member.text.clone()).collect()
    };
    Members(match (each, own) {
        // Named by itself.
        _ if own.is_some() && act.member.is_some() => Vec::new(),
        (None, None) => Vec::new(),
        (None, Some(group)) => all(group),
        (Some(each), Some(group)) if each.group != group => {
            let inner = all(group);
            let outer = names(set, each);
            let both = |a: &String| inner.iter().map(|b| format!("{a}, {b}")).collect::<Vec<_>>();
            outer.iter().flat_map(both).collect()
        }
        (Some(each), _) => names(set, each),
    })
}

/// The member that a mark names.
pub fn named(set: &Set, act: &Act) -> Option<String> {
    let group = set.links.ties(thing(&act.kind)?).each?;
    let member = set.catalogue.groups[group].members.get(act.member?)?;
    Some(member.text.clone())
}

/// How many times so many a mark is of, where it stands for all members at once.
pub fn times(set: &Set, each: Option<PerMember>, act: &Act) -> u32 {
    let own = thing(&act.kind).and_then(|thing| set.links.ties(thing).each);
    match own {
        Some(group) if act.member.is_none() && each.is_none_or(|each| each.group != group) => {
            u32::try_from(set.catalogue.groups[group].members.len()).unwrap_or(u32::MAX)
        }
        _ => 1,
    }
}

/// The thing that a mark is about, of those that have boxes or counts.
fn thing(kind: &ActKind) -> Option<Entity> {
    Some(match kind {
        ActKind::Torque(torque) | ActKind::Snug(torque) | ActKind::Loosen(torque) => torque.entity(),
        ActKind::Measure(limit, _) => limit.entity(),
        ActKind::Fit(Item::Part(part), _) | ActKind::Remove(Item::Part(part), _) => part.entity(),
        ActKind::Fit(Item::Temporary(item), _) | ActKind::Remove(Item::Temporary(item), _) => item.entity(),
        ActKind::Start(timer) | ActKind::End(timer) => timer.entity(),
        ActKind::Hold(_)
        | ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Time(_)
        | ActKind::Only
        | ActKind::Wait(_)
        | ActKind::Mark(_)
        | ActKind::Each
        | ActKind::If(_)
        | ActKind::Repeat(_)
        | ActKind::Stop
        | ActKind::Use(..)
        | ActKind::Need(_)
        | ActKind::Set(..)
        | ActKind::Do(_) => return None,
    })
}
