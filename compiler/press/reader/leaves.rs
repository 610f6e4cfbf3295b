//! What every leaf says of itself: who it is, which of how many, its code, whether the work goes on; and that it is on its paper.

use benchleaf_core::cards::card::Identity;
use benchleaf_core::words::Language;

use super::breach::{Breach, Kind};
use super::claims;
use super::ink::{Ink, Own};
use super::letters::{self, Letter};
use super::tell::MM;
use super::text;
use super::words::short;

/// Looks at each leaf; `sizes` are width and height of each in points, `code` is what the foot must say.
pub fn check(ink: &[Ink], sizes: &[(f64, f64)], identity: &Identity, code: &str, found: &mut Vec<Breach>) {
    on_its_paper(sizes, &identity.paper, found);
    let language = Language::find(&identity.language);
    for leaf in 0..sizes.len() {
        let of = |own: Own| {
            let like = ink.iter().filter(move |ink| ink.leaf == leaf && ink.is(own));
            letters::letters(like.filter_map(|ink| ink.run().map(|run| (leaf, run))))
        };
        let (head, foot) = (of(Own::Head), of(Own::Foot));
        who(leaf, &head, &foot, identity, code, found);
        if !counts(&head, leaf + 1, sizes.len()) {
            let words = format!(
                "the head of the leaf doesn't say that it is {} of {}",
                leaf + 1,
                sizes.len()
            );
            found.push(Breach::at(None, leaf, Kind::Lost, words));
        }
        if let Some(language) = language {
            goes_on(leaf, sizes.len(), &foot, language, found);
            let marks = ink
                .iter()
                .any(|ink| ink.leaf == leaf && ink.is(Own::Told) && (ink.is(Own::Head) || ink.is(Own::Foot)));
            states(leaf, [&head, &foot], marks, identity, language, found);
        }
    }
}

/// Papers by their names, in millimetres: ISO 216 and the two of North America.
const PAPERS: [(&str, f64, f64); 4] = [
    ("a4", 210.0, 297.0),
    ("letter", 215.9, 279.4),
    ("a5", 148.0, 210.0),
    ("half-letter", 139.7, 215.9),
];

/// The paper that the leaf is for, so that no printer scales it.
fn on_its_paper(sizes: &[(f64, f64)], paper: &str, found: &mut Vec<Breach>) {
    let Some((_, width, height)) = PAPERS.iter().find(|(name, ..)| *name == paper) else {
        return;
    };
    let same = |size: f64, asked: f64| (size - asked * MM).abs() <= 0.5 * MM;
    for (leaf, (wide, high)) in sizes.iter().enumerate() {
        if !same(*wide, *width) || !same(*high, *height) {
            let words = format!(
                "the leaf is {:.0} by {:.0} mm, which is not {paper}",
                wide / MM,
                high / MM
            );
            found.push(Breach::at(None, leaf, Kind::Misplaced, words));
        }
    }
}

/// Who the leaf is and which, on every one of them; its code at the foot.
fn who(leaf: usize, head: &[Letter], foot: &[Letter], identity: &Identity, code: &str, found: &mut Vec<Breach>) {
    // In words already, as all of the leaf.
    let title = identity.title.english();
    let number = (leaf + 1).to_string();
    let either: Vec<Letter> = head.iter().chain(foot).copied().collect();
    let wanted = [title.as_str(), number.as_str()];
    let mut told = vec![identity.rev.as_str(), identity.date.as_str()];
    for choice in &identity.choices {
        told.push(&choice.option);
        told.push(&choice.value);
    }
    let lacks = |page: &[Letter], text: &&str| !text.trim().is_empty() && !text::says(page, text);
    let missing = wanted.iter().find(|text| lacks(head, text)).map(|text| (*text, "head"));
    let nowhere = told.iter().find(|text| lacks(&either, text));
    let missing = missing.or(nowhere.map(|text| (*text, "head or foot")));
    let missing = missing.or(Some((code, "foot")).filter(|(code, _)| lacks(foot, code)));
    if let Some((text, place)) = missing {
        let words = format!("the {place} of the leaf doesn't say “{}”", short(text));
        found.push(Breach::at(None, leaf, Kind::Lost, words));
    }
}

/// Most letters between a number and the count of what it is one of, such as `of`.
const BETWEEN: usize = 3;

