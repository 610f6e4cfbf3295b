//! What must be so, in words.

use crate::model::registers::Register;
use crate::model::ties::{Need, Wanted};
use crate::model::{Catalogue, Entity, Set, handle};
use crate::words::{Phrase, say};

/// What a condition is about and how it must be: `power` and `off`.
pub fn words(set: &Set, need: &Need) -> (String, Phrase) {
    let catalogue = &set.catalogue;
    let (thing, how) = match &need.what {
        Wanted::State(state, values) => {
            let def = &catalogue.states[*state];
            let values: Vec<&str> = values
                .iter()
                .filter_map(|value| Some(def.values.get(*value)?.text.as_str()))
                .collect();
            let values = values.into_iter().map(Phrase::from);
            return (def.name.clone(), values.reduce(say::or).unwrap_or_default());
        }
        Wanted::Met(things) => (
            things.first().copied(),
            things.first().map_or_else(Phrase::default, |thing| met(*thing)),
        ),
        Wanted::Off(things) => (things.first().copied(), say::need_off()),
        Wanted::Loose(torque) => (Some(*torque), say::need_not_tight()),
    };
    let name = thing.map_or_else(String::new, |thing| name(catalogue, thing));
    let member = thing.and_then(|thing| member(set, thing, need.member));
    (member.map_or(name.clone(), |member| format!("{name}, {member}")), how)
}

/// How a thing is when it is as it is needed.
fn met(thing: Entity) -> Phrase {
    match thing.register {
        Register::Parts => say::need_in_place(),
        Register::Temporary => say::need_on(),
        Register::Torques => say::need_tight(),
        Register::Joints => say::need_closed(),
        Register::Actions => say::need_done(),
        Register::Limits => say::need_measured(),
        Register::Consumables
        | Register::Tools
        | Register::States
        | Register::Timers
        | Register::Holds
        | Register::Options
        | Register::Patterns
        | Register::Cases
        | Register::Groups
        | Register::Pictures => Phrase::default(),
    }
}

/// What an entry is called.
pub fn name(catalogue: &Catalogue, thing: Entity) -> String {
    let found = handle(thing)
        .map(|part| catalogue.parts[part].name.clone())
        .or_else(|| handle(thing).map(|item| catalogue.temporary[item].name.clone()))
        .or_else(|| handle(thing).map(|torque| catalogue.torques[torque].name.clone()))
        .or_else(|| handle(thing).map(|joint| catalogue.joints[joint].name.clone()))
        .or_else(|| handle(thing).map(|action| catalogue.actions[action].name.clone()))
        .or_else(|| handle(thing).map(|limit| catalogue.limits[limit].name.clone()))
        .or_else(|| handle(thing).map(|state| catalogue.states[state].name.clone()));
    found.unwrap_or_default()
}

/// The name of a member of a thing's group.
pub fn member(set: &Set, thing: Entity, member: Option<usize>) -> Option<String> {
    let group = set.links.ties(thing).each?;
    Some(set.catalogue.groups[group].members.get(member?)?.text.clone())
}
