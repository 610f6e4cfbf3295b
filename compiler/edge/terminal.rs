//! What goes to the terminal: findings and trouble to standard error, results to standard output. Colour only on a terminal. Nothing that
//! an author or a file's name says is obeyed there (`escape.rs`).

use super::args::FindingFormat;
use super::{Trouble, escape};
use crate::finding::{Finding, Severity};
use crate::report::human::Look;
use crate::report::{github, human, json, sarif};
use crate::source::FileSet;
use anstream::{AutoStream, ColorChoice};
use indicatif::ProgressBar;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicI8, Ordering};
use std::sync::{Mutex, PoisonError};

/// Columns where the terminal doesn't say.
const WIDTH: usize = 110;

/// The first fault of standard output: a result that was asked for and didn't get there.
static LOST: Mutex<Option<io::Error>> = Mutex::new(None);

/// How much is said: less than usual, or more.
static TONE: AtomicI8 = AtomicI8::new(0);

/// Says less from now on, or more.
pub fn tone(quiet: bool, verbose: bool) {
    TONE.store(i8::from(verbose) - i8::from(quiet), Ordering::Relaxed);
}

/// True for whoever wants nothing said but findings, trouble and what was asked for.
pub fn is_quiet() -> bool {
    TONE.load(Ordering::Relaxed) < 0
}

/// Writes a line to standard output that nobody who wants it quiet needs: what was done, and how much of it.
pub fn summary(text: &str) {
    if TONE.load(Ordering::Relaxed) >= 0 {
        say(text);
    }
}

/// Writes a line to standard error for somebody who wants to know more.
pub fn detail(text: &str) {
    if TONE.load(Ordering::Relaxed) > 0 {
        remark(text);
    }
}

/// Writes a line to standard output.
pub fn say(text: &str) {
    out(&format!("{}\n", escape::text(text)));
}

/// Writes a text of many lines: on a terminal by the pager that the user has, if there is one.
pub fn paged(text: &str) {
    if io::stdout().is_terminal() && io::stdin().is_terminal() && by_pager(text).is_some() {
        return;
    }
    say(text);
}

/// `None` if there is no pager, or none is wanted.
fn by_pager(text: &str) -> Option<()> {
    let wanted = std::env::var("PAGER").unwrap_or_else(|_| "less".to_string());
    let mut words = wanted.split_whitespace();
    let mut child = Command::new(words.next()?)
        .args(words)
        .stdin(Stdio::piped())
        .spawn()
        .ok()?;
    if let Some(mut input) = child.stdin.take() {
        // Somebody who has read enough closes it.
        let _ = writeln!(input, "{}", escape::text(text));
    }
    child.wait().ok().map(|_| ())
}

/// Writes text that another program reads, such as a calendar: as it is, but for a terminal.
pub fn say_data(text: &str) {
    if io::stdout().is_terminal() {
        say(text);
    } else {
        out(&format!("{text}\n"));
    }
}

/// Writes a file to standard output, for another program.
///
/// # Errors
/// If it is a terminal, which would take it for orders.
pub fn bytes(bytes: &[u8]) -> Result<(), Trouble> {
    if io::stdout().is_terminal() {
        return Err(Trouble::new(
            "standard output is a terminal: lead it into a file or another program",
        ));
    }
    out_bytes(bytes);
    Ok(())
}

/// Writes lines of JSON to standard output.
pub fn say_json(text: &str) {
    out(&format!("{}\n", escape::json(text)));
}

fn out(text: &str) {
    out_bytes(text.as_bytes());
}

fn out_bytes(bytes: &[u8]) {
    let mut lost = LOST.lock().unwrap_or_else(PoisonError::into_inner);
    // What comes after a gap would be taken for the whole.
    if lost.is_none() {
        let mut stdout = io::stdout().lock();
        *lost = stdout.write_all(bytes).and_then(|()| stdout.flush()).err();
    }
}

/// Whether all that was to be said got to standard output. A reader that has gone away needs no words, any other fault has had them.
pub fn all_said() -> bool {
    let lost = LOST.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(error) = lost.as_ref().filter(|e| e.kind() != ErrorKind::BrokenPipe) {
        trouble(&format!("can't write to standard output: {error}"));
    }
    lost.is_none()
}

/// Writes trouble to standard error.
pub fn trouble(text: &str) {
    aside(&format!("benchleaf: {}", escape::text(text)));
}

/// Writes a remark to standard error.
pub fn remark(text: &str) {
    aside(&escape::text(text));
}

/// How far work has come, while that is drawn.
static DRAWN: Mutex<Option<ProgressBar>> = Mutex::new(None);

/// From now on this is drawn on standard error, or nothing more.
pub fn draws(bar: Option<ProgressBar>) {
    *DRAWN.lock().unwrap_or_else(PoisonError::into_inner) = bar;
}

/// Writes a line to standard error, above what is drawn there.
fn aside(line: &str) {
    let write = || {
        let _ = writeln!(anstream::stderr(), "{line}");
    };
    let drawn = DRAWN.lock().unwrap_or_else(PoisonError::into_inner).clone();
    match drawn {
        Some(bar) => bar.suspend(write),
        None => write(),
    }
}

/// Writes findings: for a person to standard error with a closing count, as JSON to standard output.
pub fn findings(files: &FileSet, findings: &[Finding], format: FindingFormat) {
    match format {
        FindingFormat::Json => {
            for finding in findings {
                say_json(json::render(files, finding).trim_end());
            }
        }
        FindingFormat::Sarif => out(&escape::json(&sarif::render(files, findings))),
        FindingFormat::Github => {
            for finding in findings {
                out(&escape::text(&github::render(files, finding)));
            }
        }
        FindingFormat::Text => {
            let stderr = io::stderr();
            let colour = AutoStream::choice(&stderr) != ColorChoice::Never;
            let width = std::env::var("COLUMNS")
                .ok()
                .and_then(|c| c.parse().ok())
                .unwrap_or(WIDTH);
            let mut out = io::BufWriter::new(stderr.lock());
            for finding in findings {
                let _ = writeln!(out, "{}", rendered(files, finding, Look { colour, width }));
            }
            if let Some(count) = count(findings).filter(|_| TONE.load(Ordering::Relaxed) >= 0) {
                let _ = writeln!(out, "{count}");
            }
        }
    }
}

/// A finding as it is shown. Colour is made of the very characters that a text must not bring along, so one that does has none.
fn rendered(files: &FileSet, finding: &Finding, look: Look) -> String {
    let plain = human::render(files, finding, Look { colour: false, ..look });
    match escape::text(&plain) {
        std::borrow::Cow::Owned(shown) => shown,
        std::borrow::Cow::Borrowed(_) if look.colour => human::render(files, finding, look),
        std::borrow::Cow::Borrowed(_) => plain,
    }
}

/// `2 errors, 1 warning: no card is printed …`; `None` where there is nothing to count.
fn count(findings: &[Finding]) -> Option<String> {
    let parts: Vec<String> = [Severity::Error, Severity::Warning, Severity::Advice]
        .into_iter()
        .filter_map(|severity| {
            let n = findings.iter().filter(|f| f.severity() == severity).count();
            let plural = if n == 1 || severity == Severity::Advice {
                ""
            } else {
                "s"
            };
            (n > 0).then(|| format!("{n} {}{plural}", severity.word()))
        })
        .collect();
    let code = findings.first()?.rule.code;
    Some(format!("{}. `benchleaf explain {code}` tells more.", parts.join(", ")))
}
