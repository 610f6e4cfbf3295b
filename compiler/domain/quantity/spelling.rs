//! How a value is spelt: its units by their symbol, with the space that belongs before it, and its signs as one character.

use super::Unit;
use super::scan::Scan;

/// A value with every unit behind a number by its symbol (`12 Nm` is `12 N·m`, `5mm` is `5 mm`, `90 deg` is `90°`) and `±` for `+/-`;
/// `None` if it is spelt so already. Nothing else changes: numbers keep their digits, and what is no unit stays.
pub fn canonical(text: &str) -> Option<String> {
    let mut out = String::with_capacity(text.len() + 4);
    let mut at = 0;
    let mut before = ' ';
    while let Some(c) = text[at..].chars().next() {
        // A number within a word is no figure: `M8`, `H7`.
        let figure = c.is_ascii_digit() && !before.is_alphanumeric();
        let number = figure.then(|| number(&text[at..])).flatten();
        if let Some(length) = number {
            out.push_str(&text[at..at + length]);
            at += length;
            before = '0';
            if let Some((unit, length)) = unit(&text[at..]) {
                if unit.symbol() != "°" {
                    out.push(' ');
                }
                out.push_str(unit.symbol());
                at += length;
                before = 'x';
                // `1h30min` is two figures.
                if text[at..].starts_with(|next: char| next.is_ascii_digit()) {
                    out.push(' ');
                    before = ' ';
                }
            }
            continue;
        }
        if let Some(sign) = ["+/-", "+/−", "+-", "+−"]
            .into_iter()
            .find(|sign| text[at..].starts_with(sign))
        {
            out.push('±');
            if !text[at + sign.len()..].starts_with(' ') {
                out.push(' ');
            }
            at += sign.len();
            before = ' ';
            continue;
        }
        out.push(c);
        at += c.len_utf8();
        before = c;
    }
    (out != text).then_some(out)
}

/// How long the number is that a text begins with.
fn number(text: &str) -> Option<usize> {
    // A range's two dots end a number.
    let (_, at) = Scan::new(text).number().ok()?;
    (at.start == 0).then_some(at.end)
}

/// The unit that a text begins with behind spaces, and how long both are.
fn unit(text: &str) -> Option<(Unit, usize)> {
    let (unit, at) = Scan::new(text).unit(None).ok()??;
    Some((unit, at.end))
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
