//! What an editor may say: conversations that make sense, and changes of them that know what a message is.

use super::messages::{FILES, ROOT};
use super::{owned, whole};
use crate::harness::fuzz::Chance;
use crate::harness::fuzz::change;
use crate::harness::fuzz::pool::PIECES;
use serde_json::{Value, json};

/// The file of a message, by a number.
fn address(file: usize) -> String {
    let names = ["set.yaml", "10-open.md", "20-close.md", "30-new.md", "none/40.md", ""];
    format!("{ROOT}/{}", names[file % names.len()])
}

fn message(value: &Value) -> (String, String) {
    ("message".to_string(), format!("{value}\n"))
}

/// How a conversation begins, in each way that positions are counted.
fn begun(encoding: &str) -> Vec<(String, String)> {
    let about = json!({
        "processId": null,
        "workspaceFolders": [{"uri": ROOT, "name": "pump"}],
        "capabilities": {
            "general": {"positionEncodings": [encoding]},
            "workspace": {"didChangeWatchedFiles": {"dynamicRegistration": true}},
            "window": {"showDocument": {"support": true}},
        },
    });
    let ask = json!({"jsonrpc": "2.0", "id": 0, "method": "initialize", "params": about});
    vec![
        message(&ask),
        message(&json!({"jsonrpc": "2.0", "method": "initialized", "params": {}})),
    ]
}

/// One of all that an editor says in the middle; `id` is its own if it asks.
fn sensible(chance: &mut Chance, id: usize) -> Value {
    let file = chance.below(FILES.len());
    let uri = address(if chance.below(8) == 0 { chance.below(6) } else { file });
    let text = FILES[file].1;
    let (line, column) = (chance.below(text.lines().count() + 1), chance.below(40));
    let place = json!({"line": line, "character": column});
    let end = json!({"line": line + chance.below(2), "character": column + chance.below(9)});
    let range = json!({"start": place, "end": end});
    let document = json!({"uri": uri, "version": id});
    let here = json!({"textDocument": document, "position": place});
    let with = |key: &str, value: Value| {
        let mut params = here.clone();
        params[key] = value;
        params
    };
    let piece = chance.one(PIECES).copied().unwrap_or("x");
    let change = json!({"range": range, "text": piece});
    let name = ["plug", "ring", "a b", "", "é", "10"][chance.below(6)];
    let asked = [
        ("textDocument/hover", here.clone()),
        ("textDocument/completion", here.clone()),
        ("textDocument/definition", here.clone()),
        ("textDocument/prepareRename", here.clone()),
        ("textDocument/documentHighlight", here.clone()),
        (
            "textDocument/references",
            with("context", json!({"includeDeclaration": true})),
        ),
        ("textDocument/rename", with("newName", json!(name))),
        ("textDocument/documentSymbol", json!({"textDocument": document})),
        ("textDocument/foldingRange", json!({"textDocument": document})),
        (
            "textDocument/formatting",
            json!({"textDocument": document, "options": {"tabSize": 2, "insertSpaces": true}}),
        ),
        (
            "textDocument/codeAction",
            json!({"textDocument": document, "range": range, "context": {"diagnostics": []}}),
        ),
        ("benchleaf/none", json!({"a": [1]})),
    ];
    let told = [
        (
            "textDocument/didOpen",
            json!({"textDocument": {"uri": uri, "languageId": "markdown", "version": id, "text": text}}),
        ),
        (
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [change.clone(), change]}),
        ),
        (
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [{"text": text}]}),
        ),
        ("textDocument/didClose", json!({"textDocument": document})),
        ("textDocument/didSave", json!({"textDocument": document})),
        (
            "workspace/didChangeWatchedFiles",
            json!({"changes": [{"uri": uri, "type": 2}]}),
        ),
        (
            "workspace/didChangeWorkspaceFolders",
            json!({"event": {"added": [], "removed": [{"uri": ROOT, "name": "pump"}]}}),
        ),
        (
            "workspace/didChangeWorkspaceFolders",
            json!({"event": {"added": [{"uri": ROOT, "name": "pump"}], "removed": []}}),
        ),
        ("$/cancelRequest", json!({"id": id})),
    ];
    let which = chance.below(asked.len() + told.len());
    match asked.get(which) {
        Some((method, params)) => json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}),
        None => {
            let (method, params) = &told[which - asked.len()];
            json!({"jsonrpc": "2.0", "method": method, "params": params})
        }
    }
}

