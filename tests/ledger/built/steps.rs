//! One step: what it needs and waits for, its acts in their order, what is judged when it is done, and its hold points.

use super::set::{Act, Step, Thing};
use super::stand::Place;
use super::world::World;

impl World<'_> {
    /// Does a step, but for what it asks and where it leads.
    pub fn does(&mut self, step: &Step, card: usize, number: usize, member: Option<usize>) {
        let at = |act: &Act| Place::Mark {
            card,
            step: number,
            text: super::text::mark(act),
        };
        self.turn = member;
        for act in &step.acts {
            match act {
                Act::Need(ask) => self.all_asked(None, std::slice::from_ref(ask), &at(act)),
                Act::Wait(consumable) => self.wait(*consumable, &at(act)),
                _ => {}
            }
        }
        self.goes_by(step, &Place::Step { card, step: number });
        for act in step.acts.iter().filter(|act| !matches!(act, Act::Hold(_))) {
            self.act(act, member, step.minutes, &at(act));
        }
        self.kept(step, card, number);
        for act in &step.acts {
            if let Act::Hold(hold) = act {
                self.held_open(*hold, &at(act));
                self.act(act, member, step.minutes, &at(act));
            }
        }
    }

    /// When a step is done: what keeps a state is on at another value.
    pub fn kept(&mut self, step: &Step, card: usize, number: usize) {
        let at = |act: &Act| Place::Mark {
            card,
            step: number,
            text: super::text::mark(act),
        };
        for (n, item) in self.set.items.iter().enumerate() {
            for (state, values) in &item.keeps {
                for one in self.ones(Thing::Item(n), None) {
                    if self.on(one) == 0 {
                        continue;
                    }
                    for it in self.tied(one, Thing::State(*state)) {
                        let Some(value) = self.states[&it].0.filter(|value| !values.contains(value)) else {
                            continue;
                        };
                        let _ = value;
                        // Told at the fit, if this step fits it, else at what set it.
                        let each_item = self.set.is_each(one.0);
                        let fits = |act: &&Act| match act {
                            // What it fits for another member is not this one.
                            Act::Fit(what, _) if what.thing == one.0 => {
                                !each_item || what.member.or(self.turn).is_none_or(|member| member == one.1)
                            }
                            _ => false,
                        };
                        let sets = |act: &&Act| match act {
                            Act::Set(what, _) => what.thing == it.0,
                            Act::Do(action) => self.set.actions[*action]
                                .sets
                                .is_some_and(|(state, _)| Thing::State(state) == it.0),
                            _ => false,
                        };
                        // What this step set for another member is not this one.
                        let meant = |act: &&Act| match act {
                            Act::Set(what, _) => what.member.or(self.turn).is_none_or(|member| member == it.1),
                            _ => self.turn.is_none_or(|member| member == it.1),
                        };
                        let each = self.set.is_each(it.0);
                        let last = || step.acts.iter().rev();
                        let act = last()
                            .find(fits)
                            .or_else(|| last().find(|act| sets(act) && (!each || meant(act))));
                        if let Some(act) = act {
                            self.fault(449, "kept", &[one.0.id(), it.0.id()], &at(act));
                        }
                    }
                }
            }
        }
    }
}
