//! Random sets. Steps are picked so that most of them go well: what always fails on its first step shows nothing of its later ones.

use super::dice::Dice;
use super::orders::combinations;
use super::set::{Action, Ask, Choice, Consumable, Item, Joint, Limit, Only, Part, Set, State, Thing, Ties, Torque};

/// What a set may have in it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Features {
    pub options: bool,
    pub joints: bool,
    pub answers: bool,
    pub groups: bool,
    pub orders: bool,
}

impl Features {
    /// Each in a share of the sets.
    pub fn of(dice: &mut Dice) -> Features {
        Features {
            options: dice.percent(60),
            joints: dice.percent(45),
            answers: dice.percent(45),
            groups: dice.percent(30),
            orders: dice.percent(45),
        }
    }
}

pub fn made(seed: u64) -> Set {
    let mut dice = Dice::new(seed);
    let features = Features::of(&mut dice);
    let mut set = Set::default();
    options(&mut set, &mut dice, features);
    entries(&mut set, &mut dice, features);
    tied(&mut set, &mut dice, features);
    if features.joints {
        joints(&mut set, &mut dice);
    }
    super::work::cards(&mut set, &mut dice, features);
    super::beads::beads(&mut set, &mut Dice::new(!seed), features);
    set
}

fn options(set: &mut Set, dice: &mut Dice, features: Features) {
    if !features.options {
        return;
    }
    for _ in 0..1 + dice.below(3) {
        let values = 2 + usize::from(dice.percent(25));
        let only = match set.options.is_empty() || dice.percent(80) {
            true => Only::new(),
            false => vec![(0, vec![dice.below(set.options[0].values)])],
        };
        let default = dice.below(values);
        set.options.push(Choice { values, default, only });
    }
    if set.options.len() > 1 && dice.percent(35) {
        let never: Vec<(usize, usize)> = [0, 1].map(|o| (o, dice.below(set.options[o].values))).to_vec();
        let default = |(o, v): &(usize, usize)| set.options[*o].default == *v;
        // The defaults may go together, or nothing is walked by a plain build.
        if !never.iter().all(default) {
            set.never.push(never);
        }
    }
    if combinations(set).is_empty() {
        set.never.clear();
    }
}

/// A condition on some option.
pub fn only(set: &Set, dice: &mut Dice) -> Only {
    if set.options.is_empty() {
        return Only::new();
    }
    let option = dice.below(set.options.len());
    let value = dice.below(set.options[option].values);
    vec![(option, vec![value])]
}

fn entries(set: &mut Set, dice: &mut Dice, features: Features) {
    set.members = if features.groups { 2 } else { 0 };
    let each = |dice: &mut Dice| features.groups && dice.percent(40);
    for _ in 0..3 + dice.below(4) {
        let qty = if dice.percent(75) { 1 } else { 2 };
        let renew = dice.percent(15);
        let marked = qty == 1 && !renew && dice.percent(15);
        set.parts.push(Part {
            qty,
            fitted: dice.percent(80),
            // What is marked goes back.
            single: !marked && dice.percent(20),
            replaces: None,
            renew,
            spares: usize::from(renew && dice.percent(40)),
            marked,
            finish: dice.percent(12).then(|| dice.percent(50)),
            ties: Ties {
                each: each(dice),
                ..Ties::default()
            },
        });
    }
    for _ in 0..dice.below(3) {
        // Another part for the place of one that is on.
        let old = dice.below(set.parts.len());
        let taken = set.parts.iter().any(|part| part.replaces == Some(old));
        let of = set.parts[old].clone();
        if taken || of.renew || of.replaces.is_some() || of.finish.is_some() {
            continue;
        }
        let mut part = of;
        part.fitted = false;
        part.replaces = Some(old);
        part.single = dice.percent(40);
        part.marked = false;
        if dice.percent(20) {
            part.qty = 3 - part.qty;
        }
        set.parts.push(part);
    }
    for _ in 0..1 + dice.below(2) {
        set.items.push(Item {
            qty: if dice.percent(75) { 1 } else { 2 },
            keeps: Vec::new(),
            perilous: dice.percent(20),
            ties: Ties {
                each: each(dice),
                ..Ties::default()
            },
        });
    }
    for _ in 0..1 + dice.below(2) {
        set.states.push(State {
            start: dice.percent(85).then(|| dice.below(3)),
            finish: dice.percent(30).then(|| dice.below(3)),
            perilous: if dice.percent(30) {
                vec![dice.below(3)]
            } else {
                Vec::new()
            },
            each: each(dice),
        });
    }
    for _ in 0..1 + dice.below(3) {
        set.torques.push(Torque {
            part: None,
            lubricant: None,
            single: dice.percent(15),
            ties: Ties {
                each: each(dice),
                ..Ties::default()
            },
        });
    }
    for _ in 0..1 + dice.below(2) {
        set.limits.push(Limit {
            low: dice.percent(60),
            ties: Ties::default(),
        });
    }
    for _ in 0..1 + dice.below(2) {
        let state = dice.below(set.states.len());
        set.actions.push(Action {
            sets: dice.percent(40).then(|| (state, dice.below(3))),
            ties: Ties::default(),
        });
    }
    set.holds.push(Ties::default());
}

