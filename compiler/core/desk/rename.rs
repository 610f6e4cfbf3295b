//! A thing by another name, in every file that names it. It is made only if nothing else changes by it: the files are compiled with the new
//! name, and must give what they gave before.

use super::format::{Edit, with};
use super::things::{self, Mention, Thing};
use crate::Compilation;
use crate::compile;
use crate::finding::Finding;
use crate::model::is_id;
use crate::source::{FileId, FileSet};
use std::collections::BTreeMap;

/// The name at a place that can be changed.
///
/// # Errors
/// If there is none, or it is not written there: one sentence.
pub fn named<'m>(files: &FileSet, mentions: &'m [Mention], file: FileId, offset: usize) -> Result<&'m Mention, String> {
    let mention = things::at(mentions, file, offset).ok_or("there is no name of the set's here")?;
    let declared = things::same(mentions, mention).into_iter().find(|other| other.declares);
    match declared {
        Some(declared) if is_id(files.text(declared.span)) && is_id(files.text(mention.span)) => Ok(mention),
        Some(_) if matches!(mention.thing, Thing::Procedure(_)) => {
            Err("this procedure goes by the name of its file; rename the file, or give it an `id:` first".to_string())
        }
        _ => Err("this name is not written out where it is declared".to_string()),
    }
}

/// The edits that give a thing another name, by file.
///
/// # Errors
/// If the name is none or is another thing's, or something else would change: one sentence.
pub fn edits(
    files: &FileSet,
    compilation: &Compilation,
    mentions: &[Mention],
    mention: &Mention,
    name: &str,
) -> Result<BTreeMap<FileId, Vec<Edit>>, String> {
    if !is_id(name) {
        return Err(format!(
            "`{name}` can't be an id: write letters, digits, `-`, `_` or `.`"
        ));
    }
    let old = files.text(mention.span);
    let mut found: BTreeMap<FileId, Vec<Edit>> = BTreeMap::new();
    for same in things::same(mentions, mention) {
        if files.text(same.span) != old {
            let source = files.get(same.span.file);
            let line = source.lines().position(&source.text, same.span.start as usize).line;
            return Err(format!(
                "`{old}` is written in another way at {}:{line}; change that first",
                source.path
            ));
        }
        let text = name.to_string();
        found
            .entry(same.span.file)
            .or_default()
            .push(Edit { span: same.span, text });
    }
    let after = with(files, &found);
    let other = compile(&after);
    let counts = |findings: &[Finding]| {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        findings
            .iter()
            .for_each(|finding| *counts.entry(finding.rule.code).or_default() += 1);
        counts
    };
    if counts(&compilation.findings) != counts(&other.findings) || things::mentions(&other).len() != mentions.len() {
        return Err(format!(
            "`{name}` would mean something else in some file; choose another name"
        ));
    }
    Ok(found)
}
