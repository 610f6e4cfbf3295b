//! A conversation with the language server over bytes in memory. Whatever an editor says: nothing stops, every request that can be made out is
//! answered once, nothing is answered that wasn't asked, all that is said is a message, and the conversation ends when the editor has said its
//! last, well or with a word as the protocol has it.

use super::{parts, put, replaced};
use benchleaf::edge::{disk, lsp};
use serde_json::Value;
use std::collections::BTreeMap;
use std::io::{self, Cursor, Write};
use std::path::Path;
use std::sync::{Arc, Mutex, mpsc};
use std::thread;
use std::time::Duration;

/// Longest that a conversation of some kilobytes is waited for.
const LONGEST: Duration = Duration::from_secs(120);

/// The files that the editor has open.
pub const FILES: [(&str, &str); 3] = [
    (
        "set.yaml",
        "machine: Invented pump\ntitle: Pump\nparts: {cover: {name: Cover, qty: 1}, ring: {fitted: no}}\ntorques:\n  \
         bolts: {name: cover bolts, fastener: M6 8.8, count: 4, torque: 10 N·m, lubrication: dry}\n",
    ),
    (
        "10-open.md",
        "---\ntitle: Open\n---\n\n1. Take off the [remove cover].\n2. Take out the [remove ring].\n",
    ),
    (
        "20-close.md",
        "---\ntitle: Close\nneeds: [open]\n---\n\n> [!WARNING] Hot\n> It burns.\n> Avoid: wait.\n\n1. Put on the [fit cover].\n\
         2. Tighten the [torque bolts]. 🔧\n",
    ),
];

/// What stands for the address of the folder.
pub const ROOT: &str = "{root}";

/// What an editor takes before it goes away.
#[derive(Clone)]
struct Taken {
    bytes: Arc<Mutex<Vec<u8>>>,
    most: usize,
}

impl Write for Taken {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut taken = self.bytes.lock().expect("a buffer");
        if taken.len() + bytes.len() > self.most {
            return Err(io::ErrorKind::BrokenPipe.into());
        }
        taken.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// The bytes of a text's messages, and how many the editor takes: `=== message` has one that is framed as it should be, `=== bytes` what is
/// sent as it is, `=== gone N` says that nothing more is taken. A text without parts is sent as it is.
fn said(bytes: &[u8], root: &str) -> (Vec<u8>, Option<usize>) {
    let bytes = replaced(bytes, ROOT.as_bytes(), root.as_bytes());
    let Ok(text) = std::str::from_utf8(&bytes) else {
        return (bytes, None);
    };
    let (mut out, mut most) = (Vec::new(), None);
    let all = parts(text);
    if all.is_empty() {
        return (text.as_bytes().to_vec(), None);
    }
    for (head, body) in all {
        match head.split_once(' ').unwrap_or((head, "")) {
            ("gone", number) => most = number.trim().parse().ok(),
            ("message", _) => {
                let body = body.trim_end_matches('\n');
                out.extend(format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes());
            }
            _ => out.extend_from_slice(body.as_bytes()),
        }
    }
    (out, most)
}

/// A message, and what comes behind it.
type Parted<'a> = (&'a [u8], &'a [u8]);

/// The next body of some bytes, and what comes after it; `None` where there is none, an error where what stands there is no header.
fn next(bytes: &[u8]) -> Result<Option<Parted<'_>>, String> {
    let (mut rest, mut length) = (bytes, None);
    loop {
        let Some(end) = rest.iter().position(|byte| *byte == b'\n') else {
            return if rest.is_empty() {
                Ok(None)
            } else {
                Err("a line without an end".into())
            };
        };
        let line = rest[..end].strip_suffix(b"\r").ok_or("a line without a return")?;
        rest = &rest[end + 1..];
        if line.is_empty() {
            break;
        }
        let text = std::str::from_utf8(line).map_err(|e| e.to_string())?;
        let (name, value) = text.split_once(": ").ok_or("no colon")?;
        if name.eq_ignore_ascii_case("content-length") {
            length = Some(value.parse::<usize>().map_err(|e| e.to_string())?);
        }
        if end >= 8 << 10 {
            return Err("a long line".into());
        }
    }
    let length = length.ok_or("no length")?;
    if length > rest.len() {
        return Err("it breaks off".into());
    }
    Ok(Some(rest.split_at(length)))
}

