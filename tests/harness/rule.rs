//! A rule by its fixtures: `fires.txt` gives exactly the findings of `fires.findings`; `silent.txt`, the nearest text that is legal to this
//! rule, gives none of it, and none at all unless `silent.findings` says which. What compiles them is the caller's.

use super::{Checked, Files, Outcome, fixture, rules, snapshot};
use libtest_mimic::Trial;
use std::path::{Path, PathBuf};

/// Compiles a fixture, with what its rule needs.
pub type Compile = fn(&Files) -> Checked;

/// The fixture folders, named after their rules.
pub fn folders() -> Vec<PathBuf> {
    fixture::entries(&fixture::folder("rules"))
}

/// True for a rule that only printing can break, which the press's suite tries: those of the family of print.
pub fn by_printing(name: &str) -> bool {
    rules()
        .iter()
        .any(|rule| rule.name == name && rule.code.starts_with("BL8"))
}

/// The trials of one folder.
pub fn trials(folder: &Path, compile: Compile) -> [Trial; 2] {
    let name = fixture::name(folder);
    let (loud, silent) = (folder.to_path_buf(), folder.to_path_buf());
    [
        Trial::test(format!("rules/{name}/fires"), move || fires(&loud, compile)),
        Trial::test(format!("rules/{name}/silent"), move || quiet(&silent, compile)),
    ]
}

/// The code of the rule a folder is named after.
fn code(folder: &Path) -> Result<&'static str, String> {
    let name = fixture::name(folder);
    let rule = rules().iter().find(|rule| rule.name == name);
    rule.map(|rule| rule.code)
        .ok_or_else(|| format!("there is no rule `{name}`"))
}

fn fires(folder: &Path, compile: Compile) -> Outcome {
    let code = code(folder)?;
    let files = fixture::read(&folder.join("fires.txt"));
    let checked = compile(&files);
    if !checked.codes().contains_key(code) {
        return Err(format!("{code} doesn't fire; what does:\n{}", checked.listing()).into());
    }
    let uncured = checked.uncured(&files);
    if !uncured.is_empty() {
        return Err(uncured.join("\n").into());
    }
    snapshot::compare(&folder.join("fires.findings"), &checked.listing())
}

fn quiet(folder: &Path, compile: Compile) -> Outcome {
    let code = code(folder)?;
    let checked = compile(&fixture::read(&folder.join("silent.txt")));
    if checked.codes().contains_key(code) {
        return Err(format!("{code} fires:\n{}", checked.listing()).into());
    }
    snapshot::compare_if_any(&folder.join("silent.findings"), &checked.listing())
}
