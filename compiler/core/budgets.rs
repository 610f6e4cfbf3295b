//! How much of anything a set may hold. Nothing that a workshop writes comes near; what goes past it was made to use up the machine that reads it,
//! or was saved by mistake. Each is met with a finding that names it, and `explain budgets` prints them all.

/// The most there may be of something.
#[derive(Debug, PartialEq, Eq)]
pub struct Budget {
    /// What it is called in findings.
    pub name: &'static str,
    pub most: usize,
    /// What is counted, in words that follow the number.
    pub of: &'static str,
    /// The code of the finding that names it.
    pub code: &'static str,
}

impl Budget {
    /// True of a count past it.
    pub fn is_over(&self, count: usize) -> bool {
        count > self.most
    }
}

const fn budget(name: &'static str, most: usize, of: &'static str) -> Budget {
    budget_of(name, most, of, "BL056")
}

const fn budget_of(name: &'static str, most: usize, of: &'static str, code: &'static str) -> Budget {
    Budget { name, most, of, code }
}

/// Past this a file is not read further; the finding about it is one of its own.
pub static FILE: Budget = budget_of("file", 64 << 20, "bytes of a Markdown or YAML file", "BL051");
pub static BODY: Budget = budget("text", 4 << 20, "bytes of Markdown below the front matter");
pub static HEAD: Budget = budget("front-matter", 4 << 20, "bytes of YAML");
pub static NESTING: Budget = budget("nesting", 12, "quotes, lists and emphases within each other");
pub static ITEMS: Budget = budget("steps", 10_000, "list items in one file");
pub static YAML_DEPTH: Budget = budget("yaml-depth", 64, "maps and lists of YAML within each other");
pub static YAML_NODES: Budget = budget(
    "yaml-nodes",
    250_000,
    "keys, values, maps and lists of YAML, those behind a `*name` counted each time",
);
pub static YAML_NAMES: Budget = budget(
    "yaml-names",
    1_000,
    "names for values (`&name`) and uses of them (`*name`)",
);
pub static BOXES: Budget = budget("boxes", 1_000, "boxes of one limit: its places, or rows times columns");
pub static PIXELS: Budget = budget_of("pixels", 50_000_000, "pixels of a picture", "BL114");
pub static ELEMENTS: Budget = budget_of(
    "drawing",
    100_000,
    "elements of a drawing, those that `use` repeats counted each time",
    "BL114",
);
pub static DEPTH: Budget = budget_of("drawing-depth", 200, "elements of a drawing within each other", "BL114");
pub static EFFECTS: Budget = budget_of(
    "effects",
    200,
    "filter effects of a drawing, times the elements that they are put on",
    "BL114",
);

/// Those that other parts of the program hold to; here they are for the table.
static CALC_TERMS: Budget = budget_of(
    "terms",
    crate::domain::calc::MOST_TERMS,
    "values of one calculation",
    "BL350",
);
static CALC_BRACKETS: Budget = budget_of(
    "brackets",
    crate::domain::calc::DEEPEST,
    "brackets within each other in a calculation",
    "BL350",
);
static POSITIONS: Budget = budget_of(
    "positions",
    crate::domain::pattern::MOST_POSITIONS,
    "positions of a pattern",
    "BL207",
);

/// Every budget of a text, in the order of the table; the walk over the combinations of options has one of its own.
pub static TEXTS: [&Budget; 16] = [
    &FILE,
    &BODY,
    &HEAD,
    &NESTING,
    &ITEMS,
    &YAML_DEPTH,
    &YAML_NODES,
    &YAML_NAMES,
    &BOXES,
    &CALC_TERMS,
    &CALC_BRACKETS,
    &POSITIONS,
    &PIXELS,
    &ELEMENTS,
    &DEPTH,
    &EFFECTS,
];
