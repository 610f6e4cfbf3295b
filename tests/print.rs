//! The demo cards, printed and read back: every step numbered, every message before its step and on its leaf, every spec printed from
//! its register, the layout rules kept, what is carried in and out told, the same bytes every time.

mod by_hand;
mod carried;
mod counted;
mod edits;
mod fuzzed;
mod german;
mod glyphs;
mod heard;
mod layout;
mod leaves;
mod meaning;
mod pictures;
mod reader;
mod sheets;
mod strain;
mod wrench;

/// The cases that the core's suite works out again.
#[allow(dead_code, reason = "the core's suite uses all of it")]
#[path = "wrench/again.rs"]
mod again;

use crate::harness::Outcome;
use crate::printer::{self, PAPERS, Printed, card::Signal, card::Spec, card::Step, squeezed};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    // The longest first, so that none of them is left to one thread at the end.
    let mut trials = wrench::trials();
    for (paper, width, height) in PAPERS {
        trials.push(Trial::test(format!("print/demo-on-{paper}"), move || {
            let look = |printed: &Printed| {
                let mut found = read_back(printed);
                found.extend(layout::look(printed, width, height));
                found.extend(carried::look(printed));
                found
            };
            complaints(printer::demo_cards(paper).iter().flat_map(look).collect())
        }));
    }
    trials.push(Trial::test("print/demo-without-colour", || {
        complaints(
            printer::print(&printer::demo(), "a4", false)
                .iter()
                .flat_map(read_back)
                .collect(),
        )
    }));
    trials.push(Trial::test("print/same-bytes-twice", || {
        let (once, again) = (printer::demo_cards("a4"), printer::print(&printer::demo(), "a4", true));
        if once.len() != again.len() {
            return Err("another number of cards".into());
        }
        let differ = once.iter().zip(&again).filter(|(a, b)| a.pdf != b.pdf);
        complaints(
            differ
                .map(|(a, _)| format!("{} differs", a.data.identity.procedure))
                .collect(),
        )
    }));
    trials.push(by_hand::trial());
    trials.extend(counted::trials());
    trials.extend(fuzzed::trials());
    trials.extend(german::trials());
    trials.extend(glyphs::trials());
    trials.push(Trial::test("print/boxes-are-heard", heard::trial));
    trials.extend(leaves::trials());
    trials.extend(meaning::trials());
    trials.extend(pictures::trials());
    trials.extend(reader::trials());
    trials.extend(sheets::trials());
    trials.extend(strain::trials());
    trials
}

fn complaints(found: Vec<String>) -> Outcome {
    if found.is_empty() {
        Ok(())
    } else {
        Err(found.join("\n").into())
    }
}

/// What a reader misses on a card.
fn read_back(printed: &Printed) -> Vec<String> {
    let name = &printed.data.identity.procedure;
    let leaves = match printed.texts() {
        Ok(leaves) => leaves,
        Err(fault) => return vec![format!("{name}: {fault}")],
    };
    let mut found = printed.breaches();
    if leaves.len() != printed.leaves.len() {
        found.push(format!("{} pages, {} leaves", leaves.len(), printed.leaves.len()));
    }
    for (n, leaf) in leaves.iter().enumerate() {
        for words in [
            squeezed(&printed.data.identity.title.english()),
            format!("Leaf{}of{}", n + 1, leaves.len()),
        ] {
            if !leaf.contains(&words) {
                found.push(format!("leaf {} doesn't say {words}", n + 1));
            }
        }
    }
    found.extend(steps(printed, &leaves));
    match printed.catalogue() {
        Ok(catalogue) => {
            for key in ["Lang", "MarkInfo", "StructTreeRoot", "Metadata", "ViewerPreferences"] {
                if !catalogue.has(key.as_bytes()) {
                    found.push(format!("the document has no {key}"));
                }
            }
        }
        Err(fault) => found.push(fault),
    }
    found.into_iter().map(|fault| format!("{name}: {fault}")).collect()
}

