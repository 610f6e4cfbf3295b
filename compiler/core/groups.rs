//! A compilation in parts that know nothing of each other: each outermost set with the sets inside it and the shops above it, and what
//! belongs to no set. What is known of many sets at once grows with their number, so whoever needs one at a time takes the parts.

use crate::check::{self, Facts};
use crate::finding::{Finding, Severity};
use crate::levels;
use crate::model::{self, Model};
use crate::parse;
use crate::reach;
use crate::source::{FileId, FileSet, SET_FILE, WORKSHOP_FILE, ancestors, file_name, folder};
use std::collections::{BTreeMap, BTreeSet};

/// What a compilation gives: everything known of the sets, and what is wrong with them.
#[derive(Debug)]
pub struct Compilation {
    pub model: Model,
    /// Of each set of the model, in its order.
    pub facts: Vec<Facts>,
    /// In reading order, none twice.
    pub findings: Vec<Finding>,
}

impl Compilation {
    /// True if there is a finding at error level.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|f| f.severity() == Severity::Error)
    }

    /// True if a finding at error level keeps this set from being printed: one in a file of the set or of a shop above it.
    pub fn blocks(&self, files: &FileSet, set: &model::Set) -> bool {
        has_error(&self.model, files, &self.findings, set)
    }
}

/// True if a finding at error level lies in a file of the set or of a shop above it.
fn has_error(model: &Model, files: &FileSet, findings: &[Finding], set: &model::Set) -> bool {
    let errors = findings.iter().filter(|f| f.severity() == Severity::Error);
    errors
        .map(|f| files.get(f.primary.span.file).path.as_str())
        .any(|path| levels::concerns(model, path, set))
}

/// The parts of a compilation, none of them read yet.
#[derive(Debug)]
pub struct Groups<'a> {
    files: &'a FileSet,
    /// The texts of each part.
    parts: Vec<Vec<FileId>>,
    /// The part that each set belongs to, by its own file.
    of_set: BTreeMap<FileId, usize>,
    /// What each set is called, by its folder.
    names: BTreeMap<String, String>,
}

impl<'a> Groups<'a> {
    pub fn new(files: &'a FileSet) -> Self {
        let path = |id: FileId| files.get(id).path.as_str();
        let own: Vec<FileId> = files.ids().filter(|id| file_name(path(*id)) == SET_FILE).collect();
        let folders: BTreeSet<&str> = own.iter().map(|id| folder(path(*id))).collect();
        let outermost = |place: &'a str| ancestors(place).filter(|f| folders.contains(f)).last();
        let mut by_set: BTreeMap<&str, Vec<FileId>> = BTreeMap::new();
        let (mut alone, mut shops): (Vec<FileId>, BTreeMap<&str, FileId>) = Default::default();
        for id in files.ids() {
            let place = folder(path(id));
            match outermost(place) {
                Some(set) => by_set.entry(set).or_default().push(id),
                None => alone.push(id),
            }
            if file_name(path(id)) == WORKSHOP_FILE {
                shops.insert(place, id);
            }
        }
        let mut of_folder = BTreeMap::new();
        let mut below_shops: BTreeSet<FileId> = BTreeSet::new();
        let mut parts = Vec::new();
        let mut lent: BTreeSet<FileId> = BTreeSet::new();
        for (set, mut texts) in by_set {
            let borrowed: Vec<FileId> = texts.iter().flat_map(|id| parse::borrowed(files, *id)).collect();
            lent.extend(&borrowed);
            texts.extend(borrowed);
            of_folder.insert(set, parts.len());
            let above = ancestors(set).skip(1).filter_map(|f| shops.get(f).copied());
            let above: Vec<FileId> = above.collect();
            below_shops.extend(&above);
            texts.extend(above);
            texts.sort_unstable();
            texts.dedup();
            parts.push(texts);
        }
        // A shop above a set has its findings with that set, which may allow them.
        alone.retain(|id| !below_shops.contains(id) && !lent.contains(id));
        if !alone.is_empty() || parts.is_empty() {
            parts.push(alone);
        }
        let of = |id: &FileId| Some((*id, *of_folder.get(outermost(folder(path(*id)))?)?));
        Groups {
            files,
            parts,
            of_set: own.iter().filter_map(of).collect(),
            names: model::names(folders.iter().copied()),
        }
    }

    /// How many parts there are; at least one.
    pub fn count(&self) -> usize {
        self.parts.len()
    }

    /// The part that a set lies in, by the file of the set.
    pub fn of_set(&self, file: FileId) -> Option<usize> {
        self.of_set.get(&file).copied()
    }

    /// What the sets of a part are called; none where it is no more than what belongs to no set.
    pub fn ids(&self, part: usize) -> impl Iterator<Item = &str> {
        let own = self.of_set.iter().filter(move |(_, of)| **of == part);
        own.filter_map(|(file, _)| self.names.get(folder(&self.files.get(*file).path)))
            .map(String::as_str)
    }

