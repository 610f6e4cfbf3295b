//! Syntax trees as text: one line a node, indented by depth, with spans as `line:column-line:column` (the end is past the last
//! character).
//!
//! Runs of prose stand between bars: `|Tighten the {torque head-bolts @7:17-7:35}.|`, with `*emphasis*`, `**strong**`, `` `code` ``,
//! `<text>(url)` for links and `⏎` for a line break. A name whose span doesn't cover its own text is marked `!` with what it covers.

use super::{Checked, Files};
use benchleaf_core::parse::{self};
use benchleaf_core::source::{FileSet, Span};
use benchleaf_core::syntax::{Block, Body, Inline, Level, Mark, MarkKind, Message, Name, Only, Phase, Step};
use std::fmt::Write;

/// The body of every procedure among the files, with the findings of the whole compilation.
pub fn trees(files: &Files) -> String {
    let Checked { files, compilation } = super::check(files);
    let (documents, _) = parse::parse(&files);
    let mut out = String::new();
    for procedure in &documents.procedures {
        let title = procedure.head.title.as_ref().map_or("", |title| title.text.as_str());
        let _ = writeln!(out, "{}: {title}", files.get(procedure.file).path);
        Printer {
            files: &files,
            out: &mut out,
            depth: 1,
        }
        .body(&procedure.body);
    }
    let checked = Checked { files, compilation };
    out + &checked.listing()
}

struct Printer<'a> {
    files: &'a FileSet,
    out: &'a mut String,
    depth: usize,
}

