//! What a leaf's data asks of the page, field by field: every text unless it is named here, and so many boxes.
//!
//! A field that is new is asked for without a word: who adds one either prints it or says here why it isn't printed.

use serde_json::{Map, Value};

use super::node::{self, Subject, Text, Tree};
use super::prose::{ends, is_prose, lines};

/// Fields that are not printed, or only as other words, or on some leaves of their kind and not on others: ids, paths, kinds; particulars that
/// another place on the same leaf has. Each is the end of a path, or the path of a dictionary.
const UNPRINTED: &[&str] = &[
    "key",
    "id",
    "path",
    "url",
    "kind",
    "act",
    "signal",
    "fate",
    "verdict",
    "pattern",
    "cover.timers.rule",
    "form.cards.timers.rule",
    "specs.rule",
    // Who the leaf is stands in the head, which is looked at by itself.
    "identity",
    "identity.choices",
    "procedure",
    "choices.option",
    "cover.after.procedure",
    // The banner names what the table of hazards says; pictograms have words of the template's own.
    "worst",
    "ghs",
    // Beside a bar that may have begun on an earlier step.
    "steps.open",
    // Stands at the step, which has its number.
    "holds.step",
    "steps.specs.steps",
    "substeps.specs.steps",
    // Arrow and bar tell the side of a landmark; where a step is missed tells where its note stands.
    "landmarks.side",
    "left_out.missed",
    // Words of the template's own.
    "counted.how",
    // The drawing has its name, and each pass stands at its stage.
    "pattern_name",
    "card.patterns.passes",
    "specs.calc",
    // The steps tell what they take. The set sheet names the cards.
    "cover.parts.steps",
    "cover.temporary.steps",
    "cover.consumables.steps",
    "cover.tools.steps",
    // Where it was done is looked up on the card that did it.
    "fitted.since",
    "off.since",
    "loose.since",
    "states.since",
    "timers.since",
    // Said at the row or before it, which is looked at by itself.
    "loose.detail",
    // Tells which phase such a row may stand in.
    "touched",
    // Only where there are changes.
    "cover.changed_since",
    // Plans: drawn to scale, with labels where there is room; the table has the times.
    "plan.overview",
    "plan.overview.sittings",
    "plan.overview.waits",
    "ticks",
    "plan.sittings.rows.start",
    "plan.sittings.rows.end",
    "plan.every",
    "plan.unstated_each",
    // Records: who it is stands in the head; findings are told as deviations or beside them.
    "report.set",
    "report.set_title",
    "report.title",
    "report.rev",
    "report.fingerprint",
    "report.choices",
    "report.findings",
    "report.deferred.from",
    "report.deferred.done",
    // Change sheets: only where there are several sets, or the revision is another.
    "replace.set_title",
    "sets.cards.old_rev",
    "sets.cards.new_rev",
    "sets.cards.old_code",
    "sets.cards.new_code",
    "change.ratio",
    "changes.ratio",
];

/// Gathered from the steps for others: each stands at its step, and there alone.
const GATHERED: &[&str] = &["card.torques", "card.measurements", "card.holds"];

/// What a pocket leaf prints however little room there is.
const POCKET: &[&str] = &[
    "torques.name",
    "torques.count",
    "torques.lubrication",
    "torques.adapter",
    "stages.figure",
    "stages.second",
    "stages.setting",
    "measurements.name",
    "measurements.limit",
    "measurements.range",
];

/// Whole numbers that are printed, where they are more than one.
const COUNTS: &[&str] = &["count"];

/// What may go on over several leaves, besides the leaf as a whole.
const GOES_ON: &[&str] = &[
    "card.cover",
    // Follow each other in one line.
    "card.cover.left_out",
    "card.carried_in",
    "card.carried_out",
    "card.phases",
    "card.phases.runs",
    "card.patterns",
    "form.cards",
    "kit.sections",
    "kit.against",
    "kit.against.sections",
    "plan.overview",
    "plan.sittings",
    "record.report",
    "changes.sets",
    "changes.sets.cards",
    "changes.sets.cards.changes",
    "changes.sets.shared",
    "changes.sets.shared.change",
    "changes.loud",
    "changes.loud.change",
    "manual.pages",
    "manual.pages.parts",
];

