//! How the work grows: counted, not timed.

use crate::harness::{Outcome, check_texts};
use libtest_mimic::Trial;
use std::fmt::Write;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("ledger/work-local-options", local),
        Trial::test("ledger/work-one-item", one_item),
        Trial::test("ledger/work-one-window", one_window),
        Trial::test("ledger/work-all-must-be-chosen", all_chosen),
    ]
}

/// Binary options in each of the jobs: four thousand million combinations.
const OPTIONS: usize = 32;

/// Compiles a job over 32 options, each condition on one of them, and counts diagram nodes looked at.
fn job(registers: &str, step: impl Fn(usize) -> String, last: &str) -> Result<(usize, Vec<String>), String> {
    let mut set = String::from("machine: Invented pump\ntitle: Rebuild\noptions:\n");
    let mut body = String::from("---\ntitle: Job\n---\n\n");
    for n in 0..OPTIONS {
        let _ = writeln!(set, "  o{n}: {{values: [yes, no], default: no}}");
        let _ = writeln!(body, "{}", step(n));
    }
    set += registers;
    body += last;
    let checked = check_texts(&[("set.yaml", &set), ("10-job.md", &body)]);
    let (visited, given_up) = checked.work();
    if !given_up.is_empty() {
        return Err(format!("given up: {given_up:?}"));
    }
    let messages = checked.compilation.findings.iter();
    let messages = messages
        .filter(|f| f.rule.code.starts_with("BL4"))
        .map(|f| f.message.clone());
    Ok((visited, messages.collect()))
}

/// Holds if the work is at most so much and the findings are these.
fn expect(result: Result<(usize, Vec<String>), String>, most: usize, findings: &[String]) -> Outcome {
    let (visited, messages) = result?;
    if visited > most {
        return Err(format!("{visited} nodes looked at; at most {most} are allowed").into());
    }
    if messages != findings {
        return Err(format!("found {messages:#?}").into());
    }
    Ok(())
}

/// Each option bears on an item of its own; the last one's removal is forgotten.
fn local() -> Outcome {
    let mut registers = String::from("temporary:\n");
    for n in 0..OPTIONS {
        let _ = writeln!(registers, "  t{n}: Plug {n}");
    }
    let step = |n: usize| {
        let fit = format!("1. Push in the [fit t{n}]. [only o{n}=yes]\n");
        let remove = format!("2. Take out the [remove t{n}]. [only o{n}=yes]\n");
        if n + 1 < OPTIONS { fit + &remove } else { fit }
    };
    let findings = ["`t31` is still on when the set ends, with `o31=yes`".to_string()];
    expect(job(&registers, step, ""), 1_500, &findings)
}

/// Every option fits one more of the same item; then one is taken off, which wants one choice at least, and all the others, which wants
/// every choice.
fn one_item() -> Outcome {
    let step = |n: usize| format!("1. Push in one of the [fit plugs 1]. [only o{n}=yes]\n");
    let last = "1. Take out the [remove plugs 1].\n2. Take out the [remove plugs 31].\n";
    let none: Vec<String> = (0..OPTIONS).map(|n| format!("`o{n}=no`")).collect();
    let none = format!("{} and {}", none[..OPTIONS - 1].join(", "), none[OPTIONS - 1]);
    let findings = [
        format!("`plugs` is taken off, but it isn't on, with {none}"),
        "31 of `plugs` are taken off, but none is on, with `o0=no`".to_string(),
    ];
    expect(job("temporary: {plugs: {qty: 32}}\n", step, last), 200_000, &findings)
}

/// Every option lengthens the same window by a minute; eleven of them are one too many.
fn one_window() -> Outcome {
    let step = |n: usize| match n {
        0 => {
            "1. Roll on the film. [start close] [time 0 min]\n1. Set a dowel. [only o0=yes] [time 1 min]\n".to_string()
        }
        n => format!("1. Set a dowel. [only o{n}=yes] [time 1 min]\n"),
    };
    let chosen: Vec<String> = (0..11).map(|n| format!("`o{n}=yes`")).collect();
    let chosen = format!("{} and {}", chosen[..10].join(", "), chosen[10]);
    let finding =
        format!("the steps from `[start close]` to here take 11 min, and must be done within 10 min, with {chosen}");
    let result = job(
        "timers: {close: {within: 10 min}}\n",
        step,
        "1. Set on the lid. [end close] [time 0 min]\n",
    );
    expect(result, 100_000, &[finding])
}

/// A fault that takes every one of the 32 choices: each of them is tried whether it could be left out.
fn all_chosen() -> Outcome {
    let all: String = (0..OPTIONS).map(|n| format!(" [only o{n}=yes]")).collect();
    let step = |n: usize| {
        if n == 0 {
            format!("1. Fit the [fit lock].{all}\n")
        } else {
            String::new()
        }
    };
    let chosen: Vec<String> = (0..OPTIONS).map(|n| format!("`o{n}=yes`")).collect();
    let chosen = format!("{} and {}", chosen[..OPTIONS - 1].join(", "), chosen[OPTIONS - 1]);
    let finding = format!("`lock` is still on when the set ends, with {chosen}");
    expect(job("temporary: {lock: Lock}\n", step, ""), 6_000, &[finding])
}
