//! A filled-in record, judged by a card that has a box of every kind.
#![no_main]

use benchleaf_core::record::{judge, read, text};
use benchleaf_fuzz::{SET, sound};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

const OPEN: &str = "---\ntitle: Open\nparts: {ring: {fitted: no}}\ntorques: {bolts: {torque: 9 N·m, lubrication: dry, count: 4}}\n\
    limits:\n  bore: {limit: 41.2..41.9 mm, where: [a, b]}\n  gap: {limit: max 0.4 mm, calc: max(bore) - 41.5 mm}\n\
    timers: {soak: {what: soak, at-least: 10 min}}\nholds: {seen: {what: seen}}\n---\n\n\
    1. Measure the [measure bore]. [start soak]\n2. Work out the [measure gap]. [end soak]\n3. Fit the [fit ring].\n4. Tighten the [torque bolts]. [hold seen]\n";

static CARD: LazyLock<benchleaf_core::Compilation> =
    LazyLock::new(|| sound(&[("set.yaml", SET), ("10-open.md", OPEN)]));

fuzz_target!(|source: &str| {
    let Ok(filled) = read(source) else { return };
    let (set, facts) = (&CARD.model.sets[0], &CARD.facts[0]);
    if let Ok(report) = judge(set, facts, &filled, &[], "") {
        let shown = text(&report);
        let verdicts = shown.lines().filter(|line| matches!(*line, "PASS" | "FAIL")).count();
        assert_eq!(verdicts, 1, "{shown}");
        assert_eq!(report.pass, !report.findings.iter().any(|f| f.kind.fails()));
    }
});
