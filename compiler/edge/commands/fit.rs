//! `fit`: the sizes of a fit, and what presses or warms it together.

use super::torque::{optional, read};
use crate::answers::{self, FitQuestion};
use crate::domain::quantity::Written;
use crate::edge::args::Fit;
use crate::edge::{Outcome, Trouble, terminal};

pub fn run(args: &Fit) -> Result<Outcome, Trouble> {
    let question = FitQuestion {
        fit: args.fit.clone(),
        length: optional(args.length.as_deref(), Written::parse)?,
        outside: optional(args.outside.as_deref(), Written::parse)?,
        bore: optional(args.bore.as_deref(), Written::parse)?,
        hub: args.hub.clone(),
        shaft: args.shaft.clone(),
        friction: args.friction,
        play: optional(args.play.as_deref(), Written::parse)?,
        start: optional(args.start.as_deref(), Written::parse)?,
        bearing: args.bearing,
    };
    let answer = read(&args.fit, |_| answers::fit(&question))?;
    answer.lines.iter().for_each(|line| terminal::say(line));
    Ok(if answer.refused {
        Outcome::Errors
    } else {
        Outcome::Clean
    })
}
