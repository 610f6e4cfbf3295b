//! Where a picture stands: beside the words of its step on whole sheets, if it has room there as large as under them and takes less of the leaf.
//! What a check takes for a picture is one for the typesetter too, or is told at its file.

use crate::harness::{Outcome, fixture};
use crate::printer::{self, Assets, PAPERS, Printed};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("print/a-picture-beside-its-step", beside),
        Trial::test("print/a-picture-that-passes-is-read", passing),
    ]
}

/// Each picture as it is, under each ending, cut short at every byte, and with bytes of it changed.
fn passing() -> Outcome {
    let typesetter = printer::typesetter(&printer::templates());
    let (mut refused, mut printed, mut told, mut faults) = (0, 0, 0, Vec::new());
    let mut look = |name: &str, bytes: Vec<u8>, what: &str, must_print: bool| {
        let text = format!("---\ntitle: Look\ntried: 2026-01-02\n---\n1. Look.\n\n   ![The dot]({name})\n");
        let checked = printer::written_with(&text, vec![(name.to_string(), bytes.clone())]);
        if checked.compilation.findings.iter().any(|f| f.rule.code == "BL114") {
            refused += 1;
            if must_print {
                faults.push(format!("{name}, {what}: refused"));
            }
            return;
        }
        let card = printer::cards(&checked).remove(0);
        let mut assets = Assets::default();
        assets.insert(name, bytes);
        match printer::blamed(&typesetter, &card, &assets) {
            Ok(()) => printed += 1,
            Err(found) if !must_print && found.iter().all(|(file, _)| file == name) => told += 1,
            Err(found) => faults.push(format!("{name}, {what}: {found:?}")),
        }
    };
    let endings = ["png", "jpg", "gif", "webp", "svg", "PNG", "bin"];
    for path in fixture::walk(&fixture::folder("pictures")) {
        let bytes = std::fs::read(&path).expect("a picture of the suite");
        let own = path.extension().expect("an ending").to_string_lossy().into_owned();
        for ending in endings {
            let must_print = ending == own || matches!(ending, "PNG" | "bin");
            look(&format!("dot.{ending}"), bytes.clone(), "as it is", must_print);
        }
        let name = format!("dot.{own}");
        for end in 0..bytes.len() {
            look(&name, bytes[..end].to_vec(), &format!("cut at {end}"), false);
        }
        // Each byte once, where that is few, or some of them.
        let apart = (bytes.len() / 40).max(1);
        for at in (0..bytes.len()).step_by(apart) {
            let mut changed = bytes.clone();
            changed[at] ^= 0x5a;
            look(&name, changed, &format!("another byte at {at}"), false);
        }
    }
    let svg = "http://www.w3.org/2000/svg";
    let drawings = [
        (format!("<svg xmlns=\"{svg}\"/>"), true),
        (
            format!("<svg xmlns=\"{svg}\" width=\"9mm\" height=\"9\"><circle r=\"4\"/></svg>"),
            true,
        ),
        (
            format!("<svg xmlns=\"{svg}\" width=\"-9\" height=\"9\"><circle r=\"4\"/></svg>"),
            false,
        ),
        (
            format!("<svg xmlns=\"{svg}\" viewBox=\"0 0 0 0\"><circle r=\"4\"/></svg>"),
            false,
        ),
        (
            format!("<svg xmlns=\"{svg}\" viewBox=\"dots\"><circle r=\"four\"/></svg>"),
            false,
        ),
        (format!("<svg xmlns=\"{svg}\" width=\"1e30\" height=\"1e30\"/>"), false),
        ("<svg/>".to_string(), false),
        (format!("<svg xmlns=\"{svg}\"><rect></svg>"), false),
    ];
    for (n, (drawing, must_print)) in drawings.into_iter().enumerate() {
        look("dot.svg", drawing.into_bytes(), &format!("drawing {n}"), must_print);
    }
    eprintln!("{refused} refused by the check, {printed} printed, {told} told at their file");
    if refused < 1000 || printed < 40 {
        faults.push(format!("only {refused} refused and {printed} printed"));
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

/// Millimetres.
fn drawing(wide: u32) -> Vec<u8> {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"48mm\" viewBox=\"0 0 10 10\"><circle cx=\"5\" cy=\"5\" r=\"4\"/></svg>")
        .into_bytes()
}

const LONG: &str = "Turn the collar until its pin stands over the hole. Push the pin in. Hold its head with a thumb. Turn the nut by hand.";

/// How far the caption of the figure stands to the right of the sentence, and below its first line, in millimetres.
fn offset(printed: &Printed) -> Option<(f64, f64)> {
    let runs: Vec<_> = printed.leaves.iter().flatten().collect();
    let find = |words: &str| runs.iter().find(|run| run.text.starts_with(words));
    let (sentence, caption) = (find("Turn the")?, find("Figure 1")?);
    Some((caption.x - sentence.x, caption.y - sentence.y))
}

fn beside() -> Outcome {
    let mut faults = Vec::new();
    for (paper, ..) in PAPERS {
        let small = matches!(paper, "a5" | "half-letter");
        // What is wide has no room there, and beside few words there is nothing to gain.
        for (words, wide, is_beside) in [(LONG, 30, !small), (LONG, 110, false), ("Turn the nut.", 30, !small)] {
            let text = format!(
                "---\ntitle: Strain\ntried: 2026-01-02\n---\n1. Look.\n2. {words}\n\n   ![Where it goes](pin.svg)\n3. Look.\n"
            );
            let checked = printer::written_with(&text, vec![("pin.svg".to_string(), drawing(wide))]);
            let printed = printer::print(&checked, paper, true).remove(0);
            faults.extend(printed.breaches());
            let Some((across, down)) = offset(&printed) else {
                faults.push(format!("{paper}: no figure"));
                continue;
            };
            let above = if is_beside { 56.0 } else { 90.0 };
            if (across > 60.0) != is_beside || down > above {
                faults.push(format!(
                    "{paper}, {wide} mm, {words:?}: {across:.0} mm across, {down:.0} mm down"
                ));
            }
        }
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}
