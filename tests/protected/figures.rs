//! The figure that somebody works by: an answer or none, and none that can't be.

use super::Check;
use crate::left::run;
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 2] = [("no-answer-is-told", none), ("no-answer-is-infinite", infinite)];

fn none(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    for line in [
        ["convert", "79000000000000000000000000000 m", "µm"],
        ["convert", "79000000000000000000000000000 km", "µm"],
        ["convert", "-300 °C", "K"],
        ["convert", "max -300 °C", "K"],
        ["convert", "-500 °F", "°C"],
        ["convert", "-1 K", "°C"],
        ["convert", "-400..-300 °C", "K"],
    ] {
        let (output, errors, code) = scratch.run(&line.map(String::from));
        // A difference of temperatures may be below zero.
        let difference = line[1] == "-1 K";
        if !difference && (code != Some(2) || errors.trim().is_empty() || !output.trim().is_empty()) {
            faults.push(format!("{line:?} ended with {code:?}: {output}{errors}"));
        }
    }
    for (line, words) in [
        (["convert", "-273.15 °C", "°F"], "-459.67"),
        (["convert", "-40 °C", "°F"], "-40"),
        (["convert", "-5 K", "Δ°F"], "-9"),
    ] {
        let (output, errors, code) = scratch.run(&line.map(String::from));
        if code != Some(0) || !output.contains(words) {
            faults.push(format!("{line:?} ended with {code:?}: {output}{errors}"));
        }
    }
    faults
}

fn infinite(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    let huge = "79000000000000000000000000000";
    for (what, torque) in [
        ("M8 8.8", format!("{huge} N·m")),
        ("M8 8.8", format!("{huge} kN·m")),
        ("M8", format!("{huge} lbf·ft")),
    ] {
        let line = ["torque", what, &torque].map(String::from);
        faults.extend(unbounded(scratch, &line));
    }
    for preload in [format!("{huge} N"), format!("{huge} lbf")] {
        let line = ["torque", "M8 8.8", "--preload", &preload].map(String::from);
        faults.extend(unbounded(scratch, &line));
    }
    let line = [
        "torque",
        "M8 8.8",
        "25 N·m",
        "--adapter",
        "79000000000000000000000000000 km",
        "--wrench-length",
        "1 µm",
    ]
    .map(String::from);
    faults.extend(unbounded(scratch, &line));
    let line = ["torque", "M8 8.8", "25 N·m", "+79000000000000000000000000000°"].map(String::from);
    faults.extend(unbounded(scratch, &line));
    faults.extend(
        (run(scratch, "torque M8").2 != Some(2)).then(|| "a question without a figure is answered".to_string()),
    );
    faults
}

fn unbounded(scratch: &Scratch, line: &[String]) -> Vec<String> {
    let (output, errors, code) = scratch.run(line);
    let said = format!("{output}{errors}");
    let odd = said
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| matches!(word, "inf" | "NaN" | "nan"));
    let long = said
        .split_whitespace()
        .any(|word| word.chars().filter(char::is_ascii_digit).count() > 16 && !said.contains("past"));
    match odd || long || code.is_none() || code == Some(0) {
        true => vec![format!("{line:?} ended with {code:?}: {said}")],
        false => Vec::new(),
    }
}
