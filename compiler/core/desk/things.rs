//! Where things are named: every entry, value, procedure and label, with the place where it is declared and those where it is used.

use crate::Compilation;
use crate::domain::calc;
use crate::model::lookup::Sought;
use crate::model::{Act, ActKind, Catalogue, Entity, Home, Name, Procedure, ProcedureId, Set, StepNumber};
use crate::source::{FileId, FileSet, Span, folder, lies_in};
use crate::syntax::registers::Register;
use std::collections::BTreeSet;

/// A thing that has a name in one set.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    Entry(Entity),
    /// One of the values of an entry, by its index.
    Value(Entity, usize),
    Procedure(ProcedureId),
    /// A labelled step of a procedure.
    Label(ProcedureId, StepNumber),
}

/// A place where a thing is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mention {
    /// Position of the set in the model.
    pub set: usize,
    pub thing: Thing,
    pub span: Span,
    /// True where it is declared.
    pub declares: bool,
}

/// Every mention of every set, in order of place. What a shop declares is mentioned once for each set that sees it.
pub fn mentions(compilation: &Compilation) -> Vec<Mention> {
    let mut found = Vec::new();
    for (n, set) in compilation.model.sets.iter().enumerate() {
        let mut put = |thing: Thing, span: Span, declares: bool| {
            found.push(Mention {
                set: n,
                thing,
                span,
                declares,
            });
        };
        for (entity, _, _, span) in set.catalogue.entries() {
            put(Thing::Entry(entity), span, true);
            for (index, value) in values(&set.catalogue, entity).into_iter().enumerate() {
                put(Thing::Value(entity, index), value.span, true);
            }
            for (index, span) in chosen(&set.catalogue, entity) {
                put(Thing::Value(entity, index), span, false);
            }
        }
        for (id, procedure) in set.procedures.named() {
            put(Thing::Procedure(id), procedure.span, true);
            for (number, label) in labels(procedure) {
                put(Thing::Label(id, number), label.span, true);
            }
        }
        for lookup in &set.lookups {
            let thing = match lookup.sought {
                Sought::Entry { found, .. } => found.map(Thing::Entry),
                Sought::Value { of, found } => found.map(|index| Thing::Value(of, index)),
                Sought::Procedure(found) => found.map(Thing::Procedure),
                Sought::Label { procedure, found } => found.map(|number| Thing::Label(procedure, number)),
            };
            if let Some(thing) = thing {
                put(thing, lookup.span, false);
            }
        }
        for (entity, span) in readings(set) {
            put(Thing::Entry(entity), span, false);
        }
    }
    found.sort_by_key(|mention| (mention.span, mention.set, !mention.declares));
    found.dedup();
    found
}

/// The mention at a place, the narrowest if there are several.
pub fn at(mentions: &[Mention], file: FileId, offset: usize) -> Option<&Mention> {
    let here = |m: &&Mention| m.span.file == file && m.span.start as usize <= offset && offset <= m.span.end as usize;
    mentions
        .iter()
        .filter(here)
        .min_by_key(|m| (m.span.end - m.span.start, m.set))
}

/// Every mention of the same thing, in every set that knows it, in order of place and none twice. Things of two sets are the same where
/// they were declared in one place, which is a shop's.
pub fn same<'a>(mentions: &'a [Mention], one: &Mention) -> Vec<&'a Mention> {
    let is_it = |m: &&Mention| m.set == one.set && m.thing == one.thing;
    let declared: BTreeSet<Span> = mentions
        .iter()
        .filter(is_it)
        .filter(|m| m.declares)
        .map(|m| m.span)
        .collect();
    let shared = mentions.iter().filter(|m| m.declares && declared.contains(&m.span));
    let known: BTreeSet<(usize, &Thing)> = shared
        .map(|m| (m.set, &m.thing))
        .chain([(one.set, &one.thing)])
        .collect();
    let mut found: Vec<&Mention> = Vec::new();
    for mention in mentions.iter().filter(|m| known.contains(&(m.set, &m.thing))) {
        if found.last().is_none_or(|last| last.span != mention.span) {
            found.push(mention);
        }
    }
    found
}

/// The values that an entry of a register may have, as they were declared.
pub fn values(catalogue: &Catalogue, entity: Entity) -> Vec<&Name> {
    match entity.register {
        Register::States => (catalogue.states.iter().nth(entity.index))
            .map(|(_, def)| def.value.values.iter().collect())
            .unwrap_or_default(),
        Register::Options => (catalogue.options.iter().nth(entity.index))
            .map(|(_, def)| def.value.values.iter().map(|(name, _)| name).collect())
            .unwrap_or_default(),
        _ => Vec::new(),
    }
}

