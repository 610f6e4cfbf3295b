//! `thread`: the geometry of a thread.

use super::torque::read;
use crate::answers;
use crate::edge::args::Thread;
use crate::edge::{Outcome, Trouble, terminal};

pub fn run(args: &Thread) -> Result<Outcome, Trouble> {
    let lines = read(&args.thread, answers::thread)?;
    lines.iter().for_each(|line| terminal::say(line));
    Ok(Outcome::Clean)
}