fn ask(set: &Set, dice: &mut Dice, by: Thing) -> Option<Ask> {
    let part = Thing::Part(dice.below(set.parts.len()));
    let ask = match dice.below(11) {
        0 | 1 => Ask::Is(part),
        2 | 3 => Ask::Off(part),
        4 => Ask::Is(Thing::Item(dice.below(set.items.len()))),
        5 => Ask::Off(Thing::Item(dice.below(set.items.len()))),
        6 => Ask::Is(Thing::Torque(dice.below(set.torques.len()))),
        7 => Ask::Loose(dice.below(set.torques.len())),
        8 | 9 => {
            let state = dice.below(set.states.len());
            let first = dice.below(3);
            let values = if dice.percent(30) {
                vec![first, (first + 1) % 3]
            } else {
                vec![first]
            };
            Ask::At(state, values)
        }
        // What was done: for actions and hold points alone, and never in a circle.
        _ => match by {
            Thing::Hold(_) if dice.percent(50) => Ask::Is(Thing::Action(dice.below(set.actions.len()))),
            Thing::Hold(_) => Ask::Is(Thing::Limit(dice.below(set.limits.len()))),
            Thing::Part(_) | Thing::Torque(_) => Ask::Is(Thing::Limit(dice.below(set.limits.len()))),
            _ => return None,
        },
    };
    let own = match (&ask, by) {
        (Ask::Is(Thing::Part(a)) | Ask::Off(Thing::Part(a)), Thing::Part(b)) => set.root(*a) == set.root(b),
        (Ask::Is(a) | Ask::Off(a), b) => *a == b,
        (Ask::Loose(a), Thing::Torque(b)) => *a == b,
        _ => false,
    };
    (!own).then_some(ask)
}

