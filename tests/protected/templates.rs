//! What is printed by templates of one's own: a file that prints nothing is told, and none reaches outside of its folder.

use super::{Check, SET, procedure};
use crate::left::told;
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 4] = [
    ("unknown-names", unknown),
    ("nothing-from-outside", outside),
    ("no-programs-and-no-pdf", programs),
    ("no-end", endless),
];

fn pump(scratch: &Scratch) {
    scratch.write("set/set.yaml", SET.as_bytes());
    scratch.write("set/10-open.md", procedure("", "1. Look.\n").as_bytes());
}

const PLAIN: &str = "#set document(title: \"x\")\nplain\n";

fn unknown(scratch: &Scratch) -> Vec<String> {
    pump(scratch);
    let mut faults = Vec::new();
    for name in [
        "cards.typ.j2",
        "card.typ",
        "card.j2",
        "lib/steps.typ",
        "Card.typ.j2",
        "sub/card.typ.j2",
    ] {
        scratch.write(&format!("own/{name}"), PLAIN.as_bytes());
        faults.extend(told(
            scratch,
            "build set --out out --templates own",
            2,
            &[name, "templates/README.md"],
        ));
        scratch.remove(&format!("own/{name}"));
    }
    scratch.write("own/README.md", b"Our own.\n");
    faults.extend(told(scratch, "build set --out out --templates own", 0, &[]));
    faults
}

fn outside(scratch: &Scratch) -> Vec<String> {
    pump(scratch);
    let mut faults = Vec::new();
    scratch.write("secret.txt", b"secret");
    let from = scratch.path().join("secret.txt");
    for words in [
        format!("#read({:?})", from.to_string_lossy()),
        "#read(\"../secret.txt\")".to_string(),
        "#read(\"/../secret.txt\")".to_string(),
        "#image(\"../secret.txt\")".to_string(),
        "#import \"@preview/example:0.1.0\": add".to_string(),
        "#import \"@local/example:0.1.0\": add".to_string(),
        "#plugin(\"../secret.txt\")".to_string(),
        "#plugin(bytes((0, 97, 115, 109, 1, 0, 0, 0)))".to_string(),
        "#std.plugin(bytes((0, 97, 115, 109, 1, 0, 0, 0)))".to_string(),
    ] {
        scratch.write(
            "own/card.typ.j2",
            format!("{{% raw %}}{words}{{% endraw %}}\n").as_bytes(),
        );
        faults.extend(told(
            scratch,
            "build set --out out --templates own",
            2,
            &["card.typ.j2"],
        ));
    }
    for words in ["{% include '../secret.txt' %}", "{% include 'secret.txt' %}"] {
        scratch.write("own/card.typ.j2", format!("{words}\n").as_bytes());
        faults.extend(told(
            scratch,
            "build set --out out --templates own",
            2,
            &["card.typ.j2"],
        ));
    }
    faults
}

/// Neither a program nor a PDF is taken along, under whatever name.
fn programs(scratch: &Scratch) -> Vec<String> {
    pump(scratch);
    let mut faults = Vec::new();
    scratch.write("own/close-out.typ.j2", b"{% raw %}#image(\"logo.svg\"){% endraw %}\n");
    for bytes in [&b"\0asm\x01\0\0\0"[..], b"%PDF-1.7\n", b"\n\n%PDF-1.7\n"] {
        scratch.write("own/logo.svg", bytes);
        let words = ["logo.svg", "no PDF and no program"];
        faults.extend(told(scratch, "build set --out out --templates own", 2, &words));
    }
    faults
}

/// A template that doesn't end is ended: the engine's own loops by their steps, the typesetter's by the clock.
fn endless(scratch: &Scratch) -> Vec<String> {
    pump(scratch);
    let mut faults = Vec::new();
    let range = "{% for a in range(10000) %}{% for b in range(10000) %}{% for c in range(10000) %}{% endfor %}{% endfor %}{% endfor %}\n";
    scratch.write("own/card.typ.j2", range.as_bytes());
    let words = ["card.typ.j2", "more steps than any leaf needs"];
    faults.extend(told(scratch, "build set --out out --templates own", 2, &words));
    let typeset = "{% raw %}#for a in range(100000) { for b in range(100000) { for c in range(100000) { (a, b, c) } } }{% endraw %}\n";
    scratch.write("own/card.typ.j2", typeset.as_bytes());
    let words = ["10-open.md", "not laid out after 1 s", "--longest"];
    for command in [
        "build set --out out --longest 1 --templates own",
        "check set --pages --longest 1 --templates own",
    ] {
        faults.extend(told(scratch, command, 2, &words));
    }
    // What the sudden end left is cleared away, and the set is printed.
    scratch.remove("own/card.typ.j2");
    faults.extend(told(scratch, "build set --out out", 0, &[]));
    let left: Vec<String> = scratch.files("out").into_iter().map(|(name, _)| name).collect();
    if left
        .iter()
        .any(|name| !name.ends_with(".pdf") && !name.ends_with(".json") && !name.contains("manifest"))
    {
        faults.push(format!("out holds {left:?}"));
    }
    faults
}
