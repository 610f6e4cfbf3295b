//! Documents to model: which procedure belongs to which set, in what order, with every name bound.

use super::bind::{Binder, Labels, Named};
use super::catalogue::{Catalogue, Entity, Home};
use super::rules::{
    duplicate_id, duplicate_procedure, missing_picture, order_cycle, procedure_without_set, unprintable_picture,
};
use super::{
    Act, Block, Condition, Inline, Links, Message, Model, Phase, Procedure, ProcedureId, Run, Set, Step, StepNumber,
    SubStep, order,
};
use crate::finding::Finding;
use crate::source::{FileId, FileSet, Span, ancestors, file_name, folder, join, picture};
use crate::syntax::documents::{Document, Documents, ProcedureFile, id_of_file};
use crate::syntax::heads::{SetHead, WorkshopHead};
use crate::syntax::registers::{REGISTERS, Registers};
use crate::syntax::{self, Mark, MarkKind, Name, bind_blocks, bind_inlines};
use std::collections::{BTreeMap, BTreeSet};

/// Builds the model; what can't be bound is reported and left out of it.
pub fn build(files: &FileSet, documents: Documents) -> (Model, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut by_set: BTreeMap<FileId, Vec<ProcedureFile>> = BTreeMap::new();
    let set_folders: BTreeMap<&str, FileId> = documents
        .sets
        .iter()
        .map(|s| (folder(&files.get(s.file).path), s.file))
        .collect();
    for procedure in documents.procedures {
        let path = &files.get(procedure.file).path;
        match ancestors(folder(path)).find_map(|f| set_folders.get(f)) {
            Some(set) => by_set.entry(*set).or_default().push(procedure),
            None => findings.push(procedure_without_set::finding(head(files, procedure.file))),
        }
    }
    let mut model = Model::default();
    for document in documents.sets {
        let procedures = by_set.remove(&document.file).unwrap_or_default();
        model
            .sets
            .push(set(files, document, &documents.workshops, procedures, &mut findings));
    }
    (model, findings)
}

/// The first line of a file.
fn head(files: &FileSet, file: FileId) -> Span {
    let line = files.get(file).head();
    Span::new(file, line.start, line.end)
}

/// What each set is called, by its folder: sets are called by their folder's own name; those whose folders share one by the whole path.
pub fn names<'a>(folders: impl Iterator<Item = &'a str> + Clone) -> BTreeMap<String, String> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for name in folders.clone().map(own_name) {
        *seen.entry(name).or_default() += 1;
    }
    let name = |path: &'a str| match own_name(path) {
        // The folder that everything lies in has no path to go by.
        shared if !path.is_empty() && seen.get(shared).is_some_and(|n| *n > 1) => path.replace('/', "-"),
        own => own.to_string(),
    };
    folders.map(|path| (path.to_string(), name(path))).collect()
}

fn own_name(path: &str) -> &str {
    match path {
        "" => "set",
        path => file_name(path),
    }
}

