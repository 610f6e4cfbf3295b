//! `check --fix`: makes the changes that are certain, one after the other, each kept only if it takes its finding away and brings no other.

use crate::compile;
use crate::domain::counted::counted;
use crate::edge::args::Check;
use crate::edge::disk::{Disk, Kind, rewrite};
use crate::edge::files::Input;
use crate::edge::git::Repository;
use crate::edge::{Outcome, Trouble, escape, terminal};
use crate::finding::{Finding, Severity};
use crate::source::{FileSet, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Changes made at most: a chain of them that goes on is a fault of the program.
const MOST: usize = 1000;

/// A change that was made.
struct Change {
    path: String,
    line: usize,
    /// Whole lines, before and after.
    old: String,
    new: String,
    code: &'static str,
}

pub fn run(args: &Check, input: &Input, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let (changed, changes) = mended(input, disk);
    for change in &changes {
        terminal::say(&format!("--- {}:{} ({})", change.path, change.line, change.code));
        change.old.lines().for_each(|line| terminal::say(&format!("-{line}")));
        change.new.lines().for_each(|line| terminal::say(&format!("+{line}")));
    }
    let count = |n: usize, what: &str| counted(n, what, &format!("{what}s"));
    if args.dry_run {
        terminal::say(&format!("{} would be made", count(changes.len(), "change")));
    } else {
        if !args.force {
            clean(args, input, changed.keys(), disk)?;
        }
        if let Some(path) = changed.keys().find(|path| !as_read(input, path, disk)) {
            return Err(Trouble::new(format!(
                "{} was written to meanwhile; nothing is changed",
                escape::path(Path::new(path))
            )));
        }
        for (path, text) in &changed {
            let place = input.on_disk(path);
            rewrite(disk, &place, text).map_err(|e| Trouble::file("write", &place, &e))?;
        }
        let files = count(changed.len(), "file");
        terminal::say(&format!("{} made in {files}", count(changes.len(), "change")));
    }
    // What is left is told as by a plain check; a trial run leaves everything.
    let files = if args.dry_run {
        input.files.clone()
    } else {
        with(&input.files, &changed)
    };
    let compilation = compile(&files);
    if !args.dry_run {
        terminal::findings(&files, &compilation.findings, args.format);
    }
    Ok(if compilation.has_errors() {
        Outcome::Errors
    } else {
        Outcome::Clean
    })
}

/// Refuses files that git doesn't have as they are: what was in them could not be had back.
fn clean<'p>(
    args: &Check,
    input: &Input,
    paths: impl Iterator<Item = &'p String>,
    disk: &dyn Disk,
) -> Result<(), Trouble> {
    let repository = Repository::find(&args.path)?;
    for path in paths {
        let place = input.on_disk(path);
        let bytes = disk.read(&place).map_err(|e| Trouble::file("read", &place, &e))?;
        let kept = match &repository {
            Some(repository) => repository.has(&place, &bytes)?,
            None => false,
        };
        if !kept {
            return Err(Trouble::new(format!(
                "git doesn't have {} as it is, so a change could not be taken back: commit it first, or add --force",
                escape::path(Path::new(path))
            )));
        }
    }
    Ok(())
}

/// The files that certain changes make others of, and the changes in the order in which they were made.
fn mended(input: &Input, disk: &dyn Disk) -> (BTreeMap<String, Vec<u8>>, Vec<Change>) {
    let mut changed: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    let mut changes = Vec::new();
    let mut refused: BTreeSet<(String, u32, String)> = BTreeSet::new();
    let mut files = input.files.clone();
    let mut findings = compile(&files).findings;
    while changes.len() < MOST {
        let next = findings.iter().find_map(|finding| {
            let fix = finding.fix.as_ref().filter(|fix| fix.certain)?;
            let (span, text) = fix.replace.as_ref()?;
            let file = files.get(span.file);
            let key = (file.path.clone(), span.start, text.clone());
            (input.wants(&file.path) && !refused.contains(&key) && as_read(input, &file.path, disk))
                .then(|| (finding.clone(), *span, text.clone(), key))
        });
        let Some((finding, span, text, key)) = next else { break };
        let path = key.0.clone();
        // A place that is none in the text can't be changed.
        let made = replaced(&files, span, &text).zip(change(&files, &finding, span, &text));
        let Some((after, change)) = made else {
            refused.insert(key);
            continue;
        };
        let trial = with(&files, &BTreeMap::from([(path.clone(), after.clone().into_bytes())]));
        let found = compile(&trial).findings;
        if !better(&finding, &findings, &found) {
            refused.insert(key);
            continue;
        }
        changes.push(change);
        changed.insert(path, after.into_bytes());
        (files, findings) = (trial, found);
    }
    (changed, changes)
}

