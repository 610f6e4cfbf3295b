//! What the targets share: files made of bytes, and what must hold of whatever comes of them.

use benchleaf_core::cards::Deck;
use benchleaf_core::model::Choices;
use benchleaf_core::report::{json, sarif};
use benchleaf_core::source::FileSet;
use benchleaf_core::{Compilation, compile, fingerprint};

/// The set's own file where a target makes another one.
pub const SET: &str = "machine: Invented pump\ntitle: Pump\n";

/// Compiles texts and asks for everything that is made of them: findings for programs, and the card of each procedure that can be printed.
pub fn sound(texts: &[(&str, &str)]) -> Compilation {
    let files = FileSet::from_texts(texts.iter().copied());
    let compilation = compile(&files);
    for finding in &compilation.findings {
        let span = finding.primary.span;
        let text = &files.get(span.file).text;
        assert!(
            text.get(span.start as usize..span.end as usize).is_some(),
            "{} is told at a place that is none",
            finding.rule.code
        );
        assert!(
            !finding.message.contains('\n'),
            "{} is told in several lines",
            finding.rule.code
        );
        assert!(json::render(&files, finding).ends_with('\n'));
    }
    assert!(!sarif::render(&files, &compilation.findings).is_empty());
    for (set, facts) in compilation.model.sets.iter().zip(&compilation.facts) {
        if compilation.blocks(&files, set) {
            continue;
        }
        let choices = Choices::defaults(&set.catalogue);
        let deck = Deck::new(&files, set, facts, &choices);
        for position in 0..set.procedures.len() {
            let card = deck.card(position);
            // The same card has the same code every time.
            assert_eq!(
                fingerprint::code(&card).to_string(),
                fingerprint::code(&deck.card(position)).to_string()
            );
        }
    }
    compilation
}

/// Pieces that mean something to one of the readers. A byte of the input chooses one, so that half of what is made gets past the first checks.
pub const PIECES: [&str; 64] = [
    "---\n",
    "title: Open\n",
    "parts:\n",
    "  lid: {name: lid, qty: 2}\n",
    "  old: {reuse: no}\n",
    "  new: {fitted: no, replaces: old}\n",
    "temporary:\n",
    "  lock: isolator lock\n",
    "consumables:\n",
    "  glue: {amount: 50 mL, open: 12 min, cure: 2 h, hazards: [GHS02]}\n",
    "tools:\n",
    "  wrench: {kind: torque-wrench, range: 5..25 N·m, step: 0.5 N·m, accuracy: ± 4 %}\n",
    "torques:\n",
    "  bolts: {fastener: M6 8.8, torque: 9 N·m, count: 4, lubrication: dry, pattern: ring}\n",
    "  rod: {stages: [20 N·m, +90°]}\n",
    "limits:\n",
    "  bore: {limit: 41.2..41.9 mm, where: {rows: [a, b], columns: [x, y]}}\n",
    "  gap: {limit: max 0.4 mm, calc: max(bore) - 41 mm}\n",
    "states:\n",
    "  valve: {values: [open, shut], start: open, finish: open}\n",
    "actions:\n",
    "  turn: {needs: {valve: shut}, never-with: [lock]}\n",
    "timers:\n",
    "  soak: {what: soak, at-least: 10 min}\n",
    "  window: {within: 12 min}\n",
    "holds:\n",
    "  seen: {what: seen, second-person: yes}\n",
    "options:\n",
    "  seals: {what: Seals, values: {renew: They are old, keep: They are new}, default: renew}\n",
    "patterns:\n",
    "  ring: {circle: {count: 4, diameter: 80 mm}, passes: [50 %, 100 %]}\n",
    "after: [open]\n",
    "\n",
    "1. Look.\n",
    "1. Undo the [loosen bolts] and take off the [remove lid].\n",
    "2. Tighten the [torque bolts].\n",
    "- Fit the [fit lid].\n",
    "   1. Run in the [snug bolts].\n",
    "# Close [only seals=renew]\n",
    "> [!WARNING] Stored pressure\n> It bursts.\n> Avoid: vent it.\n",
    "[only seals=keep] ",
    "[need valve=shut] ",
    "[set valve=shut] ",
    "[do turn] ",
    "[start soak] ",
    "[end soak] ",
    "[start window] ",
    "[end window] ",
    "[hold seen] ",
    "[measure bore] ",
    "[measure gap] ",
    "[use glue 5 mL] ",
    "[use wrench] ",
    "[fit lock] ",
    "[remove lock] ",
    "[label here] ",
    "[step here] ",
    "[see open] ",
    "[time 3 min] ",
    "**a** ",
    "\t",
    "\u{a0}",
    "{",
    "]",
];

/// A text: a byte below 64 stands for a piece, two others for a character of their own.
pub fn text(bytes: &[u8]) -> String {
    let mut out = String::new();
    for byte in bytes {
        match PIECES.get(usize::from(*byte)) {
            Some(piece) => out.push_str(piece),
            None => out.push(char::from(*byte & 0x7f)),
        }
    }
    out
}
