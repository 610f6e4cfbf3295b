//! A diff for the terminal: safety messages weakened or dropped first, then set by set and card by card.

use super::field::Field;
use super::model::{CardDiff, Change, Chosen, Class, Diff, Fate, Kind, SetDiff, Shown};
use crate::domain::counted::counted;
use crate::words::{Phrase, phrase, say};

/// The whole diff as lines.
pub fn render(diff: &Diff) -> String {
    let mut out = String::new();
    let mut line = |text: &str| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    let loud = loud(diff);
    if !loud.is_empty() {
        line("!! SAFETY MESSAGES WEAKENED OR DROPPED");
        loud.iter()
            .for_each(|(card, change)| line(&format!("!! {card}: {}", sentence(change))));
        line("");
    }
    for set in &diff.sets {
        set_lines(set, &mut line);
    }
    diff.remarks.iter().for_each(|remark| line(&format!("note: {remark}")));
    line(&closing(diff));
    out
}

/// Every loud change with the card it is on; one that cards share, once.
pub fn loud(diff: &Diff) -> Vec<(String, &Change)> {
    let mut found = Vec::new();
    for set in &diff.sets {
        for shared in set.shared.iter().filter(|s| s.change.kind.is_loud()) {
            found.push((shared.cards.join(", "), &shared.change));
        }
        for card in &set.cards {
            let own = card.changes.iter().filter(|c| c.kind.is_loud() && !c.shared);
            found.extend(own.map(|c| (card.title.clone(), c)));
        }
    }
    found
}

/// `from v1 to HEAD: 2 cards changed, 1 new, 0 gone`.
pub fn closing(diff: &Diff) -> String {
    let cards = || diff.sets.iter().flat_map(|s| &s.cards);
    let count = |fate| cards().filter(|c| c.fate == fate && c.matters()).count();
    let span = format!("from {} to {}", diff.old, diff.new);
    if !diff.matters() {
        let rest = if diff.uncompared.is_empty() {
            ""
        } else {
            ", as far as that could be compared"
        };
        return format!("{span}: nothing that matters at the bench changed{rest}");
    }
    let kept = counted(count(Fate::Kept), "card", "cards");
    let (new, gone) = (count(Fate::Added), count(Fate::Removed));
    format!("{span}: {kept} changed, {new} new, {gone} gone")
}

fn set_lines(set: &SetDiff, line: &mut impl FnMut(&str)) {
    let fate = match set.fate {
        Fate::Kept => "",
        Fate::Added => ": new set",
        Fate::Removed => ": set is gone",
    };
    line(&format!("{} ({}){fate}", set.title, set.id));
    if !set.was.is_empty() {
        line(&format!("  its folder was {}", set.was));
    }
    if !set.reordered.is_empty() {
        line(&format!(
            "  another place in the set's order: {}",
            set.reordered.join(", ")
        ));
    }
    for shared in set.shared.iter().filter(|s| !s.change.kind.is_loud()) {
        line(&format!("  {} [on {}]", told(&shared.change), shared.cards.join(", ")));
    }
    for card in &set.cards {
        line(&format!("  {}", card_line(card)));
        for change in card.changes.iter().filter(|c| !c.shared && !c.kind.is_loud()) {
            line(&format!("    {}", told(change)));
        }
        card.same
            .iter()
            .for_each(|same| line(&format!("    {:7} {:14} {same}", "", "no change")));
        for gone in &card.withdrawn {
            line(&format!("    {:7} {:14} {}", "", "take down", withdrawn(gone)));
        }
    }
    line("");
}

