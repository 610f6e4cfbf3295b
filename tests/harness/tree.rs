//! Syntax trees as text: one line a node, indented by depth, with spans as `line:column-line:column` (the end is past the last
//! character).
//!
//! Runs of prose stand between bars: `|Tighten the {torque head-bolts @7:17-7:35}.|`, with `*emphasis*`, `**strong**`, `` `code` ``,
//! `<text>(url)` for links and `⏎` for a line break. A name whose span doesn't cover its own text is marked `!` with what it covers.

use super::{Checked, Files};
use benchleaf_core::dump::{Part, dump};
use benchleaf_core::source::{FileId, FileSet, Span};
use serde_json::Value;
use std::fmt::Write;

/// The body of every procedure among the files, with the findings of the whole compilation.
pub fn trees(files: &Files) -> String {
    let Checked { files, compilation } = super::check(files);
    let tree = dump(&files, &compilation.model, &compilation.facts, Part::Tree);
    let mut out = String::new();
    for procedure in all(&tree) {
        let path = text(&procedure["path"]);
        let _ = writeln!(out, "{path}: {}", text(&procedure["title"]));
        Printer {
            files: &files,
            file: files.find(path).unwrap_or_else(|| panic!("no file {path}")),
            out: &mut out,
            depth: 1,
        }
        .body(&procedure["body"]);
    }
    let checked = Checked { files, compilation };
    out + &checked.listing()
}

fn all(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("no list: {value}"))
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no text: {value}"))
}

/// The name and value of an object with one field: an enum's variant.
fn variant(value: &Value) -> (&str, &Value) {
    let fields = value.as_object().filter(|fields| fields.len() == 1);
    let (name, inner) = fields
        .and_then(|fields| fields.iter().next())
        .unwrap_or_else(|| panic!("no variant: {value}"));
    (name, inner)
}

