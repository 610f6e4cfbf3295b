//! What is printed by templates of one's own: a file that prints nothing is told, and none reaches outside of its folder.

use super::{Check, SET, procedure};
use crate::left::told;
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 2] = [("unknown-names", unknown), ("nothing-from-outside", outside)];

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
