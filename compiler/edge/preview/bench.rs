//! Where pages are laid out: a thread of its own, one document at a time. The typesetter has no limit of time, and a thread can't be ended from
//! outside; one that takes too long is left to itself, and another takes its place.

use super::good::{Good, PAPERS, Pictures, Spot, choices, line_of};
use super::query::View;
use super::state::{Known, State};
use crate::cards::{Deck, source};
use crate::edge::jobs::assets;
use crate::edge::maker::trouble;
use crate::edge::queue;
use crate::model::{ProcedureId, Set};
use benchleaf_press::{self as typeset, Leaf, Settings, Typesetter};
use rayon::ThreadPool;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Duration;

/// The longest that a page is waited for.
const LONGEST: Duration = Duration::from_secs(20);

/// Threads that may be left to themselves; each takes a processor for as long as the program runs.
const LEFT: usize = 2;

/// What compilations leave in the typesetter's memory is dropped when three later ones made no use of it; each counts twice, once when it begins and
/// once when it is done.
const UNUSED: usize = 6;

/// What is to be laid out.
pub struct Job {
    pub state: Arc<State>,
    pub view: View,
    /// That the state is of.
    pub version: u64,
}

/// `None` for what can't be printed or is no document; or the words of what is wrong.
type Laid = Result<Option<Good>, String>;

/// One thread, as it is spoken to.
struct Hand {
    jobs: Sender<Job>,
    laid: Receiver<Laid>,
}

pub struct Bench {
    typesetter: Arc<Typesetter>,
    hand: Hand,
    left: usize,
    longest: Duration,
}

impl Bench {
    /// # Errors
    /// If there is no thread to be had.
    pub fn new(typesetter: Typesetter) -> Result<Bench, String> {
        let typesetter = Arc::new(typesetter);
        Ok(Bench {
            hand: hand(&typesetter)?,
            typesetter,
            left: 0,
            longest: LONGEST,
        })
    }

    /// Lays a document out, unless it takes too long.
    ///
    /// # Errors
    /// The words of what is wrong.
    pub fn lay_out(&mut self, job: Job) -> Laid {
        let looping = "look for a template that loops, or a picture with too much in it";
        if self.left > LEFT {
            return Err(format!(
                "pages took too long {} times, and nothing more is laid out: {looping}, and start the preview again",
                self.left
            ));
        }
        let ended = |_| "the thread that lays out has ended".to_string();
        self.hand.jobs.send(job).map_err(|e| ended(e.to_string()))?;
        match self.hand.laid.recv_timeout(self.longest) {
            Ok(laid) => laid,
            Err(_) => {
                self.left += 1;
                self.hand = hand(&self.typesetter)?;
                let seconds = self.longest.as_secs();
                Err(format!("not laid out after {seconds} s: {looping}"))
            }
        }
    }
}

/// Starts a thread that does one job after the other, until nobody has any more.
fn hand(typesetter: &Arc<Typesetter>) -> Result<Hand, String> {
    let (jobs, work) = channel::<Job>();
    let (say, laid) = channel::<Laid>();
    let (typesetter, pool) = (Arc::clone(typesetter), queue::bench_of(queue::cores())?);
    let started = thread::Builder::new().name("pages".to_string()).spawn(move || {
        while let Ok(job) = work.recv() {
            if say.send(done(&typesetter, &pool, &job)).is_err() {
                break;
            }
            // While whoever asked looks at the page.
            typeset::forget_unused(UNUSED);
        }
    });
    started.map_err(|error| error.to_string())?;
    Ok(Hand { jobs, laid })
}