impl Printer<'_> {
    fn line(&mut self, text: &str) {
        let _ = writeln!(self.out, "{}{text}", "  ".repeat(self.depth));
    }

    fn deeper(&mut self, inside: impl FnOnce(&mut Self)) {
        self.depth += 1;
        inside(self);
        self.depth -= 1;
    }

    fn span(&self, span: Span) -> String {
        if let Some(fault) = super::sound::bad_span(self.files, span) {
            panic!("{fault}");
        }
        let file = self.files.get(span.file);
        let start = file.lines().position(&file.text, span.start as usize);
        let end = file.lines().position(&file.text, span.end as usize);
        format!("{}:{}-{}:{}", start.line, start.column, end.line, end.column)
    }

    fn body(&mut self, body: &Body) {
        body.messages.iter().for_each(|message| self.message(message));
        self.blocks("intro", &body.intro);
        body.phases.iter().for_each(|phase| self.phase(phase));
    }

    fn phase(&mut self, phase: &Phase) {
        let title = self.inlines(&phase.title);
        self.line(&format!(
            "phase {} |{title}|{}",
            self.span(phase.span),
            self.onlys(&phase.only)
        ));
        self.deeper(|p| {
            phase.messages.iter().for_each(|message| p.message(message));
            p.blocks("intro", &phase.intro);
            for run in &phase.runs {
                p.line(if run.any_order { "steps in any order" } else { "steps" });
                p.deeper(|p| run.steps.iter().for_each(|step| p.step(step)));
            }
        });
    }

    fn step(&mut self, step: &Step) {
        self.line(&format!("step {}{}", self.span(step.span), self.onlys(&step.only)));
        self.deeper(|p| {
            step.messages.iter().for_each(|message| p.message(message));
            p.blocks("text", &step.text);
            for sub in &step.substeps {
                p.line(&format!("sub-step {}{}", p.span(sub.span), p.onlys(&sub.only)));
                p.deeper(|p| p.blocks("text", &sub.text));
            }
        });
    }

    fn message(&mut self, message: &Message) {
        let level = match message.level {
            Level::Note => "note",
            Level::Notice => "notice",
            Level::Caution => "caution",
            Level::Warning => "warning",
            Level::Danger => "danger",
        };
        let hazard = self.inlines(&message.hazard);
        self.line(&format!(
            "{level} {} |{hazard}|{}",
            self.span(message.span),
            self.onlys(&message.only)
        ));
        self.deeper(|p| {
            p.blocks("says", &message.consequence);
            p.blocks("avoid", &message.avoid);
        });
    }

    fn blocks(&mut self, role: &str, blocks: &[Block]) {
        for block in blocks {
            match block {
                Block::Paragraph(text) => {
                    let text = self.inlines(text);
                    self.line(&format!("{role} |{text}|"));
                }
                Block::Figure { span, path, caption } => {
                    let (path, caption) = (self.name(path), self.inlines(caption));
                    self.line(&format!("{role} figure {} {path} |{caption}|", self.span(*span)));
                }
                Block::Code(code) => self.line(&format!("{role} code {code:?}")),
                Block::List { ordered, items } => {
                    self.line(&format!("{role} {}", if *ordered { "numbered list" } else { "list" }));
                    for item in items {
                        self.deeper(|p| {
                            p.line("item");
                            p.deeper(|p| p.blocks(role, item));
                        });
                    }
                }
            }
        }
    }

    fn inlines(&self, inlines: &[Inline]) -> String {
        inlines.iter().map(|inline| self.inline(inline)).collect()
    }

    fn inline(&self, inline: &Inline) -> String {
        match inline {
            Inline::Text(text) => text.replace('\n', "\\n").replace('\r', "\\r"),
            Inline::Strong(text) => format!("**{}**", self.inlines(text)),
            Inline::Emphasis(text) => format!("*{}*", self.inlines(text)),
            Inline::Code(code) => format!("`{code}`"),
            Inline::Link { text, url } => format!("<{}>({url})", self.inlines(text)),
            Inline::Break => "⏎".to_string(),
            Inline::Mark(mark) => format!("{{{} @{}}}", self.mark(mark), self.span(mark.span)),
        }
    }

    fn mark(&self, mark: &Mark) -> String {
        let n = |name: &Name| self.name(name);
        let counted = |verb: &str, name: &Name, count: Option<String>| {
            let count = count.map_or_else(String::new, |count| format!(" {count}"));
            format!("{verb} {}{count}", n(name))
        };
        match &mark.kind {
            MarkKind::Torque(id) => format!("torque {}", n(id)),
            MarkKind::Snug(id) => format!("snug {}", n(id)),
            MarkKind::Loosen(id) => format!("loosen {}", n(id)),
            MarkKind::Measure(id, false) => format!("measure {}", n(id)),
            MarkKind::Measure(id, true) => format!("measure {} as-found", n(id)),
            MarkKind::Fit(id, count) => counted("fit", id, count.map(|c| c.to_string())),
            MarkKind::Remove(id, count) => counted("remove", id, count.map(|c| c.to_string())),
            MarkKind::Use(id, amount, onto) => {
                let used = counted("use", id, amount.as_ref().map(|a| a.to_string()));
                onto.as_ref()
                    .map_or(used.clone(), |onto| format!("{used} on {}", n(onto)))
            }
            MarkKind::Need(need) => {
                let values: Vec<String> = need.values.iter().map(n).collect();
                format!("need {}={}", n(&need.id), values.join("|"))
            }
            MarkKind::Wait(id) => format!("wait {}", n(id)),
            MarkKind::Mark(id) => format!("mark {}", n(id)),
            MarkKind::Each(each) => format!("each {} {}", n(&each.group), each.in_turn),
            MarkKind::If(asked) => format!("if {} {:?} {}", n(&asked.id), asked.answer, asked.not),
            MarkKind::Repeat(label) => format!("repeat {}", n(label)),
            MarkKind::Stop => "stop".to_string(),
            MarkKind::Set(state, value) => format!("set {}={}", n(state), n(value)),
            MarkKind::Do(id) => format!("do {}", n(id)),
            MarkKind::Start(id) => format!("start {}", n(id)),
            MarkKind::End(id) => format!("end {}", n(id)),
            MarkKind::Hold(id) => format!("hold {}", n(id)),
            MarkKind::Label(id) => format!("label {}", n(id)),
            MarkKind::Step(None, label) => format!("step {}", n(label)),
            MarkKind::Step(Some(procedure), label) => format!("step {}/{}", n(procedure), n(label)),
            MarkKind::See(id) => format!("see {}", n(id)),
            MarkKind::Time(time) => format!("time {time}"),
            MarkKind::Only(only) => format!("only {}", self.only(only)),
        }
    }

    fn name(&self, name: &Name) -> String {
        // Looked at for its place alone.
        self.span(name.span);
        match self.files.text(name.span) {
            text if text == name.text => name.text.clone(),
            other => format!("{}!{other:?}", name.text),
        }
    }

    fn only(&self, only: &Only) -> String {
        let values: Vec<String> = only.values.iter().map(|value| self.name(value)).collect();
        format!("{}={}", self.name(&only.option), values.join("|"))
    }

    fn onlys(&self, onlys: &[Only]) -> String {
        onlys.iter().map(|only| format!(" only {}", self.only(only))).collect()
    }
}
