//! Changes that know what they change: marks, ids, keys with their values, lines by how far in they stand, files of a set.

use super::Chance;
use super::pool::{PIECES, POOL, indent};

/// A text with one to four changes, no longer than `most` bytes.
pub fn changed(text: &str, seed: u64, most: usize) -> String {
    let mut chance = Chance::new(seed);
    let mut out = text.to_string();
    for _ in 0..=chance.below(4) {
        out = once(&out, &mut chance);
    }
    if out.len() > most {
        out.truncate(floor(&out, most));
    }
    out
}

/// The start of one text and the end of another, each cut between lines.
pub fn crossed(one: &str, other: &str, seed: u64, most: usize) -> String {
    let mut chance = Chance::new(seed);
    let (head, tail) = (line_start(one, &mut chance), line_start(other, &mut chance));
    let mut out = format!("{}{}", &one[..head], &other[tail..]);
    out.truncate(floor(&out, most));
    out
}

/// The last boundary of a character up to an offset.
fn floor(text: &str, at: usize) -> usize {
    text.floor_char_boundary(at.min(text.len()))
}

fn place(text: &str, chance: &mut Chance) -> usize {
    floor(text, chance.below(text.len() + 1))
}

fn line_start(text: &str, chance: &mut Chance) -> usize {
    let at = place(text, chance);
    text[..at].rfind('\n').map_or(0, |n| n + 1)
}

fn once(text: &str, chance: &mut Chance) -> String {
    match chance.below(14) {
        0 | 1 => with_piece(text, chance),
        2 | 3 => with_mark(text, chance),
        4 | 5 => with_value(text, chance),
        6 | 7 => with_name(text, chance),
        8 => with_number(text, chance),
        9 | 10 => by_line(text, chance),
        11 => with_lines(text, chance),
        12 => repeated(text, chance),
        _ => with_bytes_of_a_file(text, chance),
    }
}

fn insert(text: &str, at: usize, piece: &str) -> String {
    [&text[..at], piece, &text[at..]].concat()
}

/// A piece put in or in place of as much.
fn with_piece(text: &str, chance: &mut Chance) -> String {
    let at = place(text, chance);
    let piece = chance.one(PIECES).copied().unwrap_or(" ");
    if chance.below(2) == 0 {
        return insert(text, at, piece);
    }
    let end = floor(text, at + chance.below(12)).max(at);
    [&text[..at], piece, &text[end..]].concat()
}

/// The ranges of what stands in brackets.
fn brackets(text: &str) -> Vec<(usize, usize)> {
    let open = text.match_indices('[').map(|(n, _)| n);
    open.filter_map(|start| {
        let length = text[start..].find([']', '\n'])?;
        Some((start, start + length + 1)).filter(|(_, end)| text[..*end].ends_with(']'))
    })
    .collect()
}

/// One mark more, one in place of another, the verb or the rest of one exchanged.
fn with_mark(text: &str, chance: &mut Chance) -> String {
    let Some(donor) = chance.one(&POOL.marks) else {
        return text.to_string();
    };
    let own = brackets(text);
    let Some((start, end)) = chance.one(&own).copied() else {
        // A target of its own takes what stands inside.
        return match text.contains('\n') {
            true => insert(text, place(text, chance), &format!("[{donor}] ")),
            false => donor.clone(),
        };
    };
    let inner = &text[start + 1..end - 1];
    let verb = |mark: &str| mark.split(' ').next().unwrap_or("").to_string();
    let rest = |mark: &str| mark.split_once(' ').map_or("", |(_, rest)| rest).to_string();
    let mark = match chance.below(5) {
        0 => donor.clone(),
        1 => format!("{} {}", verb(donor), rest(inner)),
        2 => format!("{} {}", verb(inner), rest(donor)),
        3 => {
            let other = chance.one(&own).map_or("", |(s, e)| &text[s + 1..e - 1]);
            format!("{} {}", verb(donor), rest(other))
        }
        _ => return insert(text, end, &format!(" [{donor}]")),
    };
    [&text[..=start], mark.as_str(), &text[end - 1..]].concat()
}

/// What stands behind a key exchanged for what stands behind it elsewhere, or a field more beside it.
fn with_value(text: &str, chance: &mut Chance) -> String {
    let colons: Vec<usize> = text.match_indices(": ").map(|(n, _)| n).collect();
    let Some(colon) = chance.one(&colons).copied() else {
        return POOL.value("", chance).to_string();
    };
    let start = text[..colon].rfind(['\n', '{', ',', ' ']).map_or(0, |n| n + 1);
    let end = text[colon..].find(['\n', ',', '}']).map_or(text.len(), |n| colon + n);
    let key = &text[start..colon];
    match chance.below(4) {
        0 | 1 => [&text[..colon + 2], POOL.value(key, chance), &text[end.max(colon + 2)..]].concat(),
        2 => {
            let other = POOL.key(chance);
            let line = text[..colon].rfind('\n').map_or(0, |n| n + 1);
            let space = " ".repeat(indent(&text[line..colon]));
            let flow = text[line..colon].contains('{');
            let value = POOL.value(other, chance);
            match flow {
                true => insert(text, start, &format!("{other}: {value}, ")),
                false => insert(text, line, &format!("{space}{other}: {value}\n")),
            }
        }
        _ => [&text[..start], POOL.key(chance), &text[colon..]].concat(),
    }
}

