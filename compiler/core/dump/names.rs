//! What things are called where they are dumped: by the ids that an author gave them.

use crate::model::registers::State;
use crate::model::{ActKind, Handle, Item, Set, Thing};

pub fn item(set: &Set, item: Item) -> &str {
    match item {
        Item::Part(part) => &set.catalogue.parts.get(part).id.text,
        Item::Temporary(item) => &set.catalogue.temporary.get(item).id.text,
    }
}

pub fn thing(set: &Set, thing: Thing) -> &str {
    match thing {
        Thing::Tool(tool) => &set.catalogue.tools.get(tool).id.text,
        Thing::Consumable(consumable) => &set.catalogue.consumables.get(consumable).id.text,
        Thing::Part(part) => item(set, Item::Part(part)),
        Thing::Temporary(temporary) => item(set, Item::Temporary(temporary)),
    }
}

/// `drain=open`
pub fn state(set: &Set, state: Handle<State>, value: usize) -> String {
    let def = set.catalogue.states.get(state);
    let value = def.value.values.get(value).map_or("", |value| value.text.as_str());
    crate::model::assigned(&def.id.text, value)
}

/// A mark as an author would write it.
pub fn act(set: &Set, kind: &ActKind) -> String {
    let catalogue = &set.catalogue;
    let counted = |verb: &str, of: Item, count: &Option<u32>| {
        let count = count.map_or_else(String::new, |count| format!(" {count}"));
        format!("{verb} {}{count}", item(set, of))
    };
    match kind {
        ActKind::Torque(torque) => format!("torque {}", catalogue.torques.get(*torque).id.text),
        ActKind::Snug(torque) => format!("snug {}", catalogue.torques.get(*torque).id.text),
        ActKind::Loosen(torque) => format!("loosen {}", catalogue.torques.get(*torque).id.text),
        ActKind::Measure(limit) => format!("measure {}", catalogue.limits.get(*limit).id.text),
        ActKind::Fit(item, count) => counted("fit", *item, count),
        ActKind::Remove(item, count) => counted("remove", *item, count),
        ActKind::Use(used, amount) => {
            let amount = amount.as_ref().map_or_else(String::new, |amount| format!(" {amount}"));
            format!("use {}{amount}", thing(set, *used))
        }
        ActKind::Need(of, value) => format!("need {}", state(set, *of, *value)),
        ActKind::Set(of, value) => format!("set {}", state(set, *of, *value)),
        ActKind::Do(action) => format!("do {}", catalogue.actions.get(*action).id.text),
        ActKind::Start(timer) => format!("start {}", catalogue.timers.get(*timer).id.text),
        ActKind::End(timer) => format!("end {}", catalogue.timers.get(*timer).id.text),
        ActKind::Hold(hold) => format!("hold {}", catalogue.holds.get(*hold).id.text),
        ActKind::Label(label) => format!("label {}", label.text),
        ActKind::Step { procedure, number } => format!("step {} {number}", set.procedures[*procedure].id),
        ActKind::See(procedure) => format!("see {}", set.procedures[*procedure].id),
        ActKind::Time(time) => format!("time {time}"),
        ActKind::Only => "only".to_string(),
    }
}
