//! Signal words, colours, placement, pictograms and signs.

use benchleaf_domain::hazard::{self, GhsPictogram, SignalWord};

use super::Outcome;
use super::row::{Row, same};

fn rule(row: &Row) -> Outcome {
    let rule = hazard::rule(&row.inputs).ok_or("no such rule in the table")?;
    same(rule.rule.as_str(), row.expected.as_str())
}

pub fn signal_word(row: &Row) -> Outcome {
    match row.inputs.as_str() {
        "several hazards in one message" => {
            same(
                SignalWord::gravest([SignalWord::Notice, SignalWord::Danger, SignalWord::Warning]),
                Some(SignalWord::Danger),
            )?;
            rule(row)
        }
        "words that ISO reserves for injury to persons" => {
            let words: Vec<&str> = SignalWord::ALL
                .into_iter()
                .filter(|word| word.is_for_injury())
                .map(SignalWord::word)
                .collect();
            same(words.join(", "), row.expected.clone())?;
            rule(row)
        }
        text => match SignalWord::from_word(text) {
            Some(word) => same(word.meaning(), row.expected.as_str()),
            None => rule(row),
        },
    }
}

pub fn safety_colour(row: &Row) -> Outcome {
    if let Some(word) = row.inputs.strip_suffix(" panel") {
        let panel = SignalWord::from_word(word).ok_or("no such word")?.panel();
        return same(
            format!("{} letters on safety {}", panel.letters, panel.ground),
            row.expected.clone(),
        );
    }
    if let Some(colour) = row.inputs.strip_suffix(", Munsell") {
        let found = hazard::safety_colours()
            .iter()
            .find(|known| known.colour == colour)
            .ok_or("no such colour")?;
        return same(found.munsell.as_str(), row.expected.as_str());
    }
    match hazard::sign_kinds().iter().find(|kind| kind.kind == row.inputs) {
        Some(kind) => same(kind.look.as_str(), row.expected.as_str()),
        None => rule(row),
    }
}

pub fn message_placement(row: &Row) -> Outcome {
    rule(row)
}

pub fn pictogram(row: &Row) -> Outcome {
    if row.inputs.starts_with("GHS") {
        let found = GhsPictogram::parse(&row.inputs).map_err(|error| error.to_string())?;
        return same(found.symbol(), row.expected.as_str());
    }
    let found = hazard::pictogram_of_class(row.plain_inputs()).map_err(|error| error.to_string())?;
    same(found.code(), row.expected.as_str())
}

pub fn sign(row: &Row) -> Outcome {
    let found = hazard::sign(&row.inputs).ok_or("no such sign in the table")?;
    same(found.meaning.as_str(), row.expected.as_str())
}
