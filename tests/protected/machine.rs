//! The machine: its stack, memory and time. Before there were budgets, each of these ended by a signal or took minutes.

use super::{Check, LONGEST, SET, bounded, procedure, told_of_budget};
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 6] = [
    ("what-lies-within-itself", nested),
    ("what-is-much", much),
    ("what-is-read-anew", anew),
    ("yaml-that-grows", yaml),
    ("pictures-that-grow", pictures),
    ("budgets-are-listed", listed),
];

fn check(scratch: &Scratch, head: &str, body: &str, what: &str, budget: &str) -> Vec<String> {
    scratch.write("set/set.yaml", SET.as_bytes());
    scratch.write("set/10-open.md", procedure(head, body).as_bytes());
    told_of_budget(scratch, what, budget)
}

fn nested(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    let emphases = |n: usize| format!("1. {}a{}\n", "*a **".repeat(n), "** a*".repeat(n));
    for (what, body) in [
        ("quotes", format!("{} a\n\n1. Look.\n", "> ".repeat(6000))),
        ("tight quotes", format!("{}a\n\n1. Look.\n", ">".repeat(6000))),
        ("lists", format!("{}a\n", "- ".repeat(7000))),
        ("emphases", emphases(4500)),
        ("three thousand emphases", emphases(1500)),
        ("thirty emphases", emphases(15)),
        ("thirteen quotes", format!("{} a\n\n1. Look.\n", ">".repeat(13))),
        (
            "pictures",
            format!("1. {}a{}\n", "![".repeat(3000), "](a.png)".repeat(3000)),
        ),
        ("half open quotes", format!("1. Look.\n{}", "   > - ".repeat(4000))),
    ] {
        faults.extend(check(scratch, "", &body, what, "nesting"));
    }
    // What is within the budget is printed.
    scratch.write("set/10-open.md", procedure("", &emphases(5)).as_bytes());
    let (text, code, _) = bounded(scratch, "build set --out out");
    if code != Some(0) {
        faults.push(format!("ten emphases are not printed: {text}"));
    }
    let terms = |n: usize| {
        format!(
            "limits:\n  a: {{limit: max 9 mm}}\n  b: {{limit: max 9 mm, calc: a{}}}\n",
            " + a".repeat(n)
        )
    };
    for n in [300, 13_200, 50_000] {
        faults.extend(check(scratch, &terms(n), "1. Look.\n", "terms", "terms"));
    }
    let brackets = format!(
        "limits:\n  a: {{limit: max 9 mm}}\n  b: {{limit: max 9 mm, calc: \"{}a{}\"}}\n",
        "(".repeat(9000),
        ")".repeat(9000)
    );
    faults.extend(check(scratch, &brackets, "1. Look.\n", "brackets", "brackets"));
    faults
}

fn much(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    let names: Vec<String> = (0..300).map(|n| format!("p{n}")).collect();
    let grid = format!("{{rows: [{0}], columns: [{0}]}}", names.join(", "));
    let limit = format!("limits:\n  a: {{limit: max 9 mm, where: {grid}}}\n");
    faults.extend(check(
        scratch,
        &limit,
        "1. Measure the [measure a].\n",
        "boxes",
        "boxes",
    ));
    faults.extend(check(
        scratch,
        "",
        &"1. a\n".repeat(3_500_000),
        "3.5 million steps",
        "text",
    ));
    faults.extend(check(scratch, "", &"1. a\n".repeat(800_000), "800,000 steps", "steps"));
    faults.extend(check(scratch, "", &"1. Look.\n".repeat(10_001), "steps", "steps"));
    let pattern = "patterns:\n  p: {grid: {columns: 100000, rows: 100000, pitch: 9 mm}}\n";
    scratch.write("set/10-open.md", procedure(pattern, "1. Look.\n").as_bytes());
    let (text, code, _) = bounded(scratch, "check set");
    if code != Some(1) || !text.contains("BL207") {
        faults.push(format!("a grid of 100,000 by 100,000: {code:?} {text}"));
    }
    faults
}

/// A text that one of the readers takes for something is read anew with each guess of what it is, and there is no end of guesses in a long one.
fn anew(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    for (what, head) in [
        ("a list in place of fields", "- name: x\n  what: x\n".repeat(20_000)),
        ("lines further and further in", {
            let line = |n: usize| format!("{}x: y\n", " ".repeat(n % 300));
            format!("list:\n{}", (0..6000).map(line).collect::<String>())
        }),
        (
            "a text in place of a unit",
            format!("limits:\n  a: {{limit: 5 {}}}\n", "the rip ".repeat(100_000)),
        ),
        (
            "names for a value beside a fault",
            format!(
                "about: &a x\n{}bad: [\n",
                (0..20_000).map(|n| format!("k{n}: *a\n")).collect::<String>()
            ),
        ),
        (
            "one long line of faults",
            format!("tools: {{{}}}\n", "a: {b: c}, ".repeat(20_000)),
        ),
    ] {
        scratch.write("set/set.yaml", SET.as_bytes());
        scratch.write("set/10-open.md", procedure(&head, "1. Look.\n").as_bytes());
        let (text, code, took) = bounded(scratch, "check set");
        if code != Some(1) || took > LONGEST {
            let shown: String = text.chars().take(600).collect();
            faults.push(format!("{what}: ended with {code:?} after {took:?}: {shown}"));
        }
    }
    let marks = format!("1. Look. {}\n", "[torque nobody] ".repeat(25_000));
    scratch.write("set/10-open.md", procedure("", &marks).as_bytes());
    let (_, code, took) = bounded(scratch, "check set");
    if code != Some(1) || took > LONGEST {
        faults.push(format!("one long line of marks: ended with {code:?} after {took:?}"));
    }
    faults
}

