//! A browser by script: a headless one of this machine, spoken to as its own tools do, in messages over a socket (RFC 6455).

use super::Scratch;
use serde_json::{Value, json};
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// Browsers that a machine may have, by the names of their programs.
const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// Longest that anything of it is waited for.
const PATIENCE: Duration = Duration::from_secs(120);

/// The browser that this machine has.
pub fn any() -> Option<&'static str> {
    let has = |name: &&str| {
        let tried = Command::new(name)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        tried.is_ok_and(|status| status.success())
    };
    NAMES.into_iter().find(|name| has(name))
}

/// A browser with one page open.
pub struct Browser {
    child: Child,
    stream: TcpStream,
    next: u64,
    /// What its console has said.
    pub said: Vec<String>,
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Browser {
    /// Opens an address.
    pub fn open(name: &str, scratch: &Scratch, address: &str) -> Browser {
        let profile = scratch.path().join("profile");
        let child = Command::new(name)
            .args(["--headless", "--no-sandbox", "--disable-gpu", "--window-size=1200,900"])
            .arg("--remote-debugging-port=0")
            .arg(format!("--user-data-dir={}", profile.display()))
            .arg("about:blank")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("it can be run");
        let port = wait("its port", || {
            let text = fs::read_to_string(profile.join("DevToolsActivePort")).ok()?;
            text.lines().next().map(str::to_string)
        });
        let host = format!("127.0.0.1:{port}");
        let place = wait("its page", || {
            let pages: Value = serde_json::from_slice(&fetched(&host, "/json/list")?).ok()?;
            let page = pages.as_array()?.iter().find(|page| page["type"] == "page")?;
            Some(page["webSocketDebuggerUrl"].as_str()?.to_string())
        });
        let path = place.split_once(&host).map_or("/", |(_, path)| path);
        let mut stream = TcpStream::connect(&host).expect("it listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
        let hello = format!(
            "GET {path} HTTP/1.1\r\nHost: {host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n\
             Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n"
        );
        stream.write_all(hello.as_bytes()).expect("it is heard");
        let mut head = Vec::new();
        while !head.ends_with(b"\r\n\r\n") {
            let mut byte = [0];
            stream.read_exact(&mut byte).expect("an answer");
            head.push(byte[0]);
        }
        assert!(head.starts_with(b"HTTP/1.1 101"), "{}", String::from_utf8_lossy(&head));
        let mut browser = Browser {
            child,
            stream,
            next: 0,
            said: Vec::new(),
        };
        for method in ["Runtime.enable", "Log.enable", "Page.enable"] {
            browser.ask(method, json!({}));
        }
        browser.ask("Page.navigate", json!({"url": address}));
        browser
    }

    /// What an expression comes to on the page.
    pub fn value(&mut self, expression: &str) -> Value {
        let asked = json!({"expression": expression, "returnByValue": true, "awaitPromise": true});
        self.ask("Runtime.evaluate", asked)["result"]["value"].clone()
    }

    /// Waits until an expression is true on the page.
    pub fn until(&mut self, expression: &str) {
        let begun = Instant::now();
        while self.value(expression) != Value::Bool(true) {
            assert!(begun.elapsed() < PATIENCE, "`{expression}` doesn't come true");
            sleep(Duration::from_millis(5));
        }
    }

    fn ask(&mut self, method: &str, params: Value) -> Value {
        self.next += 1;
        self.send(&json!({"id": self.next, "method": method, "params": params}).to_string());
        loop {
            let message = self.hear();
            match message["method"].as_str() {
                Some("Runtime.exceptionThrown") => self.said.push(message["params"]["exceptionDetails"].to_string()),
                Some("Log.entryAdded") => self.said.push(message["params"]["entry"].to_string()),
                Some("Runtime.consoleAPICalled") => self.said.push(message["params"]["args"].to_string()),
                _ => {}
            }
            if message["id"] == json!(self.next) {
                return message["result"].clone();
            }
        }
    }

    /// One text in one frame, masked as a client has to; with nought, which is as good as any number here.
    fn send(&mut self, text: &str) {
        let length = text.len();
        let mut frame = vec![0x81];
        match u16::try_from(length) {
            Ok(short) if short < 126 => frame.push(0x80 | short as u8),
            Ok(long) => {
                frame.push(0x80 | 126);
                frame.extend(long.to_be_bytes());
            }
            Err(_) => {
                frame.push(0x80 | 127);
                frame.extend((length as u64).to_be_bytes());
            }
        }
        frame.extend([0; 4]);
        frame.extend(text.as_bytes());
        self.stream.write_all(&frame).expect("it is heard");
    }

    fn hear(&mut self) -> Value {
        let mut text = Vec::new();
        loop {
            let head = self.bytes(2);
            let length = match head[1] & 0x7f {
                126 => self.bytes(2).iter().fold(0, |all, byte| all << 8 | usize::from(*byte)),
                127 => self.bytes(8).iter().fold(0, |all, byte| all << 8 | usize::from(*byte)),
                short => usize::from(short),
            };
            let body = self.bytes(length);
            // A text, or more of one; nothing else of it is of use here.
            if head[0] & 0x0f <= 1 {
                text.extend(body);
                if head[0] & 0x80 != 0 {
                    return serde_json::from_slice(&text).expect("JSON");
                }
            }
        }
    }

    fn bytes(&mut self, count: usize) -> Vec<u8> {
        let mut bytes = vec![0; count];
        self.stream.read_exact(&mut bytes).expect("the browser says more");
        bytes
    }
}

fn wait<T>(what: &str, mut found: impl FnMut() -> Option<T>) -> T {
    let begun = Instant::now();
    loop {
        if let Some(found) = found() {
            return found;
        }
        assert!(begun.elapsed() < PATIENCE, "{what} doesn't come");
        sleep(Duration::from_millis(50));
    }
}

/// The body of an answer.
fn fetched(host: &str, path: &str) -> Option<Vec<u8>> {
    let mut stream = TcpStream::connect(host).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(5))).ok()?;
    write!(
        stream,
        "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
    )
    .ok()?;
    let mut head = Vec::new();
    while !head.ends_with(b"\r\n\r\n") {
        let mut byte = [0];
        stream.read_exact(&mut byte).ok()?;
        head.push(byte[0]);
    }
    let head = String::from_utf8_lossy(&head).to_ascii_lowercase();
    let length = head
        .lines()
        .find_map(|line| line.strip_prefix("content-length:")?.trim().parse().ok())?;
    let mut body = vec![0; length];
    stream.read_exact(&mut body).ok()?;
    Some(body)
}
