//! What a line of plain text looks like to its author: a step, a heading, a safety message, a mark. Pure: text in, an answer out.
//!
//! Markdown takes a line for plain words wherever a space, a sign or the indent is not as it wants it. These are the forms that authors
//! take for structure; a backslash before the sign says that the words are meant.

use crate::parse::texts::{split_digits, split_first, split_while};
use crate::syntax::{LEVELS, Verb};
use std::ops::Range;

/// What stands at the head of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// Plain words may begin here, or an item of a list could not.
    First,
    /// The line goes on with the words of the one above.
    Later,
}

/// A line that looks like an item of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepLook {
    /// The marker, in the line.
    pub marker: Range<usize>,
    /// What the marker should be; `None` where only the author knows.
    pub becomes: Option<String>,
    pub why: StepWhy,
}

/// Why Markdown doesn't take it for an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepWhy {
    /// `1.Undo`, `-Undo`.
    NoSpace,
    /// A space that is none to Markdown.
    OddSpace,
    /// `•`, `–`, `1)` in a circle.
    Sign,
    /// `a)`, `iv.`.
    Letter,
    /// `(1)`, `1:`, `Step 1.`.
    Number,
    /// `2. Undo` in the middle of a paragraph.
    Swallowed,
    /// `"1. Undo"`, `**1.** Undo`.
    Wrapped,
}

/// Signs that word processors put before items.
const BULLETS: [char; 29] = [
    '•', '◦', '‣', '⁃', '∙', '●', '○', '■', '□', '▪', '▫', '◆', '◇', '►', '▶', '▸', '➔', '➢', '➤', '→', '✓', '✔', '✗',
    '☐', '☑', '☒', '◻', '⦁', '\u{f0b7}',
];

/// Spaces that Markdown doesn't take for one after a marker.
fn is_odd_space(c: char) -> bool {
    c != ' ' && c != '\t' && (c.is_whitespace() || matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}'))
}

/// Looks at a line as an item.
pub fn step(line: &str, at: Line) -> Option<StepLook> {
    numbered(line, at)
        .or_else(|| lettered(line, at))
        .or_else(|| bulleted(line, at))
        .or_else(|| wrapped(line))
}

fn look(marker: Range<usize>, becomes: impl Into<Option<String>>, why: StepWhy) -> Option<StepLook> {
    Some(StepLook {
        marker,
        becomes: becomes.into(),
        why,
    })
}

/// True if words begin here: a letter, a bracket, a quote, emphasis.
fn begins_words(rest: &str) -> bool {
    rest.starts_with(|c: char| c.is_alphabetic() || matches!(c, '[' | '*' | '_' | '"' | '“' | '‘' | '!' | '`'))
}

/// True if a sentence begins here: a capital or a bracket, perhaps in emphasis.
fn begins_sentence(rest: &str) -> bool {
    let rest = rest.trim_start_matches(['*', '_', '"', '“', '‘']);
    rest.starts_with(|c: char| c.is_uppercase() || c == '[')
}

fn numbered(line: &str, at: Line) -> Option<StepLook> {
    let (plain, rest) = split_digits(line);
    if (1..=9).contains(&plain.len()) {
        return after_number(plain, rest, at);
    }
    // Full-width digits and digits in circles.
    let odd = |c: char| matches!(c, '０'..='９' | '①'..='⑳' | '⑴'..='⒛' | '➀'..='➓');
    let (number, rest) = split_while(line, odd);
    if !number.is_empty() {
        let rest = rest.trim_start_matches(['.', ')', '．', '）', '、']);
        let end = line.len() - rest.len();
        return begins_words(rest.trim_start())
            .then(|| look(0..end, None, StepWhy::Sign))
            .flatten();
    }
    // `(1) Undo`, `Step 1: Undo`.
    if let Some(rest) = line.strip_prefix('(') {
        let (number, after) = split_digits(rest);
        let after = after.strip_prefix(')')?;
        let space = after.starts_with(char::is_whitespace);
        return ((1..=3).contains(&number.len()) && space && begins_sentence(after.trim_start()))
            .then(|| look(0..number.len() + 2, format!("{number}."), StepWhy::Number))
            .flatten();
    }
    let word = ["Step ", "STEP ", "step "]
        .iter()
        .find_map(|word| line.strip_prefix(word))?;
    let (number, after) = split_digits(word);
    let (_, after) = split_first(after).filter(|(c, _)| matches!(c, ':' | '.' | ')' | '-' | '–' | '—'))?;
    let end = line.len() - after.len();
    (!number.is_empty() && after.starts_with(char::is_whitespace))
        .then(|| look(0..end, format!("{number}."), StepWhy::Number))
        .flatten()
}

