//! The cards: one that uses everything, and some that strain the layout.

use super::*;

/// The smallest card: one step.
pub fn tiny() -> Card {
    Card {
        identity: identity(),
        cover: Cover {
            about: para("One step."),
            choices: choices(),
            after: vec![],
            worst: None,
            hazards: vec![],
            messages: vec![],
            parts: vec![],
            temporary: vec![],
            consumables: vec![],
            tools: vec![],
            hands_on: "".into(),
            timed: 0,
            timers: vec![],
            changed_since: String::new(),
            changes: vec![],
            left_out: vec![],
            steps: 1,
        },
        carried_in: Standing::default(),
        carried_out: Standing::default(),
        phases: vec![phase(1, "Look", vec![step("1.1", "Look at it.")])],
        torques: vec![],
        measurements: vec![],
        patterns: vec![],
        holds: vec![],
    }
}

fn cover() -> Cover {
    let mut thread_lock = kit("Threadlocker, medium", "2 drops", "12 min open, 24 h cure", &["2.4"]);
    thread_lock.ghs = vec!["GHS07".into()];
    let mut cleaner = kit("Brake cleaner", "50 mL", "", &["1.1", "1.2"]);
    cleaner.ghs = vec!["GHS02".into(), "GHS07".into()];
    let mut gasket = kit("Head gasket", "1", "900-114-220-007", &["2.1"]);
    gasket.single_use = true;
    Cover {
        about: para("Puts the valve plate and the head back on the crankcase after the strip and the measuring."),
        choices: choices(),
        after: vec![CardRef {
            procedure: "measure".into(),
            title: "Measure bores and pistons".into(),
            position: 3,
            span: None,
        }],
        worst: Some(Signal::Warning),
        hazards: vec![
            HazardRow {
                signal: Signal::Warning,
                hazard: "Stored air pressure".into(),
                at: vec!["1.1".into()],
                span: None,
            },
            HazardRow {
                signal: Signal::Warning,
                hazard: "Flammable vapour".into(),
                at: vec!["1.2".into()],
                span: None,
            },
            HazardRow {
                signal: Signal::Caution,
                hazard: "Sharp edges on the reeds".into(),
                at: vec![],
                span: None,
            },
            HazardRow {
                signal: Signal::Notice,
                hazard: "Scored sealing face".into(),
                at: vec!["2.1".into()],
                span: None,
            },
        ],
        messages: vec![message(
            Signal::Caution,
            "Sharp edges on the reeds",
            "Valve reeds cut fingers.",
            "wear thin gloves and hold the reeds by their ends.",
        )],
        parts: vec![gasket, kit("Head bolt", "6", "M8x1.25 8.8, 55 mm", &["2.2", "2.3"])],
        temporary: vec![kit("Guide studs", "2", "red tag", &["2.1", "2.4"])],
        consumables: vec![cleaner, thread_lock],
        tools: vec![
            kit("3/8 in torque wrench", "", "5 to 60 N·m, ± 4 %", &["2.3"]),
            kit("Straight edge and feelers", "", "0.03 to 0.5 mm", &["1.3"]),
        ],
        hands_on: "1 h 25 min".into(),
        timed: 4,
        timers: vec![timer()],
        changed_since: String::new(),
        changes: vec![],
        left_out: vec![LeftOut {
            number: "1.5".into(),
            only: "valves = renew".into(),
            missed: "1.4".into(),
            span: None,
        }],
        steps: 9,
    }
}

fn timer() -> Timer {
    Timer {
        id: "joint".into(),
        what: "sealant open time".into(),
        rule: "within".into(),
        span: "10 min".into(),
        dated: false,
        members: Members::default(),
        written: None,
    }
}

