//! `preview`: the leaves in a browser, beside the text, as they become while it is written. Nothing is written to the disk, and nobody but
//! this machine's browser is answered.

mod answers;
#[cfg(test)]
mod asked_tests;
mod bench;
mod good;
mod guard;
mod query;
mod serve;
mod shown;
mod state;

use super::args::Preview;
use super::disk::{Disk, Stat};
use super::{Outcome, Trouble, escape, files, maker, terminal};
use crate::source::FileSet;
use benchleaf_press::Typesetter;
use shown::Shown;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Sender};
use std::thread;
use std::time::{Duration, Instant};

/// Least time between two looks at the files themselves.
const EVERY: Duration = Duration::from_millis(200);

/// Least time between two looks at when they were written. A look that takes long is taken more seldom.
const GLANCE: Duration = Duration::from_millis(5);

/// A glance takes at most this part of the time.
const GLANCES: u32 = 24;

/// How long files must be as they are to be taken.
const SETTLED: Duration = Duration::from_millis(10);

/// Shows what a path stands for until somebody stops the program.
///
/// # Errors
/// If there is nothing to read at first, no port, or the templates are none.
pub fn run(args: &Preview, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let user = args.templates.as_deref();
    let user = user.map_or_else(|| Ok(BTreeMap::new()), |folder| files::tree(disk, folder))?;
    let typesetter = Typesetter::new(&user).map_err(|faults| maker::trouble(&faults))?;
    let shown = Arc::new(Shown::new(typesetter)?);
    let reading = files::reading(disk, &args.path)?;
    let mut before = Before::of(disk, reading.contents().clone());
    shown.take(shown.compiled(reading.into_input().files));
    let listening = serve::listen(args.port)?;
    if listening.moved {
        terminal::remark(&format!("port {} is taken: another one is used", args.port));
    }
    terminal::say(&listening.place.address());
    terminal::remark(&format!("showing {}; Ctrl-C ends it", escape::path(&args.path)));
    // A terminal takes such a line to the place in the text.
    let go = |file: &str, line: usize| terminal::say(&format!("{file}:{line}"));
    serve::answer(listening, shown.clone(), Box::new(go));
    while terminal::all_said() {
        look(disk, &args.path, &mut before, &shown);
        let looked = Instant::now();
        while looked.elapsed() < EVERY {
            let begun = Instant::now();
            if before.is_written_to(disk) {
                break;
            }
            thread::sleep(GLANCE.max(begun.elapsed() * GLANCES));
        }
    }
    Ok(Outcome::Clean)
}

/// A preview of files that somebody else has: an editor.
pub struct Beside {
    pub address: String,
    files: Sender<FileSet>,
}

impl Beside {
    /// Serves the page from threads of its own. `go` is called with the file and line, from 1, that somebody clicked on.
    ///
    /// # Errors
    /// If there is no port or no thread to be had.
    pub fn start(port: u16, go: serve::Go) -> Result<Beside, Trouble> {
        let typesetter = Typesetter::new(&BTreeMap::new()).map_err(|faults| maker::trouble(&faults))?;
        let shown = Arc::new(Shown::new(typesetter)?);
        let listening = serve::listen(port)?;
        let address = listening.place.address();
        serve::answer(listening, shown.clone(), go);
        let (files, written) = mpsc::channel::<FileSet>();
        thread::spawn(move || {
            while let Ok(mut latest) = written.recv() {
                // What was written meanwhile is out of date already.
                while let Ok(later) = written.try_recv() {
                    latest = later;
                }
                shown.take(shown.compiled(latest));
            }
        });
        Ok(Beside { address, files })
    }

    /// The files as they are now.
    pub fn show(&self, files: FileSet) {
        // Whoever reads them ends with the program.
        let _ = self.files.send(files);
    }
}

/// The files as they were when they were looked at last.
#[derive(Default)]
struct Before {
    /// `None` where they couldn't be read.
    contents: Option<BTreeMap<PathBuf, Vec<u8>>>,
    /// When each of them, and each of their folders, was written.
    stats: Vec<(PathBuf, Stat)>,
}

impl Before {
    fn of(disk: &dyn Disk, contents: BTreeMap<PathBuf, Vec<u8>>) -> Before {
        let folders = contents.keys().filter_map(|path| path.parent().map(Path::to_path_buf));
        let places: BTreeSet<PathBuf> = folders.chain(contents.keys().cloned()).collect();
        let stat = |place: PathBuf| disk.target(&place).ok().map(|stat| (place, stat));
        Before {
            stats: places.into_iter().filter_map(stat).collect(),
            contents: Some(contents),
        }
    }

    /// True if some file or folder was written to since; what is written twice within a tick of the clock isn't seen so.
    fn is_written_to(&self, disk: &dyn Disk) -> bool {
        let mut stats = self.stats.iter();
        stats.any(|(place, stat)| disk.target(place).ok().as_ref() != Some(stat))
    }
}

/// Takes the files if they are others than before.
fn look(disk: &dyn Disk, path: &Path, before: &mut Before, shown: &Shown) {
    match files::reading(disk, path) {
        Ok(mut reading) => {
            // When they were written is asked anew even where they are what they were.
            let mut contents = reading.contents().clone();
            while before.contents.as_ref() != Some(&contents) {
                // Many editors empty a file before they write it: what is seen twice is what was meant. It is compiled meanwhile.
                let read = Instant::now();
                let state = shown.compiled(reading.into_input().files);
                thread::sleep(SETTLED.saturating_sub(read.elapsed()));
                let Ok(again) = files::reading(disk, path) else { return };
                if *again.contents() == contents {
                    shown.take(state);
                    break;
                }
                contents = again.contents().clone();
                reading = again;
            }
            *before = Before::of(disk, contents);
        }
        Err(trouble) => {
            *before = Before::default();
            shown.fail(trouble.0);
        }
    }
}
