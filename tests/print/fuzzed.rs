//! Random sets printed, by changes of fixtures that the fuzzer of `tests/fuzz/` makes as well, and whatever it ever tripped over.
//! `FUZZ_SEED=7` makes other changes, `PROPTEST_CASES=500` more of them.

use crate::harness::Outcome;
use crate::harness::fixture;
use crate::harness::fuzz::Chance;
use crate::harness::fuzz::change::{changed, crossed};
use crate::printer::fuzzed::{NAME, hold, seeds};
use libtest_mimic::Trial;
use std::env;

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![Trial::test(format!("fuzz/target/{NAME}"), smoke)];
    let found = fixture::entries(&fixture::folder("fuzz").join("found").join(NAME));
    trials.extend(found.into_iter().map(|path| {
        let name = format!("fuzz/found/{NAME}/{}", fixture::stem(&path));
        Trial::test(name, move || Ok(hold(&fixture::text(&path)).map(drop)?))
    }));
    trials
}

/// The longest text of a short run; a fuzzer goes further.
const SHORT: usize = 8 << 10;

fn smoke() -> Outcome {
    let number = |name: &str| env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    let (cases, seed) = (number("PROPTEST_CASES").unwrap_or(60), number("FUZZ_SEED").unwrap_or(0));
    let (seeds, mut chance) = (seeds(), Chance::new(seed));
    let (mut laid, mut told) = (0, 0);
    for case in 0..cases {
        let (Some(one), Some(other)) = (chance.one(&seeds), chance.one(&seeds)) else {
            return Err("nothing to start from".into());
        };
        let own = seed.wrapping_add(case);
        let text = match chance.below(4) {
            0 => crossed(one, other, own, SHORT),
            _ => one.to_string(),
        };
        let text = changed(&text, own, SHORT);
        let printed = hold(&text).map_err(|words| format!("{words}\n=== of the text ===\n{text}"))?;
        laid += printed.laid;
        told += printed.told;
    }
    println!("{cases} texts, {laid} leaves laid out, {told} of them too much for their paper");
    match laid as u64 * 10 < cases {
        true => Err(format!("only {laid} leaves of {cases} texts, which tells of nothing").into()),
        false => Ok(()),
    }
}
