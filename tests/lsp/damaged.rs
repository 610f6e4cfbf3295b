//! Messages that no editor should send: parts left out, of the wrong kind, far out of range; headers that lie, bodies that are none. The server
//! answers or says what is wrong, and goes on as long as headers say where the next message begins. Which ones they are hangs on a seed.

use super::{demo, ended, text_of};
use crate::harness::Outcome;
use crate::harness::fuzz::Chance;
use crate::program::Scratch;
use crate::program::editor::{Editor, framed};
use crate::program::fuzzed::said::{damage, odd};
use serde_json::{Value, json};

const FILE: &str = "pump-seal/10-remove-seal.md";

/// Messages that make sense, some of which nobody answers.
fn sensible(editor: &Editor, chance: &mut Chance) -> (&'static str, Value) {
    let (line, column) = (chance.below(80), chance.below(60));
    let here = editor.at(FILE, line, column);
    let place = |line: usize, character: usize| json!({"line": line, "character": character});
    let range = json!({"start": place(line, column), "end": place(line + chance.below(3), column)});
    let own = json!({"uri": editor.address(FILE), "version": 7});
    let with = |key: &str, value: Value| {
        let mut params = here.clone();
        params[key] = value;
        params
    };
    let change = json!({"range": range, "text": (["", "x", "[fit ", "\n", "é𝄞"][chance.below(5)])});
    let all = [
        ("textDocument/hover", here.clone()),
        ("textDocument/completion", here.clone()),
        ("textDocument/definition", here.clone()),
        ("textDocument/prepareRename", here.clone()),
        ("textDocument/documentHighlight", here.clone()),
        (
            "textDocument/references",
            with("context", json!({"includeDeclaration": true})),
        ),
        ("textDocument/rename", with("newName", json!("other-name"))),
        ("textDocument/documentSymbol", json!({"textDocument": own})),
        ("textDocument/foldingRange", json!({"textDocument": own})),
        (
            "textDocument/formatting",
            json!({"textDocument": own, "options": {"tabSize": 2, "insertSpaces": true}}),
        ),
        (
            "textDocument/codeAction",
            json!({"textDocument": own, "range": range, "context": {"diagnostics": []}}),
        ),
        (
            "textDocument/didChange",
            json!({"textDocument": own, "contentChanges": [change.clone(), change]}),
        ),
        (
            "textDocument/didOpen",
            json!({"textDocument": {"uri": editor.address(FILE), "languageId": "markdown", "version": 1, "text": "---\n"}}),
        ),
        ("textDocument/didClose", json!({"textDocument": own})),
        ("textDocument/didSave", json!({"textDocument": own})),
        (
            "workspace/didChangeWatchedFiles",
            json!({"changes": [{"uri": editor.address(FILE), "type": 2}]}),
        ),
        (
            "workspace/didChangeWorkspaceFolders",
            json!({"event": {"added": [{"uri": editor.address("none"), "name": "none"}], "removed": []}}),
        ),
        ("$/cancelRequest", json!({"id": 1})),
        ("initialize", json!({"capabilities": {}})),
        ("initialized", json!({})),
        ("", json!(null)),
        ("textDocument/hover\0", here),
        ("benchleaf/none", json!({"a": [1]})),
    ];
    all[chance.below(all.len())].clone()
}

