//! Generated sets that say how their machine is built, for timing: procedures that use every tie and every mark, the same without them, and a
//! set with many options. All invented.

use std::fmt::Write;

/// A procedure; `@` is its number. What stands between « and » is left out where the set knows nothing of its machine, and what stands
/// between ‹ and › where it does.
const PROCEDURE: &str = "\
---
title: Job @
about: Generated for timing.
groups: {side-@: [left, right]}
«cases: {worn-@: The ring is grooved}
»states:
  gear-@: {name: gear lever, values: [in, out, loose], start: out, finish: out«, unsafe: [loose]»}
torques:
  screws-@: {name: cover screws, fastener: M6x1 8.8, count: 6, torque: 10 N·m ± 10 %, lubrication: dry«, secures: [cover-@]»}
  nut-@: {name: hub nut, count: 1, torque: 40 N·m ± 10 %, lubrication: oiled«, part: nuts-@, secures: [hub-@], lubricant: oil-@, to-tighten: [bar-@]»}
  flange-@: {name: flange screws, fastener: M6x1 8.8, count: 4, torque: 10 N·m ± 10 %, lubrication: dry}
limits:
  play-@: {name: play, limit: 0.05..0.15 mm, out: Turn the nut a little.«, needs: [hub-@]»}
  bore-@: {name: bore, limit: 30.00..30.08 mm, out: Order another.«, needs: [hub-@=off], each: side-@»}
parts:
  cover-@: {name: cover, number: C-@«, covers: [hub-@, nut-@, play-@, face-@]»}
  hub-@: {name: hub«, marked: yes, covers: [key-@], to-fit: [sleeve-@], to-remove: [bar-@]»}
  key-@: {name: key}
  nuts-@: {name: hub nut«, renew: yes, spares: 1»}
  gasket-@: {name: gasket«, renew: yes»}
  ring-@: {name: ring, number: R-@}
  clip-@: {name: clip«, secures: [ring-@]»}
  box-@: {name: box«, contains: [pin-@]»}
  pin-@: {name: pin}
  bracket-@: {name: bracket, reuse: no«, finish: off»}
  seal-@: {name: seal«, each: side-@»}
temporary:
  bar-@: {name: bar«, keeps: {gear-@: [in]}»}
  sleeve-@: {name: sleeve«, never-with: [nuts-@], unsafe: yes»}
consumables:
  oil-@: {name: Mineral oil, amount: 50 mL}
  sealant-@: {name: sealant, amount: 20 mL«, open: 20 min, cure: 2 h»}
«joints:
  face-@: {name: cover face, takes: [gasket-@], closed-by: screws-@}
  foot-@: {name: foot face, takes: [sealant-@], closed-by: flange-@}
»actions:
  fill-@: {name: Fill the oil«, needs: [face-@, foot-@, cover-@]»}
holds:
  seen-@: {what: The play is inside its limit«, needs: [play-@, nut-@]»}
---

# Off

1. Shift the lever in. [set gear-@=in]
1. Push the [fit bar-@] through the hub. [need gear-@=in]
1. Undo the [loosen screws-@].
1. Lift off the [remove cover-@]. [time 5 min]
1. Peel off the [remove gasket-@].
1. Measure the [measure play-@« as-found»].
1. Undo the [loosen nut-@] and run off the [remove nuts-@].
1. Dot the ‹hub›«[mark hub-@]» and its shaft.
1. Slide off the [remove hub-@]«. [need nut-@=loose]»‹.›
1. Pick out the [remove key-@].

# What lies behind

1. Lift out the [remove box-@].
1. Drive the [remove pin-@] out and the [fit pin-@] in.
1. Unbolt the [remove bracket-@], which stays off.

# Seals« [each side-@]»

1. Pull out the [remove seal-@].
1. Measure the [measure bore-@].
1. Press in the [fit seal-@].

# Between

- Wipe the face of the cover with a dry cloth.
- Look at the faces of the foot for marks.
- Set the [fit box-@] on its dowels.

# Ring

1. «[if worn-@] »Open the [remove clip-@], change the [remove ring-@] for [fit ring-@], and snap in the [fit clip-@].
1. Undo the [loosen flange-@].
1. Draw a bead of [use sealant-@ 5 mL« on foot-@»]. [time 3 min]
1. Tighten the [torque flange-@]. [time 5 min]
1. Let it set. «[wait sealant-@]»

