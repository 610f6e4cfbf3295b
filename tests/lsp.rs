//! The language server, spoken to by a scripted editor over standard input and output.

mod damaged;
mod in_time;

use crate::harness::{Outcome, fixture};
use crate::program::Scratch;
use crate::program::editor::Editor;
use libtest_mimic::Trial;
use serde_json::{Value, json};
use std::fs;

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![
        Trial::test("lsp/findings-as-typed", as_typed),
        Trial::test("lsp/columns-of-every-encoding", columns),
        Trial::test("lsp/names-and-changes", names_and_changes),
        Trial::test("lsp/a-file-that-is-not-on-the-disk", unsaved),
        Trial::test("lsp/garbage-ends-it-in-order", garbage),
        Trial::test("lsp/damaged-messages-are-answered", || damaged::answered(400)),
        Trial::test("lsp/damaged-bytes-are-told", damaged::told),
        Trial::test("lsp/memory-stays-flat", || flat(200)),
        Trial::test("left/editor-memory-stays-flat", || flat(1000)).with_ignored_flag(true),
        Trial::test("left/editor-damaged-messages", || damaged::answered(40_000)).with_ignored_flag(true),
        Trial::test("left/editor-answers-in-time", in_time::in_time).with_ignored_flag(true),
        #[cfg(unix)]
        Trial::test("lsp/nothing-outside-is-read-or-written", outside),
    ];
    for set in ["air-compressor", "pump-seal", "worm-reducer"] {
        trials.push(Trial::test(format!("lsp/many-places/{set}"), move || places(set, 37)));
        let all = move || places(set, 1);
        trials.push(Trial::test(format!("left/editor-at-every-place/{set}"), all).with_ignored_flag(true));
    }
    trials
}

/// The demo sets in a scratch folder.
fn demo(name: &str) -> Scratch {
    let scratch = Scratch::new(&format!("lsp-{name}"));
    scratch.bring(&fixture::root().join("procedures"), "work");
    scratch
}

const STRIP: &str = "pump-seal/10-remove-seal.md";

fn text_of(scratch: &Scratch, path: &str) -> String {
    fs::read_to_string(scratch.path().join("work").join(path)).expect("a demo file")
}

/// Line and column, in UTF-16, of the start of some words.
fn place(text: &str, words: &str) -> (usize, usize) {
    let at = text.find(words).unwrap_or_else(|| panic!("no `{words}`"));
    let line = text[..at].matches('\n').count();
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    (line, text[start..at].encode_utf16().count())
}

fn ended(editor: Editor) -> Outcome {
    match editor.end() {
        (Some(0), words) if words.is_empty() => Ok(()),
        (code, words) => Err(format!("it ended with {code:?} and said `{words}`").into()),
    }
}

fn as_typed() -> Outcome {
    let scratch = demo("typed");
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    editor.settle();
    assert!(
        editor.findings.values().all(Vec::is_empty),
        "the demo sets are clean: {:?}",
        editor.findings
    );
    let text = text_of(&scratch, STRIP);
    editor.show(STRIP, &text);
    // A letter of an id is taken away: the entry is unknown here, and nothing on the disk has changed.
    let (line, column) = place(&text, "[fit padlock]");
    let at = column + "[fit padloc".len();
    editor.change(STRIP, (line, at), (line, at + 1), "");
    editor.settle();
    assert_eq!(editor.codes(STRIP), ["BL101"]);
    let found = &editor.findings[STRIP][0];
    assert_eq!(
        found["range"]["start"],
        json!({"line": line, "character": column + "[fit ".len()})
    );
    assert_eq!(found["severity"], 1);
    assert!(found["message"].as_str().unwrap().contains("padloc"), "{found}");
    editor.change(STRIP, (line, at), (line, at), "k");
    editor.settle();
    assert!(editor.codes(STRIP).is_empty());
    // What a register lacks is found in every file that names it, open or not.
    let set = "pump-seal/set.yaml";
    let yaml = text_of(&scratch, set);
    editor.show(set, &yaml);
    let (line, _) = place(&yaml, "  line-plugs:\n");
    editor.change(set, (line, 2), (line, 12), "line-caps");
    editor.settle();
    assert!(
        editor.codes(STRIP).contains(&"BL101".to_string()),
        "{:?}",
        editor.findings
    );
    assert!(
        editor
            .codes("pump-seal/40-close-and-run.md")
            .contains(&"BL101".to_string())
    );
    // Characters that no font has are told here as `check` tells them.
    editor.show("pump-seal/20-inspect.md", &text_of(&scratch, "pump-seal/20-inspect.md"));
    let inspect = text_of(&scratch, "pump-seal/20-inspect.md");
    let (line, column) = place(&inspect, "title: ");
    let at = (line, column + "title: ".len());
    editor.close(set);
    editor.change("pump-seal/20-inspect.md", at, at, "\u{10380} ");
    editor.settle();
    let codes = editor.codes("pump-seal/20-inspect.md");
    assert!(
        codes.iter().all(|code| code == "BL801") && !codes.is_empty(),
        "{:?}",
        editor.findings
    );
    editor.close("pump-seal/20-inspect.md");
    // Closed without saving, the disk counts again.
    editor.settle();
    assert!(editor.findings.values().all(Vec::is_empty), "{:?}", editor.findings);
    ended(editor)
}

