//! # Nouns stacked on each other
//!
//! ## What it means
//! In a sentence of a step, more than three words stand in a row as the name of one thing: "the oil pump drive gear retaining bolt". A name
//! from a register counts as one word, and so does what is joined by a hyphen.
//!
//! ## Why it matters
//! Only the last of the words is the thing; which of the others belong to which, a reader has to guess: is it the bolt that retains the
//! gear, or the gear that drives the pump? ASD-STE100 allows three words.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Remove the oil pump drive gear retaining bolt.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Remove the bolt that holds the drive gear of the oil pump.
//! ```

use crate::check::sentences::{Sentence, bare};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Set;
use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::OnceLock;

pub static RULE: Rule = Rule {
    code: "BL721",
    name: "noun-stack",
    severity: Severity::Advice,
    page: include_str!("noun_stack.rs"),
};

/// Words that one thing may be called by (ASD-STE100, rule 2.1).
const MOST: usize = 3;

/// What a noun may follow at once: articles and the like, and prepositions.
const BEFORE_NOUNS: &str = "\
    a about above across against all along an another any around at behind below beneath beside between beyond both \
    by despite down during each either every except few for from his in inside into its like many near neither no of \
    off on onto our out outside over past per round several some the their these this those through towards under up \
    upon with within your";

/// Words that name nothing, and that a verb may follow.
const OTHERS: &str = "\
    after again ago also always am and are as away back be because been before being but can do does done else \
    enough ever far had has have here home how if is it just kept let may more most must never nor not nothing now \
    once only or otherwise own shall should since so someone still than that them then there they to together too \
    twice unless until very was we well were what when where whether which while who will without you";

/// What is said of a thing and doesn't name it. Behind a noun it ends what the thing is called by: `lift the pump clear`.
const QUALITIES: &str = "\
    bare big black blue bottom bright brown careful clean clear cold cool dead deep dirty dry eight eighteen eighth \
    eighty eleven empty even extra fifteen fifth fifty first five flat flush forty four fourteen fourth free fresh \
    front full good green half hard heavy high hot hundred inner large last left level light long loose low lower \
    main middle narrow new next nine nineteen ninety ninth old one open other outer plain quarter rear red right \
    same second seven seventeen seventh seventy shallow sharp short shut six sixteen sixth sixty slack small smooth \
    soft spare square straight strong tall ten tenth thick thin third thirteen thirty thousand three tight top true \
    twelve twenty two upper warm wet white wide";

/// Words behind which something is told of a thing, so that a verb may stand behind its nouns: `until the pump shaft seal drips`.
const ASIDE: &str = "\
    after as because before feel have hear help if let make once see since than that unless until watch when where \
    while";

/// Words behind which that may be so, or a further instruction begins.
const JOINING: [&str; 5] = ["and", "but", "or", "so", "then"];

/// Verbs that a noun stands before, with no other verb between.
const VERBS: [&str; 13] = [
    "are", "can", "do", "does", "had", "has", "have", "is", "may", "must", "was", "were", "will",
];

/// Nouns that begin how something is done: `face down`, `hand tight`, `side by side`.
const MANNER: [&str; 9] = ["edge", "end", "face", "finger", "hand", "lip", "side", "step", "tip"];

/// What they are followed by then.
const HOW: [&str; 8] = ["by", "down", "first", "inwards", "outwards", "tight", "to", "up"];

/// Nouns in -ing and -ed: other words so made are verbs where they begin or end what a thing is called by.
const NOUNS: &str = "\
    bearing bleed bushing casing coating coupling feed fitting housing lifting lining mounting opening packing \
    reading ring sealing seating speed spring string tubing winding wing wiring";

/// What a word does where it stands.
#[derive(Clone, Copy, PartialEq)]
enum Sort {
    /// A noun follows at once.
    Before,
    /// A verb may follow.
    Other,
    /// What is said of a thing: a noun follows it, if no noun stands before it.
    Quality,
    Noun,
}

