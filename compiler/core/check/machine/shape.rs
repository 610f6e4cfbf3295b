//! What the registers say of the machine, member by member: which part sits in whose place, what holds, covers and contains what.

use crate::model::registers::{Group, Part, Register, Reuse};
use crate::model::ties::{Need, Target, Ties, Wanted};
use crate::model::{Entity, Handle, Set};
use std::collections::{BTreeMap, BTreeSet};

/// An entry, or one member of what there is one of for each member of a group (0 for all others).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node {
    pub entity: Entity,
    pub member: usize,
}

impl Node {
    pub fn new(entity: Entity, member: usize) -> Node {
        Node { entity, member }
    }

    pub fn is(self, register: Register) -> bool {
        self.entity.register == register
    }
}

/// The member that a step is done for.
pub type Turn = Option<(Handle<Group>, usize)>;

/// What sits in one place, in turn: a part and all that replace it.
#[derive(Debug)]
pub struct Place {
    /// The part that is replaced first, then the others.
    pub parts: Vec<Node>,
    /// How many pieces fill it, where piece takes the place of piece; `None` where the whole takes that of the whole.
    pub pieces: Option<u32>,
}

/// A condition, member by member.
#[derive(Debug, Clone)]
pub enum Asked {
    Met(Vec<Node>),
    Off(Vec<Node>),
    Loose(Vec<Node>),
    State(Vec<Node>, Vec<usize>),
}

/// A joint, member by member.
#[derive(Debug, Default)]
pub struct Joint {
    /// Places that fill it.
    pub places: Vec<Node>,
    pub consumables: Vec<Entity>,
    pub closers: Vec<Node>,
}

/// The registers of a set, taken apart.
pub struct Shape<'a> {
    pub set: &'a Set,
    pub places: Vec<Place>,
    place_of: BTreeMap<Node, usize>,
    /// By what lies inside (parts by their place's first), the place it lies in.
    container: BTreeMap<Node, Node>,
    /// By what is covered, what covers it.
    coverers: BTreeMap<Node, Vec<Node>>,
    /// By place, the parts and the torques that hold it.
    clips: BTreeMap<Node, Vec<Node>>,
    fasteners: BTreeMap<Node, Vec<Node>>,
    /// By place, the torques that it is the fasteners of.
    torques_of: BTreeMap<Node, Vec<Node>>,
    /// By part or torque, the places that it holds.
    holds: BTreeMap<Node, Vec<Node>>,
    joints: BTreeMap<Node, Joint>,
    /// By fastener or filling, the joints.
    joints_of: BTreeMap<Node, Vec<Node>>,
    /// By consumable, the joints that take it.
    joints_with: BTreeMap<Entity, Vec<Node>>,
    /// By part, place, torque or joint, the limits and actions that are out of date once it is touched.
    dependents: BTreeMap<Node, Vec<Node>>,
    /// Temporary items that keep a state, by state and by item.
    pub keepers: BTreeMap<Node, Vec<Node>>,
}

impl<'a> Shape<'a> {
    pub fn new(set: &'a Set) -> Shape<'a> {
        let mut shape = Shape {
            set,
            places: Vec::new(),
            place_of: BTreeMap::new(),
            container: BTreeMap::new(),
            coverers: BTreeMap::new(),
            clips: BTreeMap::new(),
            fasteners: BTreeMap::new(),
            torques_of: BTreeMap::new(),
            holds: BTreeMap::new(),
            joints: BTreeMap::new(),
            joints_of: BTreeMap::new(),
            joints_with: BTreeMap::new(),
            dependents: BTreeMap::new(),
            keepers: BTreeMap::new(),
        };
        shape.fill_places();
        shape.relate();
        shape.join();
        shape.depend();
        shape
    }

    /// How many there are of an entry: one for each member of its group.
    pub fn size(&self, entity: Entity) -> usize {
        match self.set.links.ties(entity).each {
            Some(group) => self.set.catalogue.groups[group].members.len().max(1),
            None => 1,
        }
    }

    /// The id of an entry, with its member where there are several.
    pub fn called(&self, node: Node) -> String {
        let catalogue = &self.set.catalogue;
        let id = catalogue.id(node.entity).map_or("", |id| id.text.as_str());
        let group = self.ties(node.entity).each;
        match group.and_then(|group| catalogue.groups[group].members.get(node.member)) {
            Some(member) => format!("{id}/{}", member.text),
            None => id.to_string(),
        }
    }

    pub fn ties(&self, entity: Entity) -> &'a Ties {
        self.set.links.ties(entity)
    }

