//! Characters that no font has: the one rule that needs the fonts.

use crate::harness::{Checked, Files, check, fixture, rule};
use crate::printer;
use libtest_mimic::Trial;

pub fn trials() -> [Trial; 2] {
    rule::trials(&fixture::folder("rules").join("missing-glyph"), printed)
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