# On

1. Lay in the [fit key-@].
1. Push on the [fit sleeve-@].
1. Slide on the [fit hub-@].
1. Pull the [remove sleeve-@].
1. Run on the [fit nuts-@].
1. Oil the thread with [use oil-@ 5 mL« on nut-@»].
1. Tighten the [torque nut-@].

# Shut

1. Measure the [measure play-@]. [label read-@]
1. «[if play-@ out] »Tap the shaft«. [repeat read-@]»‹.›
1. Stop here. [hold seen-@]
1. Lay on the [fit gasket-@].
1. Set on the [fit cover-@].
1. Tighten the [torque screws-@].
1. Pull out the [remove bar-@] and shift out. [set gear-@=out]
1. [do fill-@].
";

fn kept(text: &str, open: char, close: char, keep: bool) -> String {
    let mut out = String::new();
    let mut inside = false;
    for letter in text.chars() {
        match letter {
            _ if letter == open => inside = true,
            _ if letter == close => inside = false,
            _ if inside && !keep => {}
            _ => out.push(letter),
        }
    }
    out
}

/// So many procedures of one set; with what the set knows of its machine, or without a word of it.
pub fn procedures(count: usize, tied: bool) -> Vec<(String, String)> {
    let set = "machine: Generated machine (invented)\ntitle: Generated set\nrev: A\ndate: 2026-01-31\n";
    let mut files = vec![("set/set.yaml".to_string(), set.to_string())];
    let text = kept(&kept(PROCEDURE, '«', '»', tied), '‹', '›', !tied);
    let text = match tied {
        true => text,
        false => text.replace("groups: {side-@: [left, right]}\n", ""),
    };
    files.extend((0..count).map(|n| {
        // One after the other: cards in any order would be tried in each of their orders.
        let after = n
            .checked_sub(1)
            .map_or(String::new(), |before| format!("after: [job-{before}]\n"));
        let text = text.replace('@', &n.to_string());
        (
            format!("set/{n:04}-job-{n}.md"),
            text.replacen("about: ", &format!("{after}about: "), 1),
        )
    }));
    files
}

/// A set with so many options, all of which bear on one thing: each takes another cover off and sets it on again, and what comes after needs
/// all covers on and their screws tight.
pub fn options(count: usize) -> Vec<(String, String)> {
    let mut set = String::from("machine: Generated machine (invented)\ntitle: Generated set\noptions:\n");
    let (mut parts, mut torques, mut covers, mut steps) = (String::new(), String::new(), Vec::new(), String::new());
    for n in 0..count {
        let _ = writeln!(set, "  o{n}: {{values: [yes, no], default: yes}}");
        let _ = writeln!(
            parts,
            "  cover{n}: {{name: cover {n}, covers: [seal{n}]}}\n  seal{n}: {{name: seal {n}, renew: yes}}"
        );
        let _ = writeln!(
            torques,
            "  screws{n}: {{name: screws {n}, torque: 8 N·m, lubrication: dry, secures: [cover{n}]}}"
        );
        covers.push(format!("cover{n}, screws{n}, seal{n}"));
        let only = format!(" [only o{n}=yes]\n");
        let _ = write!(steps, "\n# Place {n}\n\n");
        for step in [
            format!("1. Undo the [loosen screws{n}]."),
            format!("1. Lift off the [remove cover{n}]."),
            format!("1. Pull out the [remove seal{n}]."),
            format!("1. Press in the [fit seal{n}]."),
            format!("1. Set on the [fit cover{n}]."),
            format!("1. Tighten the [torque screws{n}]."),
        ] {
            steps += &(step + &only);
        }
    }
    let _ = write!(
        set,
        "parts:\n{parts}torques:\n{torques}actions:\n  fill: {{name: Fill it, needs: [{}]}}\n",
        covers.join(", ")
    );
    let body = format!("---\ntitle: Job\n---\n\n{steps}\n# Fill\n\n1. [do fill].\n");
    vec![("set/set.yaml".to_string(), set), ("set/10-job.md".to_string(), body)]
}