fn set(
    files: &FileSet,
    document: Document<SetHead>,
    workshops: &[Document<WorkshopHead>],
    mut procedures: Vec<ProcedureFile>,
    findings: &mut Vec<Finding>,
) -> Set {
    let head = document.head;
    let path = folder(&files.get(document.file).path).to_string();
    let ids: Vec<Name> = procedures.iter().map(|p| procedure_id(files, p)).collect();
    let sequence = sequence(&ids, &procedures, findings);
    let mut slots: Vec<Option<(Name, ProcedureFile)>> = ids.into_iter().zip(procedures.drain(..)).map(Some).collect();
    let mut parsed: Vec<(Name, ProcedureFile)> = sequence.into_iter().filter_map(|i| slots[i].take()).collect();

    let mut catalogue = Catalogue::default();
    let shops = ancestors(&path).filter_map(|f| workshops.iter().find(|w| folder(&files.get(w.file).path) == f));
    let shops: Vec<&Document<WorkshopHead>> = shops.collect();
    let blind = !document.readable || shops.iter().any(|shop| !shop.readable);
    let losses = || shops.iter().map(|s| &s.loss).chain([&document.loss]);
    let walkable = !losses()
        .chain(parsed.iter().map(|(_, p)| &p.loss))
        .any(|loss| loss.bars_walk);
    let tools_known = !losses()
        .chain(parsed.iter().map(|(_, p)| &p.loss))
        .any(|loss| loss.tools);
    let names_known = !losses()
        .chain(parsed.iter().map(|(_, p)| &p.loss))
        .any(|loss| loss.unreadable);
    let lost: Vec<Span> = losses().flat_map(|loss| loss.spans.clone()).collect();
    for (n, shop) in shops.iter().enumerate() {
        catalogue.add(Home::Workshop(n), shop.head.registers.clone(), findings);
    }
    catalogue.add(Home::Set, head.registers, findings);
    for (n, (_, procedure)) in parsed.iter_mut().enumerate() {
        let registers: Registers = std::mem::take(&mut procedure.head.registers);
        catalogue.add(Home::Procedure(ProcedureId::at(n)), registers, findings);
    }
    catalogue.shadowed(findings);

    let named: Named = parsed
        .iter()
        .enumerate()
        .rev()
        .map(|(n, (id, _))| (id.text.clone(), ProcedureId::at(n)))
        .collect();
    let labels: Labels = parsed.iter().map(|(_, p)| labels(&p.body, findings)).collect();
    let mut links = Links::default();
    let mut used: BTreeSet<Entity> = BTreeSet::new();
    let mut lookups = Vec::new();
    let mut bound = Vec::new();
    let homes = (0..shops.len()).map(Home::Workshop).chain([Home::Set]);
    for home in homes {
        let mut binder = Binder {
            catalogue: &catalogue,
            home,
            here: None,
            labels: &labels,
            named: &named,
            blind,
            used: &mut used,
            lookups: &mut lookups,
            findings,
        };
        binder.links(&mut links);
    }
    for (n, (_, procedure)) in parsed.iter().enumerate() {
        for spans in [&procedure.body.lost, &procedure.loss.spans, &lost] {
            used.extend(named_in(files, &catalogue, Home::Procedure(ProcedureId::at(n)), spans));
        }
    }
    let text = |name: &Option<Name>| name.as_ref().map_or_else(String::new, |n| n.text.clone());
    for (n, (id, procedure)) in parsed.into_iter().enumerate() {
        let here = ProcedureId::at(n);
        let binder = Binder {
            catalogue: &catalogue,
            home: Home::Procedure(here),
            here: Some(here),
            labels: &labels,
            named: &named,
            blind: blind || !procedure.readable,
            used: &mut used,
            lookups: &mut lookups,
            findings,
        };
        let mut builder = Builder {
            files,
            file: procedure.file,
            binder,
        };
        builder.binder.links(&mut links);
        let mut built = builder.procedure(id, procedure);
        for (own, of_set) in [
            (&mut built.rev, &head.issue.rev),
            (&mut built.date, &head.issue.date),
            (&mut built.source, &head.issue.source),
        ] {
            if own.is_empty() {
                *own = text(of_set);
            }
        }
        built.tried |= head.issue.tried.is_some();
        bound.push(built);
    }
    Set {
        file: document.file,
        id: own_name(&path).to_string(),
        folder: path,
        machine: text(&head.machine),
        title: text(&head.title),
        about: text(&head.about),
        applies_to: text(&head.applies_to),
        notice: text(&head.notice),
        paper: head.style.paper.map(|p| p.text),
        language: head.style.language.map_or_else(|| "en".to_string(), |l| l.text),
        units: head.style.units.into_iter().collect(),
        gauge_ratio: head.style.gauge_ratio.map(|r| f64::from(r.value)),
        walkable,
        allow: head.allow,
        deny: head.deny,
        tools_known,
        names_known,
        catalogue,
        procedures: bound.into_iter().collect(),
        links,
        used,
        lookups,
    }
}

/// Entries that text names which isn't read as what it was meant for: nobody knows that they are unused.
fn named_in(files: &FileSet, catalogue: &Catalogue, home: Home, lost: &[Span]) -> BTreeSet<Entity> {
    let mut found = BTreeSet::new();
    for span in lost {
        let words = files
            .text(*span)
            .split(|c: char| !c.is_alphanumeric() && !matches!(c, '-' | '_' | '.'));
        for word in words
            .map(|word| word.trim_end_matches('.'))
            .filter(|word| !word.is_empty())
        {
            for register in REGISTERS {
                found.extend(catalogue.find(home, register, word));
            }
        }
    }
    found
}