/// Conversations that make sense from their beginning to their end.
pub fn seeds() -> Vec<String> {
    let mut chance = Chance::new(18);
    let one = |n: usize, chance: &mut Chance| {
        let mut all = begun(["utf-8", "utf-16", "utf-32"][n % 3]);
        all.extend((0..FILES.len()).map(|file| {
            let document = json!({"uri": address(file), "languageId": "a", "version": 1, "text": FILES[file].1});
            let params = json!({"textDocument": document});
            message(&json!({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": params}))
        }));
        all.extend((1..=4 + n % 5).map(|id| message(&sensible(chance, id))));
        all.push(message(&json!({"jsonrpc": "2.0", "id": 99, "method": "shutdown"})));
        all.push(message(&json!({"jsonrpc": "2.0", "method": "exit"})));
        whole(&all)
    };
    (0..40).map(|n| one(n, &mut chance)).collect()
}

/// What stands where something else should.
pub fn odd(chance: &mut Chance) -> Value {
    let all = [
        Value::Null,
        json!(true),
        json!(-1),
        json!(0),
        json!(1.5),
        json!(2_147_483_648_u32),
        json!(4_294_967_295_u32),
        json!(4_294_967_296_u64),
        json!(u64::MAX),
        json!(""),
        json!("a".repeat(5000)),
        json!(format!("{ROOT}/10-open.md")),
        json!(format!("{ROOT}/é.md")),
        json!("file:///"),
        json!("file://%"),
        json!("file:///%00"),
        json!("file:///%ff.md"),
        json!("file://elsewhere/a.md"),
        json!("untitled:a b"),
        json!("\u{feff}\u{2028}\u{10ffff}\0"),
        json!([]),
        json!({}),
        json!([null, [], {}]),
        (0..100).fold(json!(0), |inside, _| json!([inside])),
        json!("initialize"),
        json!("shutdown"),
        json!("exit"),
    ];
    all[chance.below(all.len())].clone()
}

/// Changes one value somewhere inside, leaves it out, or changes a text as the files of a set are.
pub fn damage(value: &mut Value, chance: &mut Chance) {
    let deeper = chance.below(5) != 0;
    match value {
        Value::Object(map) if deeper && !map.is_empty() => {
            let keys: Vec<String> = map.keys().cloned().collect();
            let key = &keys[chance.below(keys.len())];
            if chance.below(6) == 0 {
                map.remove(key);
            } else {
                damage(&mut map[key], chance);
            }
        }
        Value::Array(items) if deeper && !items.is_empty() => {
            let at = chance.below(items.len());
            if chance.below(6) == 0 {
                items.insert(at, items[at].clone());
            } else {
                damage(&mut items[at], chance);
            }
        }
        Value::String(text) if text.contains('\n') && deeper => {
            *text = change::changed(text, chance.below(usize::MAX) as u64, 8 << 10);
        }
        Value::Number(number) if deeper => {
            let near = number.as_i64().unwrap_or_default() + chance.below(5) as i64 - 2;
            *value = json!(near);
        }
        _ => *value = odd(chance),
    }
}

/// What headers there are besides the right one.
const HEADERS: [&str; 12] = [
    "Content-Length: 0\r\n\r\n",
    "Content-Length: 2\r\n\r\n{}",
    "Content-Length: 1\r\n\r\n{}",
    "Content-Length: 18446744073709551615\r\n\r\n{}",
    "Content-Length: -1\r\n\r\n",
    "Content-Length: 2\n\n{}",
    "content-length: 4\r\nContent-Type: a; b\r\n\r\nnull",
    "Content-Length: 4\r\nContent-Length: 2\r\n\r\n[]",
    "Content-Type: a\r\n\r\n",
    "\r\n",
    "\r\n\r\n",
    "\u{feff}",
];

/// One change.
pub fn changed(text: &str, chance: &mut Chance) -> String {
    let mut all = owned(text);
    let at = chance.below(all.len() + 1);
    let id = chance.below(120);
    match chance.below(10) {
        0 => all.insert(at, message(&sensible(chance, id))),
        1 => all.insert(
            at,
            ("bytes".to_string(), HEADERS[chance.below(HEADERS.len())].to_string()),
        ),
        2 => {
            // An answer that nobody asked for, or a body that is no message.
            let bodies = [
                json!({"id": id, "result": odd(chance)}),
                json!({"id": odd(chance), "method": "textDocument/hover"}),
                json!({"id": id, "method": odd(chance)}),
                json!({"id": id, "method": "shutdown"}),
                json!({"method": "exit"}),
                odd(chance),
            ];
            all.insert(at, message(&bodies[chance.below(bodies.len())]));
        }
        3 => all.insert(at, (format!("gone {}", chance.below(6000)), String::new())),
        _ => {
            let Some((_, body)) = all.get_mut(at) else {
                return whole(&all);
            };
            match serde_json::from_str::<Value>(body) {
                Ok(mut value) => {
                    damage(&mut value, chance);
                    *body = format!("{value}\n");
                }
                // What is no JSON any more is changed as bytes are.
                Err(_) => {
                    let place = body.floor_char_boundary(chance.below(body.len() + 1));
                    body.insert_str(place, chance.one(PIECES).copied().unwrap_or(" "));
                }
            }
        }
    }
    whole(&all)
}
