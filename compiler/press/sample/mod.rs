//! Cards for the tests of this phase, and the parts they are made of. All data is invented.

mod cards;
pub mod sheets;

use benchleaf_core::cards::card::*;

pub use cards::{full, long, stress, tiny};

/// Plain text as inlines.
pub fn text(text: &str) -> Vec<Inline> {
    vec![Inline::Text { text: text.into() }]
}

/// Text in which `*…*` is a name from a register.
pub fn para(source: &str) -> Vec<Block> {
    let inlines = source.split('*').enumerate().map(|(n, part)| match n % 2 {
        0 => Inline::Text { text: part.into() },
        _ => Inline::Name { text: part.into() },
    });
    vec![Block::Paragraph {
        text: inlines.collect(),
        span: None,
    }]
}

/// A safety message.
pub fn message(signal: Signal, hazard: &str, consequence: &str, avoid: &str) -> Message {
    let blocks = |s: &str| if s.is_empty() { vec![] } else { para(s) };
    Message {
        signal,
        hazard: text(hazard),
        consequence: blocks(consequence),
        avoid: blocks(avoid),
        span: None,
    }
}

/// A bare step.
pub fn step(number: &str, text: &str) -> Step {
    Step {
        number: number.into(),
        messages: vec![],
        text: para(text),
        specs: vec![],
        substeps: vec![],
        members: Members::default(),
        time: "".into(),
        holds: vec![],
        changed: false,
        safe_stop: true,
        open: vec![],
        span: None,
    }
}

/// A phase with one run of ordered steps.
pub fn phase(number: usize, title: &str, steps: Vec<Step>) -> Phase {
    let count = |how, name: &str, count| Count {
        how,
        name: name.into(),
        count,
    };
    let end = PhaseEnd {
        count: steps.len(),
        counted: Counted(vec![
            count(How::On, "head gasket", 1),
            count(How::Tight, "head bolts", 6),
            count(How::Off, "guide studs", 2),
        ]),
    };
    Phase {
        number,
        title: text(title),
        messages: vec![],
        intro: vec![],
        runs: vec![Run {
            any_order: false,
            steps,
        }],
        end: if end.count > 1 { end } else { PhaseEnd::default() },
        span: None,
    }
}

/// A stage whose boxes stand for themselves.
pub fn stage(figure: &str, second: &str, boxes: usize) -> Stage {
    Stage {
        figure: figure.into(),
        second: second.into(),
        boxes,
        members: Members::default(),
        passes: vec![],
        setting: "".into(),
        setting_note: "".into(),
    }
}

/// A pass of a stage.
pub fn pass(share: &str, figure: &str, setting: &str, note: &str) -> Pass {
    Pass {
        share: share.into(),
        figure: figure.into(),
        setting: setting.into(),
        note: note.into(),
        boxes: 1,
        members: Members::default(),
    }
}

/// A tightening spec.
pub fn torque(name: &str, fastener: &str, count: usize, stages: Vec<Stage>) -> Torque {
    Torque {
        id: name.replace(' ', "-"),
        name: name.into(),
        fastener: fastener.into(),
        count,
        stages,
        tolerance: "± 10 %".into(),
        lubrication: "threads oiled, face dry".into(),
        into: "".into(),
        adapter: "".into(),
        pattern: String::new(),
        pattern_name: String::new(),
        tool: "3/8 in torque wrench, 5 to 60 N·m".into(),
        single_use: false,
        left_hand: false,
        thread: Further("thread clean and dry, blind hole".into()),
        again: Further("tighten once more after 24 h".into()),
        note: String::new(),
        steps: vec!["2.3".into()],
        changed: false,
        span: None,
    }
}

/// A measurement in one unnamed place.
pub fn measurement(name: &str, limit: &str, unit: &str) -> Measurement {
    Measurement {
        id: name.replace(' ', "-"),
        name: name.into(),
        limit: limit.into(),
        second: "".into(),
        range: "".into(),
        unit: unit.into(),
        gauge: "dial indicator 0.01 mm".into(),
        rows: vec![],
        columns: vec![],
        members: Members::default(),
        record: false,
        out: Further("if out: take the next shim and measure once more".into()),
        calc: "".into(),
        working: vec![],
        note: String::new(),
        steps: vec![StepAt::here("1.4".parse().unwrap())],
        changed: false,
        span: None,
    }
}

/// A row of the kit list.
pub fn kit(name: &str, amount: &str, detail: &str, steps: &[&str]) -> KitRow {
    KitRow {
        id: name.replace(' ', "-"),
        name: name.into(),
        amount: amount.into(),
        detail: detail.into(),
        single_use: false,
        ghs: vec![],
        steps: steps.iter().map(|s| s.to_string()).collect(),
        span: None,
    }
}

/// A pattern of six bolts, two rows of three, in an order from the middle outwards.
pub fn head_pattern() -> Pattern {
    let at = [
        (60.0, 0.0),
        (60.0, 80.0),
        (0.0, 80.0),
        (120.0, 0.0),
        (0.0, 0.0),
        (120.0, 80.0),
    ];
    Pattern {
        id: "head".into(),
        name: "head bolts".into(),
        positions: at
            .iter()
            .enumerate()
            .map(|(n, (x, y))| Position {
                order: n + 1,
                x_mm: *x,
                y_mm: *y,
            })
            .collect(),
        passes: vec!["30 %".into(), "70 %".into(), "100 %".into()],
        landmarks: Landmarks(vec![Landmark {
            side: "right".into(),
            what: "toward the flywheel".into(),
        }]),
        span: None,
    }
}

/// A circle of `count` bolts in a star order.
pub fn circle_pattern(count: usize, diameter: f64) -> Pattern {
    let angle = |n: usize| (n as f64) / (count as f64) * std::f64::consts::TAU;
    let positions = (0..count).map(|n| Position {
        order: (n * 5) % count + 1,
        x_mm: diameter / 2.0 * angle(n).cos(),
        y_mm: diameter / 2.0 * angle(n).sin(),
    });
    Pattern {
        id: "flange".into(),
        name: "flange".into(),
        positions: positions.collect(),
        passes: vec![],
        landmarks: Landmarks::default(),
        span: None,
    }
}

/// Who the sample card is.
pub fn identity() -> Identity {
    Identity {
        set: "air-compressor".into(),
        set_title: "Two-cylinder workshop air compressor".into(),
        machine: "Compressor pump VK-2".into(),
        procedure: "head".into(),
        title: "Fit the valve plate and cylinder head".into(),
        position: 4,
        of: 6,
        rev: "C".into(),
        date: "2026-11-02".into(),
        source: "Invented maker's sheet VK-2, issue 3".into(),
        draft: true,
        choices: choices().iter().map(Chosen::from).collect(),
        language: "en".into(),
        paper: "a4".into(),
        uncommitted: false,
    }
}

/// What the sample card was printed for.
pub fn choices() -> Vec<Choice> {
    vec![
        Choice {
            option: "gasket".into(),
            what: "Head gasket".into(),
            value: "renew".into(),
            why: "any trace of blow-by".into(),
            default: true,
            span: None,
        },
        Choice {
            option: "valves".into(),
            what: "Reed valves".into(),
            value: "keep".into(),
            why: String::new(),
            default: false,
            span: None,
        },
    ]
}
