//! Which readings of one measurement belong to a place of another.
//!
//! The clearance of cylinder 2 is worked out from the readings of its bore and of its piston: by name where the names say it (`cyl 2
//! along` belongs to `cyl 2`), and by position where there are as many of one as of the other (`piston 2` is the second of two).

/// Where a measurement is taken: nowhere named, a list of places (`rows` alone), or a grid.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Grid {
    pub rows: Vec<String>,
    pub columns: Vec<String>,
}

impl Grid {
    /// How many readings: at least one.
    pub fn len(&self) -> usize {
        self.rows.len().max(1) * self.columns.len().max(1)
    }

    /// Never: a measurement without named places is one reading.
    pub fn is_empty(&self) -> bool {
        false
    }

    /// Names of the readings, row by row: `top, cyl 1 along`; an empty one where no place is named.
    pub fn names(&self) -> Vec<String> {
        let none = [String::new()];
        let rows = if self.rows.is_empty() { &none[..] } else { &self.rows };
        let join = |row: &String, column: &String| match (row.is_empty(), column.is_empty()) {
            (_, true) => row.clone(),
            (true, false) => column.clone(),
            (false, false) => format!("{row}, {column}"),
        };
        let columns = if self.columns.is_empty() {
            &none[..]
        } else {
            &self.columns
        };
        rows.iter()
            .flat_map(|row| columns.iter().map(move |c| join(row, c)))
            .collect()
    }
}

/// Part of a grid: the positions of its readings, row by row, and how they stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Share {
    pub cells: Vec<usize>,
    pub rows: usize,
    pub columns: usize,
}

/// The readings of `source` that belong to the reading `place` (0 and up) of `target`; `None` where they can't be told.
pub fn share(target: &Grid, source: &Grid, place: usize) -> Option<Share> {
    let (height, width) = (source.rows.len().max(1), source.columns.len().max(1));
    let block = |rows: Vec<usize>, columns: Vec<usize>| Share {
        cells: rows
            .iter()
            .flat_map(|r| columns.iter().map(move |c| r * width + c))
            .collect(),
        rows: rows.len(),
        columns: columns.len(),
    };
    let all = |n: usize| (0..n).collect::<Vec<_>>();
    if source.len() == 1 || target.len() == 1 {
        return Some(block(all(height), all(width)));
    }
    if !target.columns.is_empty() {
        let (row, column) = (place / target.columns.len(), place % target.columns.len());
        if height == target.rows.len() && width == target.columns.len() {
            return Some(block(vec![row], vec![column]));
        }
        // A list beside a grid: one reading for each column of it, or for each row.
        if width == 1 && height == target.columns.len() {
            return Some(block(vec![column], vec![0]));
        }
        return (width == 1 && height == target.rows.len()).then(|| block(vec![row], vec![0]));
    }
    if let Some(columns) = group(&target.rows, &source.columns, place) {
        return Some(block(all(height), columns));
    }
    group(&target.rows, &source.rows, place).map(|rows| block(rows, all(width)))
}

/// The names that belong to one of some places: those that start with its name, else as many consecutive ones as fall to each.
fn group(places: &[String], names: &[String], place: usize) -> Option<Vec<usize>> {
    if names.is_empty() || !names.len().is_multiple_of(places.len()) {
        return None;
    }
    let each = names.len() / places.len();
    let of = |place: &String| -> Vec<usize> {
        let begins =
            |name: &String| name == place || name.strip_prefix(place.as_str()).is_some_and(|r| r.starts_with(' '));
        let named = names.iter().enumerate().filter(|(_, name)| begins(name));
        named.map(|(n, _)| n).collect()
    };
    let named: Vec<Vec<usize>> = places.iter().map(of).collect();
    if named.iter().all(|found| found.len() == each) {
        return named.into_iter().nth(place);
    }
    Some((place * each..(place + 1) * each).collect())
}