/// What follows a number of ASCII digits that a line begins with.
fn after_number(number: &str, rest: &str, at: Line) -> Option<StepLook> {
    let end = number.len();
    let (sign, after) = split_first(rest)?;
    match sign {
        '.' | ')' => {
            match split_first(after) {
                // The end of a sentence that was broken here has no words after it.
                None => None,
                Some((' ' | '\t', _)) if at == Line::Later && !after.trim().is_empty() => {
                    look(0..end + 1, None, StepWhy::Swallowed)
                }
                Some((c, words)) if is_odd_space(c) && begins_words(words.trim_start()) => {
                    let width = end + 1 + c.len_utf8();
                    look(0..width, format!("{number}{sign} "), StepWhy::OddSpace)
                }
                Some((')' | ':' | '-', words)) if sign == '.' && begins_sentence(words.trim_start()) => {
                    look(0..end + 2, format!("{number}."), StepWhy::Number)
                }
                Some((c, _)) if c.is_alphabetic() && is_word(after) || matches!(c, '[' | '"' | '“') => {
                    look(0..end + 1, format!("{number}{sign} "), StepWhy::NoSpace)
                }
                Some(('*', _)) if begins_words(after.trim_start_matches('*')) => {
                    look(0..end + 1, format!("{number}{sign} "), StepWhy::NoSpace)
                }
                _ => None,
            }
        }
        ':' | '/' | '°' | ']' | '>' | '．' | '）' if at == Line::First => {
            let space = after.starts_with(char::is_whitespace) || matches!(sign, '．' | '）');
            (space && begins_sentence(after.trim_start()))
                .then(|| look(0..end + sign.len_utf8(), format!("{number}."), StepWhy::Number))
                .flatten()
        }
        ' ' | '-' | '–' | '—' if at == Line::First => {
            // `1 - Undo`, `1 – Undo`, `1- Undo`.
            let after = rest.trim_start_matches(' ');
            let (_, behind) = split_first(after).filter(|(c, _)| matches!(c, '-' | '–' | '—'))?;
            (behind.starts_with(' ') && begins_sentence(behind.trim_start()))
                .then(|| {
                    let width = end + rest.len() - behind.len();
                    look(0..width, format!("{number}."), StepWhy::Number)
                })
                .flatten()
        }
        _ => None,
    }
}

/// True if a word of two letters or more, or a letter that stands alone, begins here: `1.e4` and `2.b` are none.
fn is_word(rest: &str) -> bool {
    let letters = rest.chars().take_while(|c| c.is_alphabetic()).count();
    let next = rest.chars().nth(letters);
    letters >= 2 && next != Some('.') || letters == 1 && next.is_some_and(char::is_whitespace)
}

/// Romans that number items; `i`, `v` and `x` are letters too.
const ROMANS: [&str; 10] = ["ii", "iii", "iv", "vi", "vii", "viii", "ix", "xi", "xii", "xiii"];

fn lettered(line: &str, at: Line) -> Option<StepLook> {
    let inner = line.strip_prefix('(').unwrap_or(line);
    let (word, rest) = split_while(inner, |c| c.is_ascii_alphabetic());
    if word.len() != 1 && !ROMANS.contains(&word.to_ascii_lowercase().as_str()) {
        return None;
    }
    let open = line.len() - inner.len();
    let end = open + word.len();
    let (sign, after) = split_first(rest)?;
    if !after.starts_with(char::is_whitespace) {
        return None;
    }
    let after = after.trim_start();
    let fits = match sign {
        ')' => begins_words(after) && (open == 1 || at == Line::First || begins_sentence(after)),
        // `A. Smith` is a name, and `type B. Then` an end of a sentence.
        '.' => open == 0 && at == Line::First && word.chars().all(char::is_lowercase) && begins_sentence(after),
        _ => false,
    };
    fits.then(|| look(0..end + 1, None, StepWhy::Letter)).flatten()
}