struct Printer<'a> {
    files: &'a FileSet,
    file: FileId,
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

    fn place(&self, span: &Value) -> Span {
        let at = |n: usize| span[n].as_u64().unwrap_or_else(|| panic!("no place: {span}")) as usize;
        Span::new(self.file, at(0), at(1))
    }

    fn span(&self, of: &Value) -> String {
        let span = self.place(&of["span"]);
        if let Some(fault) = super::sound::bad_span(self.files, span) {
            panic!("{fault}");
        }
        let file = self.files.get(span.file);
        let start = file.lines().position(&file.text, span.start as usize);
        let end = file.lines().position(&file.text, span.end as usize);
        format!("{}:{}-{}:{}", start.line, start.column, end.line, end.column)
    }

    fn body(&mut self, body: &Value) {
        all(&body["messages"]).iter().for_each(|message| self.message(message));
        self.blocks("intro", &body["intro"]);
        all(&body["phases"]).iter().for_each(|phase| self.phase(phase));
    }

    fn phase(&mut self, phase: &Value) {
        let title = self.inlines(&phase["title"]);
        self.line(&format!(
            "phase {} |{title}|{}",
            self.span(phase),
            self.onlys(&phase["only"])
        ));
        self.deeper(|p| {
            all(&phase["messages"]).iter().for_each(|message| p.message(message));
            p.blocks("intro", &phase["intro"]);
            for run in all(&phase["runs"]) {
                let any_order = run["any_order"] == Value::Bool(true);
                p.line(if any_order { "steps in any order" } else { "steps" });
                p.deeper(|p| all(&run["steps"]).iter().for_each(|step| p.step(step)));
            }
        });
    }

    fn step(&mut self, step: &Value) {
        self.line(&format!("step {}{}", self.span(step), self.onlys(&step["only"])));
        self.deeper(|p| {
            all(&step["messages"]).iter().for_each(|message| p.message(message));
            p.blocks("text", &step["text"]);
            for sub in all(&step["substeps"]) {
                p.line(&format!("sub-step {}{}", p.span(sub), p.onlys(&sub["only"])));
                p.deeper(|p| p.blocks("text", &sub["text"]));
            }
        });
    }

    fn message(&mut self, message: &Value) {
        let hazard = self.inlines(&message["hazard"]);
        let level = text(&message["level"]);
        self.line(&format!(
            "{level} {} |{hazard}|{}",
            self.span(message),
            self.onlys(&message["only"])
        ));
        self.deeper(|p| {
            p.blocks("says", &message["consequence"]);
            p.blocks("avoid", &message["avoid"]);
        });
    }

    fn blocks(&mut self, role: &str, blocks: &Value) {
        for block in all(blocks) {
            match variant(block) {
                ("paragraph", paragraph) => {
                    let text = self.inlines(&paragraph["text"]);
                    self.line(&format!("{role} {} |{text}|", self.span(paragraph)));
                }
                ("figure", figure) => {
                    let (path, caption) = (self.name(&figure["path"]), self.inlines(&figure["caption"]));
                    self.line(&format!("{role} figure {} {path} |{caption}|", self.span(figure)));
                }
                ("code", code) => self.line(&format!("{role} code {} {:?}", self.span(code), text(&code["text"]))),
                ("list", list) => {
                    let ordered = list["ordered"] == Value::Bool(true);
                    self.line(&format!("{role} {}", if ordered { "numbered list" } else { "list" }));
                    for item in all(&list["items"]) {
                        self.deeper(|p| {
                            p.line("item");
                            p.deeper(|p| p.blocks(role, item));
                        });
                    }
                }
                (other, _) => panic!("no block: {other}"),
            }
        }
    }

    fn inlines(&self, inlines: &Value) -> String {
        all(inlines).iter().map(|inline| self.inline(inline)).collect()
    }

    fn inline(&self, inline: &Value) -> String {
        if inline == "break" {
            return "⏎".to_string();
        }
        match variant(inline) {
            ("text", words) => text(words).replace('\n', "\\n").replace('\r', "\\r"),
            ("strong", words) => format!("**{}**", self.inlines(words)),
            ("emphasis", words) => format!("*{}*", self.inlines(words)),
            ("code", code) => format!("`{}`", text(code)),
            ("link", link) => format!("<{}>({})", self.inlines(&link["text"]), text(&link["url"])),
            ("mark", mark) => format!("{{{} @{}}}", self.mark(&mark["kind"]), self.span(mark)),
            (other, _) => panic!("no inline: {other}"),
        }
    }

    fn mark(&self, kind: &Value) -> String {
        if kind == "stop" {
            return "stop".to_string();
        }
        let (verb, says) = variant(kind);
        match verb {
            "fit" | "remove" | "use" => {
                let count = match &says[1] {
                    Value::Null => String::new(),
                    Value::String(amount) => format!(" {amount}"),
                    count => format!(" {count}"),
                };
                let onto = match &says[2] {
                    Value::Null => String::new(),
                    onto => format!(" on {}", self.name(onto)),
                };
                format!("{verb} {}{count}{onto}", self.name(&says[0]))
            }
            "measure" if says[1] == true => format!("measure {} as-found", self.name(&says[0])),
            "measure" => format!("measure {}", self.name(&says[0])),
            "need" => {
                let values: Vec<String> = all(&says["values"]).iter().map(|value| self.name(value)).collect();
                format!("need {}={}", self.name(&says["id"]), values.join("|"))
            }
            "each" => format!("each {} in turn: {}", self.name(&says["group"]), says["in_turn"]),
            "if" => {
                let not = if says["not"] == true { "not " } else { "" };
                let answer = says["answer"]
                    .as_str()
                    .map_or_else(String::new, |answer| format!(" {answer}"));
                format!("if {not}{}{answer}", self.name(&says["id"]))
            }
            "set" => format!("{verb} {}={}", self.name(&says[0]), self.name(&says[1])),
            "step" if says[0].is_null() => format!("step {}", self.name(&says[1])),
            "step" => format!("step {}/{}", self.name(&says[0]), self.name(&says[1])),
            "time" => format!("time {}", text(says)),
            "only" => format!("only {}", self.only(says)),
            _ => format!("{verb} {}", self.name(says)),
        }
    }

    fn name(&self, name: &Value) -> String {
        // Looked at for its place alone.
        self.span(name);
        let own = text(&name["text"]);
        match self.files.text(self.place(&name["span"])) {
            text if text == own => own.to_string(),
            other => format!("{own}!{other:?}"),
        }
    }

    fn only(&self, only: &Value) -> String {
        let values: Vec<String> = all(&only["values"]).iter().map(|value| self.name(value)).collect();
        format!("{}={}", self.name(&only["option"]), values.join("|"))
    }

    fn onlys(&self, onlys: &Value) -> String {
        all(onlys)
            .iter()
            .map(|only| format!(" only {}", self.only(only)))
            .collect()
    }
}
