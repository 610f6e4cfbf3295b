//! An editor by script: it speaks the protocol of language servers with the program over standard input and output.

use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::Duration;

/// Longest that an answer is waited for: a machine may be busy, and a server that hangs must fail.
const PATIENCE: Duration = Duration::from_secs(120);

/// An editor with a workspace open.
pub struct Editor {
    child: Child,
    input: Option<ChildStdin>,
    heard: Receiver<Value>,
    root: PathBuf,
    next: i64,
    version: i64,
    /// Findings last told, by path from the workspace.
    pub findings: BTreeMap<String, Vec<Value>>,
    /// Messages shown.
    pub shown: Vec<String>,
    /// What the server has asked the editor for.
    pub asked: Vec<Value>,
    pub capabilities: Value,
}

/// A message with the header that the protocol asks for.
pub fn framed(message: &Value) -> Vec<u8> {
    let body = message.to_string();
    format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes()
}

impl Editor {
    /// Opens a folder as the workspace. `encodings` are those of positions that the editor can.
    pub fn open(folder: &Path, encodings: &[&str]) -> Editor {
        Editor::with(folder, encodings, &["lsp"])
    }

    /// Opens a folder, and has what is written in it shown in a browser.
    pub fn beside(folder: &Path) -> Editor {
        Editor::with(folder, &[], &["lsp", "--preview", "--port", "0"])
    }

    fn with(folder: &Path, encodings: &[&str], arguments: &[&str]) -> Editor {
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program can be run");
        let output = child.stdout.take().expect("its output");
        let (say, heard) = channel();
        thread::spawn(move || {
            let mut output = BufReader::new(output);
            while let Some(message) = read(&mut output) {
                if say.send(message).is_err() {
                    break;
                }
            }
        });
        let root = std::fs::canonicalize(folder).expect("a folder");
        let mut editor = Editor {
            input: child.stdin.take(),
            child,
            heard,
            root,
            next: 0,
            version: 0,
            findings: BTreeMap::new(),
            shown: Vec::new(),
            asked: Vec::new(),
            capabilities: Value::Null,
        };
        let root = editor.address("");
        let about = json!({
            "processId": null,
            "rootUri": root,
            "workspaceFolders": [{"uri": root, "name": "work"}],
            "capabilities": {
                "general": {"positionEncodings": encodings},
                "window": {"showDocument": {"support": true}},
            },
        });
        editor.capabilities = editor.ask("initialize", about).expect("it starts")["capabilities"].clone();
        editor.tell("initialized", json!({}));
        editor
    }

    /// The address of a file of the workspace.
    pub fn address(&self, path: &str) -> String {
        let place = if path.is_empty() {
            self.root.clone()
        } else {
            self.root.join(path)
        };
        format!("file://{}", place.display()).replace(' ', "%20")
    }

    pub fn send_bytes(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().expect("the server listens");
        let _ = input.write_all(bytes).and_then(|()| input.flush());
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        let message = json!({"jsonrpc": "2.0", "method": method, "params": params});
        self.send_bytes(&framed(&message));
    }

    /// Sends a request, and gives its number.
    pub fn send(&mut self, method: &str, params: Value) -> i64 {
        self.next += 1;
        let message = json!({"jsonrpc": "2.0", "id": self.next, "method": method, "params": params});
        self.send_bytes(&framed(&message));
        self.next
    }

    /// The answer to a request; what is told meanwhile is kept.
    ///
    /// # Errors
    /// What the server says is wrong.
    pub fn answer(&mut self, id: i64) -> Result<Value, String> {
        self.answer_to(&json!(id))
    }

    /// The same of an id that needn't be a number, null for what has none that can be made out.
    ///
    /// # Errors
    /// What the server says is wrong.
    pub fn answer_to(&mut self, id: &Value) -> Result<Value, String> {
        loop {
            let message = self.hear().ok_or("the server is silent")?;
            if message.get("id") == Some(id) && message.get("method").is_none() {
                return match message.get("error") {
                    Some(error) => Err(error["message"].as_str().unwrap_or("").to_string()),
                    None => Ok(message["result"].clone()),
                };
            }
        }
    }

