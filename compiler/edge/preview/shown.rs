//! What the files come to now, and the last good page of what is looked at: pages of a set with errors stay as they were.

use super::bench::{Bench, Job};
use super::good::Good;
use super::query::View;
use super::state::State;
use crate::edge::Trouble;
use crate::source::FileSet;
use benchleaf_press::Typesetter;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

/// Documents that are kept: those that somebody looked at last.
const KEPT: usize = 8;

/// The pages of a view.
pub struct Pages {
    /// The last that could be laid out.
    pub good: Option<Arc<Good>>,
    /// They are of the state as it is now.
    pub fresh: bool,
    /// Why they aren't, if it isn't for the findings.
    pub trouble: Option<String>,
}

#[derive(Default)]
struct Now {
    /// Raised by every change; 0 before the first.
    version: u64,
    state: Option<Arc<State>>,
    trouble: Option<String>,
}

/// What is shown.
pub struct Shown {
    bench: Mutex<Bench>,
    now: Mutex<Now>,
    changed: Condvar,
    /// Pixels an inch that leaves were drawn with last; 0 before the first.
    ppi: AtomicU32,
    /// Documents by view, the last one that was looked at at the end. Whoever holds it lays out: one document at a time.
    kept: Mutex<Vec<(View, Arc<Good>)>>,
}

/// A thread that stopped leaves things as they were before.
fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Shown {
    /// # Errors
    /// If there is no thread to typeset in.
    pub fn new(typesetter: Typesetter) -> Result<Shown, Trouble> {
        Ok(Shown {
            bench: Mutex::new(Bench::new(typesetter).map_err(Trouble::new)?),
            now: Mutex::new(Now::default()),
            changed: Condvar::new(),
            ppi: AtomicU32::new(0),
            kept: Mutex::new(Vec::new()),
        })
    }

    /// What files come to, beside what is shown.
    pub fn compiled(&self, files: FileSet) -> State {
        let before = held(&self.now).state.clone();
        State::new(files, before.as_deref())
    }

    /// Shows a state from now on.
    pub fn take(&self, state: State) {
        let mut now = held(&self.now);
        now.version += 1;
        now.state = Some(Arc::new(state));
        now.trouble = None;
        self.changed.notify_all();
    }

    /// The files can't be read: what was read before stays.
    pub fn fail(&self, words: String) {
        let mut now = held(&self.now);
        if now.trouble.as_ref() != Some(&words) {
            now.version += 1;
            now.trouble = Some(words);
            self.changed.notify_all();
        }
    }

    /// The version, state and trouble, as soon as there is another version than this; after so long as they are.
    pub fn after(&self, since: Option<u64>, patience: Duration) -> (u64, Option<Arc<State>>, Option<String>) {
        let same = |now: &mut Now| Some(now.version) == since || now.version == 0;
        let waited = self.changed.wait_timeout_while(held(&self.now), patience, same);
        let (now, _) = waited.unwrap_or_else(PoisonError::into_inner);
        (now.version, now.state.clone(), now.trouble.clone())
    }

    /// Leaves are looked at with so many pixels an inch.
    pub fn draws_at(&self, ppi: u32) {
        self.ppi.store(ppi, Ordering::Relaxed);
    }

    /// Draws the leaf that was written on, which is asked for as soon as it is known that there is another.
    fn draw_ahead(&self, good: &Arc<Good>) {
        let written = good.state.written.as_ref();
        let place = written.and_then(|(file, line)| good.nearest(file, *line));
        let (ppi, good) = (self.ppi.load(Ordering::Relaxed), Arc::clone(good));
        if let Some((leaf, _)) = place.filter(|_| ppi > 0) {
            thread::spawn(move || good.picture(leaf, ppi).map(drop));
        }
    }

    /// The pages of a view.
    pub fn pages(&self, view: &View) -> Pages {
        let mut kept = held(&self.kept);
        let (version, state) = {
            let now = held(&self.now);
            (now.version, now.state.clone())
        };
        let before = kept.iter().position(|(other, _)| other == view);
        let before = before.map(|at| kept.remove(at).1);
        let (good, fresh, trouble) = match (before, state) {
            (Some(good), _) if good.version == version => (Some(good), true, None),
            (before, None) => (before, false, None),
            (before, Some(state)) => match self.lay_out(&state, view, version) {
                Ok(Some(good)) => {
                    let good = Arc::new(good);
                    self.draw_ahead(&good);
                    (Some(good), true, None)
                }
                Ok(None) => (before, false, None),
                Err(words) => (before, false, Some(words)),
            },
        };
        if let Some(good) = &good {
            kept.push((view.clone(), good.clone()));
        }
        let spare = kept.len().saturating_sub(KEPT);
        kept.drain(..spare);
        Pages { good, fresh, trouble }
    }

    /// Lays a view out; `None` if it can't be printed or is no document.
    fn lay_out(&self, state: &Arc<State>, view: &View, version: u64) -> Result<Option<Good>, String> {
        let job = Job {
            state: Arc::clone(state),
            view: view.clone(),
            version,
        };
        held(&self.bench).lay_out(job)
    }
}
