//! Register entries field by field. Left out is what matters to nobody at the bench: what a thing costs, and what a figure was compared
//! with.

use super::value::{Source, Value};
use crate::check::tightening::TorqueFacts;
use crate::domain::quantity::Measure;
use crate::domain::tightening::Stage;
use crate::model::At;
use crate::model::Name;
use crate::model::registers::{
    Choice, Consumable, Hazard, Hold, Layout, Measurement, Part, Pattern, Register, Reuse, Span, State, Temporary,
    Timer, Tool, Torque,
};
use crate::model::{Catalogue, Def, Entity, Handle, Set};
use std::collections::BTreeMap;

/// A field that says something.
#[derive(Debug, Clone)]
pub struct Field<'a> {
    /// As the language names it.
    pub name: &'static str,
    pub value: Value<'a>,
}

/// An entry with what it points at.
#[derive(Debug, Clone)]
pub struct Entry<'a> {
    pub register: Register,
    pub id: &'a str,
    pub name: &'a str,
    pub fields: Vec<Field<'a>>,
    /// Entries that print with it: the pattern and wrench of a torque, the gauge of a limit.
    pub links: Vec<Entity>,
}

/// Every entry that a set can see.
pub fn all<'a>(set: &'a Set, facts: &TorqueFacts) -> BTreeMap<Entity, Entry<'a>> {
    let mut found = BTreeMap::new();
    let c: &'a Catalogue = &set.catalogue;
    let mut put = |register, index, id: &'a Name, name: &'a str, gathered: Gathered<'a>| {
        let entry = Entry {
            register,
            id: &id.text,
            name,
            fields: gathered.fields,
            links: gathered.links,
        };
        found.insert(Entity { register, index }, entry);
    };
    for (h, d) in c.parts.iter() {
        put(Register::Parts, h.index(), &d.id, &d.value.name, part(set, h, d));
    }
    for (h, d) in c.temporary.iter() {
        put(
            Register::Temporary,
            h.index(),
            &d.id,
            &d.value.name,
            temporary(&d.value),
        );
    }
    for (h, d) in c.consumables.iter() {
        put(
            Register::Consumables,
            h.index(),
            &d.id,
            &d.value.name,
            consumable(&d.value),
        );
    }
    for (h, d) in c.tools.iter() {
        put(Register::Tools, h.index(), &d.id, &d.value.name, tool(&d.value));
    }
    for (h, d) in c.torques.iter() {
        put(
            Register::Torques,
            h.index(),
            &d.id,
            &d.value.name,
            torque(set, facts, h, &d.value),
        );
    }
    for (h, d) in c.limits.iter() {
        put(
            Register::Limits,
            h.index(),
            &d.id,
            &d.value.name,
            limit(set, h, &d.value),
        );
    }
    for (h, d) in c.states.iter() {
        put(Register::States, h.index(), &d.id, &d.value.name, state(&d.value));
    }
    for (h, d) in c.actions.iter() {
        put(Register::Actions, h.index(), &d.id, &d.value.name, action(set, h, d));
    }
    for (h, d) in c.timers.iter() {
        put(Register::Timers, h.index(), &d.id, &d.value.what, timer(&d.value));
    }
    for (h, d) in c.holds.iter() {
        put(Register::Holds, h.index(), &d.id, &d.value.what, hold(&d.value));
    }
    for (h, d) in c.options.iter() {
        put(Register::Options, h.index(), &d.id, &d.value.what, option(&d.value));
    }
    for (h, d) in c.patterns.iter() {
        put(Register::Patterns, h.index(), &d.id, &d.value.name, pattern(&d.value));
    }
    found
}

/// Fields and links of one entry.
#[derive(Default)]
struct Gathered<'a> {
    fields: Vec<Field<'a>>,
    links: Vec<Entity>,
}

impl<'a> Gathered<'a> {
    fn new(name: &'a str) -> Self {
        let mut gathered = Gathered::default();
        gathered.text("name", name);
        gathered
    }

    fn put(&mut self, name: &'static str, source: Source<'a>) {
        self.fields.push(Field {
            name,
            value: Value::new(source),
        });
    }

    fn text(&mut self, name: &'static str, text: impl Into<std::borrow::Cow<'a, str>>) {
        self.fields.push(Field {
            name,
            value: Value::text(text),
        });
    }

    fn name(&mut self, field: &'static str, name: &'a Option<Name>) {
        if let Some(name) = name {
            self.text(field, name.text.as_str());
        }
    }

    fn measure(&mut self, name: &'static str, measure: Option<&'a Measure>) {
        if let Some(measure) = measure {
            self.put(name, Source::Measure(measure));
        }
    }

    fn flag(&mut self, name: &'static str, flag: bool) {
        self.text(name, if flag { "yes" } else { "no" });
    }

    fn count(&mut self, name: &'static str, count: u32) {
        self.text(name, count.to_string());
    }

    fn hazards(&mut self, hazards: &[Hazard]) {
        if !hazards.is_empty() {
            let mut words: Vec<&str> = hazards.iter().map(|h| h.word()).collect();
            words.sort_unstable();
            self.text("hazard", words.join(", "));
        }
    }

