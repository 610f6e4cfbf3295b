//! What may stand at a cursor: verbs, ids by kind, values, fields, words, units, threads, pictures.

use super::language::{Names, Verb, language};
use super::place::{self, Place};
use super::spot::{Spot, is_map, kind_of, register, spot};
use super::things;
use crate::Compilation;
use crate::check::tool_kinds;
use crate::domain::fastener::{PropertyClass, Thread};
use crate::domain::quantity::{Dimension, Unit};
use crate::finding::Severity;
use crate::model::{Catalogue, Entity, Home, Set};
use crate::parse::head::probe::{self, Head};
use crate::parse::head::shape::{Field, Takes};
use crate::rules::RULES;
use crate::source::{FileId, FileSet, Span, folder};
use crate::syntax;
use crate::syntax::registers::Register;
use crate::syntax::{LEVELS, is_id_char};

/// What sort of thing a proposal is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    Verb,
    Field,
    Id,
    Value,
    Word,
    Unit,
    File,
}

/// Something that may stand at the cursor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    pub label: String,
    /// What it is, in a few words; may be empty.
    pub detail: String,
    pub sort: Sort,
    /// What is put in place of `span`.
    pub insert: String,
    pub span: Span,
}

/// Everything that may stand at a place, in the order in which it is offered.
pub fn at(files: &FileSet, compilation: &Compilation, file: FileId, offset: usize) -> Vec<Proposal> {
    let source = files.get(file);
    let sides = source.text.split_at_checked(place::floor(&source.text, offset));
    let (Some((before, after)), Some((head, place))) = (sides, place::at(source, offset)) else {
        return Vec::new();
    };
    let level = things::level(files, compilation, file);
    let set = level.and_then(|(n, home)| Some((compilation.model.sets.get(n)?, home)));
    let mut proposals = Proposals {
        files,
        set,
        file,
        before,
        after,
        found: Vec::new(),
    };
    match (place, head) {
        (Place::Tag, _) => proposals.tags(),
        (Place::Picture, _) => proposals.pictures(),
        (Place::Mark { before }, _) => proposals.mark(&before),
        (Place::Key { path, taken, braces }, Some(head)) => proposals.keys(head, &path, &taken, braces),
        (Place::Value { path }, Some(head)) => proposals.values(head, &path),
        (Place::Key { .. } | Place::Value { .. }, None) => {}
    }
    proposals.found
}

/// Proposals being gathered.
struct Proposals<'a> {
    files: &'a FileSet,
    /// The set around the cursor, and the level that names are seen from.
    set: Option<(&'a Set, Home)>,
    file: FileId,
    /// The text before the cursor, and behind it.
    before: &'a str,
    after: &'a str,
    found: Vec<Proposal>,
}

impl<'a> Proposals<'a> {
    fn put(&mut self, sort: Sort, label: impl Into<String>, detail: impl Into<String>, insert: String, span: Span) {
        self.found.push(Proposal {
            label: label.into(),
            detail: detail.into(),
            sort,
            insert,
            span,
        });
    }