/// `names` is what the set's things are called by: few sets come so far that it is asked for.
pub fn check(set: &Set, names: &OnceLock<Vec<Vec<String>>>, sentences: &[Sentence], findings: &mut Vec<Finding>) {
    for sentence in sentences {
        if stack(&sentence.words, &sentence.bare).is_none() {
            continue;
        }
        let names = names.get_or_init(|| names_of(set));
        let words = joined(sentence, names);
        let bare_words: Vec<Cow<str>> = words.iter().map(|word| bare(word)).collect();
        if let Some(stack) = stack(&words, &bare_words) {
            let message = format!("\"{}\": more than {MOST} words in a row for one thing", stack.join(" "));
            let help = "say how they belong together, with `of`, `for` or `that` (`the bolt that holds the gear`), or join by a \
                        hyphen what is one thing";
            findings.push(Finding::new(&RULE, sentence.span, message).help(help));
        }
    }
}

/// The first stack that is too high, as written; `bare` are the same words in small letters and without their signs.
fn stack<'w>(written: &'w [impl AsRef<str>], bare: &'w [Cow<str>]) -> Option<Vec<&'w str>> {
    // Too short to hold one behind its verb; most are.
    if written.len() < MOST + 2 {
        return None;
    }
    let words: Vec<Word> = written
        .iter()
        .zip(bare)
        .map(|(word, bare)| Word::of(word.as_ref(), bare))
        .collect();
    let mut from = 0;
    while from < words.len() {
        let row = words.get(from..=from + MOST);
        if !row.is_some_and(|row| row.iter().all(|word| word.sort == Sort::Noun)) {
            from += 1;
            continue;
        }
        let run = Run::at(&words, from);
        if run.nouns.len() > MOST {
            return Some(run.nouns);
        }
        from = run.end.max(from + 1);
    }
    None
}

/// A word of a sentence.
struct Word<'a> {
    written: &'a str,
    /// In small letters and without its signs.
    bare: &'a str,
    sort: Sort,
}

impl<'a> Word<'a> {
    fn of(written: &'a str, bare: &'a str) -> Self {
        Word {
            written,
            bare,
            sort: sort(bare),
        }
    }

    /// True if nothing that follows it belongs to the same name.
    fn closes(&self) -> bool {
        self.written.ends_with(|c: char| !c.is_alphanumeric())
    }
}

/// Nouns that stand in a row.
struct Run<'a> {
    nouns: Vec<&'a str>,
    /// The word behind the last of them.
    end: usize,
}