    fn list(&mut self, field: &'static str, names: &[Name]) {
        if !names.is_empty() {
            let words: Vec<&str> = names.iter().map(|n| n.text.as_str()).collect();
            self.text(field, words.join(", "));
        }
    }
}

fn reuse(reuse: Reuse) -> &'static str {
    match reuse {
        Reuse::Yes => "yes",
        Reuse::No => "no",
        Reuse::Inspect => "inspect",
    }
}

fn part<'a>(set: &'a Set, handle: Handle<Part>, def: &'a Def<Part>) -> Gathered<'a> {
    let part = &def.value;
    let mut out = Gathered::new(&part.name);
    out.name("number", &part.number);
    out.count("qty", part.qty);
    out.text("reuse", reuse(part.reuse));
    out.flag("fitted", part.fitted);
    if let Some(old) = set.links.replaces.get(&handle) {
        out.text("replaces", set.catalogue.parts[*old].name.as_str());
    }
    out.hazards(&part.hazards);
    out.name("note", &part.note);
    out
}

fn temporary(item: &Temporary) -> Gathered<'_> {
    let mut out = Gathered::new(&item.name);
    out.count("qty", item.qty);
    out.name("flag", &item.flag);
    out.name("note", &item.note);
    out
}

fn consumable(consumable: &Consumable) -> Gathered<'_> {
    let mut out = Gathered::new(&consumable.name);
    if let Some(amount) = &consumable.amount {
        out.put("amount", Source::Amount(&amount.value));
    }
    if !consumable.hazards.is_empty() {
        let mut codes: Vec<&str> = consumable.hazards.iter().map(|h| h.value.code()).collect();
        codes.sort_unstable();
        out.text("hazards", codes.join(", "));
    }
    for (name, time) in [("open", &consumable.open), ("cure", &consumable.cure)] {
        if let Some(time) = time {
            out.put(name, Source::Duration(&time.value));
        }
    }
    out.name("note", &consumable.note);
    out
}

fn tool(tool: &Tool) -> Gathered<'_> {
    let mut out = Gathered::new(&tool.name);
    out.name("kind", &tool.kind);
    if let Some(range) = &tool.range {
        out.put("range", Source::Interval(&range.value));
    }
    out.measure("step", tool.step.as_ref().map(|m| &m.value));
    out.measure("drive", tool.drive.as_ref().map(|m| m.value.measure()));
    if let Some(accuracy) = &tool.accuracy {
        out.put("accuracy", Source::Tolerance(&accuracy.value));
    }
    out.measure("length", tool.length.as_ref().map(|m| m.value.measure()));
    out.measure("resolution", tool.resolution.as_ref().map(|m| &m.value));
    out.name("number", &tool.number);
    out.hazards(&tool.hazards);
    out.name("note", &tool.note);
    out
}

fn torque<'a>(set: &'a Set, facts: &TorqueFacts, handle: Handle<Torque>, torque: &'a Torque) -> Gathered<'a> {
    let mut out = Gathered::new(&torque.name);
    if let Some(fastener) = &torque.fastener {
        out.text("fastener", fastener.value.to_string());
    }
    out.count("count", torque.count());
    stages(&torque.stages, &mut out);
    if let Some(tolerance) = &torque.tolerance {
        out.put("tolerance", Source::Tolerance(&tolerance.value));
    }
    let faces = [
        ("threads", &torque.lubrication.threads),
        ("face", &torque.lubrication.face),
    ];
    for (name, condition) in faces {
        if let Some(condition) = condition {
            out.text(name, condition.value.name());
        }
    }
    out.measure("engagement", torque.engagement.as_ref().map(|m| m.value.measure()));
    if let Some(into) = &torque.into {
        out.text("into", into.value.name());
    }
    if let Some(adapter) = &torque.adapter {
        out.measure("adapter length", adapter.length.as_ref().map(|m| m.value.measure()));
        out.measure("adapter angle", adapter.angle.as_ref().map(|m| m.value.measure()));
    }
    out.text("reuse", reuse(torque.reuse));
    out.hazards(&torque.hazards);
    out.name("note", &torque.note);
    if let Some(pattern) = set.links.patterns.get(&handle) {
        out.text("pattern", set.catalogue.patterns[*pattern].name.as_str());
        out.links.push(entity(Register::Patterns, *pattern));
    }
    let tools = crate::check::tightening::tools(set, facts, handle);
    if !tools.is_empty() {
        let names: Vec<&str> = tools.iter().map(|t| set.catalogue.tools[*t].name.as_str()).collect();
        out.text("tool", names.join(", "));
        out.links.extend(tools.into_iter().map(|t| entity(Register::Tools, t)));
    }
    out
}

/// A single figure is the torque; several are stages by number.
fn stages<'a>(stages: &'a [At<Stage>], out: &mut Gathered<'a>) {
    const NAMES: [&str; 8] = [
        "stage 1", "stage 2", "stage 3", "stage 4", "stage 5", "stage 6", "stage 7", "stage 8",
    ];
    for (n, stage) in stages.iter().enumerate() {
        let name = if stages.len() == 1 {
            "torque"
        } else {
            NAMES.get(n).copied().unwrap_or("further stage")
        };
        out.put(name, Source::Stage(&stage.value));
    }
}

