//! Random single edits of a set's texts and drawings: a line gone, doubled or moved, a digit, a word for another, a mark elsewhere, an id
//! renamed, and what is another spelling only.

use crate::harness::Files;

/// A source of chance that gives the same every time (SplitMix64).
pub struct Chance(pub u64);

impl Chance {
    pub fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % n.max(1) as u64) as usize
    }

    pub fn of<'a, T>(&mut self, items: &'a [T]) -> Option<&'a T> {
        (!items.is_empty()).then(|| &items[self.below(items.len())])
    }
}

/// One random edit of one file: what was done, and the files after it.
pub fn edit(files: &Files, chance: &mut Chance) -> Option<(String, Files)> {
    let ours = |path: &&String| path.ends_with(".md") || path.ends_with(".yaml") || path.ends_with(".svg");
    let paths: Vec<&String> = files.keys().filter(ours).collect();
    let path = *chance.of(&paths)?;
    let text = String::from_utf8(files[path].clone()).ok()?;
    let (what, edited) = if path.ends_with(".svg") {
        drawing(&text, chance)?
    } else {
        writing(&text, chance)?
    };
    if edited == text {
        return None;
    }
    let mut files = files.clone();
    files.insert(path.clone(), edited.into_bytes());
    Some((format!("{path}: {what}"), files))
}

/// Changes a drawing, or only how it is written.
fn drawing(text: &str, chance: &mut Chance) -> Option<(String, String)> {
    match chance.below(3) {
        0 => Some(("line ends".into(), text.replace('\n', "\r\n"))),
        1 => {
            let at: Vec<usize> = text
                .match_indices("\n<")
                .chain(text.match_indices("\n  <"))
                .map(|(at, _)| at)
                .collect();
            let at = *chance.of(&at)?;
            Some((
                "a remark".into(),
                format!("{}\n<!-- a remark -->{}", &text[..at], &text[at..]),
            ))
        }
        _ => digit(text, chance).filter(|(_, edited)| draws_otherwise(text, edited)),
    }
}

/// False of an edit that makes a ground go further past the edge of its drawing: nothing is drawn there, and what a drawing says goes by what
/// is written in it.
pub fn draws_otherwise(old: &str, new: &str) -> bool {
    let changed = old.lines().zip(new.lines()).find(|(old, new)| old != new);
    let size = value(old, "viewBox").and_then(|size| {
        let mut numbers = size.split_whitespace().skip(2).map(str::parse::<f64>);
        Some((numbers.next()?.ok()?, numbers.next()?.ok()?))
    });
    let covers = |line: &str| {
        let side = |name: &str| value(line, name).and_then(|side| side.parse::<f64>().ok());
        let at_corner = value(line, " x").is_none() && value(line, " y").is_none();
        line.contains("<rect")
            && at_corner
            && (size.zip(side(" width")).zip(side(" height")))
                .is_some_and(|(((w, h), width), height)| width >= w && height >= h)
    };
    !changed.is_some_and(|(old, new)| covers(old) && covers(new))
}

/// The value of an attribute, where it first stands.
fn value<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    let (_, rest) = text.split_once(&format!("{name}=\""))?;
    rest.split('"').next()
}

pub fn digit(text: &str, chance: &mut Chance) -> Option<(String, String)> {
    let digits: Vec<usize> = text
        .char_indices()
        .filter(|(_, c)| c.is_ascii_digit())
        .map(|(at, _)| at)
        .collect();
    let at = *chance.of(&digits)?;
    let up = (text.as_bytes()[at] - b'0' + 1 + chance.below(9) as u8) % 10;
    let mut out = text.to_string();
    out.replace_range(at..at + 1, &up.to_string());
    Some((format!("digit {up} in {:?}", line_at(text, at)), out))
}

fn line_at(text: &str, at: usize) -> &str {
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    text[start..].lines().next().unwrap_or("")
}

/// Pairs of words of which one is put for the other.
const WORDS: [(&str, &str); 16] = [
    ("yes", "no"),
    ("N·m", "lbf·ft"),
    ("mm", "in"),
    ("WARNING", "CAUTION"),
    ("DANGER", "WARNING"),
    ("NOTICE", "NOTE"),
    ("within", "at-least"),
    ("[fit ", "[remove "),
    ("[torque ", "[snug "),
    ("[loosen ", "[torque "),
    ("[need ", "[set "),
    ("[use ", "[see "),
    ("[start ", "[end "),
    ("Avoid: ", ""),
    ("inspect", "no"),
    ("second-person: yes", "second-person: no"),
];

