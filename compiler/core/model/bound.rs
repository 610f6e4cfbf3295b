//! A procedure as written to one whose names are bound.

use super::bind::Binder;
use super::rules::{count_of_all, missing_picture, misused_mark, small_in_picture, unprintable_picture};
use super::ties::{PerMember, Question};
use super::{
    Act, ActKind, Block, Condition, Handle, Inline, Item, Links, Message, Phase, Procedure, Run, Step, StepNumber,
    SubStep, picture_entry,
};
use crate::source::{FileId, FileSet, folder, join};
use crate::syntax::documents::ProcedureFile;
use crate::syntax::{self, Mark, Name, bind_blocks, bind_inlines};

/// Builds one procedure.
pub(super) struct Builder<'a> {
    pub(super) files: &'a FileSet,
    pub(super) file: FileId,
    pub(super) binder: Binder<'a>,
}

impl Builder<'_> {
    pub(super) fn procedure(mut self, id: Name, parsed: ProcedureFile, links: &Links) -> Procedure {
        let head = parsed.head;
        let only = self.conditions(&head.only);
        let after = head
            .after
            .iter()
            .filter_map(|name| self.binder.procedure(name))
            .collect();
        let body = parsed.body;
        let intro = self.prose(body.intro);
        let messages = body.messages.into_iter().map(|m| self.message(m)).collect();
        let phases: Vec<Phase> = body
            .phases
            .into_iter()
            .enumerate()
            .map(|(n, phase)| self.phase(n, phase))
            .collect();
        self.members(&phases, links);
        let text = |name: Option<Name>| name.map_or_else(String::new, |n| n.text);
        Procedure {
            file: self.file,
            span: id.span,
            id: id.text,
            title: text(head.title),
            about: head.about,
            rev: text(head.issue.rev),
            date: text(head.issue.date),
            source: text(head.issue.source),
            tried: head.issue.tried.is_some(),
            only,
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
        let ifs = self.questions(&phase.ifs);
        let each = phase.each.as_ref().and_then(|each| self.binder.each(each));
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
            ifs,
            each,
            messages,
            intro,
            runs,
        }
    }

    fn step(&mut self, number: StepNumber, step: syntax::Step) -> Step {
        let messages = step.messages.into_iter().map(|m| self.message(m)).collect();
        let only = self.conditions(&step.only);
        let ifs = self.questions(&step.ifs);
        let each = step.each.as_ref().and_then(|each| self.binder.each(each));
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
            ifs,
            each,
            messages,
            text,
            acts,
            any_order: step.any_order,
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
        let member = self.binder.member.take();
        Some(Act {
            span: mark.span,
            kind,
            member,
        })
    }

    fn questions(&mut self, ifs: &[syntax::ties::If]) -> Vec<Question> {
        ifs.iter()
            .filter_map(|question| self.binder.question(question))
            .collect()
    }

    /// What marks may not say of groups, and where they may not lead back to.
    pub(super) fn members(&mut self, phases: &[Phase], links: &Links) {
        for phase in phases {
            for step in phase.runs.iter().flat_map(|run| &run.steps) {
                if let (Some(_), Some(second)) = (phase.each, step.each) {
                    self.binder.findings.push(misused_mark::second_group(second.span));
                }
                let each = step.each.or(phase.each);
                for act in step.acts.iter().chain(step.substeps.iter().flat_map(|sub| &sub.acts)) {
                    self.member_act(act, each, step, links);
                }
            }
        }
    }

    fn member_act(&mut self, act: &Act, each: Option<PerMember>, step: &Step, links: &Links) {
        let catalogue = self.binder.catalogue;
        match &act.kind {
            ActKind::Fit(item, Some(_)) | ActKind::Remove(item, Some(_)) if act.member.is_none() => {
                let entity = match item {
                    Item::Part(part) => part.entity(),
                    Item::Temporary(item) => item.entity(),
                };
                let Some(group) = links.ties(entity).each else { return };
                if each.is_none_or(|each| each.group != group) {
                    let id = catalogue.id(entity).map_or("", |id| id.text.as_str());
                    let member = catalogue.groups[group].members.first();
                    let member = member.map_or("", |member| member.text.as_str());
                    self.binder.findings.push(count_of_all::finding(act.span, id, member));
                }
            }
            ActKind::Repeat(number) => {
                if *number > step.number {
                    self.binder.findings.push(misused_mark::not_back(act.span));
                } else if each.is_some_and(|each| !each.in_turn) {
                    self.binder.findings.push(misused_mark::repeat_for_each(act.span));
                }
            }
            _ => {}
        }
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
                    let here = self.binder.here.zip(found.as_deref());
                    let entry = here.and_then(|(id, at)| picture_entry(self.files, self.binder.catalogue, id, at));
                    self.binder.used.extend(entry.map(Handle::entity));
                    match found.and_then(|p| self.files.assets().get(&p)) {
                        None => self.binder.findings.push(missing_picture::finding(path)),
                        Some(bytes) => {
                            let told = unprintable_picture::check(path, bytes);
                            let told = told.or_else(|| small_in_picture::check(path, bytes));
                            self.binder.findings.extend(told);
                        }
                    }
                }
                syntax::Block::List { items, .. } => items.iter().for_each(|blocks| self.pictures(blocks)),
                syntax::Block::Paragraph { .. } | syntax::Block::Code { .. } => {}
            }
        }
    }
}

/// Where a picture named in a file lies; `None` if the name leads out of the files. Names are addresses, so `%20` is a space.
pub fn picture_path(files: &FileSet, file: FileId, name: &str) -> Option<String> {
    join(folder(&files.get(file).path), &unescape(name))
}

/// Turns `%NN` into bytes; text that isn't UTF-8 then is left as it is.
pub(super) fn unescape(address: &str) -> String {
    let mut pieces = address.split('%');
    let mut bytes = pieces.next().unwrap_or("").as_bytes().to_vec();
    for piece in pieces {
        let halves = piece
            .split_at_checked(2)
            .filter(|(code, _)| code.bytes().all(|b| b.is_ascii_hexdigit()));
        match halves.and_then(|(code, rest)| Some((u8::from_str_radix(code, 16).ok()?, rest))) {
            Some((byte, rest)) => {
                bytes.push(byte);
                bytes.extend_from_slice(rest.as_bytes());
            }
            None => {
                bytes.push(b'%');
                bytes.extend_from_slice(piece.as_bytes());
            }
        }
    }
    String::from_utf8(bytes).unwrap_or_else(|_| address.to_string())
}