fn columns() -> Outcome {
    let steps = "---\ntitle: A\n---\n\n1. Wait 5 µm, 𝄞𝄞, then [fit nothing].\n";
    for (encodings, name, column) in [
        (vec![], "utf-16", "1. Wait 5 µm, 𝄞𝄞, then [fit ".encode_utf16().count()),
        (vec!["utf-16", "utf-8"], "utf-8", "1. Wait 5 µm, 𝄞𝄞, then [fit ".len()),
        (vec!["utf-32"], "utf-32", "1. Wait 5 µm, 𝄞𝄞, then [fit ".chars().count()),
    ] {
        let scratch = Scratch::new(&format!("lsp-columns-{name}"));
        scratch.write("work/set.yaml", b"machine: A\ntitle: A\n");
        scratch.write("work/10-a.md", format!("\u{feff}{steps}").as_bytes());
        let mut editor = Editor::open(&scratch.path().join("work"), &encodings);
        assert_eq!(editor.capabilities["positionEncoding"], name);
        editor.settle();
        let unknown = |editor: &Editor| {
            let found = editor.findings["10-a.md"]
                .iter()
                .find(|finding| finding["code"] == "BL101");
            found.cloned().unwrap_or_default()
        };
        assert_eq!(
            unknown(&editor)["range"]["start"],
            json!({"line": 4, "character": column}),
            "{name}, from the disk"
        );
        editor.show("10-a.md", steps);
        // A change behind the wide letters lands where the editor meant it.
        editor.change("10-a.md", (4, column), (4, column), "x");
        editor.settle();
        let found = unknown(&editor)["message"].to_string();
        assert!(found.contains("xnothing"), "{name}: {found}");
        ended(editor)?;
    }
    Ok(())
}

fn names_and_changes() -> Outcome {
    let scratch = demo("names");
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    let text = text_of(&scratch, STRIP);
    editor.show(STRIP, &text);
    let (line, column) = place(&text, "[fit line-plugs 2]");
    let here = editor.at(STRIP, line, column + 7);
    let defined = editor.ask("textDocument/definition", here.clone())?;
    assert_eq!(defined[0]["uri"], editor.address("pump-seal/set.yaml"));
    let mut with = here.clone();
    with["context"] = json!({"includeDeclaration": true});
    let all = editor
        .ask("textDocument/references", with)?
        .as_array()
        .cloned()
        .unwrap_or_default();
    let elsewhere = all
        .iter()
        .filter(|place| place["uri"] == editor.address("pump-seal/40-close-and-run.md"));
    assert!(elsewhere.count() >= 1 && all.len() >= 4, "{all:?}");
    let said = editor.ask("textDocument/hover", here.clone())?;
    assert!(
        said["contents"]["value"].as_str().unwrap().contains("flush-line plugs"),
        "{said}"
    );
    let range = editor.ask("textDocument/prepareRename", here.clone())?;
    assert_eq!(range["start"]["character"], column + "[fit ".len());
    let mut rename = here.clone();
    rename["newName"] = json!("flush-plugs");
    let edit = editor.ask("textDocument/rename", rename)?;
    let files = edit["documentChanges"].as_array().map_or(0, Vec::len);
    assert!(files >= 3, "{edit}");
    let mut taken = here.clone();
    taken["newName"] = json!("padlock");
    let refused = editor.ask("textDocument/rename", taken);
    assert!(refused.is_err(), "two things would have one name");
    let listed = editor.ask("textDocument/completion", here)?;
    let labels: Vec<&str> = listed["items"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|item| item["label"].as_str())
        .collect();
    assert!(
        labels.contains(&"line-plugs") && labels.contains(&"gland"),
        "{labels:?}"
    );
    let symbols = editor.ask(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": editor.address(STRIP)}}),
    )?;
    assert!(symbols.to_string().contains("Prove it dead"), "{symbols}");
    let folds = editor.ask(
        "textDocument/foldingRange",
        json!({"textDocument": {"uri": editor.address(STRIP)}}),
    )?;
    assert!(folds.as_array().map_or(0, Vec::len) > 5, "{folds}");
    // A slip with a certain change: the quick fix makes it.
    let (line, column) = place(&text, "[fit padlock]");
    editor.change(STRIP, (line, column + 1), (line, column + 4), "fti");
    editor.settle();
    assert_eq!(editor.codes(STRIP).len(), 1, "{:?}", editor.findings[STRIP]);
    let range = editor.findings[STRIP][0]["range"].clone();
    let asked = json!({"textDocument": {"uri": editor.address(STRIP)}, "range": range, "context": {"diagnostics": []}});
    let actions = editor.ask("textDocument/codeAction", asked)?;
    assert_eq!(
        actions[0]["edit"]["documentChanges"][0]["edits"][0]["newText"], "fit",
        "{actions}"
    );
    // And spelling.
    editor.change(STRIP, (line, column + 1), (line, column + 4), "fit  ");
    let asked =
        json!({"textDocument": {"uri": editor.address(STRIP)}, "options": {"tabSize": 2, "insertSpaces": true}});
    let edits = editor.ask("textDocument/formatting", asked)?;
    assert_eq!(edits.as_array().map_or(0, Vec::len), 1, "{edits}");
    assert_eq!(edits[0]["newText"], "[fit padlock]");
    ended(editor)
}

