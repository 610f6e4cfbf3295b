//! Sheets about a whole job that strain the layout, and the same with nothing on them.

use super::identity;
use benchleaf_core::cards::beside::{FormCard, FormReading, FormTorque, RecordForm};
use benchleaf_core::cards::card::{CardRef, Hold, Identity, Members, Timer};
use benchleaf_core::diff::leaf::{self, CardChanges, ChangeSheet, Replace, SetChanges, SharedRow};
use benchleaf_core::kit::leaf::{Against, Differences, Item, KitSheet, Needed, Row, Section};
use benchleaf_core::plan::data::Leg;
use benchleaf_core::plan::leaf::{BarRow, Overview, PlanSheet, SittingSheet, Span, Tick, WaitRow};
use benchleaf_core::reach::leaf::{ActRow, FluidRow, NewRow, ReachSheet, WearRow};
use benchleaf_core::record::data::*;
use benchleaf_core::record::leaf::RecordSheet;

/// A name that fills lines, with a word and a code that are wider than any column.
pub fn long_name(n: usize) -> String {
    let code = "X".repeat(60);
    format!("holder {n} of the Zwischenflanschdichtungsringhalterung 123456789012 {code}")
}

fn of_sheet(procedure: &str) -> Identity {
    Identity {
        procedure: procedure.into(),
        ..identity()
    }
}

/// What is kept of so many cards, each with so many places to measure; none at all without cards.
pub fn form(cards: usize, places: usize) -> RecordForm {
    let card = |n| FormCard {
        position: n,
        title: long_name(n),
        readings: vec![FormReading {
            id: "gap".into(),
            name: long_name(n),
            limit: "0.12 to 0.31 mm".into(),
            range: "".into(),
            unit: "mm".into(),
            places: (1..=places).map(long_name).collect(),
            steps: vec!["1.4".into()],
            span: None,
        }],
        torques: vec![FormTorque {
            id: "screws".into(),
            name: long_name(n),
            count: 24,
            figure: "20 N·m, then +90°".into(),
            steps: vec!["2.3".into(), "2.14".into()],
            span: None,
        }],
        timers: vec![Timer {
            id: "cure".into(),
            what: long_name(n),
            rule: "at-least".into(),
            span: "24 h".into(),
            dated: true,
            members: Members(vec![long_name(1), long_name(2)]),
            written: None,
        }],
        holds: vec![Hold {
            id: "look".into(),
            what: long_name(n),
            second_person: true,
            step: "2.4".into(),
            span: None,
        }],
    };
    RecordForm {
        identity: of_sheet("record"),
        cards: (1..=cards).map(card).collect(),
    }
}

fn cards(count: usize) -> Vec<CardRef> {
    let card = |n| CardRef {
        procedure: format!("card-{n}"),
        title: long_name(n),
        position: n,
        span: None,
    };
    (1..=count).map(card).collect()
}

/// A kit with so many lines in each section.
pub fn kit(lines: usize) -> KitSheet {
    let item = |n| Item {
        name: long_name(n),
        number: "AB-123456789012345678901234567890/REV-0000000000000001".into(),
        amount: "123456789012 mL".into(),
        detail: "green with a yellow stripe".into(),
        single_use: true,
        unit_price: "123456789012.50".into(),
        price: "123456789012.50".into(),
        needed: (1..=9)
            .map(|card| Needed {
                card,
                steps: vec!["12.10".into(), "12.11".into(), "12.12".into()],
            })
            .collect(),
    };
    let kinds = [
        "order",
        "inspect",
        "fasteners",
        "consumables",
        "tools",
        "gauges",
        "temporary",
    ];
    let section = |kind| Section {
        kind,
        lines: (0..lines).map(item).collect(),
    };
    KitSheet {
        identity: of_sheet("kit"),
        cards: cards(9),
        sections: kinds.into_iter().filter(|_| lines > 0).map(section).collect(),
        total: "123456789012.50 EUR".into(),
        not_needed: vec![],
        remarks: vec!["what they cost together isn't known".into(); lines.min(3)],
        against: None,
    }
}

