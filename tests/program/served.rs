//! A preview that runs, asked over its socket as a browser asks.

use super::{Scratch, program};
use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStderr, ChildStdout, Stdio};
use std::time::{Duration, Instant};

/// Longest that a change is waited for: a machine may be busy, and a server that hangs must fail.
pub const PATIENCE: Duration = Duration::from_secs(120);

/// A preview that runs, and where it is.
pub struct Served {
    pub child: Child,
    out: BufReader<ChildStdout>,
    told: BufReader<ChildStderr>,
    pub address: String,
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Served {
    pub fn of(scratch: &Scratch, path: &str, port: u16) -> Served {
        let mut child = program(scratch.path())
            .args(["preview", path, "--port", &port.to_string()])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program can be run");
        let mut out = BufReader::new(child.stdout.take().expect("its output"));
        let mut told = BufReader::new(child.stderr.take().expect("what it remarks"));
        let mut address = String::new();
        out.read_line(&mut address).expect("an address");
        let mut words = String::new();
        if address.is_empty() {
            told.read_to_string(&mut words).expect("why");
            panic!("no address: {words}");
        }
        Served {
            child,
            out,
            told,
            address: address.trim().to_string(),
        }
    }

    /// The next line that it says of itself.
    pub fn line(&mut self) -> String {
        let mut line = String::new();
        self.out.read_line(&mut line).expect("a line");
        line.trim().to_string()
    }

    /// Ends it; what it still said of itself, and what it had to remark.
    pub fn ended(mut self) -> (String, String) {
        let _ = self.child.kill();
        let (mut lines, mut words) = (Vec::new(), Vec::new());
        let _ = self.out.read_to_end(&mut lines);
        let _ = self.told.read_to_end(&mut words);
        let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).into_owned();
        (text(lines), text(words))
    }

    pub fn get(&self, what: &str) -> Answer {
        get(&self.address, what)
    }

    pub fn state(&self, words: &str) -> Value {
        let answer = self.get(&format!("state?{words}"));
        assert_eq!(answer.status, 200);
        serde_json::from_slice(&answer.body).expect("JSON")
    }

    /// The state once something holds of it.
    pub fn until(&self, words: &str, what: &str, holds: impl Fn(&Value) -> bool) -> Value {
        let begun = Instant::now();
        loop {
            let state = self.state(words);
            if holds(&state) {
                return state;
            }
            assert!(begun.elapsed() < PATIENCE, "{what} doesn't come: {state}");
            std::thread::sleep(Duration::from_millis(50));
        }
    }
}

pub struct Answer {
    pub status: u16,
    pub headers: String,
    pub body: Vec<u8>,
}

/// Host with port, and the path with the token, of an address.
pub fn parts(address: &str) -> (&str, &str) {
    let rest = address.strip_prefix("http://").expect("an address of this machine");
    rest.split_once('/').expect("a token")
}

pub fn get(address: &str, what: &str) -> Answer {
    let (host, path) = parts(address);
    ask(host, &format!("GET /{path}{what} HTTP/1.1\r\nHost: {host}\r\n"))
}

/// Sends the lines of a request and reads all that comes back.
pub fn ask(host: &str, lines: &str) -> Answer {
    let mut stream = TcpStream::connect(host).expect("somebody listens");
    stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
    let asked = stream.write_all(format!("{lines}Connection: close\r\n\r\n").as_bytes());
    asked.expect("it is heard");
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes).expect("an answer");
    let end = bytes.windows(4).position(|four| four == b"\r\n\r\n").expect("a head");
    let headers = String::from_utf8_lossy(&bytes[..end]).into_owned();
    let status = headers.split(' ').nth(1).and_then(|word| word.parse().ok());
    let mut body = bytes.split_off(end + 4);
    if headers.to_ascii_lowercase().contains("transfer-encoding: chunked") {
        body = joined(&body);
    }
    Answer {
        status: status.expect("a status"),
        headers,
        body,
    }
}

/// A body that came in pieces, each under its length (RFC 9112, section 7.1).
fn joined(mut rest: &[u8]) -> Vec<u8> {
    let mut all = Vec::new();
    while let Some(end) = rest.windows(2).position(|two| two == b"\r\n") {
        let length = std::str::from_utf8(&rest[..end]).ok();
        let length = length
            .and_then(|text| usize::from_str_radix(text, 16).ok())
            .unwrap_or(0);
        if length == 0 {
            break;
        }
        all.extend_from_slice(&rest[end + 2..end + 2 + length]);
        rest = &rest[end + 4 + length..];
    }
    all
}
