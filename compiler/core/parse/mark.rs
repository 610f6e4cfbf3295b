//! Bracketed marks: the text between the brackets in, a typed mark out.

use crate::domain::amount::Amount;
use crate::domain::timer::Duration;
use crate::domain::verbs;
use crate::finding::{Finding, did_you_mean};
use crate::parse::rules::{bad_mark_arguments, unknown_mark};
use crate::parse::texts::slice;
use crate::parse::value;
use crate::source::Span;
use crate::syntax::ties::{ANSWERS, If, Need, PerMember};
use crate::syntax::{MarkKind, Name, Only, Verb};

/// What a verb wants after it, and an example of that, for the message when it gets something else.
fn wants(verb: Verb) -> (&'static str, &'static str) {
    match verb {
        Verb::Fit | Verb::Remove => ("an id and perhaps a count", "plug 2"),
        Verb::Use => (
            "an id, perhaps a count or amount, and perhaps what it goes on",
            "oil 50 mL on head-bolts",
        ),
        Verb::Need => ("an id, or an id and what it must be", "drain=open"),
        Verb::Set => ("a state and one of its values", "drain=open"),
        Verb::Only => ("an option and one or more of its values", "seals=renew"),
        Verb::Time => ("a time", "10 min"),
        Verb::Step => ("a label, or a procedure and a label", "strip/crank-out"),
        Verb::See => ("a procedure's id", "strip"),
        Verb::Label => ("one word", "crank-out"),
        Verb::Torque | Verb::Snug | Verb::Loosen => ("one id, a word without spaces", "head-bolts"),
        Verb::Measure => ("one id, and perhaps `as-found`", "bore"),
        Verb::Each => ("a group, and perhaps `in turn`", "cyl"),
        Verb::If => ("a limit and its answer, or a case", "play out"),
        Verb::Repeat => ("the label of an earlier step", "shims"),
        Verb::Stop => ("nothing", ""),
        Verb::Wait => ("a consumable that cures", "sealant"),
        Verb::Mark => ("a part", "gear"),
        Verb::Start | Verb::End => ("one id, a word without spaces", "cure"),
        Verb::Do | Verb::Hold => ("one id, a word without spaces", "power-off"),
    }
}

type Read<T> = Result<T, Box<Finding>>;

/// Reads a mark. `span` covers both brackets, `inner` is the source text between them.
pub fn read(span: Span, inner: &str) -> Read<MarkKind> {
    let inner = &unquoted(inner);
    let mut args = Args { span, inner, at: 0 };
    let Some(word) = args.word() else {
        return Err(Box::new(unknown_mark::finding(span, inner)));
    };
    // Before the verbs themselves: `[loosen off ID]` begins with one.
    if let Some(finding) = other_word(span, inner) {
        return Err(Box::new(finding));
    }
    let Some(verb) = Verb::of(&word.text) else {
        let near = did_you_mean(&word.text, Verb::words()).filter(|near| {
            let rest = slice(inner, args.at..);
            read(span, &format!("{near}{rest}")).is_ok()
        });
        return Err(Box::new(unknown_mark::misspelt(word.span, &word.text, near)));
    };
    Ok(match verb {
        Verb::Torque => MarkKind::Torque(args.one(verb)?),
        Verb::Snug => MarkKind::Snug(args.one(verb)?),
        Verb::Loosen => MarkKind::Loosen(args.one(verb)?),
        Verb::Measure => {
            let name = args.name(verb)?;
            match args.rest().0 {
                "" => MarkKind::Measure(name, false),
                "as-found" => MarkKind::Measure(name, true),
                _ => return Err(args.wrong(verb)),
            }
        }
        Verb::Wait => MarkKind::Wait(args.cure()?),
        Verb::Mark => MarkKind::Mark(args.one(verb)?),
        Verb::Repeat => MarkKind::Repeat(args.one(verb)?),
        Verb::Stop if args.rest().0.is_empty() => MarkKind::Stop,
        Verb::Stop => return Err(args.wrong(verb)),
        Verb::Each => {
            let group = args.name(verb)?;
            let in_turn = match args.rest().0.split_whitespace().collect::<Vec<_>>().as_slice() {
                [] => false,
                ["in", "turn"] => true,
                _ => return Err(args.wrong(verb)),
            };
            MarkKind::Each(PerMember { span, group, in_turn })
        }
        Verb::If => MarkKind::If(args.question(verb)?),
        Verb::Do => MarkKind::Do(args.one(verb)?),
        Verb::Start => MarkKind::Start(args.one(verb)?),
        Verb::End => MarkKind::End(args.one(verb)?),
        Verb::Hold => MarkKind::Hold(args.one(verb)?),
        Verb::Label => MarkKind::Label(args.one(verb)?),
        Verb::See => MarkKind::See(args.one(verb)?),
        Verb::Fit => MarkKind::Fit(args.name(verb)?, args.count(verb)?),
        Verb::Remove => MarkKind::Remove(args.name(verb)?, args.count(verb)?),
        Verb::Use => {
            let name = args.name(verb)?;
            let on = args.on(verb)?;
            MarkKind::Use(name, args.amount()?, on)
        }
        Verb::Need => {
            let (text, at) = args.rest();
            MarkKind::Need(need(text, at).ok_or_else(|| args.wrong(verb))?)
        }
        Verb::Set => {
            let (state, value) = args.state(verb)?;
            MarkKind::Set(state, value)
        }
        Verb::Only => {
            let (option, values) = args.choice(verb)?;
            MarkKind::Only(Only { option, values })
        }
        Verb::Step => args.step(verb)?,
        Verb::Time => {
            let (text, span) = args.rest();
            if text.is_empty() {
                return Err(args.wrong(verb));
            }
            MarkKind::Time(Duration::parse(text).map_err(|e| Box::new(value::finding(span, &e)))?)
        }
    })
}