/// What must come off, with so many rows of each sort.
pub fn reach(rows: usize) -> ReachSheet {
    let act = |n| ActRow {
        what: long_name(n).into(),
        count: n + 1,
        time: "123456 d 12 h 59 min".into(),
        at: "9: 12.12".into(),
    };
    let new = |n| NewRow {
        name: long_name(n),
        number: "AB-123456789012345678901234567890/REV-0000000000000001".into(),
        count: 2,
        price: "123456789012.50".into(),
    };
    let fluid = |n| FluidRow {
        name: long_name(n),
        amount: "123456789012 mL".into(),
    };
    let wear = |n| WearRow {
        name: long_name(n),
        price: "123456789012.50".into(),
        now: "12 more acts".into(),
        later: "123 acts, 123456 d 12 h 59 min, and 123 acts of unknown time".into(),
    };
    ReachSheet {
        identity: of_sheet("reach"),
        cards: cards(9),
        parts: (0..rows.min(2)).map(long_name).collect(),
        acts: (0..rows).map(act).collect(),
        stuck: String::new(),
        time: "123456 d 12 h 59 min".into(),
        tools: long_name(1).into(),
        new: (0..rows).map(new).collect(),
        total: "123456789012.50 EUR".into(),
        fluids: (0..rows).map(fluid).collect(),
        wear: (0..rows).map(wear).collect(),
        open: (0..rows.min(3)).map(long_name).collect(),
    }
}

/// Two kits with so many differences.
pub fn against(rows: usize) -> KitSheet {
    let row = |n| Row {
        name: long_name(n),
        left: "123456789012 mL".into(),
        right: "-".into(),
        left_price: "123456789012.50 EUR".into(),
        right_price: "".into(),
    };
    let differences = Differences {
        kind: "consumables",
        rows: (0..rows).map(row).collect(),
    };
    KitSheet {
        sections: vec![],
        against: Some(Against {
            left: vec!["an-option-of-some-length = a-value-of-some-length".into(); 4],
            right: vec![],
            sections: vec![differences].into_iter().filter(|d| !d.rows.is_empty()).collect(),
            left_total: "123456789012.50 EUR".into(),
            right_total: "".into(),
        }),
        ..kit(0)
    }
}

fn bar(n: usize, of: usize, wait: bool) -> BarRow {
    let share = |n: usize| n as f64 / of.max(1) as f64;
    BarRow {
        wait,
        card: if wait { 0 } else { n },
        what: long_name(n),
        from: if wait { String::new() } else { "1.1".into() },
        to: if wait { String::new() } else { "12.12".into() },
        length: "123456 d 12 h 59 min".into(),
        start: "2026-03-02 18:00".into(),
        end: "2026-03-02 18:00:30".into(),
        critical: n.is_multiple_of(2),
        left: share(n),
        right: share(n + 1),
        begun: wait,
        goes_on: wait,
    }
}

