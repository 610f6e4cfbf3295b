//! A connection to the preview, in this process. Whatever a browser, or somebody else, sends: nothing stops, only whoever has the address with its
//! token, and no page of another site, is answered with what is shown; every answer lets nothing in from elsewhere; clicks lead to files that are
//! shown and to no others; the connection ends, and the next honest question is answered.

use super::replaced;
use crate::harness::fuzz::Chance;
use benchleaf::edge::preview::Beside;
use benchleaf_core::source::FileSet;
use std::io::{ErrorKind, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::sync::{LazyLock, Mutex};
use std::time::{Duration, Instant};

/// A small set that prints, on small paper.
const FILES: [(&str, &str); 2] = [
    (
        "/shown/pump/set.yaml",
        "machine: Invented pump\ntitle: Pump\nrev: A\ndate: 2026-01-02\npaper: half-letter\n",
    ),
    (
        "/shown/pump/10-close.md",
        "---\ntitle: Close\ntried: 2026-01-02\ntorques:\n  bolts: {name: cover bolts, fastener: M6 8.8, count: 4, torque: 10 N·m, \
         lubrication: dry}\n---\n\n1. Look at the cover.\n2. Tighten the [torque bolts].\n",
    ),
];

/// Longest that the end of a connection is waited for.
const LONGEST: Duration = Duration::from_secs(90);

/// A preview that is asked over and over.
struct Preview {
    beside: Mutex<Beside>,
    host: String,
    token: String,
}

/// The lines that clicks led to since they were looked at last.
static CLICKS: Mutex<Vec<(String, usize)>> = Mutex::new(Vec::new());

static PREVIEW: LazyLock<Preview> = LazyLock::new(|| {
    let go = |file: &str, line: usize| CLICKS.lock().expect("clicks").push((file.to_string(), line));
    let beside = Beside::start(0, Box::new(go)).unwrap_or_else(|trouble| panic!("{}", trouble.0));
    beside.show(FileSet::from_texts(FILES));
    let rest = beside
        .address
        .strip_prefix("http://")
        .expect("an address of this machine");
    let (host, token) = rest.split_once('/').expect("a token");
    Preview {
        host: host.to_string(),
        token: token.trim_end_matches('/').to_string(),
        beside: Mutex::new(beside),
    }
});

/// Sends bytes, says that there are no more, and reads all that comes back. A question for a change waits until there is one, so there is one
/// whenever nothing comes.
fn sent(preview: &Preview, bytes: &[u8]) -> Result<Vec<u8>, String> {
    let failed = |e: std::io::Error| format!("the preview isn't there: {e}");
    let mut stream = TcpStream::connect(&preview.host).map_err(failed)?;
    stream
        .set_read_timeout(Some(Duration::from_millis(150)))
        .map_err(failed)?;
    // It may hang up in the middle.
    let _ = stream.write_all(bytes);
    let _ = stream.shutdown(Shutdown::Write);
    let (mut all, mut piece, begun) = (Vec::new(), [0; 16 << 10], Instant::now());
    loop {
        match stream.read(&mut piece) {
            Ok(0) => return Ok(all),
            Ok(length) => all.extend_from_slice(&piece[..length]),
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => {
                // One that says it has too much of a body is refused, and never let go.
                if heads(&all).last().is_some_and(|(status, _)| *status == 413) {
                    return Ok(all);
                }
                if begun.elapsed() > LONGEST {
                    return Err("the connection doesn't end".to_string());
                }
                preview
                    .beside
                    .lock()
                    .expect("a preview")
                    .show(FileSet::from_texts(FILES));
            }
            Err(_) => return Ok(all),
        }
    }
}

/// The heads of answers, each from its first line to the empty one.
fn heads(bytes: &[u8]) -> Vec<(u16, String)> {
    let starts = bytes
        .windows(9)
        .enumerate()
        .filter(|(_, nine)| nine.starts_with(b"HTTP/1.") && nine[8] == b' ');
    let head = |(at, _): (usize, &[u8])| {
        let rest = &bytes[at..];
        let end = rest
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap_or(rest.len());
        let text = String::from_utf8_lossy(&rest[..end]).into_owned();
        let status = text.get(9..12).and_then(|word| word.parse().ok()).unwrap_or_default();
        (status, text)
    };
    starts.map(head).collect()
}

/// A request of which nothing is in doubt.
struct Plain {
    let_in: bool,
    /// Nothing after it is read.
    last: bool,
}

/// The requests of some bytes, if they are nothing else.
fn plain(bytes: &[u8], preview: &Preview) -> Option<Vec<Plain>> {
    let text = std::str::from_utf8(bytes).ok()?;
    let mut found = Vec::new();
    for request in text.strip_suffix("\r\n\r\n")?.split("\r\n\r\n") {
        let mut lines = request.split("\r\n");
        let [method, path, version] = lines.next()?.split(' ').collect::<Vec<_>>()[..] else {
            return None;
        };
        let printable = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_graphic());
        if !printable(path)
            || !["HTTP/1.0", "HTTP/1.1"].contains(&version)
            || !["GET", "HEAD", "POST", "PUT"].contains(&method)
        {
            return None;
        }
        let (mut hosts, mut own, mut last) = (0, true, version == "HTTP/1.0");
        for line in lines {
            let (name, value) = line.split_once(": ")?;
            let known = ["Host", "Origin", "Sec-Fetch-Site", "Connection", "Accept"]
                .iter()
                .find(|known| known.eq_ignore_ascii_case(name));
            if !printable(value) {
                return None;
            }
            match *known? {
                "Host" => {
                    hosts += 1;
                    own &= value == preview.host;
                }
                "Origin" => own &= value.strip_prefix("http://") == Some(preview.host.as_str()),
                "Sec-Fetch-Site" => own &= value == "same-origin" || value == "none",
                "Connection" if value != "close" => return None,
                "Connection" => last = true,
                _ => {}
            }
        }
        let token = path.strip_prefix('/').and_then(|path| path.split_once('/'));
        found.push(Plain {
            let_in: own
                && hosts == 1
                && ["GET", "HEAD"].contains(&method)
                && token.is_some_and(|(token, _)| token == preview.token),
            last,
        });
    }
    Some(found)
}