fn bulleted(line: &str, at: Line) -> Option<StepLook> {
    let (sign, after) = split_first(line)?;
    let next = after.chars().next()?;
    if BULLETS.contains(&sign) || sign == '·' && next.is_whitespace() {
        return begins_words(after.trim_start())
            .then(|| {
                let space = after.len() - after.trim_start().len();
                look(0..sign.len_utf8() + space, "- ".to_string(), StepWhy::Sign)
            })
            .flatten();
    }
    match sign {
        '–' | '—' | '―' if at == Line::First && next.is_whitespace() && begins_sentence(after.trim_start()) => {
            let space = after.len() - after.trim_start().len();
            look(0..sign.len_utf8() + space, "- ".to_string(), StepWhy::Sign)
        }
        '-' | '*' | '+' if is_odd_space(next) && begins_words(after.trim_start()) => {
            look(0..1 + next.len_utf8(), "- ".to_string(), StepWhy::OddSpace)
        }
        '-' | '+' if next.is_alphabetic() || next == '[' => look(0..1, "- ".to_string(), StepWhy::NoSpace),
        '*' if next.is_alphabetic() && !after.contains('*') => look(0..1, "- ".to_string(), StepWhy::NoSpace),
        '-' | '*' | '+' if at == Line::Later && matches!(next, ' ' | '\t') && begins_words(after.trim_start()) => {
            look(0..1, None, StepWhy::Swallowed)
        }
        _ => None,
    }
}

/// `"1. Undo"`, `**1.** Undo`, `~~1. Undo~~`.
fn wrapped(line: &str) -> Option<StepLook> {
    let inner = line.trim_start_matches(['"', '\'', '“', '‘', '„', '«', '*', '_', '~']);
    let lead = line.len() - inner.len();
    if lead == 0 {
        return None;
    }
    let in_quotes = line.starts_with(['"', '\'', '“', '‘', '„', '«']);
    if in_quotes
        && let Some(rest) = inner.strip_prefix(['-', '+', '*', '•'])
        && rest.starts_with(' ')
        && begins_words(rest.trim_start())
    {
        return look(0..line.len() - rest.len(), None, StepWhy::Wrapped);
    }
    let (number, after) = split_digits(inner);
    let after = after.strip_prefix(['.', ')'])?;
    let bare = after.trim_start_matches(['*', '_', '~']);
    let fits =
        (1..=3).contains(&number.len()) && bare.starts_with(char::is_whitespace) && begins_words(bare.trim_start());
    fits.then(|| look(0..lead + number.len() + 1, None, StepWhy::Wrapped))
        .flatten()
}

/// Looks at a line as a heading: gives its signs, and the sign that Markdown takes.
pub fn heading(line: &str, at: Line) -> Option<(Range<usize>, Option<String>)> {
    if let Some(rest) = line.strip_prefix('＃') {
        return begins_words(rest.trim_start()).then(|| (0..'＃'.len_utf8(), Some("# ".to_string())));
    }
    if let Some(inner) = line.strip_prefix(['"', '\'', '“', '‘', '„', '«']) {
        let (signs, rest) = split_while(inner, |c| c == '#');
        let fits = (1..=6).contains(&signs.len()) && rest.starts_with(' ') && begins_words(rest.trim_start());
        return fits.then(|| (0..line.len() - rest.len(), None));
    }
    let (signs, rest) = split_while(line, |c| c == '#');
    let next = rest.chars().next()?;
    let words = rest.trim_start_matches(|c: char| c.is_whitespace() || is_odd_space(c));
    if signs.is_empty() || !begins_words(words) {
        return None;
    }
    let end = signs.len();
    if end > 6 {
        return Some((0..end, Some("######".to_string())));
    }
    if is_odd_space(next) {
        return Some((0..end + next.len_utf8(), Some(format!("{signs} "))));
    }
    match next {
        ' ' | '\t' => (at == Line::Later).then_some((0..end, None)),
        '!' => None,
        _ => Some((0..end, Some(format!("{signs} ")))),
    }
}