fn entity<T>(register: Register, handle: Handle<T>) -> Entity {
    Entity {
        register,
        index: handle.index(),
    }
}

fn limit<'a>(set: &'a Set, handle: Handle<Measurement>, limit: &'a Measurement) -> Gathered<'a> {
    let mut out = Gathered::new(&limit.name);
    if let Some(value) = &limit.limit {
        out.put("limit", Source::Limit(&value.value));
    }
    out.list("rows", &limit.rows);
    out.list("columns", &limit.columns);
    out.flag("record", limit.record);
    out.name("calc", &limit.calc);
    out.name("note", &limit.note);
    if let Some(gauge) = set.links.gauges.get(&handle) {
        out.text("gauge", set.catalogue.tools[*gauge].name.as_str());
        out.links.push(entity(Register::Tools, *gauge));
    }
    out
}

fn state(state: &State) -> Gathered<'_> {
    let mut out = Gathered::new(&state.name);
    out.list("values", &state.values);
    out.name("start", &state.start);
    out.name("finish", &state.finish);
    out.hazards(&state.hazards);
    out.name("note", &state.note);
    out
}

fn action<'a>(
    set: &'a Set,
    handle: Handle<crate::model::registers::Action>,
    def: &'a Def<crate::model::registers::Action>,
) -> Gathered<'a> {
    let mut out = Gathered::new(&def.value.name);
    if let Some(links) = set.links.actions.get(&handle) {
        let states = |pairs: &[(Handle<State>, usize)]| {
            let one = |(state, value): &(Handle<State>, usize)| {
                let state = &set.catalogue.states[*state];
                let value = state.values.get(*value).map_or("", |v| v.text.as_str());
                format!("{}: {value}", state.name)
            };
            // A map has no order.
            let mut all: Vec<String> = pairs.iter().map(one).collect();
            all.sort();
            all.join(", ")
        };
        let mut forbidden: Vec<&str> = links
            .never_with
            .iter()
            .map(|t| set.catalogue.temporary[*t].name.as_str())
            .collect();
        forbidden.sort_unstable();
        let fields = [
            ("needs", states(&links.needs)),
            ("never-with", forbidden.join(", ")),
            ("sets", states(&links.sets)),
        ];
        for (name, text) in fields.into_iter().filter(|(_, text)| !text.is_empty()) {
            out.text(name, text);
        }
    }
    out.hazards(&def.value.hazards);
    out.name("note", &def.value.note);
    out
}

fn timer(timer: &Timer) -> Gathered<'_> {
    let mut out = Gathered::default();
    out.text("what", timer.what.as_str());
    match &timer.span {
        Some(Span::Within(time)) => out.put("within", Source::Duration(&time.value)),
        Some(Span::AtLeast(time)) => out.put("at-least", Source::Duration(&time.value)),
        None => {}
    }
    out.name("note", &timer.note);
    out
}

fn hold(hold: &Hold) -> Gathered<'_> {
    let mut out = Gathered::default();
    out.text("what", hold.what.as_str());
    out.flag("second-person", hold.second_person);
    out.name("note", &hold.note);
    out
}

fn option(option: &Choice) -> Gathered<'_> {
    let mut out = Gathered::default();
    out.text("what", option.what.as_str());
    let mut values: Vec<String> = option
        .values
        .iter()
        .map(|(value, why)| match why {
            Some(why) => format!("{}: {}", value.text, why.text),
            None => value.text.clone(),
        })
        .collect();
    values.sort();
    out.text("values", values.join("; "));
    out.name("default", &option.default);
    out.name("note", &option.note);
    out
}

fn pattern(pattern: &Pattern) -> Gathered<'_> {
    let mut out = Gathered::new(&pattern.name);
    if let Some(places) = &pattern.places {
        let micrometres = |length: uom::si::f64::Length| length.get::<uom::si::length::micrometer>().round();
        let at: Vec<String> = places
            .pattern
            .positions()
            .iter()
            .map(|p| format!("{} {}", micrometres(p.x) / 1e3 + 0.0, micrometres(p.y) / 1e3 + 0.0))
            .collect();
        let layout = match places.layout {
            Layout::Circle | Layout::Grid | Layout::Listed => places.layout.word(),
        };
        out.text("positions", format!("{layout} (mm): {}", at.join("; ")));
        let order: Vec<String> = places.order.numbers().iter().map(ToString::to_string).collect();
        out.text("order", order.join(", "));
    }
    if let Some(passes) = &pattern.passes {
        let shares: Vec<String> = passes.shares().iter().map(ToString::to_string).collect();
        let canon: Vec<String> = passes
            .shares()
            .iter()
            .map(|s| Value::new(Source::Measure(s.measure())).canon)
            .collect();
        out.text("passes", shares.join(", "));
        if let Some(field) = out.fields.last_mut() {
            field.value.canon = canon.join(", ");
        }
    }
    out.name("note", &pattern.note);
    out
}
