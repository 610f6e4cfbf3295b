//! Finds what an author names in a table of names.

use super::quantity::{Scan, ValueError, ValueErrorKind};

/// The row of a name among `(name, row)`, without regard to case, hyphens and spaces; or a fault with the nearest name.
pub(crate) fn find_by_name<T: Copy>(
    what: &'static str,
    text: &str,
    names: impl Iterator<Item = (&'static str, T)>,
) -> Result<T, ValueError> {
    let at = Scan::new(text).remainder();
    let found = text.trim().to_owned();
    if found.is_empty() {
        return Err(ValueError::new(at, ValueErrorKind::Empty));
    }
    let wanted = fold(&found);
    let mut nearest: Option<(usize, &'static str)> = None;
    for (name, row) in names {
        let own = fold(name);
        if own == wanted {
            return Ok(row);
        }
        // A name much longer than this one isn't near it, and comparing a whole text with each takes a while.
        if wanted.len() > 2 * own.len() + 4 {
            continue;
        }
        let distance = strsim::damerau_levenshtein(&own, &wanted);
        if distance <= 1 + own.chars().count() / 4 && nearest.is_none_or(|(known, _)| distance < known) {
            nearest = Some((distance, name));
        }
    }
    let suggestion = nearest.map(|(_, name)| name.to_owned());
    Err(ValueError::new(
        at,
        ValueErrorKind::UnknownName {
            what,
            found,
            suggestion,
        },
    ))
}

/// The same among the rows of a table, each with a name and its other names, parted by `|`.
pub(crate) fn find_row<R>(
    what: &'static str,
    text: &str,
    rows: &'static [R],
    names: impl Fn(&'static R) -> (&'static str, &'static str),
) -> Result<&'static R, ValueError> {
    let spelt = rows.iter().flat_map(|row| {
        let (name, others) = names(row);
        let all = std::iter::once(name).chain(others.split('|'));
        all.filter(|name| !name.is_empty()).map(move |name| (name, row))
    });
    find_by_name(what, text, spelt)
}

fn fold(name: &str) -> String {
    name.chars()
        .filter(|letter| !letter.is_whitespace() && !matches!(letter, '-' | '_'))
        .flat_map(char::to_lowercase)
        .collect()
}
