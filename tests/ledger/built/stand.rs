//! How the things of a machine stand, and what is wrong with them: the data that `world` plays with.

use super::set::Thing;
use std::collections::{BTreeMap, BTreeSet};

/// A thing and the number of its member; 0 for what has no members.
pub type One = (Thing, usize);

/// What asks if it is no entry.
pub const A_MARK: One = (Thing::Consumable(usize::MAX), 0);

/// Where something stands: a mark, a step, or an entry of the set.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    Mark { card: usize, step: usize, text: String },
    Step { card: usize, step: usize },
    Entry(String),
}

/// What tells faults apart: code, which of its kinds, what it names, and where; none where the end of the set or of a card shows it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    pub code: u32,
    pub kind: &'static str,
    pub what: Vec<String>,
    pub at: Option<Place>,
    /// Of what an end shows, the member.
    pub member: usize,
}

/// Faults of one run, with the places that each is told at.
pub type Faults = BTreeMap<Fault, BTreeSet<Place>>;

#[derive(Debug, Clone, Default)]
pub struct Piece {
    pub on: bool,
    /// Came off after it was on.
    pub been: bool,
    /// Sat under fasteners that were loosened: of a single-use fastener.
    pub worn: bool,
    pub spent: bool,
    pub marked: bool,
    /// The last fit, or what spent it.
    pub since: Option<Place>,
}

#[derive(Debug, Clone)]
pub struct Pieces {
    pub all: Vec<Piece>,
    /// New ones of a renewed part that are left.
    pub left: usize,
    /// The last removal and the last fit, and when they were.
    pub removed: Option<(usize, Place)>,
    pub fitted: Option<(usize, Place)>,
    /// When a piece last went on or came off.
    pub touched: usize,
}

impl Pieces {
    pub fn on(&self) -> usize {
        self.all.iter().filter(|piece| piece.on).count()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grip {
    Tight,
    Loose,
    Out,
}

#[derive(Debug, Clone)]
pub struct Fastener {
    pub grip: Grip,
    pub by_hand: bool,
    /// Loosened since it was last tightened; of single use.
    pub worn: bool,
    /// Its lubricant is on.
    pub wet: bool,
    pub since: Place,
    pub touched: usize,
}

/// Something put into a joint.
#[derive(Debug, Clone)]
pub struct Bead {
    pub consumable: usize,
    pub minutes: u64,
    /// By joint that was closed meanwhile on something that cures: the minutes so far.
    pub cures: BTreeMap<One, u64>,
    /// The joint was not closed since.
    pub open: bool,
    pub cured: bool,
}

#[derive(Debug, Clone)]
pub struct Faces {
    pub closed: bool,
    /// Filled by something that nobody names, as it was at the start.
    pub foreign: bool,
    pub beads: Vec<Bead>,
    /// The last closing.
    pub since: Place,
    pub touched: usize,
}

/// The act at which something is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// A part goes on.
    Fit,
    /// A part comes off, fasteners are loosened.
    Remove,
    Tighten,
    Other,
}