fn yaml(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    for (sign, close) in [("[", "]"), ("{a: ", "}")] {
        let head = format!("about: {}a{}\n", sign.repeat(9000), close.repeat(9000));
        faults.extend(check(scratch, &head, "1. Look.\n", "deep YAML", "yaml-depth"));
    }
    let mut bomb = "about: &a [x, x, x, x, x, x, x, x, x]\n".to_string();
    for (this, last) in ('b'..='k').zip('a'..) {
        bomb += &format!("{this}: &{this} [{}]\n", vec![format!("*{last}"); 9].join(", "));
    }
    faults.extend(check(scratch, &bomb, "1. Look.\n", "a bomb of names", "yaml-nodes"));
    let many = format!("about: [{}]\n", "x, ".repeat(300_000));
    faults.extend(check(scratch, &many, "1. Look.\n", "many values", "yaml-nodes"));
    let names: String = (0..3000).map(|n| format!("- &n{n} x\n")).collect();
    faults.extend(check(
        scratch,
        &format!("about:\n{names}"),
        "1. Look.\n",
        "many names",
        "yaml-names",
    ));
    // The set's own file goes by the same.
    scratch.write("set/10-open.md", procedure("", "1. Look.\n").as_bytes());
    scratch.write(
        "set/set.yaml",
        format!("{SET}about: {}{}\n", "[".repeat(5000), "]".repeat(5000)).as_bytes(),
    );
    faults.extend(told_of_budget(scratch, "deep YAML of a set", "yaml-depth"));
    faults
}

fn pictures(scratch: &Scratch) -> Vec<String> {
    let svg = |inside: &str| format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{inside}</svg>");
    let mut doubled = "<g id=\"g0\"><rect width=\"1\" height=\"1\"/></g>".to_string();
    for n in 1..30 {
        let last = n - 1;
        doubled += &format!("<g id=\"g{n}\"><use href=\"#g{last}\"/><use href=\"#g{last}\"/></g>");
    }
    let noise = "<filter id=\"f\"><feTurbulence baseFrequency=\"0.1\" numOctaves=\"100000\"/></filter><rect width=\"9\" height=\"9\" filter=\"url(#f)\"/>";
    let deep = format!("{}{}", "<g>".repeat(200_000), "</g>".repeat(200_000));
    let mut faults = Vec::new();
    for (what, drawing, budget) in [
        ("noise", svg(noise), "effects"),
        ("doubled", svg(&doubled), "drawing"),
        ("many", svg(&"<rect/>".repeat(400_000)), "drawing"),
        ("deep", svg(&deep), "drawing-depth"),
        (
            "fairly deep",
            svg(&format!("{}{}", "<g>".repeat(900), "</g>".repeat(900))),
            "drawing-depth",
        ),
    ] {
        scratch.write("set/a.svg", drawing.as_bytes());
        faults.extend(check(scratch, "", "1. Look: ![A](a.svg)\n", what, budget));
    }
    let png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\xff\xff\0\0\xff\xff\x08\x02\0\0\0\0\0\0\0";
    scratch.write("set/a.png", png);
    faults.extend(check(
        scratch,
        "",
        "1. Look: ![A](a.png)\n",
        "four thousand million pixels",
        "pixels",
    ));
    // A document for printing is no picture, whatever it is called and whatever it holds.
    for name in ["a.svg", "a.png", "a.pdf"] {
        scratch.write(
            &format!("set/{name}"),
            b"%PDF-1.7\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n%%EOF\n",
        );
        scratch.write(
            "set/10-open.md",
            procedure("", &format!("1. Look: ![A]({name})\n")).as_bytes(),
        );
        let (text, code, _) = bounded(scratch, "check set");
        if code != Some(1) || !text.contains("BL114") {
            faults.push(format!("a document for printing as {name}: {code:?} {text}"));
        }
    }
    faults
}

fn listed(scratch: &Scratch) -> Vec<String> {
    let (text, code, _) = bounded(scratch, "explain budgets");
    let mut faults = Vec::new();
    for budget in [
        "file",
        "text",
        "front-matter",
        "nesting",
        "steps",
        "yaml-depth",
        "yaml-nodes",
        "yaml-names",
        "boxes",
        "terms",
        "brackets",
        "positions",
        "pixels",
        "drawing",
        "drawing-depth",
        "effects",
        "combinations",
        "folders",
    ] {
        if !text.lines().any(|line| line.starts_with(&format!("{budget} "))) {
            faults.push(format!("`{budget}` is not listed: {text}"));
        }
    }
    if code != Some(0) {
        faults.push(format!("ended with {code:?}"));
    }
    faults
}
