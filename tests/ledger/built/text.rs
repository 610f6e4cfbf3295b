//! A random set as an author would write it: one entry a line, one step a line.

use super::set::{Act, Ask, At, Card, Each, If, Only, Part, Set, Step, Thing, Ties};
use std::fmt::Write;

pub const VALUES: [&str; 3] = ["x", "y", "z"];
pub const LETTERS: [&str; 3] = ["a", "b", "c"];
const MEMBERS: [&str; 3] = ["left", "right", "third"];

/// Files by path, with where each step stands.
pub struct Text {
    pub files: Vec<(String, String)>,
    /// By card and step: the line of its file, from 1, and what stands there.
    pub steps: Vec<Vec<(usize, String)>>,
}

impl Text {
    pub fn shown(&self) -> String {
        self.files
            .iter()
            .map(|(path, text)| format!("=== {path}\n{text}"))
            .collect()
    }

    /// Path of a card.
    pub fn path(&self, card: usize) -> &str {
        &self.files[card + 1].0
    }
}

fn list(field: &str, words: Vec<String>) -> String {
    match words.is_empty() {
        true => String::new(),
        false => format!("{field}: [{}]", words.join(", ")),
    }
}

fn ask(ask: &Ask) -> String {
    match ask {
        Ask::Is(thing) => thing.id(),
        Ask::Off(thing) => format!("{}=off", thing.id()),
        Ask::Loose(torque) => format!("q{torque}=loose"),
        Ask::At(state, values) => format!("s{state}={}", words(values, &VALUES)),
    }
}

fn words(values: &[usize], of: &[&str]) -> String {
    let words: Vec<&str> = values.iter().map(|value| of[*value]).collect();
    words.join("|")
}

fn pairs(only: &Only) -> Vec<String> {
    let pair = |(option, values): &(usize, Vec<usize>)| format!("o{option}={}", words(values, &LETTERS));
    only.iter().map(pair).collect()
}

fn ties(ties: &Ties, torque: bool) -> Vec<String> {
    let things = |things: &[Thing]| things.iter().map(|thing| thing.id()).collect();
    let asks = |asks: &[Ask]| asks.iter().map(ask).collect();
    vec![
        list("secures", ties.secures.iter().map(|part| format!("p{part}")).collect()),
        list("covers", things(&ties.covers)),
        list("contains", things(&ties.contains)),
        list("needs", asks(&ties.needs)),
        list("never-with", things(&ties.never_with)),
        list("to-fit", asks(&ties.to_fit)),
        list(if torque { "to-loosen" } else { "to-remove" }, asks(&ties.to_remove)),
        list("to-tighten", asks(&ties.to_tighten)),
        list("only", pairs(&ties.only)),
        if ties.each {
            "each: g".to_string()
        } else {
            String::new()
        },
    ]
}

fn part(part: &Part) -> Vec<String> {
    let mut fields = Vec::new();
    if part.qty != 1 {
        fields.push(format!("qty: {}", part.qty));
    }
    if !part.fitted {
        fields.push("fitted: no".to_string());
    }
    if part.single {
        fields.push("reuse: no".to_string());
    }
    if let Some(old) = part.replaces {
        fields.push(format!("replaces: p{old}"));
    }
    if part.renew {
        fields.push("renew: yes".to_string());
    }
    if part.spares > 0 {
        fields.push(format!("spares: {}", part.spares));
    }
    if part.marked {
        fields.push("marked: yes".to_string());
    }
    if let Some(on) = part.finish {
        fields.push(format!("finish: {}", if on { "on" } else { "off" }));
    }
    fields.extend(ties(&part.ties, false));
    fields
}

/// A register of entries; nothing where there are none.
fn register(out: &mut String, name: &str, letter: char, entries: Vec<Vec<String>>) {
    if !entries.is_empty() {
        let _ = writeln!(out, "{name}:");
    }
    for (number, fields) in entries.into_iter().enumerate() {
        let fields: Vec<String> = fields.into_iter().filter(|field| !field.is_empty()).collect();
        let _ = writeln!(
            out,
            "  {letter}{number}: {{name: thing {letter}{number}, {}}}",
            fields.join(", ")
        );
    }
}

