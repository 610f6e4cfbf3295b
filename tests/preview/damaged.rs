//! Requests that no browser sends, over the socket of a preview that runs: whatever comes of them, the next honest one is answered, none that was
//! sent to another host or with another token is, and no way leads to a file beside the set. Which ones they are hangs on a seed.

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

fn has(bytes: &[u8], piece: &[u8]) -> bool {
    bytes.windows(piece.len()).any(|window| window == piece)
}

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

/// Lies beside the set, and is no concern of who looks at the set.
const OUTSIDE: &str = "Words of nobody's set";

/// What is wrong with a request: a third each, so that every sort is met often.
#[derive(Clone, Copy, PartialEq)]
enum Wrong {
    /// Anything anywhere.
    Bytes,
    /// It was sent to another host; of it nothing but the path is damaged, so that it is one to another host still.
    Host,
    /// The same with the token.
    Token,
}

/// A token that is another one, changed in one place.
fn another(token: &str, chance: &mut Chance) -> String {
    let mut out = token.to_string();
    let at = chance.below(token.len());
    match chance.below(5) {
        0 => out.truncate(at),
        1 => out.insert(at, 'a'),
        2 => out.replace_range(at..=at, if token.as_bytes()[at] == b'0' { "1" } else { "0" }),
        3 => out.insert_str(at, "%30"),
        _ => out = out.repeat(2),
    }
    out
}

pub fn damaged(rounds: usize) -> Outcome {
    let scratch = small(&format!("damaged-{rounds}"));
    scratch.write(
        "outside.md",
        format!("---\ntitle: {OUTSIDE}\n---\n\n1. Look.\n").as_bytes(),
    );
    let served = Served::of(&scratch, "pump", 0);
    let (host, path) = parts(&served.address);
    let (host, path) = (host.to_string(), path.to_string());
    let token = path.trim_end_matches('/').to_string();
    let asked = [
        "",
        "state?set=pump&document=card%2Fclose",
        "leaf?leaf=0&ppi=72",
        "go?file=a&line=1",
        "go?file=outside.md&line=1",
        "go?file=pump%2F..%2Foutside.md&line=1",
        "leaf?set=..%2Foutside&document=card%2F..%2Foutside&leaf=0",
        "../outside.md",
        "page.js/../../outside.md",
        "%2e%2e%2foutside.md",
        "nothing",
    ];
    let mut chance = Chance::new(18);
    let mut faults = Vec::new();
    for round in 0..rounds {
        let what = asked[chance.below(asked.len())];
        let wrong = [Wrong::Bytes, Wrong::Host, Wrong::Token][chance.below(3)];
        let to = match wrong {
            Wrong::Host => "evil.example",
            _ => &host,
        };
        let start = match wrong {
            Wrong::Token => format!("GET /{}/", another(&token, &mut chance)),
            _ => format!("GET /{path}"),
        };
        let mut text = format!("{start}{what} HTTP/1.1\r\nHost: {to}\r\nConnection: close\r\n\r\n").into_bytes();
        let damageable = match wrong {
            Wrong::Bytes => 0..text.len(),
            Wrong::Host => 0..start.len() + what.len(),
            // Behind the token, so that it stays another one.
            Wrong::Token => start.len()..start.len() + what.len() + 1,
        };
        for _ in 0..=chance.below(3) {
            let at = damageable.start + chance.below(damageable.len());
            match chance.below(4) {
                0 if wrong == Wrong::Bytes => text.truncate(at.max(1)),
                1 if wrong == Wrong::Bytes => text[at] = chance.below(256) as u8,
                _ => {
                    let pieces: &[&str] = match wrong {
                        Wrong::Bytes => &PIECES,
                        Wrong::Host | Wrong::Token => &IN_A_PATH,
                    };
                    let piece = pieces[chance.below(pieces.len())];
                    text.splice(at..at, piece.bytes());
                }
            }
            if text.len() < damageable.end {
                break;
            }
        }
        let answer = sent(&host, &text);
        let shown = || String::from_utf8_lossy(&text).into_owned();
        let refused = answer.starts_with(b"HTTP/1.1 403") || answer.starts_with(b"HTTP/1.1 400");
        if wrong != Wrong::Bytes && !refused {
            let start = String::from_utf8_lossy(&answer[..answer.len().min(60)]).into_owned();
            faults.push(format!("one with another host or token gets {start:?}: {:?}", shown()));
        }
        if has(&answer, b"HTTP/1.1 200") && !has(&text, format!("/{token}/").as_bytes()) {
            faults.push(format!("one without the token is answered: {:?}", shown()));
        }
        if has(&answer, OUTSIDE.as_bytes()) {
            faults.push(format!("a file beside the set is shown: {:?}", shown()));
        }
        if round % 30 == 29 && served.get("").status != 200 {
            return Err(format!("after round {round} its own page isn't answered").into());
        }
    }
    assert!(
        served.state("set=pump&document=card%2Fclose")["leaves"].is_array(),
        "it shows no leaves any more"
    );
    let (lines, words) = served.ended();
    // Whoever clicked went to a line of a file of the set, or nowhere.
    faults.extend(lines.lines().filter(|line| line.contains("outside")).map(String::from));
    if words.contains("panicked") {
        faults.push(words);
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}