pub fn is_unprinted(path: &str) -> bool {
    // A dictionary that isn't asked for, with all in it.
    UNPRINTED.iter().any(|with| ends(path, with)) || is_gathered(path)
}

fn is_gathered(path: &str) -> bool {
    let below = |list: &&str| {
        path.strip_prefix(*list)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    GATHERED.iter().any(below)
}

pub fn whole(path: &str) -> bool {
    path.contains('.') && !GOES_ON.contains(&path)
}

/// True for a measurement with several rows or columns of boxes or lines to work out, and for a torque of several stages.
pub fn breaks(path: &str, map: &Map<String, Value>) -> bool {
    let rows = length(map, "rows")
        .max(length(map, "working"))
        .max(length(map, "places"))
        .max(length(map, "members"))
        .max(length(map, "columns"));
    boxes(path, map).is_some() && rows > 1 || ends(path, "specs") && length(map, "stages") > 1
}

/// True for one whose boxes stand in columns, under their names.
pub fn headed(path: &str, map: &Map<String, Value>) -> bool {
    breaks(path, map) && length(map, "columns") > 0 && length(map, "working") == 0
}

pub fn again(path: &str) -> bool {
    path.starts_with("card.patterns") || ends(path, "identity") || ends(path, "identity.choices")
}

/// What is open behind a step: a bar beside it says so.
pub fn open(path: &str, map: &Map<String, Value>) -> Vec<String> {
    let all = map
        .get("open")
        .and_then(Value::as_array)
        .filter(|_| path == "card.phases.runs.steps");
    all.into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .map(str::to_string)
        .collect()
}

/// What of the sources an item comes from: what it adds to what is round it.
pub fn subject(path: &str, map: &Map<String, Value>, subject: &mut Subject) {
    let text = |field: &str| map.get(field).and_then(Value::as_str).filter(|text| !text.is_empty());
    if path == "card.phases.runs.steps" {
        subject.step = text("number").map(str::to_string);
    } else if path == "card.phases" {
        subject.phase = map
            .get("number")
            .and_then(Value::as_u64)
            .and_then(|n| usize::try_from(n).ok());
    }
}

/// The texts that an item must print.
pub fn texts(path: &str, map: &Map<String, Value>) -> Vec<Text> {
    let mut texts = Vec::new();
    if is_unprinted(path) {
        return texts;
    }
    for (field, value) in map {
        let below = format!("{path}.{field}");
        if is_unprinted(&below) || is_elsewhere(path, field, map) {
            continue;
        }
        let mut push = |words: String, prose: bool| {
            if !words.trim().is_empty() {
                texts.push(Text {
                    field: field.clone(),
                    words,
                    prose,
                    least: least(path, field, prose, map),
                });
            }
        };
        match value {
            Value::String(words) => push(as_printed(path, field, words), false),
            Value::Number(number) if COUNTS.contains(&field.as_str()) && number.as_u64().is_some_and(|n| n > 1) => {
                push(number.to_string(), false);
            }
            Value::Number(number) if field == "rest" && number.as_u64() != Some(0) => push(number.to_string(), false),
            Value::Number(number) if path == "card.phases" && field == "number" && has_words(map.get("title")) => {
                push(number.to_string(), false);
            }
            Value::Number(number) if path == "card.patterns.positions" && field == "order" => {
                push(number.to_string(), false)
            }
            Value::Array(items) if is_prose(&below, items) => {
                for line in lines(items) {
                    push(line, true);
                }
            }
            Value::Array(items) => {
                for words in items.iter().filter_map(Value::as_str) {
                    push(words.to_string(), false);
                }
            }
            _ => {}
        }
    }
    working(path, &mut texts);
    texts
}

fn text<'a>(map: &'a Map<String, Value>, field: &str) -> &'a str {
    map.get(field).and_then(Value::as_str).unwrap_or_default()
}

