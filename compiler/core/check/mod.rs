//! Model in; facts and findings out. Facts are worked out once: rules only read them, and so do the cards.

// A new mark, verb or dimension must be answered wherever one is told from another.
#![deny(clippy::wildcard_enum_match_arm)]

pub mod calc;
#[cfg(test)]
mod chance;
mod hazardous_tools;
pub(crate) mod hazards;
pub mod ledger;
pub mod machine;
pub(crate) mod rules;
pub(crate) mod tightening;
pub(crate) mod tool_kinds;
mod sentences;
mod torque_spec;
pub mod walk;
mod walked;

/// Asked for by the day that somebody works on, which the core doesn't know.
pub use rules::calibration_over;

use crate::finding::Finding;
use crate::model::{Model, Procedure, Set};
use crate::spread;
use calc::CalcFacts;
use std::sync::OnceLock;
use tightening::TorqueFacts;
use walk::Flow;
use walked::Walked;

/// What is worked out about one set.
#[derive(Debug, Default)]
pub struct Facts {
    pub torques: TorqueFacts,
    pub calcs: CalcFacts,
    /// Findings that the set allows, in words, with the reason: for its close-out.
    pub allowed: Vec<String>,
}

/// Works out the facts of every set, in the model's order, and runs every rule over them. `is_whole` says whether a set was read and
/// bound without an error: where an act or entry is missing, most of what the walk over the steps would say of the rest is wrong, so it is
/// left out until the error is mended.
pub fn check(model: &Model, is_whole: impl Fn(&Set) -> bool) -> (Vec<Facts>, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut facts = Vec::new();
    for set in &model.sets {
        let (flow, torques) = spread::both(set.procedures.len(), || Flow::new(set), || tightening::facts(set));
        let of_set = Facts {
            torques,
            calcs: calc::facts(set, &flow),
            allowed: Vec::new(),
        };
        let whole = is_whole(set);
        let ((), walked) = spread::both(
            set.procedures.len(),
            || check_set(set, &of_set, &mut findings),
            || whole.then(|| Walked::new(flow, &of_set.calcs, &rules::order_matters::RULE)),
        );
        if let Some(walked) = walked {
            ledger_and_safety(&walked, &mut findings);
        }
        facts.push(of_set);
    }
    (facts, findings)
}

fn check_set(set: &Set, facts: &Facts, findings: &mut Vec<Finding>) {
    let names = OnceLock::new();
    let mut jobs: Vec<Job> = Vec::new();
    if set.names_known {
        jobs.push(job(|found| rules::unused_id::check(set, found)));
    }
    let of_set: &[fn(&Set, &mut Vec<Finding>)] = &[
        rules::long_sentence::check,
        rules::long_phase::check,
        rules::many_jumps::check,
        rules::figure_by_hand::check,
        rules::acting_figure::check,
        rules::mark_behind_if::check,
        rules::two_names::check,
        rules::reads_either_way::check,
        rules::count_of_a_measure::check,
    ];
    jobs.extend(of_set.iter().map(|rule| job(move |found| rule(set, found))));
    // The rules of language know no other than English.
    if set.language == "en" {
        let names = &names;
        let of_language = |procedure| job(move |found| of_sentences(set, procedure, names, found));
        jobs.extend(set.procedures.iter().map(of_language));
    }
    let torques = &facts.torques;
    let of_tools: &[fn(&Set, &TorqueFacts, &mut Vec<Finding>)] = &[
        rules::no_tool_reaches::check,
        rules::low_on_the_scale::check,
        rules::scale_too_coarse::check,
        rules::pass_below_scale::check,
        rules::no_torque_tool::check,
    ];
    if set.tools_known {
        jobs.extend(of_tools.iter().map(|rule| job(move |found| rule(set, torques, found))));
    }
    let of_torques: &[fn(&Set, &TorqueFacts, &mut Vec<Finding>)] = &[
        rules::torque_above_proof::check,
        rules::torque_barely_clamps::check,
        rules::torque_unit_slip::check,
        rules::unit_in_doubt::check,
        rules::angle_destroys::check,
        rules::thread_strips::check,
        rules::dry_figure_lubricated::check,
        rules::lubrication_not_said::check,
        rules::out_not_said::check,
        rules::yielded_bolt_kept::check,
        rules::count_against_pattern::check,
        rules::two_tolerances::check,
        rules::stage_falls::check,
        rules::setting_for_hand::check,
        rules::gauge_too_coarse::check,
        rules::gauge_out_of_range::check,
        rules::gauge_inaccurate::check,
        rules::tool_may_miss::check,
        rules::adapter_not_corrected::check,
        rules::kind_misspelt::check,
        rules::unknown_kind::check,
        rules::wrong_gauge::check,
    ];
    jobs.extend(
        of_torques
            .iter()
            .map(|rule| job(move |found| rule(set, torques, found))),
    );
    let calcs = &facts.calcs;
    let of_calcs: &[fn(&Set, &CalcFacts, &mut Vec<Finding>)] = &[
        rules::calc_not_readable::check,
        rules::calc_unknown_name::check,
        rules::calc_wrong_dimension::check,
        rules::calc_in_a_circle::check,
        rules::calc_readings_unpaired::check,
        rules::calc_before_its_readings::check,
    ];
    jobs.extend(of_calcs.iter().map(|rule| job(move |found| rule(set, calcs, found))));
    all(set, jobs, findings);
}