impl<'a> Run<'a> {
    /// What begins at a word; empty where no noun does.
    fn at(words: &[Word<'a>], start: usize) -> Self {
        let before = start.checked_sub(1).and_then(|at| words.get(at));
        // What an instruction begins with is its verb; what several things do is one too.
        let verb_first = before.is_none_or(|word| word.closes() || matches!(word.sort, Sort::Other | Sort::Noun));
        let mut end = start;
        for word in words.get(start..).unwrap_or_default() {
            let opens = word.written.starts_with(|c: char| !c.is_alphanumeric());
            if word.sort != Sort::Noun || opens && end > start {
                break;
            }
            end += 1;
            // Of several things the name is over: what follows tells what they do.
            if word.closes() || is_plural(word.bare) {
                break;
            }
        }
        let mut nouns = words.get(start..end).unwrap_or_default();
        if verb_first || nouns.first().is_some_and(|word| is_verb_form(word.bare)) {
            nouns = nouns.get(1..).unwrap_or_default();
        }
        let next = words.get(end).map_or("", |word| word.bare);
        let last = nouns.last().map_or("", |word| word.bare);
        let told = is_told_of(words, start, verb_first) && !VERBS.contains(&next);
        let manner = MANNER.contains(&last) && HOW.contains(&next);
        if told || manner || is_verb_form(last) {
            nouns = nouns.split_last().map_or(nouns, |(_, rest)| rest);
        }
        let plain = |word: &Word<'a>| word.written.trim_matches(|c: char| !c.is_alphanumeric());
        Run {
            nouns: nouns.iter().map(plain).collect(),
            end,
        }
    }
}

/// True if something is told of what begins at a word, so that its last word may be a verb; `verb_first` where its first is taken for one.
fn is_told_of(words: &[Word], start: usize, verb_first: bool) -> bool {
    let mut before = words.get(..start).unwrap_or_default().iter().rev();
    let cue = before.find(|word| word.closes() || !matches!(word.sort, Sort::Before | Sort::Quality));
    match cue.filter(|word| !word.closes()).map(|word| word.bare) {
        Some(word) if JOINING.contains(&word) => !verb_first,
        Some(word) => ASIDE.split_whitespace().any(|aside| aside == word),
        None => !verb_first,
    }
}

/// What a bare word does.
fn sort(word: &str) -> Sort {
    let known = sorts().get(word).copied();
    // `x` stands for a mark, or for code.
    let plain = word.len() > 1 && word.chars().all(|c| c.is_alphabetic() || matches!(c, '-' | ' '));
    let said_of = || {
        ["ly", "wise", "wards", "ful", "less", "ible"]
            .iter()
            .any(|end| word.ends_with(end))
    };
    let done = || word.len() > 4 && word.ends_with("ed");
    match known {
        Some(sort) => sort,
        None if word.ends_with("'s") || word.ends_with("’s") => Sort::Before,
        None if !plain => Sort::Other,
        None if said_of() || done() => Sort::Quality,
        None => Sort::Noun,
    }
}

/// What each word of the lists does.
fn sorts() -> &'static HashMap<&'static str, Sort> {
    static SORTS: OnceLock<HashMap<&str, Sort>> = OnceLock::new();
    SORTS.get_or_init(|| {
        let lists = [
            (BEFORE_NOUNS, Sort::Before),
            (OTHERS, Sort::Other),
            (QUALITIES, Sort::Quality),
            (NOUNS, Sort::Noun),
        ];
        let each = |(words, sort): (&'static str, Sort)| words.split_whitespace().map(move |word| (word, sort));
        lists.into_iter().flat_map(each).collect()
    })
}

/// The word for several of a thing.
fn is_plural(word: &str) -> bool {
    let one = word.strip_suffix('s').unwrap_or_default();
    one.len() > 2 && !one.ends_with(['s', 'u', 'i', 'a']) && word != "lens"
}

/// A verb in -ing: it doesn't name a thing where it begins or ends what a thing is called by.
fn is_verb_form(word: &str) -> bool {
    word.ends_with("ing") && !sorts().contains_key(word)
}

/// What the registers call things by, in more than one word, as bare words.
fn names_of(set: &Set) -> Vec<Vec<String>> {
    let catalogue = &set.catalogue;
    let parts = catalogue.parts.iter().map(|(_, def)| &def.value.name);
    let temporary = catalogue.temporary.iter().map(|(_, def)| &def.value.name);
    let tools = catalogue.tools.iter().map(|(_, def)| &def.value.name);
    let consumables = catalogue.consumables.iter().map(|(_, def)| &def.value.name);
    let torques = catalogue.torques.iter().map(|(_, def)| &def.value.name);
    let limits = catalogue.limits.iter().map(|(_, def)| &def.value.name);
    let joints = catalogue.joints.iter().map(|(_, def)| &def.value.name);
    let all = parts
        .chain(temporary)
        .chain(tools)
        .chain(consumables)
        .chain(torques)
        .chain(limits)
        .chain(joints);
    let mut names: Vec<Vec<String>> = all
        .map(|name| name.split_whitespace().map(singular).collect())
        .filter(|words: &Vec<String>| words.len() > 1)
        .collect();
    // The longest first: it may hold a shorter one.
    names.sort_by_key(|words| std::cmp::Reverse(words.len()));
    names
}

/// A word in small letters, of several of a thing the word for one.
fn singular(word: &str) -> String {
    let word = bare(word);
    match word.strip_suffix('s') {
        Some(one) if is_plural(&word) => one.to_string(),
        _ => word.into_owned(),
    }
}

/// The words of a sentence, each name of a register joined to one.
fn joined(sentence: &Sentence, names: &[Vec<String>]) -> Vec<String> {
    let singulars: Vec<String> = sentence.words.iter().map(|word| singular(word)).collect();
    let mut words = Vec::new();
    let mut at = 0;
    while let Some(word) = sentence.words.get(at) {
        let rest = singulars.get(at..).unwrap_or_default();
        let length = names.iter().find(|name| rest.starts_with(name)).map_or(1, Vec::len);
        let of_name = sentence.words.get(at..at + length).unwrap_or_default();
        words.push(if length > 1 {
            of_name.join(" ")
        } else {
            word.to_string()
        });
        at += length;
    }
    words
}
