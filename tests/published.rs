//! Published values (`tests/values/published.csv`) through the program: `tests/values/answers.csv` says for each which command is asked, which
//! lines of what it writes hold the answer, and which of their numbers. A value that no command answers says why, and they are counted.
//!
//! Columns of the answers: `command`; `line`, the names of the lines parted by `;` (`name#2` the second of that name, `name@word` the first
//! with that word in it, `!` what goes to standard error); `pick`, the numbers of each line, counted from one (`-2` the second with its sign
//! turned, `1 kN` the first as kilonewtons of newtons, `="words"` words that must stand there); `tolerance` in place of the source's own, with its
//! reason in `note`.

use crate::harness::{Outcome, fixture};
use crate::program::{Scratch, words};
use libtest_mimic::Trial;
use std::collections::BTreeMap;

/// How many values no command answers. One more is a loss.
const UNANSWERED: usize = 0;

type Row = BTreeMap<String, String>;

pub fn trials() -> Vec<Trial> {
    let answers: BTreeMap<String, Row> = rows("answers.csv")
        .into_iter()
        .map(|row| (row["id"].clone(), row))
        .collect();
    let values = rows("published.csv");
    let unanswered = values
        .iter()
        .filter(|value| {
            answers
                .get(&value["id"])
                .is_none_or(|answer| answer["command"].is_empty())
        })
        .count();
    let reasons = answers
        .values()
        .all(|a| !a["command"].is_empty() || !a["note"].is_empty());
    let mut trials: Vec<Trial> = values
        .into_iter()
        .filter_map(|value| {
            let answer = answers
                .get(&value["id"])
                .filter(|answer| !answer["command"].is_empty())?
                .clone();
            Some(Trial::test(format!("published/{}", value["id"]), move || {
                ask(&value, &answer)
            }))
        })
        .collect();
    trials.push(Trial::test(
        "published/all-but-these-are-answered",
        move || match unanswered {
            UNANSWERED if reasons => Ok(()),
            other => {
                Err(format!("{other} values have no command, {UNANSWERED} are known, each with its reason").into())
            }
        },
    ));
    trials
}

fn rows(file: &str) -> Vec<Row> {
    let text = fixture::text(&fixture::root().join("tests/values").join(file));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("{file}: {error}")))
        .collect()
}

fn ask(value: &Row, answer: &Row) -> Outcome {
    let scratch = Scratch::new(&format!("published-{}", value["id"]));
    let words = words(&answer["command"]);
    let (output, errors, code) = scratch.run(&words);
    let told = || format!("{}\n{output}{errors}exit {code:?}", answer["command"]);
    let wanted = numbers(&value["expected"]);
    let mut found = Vec::new();
    for (name, picks) in answer["line"].split(';').zip(answer["pick"].split(';')) {
        let line = if name == "!" {
            errors.lines().next()
        } else {
            line(&output, name)
        };
        let line = line.ok_or_else(|| format!("no line `{name}` in\n{}", told()))?;
        if let Some(text) = picks.strip_prefix('=') {
            let text = text.trim_matches('"');
            return match line.contains(text) {
                true => Ok(()),
                false => Err(format!("`{text}` doesn't stand in `{line}`\n{}", told()).into()),
            };
        }
        let label = if name == "!" {
            ""
        } else {
            name.split(['#', '@']).next().unwrap_or_default()
        };
        let all = numbers(line.trim_start().strip_prefix(label).unwrap_or(line));
        let scale = if picks.ends_with("kN") { 1000.0 } else { 1.0 };
        for pick in picks.trim_end_matches("kN").split_whitespace() {
            let index: i32 = pick.parse().map_err(|_| format!("`{pick}` picks nothing"))?;
            let number = all.get(index.unsigned_abs() as usize - 1);
            let number = number.ok_or_else(|| format!("no number {pick} in `{line}`"))?;
            found.push(number.0 * scale * f64::from(index.signum()));
        }
    }
    if found.len() != wanted.len() {
        return Err(format!(
            "{} numbers where {} are expected ({})\n{}",
            found.len(),
            wanted.len(),
            value["expected"],
            told()
        )
        .into());
    }
    let tolerance = Some(&answer["tolerance"])
        .filter(|t| !t.is_empty())
        .unwrap_or(&value["tolerance"]);
    for (found, (wanted, last)) in found.iter().zip(&wanted) {
        let slack = slack(tolerance, *wanted, *last)?;
        // A table that cuts instead of rounding is as good.
        let cut = tolerance.starts_with("printed") && (0.0..*last).contains(&(found - wanted));
        if (found - wanted).abs() > slack * (1.0 + 1e-9) && !cut {
            return Err(format!("found {found}, published {wanted} ± {slack}\n{}", told()).into());
        }
    }
    Ok(())
}

fn slack(tolerance: &str, wanted: f64, last: f64) -> Result<f64, String> {
    let number = |text: &str| {
        text.trim()
            .parse::<f64>()
            .map_err(|_| format!("`{tolerance}` is no tolerance"))
    };
    if let Some(share) = tolerance.strip_suffix(" relative") {
        Ok(wanted.abs() * number(share)?)
    } else if let Some(share) = tolerance.strip_suffix('%') {
        Ok(wanted.abs() * number(share)? / 100.0)
    } else if tolerance.starts_with("exact") || tolerance.starts_with("printed") {
        Ok(0.5 * last)
    } else {
        number(tolerance)
    }
}

/// The first line of that name, or the one that is asked for.
fn line<'a>(output: &'a str, name: &str) -> Option<&'a str> {
    let (name, count) = name
        .split_once('#')
        .map_or((name, 1), |(name, n)| (name, n.parse().unwrap_or(1)));
    let (name, word) = name.split_once('@').unwrap_or((name, ""));
    let own = |line: &&str| {
        let line = line.trim_start();
        let after = line.strip_prefix(name).and_then(|rest| rest.chars().next());
        after.is_some_and(|next| !next.is_alphanumeric()) && line.contains(word)
    };
    output.lines().filter(own).nth(count - 1)
}

/// Every number of a text and what its last digit stands for.
fn numbers(text: &str) -> Vec<(f64, f64)> {
    let text = text.replace('−', "-");
    let mut found = Vec::new();
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let mut end = at;
        while end < bytes.len() && bytes[end].is_ascii_digit() {
            end += 1;
        }
        let mut places = 0;
        if bytes.get(end) == Some(&b'.') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit) {
            end += 1;
            while end < bytes.len() && bytes[end].is_ascii_digit() {
                end += 1;
                places += 1;
            }
        }
        let mut power = 0;
        if bytes.get(end) == Some(&b'e') {
            let rest = &text[end + 1..];
            let length = rest.bytes().take_while(|b| b.is_ascii_digit() || *b == b'-').count();
            if let Ok(read) = rest[..length].parse::<i32>() {
                power = read;
                end += 1 + length;
            }
        }
        let before = at.checked_sub(1).map(|n| bytes[n]);
        // `d2`, `M12`, `P9` are names.
        if before.is_some_and(|byte| byte.is_ascii_alphabetic() || byte == b'.') {
            at = end;
            continue;
        }
        let sign = before == Some(b'-') && (at < 2 || !bytes[at - 2].is_ascii_alphanumeric());
        if let Ok(value) = text[at..end].parse::<f64>() {
            found.push((if sign { -value } else { value }, 10f64.powi(power - places)));
        }
        at = end;
    }
    found
}
