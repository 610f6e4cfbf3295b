//! Where a picture stands: beside the words of its step on whole sheets, if it has room there as large as under them and takes less of the leaf.

use crate::harness::Outcome;
use crate::printer::{self, PAPERS, Printed};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    vec![Trial::test("print/a-picture-beside-its-step", beside)]
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
