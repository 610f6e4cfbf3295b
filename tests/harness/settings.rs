//! What cards, the pocket leaf and a record say of torques, as text.

use super::{Checked, Files, check, job};
use benchleaf_core::cards::card::{Card, Torque};
use benchleaf_core::cards::{self, Deck};
use benchleaf_core::model::{Choices, ProcedureId};
use benchleaf_domain::fastener::Fastener;
use benchleaf_domain::lubrication::Condition;
use benchleaf_domain::preload::friction::{Friction, motosh, usual_bearing_diameter};

/// The cards of every set, whatever is wrong with it, for the default choices.
pub fn cards(checked: &Checked) -> Vec<Card> {
    let mut found = Vec::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        for procedure in set.procedures.ids() {
            found.push(cards::card(&checked.files, set, facts, procedure, &choices));
        }
    }
    found
}

/// The torques of a card by id, as its table has them.
pub fn torques(files: &Files) -> (Checked, Vec<Torque>) {
    let checked = check(files);
    let torques = cards(&checked).into_iter().flat_map(|card| card.torques).collect();
    (checked, torques)
}

/// What each place that prints a torque says of it: the table of each card, the pocket leaf, the record.
pub fn listing(files: &Files) -> Result<String, String> {
    let checked = check(files);
    let mut out = format!("findings\n{}", checked.listing());
    for card in cards(&checked) {
        out += &format!("\ncard {}\n", card.identity.procedure);
        card.torques.iter().for_each(|torque| out += &row(torque));
    }
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        let all: Vec<ProcedureId> = set.procedures.ids().collect();
        let pocket = Deck::new(&checked.files, set, facts, &choices).pocket(&all);
        out += "\npocket\n";
        pocket.torques.iter().for_each(|torque| out += &row(torque));
    }
    for set in &checked.compilation.model.sets {
        for procedure in &set.procedures {
            let record = job::begun(files, (&set.id, &procedure.id), "", "", &[])?;
            out += &format!("\nrecord {}\n", procedure.id);
            for torque in job::record(files, &record, "")?.torques {
                out += &format!("  {}: {}\n", torque.name, torque.figure);
            }
        }
    }
    Ok(out)
}

fn row(torque: &Torque) -> String {
    let told = [torque.lubrication.text(), torque.adapter.text(), &torque.tool].map(or_none);
    let mut out = format!("  {}: {}\n", torque.name, told.join(" | "));
    for stage in &torque.stages {
        out += &format!(
            "    {} | set {}{}\n",
            stage.figure,
            or_none(&stage.setting),
            note(&stage.setting_note.english())
        );
        for pass in &stage.passes {
            let set = or_none(&pass.setting);
            out += &format!(
                "      {}: {} | set {set}{}\n",
                pass.share,
                pass.figure,
                note(&pass.note.english())
            );
        }
    }
    out
}

fn or_none(text: &str) -> &str {
    if text.is_empty() { "-" } else { text }
}

fn note(text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        format!(" ({text})")
    }
}

/// The torque in N·m that comes to a share of the proof load of a fastener at the usual friction of a lubrication.
pub fn torque_at(fastener: &str, lubrication: &str, share: f64) -> Result<f64, String> {
    let fastener = Fastener::parse(fastener).map_err(|error| error.message())?;
    let condition = Condition::parse(lubrication).map_err(|error| error.message())?;
    let proof = fastener.proof_load().ok_or("no class")?;
    let mu = condition.friction().usual;
    let friction = Friction { threads: mu, face: mu };
    let bearing = usual_bearing_diameter(fastener.thread());
    Ok(motosh(fastener.thread(), bearing, friction, share * proof).sum().value)
}