/// How far a conversation is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    /// Nothing but `initialize` is answered well.
    Start,
    /// It was answered, and the editor has to say that it knows.
    Told,
    Talk,
    /// All that is waited for is the end.
    Shut,
    /// The conversation is over.
    Over,
    /// Whether it goes on hangs on what is taken for an answer.
    Unsure,
}

/// What must come of some bytes.
#[derive(Debug, Default)]
struct Due {
    /// Answers by the id that they name, as JSON.
    must: BTreeMap<String, usize>,
    /// Those that may come besides.
    may: BTreeMap<String, usize>,
    /// Whether all ends well, where that is sure.
    well: Option<bool>,
    /// Addresses that the editor itself named.
    addresses: Vec<String>,
    /// It named a folder that is none of the scratch folder's, which is somebody else's disk.
    outside: bool,
}

fn due(bytes: &[u8], root: &str) -> Due {
    let (mut due, mut stage, mut rest) = (Due::default(), Stage::Start, bytes);
    loop {
        match next(rest) {
            Ok(Some((body, after))) => {
                rest = after;
                let value = serde_json::from_slice::<Value>(body);
                if let Ok(value) = &value {
                    addresses(value, &mut due.addresses);
                }
                stage = heard(value.ok().as_ref(), stage, &mut due);
            }
            Ok(None) => {
                due.well = match stage {
                    Stage::Talk => due.well.or(Some(true)),
                    Stage::Start | Stage::Told | Stage::Shut => Some(false),
                    Stage::Over | Stage::Unsure => due.well,
                };
                break;
            }
            Err(_) => {
                due.well = match stage {
                    Stage::Over | Stage::Unsure => due.well,
                    _ => Some(false),
                };
                break;
            }
        }
    }
    let inside = |text: &String| text.starts_with(root) && !text.contains("..") && !text[root.len()..].contains('%');
    due.outside = due
        .addresses
        .iter()
        .any(|text| text.to_ascii_lowercase().starts_with("file:") && !inside(text));
    due
}

/// Every text of a message that may be an address.
fn addresses(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::String(text) if text.contains(':') && text.len() < 400 => found.push(text.clone()),
        Value::Array(items) => items.iter().for_each(|item| addresses(item, found)),
        Value::Object(map) => map.values().for_each(|value| addresses(value, found)),
        _ => {}
    }
}

impl Due {
    /// A message that is to be answered; one after the end may be.
    fn answer(&mut self, stage: Stage, id: String) {
        let over = matches!(stage, Stage::Over | Stage::Unsure);
        let all = if over { &mut self.may } else { &mut self.must };
        *all.entry(id).or_default() += 1;
    }

    fn ends(&mut self, well: bool) -> Stage {
        self.well = Some(well);
        Stage::Over
    }
}

/// Takes in a body, `None` for one that is no JSON: what must be answered, and how far the conversation is then.
fn heard(value: Option<&Value>, stage: Stage, due: &mut Due) -> Stage {
    let id = value.and_then(|value| value.get("id")).cloned().unwrap_or_default();
    let method = value.and_then(|value| value.get("method"));
    let (named, known) = match &id {
        Value::Number(number) => (
            id.to_string(),
            number.as_i64().is_some_and(|number| i32::try_from(number).is_ok()),
        ),
        Value::String(_) => (id.to_string(), true),
        _ => ("null".to_string(), false),
    };
    let Some(Value::String(method)) = method else {
        let is_answer = value.is_some_and(|value| value.get("result").is_some() || value.get("error").is_some());
        if method.is_some() || !is_answer {
            due.answer(stage, named);
        } else if !matches!(stage, Stage::Talk | Stage::Over) {
            return Stage::Unsure;
        }
        return stage;
    };
    if !id.is_null() && !known {
        due.answer(stage, named);
        return stage;
    }
    match (stage, method.as_str()) {
        (Stage::Start, "exit") if !known => due.ends(false),
        (Stage::Told, "initialized") if !known => Stage::Talk,
        (Stage::Told, _) => due.ends(false),
        (Stage::Talk, "exit") if !known => due.ends(true),
        (Stage::Shut, method) => due.ends(!known && method == "exit"),
        (stage, method) => {
            if known {
                due.answer(stage, named);
            }
            match (stage, method) {
                (Stage::Start, "initialize") if known => Stage::Told,
                (Stage::Talk, "shutdown") if known => Stage::Shut,
                _ => stage,
            }
        }
    }
}

