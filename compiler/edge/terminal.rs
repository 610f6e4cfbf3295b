//! What goes to the terminal: findings and trouble to standard error, results to standard output. Colour only on a terminal.

use super::args::FindingFormat;
use crate::finding::{Finding, Severity};
use crate::report::{github, human, json, sarif};
use crate::source::FileSet;
use anstream::{AutoStream, ColorChoice};
use std::io::Write;

/// Columns where the terminal doesn't say.
const WIDTH: usize = 110;

/// Writes a line to standard output. A reader that has gone away is no fault of ours.
pub fn say(text: &str) {
    let _ = writeln!(std::io::stdout(), "{text}");
}

/// Writes trouble to standard error.
pub fn trouble(text: &str) {
    let _ = writeln!(anstream::stderr(), "benchleaf: {text}");
}

/// Writes a remark to standard error.
pub fn remark(text: &str) {
    let _ = writeln!(anstream::stderr(), "{text}");
}

/// Writes findings: for a person to standard error with a closing count, as JSON to standard output.
pub fn findings(files: &FileSet, findings: &[Finding], format: FindingFormat) {
    match format {
        FindingFormat::Json => {
            let mut out = std::io::stdout().lock();
            for finding in findings {
                let _ = out.write_all(json::render(files, finding).as_bytes());
            }
        }
        FindingFormat::Sarif => {
            let _ = std::io::stdout()
                .lock()
                .write_all(sarif::render(files, findings).as_bytes());
        }
        FindingFormat::Github => {
            let mut out = std::io::stdout().lock();
            for finding in findings {
                let _ = out.write_all(github::render(files, finding).as_bytes());
            }
        }
        FindingFormat::Text => {
            let stderr = std::io::stderr();
            let colour = AutoStream::choice(&stderr) != ColorChoice::Never;
            let width = std::env::var("COLUMNS")
                .ok()
                .and_then(|c| c.parse().ok())
                .unwrap_or(WIDTH);
            let look = human::Look { colour, width };
            let mut out = std::io::BufWriter::new(stderr.lock());
            for finding in findings {
                let _ = writeln!(out, "{}", human::render(files, finding, look));
            }
            if let Some(count) = count(findings) {
                let _ = writeln!(out, "{count}");
            }
        }
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