/// A plan of so many sittings with so many bars each.
pub fn plan(sittings: usize, bars: usize) -> PlanSheet {
    let ticks = |labels: usize| -> Vec<Tick> {
        let tick = |n: usize| Tick {
            at: n as f64 / labels as f64,
            label: if n.is_multiple_of(2) {
                "2026-03-03".into()
            } else {
                "18:30".into()
            },
        };
        (0..=labels).map(tick).collect()
    };
    let rows = || (0..bars).flat_map(|n| [bar(n, bars, false), bar(n, bars, true)]);
    let sitting = |n| SittingSheet {
        number: n,
        start: "2026-03-02 18:00".into(),
        end: "2026-03-02 18:00:30".into(),
        length: "123456 d 12 h 59 min".into(),
        right: 1.0,
        ticks: ticks(6),
        rows: rows().collect(),
    };
    let wait = |n| WaitRow {
        what: long_name(n),
        length: "123456 d 12 h 59 min".into(),
        start: "2026-03-02 18:00:30".into(),
        end: "+ 123456 d 12 h 59 min".into(),
        critical: true,
    };
    let leg = |n: usize| Leg {
        wait: n % 2 == 1,
        what: long_name(n).into(),
        length: "123456 d 12 h 59 min".into(),
    };
    let span = |n| Span {
        number: n,
        left: (n - 1) as f64 / sittings as f64,
        right: n as f64 / sittings as f64,
    };
    PlanSheet {
        identity: of_sheet("plan"),
        cards: cards(9),
        work: Vec::new(),
        hands_on: "123456 d 12 h".into(),
        elapsed: "123456 d 12 h".into(),
        sitting: "2 h".into(),
        every: "24 h".into(),
        unstated: 123_456_789_012,
        unstated_each: "2 min".into(),
        clock: true,
        overview: Overview {
            ticks: ticks(6),
            sittings: (1..=sittings).map(span).collect(),
            waits: (0..bars).map(|n| bar(n, bars, true)).collect(),
        },
        sittings: (1..=sittings).map(sitting).collect(),
        waits: (0..bars).map(wait).collect(),
        critical: (0..bars).map(leg).collect(),
        critical_length: "123456 d 12 h".into(),
        optimal: false,
        remarks: vec!["a block is longer than a sitting".into(); bars.min(3)],
    }
}

/// A record with so many rows of each sort.
pub fn record(rows: usize) -> RecordSheet {
    let verdicts = [
        Verdict::Pass,
        Verdict::Fail,
        Verdict::Missing,
        Verdict::Coarse,
        Verdict::Empty,
        Verdict::Deferred,
    ];
    let verdict = |n: usize| verdicts[n % verdicts.len()];
    let all = || 0..rows;
    let finding = |n: usize| LogFinding {
        kind: FindingKind::DeferredBadly,
        line: 123_456_789_012,
        message: format!("{} is 123456789012 mm, and the limit is less", long_name(n)).into(),
    };
    let deferral = |n: usize| Deferral {
        what: long_name(n),
        reason: "the gauge is away".into(),
        due: "2026-06-30".into(),
        from: "an-earlier-card".into(),
        done: if n.is_multiple_of(2) {
            String::new()
        } else {
            "A. Invented, 2026-05-04".into()
        },
    };
    let reading = |n: usize| Reading {
        id: format!("reading-{n}"),
        name: long_name(n),
        step: "12.12".into(),
        place: "upright, drive end".into(),
        limit: "123456789012.123–123456789012.456 mm".into(),
        range: "123456789012.123–123456789012.456 mm".into(),
        value: "123456789012.123 mm".into(),
        converted: "123456789012.456 mm".into(),
        working: "mean of (0.50 mm, 0.52 mm, 0.51 mm, 0.50 mm) + 0.04 mm = 0.548 mm".into(),
        verdict: verdict(n),
    };
    let torque = |n: usize| Tightened {
        id: format!("bolts-{n}"),
        name: long_name(n),
        step: "12.12".into(),
        of: u32::MAX,
        tightened: "4294967295".into(),
        figure: "20 N·m, 40 N·m, +90°, +90°".into(),
        tool: "T-123456789012".into(),
        verdict: verdict(n),
    };
    let timer = |n: usize| Timed {
        id: format!("timer-{n}"),
        what: long_name(n),
        rule: "at least 123456 d 12 h".into(),
        start: "2026-03-02T18:00:30".into(),
        end: "123456789012345678901234567890".into(),
        took: "123456 d 12 h 30 s".into(),
        verdict: verdict(n),
    };
    let hold = |n: usize| Signed {
        id: format!("hold-{n}"),
        what: long_name(n),
        step: "12.12".into(),
        by: "Somebody with a name of some length".into(),
        second: "Somebody else with a name of some length".into(),
        at: "2026-03-02T18:00:30".into(),
        verdict: verdict(n),
    };
    let serial = |n: usize| Serial {
        id: format!("part-{n}"),
        name: long_name(n),
        numbers: vec!["123456789012".into(), "123456789013".into()],
    };
    RecordSheet {
        identity: of_sheet("head"),
        card: String::new(),
        deviations: all().map(finding).collect(),
        told: all().take(3).map(finding).collect(),
        report: Report {
            set: "air-compressor".into(),
            set_title: String::new(),
            machine: if rows == 0 {
                String::new()
            } else {
                "Compressor pump VK-2".into()
            },
            procedure: "head".into(),
            title: String::new(),
            rev: String::new(),
            serial: if rows == 0 {
                String::new()
            } else {
                "123456789012".repeat(4)
            },
            by: String::new(),
            started: String::new(),
            finished: String::new(),
            fingerprint: String::new(),
            changed: rows > 0,
            choices: vec![],
            readings: all().map(reading).collect(),
            torques: all().map(torque).collect(),
            timers: all().map(timer).collect(),
            holds: all().map(hold).collect(),
            parts: all().map(serial).collect(),
            findings: vec![],
            deferred: all().map(deferral).collect(),
            carried: all().map(deferral).collect(),
            remarks: "Nothing else. ".repeat(rows),
            pass: rows == 0,
        },
    }
}

