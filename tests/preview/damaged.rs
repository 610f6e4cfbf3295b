//! Requests that no browser sends, over the socket of a preview that runs: whatever comes of them, the next honest one is answered, and none
//! that was sent to another host is. Which ones they are hangs on a seed.

use super::small;
use crate::harness::Outcome;
use crate::harness::fuzz::Chance;
use crate::program::served::{Served, parts};
use std::io::{Read, Write};
use std::net::{Shutdown, TcpStream};
use std::time::Duration;

/// What lies in a request.
const PIECES: [&str; 22] = [
    "\r\n",
    "\r\n\r\n",
    " ",
    "%",
    "%2e%2e%2f",
    "%ff",
    "%00",
    "?",
    "&",
    "=",
    "/",
    "..",
    "\0",
    "é",
    "Host: evil.example\r\n",
    "Content-Length: 99999999999999999999\r\n",
    "Content-Length: 5\r\n",
    "Transfer-Encoding: chunked\r\n",
    "Expect: 100-continue\r\n",
    "Connection: Upgrade\r\nUpgrade: websocket\r\n",
    "HTTP/9.9",
    "18446744073709551616",
];

/// What leaves a request one line and one path.
const IN_A_PATH: [&str; 9] = ["%", "%2e%2e%2f", "%ff", "%00", "?", "&", "=", "/", ".."];

/// Sends bytes, says that there are no more, and reads what comes back, however little.
fn sent(host: &str, bytes: &[u8]) -> Vec<u8> {
    let mut stream = TcpStream::connect(host).expect("somebody listens");
    stream.set_read_timeout(Some(Duration::from_secs(5))).expect("a limit");
    // It may hang up in the middle.
    let _ = stream.write_all(bytes);
    let _ = stream.shutdown(Shutdown::Write);
    let mut all = Vec::new();
    let _ = stream.read_to_end(&mut all);
    all
}

pub fn damaged() -> Outcome {
    let scratch = small("damaged");
    let served = Served::of(&scratch, "pump", 0);
    let (host, path) = parts(&served.address);
    let (host, path) = (host.to_string(), path.to_string());
    let asked = [
        "",
        "state?set=pump&document=card%2Fclose",
        "leaf?leaf=0&ppi=72",
        "go?file=a&line=1",
        "nothing",
    ];
    let mut chance = Chance::new(18);
    let mut faults = Vec::new();
    for round in 0..300 {
        let what = asked[chance.below(asked.len())];
        let foreign = chance.below(3) == 0;
        let to = if foreign { "evil.example" } else { &host };
        let mut text = format!("GET /{path}{what} HTTP/1.1\r\nHost: {to}\r\nConnection: close\r\n\r\n").into_bytes();
        // Of one to another host nothing but the path is damaged, so that it is one to another host still.
        let most = if foreign {
            format!("GET /{path}{what}").len()
        } else {
            text.len()
        };
        for _ in 0..=chance.below(3) {
            let at = chance.below(most);
            match chance.below(4) {
                0 if !foreign => text.truncate(at.max(1)),
                1 if !foreign => text[at] = chance.below(256) as u8,
                _ => {
                    let pieces: &[&str] = if foreign { &IN_A_PATH } else { &PIECES };
                    let piece = pieces[chance.below(pieces.len())];
                    text.splice(at..at, piece.bytes());
                }
            }
            if text.len() < most {
                break;
            }
        }
        let answer = sent(&host, &text);
        if foreign && !answer.starts_with(b"HTTP/1.1 403") && !answer.starts_with(b"HTTP/1.1 400") {
            let start = String::from_utf8_lossy(&answer[..answer.len().min(60)]).into_owned();
            faults.push(format!(
                "one to another host gets {start:?}: {:?}",
                String::from_utf8_lossy(&text)
            ));
        }
        if round % 30 == 29 && served.get("").status != 200 {
            return Err(format!("after round {round} its own page isn't answered").into());
        }
    }
    assert!(
        served.state("set=pump&document=card%2Fclose")["leaves"].is_array(),
        "it shows no leaves any more"
    );
    let words = served.ended();
    if words.contains("panicked") {
        faults.push(words);
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}