/// A word of the workshop in place of a verb: `[tighten ID]`, `[take off ID]`, `[loosen off ID]`.
fn other_word(span: Span, inner: &str) -> Option<Finding> {
    let words = inner.trim_start();
    let start = inner.len() - words.len();
    let (verb, length) = verbs::leading(words)?;
    if Verb::of(&verb.word).is_some() {
        return None;
    }
    let (said, rest) = words.split_at_checked(length)?;
    let argument = rest.split_whitespace().next()?;
    let at = span.slice(1 + start..1 + start + length);
    let choice = matches!(verb.mark.as_str(), "need" | "set" | "only");
    // `[check valve]` may be plain words in brackets; an id is one word.
    let fits = rest.trim() == argument && argument.contains('=') == choice;
    Some(unknown_mark::other_word(at, said, &verb.mark, fits))
}

/// A mark wrapped over two lines of a block quote has the quote's own signs in it; blanks in their place keep every offset.
fn unquoted(inner: &str) -> String {
    let mut head_of_line = false;
    let blank = |c: char| {
        let sign = head_of_line && c == '>';
        head_of_line = c == '\n' || (head_of_line && (sign || c.is_whitespace()));
        if sign { ' ' } else { c }
    };
    inner.chars().map(blank).collect()
}

/// What stands between the brackets, taken word by word.
struct Args<'a> {
    span: Span,
    inner: &'a str,
    at: usize,
}

impl<'a> Args<'a> {
    /// The span of a range of `inner`.
    fn part(&self, start: usize, end: usize) -> Span {
        self.span.slice(1 + start..1 + end)
    }

    fn word(&mut self) -> Option<Name> {
        let rest = slice(self.inner, self.at..);
        let start = self.at + (rest.len() - rest.trim_start().len());
        let word = rest.split_whitespace().next()?;
        self.at = start + word.len();
        Some(Name {
            text: word.to_string(),
            span: self.part(start, self.at),
        })
    }

    fn rest(&self) -> (&'a str, Span) {
        let rest = slice(self.inner, self.at..);
        let start = self.at + (rest.len() - rest.trim_start().len());
        let text = rest.trim();
        (text, self.part(start, start + text.len()))
    }

    fn wrong(&self, verb: Verb) -> Box<Finding> {
        let (wanted, example) = wants(verb);
        let finding = match verb {
            Verb::Wait => bad_mark_arguments::wait(self.span),
            _ => bad_mark_arguments::finding(self.span, verb.word(), wanted, example),
        };
        Box::new(finding)
    }

    fn name(&mut self, verb: Verb) -> Read<Name> {
        self.word().ok_or_else(|| self.wrong(verb))
    }

    /// One id and nothing after it.
    fn one(&mut self, verb: Verb) -> Read<Name> {
        let name = self.name(verb)?;
        if self.rest().0.is_empty() {
            Ok(name)
        } else {
            Err(self.wrong(verb))
        }
    }

    /// The id of what has to cure; a time is told what it is.
    fn cure(&mut self) -> Read<Name> {
        let (text, _) = self.rest();
        match text.is_empty() || Duration::parse(text).is_err() {
            true => self.one(Verb::Wait),
            false => Err(Box::new(bad_mark_arguments::wait_for_a_time(self.span, text))),
        }
    }

    fn count(&mut self, verb: Verb) -> Read<Option<u32>> {
        let (text, _) = self.rest();
        if text.is_empty() {
            return Ok(None);
        }
        match text.parse() {
            Ok(count) if count > 0 => Ok(Some(count)),
            _ => Err(self.wrong(verb)),
        }
    }

    fn amount(&mut self) -> Read<Option<Amount>> {
        let (text, span) = self.rest();
        if text.is_empty() {
            return Ok(None);
        }
        Amount::parse(text)
            .map(Some)
            .map_err(|error| Box::new(value::finding(span, &error)))
    }