/// The id a procedure gives itself, or its file's name without number and ending.
fn procedure_id(files: &FileSet, procedure: &ProcedureFile) -> Name {
    if let Some(id) = &procedure.head.id {
        return id.clone();
    }
    let text = id_of_file(&files.get(procedure.file).path);
    Name {
        text: text.to_string(),
        span: head(files, procedure.file),
    }
}

/// Procedures in the order `after` asks for; repeated ids and cycles are reported.
fn sequence(ids: &[Name], procedures: &[ProcedureFile], findings: &mut Vec<Finding>) -> Vec<usize> {
    let mut index: BTreeMap<&str, usize> = BTreeMap::new();
    for (i, id) in ids.iter().enumerate() {
        if let Some(first) = index.get(id.text.as_str()) {
            findings.push(duplicate_procedure::finding(id.span, &id.text, ids[*first].span));
        } else {
            index.insert(&id.text, i);
        }
    }
    // An unknown name is reported when the procedure is bound; here it asks for nothing.
    let after: Vec<Vec<usize>> = procedures
        .iter()
        .map(|p| {
            let known: BTreeSet<usize> = p
                .head
                .after
                .iter()
                .filter_map(|n| index.get(n.text.as_str()).copied())
                .collect();
            known.into_iter().collect()
        })
        .collect();
    let (sequence, cycle) = order::sort(&after);
    if let Some(cycle) = cycle {
        let mut places = Vec::new();
        for (n, node) in cycle.iter().enumerate() {
            let next = &ids[cycle[(n + 1) % cycle.len()]].text;
            let name = procedures[*node].head.after.iter().find(|a| a.text == *next);
            places.extend(name.map(|name| (name.span, ids[*node].text.as_str())));
        }
        findings.extend(order_cycle::finding(&places));
    }
    sequence
}

/// Numbers of the labelled steps; a label that stands twice is reported.
fn labels(body: &syntax::Body, findings: &mut Vec<Finding>) -> BTreeMap<String, StepNumber> {
    let mut labels: BTreeMap<String, (StepNumber, Span)> = BTreeMap::new();
    for (p, phase) in body.phases.iter().enumerate() {
        for (s, step) in phase.steps().enumerate() {
            for mark in step.marks() {
                let MarkKind::Label(label) = &mark.kind else { continue };
                match labels.get(&label.text) {
                    Some((_, first)) => findings.push(duplicate_id::finding(label.span, &label.text, *first)),
                    None => {
                        labels.insert(label.text.clone(), (StepNumber::at(p, s), label.span));
                    }
                }
            }
        }
    }
    labels.into_iter().map(|(label, (number, _))| (label, number)).collect()
}

/// Builds one procedure.
struct Builder<'a> {
    files: &'a FileSet,
    file: FileId,
    binder: Binder<'a>,
}