/// A file that was never saved is a file of its set, and gone when it is closed.
fn unsaved() -> Outcome {
    let scratch = demo("unsaved");
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    editor.show(
        "pump-seal/50-more.md",
        "---\ntitle: More\n---\n\n1. Fit the [fit nothing].\n",
    );
    editor.settle();
    assert_eq!(editor.codes("pump-seal/50-more.md"), ["BL101"]);
    editor.close("pump-seal/50-more.md");
    editor.settle();
    assert!(editor.codes("pump-seal/50-more.md").is_empty());
    assert!(!scratch.path().join("work/pump-seal/50-more.md").exists());
    ended(editor)
}

fn garbage() -> Outcome {
    let scratch = demo("garbage");
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    // Questions that make no sense are answered, and the server goes on.
    for (method, params) in [
        ("textDocument/hover", json!({})),
        (
            "textDocument/hover",
            json!({"textDocument": {"uri": "untitled:one"}, "position": {"line": 0, "character": 0}}),
        ),
        ("textDocument/completion", json!([1, 2])),
        ("textDocument/rename", json!(null)),
        ("benchleaf/none", json!({})),
    ] {
        let _ = editor.ask(method, params);
    }
    let far = json!({"textDocument": {"uri": editor.address(STRIP)}, "position": {"line": 4_000_000_000_u32, "character": 4_000_000_000_u32}});
    for method in ["hover", "completion", "definition", "prepareRename"] {
        let _ = editor.ask(&format!("textDocument/{method}"), far.clone());
    }
    editor.change(STRIP, (9, 9), (0, 0), "an edit of a file that is not open");
    editor.tell("textDocument/didChange", json!({"nonsense": true}));
    assert!(editor.ask("textDocument/hover", editor.at(STRIP, 30, 10)).is_ok());
    // So is what is no message, as long as it is told where it ends.
    for (body, id) in [
        ("not json!", json!(null)),
        ("{}", json!(null)),
        (r#"{"id":4294967296,"method":"shutdown"}"#, json!(4_294_967_296_u64)),
    ] {
        editor.send_bytes(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
        let said = editor.answer_to(&id);
        assert!(
            said.as_ref().is_err_and(|words| !words.starts_with("the server")),
            "{body}: {said:?}"
        );
    }
    assert!(editor.ask("textDocument/hover", editor.at(STRIP, 30, 10)).is_ok());
    editor.send_bytes(b"Content-Length: nine\r\n\r\nnot json!");
    let (code, words) = editor.left();
    assert_eq!(code, Some(2), "{words}");
    assert!(
        words.contains("can't understand the editor") && !words.contains("panicked"),
        "{words}"
    );
    // An editor that goes away is no reason to stay, nor to complain of memory.
    let editor = Editor::open(&scratch.path().join("work"), &[]);
    let (code, words) = editor.left();
    assert!(code.is_some() && !words.contains("panicked"), "{code:?} {words}");
    Ok(())
}

/// Many edits take no more memory than the first hundred did.
fn flat(edits: usize) -> Outcome {
    let scratch = Scratch::new(&format!("lsp-flat-{edits}"));
    scratch.write("work/set.yaml", b"machine: A\ntitle: A\nparts:\n  plug: a plug\n");
    let steps = "---\ntitle: A\n---\n\n1. Take off the [remove plug].\n2. Fit the [fit plug].\n";
    scratch.write("work/10-a.md", steps.as_bytes());
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    editor.show("10-a.md", steps);
    let mut after = 0;
    for n in 0..edits {
        let (from, to, text) = if n % 2 == 0 {
            ((5, 17), (5, 18), "x")
        } else {
            ((5, 17), (5, 18), "u")
        };
        editor.change("10-a.md", from, to, text);
        editor.settle();
        if n == 99 {
            after = editor.memory();
        }
    }
    let end = editor.memory();
    // What an allocator holds back is not measured to the page.
    if end > after + 8 * 1024 {
        return Err(format!("{after} KiB after a hundred edits, {end} KiB after {edits}").into());
    }
    println!("{after} KiB after a hundred edits, {end} KiB after {edits}");
    ended(editor)
}

/// Every `stride`th place of a demo set is asked about, in one way after the other.
fn places(set: &str, stride: usize) -> Outcome {
    let scratch = demo(&format!("places-{set}-{stride}"));
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    let ways = [
        "hover",
        "completion",
        "definition",
        "references",
        "prepareRename",
        "documentHighlight",
    ];
    let folder = scratch.path().join("work").join(set);
    let mut asked = 0;
    for path in fixture::walk(&folder) {
        let name = format!("{set}/{}", fixture::name(&path));
        if !name.ends_with(".md") && !name.ends_with(".yaml") {
            continue;
        }
        let text = text_of(&scratch, &name);
        let mut waiting = Vec::new();
        for (line, words) in text.lines().enumerate() {
            for column in 0..=words.encode_utf16().count() {
                asked += 1;
                if asked % stride != 0 {
                    continue;
                }
                let mut params = editor.at(&name, line, column);
                params["context"] = json!({"includeDeclaration": true});
                let way = ways[(asked / stride) % ways.len()];
                if way == "completion" {
                    params["context"] = Value::Null;
                }
                waiting.push(editor.send(&format!("textDocument/{way}"), params));
                // A pipe holds only so much; answers are taken in as they come.
                if waiting.len() == 16 {
                    for id in waiting.drain(..) {
                        silent_or_said(editor.answer(id))?;
                    }
                }
            }
        }
        for id in waiting {
            silent_or_said(editor.answer(id))?;
        }
    }
    println!("{} places asked about", asked / stride);
    ended(editor)
}

/// A server that stopped is silent; one that has nothing to say, or may not rename, says so.
fn silent_or_said(answer: Result<Value, String>) -> Result<(), String> {
    match answer {
        Err(words) if words == "the server is silent" || words.contains("panic") => Err(words),
        Ok(_) | Err(_) => Ok(()),
    }
}

/// A link that leads out of the workspace is not followed, a file outside is no concern, and nothing is written anywhere.
#[cfg(unix)]
fn outside() -> Outcome {
    let scratch = Scratch::new("lsp-outside");
    scratch.bring(&fixture::root().join("procedures").join("pump-seal"), "work/pump-seal");
    scratch.write("work/.git/HEAD", b"ref: refs/heads/main\n");
    scratch.write(
        "secret/10-secret.md",
        b"---\ntitle: Secret words\n---\n\n1. Fit the [fit hidden].\n",
    );
    std::os::unix::fs::symlink(
        "../../secret/10-secret.md",
        scratch.path().join("work/pump-seal/15-link.md"),
    )
    .expect("a link");
    let before = scratch.files("");
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    editor.show(
        "../secret/10-secret.md",
        "---\ntitle: Secret words\n---\n\n1. Fit the [fit hidden].\n",
    );
    editor.settle();
    assert!(
        editor.shown.iter().any(|words| words.contains("15-link.md leads to")),
        "{:?}",
        editor.shown
    );
    assert!(
        !format!("{:?}", editor.findings).contains("hidden"),
        "{:?}",
        editor.findings
    );
    let answer = editor.ask("textDocument/hover", editor.at("../secret/10-secret.md", 4, 17))?;
    assert_eq!(answer, Value::Null);
    ended(editor)?;
    assert!(scratch.files("") == before, "something was written");
    Ok(())
}