/// A line that looks like the head of a safety message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MessageLook {
    /// The word with the signs round it, in the line.
    pub word: Range<usize>,
    /// The tag that the word stands for, if it is one.
    pub tag: Option<&'static str>,
}

/// Words that other ways of writing use for messages, with what to write instead.
const OTHER_WORDS: [&str; 6] = ["ATTENTION", "IMPORTANT", "TIP", "INFO", "HINT", "WARN"];

/// Looks at a line as the head of a message. In a quote any of the words will do, in any case; in plain text they stand in capitals or
/// before a colon or `!`.
pub fn message(line: &str, in_quote: bool) -> Option<MessageLook> {
    let is_lead = |c: char| matches!(c, '*' | '_' | '[' | '!' | '(' | '⚠' | '\u{fe0f}' | ':' | ' ');
    let (lead, inner) = split_while(line, is_lead);
    let (word, after) = split_while(inner, char::is_alphabetic);
    let upper = word.to_uppercase();
    let tag = LEVELS.iter().map(|(tag, _)| *tag).find(|tag| *tag == upper);
    if tag.is_none() && !OTHER_WORDS.contains(&upper.as_str()) {
        return (lead.contains('⚠') && !inner.is_empty()).then_some(MessageLook {
            word: 0..lead.len(),
            tag: None,
        });
    }
    let is_sign = |c: char| matches!(c, '*' | '_' | ']' | ')' | ':' | '!' | '.' | '–' | '—' | '-');
    let (signs, _) = split_while(after, is_sign);
    let marked = signs.contains([':', '!']) || lead.contains(['!', '⚠']) || lead.contains(":::");
    let grave = tag.is_some_and(|tag| tag != "NOTE");
    let loud = word.chars().all(char::is_uppercase);
    let stands_alone = after.trim_matches(|c: char| !c.is_alphanumeric()).is_empty();
    let fits = if in_quote {
        marked || loud || lead.contains(['*', '_', '(']) || stands_alone
    } else if grave && tag != Some("NOTICE") {
        marked || loud || (stands_alone && lead.contains(['*', '_']))
    } else {
        loud && (marked || grave)
    };
    fits.then(|| MessageLook {
        word: 0..lead.len() + word.len() + signs.len(),
        tag,
    })
}

/// The first thing in a text that reads as a mark in brackets: `[torque ID]`.
pub fn bracketed(text: &str) -> Option<Range<usize>> {
    enclosed(text, '[', ']').map(|(range, _)| range)
}

/// A mark in other signs than brackets, with its words: `{torque ID}`, `［torque ID］`.
pub fn other_brackets(text: &str) -> Option<(Range<usize>, String)> {
    [('{', '}'), ('［', '］'), ('【', '】'), ('⟦', '⟧')]
        .into_iter()
        .find_map(|(open, close)| {
            let (range, words) = enclosed(text, open, close)?;
            Some((range, format!("[{}]", words.trim())))
        })
}

/// The first mark between these signs, with them and without.
fn enclosed(text: &str, open: char, close: char) -> Option<(Range<usize>, &str)> {
    let mut rest = text;
    while let Some((_, inner)) = rest.split_once(open) {
        let (words, after) = split_while(inner, |c| c != open && c != close && c != '\n');
        if after.starts_with(close) && is_mark(words) {
            let start = text.len() - inner.len();
            let end = start + words.len() + close.len_utf8();
            return Some((start - open.len_utf8()..end, words));
        }
        rest = inner;
    }
    None
}

/// True if words read as those of a mark: a verb and something behind it.
fn is_mark(words: &str) -> bool {
    let mut words = words.split_whitespace();
    let verb = words.next().unwrap_or("");
    Verb::of(verb).is_some() && words.next().is_some()
}