/// A change sheet with so many changes of each sort.
pub fn changes(rows: usize) -> ChangeSheet {
    let all = || 0..rows;
    let value = |n: usize| leaf::Row {
        kind: "value",
        subject: format!("torque “{}”", long_name(n)).into(),
        field: "torque".into(),
        old: "123456789012 N·m".into(),
        old_second: "123456789012 lbf·ft".into(),
        new: "123456789013 N·m".into(),
        new_second: "123456789013 lbf·ft".into(),
        ratio: "×123456789012".into(),
        note: "the figure stayed\nand the unit changed".into(),
        prose: false,
    };
    let words = |n: usize| leaf::Row {
        kind: "message-strengthened",
        // One that no leaf holds.
        old: "It can hurt somebody.\nIt did. "
            .repeat(if n == 1 { 90 } else { 1 })
            .into(),
        new: "It can hurt somebody badly in many ways.".into(),
        prose: true,
        ..value(n)
    };
    let shared = |change| SharedRow {
        cards: all().take(3).map(long_name).collect(),
        change,
    };
    let card = |n: usize| CardChanges {
        position: n + 1,
        title: long_name(n),
        procedure: "card".into(),
        fate: ["kept", "added", "removed"][n % 3],
        old_rev: "A".into(),
        new_rev: "B".into(),
        rev_not_raised: n.is_multiple_of(2),
        old_code: "WD47-9V4K".into(),
        new_code: "VXJ8-Z1XZ".into(),
        safety: true,
        changes: all().flat_map(|n| [value(n), words(n)]).collect(),
        same: all().map(|n| long_name(n).into()).collect(),
    };
    let replace = |n: usize| Replace {
        set_title: long_name(n),
        position: n + 1,
        title: long_name(n),
        act: ["replace", "print", "take-down"][n % 3],
        old_code: "WD47-9V4K".into(),
        new_code: "VXJ8-Z1XZ".into(),
        other_choices: n.is_multiple_of(2),
    };
    let set = |n: usize| SetChanges {
        id: format!("set-{n}"),
        title: long_name(n),
        fate: "kept",
        was: "old/folder".into(),
        reordered: all().map(long_name).collect(),
        shared: all().map(|n| shared(value(n))).collect(),
        cards: all().take(4).map(card).collect(),
    };
    ChangeSheet {
        identity: Identity {
            set: String::new(),
            set_title: String::new(),
            machine: String::new(),
            choices: vec![],
            rev: String::new(),
            date: String::new(),
            ..of_sheet("changes")
        },
        old: "v1 (3f2a91c)".into(),
        new: long_name(0),
        matters: rows > 0,
        changed: rows,
        added: 0,
        removed: 0,
        loud: all()
            .map(|n| {
                shared(leaf::Row {
                    kind: "message-dropped",
                    ..words(n)
                })
            })
            .collect(),
        replace: all().map(replace).collect(),
        sets: all().take(2).map(set).collect(),
        remarks: all().take(3).map(|n| long_name(n).into()).collect(),
    }
}