fn registers(set: &Set) -> String {
    let mut out = String::from("machine: Invented pump\ntitle: Rebuild\n");
    let choice = |choice: &super::set::Choice| {
        let values = LETTERS[..choice.values].join(", ");
        let only = list("only", pairs(&choice.only));
        vec![
            format!("values: [{values}]"),
            format!("default: {}", LETTERS[choice.default]),
            only,
        ]
    };
    if !set.options.is_empty() {
        out += "options:\n";
    }
    for (number, option) in set.options.iter().enumerate() {
        let fields: Vec<String> = choice(option).into_iter().filter(|field| !field.is_empty()).collect();
        let _ = writeln!(out, "  o{number}: {{{}}}", fields.join(", "));
    }
    if !set.never.is_empty() {
        out += "never:\n";
    }
    for never in &set.never {
        let pairs: Vec<String> = never.iter().map(|(o, v)| format!("o{o}: {}", LETTERS[*v])).collect();
        let _ = writeln!(out, "  - {{{}}}", pairs.join(", "));
    }
    if set.members > 0 {
        let _ = writeln!(out, "groups: {{g: [{}]}}", MEMBERS[..set.members].join(", "));
    }
    register(&mut out, "parts", 'p', set.parts.iter().map(part).collect());
    let items = set.items.iter().map(|item| {
        let keeps: Vec<String> = item
            .keeps
            .iter()
            .map(|(state, values)| {
                let values: Vec<&str> = values.iter().map(|value| VALUES[*value]).collect();
                format!("s{state}: [{}]", values.join(", "))
            })
            .collect();
        let mut fields = ties(&item.ties, false);
        if item.qty != 1 {
            fields.push(format!("qty: {}", item.qty));
        }
        if !keeps.is_empty() {
            fields.push(format!("keeps: {{{}}}", keeps.join(", ")));
        }
        if item.perilous {
            fields.push("unsafe: yes".to_string());
        }
        fields
    });
    register(&mut out, "temporary", 't', items.collect());
    let torques = set.torques.iter().map(|torque| {
        let mut fields = vec!["torque: 24 N·m".to_string(), "lubrication: dry".to_string()];
        if let Some(part) = torque.part {
            fields.push(format!("part: p{part}"));
        }
        if let Some(lubricant) = torque.lubricant {
            fields.push(format!("lubricant: c{lubricant}"));
        }
        if torque.single {
            fields.push("reuse: no".to_string());
        }
        fields.extend(ties(&torque.ties, true));
        fields
    });
    register(&mut out, "torques", 'q', torques.collect());
    let states = set.states.iter().map(|state| {
        let mut fields = vec![format!("values: [{}]", VALUES.join(", "))];
        fields.extend(state.start.map(|value| format!("start: {}", VALUES[value])));
        fields.extend(state.finish.map(|value| format!("finish: {}", VALUES[value])));
        fields.push(list(
            "unsafe",
            state.perilous.iter().map(|v| VALUES[*v].to_string()).collect(),
        ));
        if state.each {
            fields.push("each: g".to_string());
        }
        fields
    });
    register(&mut out, "states", 's', states.collect());
    let limits = set.limits.iter().map(|limit| {
        let mut fields = vec![format!("limit: {}", if limit.low { "0.1..0.3 mm" } else { "max 2 mm" })];
        fields.extend(ties(&limit.ties, false));
        fields
    });
    register(&mut out, "limits", 'l', limits.collect());
    let actions = set.actions.iter().map(|action| {
        let mut fields = ties(&action.ties, false);
        if let Some((state, value)) = action.sets {
            fields.push(format!("sets: {{s{state}: {}}}", VALUES[value]));
        }
        fields
    });
    register(&mut out, "actions", 'a', actions.collect());
    let holds = set.holds.iter().enumerate();
    if !set.holds.is_empty() {
        out += "holds:\n";
    }
    for (number, hold) in holds {
        let fields: Vec<String> = ties(hold, false)
            .into_iter()
            .filter(|field| !field.is_empty())
            .collect();
        let _ = writeln!(out, "  h{number}: {{what: It is seen, {}}}", fields.join(", "));
    }
    let joints = set.joints.iter().map(|joint| {
        let mut fields = vec![list("takes", joint.takes.iter().map(|thing| thing.id()).collect())];
        fields.push(format!("closed-by: {}", joint.closed_by.id()));
        fields.extend(ties(&joint.ties, false));
        fields
    });
    register(&mut out, "joints", 'j', joints.collect());
    let consumables = set.consumables.iter().map(|it| {
        let mut fields: Vec<String> = it.open.iter().map(|open| format!("open: {open} min")).collect();
        fields.extend(it.cure.map(|cure| format!("cure: {cure} min")));
        fields
    });
    register(&mut out, "consumables", 'c', consumables.collect());
    if set.cases > 0 {
        out += "cases:\n";
    }
    for case in 0..set.cases {
        let _ = writeln!(out, "  k{case}: It turns out so {case}");
    }
    let shared = |(number, card): (usize, &Card)| {
        let after = list("after", card.after.iter().map(|card| format!("card{card}")).collect());
        let fields = [
            format!("file: ../common/card{number}.md"),
            after,
            list("only", pairs(&card.only)),
        ];
        let fields: Vec<String> = fields.into_iter().filter(|field| !field.is_empty()).collect();
        format!("  card{number}: {{{}}}\n", fields.join(", "))
    };
    let entries: Vec<String> = set
        .cards
        .iter()
        .enumerate()
        .filter(|(_, card)| card.shared)
        .map(shared)
        .collect();
    if !entries.is_empty() {
        out += "procedures:\n";
        out += &entries.concat();
    }
    out
}