/// A mark without its opening bracket: `torque head-bolts]`. `closed` is where its closing bracket stands.
pub fn unopened(before: &str) -> Option<usize> {
    let (head, argument) = before.rsplit_once(char::is_whitespace)?;
    let verb = head
        .rsplit(|c: char| c.is_whitespace() || matches!(c, '(' | '*' | '_'))
        .next()?;
    let fits = Verb::of(verb).is_some() && !argument.is_empty();
    fits.then(|| head.len() - verb.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_looks_like_a_step_is_told_from_what_does_not() {
        let why = |line: &str, at| step(line, at).map(|look| look.why);
        for (line, wanted) in [
            ("1.Undo", StepWhy::NoSpace),
            ("12)Undo", StepWhy::NoSpace),
            ("1.[loosen a]", StepWhy::NoSpace),
            ("-Undo", StepWhy::NoSpace),
            ("*Undo", StepWhy::NoSpace),
            ("1.\u{a0}Undo", StepWhy::OddSpace),
            ("• Undo", StepWhy::Sign),
            ("– Undo", StepWhy::Sign),
            ("① Undo", StepWhy::Sign),
            ("a) Undo", StepWhy::Letter),
            ("a. Undo", StepWhy::Letter),
            ("iv) Undo", StepWhy::Letter),
            ("(1) Undo", StepWhy::Number),
            ("1: Undo", StepWhy::Number),
            ("1 - Undo", StepWhy::Number),
            ("1.) Undo", StepWhy::Number),
            ("Step 1: Undo", StepWhy::Number),
            ("\"1. Undo\"", StepWhy::Wrapped),
            ("**1.** Undo", StepWhy::Wrapped),
        ] {
            assert_eq!(why(line, Line::First), Some(wanted), "{line}");
        }
        // The marker ends where its sign does, however wide that is.
        assert_eq!(step("\"• Undo\"", Line::First).map(|look| look.marker), Some(0..4));
        assert_eq!(why("2. Undo", Line::Later), Some(StepWhy::Swallowed));
        assert_eq!(why("- Undo", Line::Later), Some(StepWhy::Swallowed));
        for line in [
            "2.5 mm is enough",
            "-40 °C",
            "+90°",
            "3/8 in",
            "\\1.Undo",
            "M8. Then",
            "e.g. this",
            "A. Smith said",
            "1.e4",
            "*Undo* it",
            "**Undo** it",
            "2 bolts",
            "12",
            "12.",
            "(see there)",
            "24 h later",
            "– which is heavy",
        ] {
            assert_eq!(step(line, Line::First), None, "{line}");
            assert_eq!(step(line, Line::Later), None, "{line}");
        }
    }

    #[test]
    fn what_looks_like_a_heading_or_a_message_is_told_from_what_does_not() {
        for line in ["#Strip", "##Strip it", "#\u{a0}Strip", "####### Deep"] {
            assert!(heading(line, Line::First).is_some(), "{line}");
        }
        for line in ["#10 screws", "\\#Strip", "#", "# Strip"] {
            assert!(heading(line, Line::First).is_none(), "{line}");
        }
        for line in [
            "DANGER: Live parts",
            "**WARNING** Hot",
            "Warning! Hot",
            "Caution: hot",
            "[!DANGER] Live",
            "⚠ Hot",
        ] {
            assert!(message(line, false).is_some(), "{line}");
            assert!(message(line, true).is_some(), "{line}");
        }
        for line in [
            "Danger lurks here",
            "Note: the seal is new",
            "A warning: it is hot",
            "Warning lamp off",
            "Notice the gap",
        ] {
            assert!(message(line, false).is_none(), "{line}");
        }
        assert_eq!(message("Warning: hot", true).and_then(|look| look.tag), Some("WARNING"));
    }

    #[test]
    fn marks_in_other_signs_are_seen() {
        assert_eq!(bracketed("a [torque b] c"), Some(2..12));
        assert_eq!(bracketed("a [torque] [b c]"), None);
        let (range, mark) = other_brackets("the {torque head-bolts} now").unwrap();
        assert_eq!((range, mark.as_str()), (4..23, "[torque head-bolts]"));
        assert_eq!(unopened("Tighten the torque head-bolts"), Some(12));
        assert_eq!(unopened("see the bolts"), None);
    }
}
