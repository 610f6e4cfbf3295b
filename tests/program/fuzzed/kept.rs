//! What git may keep: histories that make sense, and changes of them that know what an object is.

use super::{owned, whole};
use crate::harness::fuzz::Chance;
use crate::harness::fuzz::pool::PIECES;

/// A history with all that it may have: folders, links, other repositories, a merge, a tag, a pack.
const HISTORY: &str = "=== blob set\nmachine: Invented pump\ntitle: Pump\nrev: A\n\n=== blob shop\nshop: Invented shop\n\n\
    === blob old\n---\ntitle: Close\ntorques: {cover: {torque: 9 N·m, count: 6, lubrication: dry}}\n---\n\n1. Tighten the [torque cover].\n\n\
    === blob new\n---\ntitle: Close\ntorques: {cover: {torque: 8 N·m, count: 6, lubrication: dry}}\n---\n\n1. Tighten the [torque cover].\n\n\
    === tree inner\n100644 old 10-close.md\n100644 set set.yaml\n=== tree outer\n40000 inner pump\n100644 shop workshop.yaml\n\
    === tree inner2\n100644 new 10-close.md\n120000 old 20-link.md\n100755 set set.yaml\n160000 set sub\n\
    === tree outer2\n40000 inner2 pump\n100644 shop workshop.yaml\n\
    === commit first\ntree {outer}\nauthor A <a@b> 1767225600 +0000\ncommitter A <a@b> 1767225600 +0000\n\nFirst\n\n\
    === commit second\ntree {outer2}\nparent {first}\nauthor A <a@b> 1767312000 +0000\ncommitter A <a@b> 1767312000 +0000\n\nSecond\n\n\
    === commit side\ntree {outer}\nparent {first}\nauthor A <a@b> 1767312001 +0000\ncommitter A <a@b> 1767312001 +0000\n\nSide\n\n\
    === commit both\ntree {outer2}\nparent {second}\nparent {side}\nauthor A <a@b> 1767398400 +0000\ncommitter A <a@b> 1767398400 +0000\n\nBoth\n\n\
    === tag named\nobject {first}\ntype commit\ntag v1\ntagger A <a@b> 1767398400 +0000\n\nNamed\n\n\
    === file refs/heads/main\n{both}\n=== file refs/heads/side\n{side}\n=== file refs/tags/v1\n{named}\n";

/// Ways to ask, of which a seed has some.
const ASKED: [&str; 10] = [
    "HEAD",
    "HEAD~1",
    "HEAD^2",
    "main..side",
    "main...side",
    "v1",
    "v1^{commit}",
    ":/First",
    "HEAD^-",
    "{first}",
];

pub fn seeds() -> Vec<String> {
    let asked = |n: usize| {
        format!(
            "=== ask\n{}\n{}\n{}\n",
            ASKED[n],
            ASKED[(n + 3) % 10],
            ASKED[(n + 7) % 10]
        )
    };
    let packed = HISTORY
        .replace("=== blob old", "=== blob old packed")
        .replace("=== blob new", "=== blob new packed");
    let packed = packed
        .replace("=== commit side", "=== commit side packed")
        .replace("=== tree inner2", "=== tree inner2 packed");
    let shallow = format!("{HISTORY}=== file shallow\n{{second}}\n");
    let lined = HISTORY.replace(
        "=== file refs/heads/side\n{side}\n",
        "=== file packed-refs\n# pack-refs with: peeled \n{side} refs/heads/side\n",
    );
    let aside = format!("{HISTORY}=== file logs/HEAD\n{{first}} {{side}} A <a@b> 1767398400 +0000\tcommit: Aside\n");
    let all = [HISTORY, &packed, &shallow, &lined, &aside];
    (0..ASKED.len())
        .flat_map(|n| all.map(|text| format!("{text}{}", asked(n))))
        .collect()
}

/// What a folder's entry may be called.
const NAMES: [&str; 14] = [
    "..",
    ".",
    ".git",
    "a/b.md",
    "../out.md",
    "/etc/a.md",
    "a\\b.md",
    "10-open.md",
    "set.yaml",
    "é.md",
    "a\u{202e}.md",
    "CON.md",
    "",
    "workshop.yaml",
];

const MODES: [&str; 12] = [
    "40000",
    "040000",
    "100644",
    "100755",
    "100664",
    "120000",
    "160000",
    "0",
    "777777",
    "99999999999",
    "8",
    "",
];

/// One change.
pub fn changed(text: &str, chance: &mut Chance) -> String {
    let mut all = owned(text);
    if all.is_empty() {
        return HISTORY.to_string();
    }
    let at = chance.below(all.len());
    let names: Vec<String> = all
        .iter()
        .filter_map(|(head, _)| head.split(' ').nth(1).map(String::from))
        .collect();
    let name = names[chance.below(names.len())].clone();
    match chance.below(10) {
        0 => {
            let flag = [" packed", " gone", " bare", &format!(" as {name}")][chance.below(4)].to_string();
            all[at].0.push_str(&flag);
        }
        1 => {
            let what = [
                "pack",
                "idx",
                "HEAD",
                "config",
                "packed-refs",
                "shallow",
                "refs/heads/main",
            ][chance.below(7)];
            let byte = chance.below(300);
            all.push((format!("harm {what} {} {byte}", chance.below(900)), String::new()));
        }
        2 => all.push(("ask".to_string(), format!("{}\n", ASKED[chance.below(ASKED.len())]))),
        3 => {
            // What names an object names another.
            let place = chance.below(names.len());
            all[at].1 = all[at]
                .1
                .replacen(&format!("{{{}}}", names[place]), &format!("{{{name}}}"), 1);
        }
        4..=7 => {
            let trees: Vec<usize> = (0..all.len()).filter(|n| all[*n].0.starts_with("tree")).collect();
            let body = &mut all[chance.one(&trees).copied().unwrap_or(at)].1;
            let mut lines: Vec<String> = body.lines().map(String::from).collect();
            let line = chance.below(lines.len() + 1);
            let words: Vec<String> = lines
                .get(line)
                .map_or(Vec::new(), |line| line.splitn(3, ' ').map(String::from).collect());
            let word = |n: usize| words.get(n).cloned().unwrap_or_else(|| "10-a.md".to_string());
            let entry = match chance.below(4) {
                0 => format!("{} {} {}", MODES[chance.below(MODES.len())], word(1), word(2)),
                1 => format!("{} {name} {}", word(0), word(2)),
                2 => format!("{} {} {}", word(0), word(1), NAMES[chance.below(NAMES.len())]),
                _ => format!("100644 {name} {}", NAMES[chance.below(NAMES.len())]),
            };
            match lines.get_mut(line) {
                Some(there) if chance.below(3) != 0 => *there = entry,
                _ => lines.insert(line, entry),
            }
            *body = lines.join("\n") + "\n";
        }
        _ => {
            let (_, body) = &mut all[at];
            let place = body.floor_char_boundary(chance.below(body.len() + 1));
            body.insert_str(place, PIECES[chance.below(PIECES.len())]);
        }
    }
    whole(&all)
}
