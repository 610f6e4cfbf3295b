//! How far work has come, on a terminal, once it has taken over a second: elsewhere, and for whoever wants it quiet, nothing is drawn.

use super::terminal;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{self, IsTerminal};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// Work that is done sooner says nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// Times a second that it is drawn.
const RATE: u8 = 10;

/// How far one piece of work has come. Gone when it is dropped, so that findings and summaries stand where they would without it.
pub struct Progress {
    what: &'static str,
    of: Option<u64>,
    begun: Instant,
    bar: OnceLock<ProgressBar>,
    shown: bool,
}

impl Progress {
    /// `what` is counted: `documents`; `of`: how many there are, if that is known.
    pub fn new(what: &'static str, of: Option<usize>) -> Progress {
        Progress {
            what,
            of: of.and_then(|of| u64::try_from(of).ok()),
            begun: Instant::now(),
            bar: OnceLock::new(),
            shown: io::stderr().is_terminal() && !terminal::is_quiet(),
        }
    }

    /// So many are done.
    pub fn at(&self, done: usize) {
        if !self.shown || self.begun.elapsed() < PATIENCE {
            return;
        }
        let bar = self.bar.get_or_init(|| {
            let bar = self.bar();
            terminal::draws(Some(bar.clone()));
            bar
        });
        bar.set_position(u64::try_from(done).unwrap_or(u64::MAX));
    }

    fn bar(&self) -> ProgressBar {
        let target = ProgressDrawTarget::stderr_with_hz(RATE);
        let bar = ProgressBar::with_draw_target(self.of, target).with_message(self.what);
        let form = match self.of {
            Some(_) => "{pos} of {len} {msg}, {elapsed}",
            None => "{pos} {msg}, {elapsed}",
        };
        // It is drawn late; what it tells is the time since the work began.
        let bar = bar.with_elapsed(self.begun.elapsed());
        // The form is ours and can be read.
        match ProgressStyle::with_template(form) {
            Ok(style) => bar.with_style(style),
            Err(_) => bar,
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = self.bar.get() {
            terminal::draws(None);
            bar.finish_and_clear();
        }
    }
}