/// Times of a record are written with a `T` and printed without.
fn as_printed(path: &str, field: &str, words: &str) -> String {
    match field {
        "started" | "finished" | "start" | "end" | "at" if path.starts_with("record.") => words.replace('T', " "),
        _ => words.to_string(),
    }
}

/// A text that would only repeat another one of the same item.
fn is_elsewhere(path: &str, field: &str, map: &Map<String, Value>) -> bool {
    if path.starts_with("pocket.") {
        let below = format!("{path}.{field}");
        if !POCKET.iter().any(|with| ends(&below, with)) || field == "limit" && !text(map, "range").is_empty() {
            return true;
        }
    }
    let kind = text(map, "kind");
    match field {
        // `20.0 N·m` on a scale says no more than the figure `20 N·m`.
        "setting" => says_less(text(map, "setting"), text(map, "figure")),
        // What a wrench is set to may be the figure in the second unit.
        "second" => !text(map, "setting").is_empty() && says_less(text(map, "setting"), text(map, "second")),
        "what" => kind == "use",
        // That it is done, the sentence says.
        "name" => kind == "do",
        // Places of a calculation stand in its working.
        "rows" | "columns" | "unit" => path.ends_with("specs") && length(map, "working") > 0,
        // One of it is what its name says.
        "amount" => path.starts_with("card.cover.") && text(map, "amount") == "1",
        "unit_price" => text(map, "unit_price") == text(map, "price"),
        "new_code" => text(map, "new_code") == text(map, "old_code"),
        "left" | "right" => text(map, field) == "-",
        _ => false,
    }
}

fn says_less(setting: &str, figure: &str) -> bool {
    setting.replace(".0 ", " ") == figure.replace(".0 ", " ")
}

/// A line of working is cut where its result is written in.
fn working(path: &str, texts: &mut Vec<Text>) {
    if !ends(path, "specs") {
        return;
    }
    let cut = texts.iter().flat_map(|text| {
        let parts: Vec<&str> = match text.field.as_str() {
            "working" => text.words.split("____").collect(),
            _ => vec![text.words.as_str()],
        };
        let part = |words: &str| Text {
            words: words.trim().to_string(),
            ..text.clone()
        };
        parts.into_iter().map(part).collect::<Vec<_>>()
    });
    let cut: Vec<Text> = cut.filter(|text| !text.words.is_empty()).collect();
    *texts = cut;
}

fn has_words(value: Option<&Value>) -> bool {
    value.and_then(Value::as_array).is_some_and(|items| !items.is_empty())
}

fn length(map: &Map<String, Value>, field: &str) -> usize {
    map.get(field).and_then(Value::as_array).map_or(0, Vec::len)
}

/// How large a text must be, in points, and whether it must be bold: what is worked from 12 pt, what a tool is set to 14 pt bold. The author's
/// figure needs that only where no other one is set for it.
pub fn least(path: &str, field: &str, prose: bool, map: &Map<String, Value>) -> (f64, bool) {
    let at_work = path.starts_with("card.phases.");
    let is_stage = ends(path, "specs.stages") || ends(path, "specs.stages.passes");
    let in_passes = length(map, "passes") > 0;
    let plain = text(map, "setting").is_empty() || says_less(text(map, "setting"), text(map, "figure"));
    match field {
        "figure" if at_work && is_stage && !in_passes && plain => (14.0, true),
        "setting" if at_work && is_stage && !in_passes => (14.0, true),
        "limit" | "span" if at_work && ends(path, "specs") => (14.0, true),
        _ if at_work && (prose || path.contains(".specs")) => (12.0, false),
        _ if path.starts_with("card.carried_") => (12.0, false),
        _ => (0.0, false),
    }
}

/// Members of a group that something is done for.
pub fn members(map: &Map<String, Value>) -> usize {
    length(map, "members")
}

/// Where a bolt lies on its part, in millimetres.
pub fn place(path: &str, map: &Map<String, Value>) -> Option<(f64, f64)> {
    let length = |field: &str| map.get(field).and_then(Value::as_f64);
    let place = length("x_mm").zip(length("y_mm"));
    place.filter(|_| path == "card.patterns.positions")
}

