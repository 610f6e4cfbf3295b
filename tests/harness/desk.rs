//! What an author's editor asks, of files in memory.

use super::{Checked, Files, Outcome, check};
use benchleaf_core::desk::things::{self, Mention};
use benchleaf_core::desk::{complete, format, hover, outline, rename, schema};
use benchleaf_core::leaves;
use benchleaf_core::source::{FileId, FileSet};
use std::collections::BTreeMap;

/// A schema by the name of its file, as it is printed.
pub fn schemas() -> Vec<(&'static str, String)> {
    schema::Kind::ALL
        .iter()
        .map(|kind| (kind.file(), schema::schema(*kind)))
        .collect()
}

/// Files as `fmt` leaves them.
pub fn formatted(files: &Files) -> Files {
    let mut out = files.clone();
    for (path, text) in format::formatted(&FileSet::from_bytes(files.clone()), &|_| true) {
        out.insert(path, text.into_bytes());
    }
    out
}

impl Checked {
    /// Every code of every leaf.
    pub fn codes_of_leaves(&self) -> Vec<String> {
        let sets = self.compilation.model.sets.iter().zip(&self.compilation.facts);
        sets.flat_map(|(set, facts)| leaves::of_set(&self.files, set, facts))
            .map(|leaf| format!("{:?} {:?} {}", leaf.sort, leaf.choices, leaf.code))
            .collect()
    }

    /// What is proposed at a place, by label; what is put comes after a tab.
    pub fn proposals(&self, path: &str, at: usize) -> Vec<String> {
        let proposals = complete::at(&self.files, &self.compilation, self.file(path), at);
        proposals
            .into_iter()
            .map(|p| format!("{}\t{}", p.label, p.insert))
            .collect()
    }

    /// The text with the proposal of this label put in at a place, and where the cursor then is.
    pub fn completed(&self, path: &str, at: usize, label: &str) -> Option<(String, usize)> {
        let file = self.file(path);
        let proposals = complete::at(&self.files, &self.compilation, file, at);
        let proposal = proposals.into_iter().find(|p| p.label == label)?;
        let mut text = self.files.get(file).text.clone();
        text.replace_range(proposal.span.range(), &proposal.insert);
        Some((text, proposal.span.start as usize + proposal.insert.len()))
    }

    /// What is said of a place.
    pub fn hover(&self, path: &str, at: usize) -> Option<String> {
        let mentions = things::mentions(&self.compilation);
        hover::at(&self.files, &self.compilation, &mentions, self.file(path), at).map(|hover| hover.text)
    }

    fn file(&self, path: &str) -> FileId {
        self.files.find(path).unwrap_or_else(|| panic!("there is no {path}"))
    }

    /// Where the thing at a place is named: `path:line`, those that declare it with a star.
    pub fn named(&self, path: &str, at: usize) -> Vec<String> {
        let mentions = things::mentions(&self.compilation);
        let Some(mention) = things::at(&mentions, self.file(path), at) else {
            return Vec::new();
        };
        let show = |mention: &&Mention| {
            let source = self.files.get(mention.span.file);
            let line = source.lines().position(&source.text, mention.span.start as usize).line;
            format!("{}:{line}{}", source.path, if mention.declares { " *" } else { "" })
        };
        things::same(&mentions, mention).iter().map(show).collect()
    }

    /// The files with the thing at a place renamed.
    pub fn renamed(&self, path: &str, at: usize, name: &str) -> Result<Files, String> {
        let mentions = things::mentions(&self.compilation);
        let mention = rename::named(&self.files, &mentions, self.file(path), at)?;
        let edits = rename::edits(&self.files, &self.compilation, &mentions, mention, name)?;
        let mut out: Files = self.all();
        for (file, edits) in edits {
            let source = self.files.get(file);
            out.insert(source.path.clone(), format::applied(&source.text, &edits).into_bytes());
        }
        Ok(out)
    }

    /// Every place where a thing is named, in order.
    pub fn names(&self) -> Vec<(String, usize)> {
        let mentions = things::mentions(&self.compilation);
        let place = |mention: &Mention| {
            let span = mention.span;
            (self.files.get(span.file).path.clone(), span.start as usize)
        };
        let mut places: Vec<(String, usize)> = mentions.iter().map(place).collect();
        places.sort();
        places.dedup();
        places
    }

    /// What the thing at a place is called, the files with it called otherwise, and where that place then is; `None` if it can't be.
    pub fn rename_there(&self, path: &str, at: usize, name: &str) -> Option<(String, Files, usize)> {
        let mentions = things::mentions(&self.compilation);
        let file = self.file(path);
        let mention = rename::named(&self.files, &mentions, file, at).ok()?;
        let old = self.files.text(mention.span).to_string();
        let all = things::same(&mentions, mention).into_iter();
        // Each of its names before this one moves it.
        let before = all.filter(|other| other.span.file == file && other.span.start < mention.span.start);
        let moved = before.count();
        let start = mention.span.start as usize + moved * name.len() - moved * old.len();
        Some((old, self.renamed(path, at, name).ok()?, start))
    }

