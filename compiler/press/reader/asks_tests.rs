//! What is asked for, by the data it is asked of.

use super::asks::*;
use serde_json::{Map, Value, json};

const SPECS: &str = "card.phases.runs.steps.specs";
const STAGES: &str = "card.phases.runs.steps.specs.stages";

fn map(data: &Value) -> &Map<String, Value> {
    data.as_object().unwrap()
}

#[test]
fn boxes_are_asked_for_by_what_is_done() {
    let two = ["left", "right"];
    for (path, data, asked) in [
        ("card.phases.runs.steps", json!({}), (Some(1), None)),
        ("card.phases.runs.steps", json!({"members": two}), (Some(2), None)),
        ("card.phases.runs.steps.substeps", json!({}), (Some(1), None)),
        ("card.cover.tools", json!({}), (Some(1), None)),
        ("card.cover.timers", json!({}), (None, None)),
        ("card.carried_in.fitted", json!({}), (Some(1), None)),
        ("card.carried_in", json!({}), (None, None)),
        ("card.phases.end", json!({"count": 3}), (Some(1), None)),
        ("card.phases.end", json!({"count": 0}), (Some(0), None)),
        (SPECS, json!({"kind": "torque"}), (Some(0), None)),
        (SPECS, json!({"kind": "item"}), (None, None)),
        (STAGES, json!({"boxes": 4}), (Some(4), None)),
        (STAGES, json!({"boxes": 4, "members": two}), (Some(8), None)),
        (STAGES, json!({"boxes": 4, "passes": [{}]}), (Some(0), None)),
        (SPECS, json!({"kind": "measure"}), (None, Some(1))),
        (
            SPECS,
            json!({"kind": "measure", "rows": ["a", "b", "c"]}),
            (None, Some(3)),
        ),
        (
            SPECS,
            json!({"kind": "measure", "rows": ["a", "b", "c"], "columns": two}),
            (None, Some(6)),
        ),
        (
            SPECS,
            json!({"kind": "measure", "columns": two, "members": two}),
            (None, Some(4)),
        ),
        (
            SPECS,
            json!({"kind": "measure", "working": ["a", "b", "c"], "members": two}),
            (None, Some(6)),
        ),
        (SPECS, json!({"kind": "timer-start", "members": two}), (None, Some(4))),
        (SPECS, json!({"kind": "timer-end", "members": two}), (None, Some(2))),
        ("card.phases.runs.steps.holds", json!({}), (None, Some(2))),
        ("form.cards.torques", json!({}), (None, Some(2))),
        (
            "form.cards.readings",
            json!({"places": ["a", "b", "c"]}),
            (None, Some(3)),
        ),
        ("form.cards.timers", json!({"members": two}), (None, Some(4))),
        ("form.cards.holds", json!({}), (None, Some(2))),
    ] {
        let map = map(&data);
        assert_eq!((ticks(path, map), boxes(path, map)), asked, "{path} {data}");
    }
}

#[test]
fn what_is_worked_with_is_asked_for_large() {
    for (path, field, data, asked) in [
        (STAGES, "figure", json!({}), (14.0, true)),
        (
            STAGES,
            "figure",
            json!({"figure": "20 N·m", "setting": "20.0 N·m"}),
            (14.0, true),
        ),
        (
            STAGES,
            "figure",
            json!({"figure": "20 N·m", "setting": "17 N·m"}),
            (12.0, false),
        ),
        (STAGES, "figure", json!({"passes": [{}]}), (12.0, false)),
        (STAGES, "setting", json!({}), (14.0, true)),
        (STAGES, "setting", json!({"passes": [{}]}), (12.0, false)),
        (STAGES, "second", json!({}), (12.0, false)),
        (
            "card.phases.runs.steps.specs.stages.passes",
            "figure",
            json!({}),
            (14.0, true),
        ),
        (SPECS, "limit", json!({}), (14.0, true)),
        (SPECS, "name", json!({}), (12.0, false)),
        ("card.cover.timers", "span", json!({}), (0.0, false)),
        ("card.carried_in.fitted", "name", json!({}), (12.0, false)),
        ("pocket.torques.stages", "figure", json!({}), (0.0, false)),
    ] {
        assert_eq!(least(path, field, false, map(&data)), asked, "{path}.{field} {data}");
    }
}

#[test]
fn only_grids_and_stages_go_on_overleaf() {
    let (one, two) = (["a"], ["a", "b"]);
    for (data, torn) in [
        (json!({"kind": "measure", "rows": two, "columns": one}), (true, true)),
        (json!({"kind": "measure", "rows": one, "columns": two}), (true, true)),
        (json!({"kind": "measure", "rows": two}), (true, false)),
        (
            json!({"kind": "measure", "columns": two, "working": two}),
            (true, false),
        ),
        (json!({"kind": "measure", "rows": one, "columns": one}), (false, false)),
        (json!({"kind": "timer-end", "members": two}), (true, false)),
        (json!({"kind": "torque", "stages": two}), (true, false)),
        (json!({"kind": "torque", "stages": one}), (false, false)),
        (json!({"kind": "item", "rows": two}), (false, false)),
    ] {
        assert_eq!((breaks(SPECS, map(&data)), headed(SPECS, map(&data))), torn, "{data}");
    }
}