/// A card that uses every kind of thing.
pub fn full() -> Card {
    let mut head_bolts = torque(
        "head bolts",
        "M8x1.25 8.8",
        6,
        vec![stage("20 N·m", "15 lbf·ft", 3), stage("+90°", "", 1)],
    );
    head_bolts.stages[0].passes = vec![
        pass("30 %", "6.0 N·m", "4.5 lbf·ft", ""),
        pass("70 %", "14 N·m", "10 lbf·ft", "nearest mark, 3 % under"),
        pass("100 %", "20 N·m", "15 lbf·ft", ""),
    ];
    head_bolts.stages[0].setting = "15 lbf·ft".into();
    head_bolts.pattern = "head".into();
    let mut cover_screws = torque("cover screws", "M6x1 8.8", 4, vec![stage("9 N·m", "80 lbf·in", 1)]);
    cover_screws.stages[0].setting = "80 lbf·in".into();
    cover_screws.stages[0].setting_note = "nearest mark, 1 % over".into();
    cover_screws.lubrication = "dry".into();
    cover_screws.steps = vec!["2.4".into()];

    let mut flatness = measurement("Flatness of the head", "max 0.05 mm", "mm");
    flatness.second = "max 0.0019 in".into();
    flatness.rows = ["left", "middle", "right", "front to back"].map(String::from).to_vec();
    flatness.record = true;
    let mut bores = measurement("Cylinder bore", "65 H7", "mm");
    bores.range = "65.000 to 65.030 mm".into();
    bores.rows = vec!["cylinder 1".into(), "cylinder 2".into()];
    bores.columns = vec!["top".into(), "middle".into(), "bottom".into()];
    let gap = measurement("Reed gap", "0.20 ± 0.02 mm", "mm");

    let hold = Hold {
        id: "square".into(),
        what: "Both faces clean, dry and within 0.05 mm; gasket not yet unwrapped.".into(),
        second_person: true,
        step: "1.4".into(),
        span: None,
    };

    let mut clean = step(
        "1.1",
        "Vent the receiver until the gauge reads *0 bar*, then lock the valve open.",
    );
    clean.messages = vec![
        message(
            Signal::Warning,
            "Stored air pressure",
            "The head lifts off and can break bones.",
            "vent the receiver and hang the lock before the first bolt is touched.",
        ),
        message(Signal::Note, "", "The gauge sticks below 0.2 bar: tap it.", ""),
    ];
    clean.specs = vec![
        Spec::Need {
            state: "supply".into(),
            value: "locked out".into(),
            span: None,
        },
        Spec::Set {
            state: "receiver".into(),
            value: "vented".into(),
            span: None,
        },
    ];
    clean.time = "10 min".into();
    let mut wipe = step(
        "1.2",
        "Wipe both sealing faces with *brake cleaner* until a white cloth stays white.",
    );
    wipe.specs = vec![Spec::Use {
        what: UseKind::Consumable,
        name: "Brake cleaner".into(),
        amount: "50 mL".into(),
        detail: "no naked flame, air the room".into(),
        ghs: vec!["GHS02".into(), "GHS07".into()],
        span: None,
    }];
    wipe.messages = vec![message(
        Signal::Danger,
        "Flammable vapour",
        "It will flash at a spark and burn you.",
        "switch off heaters and air the room.",
    )];
    let mut flat = step(
        "1.3",
        "Lay the straight edge over the head and try the feelers at the four places.",
    );
    flat.specs = vec![Spec::Measure(flatness.clone())];
    flat.time = "15 min".into();
    let mut bore = step("1.4", "Measure both bores.");
    bore.specs = vec![Spec::Measure(bores.clone()), Spec::Measure(gap.clone())];
    bore.holds = vec![hold.clone()];

    let mut gasket = step(
        "2.1",
        "Fit the *guide studs*, then the *head gasket* with its tab to the front.",
    );
    gasket.messages = vec![message(
        Signal::Notice,
        "Scored sealing face",
        "A scratch across the bead leaks.",
        "use no scraper of steel.",
    )];
    gasket.specs = vec![
        Spec::Item {
            act: ItemAct::Fit,
            name: "Guide studs".into(),
            count: 2,
            temporary: true,
            single_use: false,
            detail: "red tag".into(),
            span: None,
        },
        Spec::Item {
            act: ItemAct::Fit,
            name: "Head gasket".into(),
            count: 1,
            temporary: false,
            single_use: true,
            detail: "900-114-220-007".into(),
            span: None,
        },
        Spec::TimerStart(timer()),
    ];
    let mut run_in = step("2.2", "Start the *head bolts* by hand:");
    run_in.specs = vec![Spec::Snug {
        name: "head bolts".into(),
        count: 6,
        span: None,
    }];
    run_in.substeps = [
        "oil the threads",
        "turn each in until its face touches",
        "take out the guide studs, one at a time",
    ]
    .iter()
    .zip(["a", "b", "c"])
    .map(|(text, letter)| SubStep {
        letter: letter.into(),
        text: para(text),
        specs: vec![],
        members: Members::default(),
        span: None,
    })
    .collect();
    run_in.substeps[2].specs = vec![Spec::Item {
        act: ItemAct::Remove,
        name: "Guide studs".into(),
        count: 2,
        temporary: true,
        single_use: false,
        detail: "red tag".into(),
        span: None,
    }];
    let mut tighten = step(
        "2.3",
        "Tighten the *head bolts* in three passes, in the order drawn, and then by angle.",
    );
    tighten.specs = vec![Spec::Torque(head_bolts.clone()), Spec::TimerEnd(timer())];
    tighten.time = "20 min".into();
    let mut close = step("2.4", "Fit the cover and tighten the *cover screws*.");
    close.specs = vec![Spec::Torque(cover_screws.clone())];
    let mut turn = step(
        "2.5",
        "Turn the shaft by hand through two full turns; it must not catch. See *card 6, Test*.",
    );
    turn.specs = vec![Spec::Do {
        name: "turn the shaft".into(),
        needs: vec!["supply: locked out".into()],
        never_with: vec!["crank lock".into()],
        note: "Two full turns in the running direction.".into(),
        span: None,
    }];

    let mut first = phase(1, "Clean and check", vec![clean, wipe, flat, bore]);
    first.intro = para("The valve plate lies ready from card 3.");
    first.runs.push(Run {
        any_order: true,
        steps: vec![
            step("1.6", "Count the reeds: four."),
            step("1.7", "Blow out the passages."),
        ],
    });
    Card {
        identity: identity(),
        cover: cover(),
        carried_in: Standing::default(),
        carried_out: Standing::default(),
        phases: vec![
            first,
            phase(2, "Fit and tighten", vec![gasket, run_in, tighten, close, turn]),
        ],
        torques: vec![head_bolts, cover_screws],
        measurements: vec![flatness, bores, gap],
        patterns: vec![head_pattern()],
        holds: vec![hold],
    }
}

