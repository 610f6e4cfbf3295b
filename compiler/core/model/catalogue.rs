//! Every entry of every register that a set can see, and how a name finds one: nearest level first.

use super::procedures::ProcedureId;
use crate::finding::Finding;
use crate::model::rules::{duplicate_id, shadowed_id};
use crate::source::Span;
use crate::syntax::Name;
use crate::syntax::registers::{
    Action, Case, Choice, Consumable, Entry, Group, Hold, Joint, Measurement, Part, Pattern, Picture, REGISTERS,
    Register, Registers, State, Temporary, Timer, Tool, Torque,
};
use crate::syntax::ties as syntax;
use std::collections::BTreeMap;
use std::marker::PhantomData;
use std::ops::Bound;

/// Where an entry was declared. Ordered from the nearest level to the farthest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Home {
    Procedure(ProcedureId),
    Set,
    /// A shop file; 0 is the one nearest to the set.
    Workshop(usize),
}

/// An entry with its home.
#[derive(Debug, Clone, PartialEq)]
pub struct Def<T> {
    pub id: Name,
    pub home: Home,
    pub value: T,
}

/// Points at an entry of one register of a catalogue.
pub struct Handle<T> {
    index: usize,
    kind: PhantomData<fn() -> T>,
}

impl<T> Handle<T> {
    fn new(index: usize) -> Self {
        Handle {
            index,
            kind: PhantomData,
        }
    }

    /// Position in its register, for tables kept beside the catalogue.
    pub fn index(self) -> usize {
        self.index
    }
}

impl<T> Clone for Handle<T> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<T> Copy for Handle<T> {}
impl<T> PartialEq for Handle<T> {
    fn eq(&self, other: &Self) -> bool {
        self.index == other.index
    }
}
impl<T> Eq for Handle<T> {}
impl<T> PartialOrd for Handle<T> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl<T> Ord for Handle<T> {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.index.cmp(&other.index)
    }
}
impl<T> std::fmt::Debug for Handle<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "#{}", self.index)
    }
}

/// One register over all levels.
#[derive(Debug, Clone, PartialEq)]
pub struct Table<T> {
    defs: Vec<Def<T>>,
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Table { defs: Vec::new() }
    }
}

impl<T> Table<T> {
    pub fn iter(&self) -> impl Iterator<Item = (Handle<T>, &Def<T>)> {
        self.defs.iter().enumerate().map(|(i, d)| (Handle::new(i), d))
    }

    /// The entry a handle of this table points at.
    #[expect(
        clippy::indexing_slicing,
        reason = "a handle is given by its own table alone, which never shrinks"
    )]
    pub fn get(&self, handle: Handle<T>) -> &Def<T> {
        &self.defs[handle.index]
    }
}

impl<T> std::ops::Index<Handle<T>> for Table<T> {
    type Output = T;

    fn index(&self, handle: Handle<T>) -> &T {
        &self.get(handle).value
    }
}

/// An entry of any register: which, and where in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Entity {
    pub register: Register,
    pub index: usize,
}

/// By level and space of ids: what each id means and where it was declared.
type Index = BTreeMap<(Home, Register), BTreeMap<String, (Entity, Span)>>;

/// Every entry a set can see.
#[derive(Debug, Default)]
pub struct Catalogue {
    pub parts: Table<Part>,
    pub temporary: Table<Temporary>,
    pub consumables: Table<Consumable>,
    pub tools: Table<Tool>,
    pub torques: Table<Torque>,
    pub limits: Table<Measurement>,
    pub states: Table<State>,
    pub actions: Table<Action>,
    pub timers: Table<Timer>,
    pub holds: Table<Hold>,
    pub options: Table<Choice>,
    pub patterns: Table<Pattern>,
    pub joints: Table<Joint>,
    pub cases: Table<Case>,
    pub groups: Table<Group>,
    pub pictures: Table<Picture>,
    index: Index,
    /// How many shop files lie above the set.
    workshops: usize,
}