/// True if a head has the number of its leaf, and beside it no other count than that of all leaves: a stack that lacks its last leaf must show it.
/// A head that counts nothing beside its number is let through.
fn counts(head: &[Letter], number: usize, all: usize) -> bool {
    let numbers = text::numbers(head);
    let same = |value: &str, number: usize| value.parse() == Ok(number);
    numbers.iter().enumerate().any(|(at, own)| {
        let before = at.checked_sub(1).and_then(|at| numbers.get(at));
        let before = before.filter(|other| other.line == own.line && own.from - other.to <= BETWEEN);
        let next = numbers.get(at + 1).filter(|other| other.line == own.line);
        same(&own.value, number)
            && match (before, next) {
                (_, Some(next)) => same(&next.value, all),
                // It is the count of what stands before it.
                (Some(_), None) => false,
                (None, None) => true,
            }
    })
}

/// The last leaf alone is the last, and every other one leads to the next.
fn goes_on(leaf: usize, all: usize, foot: &[Letter], language: Language, found: &mut Vec<Breach>) {
    let is_last = leaf + 1 == all;
    let ends = || {
        language
            .template_words()
            .filter(|(key, _)| *key == "end" || key.starts_with("end-"))
    };
    let end = ends().find(|(_, words)| text::says(foot, &claims::plain(words)));
    if let Some((_, words)) = end.filter(|_| !is_last) {
        let words = format!(
            "the leaf says “{}” and {} more follow",
            claims::plain(words),
            all - leaf - 1
        );
        found.push(Breach::at(None, leaf, Kind::Lost, words));
    }
    let Some((_, words)) = language.template_words().find(|(key, _)| *key == "continues") else {
        return;
    };
    let (begins, whole) = claims::with_number(words, leaf + 2);
    if !begins.is_empty() && text::says(foot, &begins) && (is_last || !text::says(foot, &whole)) {
        let words = format!("the foot doesn't lead to leaf {}", leaf + 2);
        let words = if is_last {
            "the last leaf leads to another one".to_string()
        } else {
            words
        };
        found.push(Breach::at(None, leaf, Kind::Lost, words));
    }
}

/// That nobody has tried the procedure yet, or that no commit has it: in the template's words, or in others that it marks.
fn states(
    leaf: usize,
    [head, foot]: [&[Letter]; 2],
    marks: bool,
    identity: &Identity,
    language: Language,
    found: &mut Vec<Breach>,
) {
    for (is_so, key) in [(identity.draft, "draft.1"), (identity.uncommitted, "not-committed")] {
        let Some(words) = claims::word(language, key).filter(|_| is_so && !marks) else {
            continue;
        };
        if !text::says(head, &words) && !text::says(foot, &words) {
            let words = format!("neither head nor foot of the leaf says “{words}”");
            found.push(Breach::at(None, leaf, Kind::Lost, words));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_counts_its_leaves() {
        let says = |head: &str, number, all| counts(&letters::wanted(head), number, all);
        assert!(says("Card 2 of 5 Leaf 1 of 3", 1, 3));
        assert!(says("Ring 1: Leaf 3 of 3", 3, 3));
        assert!(says("Leaf 2", 2, 3), "no count at all");
        assert!(!says("Leaf 3 of 1", 1, 3));
        assert!(says("Blatt 1 von 3", 1, 3) && !says("Blatt 3 von 1", 1, 3));
        assert!(!says("Leaf 3 of 2", 2, 3));
        assert!(!says("Leaf 2 of 2", 2, 3));
        assert!(!says("Leaf 3 of 3", 2, 3));
    }

    #[test]
    fn only_the_last_leaf_ends_what_it_is_of() {
        let language = Language::find("en").unwrap();
        let words = |key: &str| claims::word(language, key).unwrap();
        let told = |leaf: usize, foot: &str| {
            let mut found = Vec::new();
            goes_on(leaf, 2, &letters::wanted(foot), language, &mut found);
            !found.is_empty()
        };
        // Each kind of leaf has words of its own for it.
        for key in ["end", "end-list", "end-record", "end-set-sheet", "end-pocket"] {
            assert!(told(0, &words(key)), "{key}");
            assert!(!told(1, &words(key)), "{key}");
        }
    }
}
