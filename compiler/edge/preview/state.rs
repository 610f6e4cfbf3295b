//! Files and what they come to. A set whose own files are as they were isn't compiled again: whoever writes changes one at a time.

use crate::Compilation;
use crate::check::Facts;
use crate::finding::Finding;
use crate::groups::{Groups, in_order};
use crate::model::Set;
use crate::source::{FileId, FileSet};
use std::sync::Arc;

/// Files and what they come to.
pub struct State {
    pub files: FileSet,
    /// What knows nothing of each other, apart.
    parts: Vec<(Vec<FileId>, Arc<Compilation>)>,
    /// In reading order, none twice.
    pub findings: Vec<Finding>,
    /// The file and line, from 1, that was written last: the first that is another than before.
    pub written: Option<(String, usize)>,
}

/// A set with all that is known of it.
pub struct Known<'a> {
    pub set: &'a Set,
    pub facts: &'a Facts,
    /// A finding keeps it from being printed.
    pub blocked: bool,
}

impl State {
    /// Compiles files, but for what is as it was.
    pub fn new(files: FileSet, before: Option<&State>) -> State {
        let groups = Groups::new(&files);
        // Places are by the numbers of files: they mean the same while there are the same files.
        let alike =
            before.filter(|before| paths(&before.files) == paths(&files) && before.files.assets() == files.assets());
        let parts: Vec<(Vec<FileId>, Arc<Compilation>)> = (0..groups.count())
            .map(|part| {
                let ids: Vec<FileId> = groups.files(part).ids().collect();
                let known = alike.and_then(|before| before.part(&ids, &files));
                (ids, known.unwrap_or_else(|| Arc::new(groups.compile(part))))
            })
            .collect();
        let mut findings: Vec<Finding> = parts
            .iter()
            .flat_map(|(_, part)| part.findings.iter().cloned())
            .collect();
        in_order(&mut findings);
        let written = before.and_then(|before| first_change(&before.files, &files));
        State {
            parts,
            findings,
            written,
            files,
        }
    }

    /// What a part of these files came to, if all its texts are as they are now.
    fn part(&self, ids: &[FileId], files: &FileSet) -> Option<Arc<Compilation>> {
        let (_, known) = self.parts.iter().find(|(own, _)| own == ids)?;
        let same = |id: &FileId| self.files.get(*id).text == files.get(*id).text;
        ids.iter().all(same).then(|| Arc::clone(known))
    }

    /// Every set, in the order of their files.
    pub fn sets(&self) -> Vec<Known<'_>> {
        let of = |part: &'_ Arc<Compilation>| -> Vec<(FileId, usize)> {
            let sets = part.model.sets.iter().enumerate();
            sets.map(|(n, set)| (set.file, n)).collect()
        };
        let mut all: Vec<(FileId, &Compilation, usize)> = Vec::new();
        for (_, part) in &self.parts {
            all.extend(of(part).into_iter().map(|(file, n)| (file, &**part, n)));
        }
        all.sort_by_key(|(file, ..)| *file);
        let known = all.into_iter().filter_map(|(_, part, n)| {
            let (set, facts) = (part.model.sets.get(n)?, part.facts.get(n)?);
            Some(Known {
                set,
                facts,
                blocked: part.blocks(&self.files, set),
            })
        });
        known.collect()
    }

    /// The set of an id.
    pub fn set(&self, id: &str) -> Option<Known<'_>> {
        self.sets().into_iter().find(|known| known.set.id == id)
    }
}

fn paths(files: &FileSet) -> Vec<&str> {
    files.ids().map(|id| files.get(id).path.as_str()).collect()
}

/// The first file that has another text than before, and its first line, from 1, that isn't as it was.
fn first_change(before: &FileSet, now: &FileSet) -> Option<(String, usize)> {
    let mut files = now.ids().map(|id| now.get(id));
    files.find_map(|file| {
        let old = before.find(&file.path).map_or("", |id| before.get(id).text.as_str());
        if old == file.text {
            return None;
        }
        let same = old.lines().zip(file.text.lines()).take_while(|(a, b)| a == b);
        Some((file.path.clone(), same.count() + 1))
    })
}

#[cfg(test)]
mod tests {
    use super::super::good::line_of;
    use super::*;

    fn files(one: &str, two: &str) -> FileSet {
        FileSet::from_texts([
            ("a/set.yaml", "machine: A\ntitle: A\nparts: {plug: a plug}\n"),
            ("a/10-a.md", one),
            ("b/set.yaml", "machine: B\ntitle: B\nparts: {plug: a plug}\n"),
            ("b/10-b.md", two),
        ])
    }

    /// What is kept comes to the same as what is compiled anew, and only what changed is.
    #[test]
    fn only_what_changed_is_compiled() {
        let text =
            |what: &str| format!("---\ntitle: A\n---\n\n1. Take off the [remove {what}].\n2. Fit the [fit plug].\n");
        let (good, bad) = (text("plug"), text("plgu"));
        let first = State::new(files(&good, &bad), None);
        let second = State::new(files(&bad, &bad), Some(&first));
        assert!(!Arc::ptr_eq(&first.parts[0].1, &second.parts[0].1));
        assert!(Arc::ptr_eq(&first.parts[1].1, &second.parts[1].1));
        let anew = State::new(files(&bad, &bad), None);
        let shown = |state: &State| {
            state
                .findings
                .iter()
                .map(|f| (line_of(&state.files, f.primary.span), f.message.clone()))
                .collect::<Vec<_>>()
        };
        assert_eq!(shown(&second), shown(&anew));
        assert!(second.sets().iter().all(|known| known.blocked));
        assert_eq!(second.written, Some(("a/10-a.md".to_string(), 5)));
        // Another file moves the numbers of all behind it.
        let more = FileSet::from_texts([
            ("a/00-new.md", good.as_str()),
            ("a/set.yaml", "machine: A\ntitle: A\nparts: {plug: a plug}\n"),
            ("a/10-a.md", bad.as_str()),
            ("b/set.yaml", "machine: B\ntitle: B\nparts: {plug: a plug}\n"),
            ("b/10-b.md", bad.as_str()),
        ]);
        let third = State::new(more, Some(&second));
        assert!(!Arc::ptr_eq(&second.parts[1].1, &third.parts[1].1));
    }
}