impl Catalogue {
    /// Takes in the registers of one level; ids that stand twice are reported and the first is kept.
    pub fn add(&mut self, home: Home, registers: Registers, findings: &mut Vec<Finding>) {
        if let Home::Workshop(n) = home {
            self.workshops = self.workshops.max(n + 1);
        }
        let mut adder = Adder {
            home,
            index: &mut self.index,
            findings,
        };
        adder.take(Register::Parts, registers.parts, &mut self.parts);
        adder.take(Register::Temporary, registers.temporary, &mut self.temporary);
        adder.take(Register::Consumables, registers.consumables, &mut self.consumables);
        adder.take(Register::Tools, registers.tools, &mut self.tools);
        adder.take(Register::Torques, registers.torques, &mut self.torques);
        adder.take(Register::Limits, registers.limits, &mut self.limits);
        adder.take(Register::States, registers.states, &mut self.states);
        adder.take(Register::Actions, registers.actions, &mut self.actions);
        adder.take(Register::Timers, registers.timers, &mut self.timers);
        adder.take(Register::Holds, registers.holds, &mut self.holds);
        adder.take(Register::Options, registers.options, &mut self.options);
        adder.take(Register::Patterns, registers.patterns, &mut self.patterns);
        adder.take(Register::Joints, registers.joints, &mut self.joints);
        adder.take(Register::Cases, registers.cases, &mut self.cases);
        adder.take(Register::Groups, registers.groups, &mut self.groups);
        adder.take(Register::Pictures, registers.pictures, &mut self.pictures);
    }

    /// Levels seen from one, nearest first.
    fn levels(&self, from: Home) -> impl Iterator<Item = Home> + use<> {
        let own = matches!(from, Home::Procedure(_)).then_some(from);
        let set = (from <= Home::Set).then_some(Home::Set);
        let first_shop = if let Home::Workshop(n) = from { n } else { 0 };
        own.into_iter()
            .chain(set)
            .chain((first_shop..self.workshops).map(Home::Workshop))
    }

    /// True if an entry of level `home` can be seen from level `from`.
    pub fn sees(&self, from: Home, home: Home) -> bool {
        self.levels(from).any(|level| level == home)
    }

    /// What an id means seen from a level, in the space of ids of `register`.
    pub fn find(&self, from: Home, register: Register, id: &str) -> Option<Entity> {
        let space = register.space();
        self.levels(from)
            .find_map(|home| Some(self.index.get(&(home, space))?.get(id)?.0))
    }

    /// What an id means in any register, for the message when it is in the wrong one.
    pub fn find_anywhere(&self, from: Home, id: &str) -> Option<Entity> {
        REGISTERS.into_iter().find_map(|register| self.find(from, register, id))
    }

    /// Ids of these registers that can be seen from a level.
    pub fn visible(&self, from: Home, registers: &[Register]) -> Vec<&str> {
        let mut ids = Vec::new();
        for home in self.levels(from) {
            let mut spaces: Vec<Register> = registers.iter().map(|r| r.space()).collect();
            spaces.dedup();
            for space in spaces {
                let Some(map) = self.index.get(&(home, space)) else {
                    continue;
                };
                let fits = map
                    .iter()
                    .filter(|(_, (entity, _))| registers.contains(&entity.register));
                ids.extend(fits.map(|(id, _)| id.as_str()));
            }
        }
        ids
    }

    /// Reports ids that hide the same id of a farther level.
    pub fn shadowed(&self, findings: &mut Vec<Finding>) {
        for ((home, space), map) in &self.index {
            for (id, (_, span)) in map {
                let outer = self
                    .levels(*home)
                    .skip(1)
                    .find_map(|h| self.index.get(&(h, *space))?.get(id));
                if let Some((entity, first)) = outer {
                    findings.push(shadowed_id::finding(*span, id, entity.register, *first));
                }
            }
        }
    }

    /// The id of an entry with its place, and the group it is one of each for, by name.
    pub fn id(&self, entity: Entity) -> Option<&Name> {
        fn of<T>(table: &Table<T>, index: usize) -> Option<&Name> {
            table.defs.get(index).map(|def| &def.id)
        }
        let index = entity.index;
        match entity.register {
            Register::Parts => of(&self.parts, index),
            Register::Temporary => of(&self.temporary, index),
            Register::Consumables => of(&self.consumables, index),
            Register::Tools => of(&self.tools, index),
            Register::Torques => of(&self.torques, index),
            Register::Limits => of(&self.limits, index),
            Register::States => of(&self.states, index),
            Register::Actions => of(&self.actions, index),
            Register::Timers => of(&self.timers, index),
            Register::Holds => of(&self.holds, index),
            Register::Options => of(&self.options, index),
            Register::Patterns => of(&self.patterns, index),
            Register::Joints => of(&self.joints, index),
            Register::Cases => of(&self.cases, index),
            Register::Groups => of(&self.groups, index),
            Register::Pictures => of(&self.pictures, index),
        }
    }

