//! A card as a diff looks at it: its steps with what their marks do, and the things that it names, read off the leaf itself.

use super::field::{Field as Name, Verb};
use crate::cards::card::{
    Card, Hold, ItemAct, KitRow, Measurement, Message, Pass, Pattern, Phase, Spec, Step, SubStep, Timer, Torque,
    UseKind,
};
use crate::cards::text::{lines, pictures};
use crate::cards::value::Value;
use crate::model::registers::Register;
use crate::words::{Phrase, joined, phrase, say};

/// A card taken apart.
pub struct View<'a> {
    pub card: &'a Card,
    /// In written order.
    pub steps: Vec<StepView<'a>>,
    /// What the card names, register by register.
    pub entries: Vec<Entry<'a>>,
}

/// A step.
pub struct StepView<'a> {
    pub number: &'a str,
    /// Index of its phase.
    pub phase: usize,
    /// One of a list without an order.
    pub any_order: bool,
    pub words: Words,
    pub messages: &'a [Message],
    pub acts: Vec<Act<'a>>,
    pub substeps: Vec<SubView<'a>>,
    /// What is open after it, where work must not stop.
    pub open: &'a [Phrase],
    pub safe_stop: bool,
}

/// A nested item.
pub struct SubView<'a> {
    pub words: Words,
    pub acts: Vec<Act<'a>>,
}

/// What prose says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    /// One line a paragraph, item or caption.
    pub text: Phrase,
    /// What each picture looks like.
    pub pictures: Vec<String>,
}

/// What a mark does.
pub struct Act<'a> {
    pub verb: Verb,
    pub name: &'a str,
    /// Count, amount, value of a state, time; empty if there is none.
    pub detail: Value,
}

/// A thing that a card names.
pub struct Entry<'a> {
    pub register: Register,
    pub id: &'a str,
    pub name: &'a str,
    pub fields: Vec<Field>,
    /// Numbers of the steps that name it, or something that prints with it.
    pub named_in: Vec<String>,
}

/// A field that is printed.
pub struct Field {
    /// As the language names it.
    pub name: Name,
    pub value: Value,
    /// In the second unit, as printed; may be empty.
    pub second: Phrase,
}

impl<'a> View<'a> {
    pub fn new(card: &'a Card) -> View<'a> {
        let mut steps = Vec::new();
        for (phase, of) in card.phases.iter().enumerate() {
            for run in &of.runs {
                steps.extend(run.steps.iter().map(|s| step(s, phase, run.any_order)));
            }
        }
        View {
            card,
            steps,
            entries: entries(card),
        }
    }

    pub fn phases(&self) -> &'a [Phase] {
        &self.card.phases
    }
}

fn step(step: &Step, phase: usize, any_order: bool) -> StepView<'_> {
    let mut acts: Vec<Act> = step.specs.iter().flat_map(spec).collect();
    acts.extend(step.holds.iter().map(|h| act(Verb::Hold, &h.what, Value::default())));
    if !step.time.is_empty() {
        acts.push(act(Verb::Time, "", step.time.clone()));
    }
    StepView {
        number: &step.number,
        phase,
        any_order,
        words: words(&step.text),
        messages: &step.messages,
        acts,
        substeps: step.substeps.iter().map(substep).collect(),
        open: &step.open,
        safe_stop: step.safe_stop,
    }
}

fn substep(sub: &SubStep) -> SubView<'_> {
    SubView {
        words: words(&sub.text),
        acts: sub.specs.iter().flat_map(spec).collect(),
    }
}

pub fn words(blocks: &[crate::cards::card::Block]) -> Words {
    Words {
        text: lines(blocks),
        pictures: pictures(blocks),
    }
}

fn act<'a>(verb: Verb, name: &'a str, detail: Value) -> Act<'a> {
    Act { verb, name, detail }
}