/// A card of `count` plain steps in phases of nine.
pub fn long(count: usize) -> Card {
    let mut card = tiny();
    let words = "Turn the adjusting ring until the mark stands on the line, hold it there with the pin spanner and lock the nut.";
    card.phases = (0..count.div_ceil(9))
        .map(|p| {
            let steps = (p * 9..count.min(p * 9 + 9))
                .map(|n| step(&format!("{}.{}", p + 1, n % 9 + 1), words))
                .collect();
            phase(p + 1, "Adjust", steps)
        })
        .collect();
    card.cover.steps = count;
    card
}

/// Steps that are done for each of six cylinders: boxes, readings in every form, figures, times.
fn for_each() -> Vec<Step> {
    let members = Members((1..=6).map(|n| format!("cylinder {n}")).collect());
    let mut steps = vec![step("6.1", "Wipe the seat of the *liner*.")];
    let mut lay = step("6.2", "Do this for the *liner*:");
    lay.substeps = ["oil its seat", "turn its mark to the front"]
        .iter()
        .zip(["a", "b"])
        .map(|(text, letter)| SubStep {
            letter: letter.into(),
            text: para(text),
            specs: vec![],
            members: members.clone(),
            span: None,
        })
        .collect();
    steps.push(lay);
    let names = |names: &[&str]| names.iter().map(ToString::to_string).collect::<Vec<_>>();
    for (n, (rows, columns, working)) in [
        (vec![], vec![], vec![]),
        (names(&["top", "middle", "bottom"]), vec![], vec![]),
        (names(&["top", "bottom"]), names(&["along", "across"]), vec![]),
        (vec![], vec![], vec!["(bore) − skirt: ____ mm".into()]),
    ]
    .into_iter()
    .enumerate()
    {
        let mut bore = measurement(&format!("bore {n}"), "82.00 to 82.03 mm", "mm");
        (bore.rows, bore.columns, bore.working) = (rows, columns, working);
        bore.members = members.clone();
        let mut measure = step(&format!("6.{}", n + 3), &format!("Measure the *bore {n}*."));
        measure.specs = vec![Spec::Measure(bore)];
        steps.push(measure);
    }
    let stages = ["20 N·m", "+90°"].map(|figure| {
        let mut stage = stage(figure, "", 4);
        stage.members = members.clone();
        stage
    });
    let mut tighten = step("6.7", "Tighten the *cap bolts*.");
    tighten.specs = vec![Spec::Torque(torque("cap bolts", "M8x1.25 10.9", 4, stages.into()))];
    steps.push(tighten);
    let mut wait = step("6.8", "Start the clock.");
    let mut clock = timer();
    clock.members = members.clone();
    wait.specs = vec![Spec::TimerStart(clock.clone())];
    steps.push(wait);
    let mut close = step("6.9", "Stop the clock.");
    close.specs = vec![Spec::TimerEnd(clock)];
    steps.push(close);
    for step in &mut steps {
        step.members = members.clone();
    }
    steps
}