/// What was answered, by the id that it names.
fn answered(mut bytes: &[u8], due: &Due, root: &str) -> Result<BTreeMap<String, usize>, String> {
    let mut found: BTreeMap<String, usize> = BTreeMap::new();
    while let Some((body, after)) = next(bytes)? {
        bytes = after;
        let value: Value = serde_json::from_slice(body).map_err(|e| format!("no JSON is said: {e}"))?;
        let mut named = Vec::new();
        addresses(&value, &mut named);
        let strange =
            |text: &&String| text.starts_with("file:") && !text.starts_with(root) && !due.addresses.contains(text);
        if let Some(address) = named.iter().find(strange) {
            return Err(format!("what is said leads outside: {address}"));
        }
        if value.get("method").is_some() {
            continue;
        }
        if value.get("result").is_some() == value.get("error").is_some() {
            return Err(format!("an answer is a result or an error: {value}"));
        }
        *found
            .entry(value.get("id").cloned().unwrap_or_default().to_string())
            .or_default() += 1;
    }
    Ok(found)
}

/// Holds a conversation.
///
/// # Errors
/// What is not as it must be.
pub fn hold(place: &Path, bytes: &[u8]) -> Result<(), String> {
    if !place.join(".git").exists() {
        // Stops the search for shop files above it.
        let written = FILES
            .iter()
            .try_for_each(|(path, text)| put(place, path, text.as_bytes()));
        written
            .and_then(|()| put(place, ".git/none", b""))
            .map_err(|e| e.to_string())?;
    }
    let root = format!("file://{}", place.display());
    let (input, most) = said(bytes, &root);
    let due = due(&input, &root);
    if due.outside {
        return Ok(());
    }
    let taken = Taken {
        bytes: Arc::default(),
        most: most.unwrap_or(usize::MAX),
    };
    let (ended, output) = (mpsc::channel(), taken.clone());
    let talk = thread::spawn(move || {
        let outcome = lsp::over(Cursor::new(input), output, None, &disk::Real);
        let _ = ended.0.send(outcome.map_err(|trouble| trouble.0));
    });
    let outcome = match ended.1.recv_timeout(LONGEST) {
        Ok(outcome) => outcome,
        Err(mpsc::RecvTimeoutError::Timeout) => return Err("the conversation doesn't end".to_string()),
        Err(mpsc::RecvTimeoutError::Disconnected) => return Err(stopped(talk)),
    };
    if let Err(words) = &outcome
        && (words.contains("a thread stopped") || words.is_empty())
    {
        return Err(format!("it ends with `{words}`"));
    }
    if most.is_some() {
        // Who has gone away gets no answers; that it ends is all.
        return Ok(());
    }
    if due.well.is_some_and(|well| well != outcome.is_ok()) {
        return Err(format!("it ends with {outcome:?}, and {:?} is due", due.well));
    }
    let bytes = taken.bytes.lock().expect("a buffer");
    let found = answered(&bytes, &due, &root)?;
    let of = |all: &BTreeMap<String, usize>, id: &str| all.get(id).copied().unwrap_or_default();
    for id in found.keys().chain(due.must.keys()) {
        let (got, must, may) = (of(&found, id), of(&due.must, id), of(&due.may, id));
        if got < must || got > must + may {
            return Err(format!(
                "{got} answers to {id}, and {must} are due, {may} more let through"
            ));
        }
    }
    Ok(())
}

/// The words that a thread stopped with.
fn stopped(thread: thread::JoinHandle<()>) -> String {
    let words = thread.join().err().map(|payload| {
        let text = payload.downcast_ref::<String>().cloned();
        text.or_else(|| payload.downcast_ref::<&str>().map(ToString::to_string))
            .unwrap_or_default()
    });
    format!("it stops: {}", words.unwrap_or_default())
}
