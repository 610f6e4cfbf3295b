//! The ledger against a model of it: every combination of choices of a small random procedure, one after the other, with no sharing.
//!
//! `random` makes procedures, `reference` works one out by brute force; the two must agree on every finding and on the fewest choices that
//! bring it about. `carried` is what the cards are told. `work` counts how much the sharing looks at where brute force would have thousands of millions of combinations.

mod built;
mod carried;
mod cost;
mod random;
mod reference;
mod settled;
mod work;

use crate::harness::{Outcome, check_texts};
use libtest_mimic::Trial;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};
use random::Job;
use reference::Report;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::env;

/// Expected files of the trials.
pub fn files() -> impl Iterator<Item = std::path::PathBuf> {
    carried::files().chain(settled::files())
}

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![
        Trial::test("ledger/agrees-with-brute-force", || agrees(300)),
        Trial::test("ledger/ten-thousand-agree-with-brute-force", || agrees(10_000)).with_ignored_flag(true),
    ];
    trials.extend(carried::trials());
    trials.extend(settled::trials());
    trials.extend(work::trials());
    trials.extend(built::trials());
    trials.extend(cost::trials());
    trials
}

/// Codes that the reference knows of.
const CODES: [u32; 22] = [
    401, 402, 403, 404, 405, 406, 407, 408, 409, 411, 412, 413, 414, 415, 421, 422, 423, 424, 425, 426, 427, 428,
];

/// So many random sets, or as many as the environment asks for.
fn agrees(cases: u32) -> Outcome {
    let wanted = env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok());
    let config = Config {
        cases: wanted.unwrap_or(cases),
        failure_persistence: None,
        ..Config::default()
    };
    let seed: u64 = env::var("FUZZ_SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(0);
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &bytes));
    // By code, the most choices that a finding named.
    let seen: RefCell<BTreeMap<u32, usize>> = RefCell::default();
    let result = runner.run(&random::jobs(), |job| {
        let (ours, theirs) = (reported(&job)?, reference::reports(&job));
        for report in &theirs {
            let mut seen = seen.borrow_mut();
            let most = seen.entry(report.code).or_default();
            *most = report.choices.len().max(*most);
        }
        let extra: Vec<&Report> = ours.difference(&theirs).collect();
        let missing: Vec<&Report> = theirs.difference(&ours).collect();
        if extra.is_empty() && missing.is_empty() {
            return Ok(());
        }
        let text = job.text();
        Err(TestCaseError::fail(format!(
            "only in the ledger: {extra:#?}\nonly by brute force: {missing:#?}\n{text}"
        )))
    });
    result.map_err(|error| error.to_string())?;
    // A comparison of nothing with nothing would agree as well.
    let seen = seen.into_inner();
    match CODES.iter().find(|code| seen.get(code).is_none_or(|most| *most == 0)) {
        Some(code) => Err(format!("no job brought about BL{code} under a choice: {seen:?}").into()),
        None => Ok(()),
    }
}

/// What the compiler says of a job.
fn reported(job: &Job) -> Result<BTreeSet<Report>, TestCaseError> {
    let text = job.text();
    let checked = check_texts(&[("set.yaml", random::SET), ("10-job.md", &text)]);
    let mut found = BTreeSet::new();
    for finding in &checked.compilation.findings {
        let number: u32 = finding.rule.code.trim_start_matches("BL").parse().unwrap_or(0);
        if number < 300 && number != 103 {
            return Err(TestCaseError::fail(format!(
                "{}: {}\n{text}",
                finding.rule.code, finding.message
            )));
        }
        if !CODES.contains(&number) {
            continue;
        }
        let (what, choices) = finding.message.split_once(", with `").unwrap_or((&finding.message, ""));
        let choices = choices.split('`').filter(|word| word.contains('=')).map(str::to_string);
        // Every second piece is an id; of an action with an item fitted, the item's tells two such findings apart.
        let mut ids = what.split('`').skip(1).step_by(2);
        let skip = usize::from(number == 412);
        let span = finding.primary.span;
        let file = checked.files.get(span.file);
        let at = match file.path.as_str() {
            "set.yaml" => 0,
            _ => file.lines().position(&file.text, span.start as usize).line,
        };
        found.insert(Report {
            code: number,
            at,
            what: built::told::id(ids.nth(skip).unwrap_or("")).to_string(),
            choices: choices.collect(),
        });
    }
    Ok(found)
}