/// Where an entry names one of its own values.
fn chosen(catalogue: &Catalogue, entity: Entity) -> Vec<(usize, Span)> {
    let states = catalogue
        .states
        .iter()
        .nth(entity.index)
        .filter(|_| entity.register == Register::States);
    let options = catalogue
        .options
        .iter()
        .nth(entity.index)
        .filter(|_| entity.register == Register::Options);
    let names = states
        .into_iter()
        .flat_map(|(_, def)| [&def.value.start, &def.value.finish])
        .chain(options.into_iter().map(|(_, def)| &def.value.default))
        .flatten();
    let all = values(catalogue, entity);
    let index = |name: &Name| all.iter().position(|value| value.text == name.text);
    names.filter_map(|name| Some((index(name)?, name.span))).collect()
}

/// The labelled steps of a procedure.
pub fn labels(procedure: &Procedure) -> Vec<(StepNumber, &Name)> {
    let label = |act: &'_ Act| matches!(act.kind, ActKind::Label(_));
    let mut found = Vec::new();
    for (_, step) in procedure.steps() {
        let acts = step.acts.iter().chain(step.substeps.iter().flat_map(|sub| &sub.acts));
        for act in acts.filter(|act| label(act)) {
            if let ActKind::Label(name) = &act.kind {
                found.push((step.number, name));
            }
        }
    }
    found
}

/// Where calculations name the measurements that they take.
fn readings(set: &Set) -> Vec<(Entity, Span)> {
    let mut found = Vec::new();
    for (_, def) in set.catalogue.limits.iter() {
        let Some(text) = &def.value.calc else { continue };
        let Ok(node) = calc::parse(&text.text) else { continue };
        for (name, at) in node.names() {
            let entity = set.catalogue.find(def.home, Register::Limits, name);
            found.extend(entity.map(|entity| (entity, text.span.slice(at))));
        }
    }
    found
}

/// The entries that an id means in some registers, those of one space of ids once.
pub fn meant(catalogue: &Catalogue, home: Home, registers: &[Register], id: &str) -> Vec<Entity> {
    let mut found: Vec<Entity> = registers
        .iter()
        .filter_map(|register| catalogue.find(home, *register, id))
        .collect();
    found.retain(|entity| registers.contains(&entity.register));
    found.sort();
    found.dedup();
    found
}

/// What an entry is called.
pub fn title(catalogue: &Catalogue, entity: Entity) -> String {
    let at = entity.index;
    let found = match entity.register {
        Register::Parts => catalogue.parts.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Temporary => catalogue.temporary.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Consumables => catalogue.consumables.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Tools => catalogue.tools.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Torques => catalogue.torques.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Limits => catalogue.limits.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::States => catalogue.states.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Actions => catalogue.actions.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Timers => catalogue.timers.iter().nth(at).map(|(_, def)| &def.value.what),
        Register::Holds => catalogue.holds.iter().nth(at).map(|(_, def)| &def.value.what),
        Register::Options => catalogue.options.iter().nth(at).map(|(_, def)| &def.value.what),
        Register::Patterns => catalogue.patterns.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Joints => catalogue.joints.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Cases => catalogue.cases.iter().nth(at).map(|(_, def)| &def.value.what),
        Register::Groups => catalogue.groups.iter().nth(at).map(|(_, def)| &def.value.name),
        Register::Pictures => catalogue.pictures.iter().nth(at).map(|(_, def)| &def.value.name),
    };
    found.cloned().unwrap_or_default()
}

/// The set that a file belongs to, and the level of the names in it. A shop's file belongs to the first set below it.
pub fn level(files: &FileSet, compilation: &Compilation, file: FileId) -> Option<(usize, Home)> {
    let sets = &compilation.model.sets;
    let of_procedure = |(n, set): (usize, &Set)| {
        let (id, _) = set.procedures.named().find(|(_, procedure)| procedure.file == file)?;
        Some((n, Home::Procedure(id)))
    };
    let own = sets.iter().enumerate().find_map(of_procedure);
    let set = || sets.iter().position(|set| set.file == file).map(|n| (n, Home::Set));
    let shop = || {
        let above = folder(&files.get(file).path);
        let (n, set) = sets.iter().enumerate().find(|(_, set)| lies_in(&set.folder, above))?;
        let declared = set.catalogue.entries().find(|(_, _, _, span)| span.file == file);
        Some((n, declared.map_or(Home::Workshop(0), |(_, home, _, _)| home)))
    };
    own.or_else(set).or_else(shop)
}

/// An entry in a few words: what it is and what it is called.
pub fn described(catalogue: &Catalogue, entity: Entity) -> String {
    format!("{}: {}", entity.register.entry(), title(catalogue, entity))
}
