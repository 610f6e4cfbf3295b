//! `convert`: a figure or a limit in another unit.

use super::torque::read;
use crate::answers::calc;
use crate::bench;
use crate::edge::args::Convert;
use crate::edge::{Outcome, Trouble, terminal};

pub fn run(args: &Convert) -> Result<Outcome, Trouble> {
    if let (true, Some(unit)) = (args.difference, &args.unit) {
        let lines = calc::difference(&args.value, unit).map_err(Trouble::new)?;
        lines.iter().for_each(|line| terminal::say(line));
        return Ok(Outcome::Clean);
    }
    if let (true, Some(unit)) = (args.temperature, &args.unit) {
        let lines = calc::temperature(&args.value, unit).map_err(Trouble::new)?;
        lines.iter().for_each(|line| terminal::say(line));
        return Ok(Outcome::Clean);
    }
    let lines = read(&args.value, |text| bench::convert(text, args.unit.as_deref()))?;
    if lines.is_empty() {
        return Err(Trouble::new(format!(
            "`{}` converts to nothing: its scale stands alone",
            args.value
        )));
    }
    lines.iter().for_each(|line| terminal::say(line));
    Ok(Outcome::Clean)
}
