//! Values as an author writes them: what is read prints, and what it prints is read as the same.

use benchleaf_core::answers::{calc::calc, class::class, thread};
use benchleaf_core::reckon::reckon;
use benchleaf_domain::amount::Amount;
use benchleaf_domain::calc as sums;
use benchleaf_domain::fastener::{Fastener, TappedMaterial};
use benchleaf_domain::fit::press::Elastic;
use benchleaf_domain::hazard::GhsPictogram;
use benchleaf_domain::limit::Limit;
use benchleaf_domain::lubrication::{Condition, Lubrication};
use benchleaf_domain::quantity::Measure;
use benchleaf_domain::quantity::spelling::canonical;
use benchleaf_domain::tightening::{Drag, Stage, TorqueValue};
use benchleaf_domain::timer::Duration;
use benchleaf_domain::tool::Deviation;
use std::fmt::Display;

/// Asks every reader of values.
///
/// # Errors
/// What doesn't hold.
pub fn hold(text: &str) -> Result<(), String> {
    if let Ok(measure) = Measure::parse(text) {
        let again =
            Measure::parse(&measure.to_string()).map_err(|_| format!("{text:?} prints {measure}, which is none"))?;
        if again.value() != measure.value() {
            return Err(format!("{text:?} prints {measure}, which is {again}"));
        }
    }
    same(text, Limit::parse)?;
    same(text, Amount::parse)?;
    same(text, Stage::parse)?;
    same(text, Duration::parse)?;
    same(text, TorqueValue::parse)?;
    same(text, Drag::parse)?;
    same(text, Fastener::parse)?;
    same(text, Condition::parse)?;
    same(text, Lubrication::parse)?;
    same(text, TappedMaterial::parse)?;
    same(text, GhsPictogram::parse)?;
    let _ = (Deviation::parse(text).is_ok(), Elastic::parse(text).is_ok());
    spelt(text)?;
    if let Err(error) = sums::parse(text)
        && text.get(error.at.clone()).is_none()
    {
        return Err(format!("{text:?}: a fault at {:?}", error.at));
    }
    answered(text)
}

/// Passes if what a value prints is read, and prints the same again.
fn same<T: Display, E>(text: &str, parse: impl Fn(&str) -> Result<T, E>) -> Result<(), String> {
    let Ok(value) = parse(text) else { return Ok(()) };
    let printed = value.to_string();
    match parse(&printed) {
        Ok(again) if again.to_string() == printed => Ok(()),
        Ok(again) => Err(format!(
            "{text:?} prints {printed:?}, which prints {:?}",
            again.to_string()
        )),
        Err(_) => Err(format!("{text:?} prints {printed:?}, which can't be read")),
    }
}

/// What is spelt anew stays so, and means what it meant.
fn spelt(text: &str) -> Result<(), String> {
    let Some(spelt) = canonical(text) else { return Ok(()) };
    if let Some(again) = canonical(&spelt) {
        return Err(format!("{text:?} is spelt {spelt:?}, and that {again:?}"));
    }
    let meant = |text: &str| Measure::parse(text).ok().map(|measure| measure.value());
    match meant(text) {
        Some(value) if meant(&spelt) != Some(value) => {
            Err(format!("{text:?} is spelt {spelt:?}, which is another value"))
        }
        _ => Ok(()),
    }
}

/// Questions at the bench: an answer of lines, none of which shows what is no number.
fn answered(text: &str) -> Result<(), String> {
    let mut words = text.splitn(2, ' ');
    let (topic, rest) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
    let given: Vec<String> = rest.split(", ").filter(|t| !t.is_empty()).map(String::from).collect();
    let answers = [
        calc(text, None).unwrap_or_default(),
        thread(text).unwrap_or_default(),
        class(text, None, None).unwrap_or_default(),
        reckon(topic, &given).map(|answer| answer.lines).unwrap_or_default(),
    ];
    let no_number = |word: &str| matches!(word.trim_start_matches(['-', '−']), "inf" | "NaN");
    let odd = answers
        .iter()
        .flatten()
        .find(|line| line.split_whitespace().any(no_number));
    odd.map_or(Ok(()), |line| Err(format!("{text:?} gives {line:?}")))
}
