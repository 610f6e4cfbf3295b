//! What is asked for, by the data it is asked of.

use super::asks::*;
use super::node::{Node, Tree, key};
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

#[test]
fn a_pocket_leaf_prints_what_a_tool_is_set_to() {
    let asked = |path: &str, data: Value| -> Vec<String> {
        let texts = texts(path, map(&data));
        texts.into_iter().map(|text| text.words).collect()
    };
    let torque = json!({"name": "hub nut", "lubrication": "oiled", "count": 6, "note": "from above"});
    assert_eq!(asked("pocket.torques", torque), ["6", "oiled", "hub nut"]);
    let stage = json!({"figure": "37 N·m", "second": "27.3 lbf·ft", "setting": "31 N·m"});
    assert_eq!(
        asked("pocket.torques.stages", stage),
        ["37 N·m", "27.3 lbf·ft", "31 N·m"]
    );
    // A range has the limit in it.
    for (range, words) in [("", "0.2 mm"), ("0.1 to 0.2 mm", "0.1 to 0.2 mm")] {
        let limit = json!({"limit": "0.2 mm", "range": range, "gauge": "feeler"});
        assert_eq!(asked("pocket.measurements", limit), [words]);
    }
}

#[test]
fn a_thing_is_named_beside_a_sentence_that_does_not_name_it() {
    let names = |sentence: &str, others: Value| -> Vec<bool> {
        let text = json!([{"kind": "text", "text": sentence}]);
        let mut specs = vec![json!({"kind": "item", "name": "Paper gasket"})];
        specs.extend(others.as_array().unwrap().clone());
        let mut nodes = Vec::new();
        for (index, spec) in specs.iter_mut().enumerate() {
            let texts = texts(SPECS, map(spec));
            nodes.push(Node {
                texts,
                ..Node::default()
            });
            spec["key"] = json!(key(index));
        }
        let mut tree = Tree { nodes };
        let step = json!({"text": text, "specs": specs});
        forget_named(&json!({"phases": [{"runs": [{"steps": [step]}]}]}), &mut tree);
        let has_name = |node: &Node| node.texts.iter().any(|text| text.field == "name");
        tree.nodes.iter().map(has_name).collect()
    };
    assert_eq!(names("Lay on the paper gasket.", json!([])), [false]);
    assert_eq!(names("Lay it on.", json!([])), [true]);
    // With two of a kind a sentence doesn't tell which is which.
    let other = json!([{"kind": "use", "name": "grease"}]);
    assert_eq!(names("Lay on the paper gasket with grease.", other), [true, true]);
    let torque = json!([{"kind": "torque", "name": "hub nut"}]);
    assert_eq!(names("Lay on the paper gasket, the hub nut.", torque), [false, false]);
}

#[test]
fn what_would_only_repeat_another_text_is_not_asked_for() {
    let asked = |path: &str, data: Value| -> Vec<String> {
        let texts = texts(path, map(&data));
        texts.into_iter().map(|text| text.words).collect()
    };
    // Of each pair the first says something of its own.
    for (path, own, repeated, left) in [
        (
            "kit.sections.lines",
            json!({"unit_price": "3.20", "price": "6.40"}),
            json!({"unit_price": "3.20", "price": "3.20"}),
            1,
        ),
        (
            "changes.loud",
            json!({"left": "12 N·m", "right": "14 N·m"}),
            json!({"left": "-", "right": "14 N·m"}),
            1,
        ),
        (
            "changes.loud",
            json!({"left": "12 N·m", "right": "14 N·m"}),
            json!({"left": "12 N·m", "right": "-"}),
            1,
        ),
        (
            "changes.replace",
            json!({"old_code": "WD47-9V4K", "new_code": "QX21-77AB"}),
            json!({"old_code": "WD47-9V4K", "new_code": "WD47-9V4K"}),
            1,
        ),
        (
            SPECS,
            json!({"kind": "measure", "rows": ["left", "right"]}),
            json!({"kind": "measure", "rows": ["left", "right"], "working": ["left + right"]}),
            1,
        ),
        ("card.cover.parts", json!({"amount": "2"}), json!({"amount": "1"}), 0),
        (
            STAGES,
            json!({"figure": "20 N·m", "setting": "17 N·m"}),
            json!({"figure": "20 N·m", "setting": "20.0 N·m"}),
            1,
        ),
        (
            STAGES,
            json!({"second": "15 lbf·ft", "setting": "17 N·m"}),
            json!({"second": "15 lbf·ft", "setting": "15.0 lbf·ft"}),
            1,
        ),
        (
            SPECS,
            json!({"kind": "item", "name": "seal", "what": "part"}),
            json!({"kind": "use", "name": "oil", "what": "part"}),
            1,
        ),
    ] {
        assert_eq!(asked(path, own).len(), left + 1, "{path}");
        assert_eq!(asked(path, repeated).len(), left, "{path}");
    }
}
