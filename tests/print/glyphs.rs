//! Characters that no font has: the one rule that needs the fonts.

use crate::harness::{Checked, Files, check, fixture, page, rule, rules};
use crate::printer;
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let fixtures = rule::trials(&fixture::folder("rules").join("missing-glyph"), printed);
    let page = rules().iter().filter(|rule| rule.name == "missing-glyph");
    fixtures
        .into_iter()
        .chain(page.map(|rule| page::trial(rule, printed)))
        .collect()
}

/// Compiles files and adds what printing would find.
fn printed(files: &Files) -> Checked {
    let mut checked = check(files);
    let mut found = printer::unprintable(&checked);
    let findings = &mut checked.compilation.findings;
    findings.append(&mut found);
    findings.sort_by(printer::Finding::order);
    findings.dedup();
    checked
}