impl Builder<'_> {
    fn procedure(mut self, id: Name, parsed: ProcedureFile) -> Procedure {
        let head = parsed.head;
        let after = head
            .after
            .iter()
            .filter_map(|name| self.binder.procedure(name))
            .collect();
        let body = parsed.body;
        let intro = self.prose(body.intro);
        let messages = body.messages.into_iter().map(|m| self.message(m)).collect();
        let phases = body
            .phases
            .into_iter()
            .enumerate()
            .map(|(n, phase)| self.phase(n, phase))
            .collect();
        let text = |name: Option<Name>| name.map_or_else(String::new, |n| n.text);
        Procedure {
            file: self.file,
            span: id.span,
            id: id.text,
            title: text(head.title),
            about: text(head.about),
            rev: text(head.issue.rev),
            date: text(head.issue.date),
            source: text(head.issue.source),
            tried: head.issue.tried.is_some(),
            after,
            intro,
            messages,
            phases,
        }
    }

    fn phase(&mut self, n: usize, phase: syntax::Phase) -> Phase {
        let title = self.line(phase.title);
        let intro = self.prose(phase.intro);
        let only = self.conditions(&phase.only);
        let messages = phase.messages.into_iter().map(|m| self.message(m)).collect();
        let mut step = 0;
        let mut runs = Vec::new();
        for run in phase.runs {
            let mut steps = Vec::new();
            for syntax in run.steps {
                steps.push(self.step(StepNumber::at(n, step), syntax));
                step += 1;
            }
            runs.push(Run {
                any_order: run.any_order,
                steps,
            });
        }
        Phase {
            number: n + 1,
            span: phase.span,
            title,
            only,
            messages,
            intro,
            runs,
        }
    }

    fn step(&mut self, number: StepNumber, step: syntax::Step) -> Step {
        let messages = step.messages.into_iter().map(|m| self.message(m)).collect();
        let only = self.conditions(&step.only);
        let (text, acts) = self.worked(step.text);
        let mut substeps = Vec::new();
        for sub in step.substeps {
            let only = self.conditions(&sub.only);
            let (text, acts) = self.worked(sub.text);
            substeps.push(SubStep {
                span: sub.span,
                only,
                text,
                acts,
            });
        }
        Step {
            number,
            span: step.span,
            only,
            messages,
            text,
            acts,
            substeps,
        }
    }

    fn message(&mut self, message: syntax::Message) -> Message {
        let only = self.conditions(&message.only);
        Message {
            span: message.span,
            level: message.level,
            only,
            hazard: self.line(message.hazard),
            consequence: self.prose(message.consequence),
            avoid: self.prose(message.avoid),
        }
    }

    fn conditions(&mut self, only: &[syntax::Only]) -> Vec<Condition> {
        only.iter().filter_map(|o| self.binder.condition(o)).collect()
    }

    /// What a mark points at.
    fn act(&mut self, mark: &Mark) -> Option<Act> {
        let kind = self.binder.mark(mark)?;
        Some(Act { span: mark.span, kind })
    }

    /// A line of prose with its marks bound.
    fn line(&mut self, inlines: Vec<syntax::Inline>) -> Vec<Inline> {
        bind_inlines(inlines, &mut |mark| self.act(&mark))
    }

    /// Blocks with their marks bound, their pictures looked for.
    fn prose(&mut self, blocks: Vec<syntax::Block>) -> Vec<Block> {
        self.pictures(&blocks);
        bind_blocks(blocks, &mut |mark| self.act(&mark))
    }

    /// The same of a step, with what its marks do in written order.
    fn worked(&mut self, blocks: Vec<syntax::Block>) -> (Vec<Block>, Vec<Act>) {
        self.pictures(&blocks);
        let mut acts = Vec::new();
        let text = bind_blocks(blocks, &mut |mark| {
            let act = self.act(&mark)?;
            acts.push(act.clone());
            Some(act)
        });
        (text, acts)
    }

    /// Checks that the pictures in some blocks are there and can be printed.
    fn pictures(&mut self, blocks: &[syntax::Block]) {
        for block in blocks {
            match block {
                syntax::Block::Figure { path, .. } => {
                    let found = picture_path(self.files, self.file, &path.text);
                    match found.and_then(|p| self.files.assets().get(&p)) {
                        None => self.binder.findings.push(missing_picture::finding(path)),
                        Some(bytes) if !unprintable_picture::is_printable(bytes) => {
                            self.binder.findings.push(unprintable_picture::finding(path));
                        }
                        Some(bytes) => {
                            let over = picture::over(bytes);
                            let findings = &mut self.binder.findings;
                            findings.extend(over.map(|(budget, count)| unprintable_picture::over(path, budget, count)));
                        }
                    }
                }
                syntax::Block::List { items, .. } => items.iter().for_each(|blocks| self.pictures(blocks)),
                syntax::Block::Paragraph(_) | syntax::Block::Code(_) => {}
            }
        }
    }
}

/// Where a picture named in a file lies; `None` if the name leads out of the files. Names are addresses, so `%20` is a space.
pub fn picture_path(files: &FileSet, file: FileId, name: &str) -> Option<String> {
    join(folder(&files.get(file).path), &unescape(name))
}

/// Turns `%NN` into bytes; text that isn't UTF-8 then is left as it is.
fn unescape(address: &str) -> String {
    let mut pieces = address.split('%');
    let mut bytes = pieces.next().unwrap_or("").as_bytes().to_vec();
    for piece in pieces {
        let code = piece
            .get(..2)
            .filter(|code| code.bytes().all(|b| b.is_ascii_hexdigit()));
        match code.and_then(|code| u8::from_str_radix(code, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                bytes.extend_from_slice(&piece.as_bytes()[2..]);
            }
            None => {
                bytes.push(b'%');
                bytes.extend_from_slice(piece.as_bytes());
            }
        }
    }
    String::from_utf8(bytes).unwrap_or_else(|_| address.to_string())
}
