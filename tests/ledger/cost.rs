//! What the knowledge of a machine costs a check, in whatever profile the suite was built with. `cargo bench -- ties` measures the same
//! with optimisation; nothing in the ordinary run hangs on a clock.

#[path = "../bench/tied.rs"]
mod tied;

use crate::harness::{Outcome, check_texts};
use libtest_mimic::Trial;
use std::env;
use std::time::{Duration, Instant};

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("ledger/sets-for-timing-are-clean", clean),
        Trial::test("ledger/a-set-of-twenty-thousand-steps-is-clean", big),
        Trial::test("ledger/work-grows-with-the-set", grows),
        Trial::test("ledger/cost-of-ties", cost).with_ignored_flag(true),
    ]
}

type Texts = Vec<(String, String)>;

fn findings(texts: &Texts) -> Vec<String> {
    let texts: Vec<(&str, &str)> = texts
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .collect();
    let checked = check_texts(&texts);
    let told = checked.compilation.findings.iter();
    told.map(|finding| format!("{} {}", finding.rule.code, finding.message))
        .collect()
}

/// What is timed is meant to be clean: findings would be timed with it.
fn clean() -> Outcome {
    for texts in [tied::procedures(3, true), tied::procedures(3, false), tied::options(6)] {
        let findings = findings(&texts);
        if !findings.is_empty() {
            return Err(format!("{findings:#?}\n{}", texts[1].1).into());
        }
    }
    // And what it seems to know is proved: a cover that stays on is told.
    let mut texts = tied::procedures(1, true);
    texts[1].1 = texts[1]
        .1
        .replace("1. Lift off the [remove cover-0]. [time 5 min]\n", "");
    let told = findings(&texts);
    match told.iter().any(|line| line.starts_with("BL439")) {
        true => Ok(()),
        false => Err(format!("a cover that stays on is not told: {told:#?}").into()),
    }
}

/// More steps than may be walked on ways back: those of a first way through count for nothing there.
fn big() -> Outcome {
    let texts = tied::procedures(600, true);
    let steps: usize = texts.iter().map(|(_, text)| text.matches("\n1. ").count()).sum();
    assert!(steps > 20_000, "{steps}");
    let findings = findings(&texts);
    match findings.is_empty() {
        true => Ok(()),
        false => Err(format!("{findings:#?}").into()),
    }
}

/// Twice as many cards, each with questions, a way back and an end of its own, make little more than twice the work: counted, not timed.
fn grows() -> Outcome {
    for ends in [false, true] {
        let work = |count: usize| {
            let mut texts = tied::procedures(count, true);
            for (n, (_, text)) in texts.iter_mut().skip(1).enumerate().filter(|_| ends) {
                *text += &format!("1. [if worn-{n}] Send the machine away. [stop]\n");
            }
            let texts: Vec<(&str, &str)> = texts.iter().map(|(path, text)| (&path[..], &text[..])).collect();
            let checked = check_texts(&texts);
            let told = &checked.compilation.findings;
            assert!(told.is_empty(), "{told:?}");
            checked.work().0
        };
        let (few, many) = (work(40), work(80));
        println!("nodes looked at: {few} in 40 cards, {many} in 80");
        if many * 10 > few * 22 {
            return Err(format!("{few} nodes for 40 cards, {many} for 80, with ends: {ends}").into());
        }
    }
    Ok(())
}

fn timed(texts: &Texts) -> Duration {
    let start = Instant::now();
    let told = findings(texts);
    assert!(told.is_empty(), "{told:?}");
    start.elapsed()
}

const ROUNDS: usize = 5;

fn cost() -> Outcome {
    let count = env::var("COUNT")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(1000);
    let (with, without) = (tied::procedures(count, true), tied::procedures(count, false));
    let mut rounds: Vec<(Duration, Duration)> = (0..ROUNDS).map(|_| (timed(&with), timed(&without))).collect();
    let ratio = |round: &(Duration, Duration)| round.0.as_secs_f64() / round.1.as_secs_f64();
    rounds.sort_by(|a, b| ratio(a).total_cmp(&ratio(b)));
    let middle = rounds[ROUNDS / 2];
    println!(
        "check of {count} procedures: {:?} with ties, {:?} without, {:.2}x",
        middle.0,
        middle.1,
        ratio(&middle)
    );
    let options = tied::options(40);
    let mut times: Vec<Duration> = (0..ROUNDS).map(|_| timed(&options)).collect();
    times.sort();
    println!("check of a set with 40 options: {:?}", times[ROUNDS / 2]);
    Ok(())
}