fn writing(text: &str, chance: &mut Chance) -> Option<(String, String)> {
    let lines: Vec<&str> = text.lines().collect();
    let at = chance.below(lines.len());
    let joined = |lines: Vec<String>| lines.join("\n") + "\n";
    let owned = || lines.iter().map(|l| l.to_string()).collect::<Vec<String>>();
    let place = |verb: &str| format!("{verb} {:?}", lines.get(at).unwrap_or(&""));
    let words: Vec<(usize, &str)> = text
        .split(|c: char| !c.is_alphabetic())
        .filter(|w| w.len() > 3)
        .map(|w| (w.as_ptr() as usize - text.as_ptr() as usize, w))
        .collect();
    match chance.below(14) {
        0..=2 => digit(text, chance),
        3 | 4 => {
            let (at, word) = *chance.of(&words)?;
            let mut out = text.to_string();
            out.replace_range(at..at + word.len(), "quokka");
            Some((format!("quokka for {word:?} in {:?}", line_at(text, at)), out))
        }
        5 => {
            let mut all = owned();
            all.remove(at);
            Some((place("without"), joined(all)))
        }
        6 => {
            let mut all = owned();
            all.insert(at, lines[at].to_string());
            Some((place("twice"), joined(all)))
        }
        7 => {
            let mut all = owned();
            all.swap(at, (at + 1).min(lines.len() - 1));
            Some((place("after the next"), joined(all)))
        }
        8 | 9 => {
            let (from, to) = *chance.of(&WORDS)?;
            let (from, to) = if chance.below(2) == 0 || to.is_empty() {
                (from, to)
            } else {
                (to, from)
            };
            let places: Vec<usize> = text.match_indices(from).map(|(at, _)| at).collect();
            let at = *chance.of(&places)?;
            let mut out = text.to_string();
            out.replace_range(at..at + from.len(), to);
            Some((format!("{to:?} for {from:?} in {:?}", line_at(text, at)), out))
        }
        10 => {
            // Emphasis says nothing.
            let (at, word) = *chance.of(&words)?;
            let mut out = text.to_string();
            out.replace_range(at..at + word.len(), &format!("**{word}**"));
            Some((format!("bold {word:?} in {:?}", line_at(text, at)), out))
        }
        11 => {
            // Nor does where a line of prose ends; that of a tag ends where the name of the hazard does, and code is no prose.
            let in_code = |at: usize| text[..at].matches("```").count() % 2 == 1;
            let spaces = text.match_indices(' ').map(|(at, _)| at);
            let spaces: Vec<usize> = spaces
                .filter(|at| !line_at(text, *at).contains("[!") && !in_code(*at))
                .collect();
            let at = *chance.of(&spaces)?;
            let mut out = text.to_string();
            out.replace_range(at..at + 1, "\n   ");
            Some((format!("line end in {:?}", line_at(text, at)), out))
        }
        12 => {
            // A mark on another line.
            let marks: Vec<(usize, usize)> = text
                .match_indices('[')
                .filter_map(|(at, _)| Some((at, at + text[at..].find(']')? + 1)))
                .filter(|(at, end)| text[*at..*end].contains(' ') && !text[*at..*end].contains('\n'))
                .collect();
            let (from, to) = *chance.of(&marks)?;
            let mark = text[from..to].to_string();
            let mut without = text.to_string();
            without.replace_range(from..to, "");
            let ends: Vec<usize> = without.match_indices(".\n").map(|(at, _)| at).collect();
            let end = *chance.of(&ends)?;
            without.insert_str(end + 1, &format!(" {mark}"));
            Some((format!("{mark} moved"), without))
        }
        _ => {
            // An id by another name, everywhere.
            let ids: Vec<&str> = lines
                .iter()
                .filter_map(|l| l.strip_prefix("  ")?.split_once(':').map(|(id, _)| id))
                .filter(|id| id.len() > 2 && id.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
                .collect();
            let id = chance.of(&ids)?.to_string();
            Some((format!("{id} renamed"), text.replace(&id, &format!("{id}-x"))))
        }
    }
}