/// What each answer of ours says.
const SAYS: [&str; 4] = [
    "Content-Security-Policy: default-src 'none'",
    "X-Content-Type-Options: nosniff",
    "Cross-Origin-Resource-Policy: same-origin",
    "Cache-Control: no-store",
];

/// Sends what is made up, with `{token}` and `{host}` put in.
///
/// # Errors
/// What is not as it must be.
pub fn hold(bytes: &[u8]) -> Result<(), String> {
    let preview = &*PREVIEW;
    let input = replaced(bytes, b"{token}", preview.token.as_bytes());
    let input = replaced(&input, b"{host}", preview.host.as_bytes());
    let has = |piece: &str| {
        input
            .windows(piece.len())
            .any(|window| window.eq_ignore_ascii_case(piece.as_bytes()))
    };
    // The library that reads requests waits for itself where it is told of later editions of the protocol.
    if has("HTTP/2.0") || has("HTTP/3.0") {
        return Ok(());
    }
    let output = sent(preview, &input)?;
    let answers = heads(&output);
    let own = format!("/{}/", preview.token);
    for (status, head) in &answers {
        match status {
            200 | 204 | 404 if !has(&own) || !has(&preview.host) => {
                return Err(format!("somebody without the address is answered: {head}"));
            }
            200 | 204 | 403 | 404 | 405 | 413 | 503 => {
                if let Some(missing) = SAYS.iter().find(|says| !head.contains(*says)) {
                    return Err(format!("an answer without `{missing}`: {head}"));
                }
            }
            // Those of the library, to what is no request.
            400 | 408 | 417 | 505 => {}
            _ => return Err(format!("a fault of the server: {head}")),
        }
    }
    let busy = answers.iter().any(|(status, _)| *status == 503);
    if let Some(mut asked) = plain(&input, preview).filter(|_| !busy) {
        let end = asked
            .iter()
            .position(|request| request.last)
            .map_or(asked.len(), |at| at + 1);
        asked.truncate(end);
        let let_in: Vec<bool> = answers.iter().map(|(status, _)| ![403, 405].contains(status)).collect();
        if let_in != asked.iter().map(|request| request.let_in).collect::<Vec<_>>() {
            let due: Vec<bool> = asked.iter().map(|request| request.let_in).collect();
            return Err(format!("let in: {let_in:?}, and {due:?} is due"));
        }
    }
    let clicks = std::mem::take(&mut *CLICKS.lock().expect("clicks"));
    if let Some(click) = clicks
        .iter()
        .find(|(file, line)| *line == 0 || !FILES.iter().any(|(shown, _)| shown == file))
    {
        return Err(format!("a click leads to {click:?}"));
    }
    let honest = format!(
        "GET {own}nothing HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
        preview.host
    );
    match heads(&sent(preview, honest.as_bytes())?)[..] {
        [(404, _)] => Ok(()),
        ref other => Err(format!("the next honest question gets {other:?}")),
    }
}