/// The side of its drawing that a landmark lies beyond.
pub fn side(path: &str, map: &Map<String, Value>) -> Option<String> {
    let side = map.get("side").and_then(Value::as_str);
    side.filter(|_| path == "card.patterns.landmarks").map(str::to_string)
}

/// Boxes to tick that an item has.
pub fn ticks(path: &str, map: &Map<String, Value>) -> Option<usize> {
    let kind = map.get("kind").and_then(Value::as_str).unwrap_or_default();
    // What members of a group have each.
    let members = members(map).max(1);
    match path {
        "card.phases.runs.steps" | "card.phases.runs.steps.substeps" => Some(members),
        "card.cover.parts" | "card.cover.temporary" | "card.cover.consumables" | "card.cover.tools" => Some(1),
        _ if path.starts_with("card.carried_") && path.matches('.').count() == 2 => Some(1),
        "card.phases.end" => Some(usize::from(map.get("count").and_then(Value::as_u64).unwrap_or(0) > 0)),
        // One for each fastener, at each pass if there are passes.
        _ if ends(path, "specs.stages") && length(map, "passes") > 0 => Some(0),
        _ if ends(path, "specs.stages") || ends(path, "specs.stages.passes") => map
            .get("boxes")
            .and_then(Value::as_u64)
            .and_then(|n| Some(usize::try_from(n).ok()? * members)),
        _ if kind == "torque" => Some(0),
        _ => None,
    }
}

/// Boxes to write in that an item has.
pub fn boxes(path: &str, map: &Map<String, Value>) -> Option<usize> {
    let kind = map.get("kind").and_then(Value::as_str).unwrap_or_default();
    let readings = || match (length(map, "rows"), length(map, "columns")) {
        (0, 0) => 1,
        (rows, 0) => rows,
        (rows, columns) => rows.max(1) * columns,
    };
    let members = members(map).max(1);
    match path {
        _ if ends(path, "specs") => match kind {
            "measure" if length(map, "working") > 0 => Some(length(map, "working") * members),
            "measure" => Some(readings() * members),
            "timer-start" => Some(2 * members),
            "timer-end" => Some(members),
            _ => None,
        },
        _ if ends(path, "steps.holds") => Some(2),
        // How many were tightened, and the wrench.
        "form.cards.torques" => Some(2),
        "form.cards.readings" => Some(length(map, "places")),
        "form.cards.timers" => Some(2 * members),
        "form.cards.holds" => Some(2),
        _ => None,
    }
}

/// Marks that tell of one thing, which the sentence names.
const NAMED: [&[&str]; 2] = [&["item", "use", "snug", "loosen"], &["torque", "measure"]];

/// A thing that is the only one of its sentence isn't named a second time beside it.
pub fn forget_named(value: &Value, tree: &mut Tree) {
    let list = |value: &Value, field: &str| value.get(field).and_then(Value::as_array).cloned().unwrap_or_default();
    let steps = list(value, "phases")
        .iter()
        .flat_map(|phase| list(phase, "runs"))
        .flat_map(|run| list(&run, "steps"))
        .collect::<Vec<Value>>();
    let sentences = steps.iter().flat_map(|step| {
        let mut all = list(step, "substeps");
        all.push(step.clone());
        all
    });
    for sentence in sentences {
        let specs = list(&sentence, "specs");
        let said = lines(&list(&sentence, "text")).join(" ").to_lowercase();
        for kinds in NAMED {
            let kind = |spec: &Value| spec.get("kind").and_then(Value::as_str).unwrap_or_default().to_string();
            let alike = specs.iter().filter(|spec| kinds.contains(&kind(spec).as_str()));
            let [spec] = alike.collect::<Vec<_>>()[..] else {
                continue;
            };
            let name = spec
                .get("name")
                .and_then(Value::as_str)
                .unwrap_or_default()
                .to_lowercase();
            let index = spec.get(node::KEY).and_then(Value::as_str).and_then(node::place);
            if let Some(node) = index
                .filter(|_| said.contains(&name))
                .and_then(|at| tree.nodes.get_mut(at))
            {
                node.texts.retain(|text| text.field != "name");
            }
        }
    }
}
