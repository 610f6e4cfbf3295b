//! Expected files: compared, or with `BLESS=1` written.

use super::Outcome;
use super::fixture::relative;
use std::env;
use std::fs;
use std::path::Path;

/// True if expected files are to be written rather than compared.
fn blessing() -> bool {
    env::var_os("BLESS").is_some_and(|value| value == "1")
}

/// Compares a text with an expected file.
pub fn compare(path: &Path, actual: &str) -> Outcome {
    let expected = fs::read_to_string(path).ok();
    if expected.as_deref() == Some(actual) {
        return Ok(());
    }
    if blessing() {
        return fs::write(path, actual).map_err(|error| format!("{}: {error}", relative(path)).into());
    }
    let place = relative(path);
    let Some(expected) = expected else {
        return Err(format!("{place} is missing (BLESS=1 writes it); it would hold\n{actual}").into());
    };
    Err(format!(
        "{place} is not what came out (- expected, + came out)\n{}",
        difference(&expected, actual)
    )
    .into())
}

/// Compares a text with an expected file that isn't there where nothing is expected.
pub fn compare_if_any(path: &Path, actual: &str) -> Outcome {
    if !actual.is_empty() {
        return compare(path, actual);
    }
    if !path.exists() {
        return Ok(());
    }
    if blessing() {
        return fs::remove_file(path).map_err(|error| format!("{}: {error}", relative(path)).into());
    }
    Err(format!("{} expects something, and nothing came out", relative(path)).into())
}

/// The lines between the common head and the common tail of two texts, with a little of both.
fn difference(expected: &str, actual: &str) -> String {
    const CONTEXT: usize = 2;
    let (old, new): (Vec<&str>, Vec<&str>) = (expected.lines().collect(), actual.lines().collect());
    let head = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let shorter = old.len().min(new.len()) - head;
    let tail = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take(shorter)
        .take_while(|(a, b)| a == b)
        .count();
    let mut out = String::new();
    let mut put = |sign: char, lines: &[&str]| {
        for line in lines {
            out.push(sign);
            out.push_str(line);
            out.push('\n');
        }
    };
    put(' ', &old[head.saturating_sub(CONTEXT)..head]);
    put('-', &old[head..old.len() - tail]);
    put('+', &new[head..new.len() - tail]);
    put(' ', &new[new.len() - tail..(new.len() - tail + CONTEXT).min(new.len())]);
    if expected.lines().eq(actual.lines()) {
        out.push_str("the lines are alike; the line ends are not\n");
    }
    out
}
