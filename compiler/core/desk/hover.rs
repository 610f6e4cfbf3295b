//! What there is to say of the thing at a cursor: an entry with its figures in both units, what a torque comes to, the setting of the
//! wrench; and of a step, how the machine stands there and whether work may stop behind it.

use super::things::{self, Mention, Thing};
use crate::Compilation;
use crate::cards::standing::Words;
use crate::cards::{second_unit, torque};
use crate::check::Facts;
use crate::check::ledger::moment;
use crate::check::walk::{Flow, play};
use crate::domain::counted::counted;
use crate::model::catalogue::Kind;
use crate::model::registers::Measurement;
use crate::model::{Choices, Entity, Handle, Home, ProcedureId, Set, Step};
use crate::rules;
use crate::source::{FileId, FileSet, Span};
use crate::syntax::registers::Torque;
use uom::si::force::kilonewton;
use uom::si::ratio::percent;

/// What is said of a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hover {
    pub span: Span,
    /// Markdown.
    pub text: String,
}

/// What there is to say of a place; `None` where there is nothing.
pub fn at(
    files: &FileSet,
    compilation: &Compilation,
    mentions: &[Mention],
    file: FileId,
    offset: usize,
) -> Option<Hover> {
    if let Some(mention) = things::at(mentions, file, offset) {
        let (set, facts) = (
            compilation.model.sets.get(mention.set)?,
            compilation.facts.get(mention.set)?,
        );
        return Some(Hover {
            span: mention.span,
            text: of_thing(files, set, facts, &mention.thing)?,
        });
    }
    let (n, home) = things::level(files, compilation, file)?;
    let set = compilation.model.sets.get(n)?;
    if let Some(span) = code(files, set, file, offset) {
        let rule = rules::find(files.text(span))?;
        let text = rule.explanation();
        return Some(Hover { span, text });
    }
    let Home::Procedure(procedure) = home else { return None };
    let here = |step: &Step| step.span.file == file && step.span.range().contains(&offset);
    let (_, step) = set.procedures.of(procedure)?.steps().find(|(_, step)| here(step))?;
    Some(Hover {
        span: first_line(files, step.span),
        text: of_step(set, procedure, step),
    })
}

/// The code of a finding that a set allows or denies.
fn code(files: &FileSet, set: &Set, file: FileId, offset: usize) -> Option<Span> {
    let names = set.allow.iter().map(|(name, _)| name).chain(&set.deny);
    let here = |span: &Span| span.file == file && span.start as usize <= offset && offset <= span.end as usize;
    names
        .map(|name| name.span)
        .find(|span| here(span) && !files.text(*span).is_empty())
}

fn of_thing(files: &FileSet, set: &Set, facts: &Facts, thing: &Thing) -> Option<String> {
    let catalogue = &set.catalogue;
    Some(match thing {
        Thing::Entry(entity) => {
            let mut lines = vec![format!(
                "**{}**, {}",
                things::title(catalogue, *entity),
                entity.register.entry()
            )];
            lines.extend(
                Torque::handle(*entity)
                    .map(|torque| of_torque(set, facts, torque))
                    .unwrap_or_default(),
            );
            lines.extend(
                Measurement::handle(*entity)
                    .map(|limit| of_limit(set, facts, limit))
                    .unwrap_or_default(),
            );
            lines.extend(written(files, set, *entity));
            lines.join("\n\n")
        }
        Thing::Value(entity, index) => {
            let values = things::values(catalogue, *entity);
            let value = values.get(*index)?;
            let others: Vec<&str> = values.iter().map(|value| value.text.as_str()).collect();
            format!(
                "**{}** of {}: {}",
                value.text,
                things::title(catalogue, *entity),
                others.join(", ")
            )
        }
        Thing::Procedure(id) => {
            let procedure = set.procedures.of(*id)?;
            let about = procedure.about.as_ref();
            let about = about.map_or_else(String::new, |about| format!("\n\n{}", about.text));
            let steps = counted(procedure.steps().count(), "step", "steps");
            let number = id.number();
            format!("**{}**, card {number}, {steps}{about}", procedure.title)
        }
        Thing::Label(id, number) => {
            let procedure = set.procedures.of(*id)?;
            let (_, step) = procedure.steps().find(|(_, step)| step.number == *number)?;
            let line = files.text(first_line(files, step.span)).trim();
            format!("**Step {number}** of {}\n\n{line}", procedure.title)
        }
    })
}

