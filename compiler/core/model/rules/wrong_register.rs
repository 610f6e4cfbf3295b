//! # The id is in another register
//!
//! ## What it means
//! The entry exists, but not in a register that this mark or field can point into.
//!
//! ## Why it matters
//! Fitting a torque or tightening a gasket means nothing; most often the verb is the wrong one.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Put in the [fit head-bolts].
//! 2. Tighten the [torque head-bolts].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Run in the [snug head-bolts].
//! 2. Tighten the [torque head-bolts].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;
use crate::syntax::Name;
use crate::syntax::registers::Register;

pub static RULE: Rule = Rule {
    code: "BL109",
    name: "wrong-register",
    severity: Severity::Error,
    page: include_str!("wrong_register.rs"),
};

/// `found` is where it is, `wanted` where it would have to be.
pub fn finding(name: &Name, found: Register, wanted: &[Register]) -> Finding {
    let wanted = entries(wanted);
    let found_as = found.entry();
    Finding::new(&RULE, name.span, format!("`{}` is {found_as}, not {wanted}", name.text))
        .help(format!("name {wanted} here; {found_as} is named by {}", namers(found)))
}

/// `[wait TIMER]`; `mark` is the place of both brackets.
pub fn timer_waited_for(name: &Name, mark: Span) -> Finding {
    let end = format!("[end {}]", name.text);
    let help = format!(
        "a timer is waited for with `{end}`, and begun with `[start {}]`",
        name.text
    );
    let message = format!("`{}` is a timer, not a consumable", name.text);
    Finding::new(&RULE, name.span, message).guess(mark, end, help)
}

/// `a tool, a part or a consumable`
fn entries(registers: &[Register]) -> String {
    match registers {
        [first @ .., last] if !first.is_empty() => {
            let first: Vec<&str> = first.iter().map(|r| r.entry()).collect();
            format!("{} or {}", first.join(", "), last.entry())
        }
        _ => registers.first().map_or("", |r| r.entry()).to_string(),
    }
}

/// The marks, or the field, that name an entry of a register.
fn namers(register: Register) -> &'static str {
    match register {
        Register::Parts | Register::Temporary => "`fit`, `remove` or `use`",
        Register::Consumables | Register::Tools => "`use`",
        Register::Torques => "`torque`, `snug` or `loosen`",
        Register::Limits => "`measure`",
        Register::States => "`need` or `set`",
        Register::Actions => "`do`",
        Register::Timers => "`start` or `end`",
        Register::Holds => "`hold`",
        Register::Options => "`only`",
        Register::Patterns => "the field `pattern` of a torque",
        Register::Joints => "`use … on`, or a field such as `needs`",
        Register::Cases => "`if`",
        Register::Groups => "`each`",
        Register::Pictures => "its own file alone",
    }
}
