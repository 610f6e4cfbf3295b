//! The demo sets: every set in `procedures/` compiles without a finding.

use crate::harness::{check, fixture};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let procedures = fixture::root().join("procedures");
    let sets = fixture::entries(&procedures)
        .into_iter()
        .filter(|path| path.join("set.yaml").is_file());
    let one = |set: std::path::PathBuf| {
        let procedures = procedures.clone();
        Trial::test(format!("demo/{}", fixture::name(&set)), move || {
            let mut files = fixture::read_folder(&procedures, &set);
            let shop = procedures.join("workshop.yaml");
            files.insert(fixture::name(&shop), fixture::text(&shop).into_bytes());
            let checked = check(&files);
            if checked.compilation.findings.is_empty() {
                Ok(())
            } else {
                Err(checked.human().into())
            }
        })
    };
    sets.map(one).collect()
}