    /// The files as they were read.
    pub fn all(&self) -> Files {
        let texts = self.files.ids().map(|id| {
            (
                self.files.get(id).path.clone(),
                self.files.get(id).text.clone().into_bytes(),
            )
        });
        texts.chain(self.files.assets().clone()).collect()
    }

    /// Every question at every `stride`th place of every file: none may stop the program, and what is proposed lies at the cursor. Gives how
    /// many places had proposals, and how many something to say.
    pub fn ask_everywhere(&self, stride: usize) -> Result<(usize, usize), String> {
        let mentions = things::mentions(&self.compilation);
        let (mut proposed, mut said) = (0, 0);
        for file in self.files.ids() {
            let source = self.files.get(file);
            for at in (0..=source.text.len()).step_by(stride) {
                let proposals = complete::at(&self.files, &self.compilation, file, at);
                for proposal in &proposals {
                    let span = proposal.span;
                    let fits = span.file == file && span.start as usize <= at && at <= span.end as usize;
                    let whole = source.text.get(span.range()).is_some_and(|text| !text.contains('\n'));
                    // Within a character the boundary before it counts.
                    if source.text.is_char_boundary(at) && !(fits && whole) {
                        return Err(format!(
                            "{}:{at}: `{}` would replace {span:?}",
                            source.path, proposal.label
                        ));
                    }
                }
                proposed += usize::from(!proposals.is_empty());
            }
            // A hover walks the whole set; one place a word will do.
            let places = source.text.char_indices().filter(|(_, c)| !c.is_alphanumeric());
            for (at, _) in places.step_by(stride) {
                said += usize::from(hover::at(&self.files, &self.compilation, &mentions, file, at + 1).is_some());
            }
            let parts = outline::parts(&self.files, file);
            nested(&parts, (0, source.text.len() as u32)).map_err(|words| format!("{}: {words}", source.path))?;
        }
        Ok((proposed, said))
    }

    /// The outline of a file, a line a part, further in what is inside another.
    pub fn outline(&self, path: &str) -> String {
        let mut out = String::new();
        listed(&outline::parts(&self.files, self.file(path)), 0, &mut out);
        out
    }
}

fn listed(parts: &[outline::Part], depth: usize, out: &mut String) {
    for part in parts {
        *out += &format!("{}{}\n", "  ".repeat(depth), part.name);
        listed(&part.parts, depth + 1, out);
    }
}

/// Passes if each part lies in the one around it and what is shown of it in itself.
fn nested(parts: &[outline::Part], around: (u32, u32)) -> Result<(), String> {
    for part in parts {
        let inside = |start: u32, end: u32, (from, to): (u32, u32)| from <= start && end <= to;
        let own = (part.span.start, part.span.end);
        if !inside(own.0, own.1, around) || !inside(part.head.start, part.head.end, own) {
            return Err(format!("`{}` at {own:?} isn't inside {around:?}", part.name));
        }
        nested(&part.parts, own)?;
    }
    Ok(())
}

/// Passes if `fmt` keeps every code and finding, and a second run changes nothing. Says how many edits the first one makes.
pub fn format_holds(files: &Files) -> Result<usize, String> {
    let edits = format::wanted_edits(&FileSet::from_bytes(files.clone()), &|_| true);
    let count = edits.values().map(Vec::len).sum();
    if count == 0 {
        // It is its own second run.
        return Ok(0);
    }
    let before = check(files);
    let after = formatted(files);
    let checked = check(&after);
    if before.codes_of_leaves() != checked.codes_of_leaves() {
        return Err("a code changed".to_string());
    }
    if before.codes() != checked.codes() {
        return Err(format!(
            "findings were {:?} and are {:?}",
            before.codes(),
            checked.codes()
        ));
    }
    if formatted(&after) != after {
        return Err("a second run changes something".to_string());
    }
    Ok(count)
}

/// A trial over many files by name, of which each may fail.
pub fn each(names: impl Iterator<Item = (String, Result<(), String>)>) -> Outcome {
    let wrong: BTreeMap<String, String> = names.filter_map(|(name, result)| Some((name, result.err()?))).collect();
    if wrong.is_empty() {
        return Ok(());
    }
    let lines: Vec<String> = wrong
        .into_iter()
        .map(|(name, words)| format!("{name}: {words}"))
        .collect();
    Err(lines.join("\n").into())
}