/// What is asked for, as the page does and otherwise.
const ASKED: [&str; 20] = [
    "",
    "page.js",
    "page.css",
    "icon",
    "state",
    "state?since=1",
    "state?set=%2Fshown%2Fpump&document=card%2Fclose",
    "state?set=pump&document=card%2Fclose&mono=1",
    "state?set=pump&document=set-sheet&paper=a5",
    "leaf?set=pump&document=card%2Fclose&leaf=0&ppi=36",
    "leaf?set=pump&document=card%2Fclose&leaf=7&ppi=72",
    "leaf?set=pump&document=record&leaf=0&ppi=0",
    "go?file=%2Fshown%2Fpump%2F10-close.md&line=9",
    "go?file=%2Fshown%2Fpump%2F10-close.md&line=0",
    "go?file=%2Fetc%2Fpasswd&line=1",
    "go?file=%2Fshown%2Fpump%2F..%2Fpump%2Fset.yaml&line=1",
    "../../etc/passwd",
    "%2e%2e%2f",
    "state?option.a=b&%ff=1&since=18446744073709551616",
    "nothing",
];

/// Lines of a head.
const LINES: [&str; 18] = [
    "Host: {host}",
    "Host: evil.example",
    "Host: localhost",
    "host: {host}",
    "Host:{host}",
    "Origin: http://{host}",
    "Origin: http://evil.example",
    "Origin: null",
    "Sec-Fetch-Site: same-origin",
    "Sec-Fetch-Site: cross-site",
    "Sec-Fetch-Site: none",
    "Connection: close",
    "Connection: Upgrade\r\nUpgrade: websocket",
    "Content-Length: 5",
    "Content-Length: 99999999999999999999",
    "Transfer-Encoding: chunked",
    "Expect: 100-continue",
    "Accept: */*",
];

const PIECES: [&str; 22] = [
    "\r\n",
    "\r\n\r\n",
    "\r",
    "\n",
    " ",
    ":",
    "%",
    "%2e%2e%2f",
    "%00",
    "%ff",
    "?",
    "&",
    "=",
    "/",
    "..",
    "\0",
    "é",
    "{token}",
    "{host}",
    "5\r\nhello\r\n0\r\n\r\n",
    "HTTP/9.9",
    "18446744073709551616",
];

fn request(method: &str, what: &str, lines: &[&str]) -> String {
    let mut out = format!("{method} /{{token}}/{what} HTTP/1.1\r\n");
    lines.iter().for_each(|line| out.push_str(&format!("{line}\r\n")));
    out + "\r\n"
}

pub fn seeds() -> Vec<String> {
    let honest = ["Host: {host}", "Sec-Fetch-Site: same-origin"];
    let mut all: Vec<String> = ASKED.iter().map(|what| request("GET", what, &honest)).collect();
    all.extend(
        LINES
            .iter()
            .map(|line| request("GET", "page.js", &["Host: {host}", line])),
    );
    all.extend(["HEAD", "POST", "PUT", "OPTIONS"].map(|method| request(method, "state", &honest)));
    all.push(format!(
        "{}{}",
        request("GET", "", &honest),
        request("GET", "page.css", &honest)
    ));
    all.push("GET / HTTP/1.1\r\nHost: {host}\r\n\r\n".to_string());
    all.push("GET /{token} HTTP/1.0\r\nHost: {host}\r\n\r\n".to_string());
    all
}

/// One change.
pub fn changed(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<String> = text.split("\r\n").map(String::from).collect();
    let at = chance.below(lines.len());
    let what = ASKED[chance.below(ASKED.len())];
    match chance.below(8) {
        0 => lines.insert(at, LINES[chance.below(LINES.len())].to_string()),
        1 => lines[at] = LINES[chance.below(LINES.len())].to_string(),
        2 => drop(lines.remove(at)),
        3 => lines.insert(at, lines[at].clone()),
        4 => lines.push(request("GET", what, &["Host: {host}"])),
        5 => lines[0] = format!("GET /{{token}}/{what} HTTP/1.1"),
        _ => {
            let place = text.floor_char_boundary(chance.below(text.len() + 1));
            let end = text
                .floor_char_boundary((place + chance.below(6)).min(text.len()))
                .max(place);
            return [&text[..place], PIECES[chance.below(PIECES.len())], &text[end..]].concat();
        }
    }
    lines.join("\r\n")
}
