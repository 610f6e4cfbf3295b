//! Facts about calculations: what each is, which readings it takes, and everything wrong with them. Rules choose the words and
//! the readers of filled-in sheets work them out.

use crate::check::walk::{Flow, What};
use crate::domain::calc::{CalcError, CalcErrorKind, Grid, Node, Shape, parse, shape_of, share};
use crate::model::Name;
use crate::model::registers::{Measurement, Register};
use crate::model::{Handle, Set};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// Facts of one set.
#[derive(Debug, Default)]
pub struct CalcFacts {
    /// Every calculation that can be worked out.
    pub calcs: BTreeMap<Handle<Measurement>, Calc>,
    /// Measurements that wait for each other, each for the next and the last for the first.
    pub circles: Vec<Vec<Handle<Measurement>>>,
    /// Calculations worked out before their readings are taken.
    pub late: Vec<Late>,
    faults: Vec<CalcFault>,
}

impl CalcFacts {
    /// The faults of one family, in order of the register.
    pub fn of(&self, family: Family) -> impl Iterator<Item = &CalcFault> {
        self.faults.iter().filter(move |f| f.family() == family)
    }
}

/// One calculation.
#[derive(Debug)]
pub struct Calc {
    pub node: Node,
    /// What each name in it means.
    pub readings: BTreeMap<String, Handle<Measurement>>,
}

/// Something wrong with a calculation.
#[derive(Debug)]
pub struct CalcFault {
    pub limit: Handle<Measurement>,
    pub error: CalcError,
}

/// Kinds of faults: one rule each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    Form,
    Name,
    Dimension,
    Readings,
}

impl CalcFault {
    fn family(&self) -> Family {
        match self.error.kind {
            CalcErrorKind::UnknownName(_) => Family::Name,
            CalcErrorKind::Mixed(..)
            | CalcErrorKind::Temperature
            | CalcErrorKind::Degrees(_)
            | CalcErrorKind::Result(..) => Family::Dimension,
            CalcErrorKind::Unpaired(..) | CalcErrorKind::Places(..) | CalcErrorKind::TooFew(..) => Family::Readings,
            CalcErrorKind::NoValue
            | CalcErrorKind::Unexpected(_)
            | CalcErrorKind::Unclosed
            | CalcErrorKind::TooDeep
            | CalcErrorKind::TooLong
            | CalcErrorKind::NotAName(_)
            | CalcErrorKind::UnknownFunction(_)
            | CalcErrorKind::Arguments(..)
            | CalcErrorKind::Value(_)
            | CalcErrorKind::Sizes(_) => Family::Form,
        }
    }

    /// Where it stands; the whole calculation where the place of its part can't be told.
    pub fn place(&self, set: &Set) -> Span {
        let def = set.catalogue.limits.get(self.limit);
        let Some(calc) = &def.value.calc else {
            return def.id.span;
        };
        match self.error.at.is_empty() {
            true => calc.span,
            false => calc.span.slice(self.error.at.clone()),
        }
    }
}

/// A calculation worked out at one place, of a reading taken later or never.
#[derive(Debug)]
pub struct Late {
    pub calc: Handle<Measurement>,
    pub at: Span,
    pub reading: Handle<Measurement>,
    pub taken: Option<Span>,
}

/// Where a measurement is taken.
pub fn grid(measurement: &Measurement) -> Grid {
    let texts = |names: &[Name]| names.iter().map(|n| n.text.clone()).collect();
    Grid {
        rows: texts(&measurement.rows),
        columns: texts(&measurement.columns),
    }
}

/// Works out the facts of every calculation of a set.
pub fn facts(set: &Set, flow: &Flow) -> CalcFacts {
    let mut facts = CalcFacts::default();
    for (limit, def) in set.catalogue.limits.iter() {
        let Some(text) = &def.value.calc else { continue };
        match read(set, limit, &text.text) {
            Ok(Some(calc)) => drop(facts.calcs.insert(limit, calc)),
            Ok(None) => {}
            Err(errors) => facts
                .faults
                .extend(errors.into_iter().map(|error| CalcFault { limit, error })),
        }
    }
    facts.circles = circles(&facts.calcs);
    for handle in facts.circles.iter().flatten() {
        facts.calcs.remove(handle);
    }
    facts.late = late(flow, &facts.calcs);
    facts
}

