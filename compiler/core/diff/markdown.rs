//! A diff as Markdown, for a review comment.

use super::human::{card_line, closing, loud, sentence, tell, withdrawn};
use super::model::{Change, Diff, Fate};

/// The whole diff as a comment.
pub fn render(diff: &Diff) -> String {
    let mut out = format!("## Work cards: {}\n", plain(&closing(diff)));
    let loud = loud(diff);
    if !loud.is_empty() {
        out += "\n> [!CAUTION]\n> **Safety messages weakened or dropped**\n>\n";
        for (card, change) in loud {
            out += &format!("> - **{}**: {}\n", plain(&card), plain(&sentence(change)));
        }
    }
    for set in &diff.sets {
        let fate = match set.fate {
            Fate::Kept => "",
            Fate::Added => ": new set",
            Fate::Removed => ": set is gone",
        };
        out += &format!("\n### {} (`{}`){fate}\n", plain(&set.title), set.id);
        if !set.was.is_empty() {
            out += &format!("\nIts folder was `{}`.\n", set.was);
        }
        if !set.reordered.is_empty() {
            out += &format!(
                "\nAnother place in the set's order: {}.\n",
                plain(&set.reordered.join(", "))
            );
        }
        let shared: Vec<String> = set
            .shared
            .iter()
            .filter(|s| !s.change.kind.is_loud())
            .map(|s| format!("{} [on {}]", item(&s.change), plain(&s.cards.join(", "))))
            .collect();
        if !shared.is_empty() {
            out += &format!("\nOn several cards:\n\n- {}\n", shared.join("\n- "));
        }
        for card in &set.cards {
            let changes = card.changes.iter().filter(|c| !c.shared && !c.kind.is_loud());
            let mut lines: Vec<String> = changes.map(item).collect();
            lines.extend(
                card.same
                    .iter()
                    .map(|same| format!("*no change*: {}", plain(&same.english()))),
            );
            lines.extend(
                card.withdrawn
                    .iter()
                    .map(|gone| format!("*take down*: {}", plain(&withdrawn(gone)))),
            );
            out += &format!("\n**{}**\n", plain(&card_line(card)));
            if !lines.is_empty() {
                out += &format!("\n- {}\n", lines.join("\n- "));
            }
        }
    }
    for remark in &diff.remarks {
        out += &format!("\n*{}*\n", plain(&remark.english()));
    }
    out
}

fn item(change: &Change) -> String {
    format!(
        "*{}, {}*: {}",
        change.class.word(),
        change.kind.words(),
        plain(&tell(change).english())
    )
}

/// Text that no Markdown reader takes for markup.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if "\\`*_[]<>|~#@!".contains(c) {
            out.push('\\');
        }
        out.push(if c == '\n' { ' ' } else { c });
    }
    out
}