/// Steps in order, each with its messages before it on the same leaf and its specs after its number, and before the next one's.
fn steps(printed: &Printed, leaves: &[String]) -> Vec<String> {
    let mut found = Vec::new();
    // Leaf and place in it up to which everything has been found.
    let mut leaf = 0;
    let mut places: Vec<(&Step, usize, usize)> = Vec::new();
    for step in printed.data.phases.iter().flat_map(|p| &p.runs).flat_map(|r| &r.steps) {
        let text = step.text.iter().map(words).collect::<String>();
        let start: String = squeezed(&text).chars().take(12).collect();
        let place = |n: usize| beginning(&leaves[n], step, &start).map(|place| (n, place));
        let Some((at, place)) = (leaf..leaves.len()).find_map(place) else {
            found.push(format!("step {} is not printed after the one before it", step.number));
            continue;
        };
        leaf = at;
        for message in &step.messages {
            // A note is a line of text, the others have a panel for their word.
            let colon = if message.signal == Signal::Note { ":" } else { "" };
            let words = format!("{}{colon}{}", message.signal.word(), squeezed(&prose(&message.hazard)));
            let start: String = words.chars().take(20).collect();
            if !leaves[leaf][..place].contains(&start) {
                found.push(format!(
                    "\"{start}\" does not stand before step {} on its leaf",
                    step.number
                ));
            }
        }
        places.push((step, leaf, place));
    }
    for (n, (step, leaf, place)) in places.iter().enumerate() {
        // Stages may stand overleaf.
        let (last, end) = match places.get(n + 1) {
            // Two steps may begin with the same words.
            Some((_, last, end)) if (last, end) > (leaf, place) => (*last, *end),
            Some(_) => (*leaf, leaves[*leaf].len()),
            None => (leaves.len() - 1, leaves[leaves.len() - 1].len()),
        };
        let from = |n: usize| if n == *leaf { *place } else { 0 };
        let to = |n: usize| if n == last { end } else { leaves[n].len() };
        let after: String = (*leaf..=last).map(|n| &leaves[n][from(n)..to(n)]).collect();
        for figure in step.specs.iter().flat_map(figures) {
            if !after.contains(&squeezed(&figure)) {
                found.push(format!("step {} does not print {figure}", step.number));
            }
        }
    }
    found
}

/// Where a step stands on a leaf: its number, what must hold first, its sentence.
fn beginning(leaf: &str, step: &Step, start: &str) -> Option<usize> {
    let mut first: Vec<String> = Vec::new();
    for spec in &step.specs {
        match spec {
            Spec::Need { state, value, .. } => first.extend([state.clone(), value.english()]),
            Spec::Do {
                name: _,
                needs,
                never_with,
                note,
                span: _,
            } => {
                first.extend(needs.iter().map(|need| need.english()));
                first.extend(never_with.clone());
                first.push(note.clone());
            }
            _ => {}
        }
    }
    first.retain(|words| !words.is_empty());
    let first: Vec<String> = first.iter().map(|words| squeezed(words)).collect();
    let own = first.iter().map(String::len).sum::<usize>();
    leaf.match_indices(&step.number).map(|(place, _)| place).find(|place| {
        let rest = &leaf[place + step.number.len()..];
        let Some((before, _)) = rest.split_once(start) else {
            return false;
        };
        // Besides them only the words that lead them in.
        let lead = "Mustbe:Onlywith;neverwith".len() * first.len().min(4);
        before.len() <= own + lead && first.iter().all(|words| before.contains(words))
    })
}

/// The figures a spec must print.
fn figures(spec: &Spec) -> Vec<String> {
    match spec {
        Spec::Torque(torque) => torque
            .stages
            .iter()
            .flat_map(|s| {
                // A wrench that is set in the second unit says it.
                let plain = |words: &str| words.replace(".0 ", " ");
                let set = plain(&s.setting) == plain(&s.second.english());
                let second = if set { s.setting.to_string() } else { s.second.english() };
                [s.figure.to_string(), second]
            })
            .collect(),
        Spec::Measure(measure) => {
            let before = |line: String| line.split("____").next().map(str::to_string);
            let working = measure.working.iter().filter_map(|line| before(line.english()));
            [measure.limit.to_string(), measure.second.english()]
                .into_iter()
                .chain(working)
                .collect()
        }
        Spec::TimerStart(timer) => vec![timer.span.to_string()],
        _ => Vec::new(),
    }
}

fn words(block: &printer::card::Block) -> String {
    match block {
        printer::card::Block::Paragraph { text, .. } => prose(text),
        _ => String::new(),
    }
}

fn prose(text: &[printer::card::Inline]) -> String {
    use printer::card::Inline;
    let word = |inline: &Inline| match inline {
        Inline::Text { text } | Inline::Code { text } | Inline::Name { text } => text.clone(),
        Inline::Pointer { text, .. } | Inline::Said { text } => text.english(),
        Inline::Strong { text } | Inline::Emphasis { text } | Inline::Link { text, .. } => prose(text),
        Inline::Break => String::new(),
    };
    text.iter().map(word).collect()
}