/// Damaged messages under sound headers: each request is answered, and so is a sensible one behind them.
pub fn answered(rounds: usize) -> Outcome {
    let scratch = demo(&format!("damaged-{rounds}"));
    let text = text_of(&scratch, FILE);
    let (line, column) = super::place(&text, "[fit line-plugs 2]");
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    let mut chance = Chance::new(18);
    for round in 0..rounds {
        let (method, mut params) = sensible(&editor, &mut chance);
        for _ in 0..chance.below(3) {
            damage(&mut params, &mut chance);
        }
        match chance.below(8) {
            // Told where it should be asked, or the other way round.
            0 => editor.tell(method, params.clone()),
            // Ids of any sort: an answer names it, or null where no answer can. Without one it is something that is told.
            1 => {
                let id = odd(&mut chance);
                let message = json!({"id": id, "method": method, "params": params});
                editor.send_bytes(&framed(&message));
                let named = match id {
                    Value::Null => None,
                    Value::Number(_) | Value::String(_) => Some(id),
                    _ => Some(Value::Null),
                };
                if let Some(named) = named {
                    let answer = editor.answer_to(&named);
                    super::silent_or_said(answer).map_err(|words| format!("round {round}: {words}: {message}"))?;
                }
            }
            // A body that is no message: its parts are of the wrong kind, or it is cut off.
            3 => {
                let mut named = json!(round);
                let mut body = json!({"id": round, "method": [method], "params": params}).to_string();
                if chance.below(2) == 0 {
                    body.truncate(body.floor_char_boundary(chance.below(body.len())));
                    named = Value::Null;
                }
                editor.send_bytes(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
                let answer = editor.answer_to(&named);
                super::silent_or_said(answer).map_err(|words| format!("round {round}: {words}: {body}"))?;
            }
            // An answer that nobody asked for.
            2 => editor.send_bytes(&framed(&json!({"id": round, "result": params}))),
            _ => {
                let answer = editor.ask(method, params.clone());
                super::silent_or_said(answer).map_err(|words| format!("round {round}: {words}: {method} {params}"))?;
            }
        }
        if round % 20 == 19 {
            // Whatever was told of the document, as it is now it is shown anew.
            editor.show(FILE, &text);
            let said = editor.ask("textDocument/hover", editor.at(FILE, line, column + 7))?;
            let words = said["contents"]["value"].as_str().unwrap_or("");
            if !words.contains("flush-line plugs") {
                return Err(format!("after round {round} a sensible question gets {said}").into());
            }
        }
    }
    ended(editor)
}

/// Damaged bytes: the conversation ends in order, with a word where they are no message.
pub fn told() -> Outcome {
    let scratch = Scratch::new("lsp-damaged-bytes");
    scratch.write("work/set.yaml", b"machine: A\ntitle: A\n");
    let good = framed(&json!({"jsonrpc": "2.0", "id": 9, "method": "workspace/none", "params": {"a": ["é", 1]}}));
    let mut cases: Vec<Vec<u8>> = [
        &b"Content-Length: 18446744073709551615\r\n\r\n{}"[..],
        b"Content-Length: 9223372036854775807\r\n\r\n{}",
        b"Content-Length: 99999999999\r\n\r\n{}",
        b"Content-Length: -1\r\n\r\n{}",
        b"Content-Length: 2\n\n{}",
        b"Content-Length: 2\r\n\r\n{}",
        b"Content-Length: 2\r\n\r\n[]",
        b"Content-Length: 2\r\n\r\n\xff\xfe",
        b"Content-Length: 0\r\n\r\n",
        b"\r\n\r\n",
        b"\xff\xff\xff\xff",
    ]
    .map(<[u8]>::to_vec)
    .to_vec();
    cases.push(vec![b'a'; 1 << 20]);
    cases.push({
        let body = format!(r#"{{"method":"a","params":{}"#, "[".repeat(100_000));
        format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes()
    });
    let mut chance = Chance::new(18);
    for _ in 0..40 {
        let mut bytes = [good.clone(), good.clone()].concat();
        for _ in 0..=chance.below(3) {
            let at = chance.below(bytes.len());
            match chance.below(4) {
                0 => bytes[at] = chance.below(256) as u8,
                1 => bytes.insert(at, b"09\r\n:{}[]\"\\\0"[chance.below(12)]),
                2 => drop(bytes.drain(at..(at + 1 + chance.below(9)).min(bytes.len() - 1).max(at))),
                _ => bytes.truncate(at + 1),
            }
        }
        cases.push(bytes);
    }
    let mut faults = Vec::new();
    for bytes in cases {
        let mut editor = Editor::open(&scratch.path().join("work"), &[]);
        editor.send_bytes(&bytes);
        let (code, words) = editor.left();
        let in_order = match code {
            Some(0) => words.is_empty(),
            Some(2) => words.contains("can't understand the editor"),
            _ => false,
        };
        if !in_order || words.contains("panicked") {
            let start: String = String::from_utf8_lossy(&bytes).chars().take(200).collect();
            faults.push(format!("{code:?} `{words}` of {start:?}"));
        }
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}
