//! The leaves of parts of states: each part is compiled once for all states that have it as it is, several of them side by side.

use super::Trouble;
use super::known::{Among, Known};
use super::output::manifest::digest;
use super::queue;
use super::snapshot::Snapshot;
use crate::groups::Groups;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::sync::Arc;

/// The leaves of one part of a state.
pub type Leaves = Arc<Vec<Known>>;

/// Leaves by what they were read from.
#[derive(Default)]
pub struct Parts {
    known: BTreeMap<String, Leaves>,
}

/// A part of a state, by what it is read from.
struct Part {
    key: String,
    state: usize,
    number: usize,
}

impl Parts {
    /// The leaves of some states, part by part.
    ///
    /// # Errors
    /// If there is no thread to be had, or a state stops the compiler.
    pub fn of(&mut self, states: &[Snapshot], among: &Among) -> Result<Vec<Vec<Leaves>>, Trouble> {
        let groups: Vec<Groups> = states.iter().map(|state| Groups::new(&state.files)).collect();
        let mut parts: Vec<Part> = Vec::new();
        for (state, (snapshot, groups)) in states.iter().zip(&groups).enumerate() {
            let pictures = pictures(snapshot);
            let numbers = (0..groups.count()).filter(|number| among.concerns(groups, *number));
            parts.extend(numbers.map(|number| Part {
                key: key(snapshot, groups, number, &pictures),
                state,
                number,
            }));
        }
        let mut asked: BTreeSet<&str> = BTreeSet::new();
        let unknown = parts.iter().filter(|part| !self.known.contains_key(&part.key));
        let open: Vec<&Part> = unknown.filter(|part| asked.insert(part.key.as_str())).collect();
        let work = |part: &&Part| {
            let groups = groups.get(part.state);
            groups.map_or_else(Vec::new, |groups| {
                among.of(&groups.files(part.number), &groups.compile(part.number))
            })
        };
        let mut stopped = None;
        let mut found: Vec<(&str, Leaves)> = Vec::new();
        queue::run(queue::cores(), &open, work, |index, leaves| {
            match (open.get(index), leaves) {
                (Some(part), Ok(leaves)) => found.push((&part.key, Arc::new(leaves))),
                (_, Err(words)) => stopped = Some(words),
                (None, Ok(_)) => {}
            }
            ControlFlow::Continue(())
        })?;
        if let Some(words) = stopped {
            return Err(Trouble::new(format!("a state of history can't be worked out: {words}")));
        }
        self.known
            .extend(found.into_iter().map(|(key, leaves)| (key.to_string(), leaves)));
        let mut by_state: Vec<Vec<Leaves>> = states.iter().map(|_| Vec::new()).collect();
        for part in &parts {
            let own = by_state.get_mut(part.state).into_iter();
            own.zip(self.known.get(&part.key))
                .for_each(|(own, leaves)| own.push(Arc::clone(leaves)));
        }
        Ok(by_state)
    }
}

/// Every picture of a state: any part may show any of them.
fn pictures(state: &Snapshot) -> Vec<String> {
    state.files.assets().keys().map(|path| line(state, path)).collect()
}

/// What the leaves of a part come from: its texts, what its sets are called, and the pictures.
fn key(state: &Snapshot, groups: &Groups, number: usize, pictures: &[String]) -> String {
    let own = groups.files(number);
    let texts = own.ids().map(|file| line(state, &own.get(file).path));
    let names = groups.ids(number).map(|name| format!("{name:?}"));
    let lines: Vec<String> = pictures.iter().cloned().chain(names).chain(texts).collect();
    digest(lines.join("\n").as_bytes())
}

fn line(state: &Snapshot, path: &str) -> String {
    let id = state.ids.get(path).map(ToString::to_string).unwrap_or_default();
    format!("{id} {path:?}")
}