/// The rules of language, on the steps of one procedure. `names` is what the set's things are called by, once somebody has asked.
fn of_sentences(set: &Set, procedure: &Procedure, names: &OnceLock<Vec<Vec<String>>>, findings: &mut Vec<Finding>) {
    let texts = sentences::texts(procedure);
    let sentences = sentences::of(&texts);
    rules::trailing_condition::check(&sentences, findings);
    rules::two_acts::check(&sentences, findings);
    rules::vague_word::check(&sentences, findings);
    rules::told_not_asked::check(&sentences, findings);
    rules::noun_stack::check(set, names, &sentences, findings);
}

fn ledger_and_safety(walked: &Walked, findings: &mut Vec<Finding>) {
    let rules: &[fn(&Walked, &mut Vec<Finding>)] = &[
        rules::fitted_twice::check,
        rules::place_taken::check,
        rules::removed_when_off::check,
        rules::temporary_left_on::check,
        rules::part_left_off::check,
        rules::single_use_refitted::check,
        rules::fastener_left_loose::check,
        rules::snugged_twice::check,
        rules::fastener_reused::check,
        rules::action_in_wrong_state::check,
        rules::action_with_item_fitted::check,
        rules::need_not_met::check,
        rules::need_without_start::check,
        rules::wrong_finish::check,
        rules::timer_started_twice::check,
        rules::timer_not_started::check,
        rules::timer_never_ended::check,
        rules::window_overrun::check,
        rules::hold_in_window::check,
        rules::break_in_window::check,
        rules::cure_not_timed::check,
        rules::open_time_not_timed::check,
        rules::option_without_default::check,
        rules::unreachable_step::check,
        rules::idle_value::check,
        rules::held_on::check,
        rules::nothing_to_hold::check,
        rules::fastener_left_out::check,
        rules::covered::check,
        rules::inside_assembly::check,
        rules::need_missing::check,
        rules::none_left::check,
        rules::not_marked::check,
        rules::wrong_end::check,
        rules::not_there::check,
        rules::dry_fastener::check,
        rules::used_when_off::check,
        rules::state_kept::check,
        rules::left_unsafe::check,
        rules::wrong_filling::check,
        rules::joint_already_closed::check,
        rules::cure_never_waited::check,
        rules::open_time_over::check,
        rules::step_without_time::check,
        rules::no_answer::check,
        rules::never_ends::check,
        rules::points_nowhere::check,
        rules::reading_not_taken::check,
        rules::never_together::check,
        rules::not_all_tried::check,
        rules::too_many_combinations::check,
        rules::unguarded_consumable::check,
        rules::unguarded_hazard::check,
        rules::incomplete_message::check,
    ];
    let jobs = rules.iter().map(|rule| job(move |found| rule(walked, found)));
    all(walked.set, jobs.collect(), findings);
}

/// A rule with all that it reads.
type Job<'a> = Box<dyn Fn(&mut Vec<Finding>) + Send + Sync + 'a>;

fn job<'a>(rule: impl Fn(&mut Vec<Finding>) + Send + Sync + 'a) -> Job<'a> {
    Box::new(rule)
}

/// Runs rules, several at once: none knows what another finds.
fn all(set: &Set, jobs: Vec<Job>, findings: &mut Vec<Finding>) {
    let run = |job: Job| {
        let mut found = Vec::new();
        job(&mut found);
        found
    };
    findings.extend(spread::over(jobs, set.procedures.len(), run).into_iter().flatten());
}