/// What a spec does; what it is about in full is an entry.
fn spec(spec: &Spec) -> Vec<Act<'_>> {
    let none = Value::default;
    let several = |count: usize| match count {
        0 | 1 => none(),
        _ => Value::from(count.to_string()),
    };
    match spec {
        Spec::Torque(torque) => vec![act(Verb::Torque, &torque.name, none())],
        Spec::Snug { name, count, span: _ } => vec![act(Verb::Snug, name, several(*count))],
        Spec::Loosen {
            name,
            count,
            order,
            span: _,
        } => {
            let counted = several(*count);
            let detail = match order.0.is_empty() {
                true => counted,
                false => {
                    let words = joined([counted.said().clone(), order.0.clone()], ", ");
                    let canon = words.english();
                    Value::named(words, canon)
                }
            };
            vec![act(Verb::Loosen, name, detail)]
        }
        Spec::Measure(measurement) => vec![act(Verb::Measure, &measurement.name, none())],
        Spec::Item {
            act: ItemAct::Fit,
            name,
            count,
            temporary: _,
            single_use: _,
            detail: _,
            span: _,
        } => vec![act(Verb::Fit, name, several(*count))],
        Spec::Item {
            act: ItemAct::Remove,
            name,
            count,
            temporary,
            single_use: _,
            detail,
            span: _,
        } => {
            // A part that comes off stands in no list above.
            let told =
                (!temporary && !detail.is_empty()).then(|| act(Verb::RemoveNumberOf, name, detail.as_str().into()));
            [act(Verb::Remove, name, several(*count))]
                .into_iter()
                .chain(told)
                .collect()
        }
        Spec::Use {
            what,
            name,
            amount,
            detail,
            ghs: _,
            span: _,
        } => {
            let clocks = *what == UseKind::Consumable && !detail.is_empty();
            let told = clocks.then(|| act(Verb::KeepTo, name, detail.into()));
            [act(Verb::Use, name, amount.clone())].into_iter().chain(told).collect()
        }
        Spec::Need { state, value, span: _ } => vec![act(Verb::Need, state, value.clone().into())],
        Spec::Set { state, value, span: _ } => vec![act(Verb::Set, state, value.as_str().into())],
        Spec::Do {
            name,
            needs,
            never_with,
            note,
            span: _,
        } => {
            let needs = needs.iter().map(Phrase::from);
            let note = (!note.is_empty()).then(|| Phrase::from(note));
            let parts = needs.chain(never_with.iter().map(say::never_with)).chain(note);
            vec![act(Verb::Do, name, joined(parts, ", ").into())]
        }
        Spec::TimerStart(timer) => vec![act(Verb::Start, &timer.what, none())],
        Spec::TimerEnd(timer) => vec![act(Verb::End, &timer.what, none())],
    }
}

/// Fields of one entry.
#[derive(Default)]
struct Fields(Vec<Field>);

impl Fields {
    fn put(mut self, name: Name, value: impl Into<Value>) -> Fields {
        let value = value.into();
        if !value.is_empty() {
            self.0.push(Field {
                name,
                value,
                second: Phrase::default(),
            });
        }
        self
    }

    fn flag(self, name: Name, flag: bool) -> Fields {
        self.put(name, if flag { say::yes() } else { say::no() })
    }

    fn list(self, name: Name, items: &[impl Into<Phrase> + Clone]) -> Fields {
        self.put(name, joined(items.iter().cloned(), ", "))
    }

    fn in_second(mut self, second: &Phrase) -> Fields {
        if let Some(field) = self.0.last_mut() {
            field.second = second.clone();
        }
        self
    }
}

/// `right: flywheel; top: inlet`
fn landmarks(pattern: &Pattern) -> String {
    let told = pattern.landmarks.0.iter().map(|l| format!("{}: {}", l.side, l.what));
    told.collect::<Vec<_>>().join("; ")
}

