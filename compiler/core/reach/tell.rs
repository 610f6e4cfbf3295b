//! Entries, acts and what keeps them from being done, in words.

use super::data::Named;
use super::machine::{Deed, Machine, TIGHT, Thing, value};
use super::problem::{Clause, Stuck};
use crate::check::machine::{Node, Shape};
use crate::model::registers::{Register, State};
use crate::model::{Entity, Handle, handle};

pub fn name(shape: &Shape, node: Node) -> Named {
    Named {
        id: shape.called(node),
        name: called(shape, node.entity),
    }
}

/// The name that an entry has, or its id.
pub fn called(shape: &Shape, entity: Entity) -> String {
    let catalogue = &shape.set.catalogue;
    let name = match entity.register {
        Register::Parts => handle(entity).map(|part| &catalogue.parts[part].name),
        Register::Temporary => handle(entity).map(|item| &catalogue.temporary[item].name),
        Register::Torques => handle(entity).map(|torque| &catalogue.torques[torque].name),
        Register::Limits => handle(entity).map(|limit| &catalogue.limits[limit].name),
        Register::States => handle(entity).map(|state| &catalogue.states[state].name),
        Register::Actions => handle(entity).map(|action| &catalogue.actions[action].name),
        Register::Joints => handle(entity).map(|joint| &catalogue.joints[joint].name),
        Register::Consumables => handle(entity).map(|consumable| &catalogue.consumables[consumable].name),
        Register::Tools
        | Register::Timers
        | Register::Holds
        | Register::Options
        | Register::Patterns
        | Register::Cases
        | Register::Groups
        | Register::Pictures => None,
    };
    let id = || catalogue.id(entity).map_or_else(String::new, |id| id.text.clone());
    name.cloned().unwrap_or_else(id)
}

/// What a deed is about, with the word for it.
pub fn about(machine: &Machine, deed: &Deed) -> (&'static str, Node) {
    let one = |entity: Entity| Node::new(entity, 0);
    match deed {
        Deed::Remove(seat) => ("remove", machine.sits(*seat).first().copied().unwrap_or(*seat)),
        Deed::Take(node) => ("remove", *node),
        Deed::Loosen(node) => ("loosen", *node),
        Deed::Put(node) | Deed::Fit(node) => ("fit", *node),
        Deed::Do(entity) => ("do", one(*entity)),
        Deed::Set(entity, _) => ("set", one(*entity)),
        Deed::Measure(node) => ("measure", *node),
        Deed::Tighten(node) => ("torque", *node),
        Deed::Spread(entity, _) => ("use", one(*entity)),
        Deed::Wait(entity) => ("wait", one(*entity)),
    }
}

/// Why there is no way, in words.
pub fn reason(machine: &Machine, stuck: &Stuck) -> String {
    let deeds: Vec<&Deed> = stuck.acts.iter().filter_map(|act| machine.deeds.get(*act)).collect();
    let id = |deed: &&Deed| {
        let (act, node) = about(machine, deed);
        let id = machine.shape.called(node);
        match act {
            "remove" => format!("`{id}` off"),
            "loosen" => format!("`{id}` loose"),
            "fit" => format!("`{id}` on"),
            "do" | "measure" => format!("`{id}` done"),
            _ => format!("`{id}` {act}"),
        }
    };
    if let Some(round) = stuck.round {
        let path: Vec<String> = deeds.iter().skip(round).map(id).collect();
        let first = path.first().cloned().unwrap_or_default();
        return format!("each waits for the next: {} → {first}", path.join(" → "));
    }
    let last = clause(machine, &stuck.clause);
    match deeds.last() {
        Some(deed) => format!("{} needs {last}, which nothing brings about", id(deed)),
        None => format!("nothing brings about {last}"),
    }
}

/// What a clause asks, by its first literal.
fn clause(machine: &Machine, clause: &Clause) -> String {
    let first = clause
        .first()
        .and_then(|literal| Some((literal, machine.thing(literal.variable)?)));
    let Some((literal, thing)) = first else {
        return "something".to_string();
    };
    let shape = machine.shape;
    let on = |off: bool| if off { "off" } else { "on" };
    match thing {
        Thing::Seat(node) | Thing::Temporary(node) => format!("`{}` {}", shape.called(node), on(literal.allows(0))),
        Thing::Grip(node) => {
            let how = if literal.allows(TIGHT) { "tight" } else { "loose" };
            format!("`{}` {how}", shape.called(node))
        }
        Thing::State(node) => {
            let state: Option<Handle<State>> = handle(node.entity);
            let values = state.map_or(&[][..], |state| &shape.set.catalogue.states[state].values);
            let allowed = values
                .iter()
                .enumerate()
                .filter(|(index, _)| literal.allows(value(*index)));
            let words: Vec<&str> = allowed.map(|(_, value)| value.text.as_str()).collect();
            format!("`{}={}`", shape.called(node), words.join("|"))
        }
        Thing::Valid(node) => format!("`{}` done or measured", shape.called(node)),
        Thing::Filled(node) | Thing::Hard(node) => format!("`{}` sealed", shape.called(node)),
        Thing::Wet(node) => format!("the lubricant on `{}`", shape.called(node)),
    }
}