fn done(typesetter: &Typesetter, pool: &ThreadPool, job: &Job) -> Laid {
    let Job { state, view, .. } = job;
    let known = state.set(&view.set);
    // Where there is no procedure there is no leaf about them all either, as in a build.
    let printed = |known: &Known| !known.blocked && known.set.procedures.ids().next().is_some();
    let Some(Known { set, facts, .. }) = known.filter(printed) else {
        return Ok(None);
    };
    let choices = choices(set, view);
    let deck = Deck::new(&state.files, set, facts, &choices);
    let laid = || match view.document.as_str() {
        "set-sheet" => lay(typesetter, job, set, deck.set_sheet(), None).map(Some),
        "close-out" => lay(typesetter, job, set, deck.close_out(), None).map(Some),
        "pocket" => {
            let all: Vec<ProcedureId> = set.procedures.ids().collect();
            lay(typesetter, job, set, deck.pocket(&all), None).map(Some)
        }
        "record" => {
            let all: Vec<ProcedureId> = set.procedures.ids().collect();
            lay(typesetter, job, set, deck.record_form(&all), None).map(Some)
        }
        card => match card.strip_prefix("card/").and_then(|id| set.procedures.find(id)) {
            Some(id) => lay(typesetter, job, set, deck.card(id), Some(id)).map(Some),
            None => Ok(None),
        },
    };
    let laid = pool.install(|| catch_unwind(AssertUnwindSafe(laid)));
    laid.unwrap_or_else(|panic| Err(queue::words(panic)))
}

fn lay<L: Leaf>(
    typesetter: &Typesetter,
    job: &Job,
    set: &Set,
    mut leaf: L,
    procedure: Option<ProcedureId>,
) -> Result<Good, String> {
    let Job { state, view, .. } = job;
    if PAPERS.contains(&view.paper.as_str()) {
        leaf.identity_mut().paper.clone_from(&view.paper);
    }
    let written_in: Vec<_> = state.files.ids().collect();
    let mut findings = typeset::unprintable(&state.files, &written_in, &leaf);
    let settings = Settings {
        colour: !view.mono,
        ..Settings::default()
    };
    let assets = assets(&state.files, set, &leaf.figures());
    let document = typesetter.typeset(&leaf, &assets, &settings);
    let document = document.map_err(|faults| trouble(&faults).0)?;
    let place = |subject: &typeset::Subject| source::place(set, procedure, subject.span);
    let told = document.breaches.iter();
    findings.extend(told.map(|breach| typeset::finding(breach, leaf.identity(), place(&breach.subject))));
    let spots = typeset::spots(&document, &leaf).into_iter().map(|spot| {
        let (file, line) = line_of(&state.files, place(&spot.subject));
        Spot {
            leaf: spot.leaf,
            area: spot.area,
            file,
            line,
        }
    });
    Ok(Good {
        version: job.version,
        spots: spots.collect(),
        document,
        findings,
        state: Arc::clone(state),
        pictures: Pictures::default(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileSet;
    use std::collections::BTreeMap;

    fn job(paper: &str) -> Job {
        let files = FileSet::from_texts([
            ("pump/set.yaml", "machine: Invented pump\ntitle: Pump\n"),
            ("pump/10-open.md", "---\ntitle: Open\n---\n\n1. Take off the cover.\n"),
        ]);
        let view = View {
            set: "pump".to_string(),
            document: "card/open".to_string(),
            paper: paper.to_string(),
            ..View::default()
        };
        Job {
            state: Arc::new(State::new(files, None)),
            view,
            version: 1,
        }
    }

    /// A template that loops on one paper: told, the others go on, and no more threads are lost than may be.
    #[test]
    fn what_takes_too_long_is_left() {
        let card = include_str!("../../../templates/card.typ.j2");
        // It ends after a while: the threads that are left do as well.
        let looping = "#for a in range(6000) { for b in range(6000) { let c = a } }";
        let template = format!("{{% if card.identity.paper == 'a5' %}}{looping}{{% endif %}}\n{card}");
        let user = BTreeMap::from([("card.typ.j2".to_string(), template.into_bytes())]);
        let mut bench = Bench::new(Typesetter::new(&user).ok().unwrap()).unwrap();
        bench.longest = Duration::from_secs(60);
        assert!(matches!(bench.lay_out(job("a4")), Ok(Some(_))));
        bench.longest = Duration::from_millis(500);
        for _ in 0..=LEFT {
            let told = bench.lay_out(job("a5")).err().unwrap();
            assert!(told.contains("not laid out after"), "{told}");
        }
        let told = bench.lay_out(job("a4")).err().unwrap();
        assert!(told.contains("start the preview again"), "{told}");
    }
}