    /// A state and one of its values.
    fn state(&mut self, verb: Verb) -> Read<(Name, Name)> {
        let (state, mut values) = self.choice(verb)?;
        match (values.pop(), values.is_empty()) {
            (Some(value), true) => Ok((state, value)),
            _ => Err(self.wrong(verb)),
        }
    }

    /// A label, in another procedure if one is named.
    fn step(&mut self, verb: Verb) -> Read<MarkKind> {
        let name = self.one(verb)?;
        match name.text.split_once('/') {
            Some((procedure, label)) if procedure.is_empty() || label.is_empty() => Err(self.wrong(verb)),
            Some((procedure, label)) => Ok(MarkKind::Step(
                Some(Name {
                    text: procedure.to_string(),
                    span: name.span.slice(0..procedure.len()),
                }),
                Name {
                    text: label.to_string(),
                    span: name.span.slice(procedure.len() + 1..name.text.len()),
                },
            )),
            None => Ok(MarkKind::Step(None, name)),
        }
    }

    /// `LIMIT out`, `CASE` or `not CASE`.
    fn question(&mut self, verb: Verb) -> Read<If> {
        let span = self.span;
        let first = self.name(verb)?;
        let second = self.word();
        if !self.rest().0.is_empty() {
            return Err(self.wrong(verb));
        }
        let Some(second) = second else {
            let (id, answer, not) = (first, None, false);
            return Ok(If { span, id, answer, not });
        };
        if first.text == "not" {
            let (id, answer, not) = (second, None, true);
            return Ok(If { span, id, answer, not });
        }
        let answer = ANSWERS.iter().find(|(word, _)| *word == second.text);
        let Some((_, answer)) = answer else {
            return Err(self.wrong(verb));
        };
        Ok(If {
            span,
            id: first,
            answer: Some(*answer),
            not: false,
        })
    }

    /// What stands behind the last ` on `, which is then cut off.
    fn on(&mut self, verb: Verb) -> Read<Option<Name>> {
        let rest = self.inner.get(self.at..).unwrap_or("");
        let words: Vec<&str> = rest.split_whitespace().collect();
        let [.., "on", id] = words.as_slice() else {
            return match words.as_slice() {
                [.., "on"] => Err(self.wrong(verb)),
                _ => Ok(None),
            };
        };
        let Some(start) = rest.rfind(id) else { return Ok(None) };
        let name = Name {
            text: (*id).to_string(),
            span: self.part(self.at + start, self.at + start + id.len()),
        };
        let cut = rest.get(..start).and_then(|head| head.rfind("on")).unwrap_or(start);
        self.inner = self.inner.get(..self.at + cut).unwrap_or("");
        Ok(Some(name))
    }

    /// `NAME=VALUE|VALUE`, with or without space around the signs.
    fn choice(&mut self, verb: Verb) -> Read<(Name, Vec<Name>)> {
        let (text, span) = self.rest();
        let Some((left, right)) = text.split_once('=') else {
            return Err(self.wrong(verb));
        };
        let mut values = Vec::new();
        let mut start = left.len() + 1;
        for value in right.split('|') {
            values.push(trimmed(value, start, span));
            start += value.len() + 1;
        }
        let name = trimmed(left, 0, span);
        if name.text.is_empty()
            || values
                .iter()
                .any(|v| v.text.is_empty() || v.text.contains(char::is_whitespace))
        {
            return Err(self.wrong(verb));
        }
        Ok((name, values))
    }
}

/// A condition as it stands in a mark or in a list of a register; `None` if it is none.
pub fn need(text: &str, span: Span) -> Option<Need> {
    let (left, right) = text
        .split_once('=')
        .map_or((text, None), |(left, right)| (left, Some(right)));
    let id = trimmed(left, 0, span);
    let mut values = Vec::new();
    let mut start = left.len() + 1;
    for value in right.into_iter().flat_map(|right| right.split('|')) {
        values.push(trimmed(value, start, span));
        start += value.len() + 1;
    }
    let words = std::iter::once(&id).chain(&values);
    let plain = |word: &Name| !word.text.is_empty() && !word.text.contains(char::is_whitespace);
    let good = words.into_iter().all(plain);
    good.then_some(Need { span, id, values })
}

/// `OPTION=VALUE|VALUE` in a register; `None` if it is none.
pub fn only(text: &str, span: Span) -> Option<Only> {
    let need = need(text, span).filter(|need| !need.values.is_empty())?;
    Some(Only {
        option: need.id,
        values: need.values,
    })
}

/// A piece of a span without the space at its ends; `start` is where the piece begins in the span.
fn trimmed(piece: &str, start: usize, span: Span) -> Name {
    let lead = piece.len() - piece.trim_start().len();
    let text = piece.trim();
    Name {
        text: text.to_string(),
        span: span.slice(start + lead..start + lead + text.len()),
    }
}