fn tied(set: &mut Set, dice: &mut Dice, features: Features) {
    let parts = set.parts.len();
    for torque in 0..set.torques.len() {
        for _ in 0..dice.below(3) {
            let part = dice.below(parts);
            let secures = &mut set.torques[torque].ties.secures;
            if !secures.contains(&part) {
                secures.push(part);
            }
        }
        if dice.percent(25) {
            let part = dice.below(parts);
            let secured: Vec<usize> = set.torques[torque].ties.secures.iter().map(|p| set.root(*p)).collect();
            let taken = set.torques.iter().any(|it| it.part == Some(part));
            let alike = set.parts[part].ties.each == set.torques[torque].ties.each;
            if !secured.contains(&set.root(part)) && !taken && alike {
                set.torques[torque].part = Some(part);
                set.torques[torque].single = false;
            }
        }
        if dice.percent(20) {
            if set.consumables.is_empty() {
                set.consumables.push(Consumable { open: None, cure: None });
            }
            set.torques[torque].lubricant = Some(0);
        }
    }
    // An assembly of some of what comes after it.
    if dice.percent(40) {
        let assembly = dice.below(parts);
        let alone = set.parts[assembly].replaces.is_none()
            && set.parts[assembly].qty == 1
            && !set.parts[assembly].ties.each
            && !set.parts.iter().any(|part| part.replaces == Some(assembly));
        for _ in 0..3 {
            let inner = dice.below(parts + set.torques.len() + set.limits.len());
            let thing = match inner.checked_sub(parts) {
                None => Thing::Part(inner),
                Some(torque) if torque < set.torques.len() => Thing::Torque(torque),
                Some(limit) => Thing::Limit(limit - set.torques.len()),
            };
            let fine = match thing {
                Thing::Part(part) => set.root(part) != assembly && set.root(part) == part,
                _ => true,
            };
            let contains = &mut set.parts[assembly].ties.contains;
            if alone && fine && !contains.contains(&thing) {
                contains.push(thing);
            }
        }
    }
    for part in 0..parts {
        if dice.percent(15) {
            let held = dice.below(parts);
            if set.root(held) != set.root(part) {
                set.parts[part].ties.secures.push(held);
            }
        }
    }
    let things = [parts, set.items.len(), set.torques.len(), set.limits.len()];
    for _ in 0..dice.below(4) {
        let by = match dice.below(4) {
            0 => Thing::Item(dice.below(set.items.len())),
            _ => Thing::Part(dice.below(parts)),
        };
        let under = match dice.below(6) {
            0..=2 => Thing::Part(dice.below(things[0])),
            3 => Thing::Item(dice.below(things[1])),
            4 => Thing::Torque(dice.below(things[2])),
            _ => Thing::Limit(dice.below(things[3])),
        };
        let own = match (by, under) {
            // Never round in a circle.
            (Thing::Part(a), Thing::Part(b)) => set.root(a) >= set.root(b),
            (Thing::Item(_), Thing::Item(_)) => true,
            (a, b) => a == b || matches!((a, b), (Thing::Part(_), Thing::Item(_))) && dice.percent(50),
        };
        // What an assembly contains doesn't cover the assembly itself.
        let own = own || set.ties(under).is_some_and(|ties| ties.contains.contains(&by));
        let covers = set.ties_mut(by).map(|ties| &mut ties.covers);
        if let Some(covers) = covers.filter(|covers| !own && !covers.contains(&under)) {
            covers.push(under);
        }
    }
    for thing in set.tied() {
        for _ in 0..dice.below(3) {
            let Some(asked) = ask(set, dice, thing) else {
                continue;
            };
            let which = dice.below(4);
            let never = match &asked {
                Ask::Off(thing) => Some(*thing),
                Ask::Loose(torque) => Some(Thing::Torque(*torque)),
                _ => None,
            };
            let Some(ties) = set.ties_mut(thing) else {
                continue;
            };
            let hold = matches!(thing, Thing::Hold(_));
            let list = match (thing, which, never) {
                (_, 0, Some(never)) if !hold && !matches!(thing, Thing::Limit(_)) => {
                    if !ties.never_with.contains(&never) && !ties.needs.contains(&asked) {
                        ties.never_with.push(never);
                    }
                    continue;
                }
                (Thing::Part(_) | Thing::Item(_), 1, _) => &mut ties.to_fit,
                (Thing::Part(_) | Thing::Item(_) | Thing::Torque(_), 2, _) => &mut ties.to_remove,
                (Thing::Torque(_), 3, _) => &mut ties.to_tighten,
                _ => &mut ties.needs,
            };
            if !list.contains(&asked) {
                list.push(asked);
            }
        }
    }
    for item in 0..set.items.len() {
        if dice.percent(35) {
            let state = dice.below(set.states.len());
            let first = dice.below(3);
            let values = if dice.percent(40) {
                vec![first, (first + 1) % 3]
            } else {
                vec![first]
            };
            set.items[item].keeps.push((state, values));
        }
    }
    if features.options {
        for thing in set.tied() {
            // Hold points and actions have no `only`.
            if matches!(thing, Thing::Action(_) | Thing::Hold(_)) || !dice.percent(12) {
                continue;
            }
            let only = only(set, dice);
            if let Some(ties) = set.ties_mut(thing) {
                ties.only = only;
            }
        }
    }
}

fn joints(set: &mut Set, dice: &mut Dice) {
    let first = set.consumables.len();
    for _ in 0..1 + dice.below(2) {
        set.consumables.push(Consumable {
            open: dice.percent(50).then(|| 3 + dice.below(8) as u64),
            cure: dice.percent(50).then_some(120),
        });
    }
    for _ in 0..1 + dice.below(2) {
        let mut takes: Vec<Thing> = Vec::new();
        let gasket = dice.below(set.parts.len());
        if set.parts[set.root(gasket)].qty == 1 && dice.percent(70) {
            takes.push(Thing::Part(set.root(gasket)));
        }
        if takes.is_empty() || dice.percent(70) {
            takes.push(Thing::Consumable(first + dice.below(set.consumables.len() - first)));
        }
        let closed_by = match dice.percent(25) {
            true => Thing::Part(dice.below(set.parts.len())),
            false => Thing::Torque(dice.below(set.torques.len())),
        };
        if takes.contains(&closed_by) {
            continue;
        }
        set.joints.push(Joint {
            takes,
            closed_by,
            ties: Ties::default(),
        });
        // Whether a joint is there whose fasteners aren't is nothing that the language says.
        if let Some(ties) = set.ties_mut(closed_by) {
            ties.only.clear();
        }
        let joint = Thing::Joint(set.joints.len() - 1);
        // Something needs it.
        if dice.percent(60) {
            let by = match dice.below(3) {
                0 => Thing::Hold(0),
                1 => Thing::Action(dice.below(set.actions.len())),
                _ => Thing::Limit(dice.below(set.limits.len())),
            };
            if let Some(ties) = set.ties_mut(by) {
                ties.needs.push(Ask::Is(joint));
            }
        }
    }
}
