//! `class`: how strong a property class is.

use super::torque::optional;
use crate::answers::class;
use crate::domain::quantity::Written;
use crate::edge::args::Class;
use crate::edge::{Outcome, Trouble, terminal};

pub fn run(args: &Class) -> Result<Outcome, Trouble> {
    let lines = match &args.class {
        None => class::list(),
        Some(name) => {
            let asked = args
                .thread
                .as_ref()
                .map_or_else(|| name.clone(), |thread| format!("{name} {thread}"));
            let length = optional(args.length.as_deref(), Written::parse)?;
            class::class(name, args.thread.as_deref(), length.as_ref())
                .map_err(|error| Trouble::new(format!("in `{asked}`: {}; {}", error.message(), error.help())))?
        }
    };
    lines.iter().for_each(|line| terminal::say(line));
    Ok(Outcome::Clean)
}