    /// A part and those whose place it takes, nearest first: what it says of others it says with them.
    fn line(&self, part: Entity) -> Vec<Entity> {
        let mut line = vec![part];
        let mut at: Option<Handle<Part>> = crate::model::handle(part);
        while let Some(old) = at.and_then(|part| self.set.links.replaces.get(&part)) {
            if line.contains(&old.entity()) {
                break;
            }
            line.push(old.entity());
            at = Some(*old);
        }
        line
    }

    /// What an entry says of others, with what it takes over from those it replaces.
    pub fn told<'s, T: 's>(&'s self, entity: Entity, field: impl Fn(&'a Ties) -> &'a [T] + 's) -> Vec<&'a T> {
        let line = if entity.register == Register::Parts {
            self.line(entity)
        } else {
            vec![entity]
        };
        line.into_iter().flat_map(|entity| field(self.ties(entity))).collect()
    }

    /// The members that a target means, seen from one member.
    pub fn members(&self, things: &[Entity], member: Option<usize>, turn: Turn) -> Vec<Node> {
        let mut nodes = Vec::new();
        for thing in things {
            let group = self.ties(*thing).each;
            match (member, group, turn) {
                (Some(member), Some(_), _) => nodes.push(Node::new(*thing, member)),
                (None, Some(group), Some((own, member))) if group == own => nodes.push(Node::new(*thing, member)),
                _ => nodes.extend((0..self.size(*thing)).map(|member| Node::new(*thing, member))),
            }
        }
        nodes
    }

    /// The turn of a node, for what it says of others.
    pub fn turn(&self, node: Node) -> Turn {
        self.ties(node.entity).each.map(|group| (group, node.member))
    }

    /// A part's place by its first part; anything else is itself.
    pub fn seat(&self, node: Node) -> Node {
        self.place(node)
            .and_then(|place| place.parts.first())
            .copied()
            .unwrap_or(node)
    }

    /// The place of a part.
    pub fn place(&self, node: Node) -> Option<&Place> {
        self.place_of.get(&node).and_then(|place| self.places.get(*place))
    }

    fn targets(&self, node: Node, targets: Vec<&Target>) -> Vec<Node> {
        let turn = self.turn(node);
        let nodes = targets
            .into_iter()
            .flat_map(|t| self.members(&t.things, t.member, turn));
        let seats: BTreeSet<Node> = nodes.map(|node| self.seat(node)).collect();
        seats.into_iter().collect()
    }

    fn nodes(&self, entities: impl Iterator<Item = Entity>) -> Vec<Node> {
        entities
            .flat_map(|entity| (0..self.size(entity)).map(move |member| Node::new(entity, member)))
            .collect()
    }

    pub fn parts(&self) -> Vec<Node> {
        self.nodes(self.set.catalogue.parts.iter().map(|(h, _)| h.entity()))
    }

    pub fn temporary(&self) -> Vec<Node> {
        self.nodes(self.set.catalogue.temporary.iter().map(|(h, _)| h.entity()))
    }

    pub fn torques(&self) -> Vec<Node> {
        self.nodes(self.set.catalogue.torques.iter().map(|(h, _)| h.entity()))
    }

    pub fn states(&self) -> Vec<Node> {
        self.nodes(self.set.catalogue.states.iter().map(|(h, _)| h.entity()))
    }

    pub fn joints(&self) -> Vec<Node> {
        self.nodes(self.set.catalogue.joints.iter().map(|(h, _)| h.entity()))
    }

    fn fill_places(&mut self) {
        let nodes = self.parts();
        let mut leader: BTreeMap<Node, Node> = nodes.iter().map(|node| (*node, *node)).collect();
        for node in &nodes {
            let line = self.line(node.entity);
            let Some(root) = line.last().filter(|root| **root != node.entity) else {
                continue;
            };
            // Member takes the place of member; else all stand in one place.
            let same = self.ties(*root).each == self.ties(node.entity).each;
            let heads = if same {
                vec![Node::new(*root, node.member)]
            } else {
                self.nodes(std::iter::once(*root))
            };
            let head = heads.first().copied().unwrap_or(*node);
            let head = leader.get(&head).copied().unwrap_or(head);
            for other in heads.into_iter().chain([*node]) {
                leader.insert(other, head);
            }
        }
        let mut by_leader: BTreeMap<Node, Vec<Node>> = BTreeMap::new();
        for node in nodes {
            let head = leader.get(&node).copied().unwrap_or(node);
            let parts = by_leader.entry(head).or_default();
            parts.insert(if head == node { 0 } else { parts.len() }, node);
        }
        for (head, parts) in by_leader {
            let qty = |node: &Node| self.part(*node).map_or(1, |part| part.qty);
            let pieces = parts.iter().all(|part| qty(part) > 1) || parts.len() == 1;
            let place = Place {
                pieces: pieces.then(|| qty(&head)),
                parts,
            };
            for part in &place.parts {
                self.place_of.insert(*part, self.places.len());
            }
            self.places.push(place);
        }
    }

    /// The register's entry of a part.
    pub fn part(&self, node: Node) -> Option<&'a Part> {
        let handle: Handle<Part> = crate::model::handle(node.entity)?;
        Some(&self.set.catalogue.parts[handle])
    }

    /// True if a piece of it that has come off, or been loosened, is spent.
    pub fn is_single(&self, node: Node) -> bool {
        self.part(node)
            .is_some_and(|part| part.renew || part.reuse == Reuse::No)
    }

    fn relate(&mut self) {
        let mut covers: Vec<(Node, Vec<Node>)> = Vec::new();
        let mut holds: Vec<(Node, Vec<Node>)> = Vec::new();
        for node in self.parts().into_iter().chain(self.temporary()).chain(self.torques()) {
            covers.push((node, self.targets(node, self.told(node.entity, |t| &t.covers))));
            holds.push((node, self.targets(node, self.told(node.entity, |t| &t.secures))));
            for inside in self.targets(node, self.told(node.entity, |t| &t.contains)) {
                let seat = self.seat(node);
                self.container.entry(inside).or_insert(seat);
            }
        }
        for (node, covered) in covers {
            for target in covered {
                self.coverers.entry(target).or_default().push(node);
            }
        }
        for (node, held) in holds {
            for place in &held {
                let by = if node.is(Register::Torques) {
                    &mut self.fasteners
                } else {
                    &mut self.clips
                };
                by.entry(*place).or_default().push(node);
            }
            self.holds.insert(node, held);
        }
        for node in self.torques() {
            if let Some(seat) = self.fastener_part(node) {
                self.torques_of.entry(seat).or_default().push(node);
            }
        }
        for node in self.temporary() {
            for (state, _) in &self.ties(node.entity).keeps {
                for state in self.members(&[state.entity()], None, self.turn(node)) {
                    self.keepers.entry(state).or_default().push(node);
                    self.keepers.entry(node).or_default().push(node);
                }
            }
        }
        for keepers in self.keepers.values_mut() {
            keepers.dedup();
        }
    }

    /// The place of the part that a torque's fasteners are.
    pub fn fastener_part(&self, torque: Node) -> Option<Node> {
        let part = self.ties(torque.entity).part?.entity();
        let node = self.members(&[part], None, self.turn(torque)).first().copied()?;
        Some(self.seat(node))
    }

    fn join(&mut self) {
        for node in self.joints() {
            let (ties, turn) = (self.ties(node.entity), self.turn(node));
            let mut joint = Joint::default();
            for target in &ties.takes {
                for inside in self.members(&target.things, target.member, turn) {
                    if inside.is(Register::Consumables) {
                        joint.consumables.push(inside.entity);
                    } else {
                        joint.places.push(self.seat(inside));
                    }
                }
            }
            for target in &ties.closed_by {
                let closers = self.members(&target.things, target.member, turn);
                joint.closers.extend(closers.into_iter().map(|node| self.seat(node)));
            }
            for other in joint.places.iter().chain(&joint.closers) {
                let joints = self.joints_of.entry(*other).or_default();
                if !joints.contains(&node) {
                    joints.push(node);
                }
            }
            for consumable in &joint.consumables {
                let joints = self.joints_with.entry(*consumable).or_default();
                if joints.last() != Some(&node) {
                    joints.push(node);
                }
            }
            self.joints.insert(node, joint);
        }
    }

    pub fn joint(&self, node: Node) -> Option<&Joint> {
        self.joints.get(&node)
    }

    /// The joints that a torque or part closes, or that a part fills.
    pub fn joints_of(&self, seat: Node) -> &[Node] {
        self.joints_of.get(&seat).map_or(&[], Vec::as_slice)
    }

    /// The joints that take a consumable.
    pub fn joints_with(&self, consumable: Entity) -> &[Node] {
        self.joints_with.get(&consumable).map_or(&[], Vec::as_slice)
    }

    pub fn coverers(&self, seat: Node) -> &[Node] {
        self.coverers.get(&seat).map_or(&[], Vec::as_slice)
    }

    pub fn clips(&self, seat: Node) -> &[Node] {
        self.clips.get(&seat).map_or(&[], Vec::as_slice)
    }

    pub fn fasteners(&self, seat: Node) -> &[Node] {
        self.fasteners.get(&seat).map_or(&[], Vec::as_slice)
    }

    pub fn torques_of(&self, seat: Node) -> &[Node] {
        self.torques_of.get(&seat).map_or(&[], Vec::as_slice)
    }

    pub fn holds(&self, node: Node) -> &[Node] {
        self.holds.get(&node).map_or(&[], Vec::as_slice)
    }

    pub fn dependents(&self, seat: Node) -> &[Node] {
        self.dependents.get(&seat).map_or(&[], Vec::as_slice)
    }

    pub fn container(&self, seat: Node) -> Option<Node> {
        self.container.get(&seat).copied()
    }

    /// The places that something lies in, innermost first.
    pub fn chain(&self, seat: Node) -> Vec<Node> {
        let mut chain = Vec::new();
        let mut at = seat;
        while let Some(outer) = self.container(at).filter(|outer| !chain.contains(outer)) {
            chain.push(outer);
            at = outer;
        }
        chain
    }

    /// The places between something and the innermost that both lie in, or that the other is.
    pub fn up_to(&self, seat: Node, other: Option<Node>) -> Vec<Node> {
        let mut outer: Vec<Node> = Vec::new();
        if let Some(other) = other {
            outer.push(other);
            outer.extend(self.chain(other));
        }
        self.chain(seat)
            .into_iter()
            .take_while(|place| !outer.contains(place))
            .collect()
    }

    /// A condition, seen from a member.
    pub fn asked(&self, need: &Need, turn: Turn) -> Asked {
        let members = |things: &[Entity]| self.members(things, need.member, turn);
        match &need.what {
            Wanted::Met(things) => Asked::Met(members(things)),
            Wanted::Off(things) => Asked::Off(members(things)),
            Wanted::Loose(torque) => Asked::Loose(members(&[*torque])),
            Wanted::State(state, values) => Asked::State(members(&[state.entity()]), values.clone()),
        }
    }

    /// Works out what each limit and action stands on: what it needs, and what that needs.
    fn depend(&mut self) {
        let catalogue = &self.set.catalogue;
        let limits = catalogue.limits.iter().map(|(h, _)| h.entity());
        let actions = catalogue.actions.iter().map(|(h, _)| h.entity());
        let mut dependents: BTreeMap<Node, Vec<Node>> = BTreeMap::new();
        for node in self.nodes(limits.chain(actions)) {
            let mut seen: BTreeSet<Node> = BTreeSet::new();
            self.stands_on(node, node, &mut seen);
            for other in seen.into_iter().filter(|other| *other != node) {
                dependents.entry(other).or_default().push(node);
            }
        }
        self.dependents = dependents;
    }

    fn stands_on(&self, node: Node, whose: Node, seen: &mut BTreeSet<Node>) {
        for need in &self.ties(node.entity).needs {
            let Asked::Met(things) = self.asked(need, self.turn(node)) else {
                continue;
            };
            for thing in things {
                let seat = self.seat(thing);
                match seat.entity.register {
                    Register::Limits | Register::Actions => {
                        if seen.insert(seat) {
                            self.stands_on(seat, whose, seen);
                        }
                    }
                    Register::Parts => {
                        seen.insert(seat);
                        seen.extend(self.up_to(seat, Some(whose)));
                    }
                    Register::Torques => {
                        seen.insert(seat);
                    }
                    Register::Joints => {
                        seen.insert(seat);
                        let joint = self.joint(seat);
                        for other in joint.iter().flat_map(|j| j.places.iter().chain(&j.closers)) {
                            seen.insert(*other);
                        }
                    }
                    Register::Temporary
                    | Register::Consumables
                    | Register::Tools
                    | Register::States
                    | Register::Timers
                    | Register::Holds
                    | Register::Options
                    | Register::Patterns
                    | Register::Cases
                    | Register::Groups
                    | Register::Pictures => {}
                }
            }
        }
    }
}