    /// What an entry says of others, as written; nothing for registers that say nothing.
    pub fn written(&self, entity: Entity) -> Option<&syntax::Ties> {
        fn of<T>(table: &Table<T>, index: usize) -> Option<&T> {
            table.defs.get(index).map(|def| &def.value)
        }
        let index = entity.index;
        match entity.register {
            Register::Parts => of(&self.parts, index).map(|e| &e.ties),
            Register::Temporary => of(&self.temporary, index).map(|e| &e.ties),
            Register::Torques => of(&self.torques, index).map(|e| &e.ties),
            Register::Limits => of(&self.limits, index).map(|e| &e.ties),
            Register::States => of(&self.states, index).map(|e| &e.ties),
            Register::Actions => of(&self.actions, index).map(|e| &e.ties),
            Register::Timers => of(&self.timers, index).map(|e| &e.ties),
            Register::Holds => of(&self.holds, index).map(|e| &e.ties),
            Register::Options => of(&self.options, index).map(|e| &e.ties),
            Register::Joints => of(&self.joints, index).map(|e| &e.ties),
            Register::Consumables
            | Register::Tools
            | Register::Patterns
            | Register::Cases
            | Register::Groups
            | Register::Pictures => None,
        }
    }

    /// The entries of one level.
    pub fn of_home(&self, home: Home) -> impl Iterator<Item = Entity> {
        let first = REGISTERS
            .first()
            .map_or(Bound::Unbounded, |first| Bound::Included((home, *first)));
        let spaces = self.index.range((first, Bound::Unbounded));
        let own = spaces.take_while(move |((level, _), _)| *level == home);
        own.flat_map(|(_, ids)| ids.values().map(|(entity, _)| *entity))
    }

    /// Every entry with its home, id and place, in order of level and id.
    pub fn entries(&self) -> impl Iterator<Item = (Entity, Home, &str, Span)> {
        self.index.iter().flat_map(|((home, _), map)| {
            map.iter()
                .map(move |(id, (entity, span))| (*entity, *home, id.as_str(), *span))
        })
    }
}

/// A handle of an entity, if it is of the handle's register.
pub trait Kind: Sized {
    const REGISTER: Register;
    fn handle(entity: Entity) -> Option<Handle<Self>> {
        (entity.register == Self::REGISTER).then(|| Handle::new(entity.index))
    }
}

/// The handle of an entry, if it is of the register that is asked for.
pub fn handle<T: Kind>(entity: Entity) -> Option<Handle<T>> {
    T::handle(entity)
}

macro_rules! kinds {
    ($($kind:ty => $register:ident),* $(,)?) => {
        $(impl Kind for $kind {
            const REGISTER: Register = Register::$register;
        })*
    };
}

kinds! {
    Part => Parts, Temporary => Temporary, Consumable => Consumables, Tool => Tools, Torque => Torques,
    Measurement => Limits, State => States, Action => Actions, Timer => Timers, Hold => Holds, Choice => Options,
    Pattern => Patterns, Joint => Joints, Case => Cases, Group => Groups, Picture => Pictures,
}

impl<T: Kind> Handle<T> {
    /// The entry, whichever register it is of.
    pub fn entity(self) -> Entity {
        Entity {
            register: T::REGISTER,
            index: self.index,
        }
    }
}

struct Adder<'a> {
    home: Home,
    index: &'a mut Index,
    findings: &'a mut Vec<Finding>,
}

impl Adder<'_> {
    fn take<T>(&mut self, register: Register, entries: Vec<Entry<T>>, table: &mut Table<T>) {
        if entries.is_empty() {
            return;
        }
        let map = self.index.entry((self.home, register.space())).or_default();
        for entry in entries {
            let id = entry.id;
            if let Some((_, other)) = map.get(&id.text) {
                // Registers of one space may stand in any order in the file.
                let (first, second) = (id.span.min(*other), id.span.max(*other));
                self.findings.push(duplicate_id::finding(second, &id.text, first));
                continue;
            }
            let entity = Entity {
                register,
                index: table.defs.len(),
            };
            map.insert(id.text.clone(), (entity, id.span));
            table.defs.push(Def {
                id,
                home: self.home,
                value: entry.value,
            });
        }
    }
}