    fn behind(&self, span: Span) -> &'a str {
        let text = self.files.get(span.file).text.as_str();
        text.get(span.end as usize..).unwrap_or_default()
    }

    /// The run of such characters that the cursor stands at the end of, or in.
    fn run(&self, is: impl Fn(char) -> bool) -> Span {
        let start = self.before.trim_end_matches(&is).len();
        let end = self.before.len() + (self.after.len() - self.after.trim_start_matches(&is).len());
        Span::new(self.file, start, end)
    }

    /// The id at the cursor.
    fn word(&self) -> Span {
        self.run(is_id_char)
    }

    fn tags(&mut self) {
        let span = self.run(|c| c.is_alphabetic());
        let closed = self.behind(span).starts_with(']');
        for (tag, _) in LEVELS {
            let insert = if closed { tag.to_string() } else { format!("{tag}] ") };
            self.put(Sort::Word, tag, "", insert, span);
        }
    }

    /// Pictures of the set, by their path from the procedure.
    fn pictures(&mut self) {
        let here = folder(&self.files.get(self.file).path).to_string();
        let span = self.run(|c| !c.is_whitespace() && !matches!(c, '(' | ')'));
        let closed = self.behind(span).starts_with(')');
        let below = if here.is_empty() {
            String::new()
        } else {
            format!("{here}/")
        };
        let pictures: Vec<String> = self
            .files
            .assets()
            .keys()
            .filter_map(|path| path.strip_prefix(&below))
            .map(place::address)
            .collect();
        for path in pictures {
            let insert = if closed { path.clone() } else { format!("{path})") };
            self.put(Sort::File, path, "", insert, span);
        }
    }

    /// Inside a mark, of which this stands before the cursor.
    fn mark(&mut self, before: &str) {
        let inner = before.trim_start();
        let Some((verb, rest)) = inner.split_once(char::is_whitespace) else {
            let span = self.word();
            let spaced = self.behind(span).starts_with(' ');
            for verb in syntax::Verb::words() {
                let insert = if spaced { verb.to_string() } else { format!("{verb} ") };
                self.put(Sort::Verb, verb, "", insert, span);
            }
            return;
        };
        let Some(verb) = language().verb(verb) else {
            return;
        };
        let rest = rest.trim_start();
        if verb.valued
            && let Some((owner, _)) = rest.split_once('=')
        {
            if let Some(Names::Entries(registers)) = &verb.names {
                self.values_of(registers, owner.trim(), verb);
            }
            return;
        }
        match rest.split_once(char::is_whitespace) {
            None if verb.names.is_some() => self.argument(verb, rest),
            None | Some(_) => self.units(&verb.dimensions),
        }
    }

    /// The first thing that a verb names.
    fn argument(&mut self, verb: &Verb, rest: &str) {
        let more = !verb.dimensions.is_empty();
        match &verb.names {
            Some(Names::Entries(registers)) => {
                let close = self.close(more);
                self.entries_with(registers, |catalogue, entity| {
                    // What has values is asked for one of them; where the name may stand alone, other things need none.
                    let valued = verb.valued && !(verb.bare && things::values(catalogue, entity).is_empty());
                    if valued { "=" } else { close }
                });
            }
            Some(Names::Procedures) => self.procedures(self.close(false)),
            Some(Names::Labels) => match rest.split_once('/') {
                Some((procedure, _)) => self.labels(Some(procedure)),
                None => {
                    self.labels(None);
                    self.procedures("/");
                }
            },
            None => {}
        }
    }

    /// What closes a mark behind its last word: nothing where a bracket stands there already, or where more may follow.
    fn close(&self, more: bool) -> &'static str {
        let line = self.after.lines().next().unwrap_or("");
        let closed = line.split_once(']').is_some_and(|(inner, _)| !inner.contains('['));
        if closed || more { "" } else { "]" }
    }

    /// Entries of some registers, by id.
    fn entries(&mut self, registers: &[Register], end: &str) {
        self.entries_with(registers, |_, _| end);
    }

    /// The same, each with an end of its own.
    fn entries_with<'e>(&mut self, registers: &[Register], end: impl Fn(&Catalogue, Entity) -> &'e str) {
        let Some((set, home)) = self.set else { return };
        let span = self.word();
        let tail = self.behind(span);
        let mut ids: Vec<String> = set
            .catalogue
            .visible(home, registers)
            .into_iter()
            .map(str::to_string)
            .collect();
        ids.sort();
        ids.dedup();
        for id in ids {
            let Some(entity) = things::meant(&set.catalogue, home, registers, &id).into_iter().next() else {
                continue;
            };
            let end = end(&set.catalogue, entity);
            let end = if tail.starts_with(end) { "" } else { end };
            let detail = things::described(&set.catalogue, entity);
            self.put(Sort::Id, id.clone(), detail, format!("{id}{end}"), span);
        }
    }

    fn procedures(&mut self, end: &str) {
        let Some((set, _)) = self.set else { return };
        let span = self.word();
        for procedure in &set.procedures {
            let id = procedure.id.clone();
            self.put(
                Sort::Id,
                id.clone(),
                procedure.title.clone(),
                format!("{id}{end}"),
                span,
            );
        }
    }

    /// Labelled steps of a procedure, or of the one that the cursor is in.
    fn labels(&mut self, procedure: Option<&str>) {
        let Some((set, home)) = self.set else { return };
        let own = match (procedure, home) {
            (Some(id), _) => set.procedures.iter().find(|p| p.id == id),
            (None, Home::Procedure(n)) => set.procedures.of(n),
            (None, Home::Set | Home::Workshop(_)) => None,
        };
        let span = self.word();
        let end = self.close(false);
        for (number, label) in own.map(things::labels).unwrap_or_default() {
            let insert = format!("{}{end}", label.text);
            self.put(Sort::Id, label.text.clone(), format!("step {number}"), insert, span);
        }
    }

    /// The values of an entry.
    fn values_of(&mut self, registers: &[Register], owner: &str, verb: &Verb) {
        let end = self.close(verb.several);
        self.owned(registers, owner, end);
    }

    /// Units behind a figure.
    fn units(&mut self, dimensions: &[Dimension]) {
        let line = self.before.rsplit('\n').next().unwrap_or(self.before);
        let is_unit =
            |c: char| !c.is_ascii_digit() && !c.is_whitespace() && !matches!(c, '[' | ']' | '{' | '}' | ',' | '=');
        let lead = line.trim_end_matches(is_unit);
        let typed = line.len() - lead.len();
        let figure = lead.trim_end();
        if !figure.ends_with(|c: char| c.is_ascii_digit()) {
            return;
        }
        let spaced = figure.len() < lead.len();
        let span = Span::new(self.file, self.before.len() - typed, self.before.len());
        for unit in dimensions.iter().flat_map(|dimension| Unit::of(*dimension)) {
            let space = if spaced || unit.symbol() == "°" { "" } else { " " };
            let insert = format!("{space}{}", unit.symbol());
            self.put(Sort::Unit, unit.symbol(), unit.dimension().name(), insert, span);
        }
    }

    /// Fields that may still be given.
    fn keys(&mut self, head: Head, path: &[String], taken: &[String], braces: bool) {
        let root = probe::of(head);
        let Some(spot) = spot(root, path) else { return };
        let span = self.word();
        let own = self.files.text(span).to_string();
        match spot {
            Spot::Map(shape) => {
                let fields = shape
                    .fields
                    .iter()
                    .filter(|field| field.name == own || !taken.iter().any(|key| key == field.name));
                let colon = !self.behind(span).starts_with(':');
                for field in fields {
                    let end = match (colon, is_map(field) && !braces) {
                        (false, _) => "",
                        (true, true) => ":",
                        (true, false) => ": ",
                    };
                    self.put(
                        Sort::Field,
                        field.name,
                        kind_of(field),
                        format!("{}{end}", field.name),
                        span,
                    );
                }
            }
            Spot::Entries => {}
            Spot::Field(register, field) => self.pair_keys(register, field, span),
        }
    }

    /// Keys of a map of words to words.
    fn pair_keys(&mut self, register: Option<Register>, field: &Field, span: Span) {
        if let Some(Names::Entries(registers)) = language().names_in(register, field.name) {
            self.entries(registers, ": ");
            return;
        }
        match field.name {
            "units" => {
                for dimension in Dimension::ALL {
                    let name = dimension.name().replace(' ', "-");
                    self.put(Sort::Word, name.clone(), "", format!("{name}: "), span);
                }
            }
            "allow" => self.codes(": "),
            _ => {}
        }
    }

    /// Codes of findings that a set may allow or deny.
    fn codes(&mut self, end: &str) {
        let span = self.word();
        let may = |severity: Severity| end.is_empty() || severity != Severity::Error;
        for rule in RULES.iter().filter(|rule| may(rule.severity)) {
            self.put(Sort::Word, rule.code, rule.name, format!("{}{end}", rule.code), span);
        }
    }

    /// What the value of a field may be.
    fn values(&mut self, head: Head, path: &[String]) {
        let Some((last, above)) = path.split_last() else { return };
        let root = probe::of(head);
        match spot(root, above) {
            Some(Spot::Map(shape)) => {
                let register = above
                    .first()
                    .and_then(|name| register(name))
                    .filter(|_| above.len() == 2);
                if let Some(field) = shape.field(last) {
                    self.value(register, field, &field.takes, above);
                }
            }
            Some(Spot::Entries) => {
                // One value in place of an entry.
                let shape = spot(root, path).and_then(|spot| match spot {
                    Spot::Map(shape) => Some(shape),
                    Spot::Entries | Spot::Field(..) => None,
                });
                let field = shape.and_then(|shape| shape.field(shape.bare.as_ref()?));
                if let Some(field) = field {
                    self.value(None, field, &field.takes, above);
                }
            }
            Some(Spot::Field(register, field)) => {
                if let Some(Names::Entries(registers)) = language().names_in(register, field.name) {
                    self.owned(registers, last, "");
                } else if let Some(dimension) = Dimension::from_name(last) {
                    let span = self.run(|c| !c.is_whitespace() && !matches!(c, ',' | '}'));
                    for unit in Unit::of(dimension) {
                        self.put(Sort::Unit, unit.symbol(), "", unit.symbol().to_string(), span);
                    }
                }
            }
            None => {}
        }
    }

    /// The values of the entry of that name, each with what is to stand behind it.
    fn owned(&mut self, registers: &[Register], owner: &str, end: &str) {
        let Some((set, home)) = self.set else { return };
        let span = self.word();
        let meant = things::meant(&set.catalogue, home, registers, owner);
        for value in meant
            .into_iter()
            .flat_map(|entity| things::values(&set.catalogue, entity))
        {
            self.put(
                Sort::Value,
                value.text.clone(),
                "",
                format!("{}{end}", value.text),
                span,
            );
        }
    }

    fn value(&mut self, register: Option<Register>, field: &Field, takes: &Takes, above: &[String]) {
        let span = self.word();
        match takes {
            Takes::Word(words) | Takes::Tag(words) => {
                for word in words {
                    self.put(Sort::Word, word.clone(), "", word.clone(), span);
                }
            }
            Takes::Many(one) => self.value(register, field, one, above),
            Takes::OwnValue => {
                let (Some((set, home)), [name, id, ..]) = (self.set, above) else {
                    return;
                };
                let entity = super::spot::register(name).and_then(|register| set.catalogue.find(home, register, id));
                for value in entity
                    .map(|entity| things::values(&set.catalogue, entity))
                    .unwrap_or_default()
                {
                    self.put(Sort::Value, value.text.clone(), "", value.text.clone(), span);
                }
            }
            Takes::Value(reads) => {
                self.units(&reads.dimensions);
                for word in &reads.words {
                    let span = self.run(|c| c.is_alphanumeric() || matches!(c, ' ' | '-'));
                    let run = self.files.text(span);
                    let lead = run.len() - run.trim_start_matches(' ').len();
                    let start = (span.start as usize + lead).min(self.before.len());
                    let span = Span::new(self.file, start, span.end as usize);
                    self.put(Sort::Word, word.clone(), "", word.clone(), span);
                }
                if reads.fastener {
                    self.fasteners();
                }
            }
            Takes::Forms(forms) => {
                if let Some(scalar) = &forms.scalar {
                    self.value(register, field, scalar, above);
                }
            }
            Takes::Text => match language().names_in(register, field.name) {
                Some(Names::Entries(registers)) => self.entries(registers, ""),
                Some(Names::Procedures) => self.procedures(""),
                Some(Names::Labels) => {}
                None => self.text_of(register, field),
            },
            Takes::Either(ways) => {
                for way in ways {
                    self.value(register, field, way, above);
                }
            }
            Takes::Date | Takes::Count | Takes::Map(_) | Takes::Entries(_) | Takes::Register(..) | Takes::Node => {}
        }
    }

    /// Texts that hold something of the language all the same.
    fn text_of(&mut self, register: Option<Register>, field: &Field) {
        match (register, field.name) {
            (Some(Register::Tools), "kind") => {
                let span = self.word();
                for kind in tool_kinds::known() {
                    self.put(Sort::Word, kind, "", kind.to_string(), span);
                }
            }
            (Some(Register::Limits), "calc") => self.entries(&[Register::Limits], ""),
            (None, "deny") => self.codes(""),
            _ => {}
        }
    }

    /// Threads, and classes behind one.
    fn fasteners(&mut self) {
        let value = self.before.rsplit([':', '[', ',', '{']).next().unwrap_or(self.before);
        let typed = value.trim_start();
        let start = self.before.len() - typed.len();
        let whole = Span::new(self.file, start, self.before.len());
        let is_thread = |text: &str| crate::domain::fastener::Fastener::parse(text.trim_end()).is_ok();
        if let Some((_, class)) = typed.rsplit_once(' ').filter(|(text, _)| is_thread(text)) {
            let span = Span::new(self.file, self.before.len() - class.len(), self.before.len());
            for class in PropertyClass::all() {
                self.put(Sort::Value, class.name(), "", class.name().to_string(), span);
            }
        }
        for thread in Thread::all() {
            let name = place::designation(thread);
            self.put(Sort::Value, name.clone(), thread.series(), name, whole);
        }
    }
}