/// A card's own line: `3 Fit the seal (fit-seal), rev C → D, WD47-9V4K → VXJ8-Z1XZ`.
pub fn card_line(card: &CardDiff) -> String {
    let name = format!("{} {} ({})", card.position, card.title, card.procedure);
    match card.fate {
        Fate::Added => format!("{name}: new card, {}", card.new_code),
        Fate::Removed => format!("{name}: card is gone, {}", card.old_code),
        Fate::Kept if card.changes.is_empty() && card.old_code == card.new_code => name,
        Fate::Kept => {
            let rev = match (&card.old_rev, &card.new_rev) {
                _ if card.rev_not_raised => format!(", REV {} NOT RAISED", card.new_rev),
                (old, new) if old != new => format!(", rev {old} → {new}"),
                _ => String::new(),
            };
            let safety = if card.changes.iter().any(|c| c.kind.is_loud()) {
                ", SAFETY (above)"
            } else {
                ""
            };
            format!("{name}{rev}, {}{safety}", codes(card))
        }
    }
}

/// The codes of every choice whose card is another.
fn codes(card: &CardDiff) -> String {
    let arrow = |old: &str, new: &str| match old {
        "" => format!("new {new}"),
        _ => format!("{old} → {new}"),
    };
    let mut all = Vec::new();
    if card.old_code != card.new_code {
        all.push(arrow(&card.old_code, &card.new_code));
    }
    let others = card.others.iter();
    all.extend(others.map(|c| format!("{} ({})", arrow(&c.old, &c.new), c.words())));
    if all.is_empty() {
        return format!("still {}", card.new_code);
    }
    all.join(", ")
}

/// `DM5R-SH1H (seal=old): there is no such card any more`.
pub fn withdrawn(card: &Chosen) -> String {
    let words = card.words();
    let of = if words.is_empty() {
        String::new()
    } else {
        format!(" ({words})")
    };
    format!("{}{of}: there is no such card any more", card.old)
}

/// A change with its class and its kind in columns before it.
pub fn told(change: &Change) -> String {
    format!("{:7} {:14} {}", change.class.word(), change.kind.words(), tell(change))
}

/// A loud change in one sentence, its kind in capitals first.
pub fn sentence(change: &Change) -> String {
    format!("{} {}", change.kind.words(), tell(change))
}

/// What changed, without the kind.
pub fn tell(change: &Change) -> Phrase {
    let mut out = change.subject.clone();
    if change.field != Field::Whole {
        out = phrase!(out, ", ", change.field.said());
    }
    let shown = |value| shown(value, is_prose(change));
    out = match (change.old.text.is_empty(), change.new.text.is_empty()) {
        (true, true) => out,
        (true, false) => phrase!(out, ": ", say::now_is(shown(&change.new))),
        (false, true) => phrase!(out, ": ", say::it_was(shown(&change.old))),
        (false, false) => phrase!(out, ": ", shown(&change.old), " → ", shown(&change.new)),
    };
    if !change.ratio.is_empty() {
        out = phrase!(out, ", ", Phrase::figure(&change.ratio));
    }
    if !change.note.is_empty() {
        out = phrase!(out, "; ", change.note.one_line());
    }
    out
}

/// True if old and new are the author's sentences rather than values.
pub(super) fn is_prose(change: &Change) -> bool {
    match change.kind {
        Kind::Value => matches!(change.field, Field::Name | Field::Note | Field::What),
        Kind::StepWork
        | Kind::StepGuard
        | Kind::Stop
        | Kind::CarriedGuard
        | Kind::Carried
        | Kind::StepMoved
        | Kind::StepCondition
        | Kind::EntryAdded
        | Kind::EntryRemoved => false,
        _ => !matches!(change.field, Field::Level | Field::Covers),
    }
}

/// `88 lbf·in (11.8 N·m)`; prose in quotes.
fn shown(value: &Shown, prose: bool) -> Phrase {
    let text = value.text.one_line();
    let text = if prose { say::quoted(text) } else { text };
    if value.second.is_empty() {
        text
    } else {
        phrase!(text, " (", &value.second, ")")
    }
}

impl Class {
    pub fn word(self) -> &'static str {
        match self {
            Class::Hazard => "hazard",
            Class::Figure => "figure",
            Class::Order => "order",
            Class::Part => "part",
            Class::Words => "words",
        }
    }
}
