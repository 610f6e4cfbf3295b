//! Which benchleaf this is: its version, the commit that it was built from, and the numbers of what outlives a version.

use crate::fingerprint::FORM;
use crate::source::LANGUAGE;
use std::sync::LazyLock;

/// The commit and its date, as whoever built it said: nothing is asked of git while building, so that sources without a history build
/// just the same, and the same sources with the same words give the same program.
const COMMIT: Option<&str> = option_env!("BENCHLEAF_COMMIT");
const COMMIT_DATE: Option<&str> = option_env!("BENCHLEAF_COMMIT_DATE");

const VERSION: &str = env!("CARGO_PKG_VERSION");

static SHORT: LazyLock<String> = LazyLock::new(|| line(VERSION, COMMIT, COMMIT_DATE));
static LONG: LazyLock<String> = LazyLock::new(|| lines(VERSION, COMMIT, COMMIT_DATE));

/// `0.1.0 (1bdd8c9 2026-03-02)`; without the brackets where nobody said what it was built from.
pub fn short() -> &'static str {
    &SHORT
}

/// The same, then a line each for commit, language, form of codes and machine.
pub fn long() -> &'static str {
    &LONG
}

/// Digits of a commit that are shown; git shows as many at the least.
const SHOWN: usize = 7;

fn line(version: &str, commit: Option<&str>, date: Option<&str>) -> String {
    let shortened = |commit: String| {
        // What was changed since and not committed: `+`, as on cards.
        let edited = if commit.ends_with('+') { "+" } else { "" };
        let digits: String = commit.trim_end_matches('+').chars().take(SHOWN).collect();
        format!("{digits}{edited}")
    };
    let commit = said(commit).map(shortened);
    let both: Vec<String> = commit.into_iter().chain(said(date)).collect();
    match both.is_empty() {
        true => version.to_string(),
        false => format!("{version} ({})", both.join(" ")),
    }
}

fn lines(version: &str, commit: Option<&str>, date: Option<&str>) -> String {
    let machine = format!("{} {}", std::env::consts::OS, std::env::consts::ARCH);
    [
        line(version, commit, date),
        format!(
            "commit    {}",
            said(commit).unwrap_or_else(|| "not said when it was built".to_string())
        ),
        format!("language  {LANGUAGE}, `benchleaf: {LANGUAGE}` in set.yaml"),
        format!("codes     of form {FORM}"),
        format!("built for {machine}"),
    ]
    .join("\n")
}

/// What was said, without what no commit and no date has in it: it goes to terminals and into pages. An empty word says nothing.
fn said(word: Option<&str>) -> Option<String> {
    let belongs = |c: &char| c.is_ascii_alphanumeric() || "-+.:_".contains(*c);
    let plain: String = word?.chars().filter(belongs).collect();
    (!plain.is_empty()).then_some(plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commit_and_date_stand_behind_the_version() {
        let commit = Some("1bdd8c9f00112233445566778899aabbccddeeff");
        let date = Some("2026-03-02");
        assert_eq!(line("0.1.0", commit, date), "0.1.0 (1bdd8c9 2026-03-02)");
        assert_eq!(line("0.1.0", commit, None), "0.1.0 (1bdd8c9)");
        assert_eq!(line("0.1.0", Some("1bdd8c9f00112233+"), None), "0.1.0 (1bdd8c9+)");
        assert_eq!(line("0.1.0", None, date), "0.1.0 (2026-03-02)");
        for nothing in [None, Some(""), Some(" \n")] {
            assert_eq!(line("0.1.0", nothing, nothing), "0.1.0");
        }
        assert_eq!(line("0.1.0", Some("\u{1b}[31mab\n<b>c"), None), "0.1.0 (31mabbc)");
        let long = lines("0.1.0", commit, date);
        assert!(
            long.contains("commit    1bdd8c9f00112233445566778899aabbccddeeff\n"),
            "{long}"
        );
        assert!(lines("0.1.0", None, None).contains("commit    not said when it was built\n"));
    }
}