/// Every stage in both units with the setting of the wrench, and what the torque comes to.
fn of_torque(set: &Set, facts: &Facts, handle: Handle<Torque>) -> Vec<String> {
    let stage = |stage: &crate::cards::card::Stage| {
        let second = match stage.second.english().as_str() {
            "" => String::new(),
            second => format!(" ({second})"),
        };
        let setting = match stage.setting.printed().english().as_str() {
            "" => String::new(),
            setting => format!(", set to {setting}"),
        };
        let note = match stage.setting_note.english().as_str() {
            "" => String::new(),
            note => format!(", {note}"),
        };
        format!("{}{second}{setting}{note}", stage.figure)
    };
    let stages: Vec<String> = torque::stages(set, &facts.torques, handle).iter().map(stage).collect();
    let tools = torque::tools(set, &facts.torques, handle);
    let mut lines = Vec::new();
    if !stages.is_empty() {
        lines.push(stages.join(", then "));
    }
    if !tools.is_empty() {
        lines.push(format!("with the {tools}"));
    }
    let estimate = facts
        .torques
        .torques
        .get(&handle)
        .and_then(|torque| torque.estimate.as_ref());
    lines.extend(estimate.map(|estimate| {
        let found = &estimate.assessment;
        let preload = found.preload.usual.get::<kilonewton>();
        let share = found
            .share_of_proof()
            .map(|share| format!(", {:.0} % of the proof load", share.get::<percent>()));
        format!("Estimated preload {preload:.1} kN{}.", share.unwrap_or_default())
    }));
    lines
}

/// The limit in both units, and its gauge.
fn of_limit(set: &Set, facts: &Facts, handle: Handle<Measurement>) -> Vec<String> {
    let def = &set.catalogue.limits[handle];
    let mut lines = Vec::new();
    if let Some(limit) = def.limit.as_ref().map(|limit| &limit.value) {
        let second = second_unit(set, limit.unit()).and_then(|unit| limit.in_unit(unit));
        let second = second.map(|second| format!(" ({second})")).unwrap_or_default();
        let range = limit
            .worked_out()
            .map(|range| format!(", which is {range}"))
            .unwrap_or_default();
        lines.push(format!("{limit}{second}{range}"));
    }
    if let Some(gauge) = set.links.gauges.get(&handle) {
        let tool = &set.catalogue.tools[*gauge];
        let reads = tool.resolution.as_ref().or(tool.step.as_ref());
        let reads = reads
            .map(|reads| format!(", reads to {}", reads.value))
            .unwrap_or_default();
        let known = facts.torques.gauges.contains_key(&handle);
        let judged = if known {
            ""
        } else {
            " (not judged: its resolution isn't known)"
        };
        lines.push(format!("with the {}{reads}{judged}", tool.name));
    }
    lines
}

/// An entry as it was written.
fn written(files: &FileSet, set: &Set, entity: Entity) -> Option<String> {
    let (_, _, _, span) = set.catalogue.entries().find(|(other, ..)| *other == entity)?;
    let source = files.get(span.file);
    let above = source.text.get(..span.start as usize)?;
    let start = above.rfind('\n').map_or(0, |at| at + 1);
    let text = source.text.get(start..)?;
    let indent = |line: &str| line.len() - line.trim_start_matches(' ').len();
    let mut lines = text.split_inclusive('\n');
    let first = lines.next()?;
    let own = indent(first);
    let mut length = first.len();
    for line in lines {
        if !line.trim().is_empty() && indent(line) <= own {
            break;
        }
        length += line.len();
    }
    let shown: Vec<&str> = text
        .get(..length)?
        .trim_end()
        .lines()
        .map(|line| line.get(own..).unwrap_or(""))
        .collect();
    let place = format!(
        "{}:{}",
        source.path,
        source.lines().position(&source.text, span.start as usize).line
    );
    Some(format!("```yaml\n{}\n```\n\n{place}", shown.join("\n")))
}

/// How the machine stands before a step, and whether work may stop behind it, for the default choices.
fn of_step(set: &Set, procedure: ProcedureId, step: &Step) -> String {
    let choices = Choices::defaults(&set.catalogue);
    let Some(found) = moment(&play(&Flow::new(set), &choices), procedure, step.number) else {
        return format!("**Step {}** is left out by the default choices.", step.number);
    };
    let words = Words {
        set,
        card: Some(procedure),
    };
    let standing = words.all(&found.before);
    let mut lines = vec![format!("**Before step {}**, by the default choices", step.number)];
    for (what, rows) in [
        ("on", &standing.fitted),
        ("off", &standing.off),
        ("not tight", &standing.loose),
        ("set", &standing.states),
        ("running", &standing.timers),
    ] {
        for row in rows {
            let count = if row.count > 1 {
                format!("{} × ", row.count)
            } else {
                String::new()
            };
            let detail = if row.detail.is_empty() {
                String::new()
            } else {
                format!(" ({})", row.detail.english())
            };
            lines.push(format!(
                "- {what}: {count}{}{detail}, since {}",
                row.what,
                row.since.english()
            ));
        }
    }
    if lines.len() == 1 {
        lines.push("- everything as at the start".to_string());
    }
    let open: Vec<String> = found.open.iter().map(|open| words.open(open).english()).collect();
    lines.push(match open.as_slice() {
        [] => "\nWork may stop behind it.".to_string(),
        open => format!("\nDo not stop behind it: {}.", open.join(", ")),
    });
    lines.join("\n")
}

/// The first line of a span.
fn first_line(files: &FileSet, span: Span) -> Span {
    let line = files.text(span).lines().next().unwrap_or("").trim_end().len();
    span.slice(0..line)
}
