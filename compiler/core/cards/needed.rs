//! What must be so, in words.

use crate::model::registers::Register;
use crate::model::ties::{Need, Wanted};
use crate::model::{Catalogue, Entity, Set, handle};

/// What a condition is about and how it must be: `power` and `off`.
pub fn words(set: &Set, need: &Need) -> (String, String) {
    let catalogue = &set.catalogue;
    let (thing, how) = match &need.what {
        Wanted::State(state, values) => {
            let def = &catalogue.states[*state];
            let values: Vec<&str> = values
                .iter()
                .filter_map(|value| Some(def.values.get(*value)?.text.as_str()))
                .collect();
            return (def.name.clone(), values.join(" or "));
        }
        Wanted::Met(things) => (things.first().copied(), things.first().map_or("", |thing| met(*thing))),
        Wanted::Off(things) => (things.first().copied(), "off"),
        Wanted::Loose(torque) => (Some(*torque), "not tight"),
    };
    let name = thing.map_or_else(String::new, |thing| name(catalogue, thing));
    let member = thing.and_then(|thing| member(set, thing, need.member));
    (
        member.map_or(name.clone(), |member| format!("{name}, {member}")),
        how.to_string(),
    )
}

/// How a thing is when it is as it is needed.
fn met(thing: Entity) -> &'static str {
    match thing.register {
        Register::Parts => "in place",
        Register::Temporary => "on",
        Register::Torques => "tight",
        Register::Joints => "closed",
        Register::Actions => "done",
        Register::Limits => "measured",
        Register::Consumables
        | Register::Tools
        | Register::States
        | Register::Timers
        | Register::Holds
        | Register::Options
        | Register::Patterns
        | Register::Cases
        | Register::Groups => "",
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
        .or_else(|| handle(thing).map(|limit| catalogue.limits[limit].name.clone()));
    found.unwrap_or_default()
}

/// The name of a member of a thing's group.
pub fn member(set: &Set, thing: Entity, member: Option<usize>) -> Option<String> {
    let group = set.links.ties(thing).each?;
    Some(set.catalogue.groups[group].members.get(member?)?.text.clone())
}
