//! Everything that is known of some files, as JSON: what was written, what it means, what happens in it, and what is printed of it. For
//! whoever tests or mends the compiler; no other program should build on it, since its shape is that of the insides.
//!
//! Places are byte ranges `[start, end]` in the file that is named with them in the tree, and `path:line:column` elsewhere.

mod events;
mod leaves;
mod model;
mod names;

use crate::check::Facts;
use crate::model::{Model, Set};
use crate::parse;
use crate::source::{FileSet, Span};
use crate::syntax::documents::ProcedureFile;
use serde_json::{Value, json};

/// What is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The body of each procedure as it was read.
    Tree,
    /// The sets with their entries, procedures, steps and marks, names bound.
    Model,
    /// What happens, for every combination of choices and for the default ones.
    Events,
    /// The leaves of each set for its default choices, with their codes.
    Leaves,
}

/// One part of what is known of some files.
pub fn dump(files: &FileSet, model: &Model, facts: &[Facts], part: Part) -> Value {
    let of_set = |set: &Set, facts: &Facts| match part {
        Part::Tree => None,
        Part::Model => Some(model::model(files, set)),
        Part::Events => Some(events::events(files, set)),
        Part::Leaves => Some(leaves::leaves(files, set, facts)),
    };
    let one = |(set, facts): (&Set, &Facts)| {
        let known = of_set(set, facts)?;
        Some(json!({ "set": set.id, "folder": set.folder, "known": known }))
    };
    match part {
        Part::Tree => tree(files),
        Part::Model | Part::Events | Part::Leaves => model.sets.iter().zip(facts).filter_map(one).collect(),
    }
}

fn tree(files: &FileSet) -> Value {
    let (documents, _) = parse::parse(files);
    let one = |procedure: &ProcedureFile| {
        let title = procedure.head.title.as_ref().map_or("", |title| title.text.as_str());
        json!({ "path": files.get(procedure.file).path, "title": title, "body": procedure.body })
    };
    documents.procedures.iter().map(one).collect()
}

/// A place as people count.
fn place(files: &FileSet, span: Span) -> String {
    let file = files.get(span.file);
    let position = file.lines().position(&file.text, span.start as usize);
    format!("{}:{}:{}", file.path, position.line, position.column)
}
