//! Files compiled, and what the compiler says of them in each of its forms.

use benchleaf_core::Compilation;
use benchleaf_core::check::calibration_over;
use benchleaf_core::finding::Finding;
use benchleaf_core::report::human::Look;
use benchleaf_core::report::{github, human, json, sarif};
use benchleaf_core::source::FileSet;
use std::collections::BTreeMap;

/// Files by path, as the compiler takes them.
pub type Files = BTreeMap<String, Vec<u8>>;

/// Columns of the human report in snapshots.
const WIDTH: usize = 100;

/// A compilation with the files it was made from.
pub struct Checked {
    pub files: FileSet,
    pub compilation: Compilation,
}

/// Compiles files.
pub fn check(files: &Files) -> Checked {
    let files = FileSet::from_bytes(files.clone());
    let compilation = benchleaf_core::compile(&files);
    Checked { files, compilation }
}

/// Compiles files and adds what is found on a day.
pub fn check_on(files: &Files, today: &str) -> Checked {
    let mut checked = check(files);
    let today = today.parse().unwrap_or_else(|error| panic!("{today}: {error}"));
    let compilation = &mut checked.compilation;
    let over = calibration_over::check(&compilation.model, &compilation.facts, today);
    compilation.findings.extend(over);
    compilation.findings.sort_by(Finding::order);
    checked
}

/// Compiles texts given in some order, as an in-memory caller would.
pub fn check_texts(texts: &[(&str, &str)]) -> Checked {
    let files = FileSet::from_texts(texts.iter().copied());
    let compilation = benchleaf_core::compile(&files);
    Checked { files, compilation }
}

impl Checked {
    /// How many findings each rule gave, by code.
    pub fn codes(&self) -> BTreeMap<&'static str, usize> {
        let mut codes = BTreeMap::new();
        for finding in &self.compilation.findings {
            *codes.entry(finding.rule.code).or_default() += 1;
        }
        codes
    }

    /// Each finding by its code, file and source line.
    pub fn at_lines(&self) -> Vec<String> {
        let one = |finding: &Finding| {
            let span = finding.primary.span;
            let file = self.files.get(span.file);
            let line = file.lines().position(&file.text, span.start as usize).line;
            let text = file.text.lines().nth(line.saturating_sub(1)).unwrap_or("");
            format!("{} {} {}", finding.rule.code, file.path, text.trim())
        };
        self.compilation.findings.iter().map(one).collect()
    }

    /// Every finding as a person would read it.
    pub fn human(&self) -> String {
        let look = Look {
            colour: false,
            width: WIDTH,
        };
        let texts: Vec<String> = self
            .compilation
            .findings
            .iter()
            .map(|finding| human::render(&self.files, finding, look))
            .collect();
        texts.join("\n")
    }

    /// Every finding for code scanning.
    pub fn sarif(&self) -> String {
        sarif::render(&self.files, &self.compilation.findings)
    }

    /// Every finding as an annotation of a workflow.
    pub fn github(&self) -> String {
        let findings = self.compilation.findings.iter();
        findings.map(|finding| github::render(&self.files, finding)).collect()
    }

    /// Every finding as a program would read it.
    pub fn json(&self) -> String {
        self.compilation
            .findings
            .iter()
            .map(|finding| json::render(&self.files, finding))
            .collect()
    }
}
