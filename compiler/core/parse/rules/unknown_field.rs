//! # Unknown field
//!
//! ## What it means
//! A map holds a field that the authoring language doesn't have there. A value with a comma in it, in a map in braces and without quotes,
//! makes one too: YAML ends the value at the comma.
//!
//! ## Why it matters
//! A misspelt field would be a figure nobody reads: `tolerence: ± 5 %` leaves the torque without its tolerance.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {torque: 24 N·m, tolerence: ± 5 %}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {torque: 24 N·m, tolerance: ± 5 %}
//! ```

use crate::finding::{Finding, Rule, Severity, did_you_mean, quoted};
use crate::source::Span;
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL004",
    name: "unknown-field",
    severity: Severity::Error,
    page: include_str!("unknown_field.rs"),
};

/// `what` is what the map describes, with its article; `known` are the fields it may have, and `free` those of them that it hasn't.
pub fn finding(field: &Name, what: &str, known: &[&str], free: &[&str]) -> Finding {
    if let Some((name, value)) = field.text.split_once('=') {
        let (name, value) = (name.trim(), value.trim());
        if known.contains(&name) && !value.is_empty() {
            return Finding::new(&RULE, field.span, "a field is written with `:`, not with `=`").replace(
                field.span,
                format!("{name}: {value}"),
                "write it as `name: value`",
            );
        }
    }
    // `{name:words}`: YAML takes it for one word.
    if let Some((name, value)) = field.text.split_once(':')
        && known.contains(&name)
        && !value.is_empty()
    {
        return Finding::new(&RULE, field.span, "the `:` of a field needs a space behind it").replace(
            field.span,
            format!("{name}: {value}"),
            "put a space there",
        );
    }
    let finding = Finding::new(&RULE, field.span, format!("{what} has no field `{}`", field.text));
    match did_you_mean(&field.text, free.iter().copied()) {
        Some(name) => finding.guess(field.span, name, format!("did you mean `{name}`?")),
        None => finding.help(format!("its fields are {}", quoted(known))),
    }
}

/// An entry of a register that stands beside the register instead of in it.
pub fn outdented(entry: &Name, register: &str) -> Finding {
    Finding::new(
        &RULE,
        entry.span,
        format!("`{}` stands beside `{register}`, so it is no entry of it", entry.text),
    )
    .help(format!("indent the lines below `{register}:` by two more spaces"))
}

/// A register that stands in another one.
pub fn indented(register: &Name, outer: &str) -> Finding {
    Finding::new(
        &RULE,
        register.span,
        format!(
            "`{}` stands in `{outer}`, so it is no register of its own",
            register.text
        ),
    )
    .help(format!(
        "start it at the same indent as `{outer}:`, and its entries two spaces further in"
    ))
}

/// `piece` is what stands after the comma that ended the value of `field`, `span` all of what was meant as its value.
pub fn cut(piece: Span, span: Span, field: &str, value: &str) -> Finding {
    let finding = Finding::new(
        &RULE,
        piece,
        format!("YAML ends the value of `{field}` at the comma before this"),
    );
    let help = "put quotes round the value";
    match value.contains(['"', '\\']) {
        true => finding.help(help),
        false => finding.replace(span, format!("\"{value}\""), help),
    }
}