/// True if a file is one that may be changed: no link, which a new file would take the place of, and its text is all that it holds as
/// it is now. Of a text that can't be read whole only a part is in memory, and old line ends are other ones there.
pub(super) fn as_read(input: &Input, path: &str, disk: &dyn Disk) -> bool {
    let place = input.on_disk(path);
    let text = input.files.find(path).map(|id| input.files.get(id).text.as_bytes());
    disk.stat(&place).is_ok_and(|stat| stat.kind == Kind::File)
        && disk.read(&place).is_ok_and(|bytes| text == Some(bytes.as_slice()))
}

/// True if a change took its finding away, and what is found in the text besides is what was found before.
fn better(finding: &Finding, before: &[Finding], after: &[Finding]) -> bool {
    let count = |all: &[Finding]| {
        all.iter()
            .filter(|f| f.rule == finding.rule && f.message == finding.message)
            .count()
    };
    let known: BTreeSet<(&str, &str)> = before.iter().map(|f| (f.rule.code, f.message.as_str())).collect();
    // What the walk over the steps says comes to light only once a set can be read.
    let of_form = |f: &&Finding| f.rule.code.starts_with("BL0") && f.severity() == Severity::Error;
    let brings = after
        .iter()
        .filter(of_form)
        .any(|f| f.rule != finding.rule && !known.contains(&(f.rule.code, f.message.as_str())));
    count(after) < count(before) && !brings
}

/// What stands before a place, in it and behind it; `None` if it lies within a character or outside of the text.
fn parts(text: &str, span: Span) -> Option<(&str, &str, &str)> {
    let before = text.get(..span.start as usize)?;
    let after = text.get(span.end as usize..)?;
    Some((before, text.get(span.range())?, after))
}

/// A file's text with another one at a place.
fn replaced(files: &FileSet, span: Span, text: &str) -> Option<String> {
    let (before, _, after) = parts(&files.get(span.file).text, span)?;
    Some(format!("{before}{text}{after}"))
}

fn change(files: &FileSet, finding: &Finding, span: Span, text: &str) -> Option<Change> {
    let file = files.get(span.file);
    let (before, old, after) = parts(&file.text, span)?;
    let head = before.rsplit('\n').next().unwrap_or_default();
    let tail = after.split('\n').next().unwrap_or_default();
    // The other half of a line end of Windows is no part of the line either.
    let tail = tail.strip_suffix('\r').unwrap_or(tail);
    Some(Change {
        path: file.path.clone(),
        line: file.lines().position(&file.text, span.start as usize).line,
        old: format!("{head}{old}{tail}"),
        new: format!("{head}{text}{tail}"),
        code: finding.rule.code,
    })
}

/// Files with some of them changed.
fn with(files: &FileSet, changed: &BTreeMap<String, Vec<u8>>) -> FileSet {
    let texts = files.ids().map(|id| {
        let file = files.get(id);
        (file.path.clone(), file.text.clone().into_bytes())
    });
    let assets = files.assets().iter().map(|(path, bytes)| (path.clone(), bytes.clone()));
    let mut contents: BTreeMap<String, Vec<u8>> = texts.chain(assets).collect();
    contents.extend(changed.clone());
    FileSet::from_bytes(contents)
}
