//! The duration format of ISO 8601-1:2019: `P2W`, or `P` days `T` hours minutes seconds.

use rust_decimal::Decimal;

/// The seconds of a duration, or a clause saying why it isn't one.
pub(super) fn seconds(text: &str) -> Result<Decimal, String> {
    let mut rest = text.strip_prefix('P').ok_or("it does not start with `P`")?;
    if rest.is_empty() {
        return Err("nothing follows `P`".to_owned());
    }
    let mut total = Decimal::ZERO;
    let mut in_time = false;
    // How large the last unit read was: units come largest first, so that `PT1M2H` is a slip.
    let mut last = Decimal::MAX;
    let mut weeks = false;
    let mut fraction = false;
    while !rest.is_empty() {
        if let Some(after) = rest.strip_prefix('T') {
            if in_time || after.is_empty() {
                return Err("`T` must stand once, before hours, minutes or seconds".to_owned());
            }
            (rest, in_time) = (after, true);
            continue;
        }
        if fraction {
            return Err("only the smallest unit may carry a fraction".to_owned());
        }
        let behind = rest.trim_start_matches(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ','));
        // ISO 8601 allows either decimal sign, and no thousands separator.
        let figure = rest.strip_suffix(behind).unwrap_or(rest).replace(',', ".");
        let count = Decimal::from_str_exact(&figure).map_err(|_| format!("`{figure}` is not a number"));
        let mut letters = behind.chars();
        let unit = letters.next().ok_or("the last number has no unit")?;
        let count = if figure.is_empty() {
            Err(format!("`{unit}` has no number"))
        } else {
            count
        }?;
        rest = letters.as_str();
        let size = match (unit, in_time) {
            ('M', false) => {
                return Err("`M` before `T` is months, which have no fixed length (minutes are `PT…M`)".to_owned());
            }
            ('Y', false) => return Err("a year has no fixed length".to_owned()),
            ('W', false) => 604_800,
            ('D', false) => 86_400,
            ('H', true) => 3_600,
            ('M', true) => 60,
            ('S', true) => 1,
            ('H' | 'S', false) => return Err(format!("`{unit}` comes after a `T`")),
            _ => return Err(format!("`{unit}` is not a unit here")),
        };
        if weeks || (unit == 'W' && last != Decimal::MAX) {
            return Err("weeks do not combine with other units".to_owned());
        }
        weeks = unit == 'W';
        let size = Decimal::from(size);
        if size >= last {
            return Err("the units are not in order, largest first".to_owned());
        }
        last = size;
        fraction = figure.contains('.');
        total = count
            .checked_mul(size)
            .and_then(|part| total.checked_add(part))
            .ok_or("it is too long")?;
    }
    if weeks && in_time {
        Err("weeks do not combine with other units".to_owned())
    } else {
        Ok(total)
    }
}
