//! What a random set is made of: plain data, numbers for ids. `text` writes it down, `world` plays it.

/// Names an entry: its register and its number there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    Part(usize),
    Item(usize),
    Torque(usize),
    Limit(usize),
    Action(usize),
    Hold(usize),
    Joint(usize),
    State(usize),
    Consumable(usize),
}

impl Thing {
    pub fn id(self) -> String {
        let (letter, number) = match self {
            Thing::Part(n) => ('p', n),
            Thing::Item(n) => ('t', n),
            Thing::Torque(n) => ('q', n),
            Thing::Limit(n) => ('l', n),
            Thing::Action(n) => ('a', n),
            Thing::Hold(n) => ('h', n),
            Thing::Joint(n) => ('j', n),
            Thing::State(n) => ('s', n),
            Thing::Consumable(n) => ('c', n),
        };
        format!("{letter}{number}")
    }
}

/// What something asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    Is(Thing),
    Off(Thing),
    Loose(usize),
    /// A state at one of these values.
    At(usize, Vec<usize>),
}

/// By option, the values that are meant; all must hold.
pub type Only = Vec<(usize, Vec<usize>)>;

/// How things hold, cover and need each other.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ties {
    /// Parts.
    pub secures: Vec<usize>,
    pub covers: Vec<Thing>,
    pub contains: Vec<Thing>,
    pub needs: Vec<Ask>,
    pub never_with: Vec<Thing>,
    pub to_fit: Vec<Ask>,
    /// Of a torque: to loosen.
    pub to_remove: Vec<Ask>,
    pub to_tighten: Vec<Ask>,
    pub only: Only,
    /// One for each member of the group.
    pub each: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub qty: usize,
    pub fitted: bool,
    pub single: bool,
    pub replaces: Option<usize>,
    pub renew: bool,
    pub spares: usize,
    pub marked: bool,
    pub finish: Option<bool>,
    pub ties: Ties,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    pub qty: usize,
    pub keeps: Vec<(usize, Vec<usize>)>,
    pub perilous: bool,
    pub ties: Ties,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Torque {
    pub part: Option<usize>,
    pub lubricant: Option<usize>,
    pub single: bool,
    pub ties: Ties,
}

/// Values are `x`, `y`, `z`.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    pub start: Option<usize>,
    pub finish: Option<usize>,
    pub perilous: Vec<usize>,
    pub each: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// It has a lower bound as well as an upper one.
    pub low: bool,
    pub ties: Ties,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    pub sets: Option<(usize, usize)>,
    pub ties: Ties,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    pub takes: Vec<Thing>,
    /// A torque or a part.
    pub closed_by: Thing,
    pub ties: Ties,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Consumable {
    /// Minutes.
    pub open: Option<u64>,
    pub cure: Option<u64>,
}

/// An option: how many values (`a`, `b`, `c`), which is the default, and for which choices it is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    pub values: usize,
    pub default: usize,
    pub only: Only,
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct Set {
    pub options: Vec<Choice>,
    pub never: Vec<Vec<(usize, usize)>>,
    pub parts: Vec<Part>,
    pub items: Vec<Item>,
    pub torques: Vec<Torque>,
    pub states: Vec<State>,
    pub limits: Vec<Limit>,
    pub actions: Vec<Action>,
    /// What each hold point needs.
    pub holds: Vec<Ties>,
    pub joints: Vec<Joint>,
    pub consumables: Vec<Consumable>,
    pub cases: usize,
    /// Members of the group, if there is one.
    pub members: usize,
    pub cards: Vec<Card>,
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct Card {
    pub steps: Vec<Step>,
    /// Cards that come before.
    pub after: Vec<usize>,
    pub only: Only,
    /// Its file lies beside the set and is named in `procedures`.
    pub shared: bool,
}

/// What an act is done to; of a group, one member or all that are meant where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At {
    pub thing: Thing,
    pub member: Option<usize>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    Need(Ask),
    Wait(usize),
    Fit(At, Option<usize>),
    Remove(At, Option<usize>),
    Loosen(At),
    Snug(At),
    Tighten(At),
    Set(At, usize),
    Do(usize),
    /// True: as found.
    Measure(At, bool),
    /// A temporary item.
    UseItem(At),
    /// A consumable, on a joint or a torque.
    UseOn(usize, At),
    Mark(At),
    Hold(usize),
}

/// What an IF asks.
#[derive(Debug, Clone, PartialEq)]
pub enum If {
    /// A limit and a word: `out`, `in`, `low`, `high`.
    Limit(usize, &'static str),
    Case(usize, bool),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Each {
    #[default]
    No,
    Side,
    Turn,
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct Step {
    pub acts: Vec<Act>,
    pub only: Only,
    pub minutes: Option<u64>,
    pub ask: Option<If>,
    /// Back to this step of the card.
    pub back: Option<usize>,
    pub stop: bool,
    /// In any order with the bullets beside it.
    pub bullet: bool,
    pub each: Each,
    /// A phase begins here.
    pub phase: bool,
}

impl Set {
    pub fn ties(&self, thing: Thing) -> Option<&Ties> {
        match thing {
            Thing::Part(n) => self.parts.get(n).map(|it| &it.ties),
            Thing::Item(n) => self.items.get(n).map(|it| &it.ties),
            Thing::Torque(n) => self.torques.get(n).map(|it| &it.ties),
            Thing::Limit(n) => self.limits.get(n).map(|it| &it.ties),
            Thing::Action(n) => self.actions.get(n).map(|it| &it.ties),
            Thing::Hold(n) => self.holds.get(n),
            Thing::Joint(n) => self.joints.get(n).map(|it| &it.ties),
            Thing::State(_) | Thing::Consumable(_) => None,
        }
    }

    /// True if there is one for each member.
    pub fn is_each(&self, thing: Thing) -> bool {
        match thing {
            Thing::State(n) => self.states[n].each,
            _ => self.ties(thing).is_some_and(|ties| ties.each),
        }
    }

    /// The part that all of a place's parts take the place of.
    pub fn root(&self, part: usize) -> usize {
        self.parts[part].replaces.map_or(part, |old| self.root(old))
    }

    /// Every entry with ties.
    pub fn tied(&self) -> Vec<Thing> {
        let mut all: Vec<Thing> = (0..self.parts.len()).map(Thing::Part).collect();
        all.extend((0..self.items.len()).map(Thing::Item));
        all.extend((0..self.torques.len()).map(Thing::Torque));
        all.extend((0..self.limits.len()).map(Thing::Limit));
        all.extend((0..self.actions.len()).map(Thing::Action));
        all.extend((0..self.holds.len()).map(Thing::Hold));
        all.extend((0..self.joints.len()).map(Thing::Joint));
        all
    }

    pub fn ties_mut(&mut self, thing: Thing) -> Option<&mut Ties> {
        match thing {
            Thing::Part(n) => self.parts.get_mut(n).map(|it| &mut it.ties),
            Thing::Item(n) => self.items.get_mut(n).map(|it| &mut it.ties),
            Thing::Torque(n) => self.torques.get_mut(n).map(|it| &mut it.ties),
            Thing::Limit(n) => self.limits.get_mut(n).map(|it| &mut it.ties),
            Thing::Action(n) => self.actions.get_mut(n).map(|it| &mut it.ties),
            Thing::Hold(n) => self.holds.get_mut(n),
            Thing::Joint(n) => self.joints.get_mut(n).map(|it| &mut it.ties),
            Thing::State(_) | Thing::Consumable(_) => None,
        }
    }
}