    /// The texts of a part, with their ids and every asset of the whole; a number past the last part gives none.
    pub fn files(&self, part: usize) -> FileSet {
        self.files.part(self.parts.get(part).map_or(&[], Vec::as_slice))
    }

    /// Reads, binds and checks a part.
    pub fn compile(&self, part: usize) -> Compilation {
        let files = &self.files(part);
        let (documents, mut findings) = parse::parse(files);
        let (mut model, mut found) = model::build(files, documents);
        for set in &mut model.sets {
            if let Some(name) = self.names.get(&set.folder) {
                set.id.clone_from(name);
            }
        }
        findings.append(&mut found);
        // What couldn't be read of the heads is unknown, not absent: the steps are walked without it where that makes nothing wrong.
        let whole = |set: &model::Set| {
            let bars = |f: &&Finding| f.rule != &parse::rules::bad_yaml::RULE;
            let errors: Vec<Finding> = findings.iter().filter(bars).cloned().collect();
            set.walkable && !has_error(&model, files, &errors, set)
        };
        let (mut facts, mut found) = check::check(&model, whole);
        for set in model.sets.iter().filter(|set| whole(set)) {
            reach::check(set, &mut found);
        }
        findings.append(&mut found);
        in_order(&mut findings);
        levels::apply(files, &model, &mut facts, &mut findings);
        Compilation { model, facts, findings }
    }

    /// All parts together.
    pub fn whole(&self) -> Compilation {
        Groups::together((0..self.count()).map(|part| self.compile(part)))
    }

    /// What all parts came to, as one.
    pub fn together(parts: impl IntoIterator<Item = Compilation>) -> Compilation {
        let (mut sets, mut findings) = (Vec::new(), Vec::new());
        for mut compiled in parts {
            sets.extend(compiled.model.sets.into_iter().zip(compiled.facts));
            findings.append(&mut compiled.findings);
        }
        sets.sort_by_key(|(set, _)| set.file);
        in_order(&mut findings);
        let (sets, facts) = sets.into_iter().unzip();
        Compilation {
            model: Model { sets },
            facts,
            findings,
        }
    }
}

/// Puts findings in reading order, none twice: a fault of a shop is met by every set below it, and where one of them makes an error of it,
/// it is one.
pub fn in_order(findings: &mut Vec<Finding>) {
    findings.sort_by(|a, b| a.order(b).then(b.raised.cmp(&a.raised)));
    // Those that are raised stand first.
    findings.dedup_by(|later, first| {
        let raised = later.raised;
        later.raised = first.raised;
        let again = later == first;
        later.raised = raised;
        again
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "---\ntitle: Look\n---\n\n## Look\n\n1. Look at it.\n";
    /// A shop with a fault that is no error: a kind of tool that nobody knows.
    const SHOP: &str = "tools:\n  chain: {name: Chain hoist, kind: hoits}\n";

    fn files(first: &str, second: &str) -> FileSet {
        FileSet::from_texts([
            ("workshop.yaml", SHOP),
            ("first/set.yaml", first),
            ("first/look.md", TEXT),
            ("second/set.yaml", second),
            ("second/look.md", TEXT),
            ("second/inner/set.yaml", "title: Inner\nmachine: Pump\n"),
            ("second/inner/look.md", TEXT),
            ("notes/10-stray.md", TEXT),
        ])
    }

    #[test]
    fn a_part_has_its_set_those_inside_it_and_the_shops_above() {
        let files = files("title: First\nmachine: Pump\n", "title: Second\n");
        let groups = Groups::new(&files);
        let paths = |part: usize| -> Vec<String> {
            let files = groups.files(part);
            files.ids().map(|id| files.get(id).path.clone()).collect()
        };
        assert_eq!(groups.count(), 3);
        assert_eq!(paths(0), ["first/look.md", "first/set.yaml", "workshop.yaml"]);
        assert_eq!(paths(1).len(), 5);
        assert_eq!(paths(2), ["notes/10-stray.md"]);
        let inner = files.find("second/inner/set.yaml").and_then(|id| groups.of_set(id));
        assert_eq!(inner, Some(1));
        let ids: Vec<String> = groups.whole().model.sets.into_iter().map(|s| s.id).collect();
        assert_eq!(ids, ["first", "inner", "second"]);
    }

    #[test]
    fn a_fault_of_a_shop_is_told_once_unless_every_set_below_allows_it() {
        let told = |first: &str, second: &str| {
            let findings = Groups::new(&files(first, second)).whole().findings;
            let of_shop = findings.into_iter().filter(|f| f.rule.name == "kind-misspelt");
            of_shop.map(|f| f.raised).collect::<Vec<bool>>()
        };
        let plain = "title: Plain\nmachine: Pump\n";
        let allowing = "title: Allowing\nmachine: Pump\nallow: {kind-misspelt: it is called so here}\n";
        let denying = "title: Denying\nmachine: Pump\ndeny: [kind-misspelt]\n";
        assert_eq!(told(plain, plain), [false]);
        assert_eq!(told(allowing, plain), [false]);
        assert_eq!(told(plain, denying), [true]);
        assert_eq!(told(allowing, denying), [true]);
    }
}