/// The words of a text that may be ids, by place.
fn words(text: &str) -> Vec<(usize, &str)> {
    let part = |c: char| c.is_alphanumeric() || c == '-';
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (part(c), start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                found.push((from, &text[from..at]));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// A word exchanged for another of the same text: ids that meet where they didn't.
fn with_name(text: &str, chance: &mut Chance) -> String {
    let all = words(text);
    let (Some((at, old)), Some((_, new))) = (chance.one(&all), chance.one(&all)) else {
        return text.to_string();
    };
    [&text[..*at], *new, &text[at + old.len()..]].concat()
}

/// Figures at the ends of what can be told, and some that are none.
const NUMBERS: &[&str] = &[
    "0",
    "1",
    "2",
    "-1",
    "0.5",
    "1.50",
    "007",
    "12",
    "13",
    "100",
    "255",
    "256",
    "999",
    "1000",
    "65536",
    "2147483648",
    "18446744073709551616",
    "79228162514264337593543950335",
    "0.00000001",
    "1e308",
    "-0",
    "1.",
    ".5",
    "1/2",
    "1 1/2",
];

fn with_number(text: &str, chance: &mut Chance) -> String {
    let digits = |word: &str| word.bytes().all(|b| b.is_ascii_digit());
    let all: Vec<(usize, &str)> = words(text).into_iter().filter(|(_, word)| digits(word)).collect();
    let (Some((at, old)), Some(new)) = (chance.one(&all), chance.one(NUMBERS)) else {
        return text.to_string();
    };
    [&text[..*at], *new, &text[at + old.len()..]].concat()
}

/// A line deleted, doubled, moved, put further in or further out, or made a remark.
fn by_line(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<String> = text.split('\n').map(String::from).collect();
    let at = chance.below(lines.len());
    let to = chance.below(lines.len());
    match chance.below(7) {
        0 => drop(lines.remove(at)),
        1 => lines.insert(at, lines[at].clone()),
        2 => {
            let line = lines.remove(at);
            lines.insert(to.min(lines.len()), line);
        }
        3 => lines[at].insert_str(0, ["  ", "   ", "    ", "\t"][chance.below(4)]),
        4 => lines[at] = lines[at].trim_start().to_string(),
        5 => lines[at].insert_str(0, ["# ", "> ", "- ", "1. ", "## "][chance.below(5)]),
        _ => {
            // A stretch of lines put elsewhere as well.
            let end = (at + chance.below(8) + 1).min(lines.len());
            let copy = lines[at..end].to_vec();
            lines.splice(to..to, copy);
        }
    }
    lines.join("\n")
}

/// A line or a block of another fixture put between two lines, as far in as the line that it is put before.
fn with_lines(text: &str, chance: &mut Chance) -> String {
    let at = line_start(text, chance);
    let pool = if chance.below(2) == 0 {
        &POOL.lines
    } else {
        &POOL.blocks
    };
    let Some(block) = chance.one(pool) else {
        return text.to_string();
    };
    let wanted = indent(text[at..].lines().next().unwrap_or(""));
    let own = indent(block);
    let shifted: String = block
        .lines()
        .map(|line| {
            format!(
                "{}{}\n",
                " ".repeat((indent(line) + wanted).saturating_sub(own)),
                line.trim_start()
            )
        })
        .collect();
    insert(text, at, &shifted)
}

/// A piece or a stretch of the text many times over: what there is a budget for.
fn repeated(text: &str, chance: &mut Chance) -> String {
    let at = place(text, chance);
    let end = floor(text, at + 1 + chance.below(24)).max(at);
    let piece = match chance.below(2) {
        0 => chance.one(PIECES).copied().unwrap_or(" "),
        _ => &text[at..end],
    };
    // Mostly a few, now and then past what is let through.
    let times = if chance.below(8) == 0 {
        3000
    } else {
        2 + chance.below(40)
    };
    insert(text, at, &piece.repeat(times.min(1 + 30_000 / piece.len().max(1))))
}

/// A file of a set named otherwise, in other bytes, or as it was before.
fn with_bytes_of_a_file(text: &str, chance: &mut Chance) -> String {
    let heads: Vec<usize> = text.match_indices("=== ").map(|(n, _)| n).collect();
    let Some(head) = chance.one(&heads).copied() else {
        return with_piece(text, chance);
    };
    let end = text[head..].find('\n').map_or(text.len(), |n| head + n);
    let path = text[head + 4..end].split(" (").next().unwrap_or("");
    match chance.below(5) {
        0 => insert(
            text,
            end,
            [" (crlf)", " (bom)", " (open-end)", " (cr)"][chance.below(4)],
        ),
        1 => insert(text, head + 4, ["a/", "before/", "10-", "é/"][chance.below(4)]),
        2 => [&text[..head + 4], POOL.key(chance), ".md", &text[end..]].concat(),
        3 => {
            let names = [
                "set.yaml",
                "workshop.yaml",
                "10-open.md",
                "README.md",
                "a/set.yaml",
                "benchleaf.yaml",
                "a.svg",
            ];
            [&text[..head + 4], names[chance.below(names.len())], &text[end..]].concat()
        }
        _ => {
            // The file once more, as it was before the changes to come.
            let next = text[end..].find("=== ").map_or(text.len(), |n| end + n);
            format!(
                "{text}\n=== before/{path}\n{}",
                text[end..next].trim_start_matches('\n')
            )
        }
    }
}