/// A calculation with its names bound; `None` where a limit it needs has had its own finding.
fn read(set: &Set, limit: Handle<Measurement>, text: &str) -> Result<Option<Calc>, Vec<CalcError>> {
    let def = set.catalogue.limits.get(limit);
    let node = parse(text).map_err(|error| vec![error])?;
    let target = grid(&def.value);
    let mut readings = BTreeMap::new();
    let mut shapes: BTreeMap<String, Shape> = BTreeMap::new();
    let mut errors = Vec::new();
    let mut whole = true;
    for (name, at) in node.names() {
        let entity = set.catalogue.find(def.home, Register::Limits, name);
        let handle: Option<Handle<Measurement>> = entity.and_then(crate::model::catalogue::Kind::handle);
        let Some(handle) = handle else { continue };
        readings.insert(name.to_string(), handle);
        let source = grid(&set.catalogue.limits[handle]);
        let Some(part) = share(&target, &source, 0) else {
            let kind = CalcErrorKind::Places(source.len(), target.len());
            errors.push(CalcError { at, kind });
            continue;
        };
        match &set.catalogue.limits[handle].limit {
            Some(limit) => {
                let shape = Shape::readings(limit.value.dimension(), part.rows, part.columns);
                shapes.insert(name.to_string(), shape);
            }
            None => whole = false,
        }
    }
    let Some(result) = &def.value.limit else {
        return Ok(None);
    };
    if errors.is_empty() && whole {
        let (_, faults) = shape_of(&node, &|name| shapes.get(name).copied(), result.value.dimension());
        errors.extend(faults);
    }
    match (errors.is_empty(), whole) {
        (false, _) => Err(errors),
        (true, false) => Ok(None),
        (true, true) => Ok(Some(Calc { node, readings })),
    }
}

/// Measurements that are worked out from themselves: each circle once, from its first entry on.
fn circles(calcs: &BTreeMap<Handle<Measurement>, Calc>) -> Vec<Vec<Handle<Measurement>>> {
    let mut found: Vec<Vec<Handle<Measurement>>> = Vec::new();
    let mut done: BTreeSet<Handle<Measurement>> = BTreeSet::new();
    for start in calcs.keys() {
        let mut path = Vec::new();
        follow(*start, calcs, &mut path, &mut done, &mut found);
    }
    found
}

fn follow(
    at: Handle<Measurement>,
    calcs: &BTreeMap<Handle<Measurement>, Calc>,
    path: &mut Vec<Handle<Measurement>>,
    done: &mut BTreeSet<Handle<Measurement>>,
    found: &mut Vec<Vec<Handle<Measurement>>>,
) {
    let round: Vec<Handle<Measurement>> = path.iter().copied().skip_while(|h| *h != at).collect();
    if !round.is_empty() {
        found.push(round);
        return;
    }
    // Chains of calculations are short; a file would have to declare thousands of entries to run this deep.
    if done.contains(&at) || path.len() > 200 {
        return;
    }
    path.push(at);
    for next in calcs.get(&at).iter().flat_map(|c| c.readings.values()) {
        follow(*next, calcs, path, done, found);
    }
    path.pop();
    done.insert(at);
}

fn late(flow: &Flow, calcs: &BTreeMap<Handle<Measurement>, Calc>) -> Vec<Late> {
    // By measurement, the first step that takes it (counted through the set) and its mark.
    let mut taken: BTreeMap<Handle<Measurement>, (usize, Span)> = BTreeMap::new();
    for (number, stop) in flow.stops.iter().enumerate() {
        for event in &stop.events {
            if let What::Measure(handle) = event.what {
                taken.entry(handle).or_insert((number, event.at));
            }
        }
    }
    let mut found = Vec::new();
    for (calc, of) in calcs {
        let Some((step, at)) = taken.get(calc) else { continue };
        for reading in of.readings.values().copied().collect::<BTreeSet<_>>() {
            let first = taken.get(&reading);
            if first.is_none_or(|(other, _)| other > step) {
                found.push(Late {
                    calc: *calc,
                    at: *at,
                    reading,
                    taken: first.map(|(_, span)| *span),
                });
            }
        }
    }
    found
}
