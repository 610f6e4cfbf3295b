//! How a value is spelt: its units by their symbol, with the space that belongs before it, and its signs as one character.

use super::Unit;
use super::scan::Scan;

/// A value with every unit behind a number by its symbol (`12 Nm` is `12 N·m`, `5mm` is `5 mm`, `90 deg` is `90°`) and `±` for `+/-`;
/// `None` if it is spelt so already. Nothing else changes: numbers keep their digits, and what is no unit stays.
pub fn canonical(text: &str) -> Option<String> {
    let mut out = String::with_capacity(text.len() + 4);
    let mut letters = text.chars();
    let mut before = ' ';
    while let (rest, Some(c)) = (letters.as_str(), letters.next()) {
        // A number within a word is no figure: `M8`, `H7`.
        let figure = c.is_ascii_digit() && !before.is_alphanumeric();
        let number = figure.then(|| number(rest)).flatten();
        if let Some((number, mut rest)) = number {
            out.push_str(number);
            before = '0';
            if let Some((unit, after)) = unit(rest) {
                if unit.symbol() != "°" {
                    out.push(' ');
                }
                out.push_str(unit.symbol());
                rest = after;
                before = 'x';
                // `1h30min` is two figures.
                if rest.starts_with(|next: char| next.is_ascii_digit()) {
                    out.push(' ');
                    before = ' ';
                }
            }
            letters = rest.chars();
            continue;
        }
        if let Some(after) = ["+/-", "+/−", "+-", "+−"]
            .into_iter()
            .find_map(|sign| rest.strip_prefix(sign))
        {
            out.push('±');
            if !after.starts_with(' ') {
                out.push(' ');
            }
            letters = after.chars();
            before = ' ';
            continue;
        }
        out.push(c);
        before = c;
    }
    (out != text).then_some(out)
}

/// The number that a text begins with, and what follows.
fn number(text: &str) -> Option<(&str, &str)> {
    // A range's two dots end a number.
    let (_, at) = Scan::new(text).number().ok()?;
    text.split_at_checked(at.end).filter(|_| at.start == 0)
}

/// The unit that a text begins with behind spaces, and what follows.
fn unit(text: &str) -> Option<(Unit, &str)> {
    let (unit, at) = Scan::new(text).unit(None).ok()??;
    Some((unit, text.get(at.end..)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_spelt_by_their_symbol() {
        for (written, spelt) in [
            ("12 Nm", "12 N·m"),
            ("88 in-lb ± 5%", "88 lbf·in ± 5 %"),
            ("5mm", "5 mm"),
            ("+90 deg", "+90°"),
            ("90 °", "90°"),
            ("41.2..41.9mm", "41.2..41.9 mm"),
            ("12 +/- 2 Nm", "12 ± 2 N·m"),
            ("1h30min", "1 h 30 min"),
            ("max .05 inch", "max .05 in"),
            ("1-1/2 inches", "1-1/2 in"),
        ] {
            assert_eq!(canonical(written).as_deref(), Some(spelt), "{written}");
            assert_eq!(canonical(spelt), None, "{spelt}");
        }
        for fine in [
            "12 N·m ± 10 %",
            "30 H7",
            "M8 8.8",
            "max 0.05 mm",
            "2",
            "",
            "1 1/2 in",
            "0.20 ± 0.02 mm",
        ] {
            assert_eq!(canonical(fine), None, "{fine}");
        }
    }
}
