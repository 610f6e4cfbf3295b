//! Documents to model: which procedure belongs to which set, in what order, with every name bound.

use super::bind::{Labels, Named, Names, Notes};
use super::bound::Builder;
use super::catalogue::{Catalogue, Entity, Home};
use super::rules::{
    circle_of_parts, duplicate_id, duplicate_procedure, missing_procedure, order_cycle, procedure_without_set,
};
use super::ties::Ties;
use super::{Links, Model, ProcedureId, Set, StepNumber, order};
use crate::finding::Finding;
use crate::source::{FileId, FileSet, Span, ancestors, file_name, folder, join};
use crate::spread;
use crate::syntax::documents::{Document, Documents, ProcedureFile, id_of_file};
use crate::syntax::heads::{SetHead, WorkshopHead};
use crate::syntax::registers::{REGISTERS, Registers};
use crate::syntax::{self, MarkKind, Name};
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
    let shared: Vec<Vec<(Name, ProcedureFile)>> = documents
        .sets
        .iter()
        .map(|set| shared(files, set, &documents.procedures, &mut findings))
        .collect();
    let lent: BTreeSet<FileId> = shared.iter().flatten().map(|(_, procedure)| procedure.file).collect();
    for procedure in documents.procedures {
        let path = &files.get(procedure.file).path;
        match ancestors(folder(path)).find_map(|f| set_folders.get(f)) {
            Some(set) => by_set.entry(*set).or_default().push(procedure),
            None if lent.contains(&procedure.file) => {}
            None => findings.push(procedure_without_set::finding(head(files, procedure.file))),
        }
    }
    let mut model = Model::default();
    for (document, shared) in documents.sets.into_iter().zip(shared) {
        let own = by_set.remove(&document.file).unwrap_or_default();
        let entries: Vec<Name> = shared.iter().map(|(entry, _)| entry.clone()).collect();
        let procedures: Vec<ProcedureFile> = shared.into_iter().map(|(_, p)| p).chain(own).collect();
        model.sets.push(set(
            files,
            document,
            &documents.workshops,
            (procedures, entries),
            &mut findings,
        ));
    }
    (model, findings)
}

/// The procedures that a set borrows from elsewhere, each with its entry; a file that isn't there is reported.
fn shared(
    files: &FileSet,
    set: &Document<SetHead>,
    procedures: &[ProcedureFile],
    findings: &mut Vec<Finding>,
) -> Vec<(Name, ProcedureFile)> {
    let mut found = Vec::new();
    for entry in &set.head.shared {
        let Some(file) = &entry.file else { continue };
        let path = join(folder(&files.get(set.file).path), &file.text);
        let lies_at = |p: &&ProcedureFile| Some(&files.get(p.file).path) == path.as_ref();
        let Some(procedure) = procedures.iter().find(lies_at) else {
            findings.push(missing_procedure::finding(file));
            continue;
        };
        let mut procedure = procedure.clone();
        procedure.head.id = Some(entry.id.clone());
        procedure.head.after.clone_from(&entry.after);
        procedure.head.only.extend(entry.only.iter().cloned());
        found.push((entry.id.clone(), procedure));
    }
    found
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
    (mut procedures, borrowed): (Vec<ProcedureFile>, Vec<Name>),
    findings: &mut Vec<Finding>,
) -> Set {
    let head = document.head;
    let lent = procedures.iter().take(borrowed.len());
    let lent = lent.map(|p| files.get(p.file).path.clone()).collect();
    let path = folder(&files.get(document.file).path).to_string();
    let ids: Vec<Name> = procedures.iter().map(|p| procedure_id(files, p)).collect();
    let sequence = sequence(&ids, &procedures, findings);
    let mut slots: Vec<Option<(Name, ProcedureFile)>> = ids.into_iter().zip(procedures.drain(..)).map(Some).collect();
    let mut parsed: Vec<(Name, ProcedureFile)> =
        sequence.into_iter().filter_map(|i| slots.get_mut(i)?.take()).collect();

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
    let order_known = parsed.iter().all(|(_, p)| p.loss.spans.is_empty());
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
    let labels: Labels = spread::over(parsed.iter().collect(), parsed.len(), |(_, p)| labels(&p.body))
        .into_iter()
        .map(|(labels, mut told)| {
            findings.append(&mut told);
            labels
        })
        .collect();
    let names = Names {
        catalogue: &catalogue,
        labels: &labels,
        named: &named,
        blind,
    };
    let mut links = Links::default();
    let mut all = Notes::default();
    let mut bound = Vec::new();
    let mut never = Vec::new();
    let homes = (0..shops.len()).map(Home::Workshop).chain([Home::Set]);
    for home in homes {
        let mut binder = names.binder(home, true, &mut all);
        binder.links(&mut links);
        if home == Home::Set {
            never = head.never.iter().filter_map(|pairs| binder.never(pairs)).collect();
        }
    }
    for (n, (_, procedure)) in parsed.iter().enumerate() {
        for spans in [&procedure.body.lost, &procedure.loss.spans, &lost] {
            all.used
                .extend(named_in(files, &catalogue, Home::Procedure(ProcedureId::at(n)), spans));
        }
    }
    let text = |name: &Option<Name>| name.as_ref().map_or_else(String::new, |n| n.text.clone());
    let count = parsed.len();
    let linked: Vec<(usize, Notes, (Name, ProcedureFile))> = parsed
        .into_iter()
        .enumerate()
        .map(|(n, parsed)| {
            let mut notes = Notes::default();
            names
                .binder(Home::Procedure(ProcedureId::at(n)), parsed.1.readable, &mut notes)
                .links(&mut links);
            (n, notes, parsed)
        })
        .collect();
    // Its own entries and those of the set are all that a procedure knows of, so that each is bound by itself.
    let bind = |(n, mut notes, (id, procedure)): (usize, Notes, (Name, ProcedureFile))| {
        let lent = borrowed.iter().find(|entry| entry.span == id.span);
        let builder = Builder {
            files,
            file: procedure.file,
            binder: names.binder(Home::Procedure(ProcedureId::at(n)), procedure.readable, &mut notes),
        };
        let mut built = builder.procedure(id, procedure, &links);
        if let Some(entry) = lent {
            told_at_entry(entry, &mut notes.findings);
        }
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
        (built, notes)
    };
    for (built, mut notes) in spread::over(linked, count, bind) {
        all.append(&mut notes);
        bound.push(built);
    }
    findings.append(&mut all.findings);
    for (field, of) in [("contains", contained as Field), ("covers", covered as Field)] {
        circles(&catalogue, &links, field, of, findings);
    }
    Set {
        file: document.file,
        id: own_name(&path).to_string(),
        folder: path,
        machine: text(&head.machine),
        title: text(&head.title),
        about: head.about.clone(),
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
        order_known,
        catalogue,
        borrowed: lent,
        never,
        procedures: bound.into_iter().collect(),
        links,
        used: all.used,
        lookups: all.lookups,
    }
}

