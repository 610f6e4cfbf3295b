//! What entries say of each other, bound: how they hold, cover and need one another.

use super::catalogue::{Entity, Handle};
use super::conditions::Condition;
use crate::source::Span;
use crate::syntax::registers::{Case, Group, Measurement, Part, State};
pub use crate::syntax::ties::Answer;

/// An entry, or that of one member of its group.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// All that one id means: a part and a torque may share it.
    pub things: Vec<Entity>,
    /// Position in its group of the member named (`rings/low`).
    pub member: Option<usize>,
    pub span: Span,
}

/// What must be so.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    pub what: Wanted,
    /// Position in its group of the member named.
    pub member: Option<usize>,
    pub span: Span,
}

/// A condition of a [`Need`].
#[derive(Debug, Clone, PartialEq)]
pub enum Wanted {
    /// Parts whole, temporary items on, torques tight, joints closed and sealed, actions done, limits measured.
    Met(Vec<Entity>),
    /// Parts or temporary items of which no piece is on.
    Off(Vec<Entity>),
    /// A torque that is not tight.
    Loose(Entity),
    /// A state and the values it may have.
    State(Handle<State>, Vec<usize>),
}

/// What an entry says of others.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ties {
    pub secures: Vec<Target>,
    pub covers: Vec<Target>,
    pub contains: Vec<Target>,
    pub needs: Vec<Need>,
    pub to_fit: Vec<Need>,
    pub to_remove: Vec<Need>,
    pub to_loosen: Vec<Need>,
    pub to_tighten: Vec<Need>,
    pub only: Vec<Condition>,
    /// The group of which there is one for each member.
    pub each: Option<Handle<Group>>,
    /// Of a torque: the part that its fasteners are.
    pub part: Option<Handle<Part>>,
    /// Of a torque: what goes on it before it is tightened.
    pub lubricant: Option<Entity>,
    /// Of a joint.
    pub takes: Vec<Target>,
    /// Of a joint.
    pub closed_by: Vec<Target>,
    /// Of a temporary item: the states that it holds and the values at which it goes on.
    pub keeps: Vec<(Handle<State>, Vec<usize>)>,
    /// Of a state: the values at which nobody leaves the work.
    pub perilous: Vec<usize>,
}

/// What a step or heading asks.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    pub span: Span,
    pub of: Asked,
    /// True for `[if not …]`.
    pub not: bool,
}

impl Question {
    /// True if the usual answer is no: the reading is in, the case isn't so.
    pub fn is_aside(&self) -> bool {
        match self.of {
            Asked::Limit { answer, .. } => answer != Answer::In,
            Asked::Case(_) => !self.not,
        }
    }
}

/// What a question is about.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    Limit {
        limit: Handle<Measurement>,
        member: Option<usize>,
        answer: Answer,
    },
    Case(Handle<Case>),
}

/// The group whose members a step or heading is done for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PerMember {
    pub span: Span,
    pub group: Handle<Group>,
    pub in_turn: bool,
}

/// Choices that don't go together.
#[derive(Debug, Clone, PartialEq)]
pub struct Never {
    pub span: Span,
    pub pairs: Vec<Condition>,
}