fn entries(card: &Card) -> Vec<Entry<'_>> {
    let cover = &card.cover;
    let mut found = Vec::new();
    let mut put = |register, id, name, fields: Fields, named_in: Vec<String>| {
        found.push(Entry {
            register,
            id,
            name,
            fields: fields.0,
            named_in,
        });
    };
    for torque in &card.torques {
        let steps = torque.steps.iter().map(|s| s.number().to_string()).collect();
        put(
            Register::Torques,
            &torque.id,
            &torque.name,
            fields_of_torque(torque),
            steps,
        );
    }
    for limit in &card.measurements {
        let steps = limit.steps.iter().map(|s| s.number().to_string()).collect();
        put(Register::Limits, &limit.id, &limit.name, fields_of_limit(limit), steps);
    }
    for timer in timers(card) {
        let within = if timer.rule == "within" {
            Name::Within
        } else {
            Name::AtLeast
        };
        let fields = Fields::default()
            .put(Name::What, timer.what.as_str())
            .put(within, timer.span.clone());
        let steps = naming(
            card,
            |spec| matches!(spec, Spec::TimerStart(t) | Spec::TimerEnd(t) if t.id == timer.id),
        );
        put(Register::Timers, &timer.id, &timer.what, fields, steps);
    }
    for hold in distinct(&card.holds, |h| &h.id) {
        let fields = Fields::default()
            .put(Name::What, hold.what.as_str())
            .flag(Name::SecondPerson, hold.second_person);
        let at = card.holds.iter().filter(|h| h.id == hold.id);
        let steps = at.map(|h: &Hold| h.step.clone()).collect();
        put(Register::Holds, &hold.id, &hold.what, fields, steps);
    }
    for pattern in &card.patterns {
        let positions = &pattern.positions.0;
        let at = positions.iter().map(|p| format!("{} {}", p.x_mm, p.y_mm));
        let fields = Fields::default()
            .put(Name::Name, pattern.name.as_str())
            .put(Name::Positions, at.collect::<Vec<_>>().join("; "))
            .list(Name::Passes, &pattern.passes)
            .put(Name::Landmarks, landmarks(pattern));
        let with = card.torques.iter().filter(|t| t.pattern == pattern.id);
        let steps = with.flat_map(|t| t.steps.iter().map(|s| s.number().to_string()));
        put(Register::Patterns, &pattern.id, &pattern.name, fields, steps.collect());
    }
    let rows: [(Register, &[KitRow], [Name; 2]); 4] = [
        (Register::Parts, &cover.parts, [Name::Qty, Name::Number]),
        (Register::Temporary, &cover.temporary, [Name::Qty, Name::Flag]),
        (Register::Consumables, &cover.consumables, [Name::Amount, Name::Note]),
        (Register::Tools, &cover.tools, [Name::Qty, Name::Range]),
    ];
    for (register, rows, [amount, detail]) in rows {
        for row in rows {
            let fields = Fields::default()
                .put(Name::Name, row.name.as_str())
                .put(amount.clone(), row.amount.clone())
                .put(detail.clone(), &row.detail)
                .put(Name::Reuse, if row.single_use { say::no() } else { Phrase::default() })
                .list(Name::Hazards, &row.ghs);
            put(register, &row.id, &row.name, fields, row.steps.clone());
        }
    }
    for choice in &cover.choices {
        let fields = Fields::default()
            .put(Name::What, choice.what.as_str())
            .put(Name::Why, choice.why.as_str());
        put(Register::Options, &choice.option, &choice.what, fields, Vec::new());
    }
    found
}

