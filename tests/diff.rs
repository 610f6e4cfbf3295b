//! Two states of a folder of sets: each `tests/diff/<case>.txt` holds files below `before/` and `after/`; what changed by meaning is in
//! `<case>.human`, `<case>.markdown` and `<case>.json`, what is marked on the cards in `<case>.bars`.

use crate::harness::revisions::{Compared, below, compare};
use crate::harness::{Outcome, fixture, snapshot};
use libtest_mimic::Trial;
use std::path::Path;

pub fn trials() -> Vec<Trial> {
    let folder = fixture::folder("diff");
    let mut trials: Vec<Trial> = fixture::texts(&folder)
        .into_iter()
        .map(|path| Trial::test(format!("diff/{}", fixture::stem(&path)), move || told(&path)))
        .collect();
    trials.push(Trial::test("diff/demo-sets-against-themselves", || {
        let procedures = fixture::root().join("procedures");
        let files = fixture::read_folder(&procedures, &procedures);
        let found = compare(&files, &files);
        if found.diff.matters() || !found.diff.sets.is_empty() {
            return Err(found.human.into());
        }
        Ok(())
    }));
    trials
}

fn told(path: &Path) -> Outcome {
    let files = fixture::read(path);
    let (old, new) = (below(&files, "before"), below(&files, "after"));
    let found = compare(&old, &new);
    agrees(&found)?;
    snapshot::compare(&path.with_extension("human"), &found.human)?;
    snapshot::compare(&path.with_extension("markdown"), &found.markdown)?;
    snapshot::compare(&path.with_extension("json"), &found.json)?;
    snapshot::compare(&path.with_extension("bars"), &found.bars)?;
    // The other way round, what was added is gone; that there is a change doesn't hang on the direction.
    let back = compare(&new, &old);
    agrees(&back)?;
    if back.diff.matters() != found.diff.matters() {
        return Err("a change one way is none the other way".into());
    }
    Ok(())
}

/// A card with another code has a change to tell, or a value that is only written otherwise.
fn agrees(found: &Compared) -> Outcome {
    for card in found.diff.sets.iter().flat_map(|s| &s.cards) {
        let unlike = card.old_code != card.new_code;
        if unlike && !card.matters() && card.same.is_empty() {
            return Err(format!("{} has another code and no change", card.title).into());
        }
    }
    Ok(())
}