/// What a shared procedure names and this set lacks is told where the set borrows it: the procedure may be right for other sets.
fn told_at_entry(entry: &Name, findings: &mut [Finding]) {
    for finding in findings {
        let place = finding.primary.span;
        if finding.rule.code.starts_with("BL1") && place.file != entry.span.file {
            finding.secondary.insert(
                0,
                crate::finding::Label {
                    span: place,
                    text: "it is named here".to_string(),
                },
            );
            finding.primary.span = entry.span;
        }
    }
}

type Field = fn(&Ties) -> &[super::ties::Target];

fn contained(ties: &Ties) -> &[super::ties::Target] {
    &ties.contains
}

fn covered(ties: &Ties) -> &[super::ties::Target] {
    &ties.covers
}

/// Reports the first way round in which each entry names the next.
fn circles(catalogue: &Catalogue, links: &Links, field: &str, of: Field, findings: &mut Vec<Finding>) {
    let mut settled: BTreeSet<Entity> = BTreeSet::new();
    for start in links.ties.keys() {
        let mut path: Vec<(Entity, usize)> = vec![(*start, 0)];
        while let Some((at, next)) = path.last().copied() {
            let targets = of(links.ties(at));
            let entry = targets
                .iter()
                .flat_map(|t| t.things.iter().map(move |thing| (*thing, t.span)))
                .nth(next);
            let Some((thing, _)) = entry.filter(|_| !settled.contains(&at)) else {
                settled.insert(at);
                path.pop();
                continue;
            };
            if let Some(last) = path.last_mut() {
                last.1 += 1;
            }
            if let Some(round) = path.iter().position(|(entity, _)| *entity == thing) {
                let places: Vec<(Span, String)> = path
                    .iter()
                    .skip(round)
                    .filter_map(|(entity, next)| {
                        let targets = of(links.ties(*entity)).iter();
                        let span = targets
                            .flat_map(|t| t.things.iter().map(move |_| t.span))
                            .nth(next - 1)?;
                        Some((span, catalogue.id(*entity)?.text.clone()))
                    })
                    .collect();
                findings.extend(circle_of_parts::finding(field, &places));
                return;
            }
            path.push((thing, 0));
        }
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
    let mut index: BTreeMap<&str, (usize, &Name)> = BTreeMap::new();
    for (i, id) in ids.iter().enumerate() {
        if let Some((_, first)) = index.get(id.text.as_str()) {
            findings.push(duplicate_procedure::finding(id.span, &id.text, first.span));
        } else {
            index.insert(&id.text, (i, id));
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
                .filter_map(|n| index.get(n.text.as_str()).map(|(i, _)| *i))
                .collect();
            known.into_iter().collect()
        })
        .collect();
    let (sequence, cycle) = order::sort(&after);
    if let Some(cycle) = cycle {
        let place = |node: usize, next: usize| {
            let (id, next) = (ids.get(node)?, ids.get(next)?);
            let name = procedures.get(node)?.head.after.iter().find(|a| a.text == next.text)?;
            Some((name.span, id.text.as_str()))
        };
        let steps = cycle.iter().zip(cycle.iter().cycle().skip(1));
        let places: Vec<_> = steps.filter_map(|(node, next)| place(*node, *next)).collect();
        findings.extend(order_cycle::finding(&places));
    }
    sequence
}

/// Numbers of the labelled steps; a label that stands twice is reported.
fn labels(body: &syntax::Body) -> (BTreeMap<String, StepNumber>, Vec<Finding>) {
    let mut findings = Vec::new();
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
    let labels = labels.into_iter().map(|(label, (number, _))| (label, number));
    (labels.collect(), findings)
}
