//! What every trial stands on: fixtures read, the crate called, results turned into text that can be compared.

mod checked;
pub mod desk;
pub mod dumped;
pub mod fixture;
pub mod fuzz;
pub mod ledger;
pub mod job;
pub mod listing;
pub mod page;
pub mod printed;
pub mod reach;
pub mod revisions;
pub mod rule;
pub mod schema;
pub mod settings;
pub mod snapshot;
pub mod sound;
pub mod there;
pub mod tree;

pub use benchleaf_core::finding::Rule;
use benchleaf_core::syntax::LEVELS;
use benchleaf_core::syntax::Verb;
use benchleaf_core::syntax::registers::REGISTERS;
pub use checked::*;

/// What the compiler says.
pub type Finding = benchleaf_core::finding::Finding;

/// How grave a finding is.
pub type Severity = benchleaf_core::finding::Severity;

/// A place in the sources.
pub type Span = benchleaf_core::source::Span;

/// What a trial gives back.
pub type Outcome = Result<(), libtest_mimic::Failed>;

/// Every rule, in the order of the list.
pub fn rules() -> &'static [&'static Rule] {
    benchleaf_core::rules::RULES
}

/// Every word of the language that its description must hold: registers, verbs, message tags.
pub fn vocabulary() -> Vec<String> {
    let registers = REGISTERS.iter().map(|register| format!("`{register}`"));
    // One verb stands alone.
    let verbs = Verb::words().map(|verb| {
        if verb == "stop" {
            format!("[{verb}]")
        } else {
            format!("[{verb} ")
        }
    });
    let tags = LEVELS.iter().map(|(tag, _)| format!("`[!{tag}]`"));
    registers.chain(verbs).chain(tags).collect()
}