fn at(at: At) -> String {
    let member = at
        .member
        .map_or_else(String::new, |member| format!("/{}", MEMBERS[member]));
    format!("{}{member}", at.thing.id())
}

/// A mark as it is written.
pub fn mark(act: &Act) -> String {
    let counted = |verb: &str, what: At, count: Option<usize>| {
        let count = count.map_or_else(String::new, |count| format!(" {count}"));
        format!("[{verb} {}{count}]", at(what))
    };
    match act {
        Act::Need(what) => format!("[need {}]", ask(what)),
        Act::Wait(consumable) => format!("[wait c{consumable}]"),
        Act::Fit(what, count) => counted("fit", *what, *count),
        Act::Remove(what, count) => counted("remove", *what, *count),
        Act::Loosen(what) => counted("loosen", *what, None),
        Act::Snug(what) => counted("snug", *what, None),
        Act::Tighten(what) => counted("torque", *what, None),
        Act::Set(what, value) => format!("[set {}={}]", at(*what), VALUES[*value]),
        Act::Do(action) => format!("[do a{action}]"),
        Act::Measure(what, as_found) => {
            format!("[measure {}{}]", at(*what), if *as_found { " as-found" } else { "" })
        }
        Act::UseItem(what) => counted("use", *what, None),
        Act::UseOn(consumable, what) => format!("[use c{consumable} 5 mL on {}]", at(*what)),
        Act::Mark(what) => counted("mark", *what, None),
        Act::Hold(hold) => format!("[hold h{hold}]"),
    }
}

fn only(only: &Only) -> String {
    pairs(only).iter().map(|pair| format!(" [only {pair}]")).collect()
}

fn step(step: &Step, number: usize, labelled: bool) -> String {
    let lead = if step.bullet {
        "-".to_string()
    } else {
        format!("{number}.")
    };
    let asked = match &step.ask {
        None => String::new(),
        Some(If::Limit(limit, word)) => format!(" [if l{limit} {word}]"),
        Some(If::Case(case, true)) => format!(" [if k{case}]"),
        Some(If::Case(case, false)) => format!(" [if not k{case}]"),
    };
    let acts: String = step.acts.iter().map(|act| format!(" {}", mark(act))).collect();
    let mut line = format!("{lead}{asked} Do{acts} it.{}", only(&step.only));
    if let Some(minutes) = step.minutes {
        let _ = write!(line, " [time {minutes} min]");
    }
    match step.each {
        Each::No => {}
        Each::Side => line += " [each g]",
        Each::Turn => line += " [each g in turn]",
    }
    if labelled {
        let _ = write!(line, " [label n{number}]");
    }
    if let Some(back) = step.back {
        let _ = write!(line, " [repeat n{}]", back + 1);
    }
    if step.stop {
        line += " [stop]";
    }
    line
}

/// A set as files: `set.yaml` first, then a file a card.
pub fn text(set: &Set) -> Text {
    let mut files = vec![("pump/set.yaml".to_string(), registers(set))];
    let mut steps = Vec::new();
    for (number, card) in set.cards.iter().enumerate() {
        let mut lines = vec!["---".to_string(), format!("title: Card {number}")];
        if !card.shared && !card.after.is_empty() {
            let after: Vec<String> = card.after.iter().map(|card| format!("card{card}")).collect();
            lines.push(format!("after: [{}]", after.join(", ")));
        }
        if !card.shared && !card.only.is_empty() {
            lines.push(list("only", pairs(&card.only)));
        }
        lines.push("---".to_string());
        lines.push(String::new());
        let mut places = Vec::new();
        for (n, it) in card.steps.iter().enumerate() {
            if it.phase {
                lines.extend([String::new(), format!("## Phase {n}"), String::new()]);
            } else if n > 0 && it.bullet != card.steps[n - 1].bullet {
                // Another list begins.
                lines.push(String::new());
            }
            let labelled = card.steps.iter().any(|other| other.back == Some(n));
            let line = step(it, n + 1, labelled);
            lines.push(line.clone());
            places.push((lines.len(), line));
        }
        steps.push(places);
        let path = match card.shared {
            true => format!("common/card{number}.md"),
            false => format!("pump/{number}0-card{number}.md"),
        };
        files.push((path, lines.join("\n") + "\n"));
    }
    Text { files, steps }
}