fn fields_of_torque(torque: &Torque) -> Fields {
    let single = torque.stages.len() == 1;
    let mut fields = Fields::default()
        .put(Name::Name, torque.name.as_str())
        .put(Name::Fastener, torque.fastener.clone())
        .put(Name::Count, torque.count.to_string());
    for (n, stage) in torque.stages.iter().enumerate() {
        let name = if single { Name::Torque } else { Name::Stage(n + 1) };
        fields = fields.put(name, stage.figure.clone()).in_second(&stage.second);
    }
    let noted = |text: Phrase, note: &Phrase| match (text.is_empty(), note.is_empty()) {
        (_, true) => text,
        (true, false) => phrase!("(", note, ")"),
        (false, false) => phrase!(text, " (", note, ")"),
    };
    let pass = |p: &Pass| {
        let set_to = p.setting.printed();
        let figure = match set_to.is_empty() {
            true => p.figure.clone(),
            false => say::set_to(&p.figure, set_to),
        };
        noted(phrase!(&p.share, ": ", figure), &p.note)
    };
    let passes = torque.stages.iter().flat_map(|s| &s.passes).map(pass);
    let settings = torque
        .stages
        .iter()
        .map(|s| noted(s.setting.printed(), &s.setting_note));
    let settings = settings.filter(|text| !text.is_empty());
    fields
        .put(Name::Tolerance, torque.tolerance.clone())
        .put(Name::Lubrication, torque.lubrication.clone())
        .put(Name::Into, torque.into.clone())
        .put(Name::Adapter, torque.adapter.clone())
        .flag(Name::Reuse, !torque.single_use)
        .put(Name::Pattern, torque.pattern_name.as_str())
        .list(Name::Passes, &passes.collect::<Vec<_>>())
        .put(Name::Tool, torque.tool.as_str())
        .list(Name::Setting, &settings.collect::<Vec<_>>())
        .put(Name::Note, beside(&torque.thread.0, &torque.note))
}

fn fields_of_limit(limit: &Measurement) -> Fields {
    Fields::default()
        .put(Name::Name, limit.name.as_str())
        .put(Name::Limit, limit.limit.clone())
        .in_second(&limit.second)
        .put(Name::Range, &limit.range)
        .list(Name::Rows, &limit.rows)
        .list(Name::Columns, &limit.columns)
        .flag(Name::Record, limit.record)
        .put(Name::Calc, &limit.calc)
        .put(Name::Working, joined(&limit.working, "\n"))
        .put(Name::Gauge, limit.gauge.as_str())
        .put(Name::Note, beside(&limit.out.0, &limit.note))
}

/// What is told beside a figure, with the note of its author.
fn beside(further: &Phrase, note: &str) -> Phrase {
    let note = (!note.is_empty()).then(|| Phrase::from(note));
    let further = (!further.is_empty()).then(|| further.clone());
    joined(further.into_iter().chain(note), "; ")
}

/// Waits and windows that are started or ended here, each once.
fn timers(card: &Card) -> Vec<&Timer> {
    let of = |spec: &'_ Spec| matches!(spec, Spec::TimerStart(_) | Spec::TimerEnd(_));
    let all: Vec<&Timer> = specs(card)
        .filter(|(_, spec)| of(spec))
        .filter_map(|(_, spec)| match spec {
            Spec::TimerStart(timer) | Spec::TimerEnd(timer) => Some(timer),
            _ => None,
        })
        .collect();
    let mut once: Vec<&Timer> = Vec::new();
    for timer in all {
        if !once.iter().any(|t| t.id == timer.id) {
            once.push(timer);
        }
    }
    once
}

fn distinct<T>(items: &[T], id: impl Fn(&T) -> &String) -> Vec<&T> {
    let mut once: Vec<&T> = Vec::new();
    for item in items {
        if !once.iter().any(|known| id(known) == id(item)) {
            once.push(item);
        }
    }
    once
}

/// Every spec of a card with its step.
fn specs(card: &Card) -> impl Iterator<Item = (&Step, &Spec)> {
    let runs = card.phases.iter().flat_map(|p| &p.runs);
    runs.flat_map(|r| &r.steps).flat_map(|step| {
        let subs = step.substeps.iter().flat_map(|s| &s.specs);
        step.specs.iter().chain(subs).map(move |spec| (step, spec))
    })
}

fn naming(card: &Card, is: impl Fn(&Spec) -> bool) -> Vec<String> {
    let mut steps: Vec<String> = specs(card)
        .filter(|(_, s)| is(s))
        .map(|(step, _)| step.number.clone())
        .collect();
    steps.dedup();
    steps
}

/// A run of prose in one line.
pub fn line(inlines: &[crate::cards::card::Inline]) -> Phrase {
    crate::cards::text::plain(inlines).squeezed()
}
