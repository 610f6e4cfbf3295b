//! What the fuzzer of `tests/fuzz/` is run on at the program's edge, without a fuzzer: each target as it starts, over changes by a fixed seed, and
//! over whatever it ever tripped over (`tests/fuzz/found/<target>/`). `FUZZ_SEED=7` makes other changes, `PROPTEST_CASES=5000` more of them.

use crate::harness::fuzz::Chance;
use crate::harness::{Outcome, fixture};
use crate::program::fuzzed::{Edge, folder};
use libtest_mimic::Trial;
use std::env;
use std::panic;
use std::path::PathBuf;

pub fn trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    for edge in Edge::ALL {
        let name = edge.name();
        trials.push(Trial::test(format!("fuzz/target/{name}"), move || smoke(edge)));
        let found = fixture::entries(&fixture::folder("fuzz").join("found").join(name));
        trials.extend(found.into_iter().map(|path| {
            let name = format!("fuzz/found/{name}/{}", fixture::stem(&path));
            let bytes = move || std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
            Trial::test(name, move || Ok(asked(edge, &Place(folder()), &bytes())?))
        }));
    }
    trials
}

/// The longest text of a short run; a fuzzer goes further.
const SHORT: usize = 12 << 10;

/// A folder that is gone at the end.
struct Place(PathBuf);

impl Drop for Place {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A target over what it starts from, and changes of it.
fn smoke(edge: Edge) -> Outcome {
    let number = |name: &str| env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    let usual = match edge {
        Edge::Messages => 400,
        Edge::Requests => 300,
        Edge::Objects => 120,
    };
    let (cases, seed) = (
        number("PROPTEST_CASES").unwrap_or(usual),
        number("FUZZ_SEED").unwrap_or(0),
    );
    let place = Place(folder());
    let seeds = edge.seeds();
    for text in &seeds {
        asked(edge, &place, text.as_bytes())?;
    }
    let mut chance = Chance::new(seed);
    for case in 0..cases {
        let (Some(one), Some(other)) = (chance.one(&seeds), chance.one(&seeds)) else {
            return Err(format!("nothing to start {} from", edge.name()).into());
        };
        let own = seed.wrapping_add(case);
        let text = match chance.below(6) {
            0 => edge.crossed(one, other, own, SHORT),
            _ => one.to_string(),
        };
        asked(edge, &place, edge.changed(&text, own, SHORT).as_bytes())?;
    }
    Ok(())
}

/// What a target says of bytes; a stop is a fault as well, and tells its text.
fn asked(edge: Edge, place: &Place, bytes: &[u8]) -> Result<(), String> {
    let result = panic::catch_unwind(|| edge.run(&place.0, bytes));
    let words = match result {
        Ok(Ok(())) => return Ok(()),
        Ok(Err(words)) => words,
        Err(payload) => {
            let text = payload.downcast_ref::<String>().cloned();
            text.or_else(|| payload.downcast_ref::<&str>().map(ToString::to_string))
                .unwrap_or_default()
        }
    };
    Err(format!(
        "{words}\n=== of the text ===\n{}",
        String::from_utf8_lossy(bytes)
    ))
}
