//! `calc`: an expression with units, worked out.

use crate::answers::calc;
use crate::edge::args::Calc;
use crate::edge::{Outcome, Trouble, terminal};

pub fn run(args: &Calc) -> Result<Outcome, Trouble> {
    let lines = calc::calc(&args.expression, args.unit.as_deref()).map_err(Trouble::new)?;
    lines.iter().for_each(|line| terminal::say(line));
    Ok(Outcome::Clean)
}