    pub fn ask(&mut self, method: &str, params: Value) -> Result<Value, String> {
        let id = self.send(method, params);
        self.answer(id)
    }

    /// The next message; findings and words for the author are kept.
    fn hear(&mut self) -> Option<Value> {
        let message = self.heard.recv_timeout(PATIENCE).ok()?;
        match message["method"].as_str() {
            Some("textDocument/publishDiagnostics") => {
                let uri = message["params"]["uri"].as_str().unwrap_or("");
                let path = uri
                    .strip_prefix(&format!("{}/", self.address("")))
                    .unwrap_or(uri)
                    .to_string();
                let found = message["params"]["diagnostics"].as_array().cloned().unwrap_or_default();
                self.findings.insert(path, found);
            }
            Some("window/showMessage") => {
                self.shown
                    .push(message["params"]["message"].as_str().unwrap_or("").to_string());
            }
            Some("window/showDocument") => self.asked.push(message.clone()),
            _ => {}
        }
        Some(message)
    }

    /// Everything that was said before is taken in: a question is asked that comes after it.
    pub fn settle(&mut self) {
        let _ = self.ask("workspace/none", json!({}));
    }

    /// Shows a document as it is in a text.
    pub fn show(&mut self, path: &str, text: &str) {
        self.version += 1;
        let document =
            json!({"uri": self.address(path), "languageId": "markdown", "version": self.version, "text": text});
        self.tell("textDocument/didOpen", json!({"textDocument": document}));
    }

    /// Changes a part of a document, given as lines and columns.
    pub fn change(&mut self, path: &str, from: (usize, usize), to: (usize, usize), text: &str) {
        self.version += 1;
        let place = |(line, character): (usize, usize)| json!({"line": line, "character": character});
        let change = json!({"range": {"start": place(from), "end": place(to)}, "text": text});
        let document = json!({"uri": self.address(path), "version": self.version});
        self.tell(
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [change]}),
        );
    }

    pub fn close(&mut self, path: &str) {
        let document = json!({"uri": self.address(path)});
        self.tell("textDocument/didClose", json!({"textDocument": document}));
    }

    /// A question about a place of a document.
    pub fn at(&self, path: &str, line: usize, character: usize) -> Value {
        json!({"textDocument": {"uri": self.address(path)}, "position": {"line": line, "character": character}})
    }

    /// The codes of what is found in a file, as last told.
    pub fn codes(&self, path: &str) -> Vec<String> {
        let found = self.findings.get(path).into_iter().flatten();
        found
            .map(|finding| finding["code"].as_str().unwrap_or("").to_string())
            .collect()
    }

    /// Memory of the server that is resident now, in KiB; 0 where the system doesn't tell.
    pub fn memory(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
        line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok())
            .unwrap_or(0)
    }

    /// Ends the conversation as the protocol asks; gives the exit code and what was written to standard error.
    pub fn end(mut self) -> (Option<i32>, String) {
        let _ = self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        self.left()
    }

    /// Goes away without a word.
    pub fn left(mut self) -> (Option<i32>, String) {
        drop(self.input.take());
        let mut words = String::new();
        if let Some(errors) = self.child.stderr.as_mut() {
            let _ = errors.read_to_string(&mut words);
        }
        (self.child.wait().ok().and_then(|status| status.code()), words)
    }
}

fn read(output: &mut impl BufRead) -> Option<Value> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if output.read_line(&mut line).ok()? == 0 {
            return None;
        }
        match line.trim_end() {
            "" => break,
            header => {
                if let Some(value) = header.strip_prefix("Content-Length: ") {
                    length = value.parse().ok()?;
                }
            }
        }
    }
    let mut body = vec![0; length];
    output.read_exact(&mut body).ok()?;
    serde_json::from_slice(&body).ok()
}