/// What strains the layout: words and numbers wider than a column, accents, a long table, a step of forty messages.
pub fn stress() -> Card {
    let mut card = full();
    card.identity.title = "Kurbelgehäuseentlüftungsventildeckel tauschen, naïvement, côté Žďár".into();
    for n in 0..9 {
        let choice = Choice {
            option: format!("option-{n}"),
            what: "Which".into(),
            value: "a-value-of-some-length".into(),
            why: "why not".into(),
            default: false,
            span: None,
        };
        card.identity.choices.push(Chosen::from(&choice));
        card.cover.choices.push(choice);
    }
    let row = card.torques[1].clone();
    let screws = (0..60).map(|n| {
        let mut row = row.clone();
        row.name = format!("screw {n} of the intermediate flange, part 123456789012");
        row.fastener = "3/8-16 UNC grade 8".into();
        let mut tighten = step(&format!("4.{}", n + 1), "Tighten it.");
        tighten.specs = vec![Spec::Torque(row)];
        tighten
    });
    let screws: Vec<Step> = screws.collect();
    // More than half a sheet holds: cut between two stages.
    let ring = circle_pattern(24, 300.0);
    let stages = ["30 N·m", "60 N·m", "90 N·m", "120 N·m", "+60°"].map(|figure| stage(figure, "", 36));
    let mut studs = torque("cover studs", "M12x1.75 10.9", 36, stages.into());
    studs.pattern = ring.id.clone();
    studs.pattern_name = ring.name.clone();
    let mut tall = step("5.1", "Tighten the *cover studs*, every stud at each stage.");
    tall.specs = vec![Spec::Torque(studs)];
    let mut words = step(
        "3.1",
        &format!(
            "Take part 123456789012 or {} or {} off.",
            "Donaudampfschifffahrtsgesellschaftskapitän",
            "X".repeat(120)
        ),
    );
    words.specs = vec![Spec::Item {
        act: ItemAct::Remove,
        name: "Zwischenflanschdichtungsringhalterung".into(),
        count: 12,
        temporary: false,
        single_use: true,
        detail: "AB-123456789012345678901234567890/REV-0000000000000001".into(),
        span: None,
    }];
    let mut warned = step("3.2", "Do it.");
    for n in 0..40 {
        let signal = if n < 20 { Signal::Warning } else { Signal::Caution };
        warned.messages.push(message(
            signal,
            &format!("Hazard {n}"),
            "It can hurt somebody badly in many ways.",
            "keep away from it.",
        ));
    }
    card.phases
        .push(phase(3, "Strain", vec![words, warned, step("3.3", "Rest.")]));
    card.phases.push(phase(4, "Sixty", screws));
    card.phases.push(phase(5, "Tall cover", vec![tall]));
    card.phases
        .push(phase(6, "Cylinders (FOR EACH OF 1, 2, 3, 4, 5, 6)", for_each()));
    card.patterns.push(ring);
    card
}
