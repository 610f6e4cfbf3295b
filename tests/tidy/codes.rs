//! A code means one thing for good: somebody has allowed it in a set, or has it on a list of findings from last year.
//!
//! `tests/values/codes.csv` has every code that there ever was, with its rule's name and the title of its page. A rule that goes stays in the
//! list, with the version of the language that it was last told in under `until`, and its code is nobody else's. A new rule gets a row of
//! its own; a row is never changed into another one.

use crate::harness::fixture::folder;
use crate::harness::rules;
use std::collections::{BTreeMap, BTreeSet};

/// Rows that there are at least: a row that is taken out would leave its code free to be used again.
const LISTED: usize = 134;

struct Row {
    code: String,
    name: String,
    meaning: String,
    gone: bool,
}

/// Every rule holds to the list, and the list tells of no rule that there isn't.
pub fn used_again() -> Vec<String> {
    let rows = match read() {
        Ok(rows) => rows,
        Err(fault) => return vec![fault],
    };
    let mut faults = faults(&rows, &list());
    if rows.len() < LISTED {
        faults.push(format!("{} codes are listed, and there were {LISTED}", rows.len()));
    }
    // A list that holds nothing against would hold nothing down.
    let mut other = list();
    if let Some(rule) = other.get_mut("BL101") {
        rule.1 = "Something else".into();
    }
    other.insert("BL999".into(), ("unlisted".into(), "New".into()));
    if self::faults(&rows, &other).len() != faults.len() + 2 {
        faults.push("a code that is used again isn't noticed".into());
    }
    faults
}

/// By code, the name and the title of each rule's page.
fn list() -> BTreeMap<String, (String, String)> {
    let rule = |rule: &&'static crate::harness::Rule| {
        let page = rule.explanation();
        let title = page.lines().next().unwrap_or("").trim_start_matches("# ");
        (rule.code.to_string(), (rule.name.to_string(), title.to_string()))
    };
    rules().iter().map(rule).collect()
}

fn read() -> Result<Vec<Row>, String> {
    let path = folder("values").join("codes.csv");
    let mut reader = csv::Reader::from_path(path).map_err(|e| e.to_string())?;
    let rows = reader.records().map(|row| {
        let row = row.map_err(|e| e.to_string())?;
        let cell = |n: usize| row.get(n).unwrap_or("").to_string();
        Ok(Row {
            code: cell(0),
            name: cell(1),
            meaning: cell(2),
            gone: !cell(4).is_empty(),
        })
    });
    rows.collect()
}

fn faults(rows: &[Row], rules: &BTreeMap<String, (String, String)>) -> Vec<String> {
    let mut faults = Vec::new();
    let mut seen = BTreeSet::new();
    for row in rows {
        let code = &row.code;
        if !seen.insert(code) {
            faults.push(format!("{code} is listed twice"));
        }
        match rules.get(code) {
            None if row.gone => {}
            None => faults.push(format!("{code} has no rule: say under `until` when it was last told")),
            Some(_) if row.gone => faults.push(format!("{code} was `{}`, and is used again", row.name)),
            Some((name, meaning)) if *name != row.name || *meaning != row.meaning => faults.push(format!(
                "{code} is `{}` ({}), and is now `{name}` ({meaning}): a rule that means something else takes a code of its own",
                row.name, row.meaning
            )),
            Some(_) => {}
        }
    }
    let unlisted = rules.keys().filter(|code| !seen.contains(code));
    faults.extend(unlisted.map(|code| format!("{code} is not in tests/values/codes.csv: give it a row")));
    faults
}
