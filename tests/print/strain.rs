//! Procedures that strain the layout, from text to paper, on all four papers, in colour and without: each must be read back whole and break no
//! layout rule.

use super::{complaints, layout, read_back};
use crate::printer::{self, PAPERS, Printed};
use libtest_mimic::Trial;
use std::fmt::Write;

/// A procedure's registers and its body.
type Source = fn() -> (String, String);

pub fn trials() -> Vec<Trial> {
    let sources: [(&str, Source); 7] = [
        ("one-step", one_step),
        ("300-steps", three_hundred_steps),
        ("long-words", long_words),
        ("nine-options", nine_options),
        ("forty-messages", forty_messages),
        ("sixty-torques", sixty_torques),
        ("large-circles", large_circles),
    ];
    let trial = |(name, source): (&'static str, Source)| {
        Trial::test(format!("print/strain-{name}"), move || {
            let (registers, body) = source();
            let checked = printer::procedure(&registers, &body);
            let mut found: Vec<String> = Vec::new();
            if checked.compilation.has_errors() {
                found.push(checked.human());
            }
            for (paper, width, height) in PAPERS {
                for colour in [true, false] {
                    for printed in printer::print(&checked, paper, colour) {
                        let mut faults = read_back(&printed);
                        // No leaf holds forty messages: there, it is enough that all are printed, and before the step.
                        if name == "forty-messages" {
                            // It is told, and nothing would be written.
                            let told = faults
                                .iter()
                                .filter(|fault| fault.contains("with its messages"))
                                .count();
                            faults.retain(|fault| {
                                !fault.contains("does not stand before") && !fault.contains("with its messages")
                            });
                            if told != 1 {
                                faults.push(format!("told {told} times that the messages don't fit"));
                            }
                            faults.extend(messages_before(&printed));
                        }
                        faults.extend(layout::look(&printed, width, height));
                        found.extend(faults.into_iter().map(|fault| format!("{paper}: {fault}")));
                    }
                }
            }
            found.truncate(20);
            complaints(found)
        })
    };
    sources.into_iter().map(trial).collect()
}

fn messages_before(printed: &Printed) -> Vec<String> {
    let text = printed.texts().unwrap_or_default().concat();
    let step = text.find("1.1Rest.").unwrap_or(0);
    let missing = (0..40)
        .map(|n| format!("Hazard{n}Ithurts"))
        .filter(|words| !text[..step].contains(words.as_str()));
    missing.map(|words| format!("{words} does not come first")).collect()
}

fn one_step() -> (String, String) {
    (String::new(), "1. Look at it.\n".to_string())
}

fn three_hundred_steps() -> (String, String) {
    let mut body = String::new();
    for phase in 1..=30 {
        let _ = writeln!(body, "# Part {phase}\n");
        for step in 1..=10 {
            let _ = writeln!(
                body,
                "{step}. Turn ring {phase} to mark {step} and lock it with the pin."
            );
        }
        body.push('\n');
    }
    (String::new(), body)
}

fn long_words() -> (String, String) {
    let registers = "parts:\n  ring:\n    name: Zwischenflanschdichtungsringhalterung\n    number: '123456789012'\n    fitted: yes\n    reuse: no\n";
    let body = "# Kurbelgehäuseentlüftungsventildeckel, côté Žďár\n\n\
        1. Take the Donaudampfschifffahrtsgesellschaftskapitänsmütze off, naïvement.\n\
        2. Take part 123456789012 off: [remove ring].\n\
        3. Read the plate ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ.\n\
        4. Łódź, Ærø, Ελλάδα: read these as well.\n";
    (registers.to_string(), body.to_string())
}

fn nine_options() -> (String, String) {
    let mut registers = "options:\n".to_string();
    let mut body = "# Choose\n\n".to_string();
    for n in 1..=9 {
        let _ = writeln!(
            registers,
            "  option-{n}:\n    what: which of two ways to do part {n}\n    values:\n      \
             the-first-way: it is quick\n      the-second-way: it is sure\n    default: the-first-way"
        );
        let _ = writeln!(
            body,
            "{}. [only option-{n}=the-first-way] Do part {n} quickly.",
            2 * n - 1
        );
        let _ = writeln!(body, "{}. [only option-{n}=the-second-way] Do part {n} surely.", 2 * n);
    }
    (registers, body)
}

fn forty_messages() -> (String, String) {
    let mut body = "# Strain\n\n1. Rest.\n".to_string();
    for n in 0..40 {
        let level = if n < 20 { "WARNING" } else { "CAUTION" };
        let _ = writeln!(
            body,
            "\n   > [!{level}] Hazard {n}\n   > It hurts somebody badly in many ways.\n   > Avoid: keep away from it."
        );
    }
    body.push_str("\n2. Do it.\n3. Rest again.\n");
    (String::new(), body)
}

fn sixty_torques() -> (String, String) {
    let mut registers = "torques:\n".to_string();
    let mut body = String::new();
    for n in 0..60 {
        let _ = writeln!(
            registers,
            "  screw-{n}:\n    name: screw {n} of the intermediate flange, part 123456789012\n    fastener: M8x1.25 8.8\n    count: 4\n    \
             torque: {} N·m\n    tolerance: ± 10 %\n    lubrication: dry",
            15 + n % 8
        );
        if n % 10 == 0 {
            let _ = writeln!(body, "\n# Ring {}\n", n / 10 + 1);
        }
        let _ = writeln!(body, "{}. Tighten the [torque screw-{n}].", n % 10 + 1);
    }
    (registers, body)
}

/// Circles in stages of which no half sheet holds drawing and boxes, nor a drawing beside anything.
fn large_circles() -> (String, String) {
    let mut registers = String::new();
    let mut body = "# Strain\n\n".to_string();
    let mut circles = String::new();
    for (n, (count, stages)) in [(24, 5), (36, 5), (32, 1), (44, 3)].into_iter().enumerate() {
        let stages: Vec<String> = (0..stages).map(|stage| format!("{} N·m", 60 + 8 * stage)).collect();
        let _ = writeln!(
            registers,
            "  ring-{n}:\n    name: ring bolts {n}\n    fastener: M12x1.75 10.9\n    count: {count}\n    stages: [{}]\n    \
             tolerance: ± 10 %\n    lubrication: oiled\n    pattern: circle-{n}",
            stages.join(", ")
        );
        let _ = writeln!(
            circles,
            "  circle-{n}: {{circle: {{count: {count}, diameter: 620 mm}}, order: computed}}"
        );
        let _ = writeln!(body, "{}. Tighten the [torque ring-{n}].", n + 1);
    }
    (format!("torques:\n{registers}patterns:\n{circles}"), body)
}
