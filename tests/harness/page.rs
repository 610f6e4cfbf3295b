//! A rule's page by its examples: what stands under `## Example` gives the rule's finding and no other, and what stands under `## Instead`
//! gives none.
//!
//! A block is a whole file, so that it can be pasted as it stands: one of YAML is the set's `set.yaml`, one of Markdown a procedure. Another
//! name stands behind the kind: `markdown 20-close.md`. Where no block is a set's own file and none lies in a folder, the set is an empty one;
//! where none is a procedure, there is one that names nothing, and then nothing is said of entries that nobody names. What lies below `before/` is an
//! older state of the rest.

use super::rule::Compile;
use super::{Files, Outcome, Rule, check};
use libtest_mimic::Trial;

/// The trial of one page.
pub fn trial(rule: &'static Rule, compile: Compile) -> Trial {
    Trial::test(format!("pages/{}", rule.name), move || holds(rule, compile))
}

fn holds(rule: &'static Rule, compile: Compile) -> Outcome {
    let page = rule.explanation();
    let (example, instead) = (files(&page, "## Example")?, files(&page, "## Instead")?);
    let found = compile(&example.0);
    let mut codes = found.codes();
    if codes.remove(rule.code).is_none() {
        return Err(format!("the example gives no {}, but\n{}", rule.code, found.listing()).into());
    }
    example.1.forgive(&mut codes);
    if !codes.is_empty() {
        return Err(format!("the example gives more than {}:\n{}", rule.code, found.listing()).into());
    }
    let after = compile(&instead.0);
    let mut codes = after.codes();
    instead.1.forgive(&mut codes);
    match codes.is_empty() {
        true => Ok(()),
        false => Err(format!("what stands instead gives\n{}", after.listing()).into()),
    }
}

/// What stands under `## Example` on a page of the manual gives no finding at all. False if the page has no example.
///
/// # Errors
/// The findings.
pub fn clean(page: &str) -> Result<bool, String> {
    if !page.lines().any(|line| line == "## Example") {
        return Ok(false);
    }
    let (files, _) = files(page, "## Example")?;
    let found = check(&files);
    match found.codes().is_empty() {
        true => Ok(true),
        false => Err(found.listing()),
    }
}

/// What a block alone can't help.
struct Alone {
    /// No procedure is shown, so nothing names the entries that are.
    no_procedure: bool,
}

impl Alone {
    fn forgive(&self, codes: &mut std::collections::BTreeMap<&'static str, usize>) {
        if self.no_procedure {
            codes.remove("BL103");
        }
    }
}

/// The files that the blocks under a heading make.
fn files(page: &str, heading: &str) -> Result<(Files, Alone), String> {
    let mut files = Files::new();
    let mut unnamed = 0;
    for (info, text) in blocks(page, heading) {
        let name = match info.split_once(' ') {
            Some((_, name)) => name.to_string(),
            None if info == "yaml" => "set.yaml".to_string(),
            None if info == "markdown" => {
                unnamed += 1;
                format!("{unnamed}0-example.md")
            }
            None => return Err(format!("a block of {info:?} needs a name")),
        };
        let whole = match info.split(' ').next() {
            Some("markdown") => !text.starts_with(|c: char| c.is_ascii_alphanumeric()),
            Some("yaml") if name.ends_with("set.yaml") => text.contains("machine:") && text.contains("title:"),
            _ => true,
        };
        if !whole {
            return Err(format!("{name} can't be pasted as it stands:\n{text}"));
        }
        if files.insert(name.clone(), text.into_bytes()).is_some() {
            return Err(format!("{name} is there twice"));
        }
    }
    if files.is_empty() {
        return Err(format!("nothing stands under {heading:?}"));
    }
    let has = |ending: &str| files.keys().any(|name| name.ends_with(ending));
    let older = files.keys().any(|name| name.starts_with("before/"));
    let foldered = files
        .keys()
        .any(|name| name.contains('/') && !name.starts_with("before/"));
    let no_set = !has("set.yaml");
    let alone = Alone {
        no_procedure: !files.keys().any(|name| name.to_lowercase().ends_with(".md")),
    };
    if no_set && !foldered {
        let set = b"machine: Invented pump\ntitle: Rebuild\n";
        files.insert("set.yaml".into(), set.to_vec());
        if older {
            files.insert("before/set.yaml".into(), set.to_vec());
        }
    }
    if alone.no_procedure {
        let empty = b"---\ntitle: Example\n---\n\n1. Look.\n";
        files.insert("10-example.md".into(), empty.to_vec());
    }
    Ok((files, alone))
}

/// The blocks of code under a heading, with what stands behind their fence.
fn blocks(page: &str, heading: &str) -> Vec<(String, String)> {
    let mut blocks = Vec::new();
    let mut lines = page.lines().skip_while(|line| *line != heading).skip(1);
    while let Some(line) = lines.next() {
        // A heading of the page; those of an example stand in its block.
        if line.starts_with("## ") {
            break;
        }
        if let Some(info) = line.strip_prefix("```") {
            let text: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            blocks.push((info.to_string(), text.join("\n") + "\n"));
        }
    }
    blocks
}

/// Compiles what lies outside `before/`, and finds what comparing it with that adds.
pub fn since_before(files: &Files) -> super::Checked {
    let before = super::revisions::below(files, "before");
    if before.is_empty() {
        return check(files);
    }
    let mut now = files.clone();
    now.retain(|path, _| !path.starts_with("before/"));
    super::revisions::check_since(&before, &now)
}
