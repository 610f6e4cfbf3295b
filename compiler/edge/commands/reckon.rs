//! `reckon`: a topic of bench arithmetic, with what is known about it.

use crate::edge::args::Reckon;
use crate::edge::{Outcome, Trouble, terminal};
use crate::reckon;

pub fn run(args: &Reckon) -> Result<Outcome, Trouble> {
    let answer = match &args.topic {
        None => reckon::topics(),
        Some(topic) => reckon::reckon(topic, &args.given).map_err(Trouble::new)?,
    };
    answer.lines.iter().for_each(|line| terminal::say(line));
    Ok(if answer.refused {
        Outcome::Errors
    } else {
        Outcome::Clean
    })
}
