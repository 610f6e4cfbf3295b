//! A leaf's data as a tree of items: each dictionary gets a key, by its position, and what it asks of the page.
//!
//! Templates wrap what they print of a dictionary in `item(…)` of `lib/item.typ`, which labels it with the key. A key consists of the few
//! letters that the typesetter keeps in a number; other labels would stay in memory for the life of the process.

use benchleaf_core::fingerprint::Kind;
use benchleaf_core::source::Sources;
use serde::Serialize;
use serde_json::{Map, Value};

use super::asks;
use super::claims;
use super::figures;
use super::node::{KEY, Node, Subject, Tree, key};
use super::prose;
use super::standing;

/// The data with keys, as the templates get it, and what is wanted.
pub fn keyed<L: Kind + Serialize>(leaf: &L) -> (Value, Tree) {
    // Leaves hold only strings and numbers, which always serialise.
    let mut value = serde_json::to_value(leaf).unwrap_or_default();
    let mut gather = Gather {
        nodes: Vec::new(),
        lists: 0,
        sources: Sources::of(leaf),
    };
    if let Value::Object(map) = &mut value {
        gather.dictionary(
            map,
            At {
                path: L::NAME.to_string(),
                exact: String::new(),
            },
            None,
            None,
            Subject::default(),
        );
    }
    let mut tree = Tree { nodes: gather.nodes };
    asks::forget_named(&value, &mut tree);
    (value, tree)
}

struct Gather {
    nodes: Vec<Node>,
    lists: usize,
    sources: Sources,
}

/// Where a piece of the data stands.
struct At {
    /// By the names of fields alone, `card.phases.runs.steps`.
    path: String,
    /// With the numbers in lists too, as [`Sources`] has it.
    exact: String,
}

impl Gather {
    fn dictionary(
        &mut self,
        map: &mut Map<String, Value>,
        At { path, exact }: At,
        parent: Option<usize>,
        list: Option<usize>,
        mut subject: Subject,
    ) -> usize {
        let index = self.nodes.len();
        asks::subject(&path, map, &mut subject);
        subject.span = self.sources.get(&exact).or(subject.span);
        self.nodes.push(Node {
            texts: asks::texts(&path, map),
            ticks: asks::ticks(&path, map),
            boxes: asks::boxes(&path, map),
            members: asks::members(map),
            pictures: match asks::is_unprinted(&path) {
                true => Vec::new(),
                false => prose::pictures(&path, map),
            },
            place: asks::place(&path, map),
            side: asks::side(&path, map),
            figures: figures::of(&path, map),
            claims: claims::of(&path, map),
            signal: map.get("signal").and_then(Value::as_str).map(str::to_string),
            whole: asks::whole(&path),
            breaks: asks::breaks(&path, map),
            headed: asks::headed(&path, map),
            again: asks::again(&path),
            open: asks::open(&path, map),
            so: standing::so(&path, map),
            touched: map
                .get("touched")
                .and_then(Value::as_str)
                .and_then(|phase| phase.parse().ok()),
            path: path.clone(),
            parent,
            list,
            subject: subject.clone(),
        });
        for (field, value) in map.iter_mut() {
            let at = At {
                path: format!("{path}.{field}"),
                exact: format!("{exact}.{field}"),
            };
            self.value(value, at, index, &subject);
        }
        map.insert(KEY.to_string(), Value::from(key(index)));
        index
    }

    fn value(&mut self, value: &mut Value, at: At, parent: usize, subject: &Subject) {
        match value {
            Value::Object(map) => {
                self.dictionary(map, at, Some(parent), None, subject.clone());
            }
            // Prose is one text, whatever it consists of.
            Value::Array(items) if !prose::is_prose(&at.path, items) => {
                self.lists += 1;
                let list = self.lists;
                for (n, item) in items.iter_mut().enumerate() {
                    if let Value::Object(map) = item {
                        let at = At {
                            path: at.path.clone(),
                            exact: format!("{}.{n}", at.exact),
                        };
                        self.dictionary(map, at, Some(parent), Some(list), subject.clone());
                    }
                }
            }
            _ => {}
        }
    }
}
