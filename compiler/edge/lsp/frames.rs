//! Messages in and out, each behind a header that says how long it is. A header is believed only as far as bytes follow it: one that promises
//! more than a machine holds ends the conversation with a word, not the program.

use crate::budgets;
use crossbeam_channel::bounded;
use lsp_server::{Connection, Message};
use std::io::{self, BufRead, Error, ErrorKind, Read};
use std::thread::{self, JoinHandle};

/// The longest line of a header.
const HEADER: u64 = 8 << 10;

/// The longest message: a file as large as one may be, each of its bytes written as `\u0000`, and what stands around it.
const MESSAGE: usize = budgets::FILE.most * 6 + (1 << 20);

/// What reads and writes beside the conversation.
pub struct Threads(JoinHandle<io::Result<()>>, JoinHandle<io::Result<()>>);

impl Threads {
    /// Waits until the editor has said its last, and has been told everything.
    ///
    /// # Errors
    /// If it said what is no message, or can't be told any more.
    pub fn join(self) -> io::Result<()> {
        let ended = |thread: JoinHandle<io::Result<()>>| {
            let stopped = |_| Err(Error::other("a thread stopped"));
            thread.join().unwrap_or_else(stopped)
        };
        ended(self.0)?;
        ended(self.1)
    }
}

/// A conversation over standard input and output. A message is taken in when the one before is dealt with, so that an editor that is quicker
/// than its answers waits.
pub fn stdio() -> (Connection, Threads) {
    let (say, receiver) = bounded(0);
    let (sender, heard) = bounded::<Message>(0);
    let reader = thread::spawn(move || {
        let mut input = io::stdin().lock();
        while let Some(message) = read(&mut input)? {
            let last = matches!(&message, Message::Notification(told) if told.method == "exit");
            say.send(message).map_err(Error::other)?;
            if last {
                break;
            }
        }
        Ok(())
    });
    let writer = thread::spawn(move || {
        let mut output = io::stdout().lock();
        heard.into_iter().try_for_each(|message| message.write(&mut output))
    });
    (Connection { sender, receiver }, Threads(reader, writer))
}

fn wrong(words: impl Into<String>) -> Error {
    Error::new(ErrorKind::InvalidData, words.into())
}

/// The next message; `None` if there is no more, or the last breaks off.
///
/// # Errors
/// If what comes is no message, or a longer one than any that makes sense.
fn read(input: &mut impl BufRead) -> io::Result<Option<Message>> {
    let mut length: Option<usize> = None;
    loop {
        let mut line = Vec::new();
        if input.by_ref().take(HEADER).read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        let shown = || String::from_utf8_lossy(&line).into_owned();
        let Some(header) = line.strip_suffix(b"\r\n") else {
            return Err(wrong(format!("malformed header: {:?}", shown())));
        };
        if header.is_empty() {
            break;
        }
        let text = std::str::from_utf8(header).ok().and_then(|text| text.split_once(": "));
        let Some((name, value)) = text else {
            return Err(wrong(format!("malformed header: {:?}", shown())));
        };
        if name.eq_ignore_ascii_case("Content-Length") {
            let read = value.parse().map_err(|_| wrong(format!("no length: {value:?}")))?;
            length = Some(read);
        }
    }
    let length = length.ok_or_else(|| wrong("no Content-Length"))?;
    if length > MESSAGE {
        return Err(wrong(format!("a message of {length} bytes, and {MESSAGE} is the most")));
    }
    // Grows by what has come, whatever was promised.
    let mut body = Vec::new();
    if input.by_ref().take(length as u64).read_to_end(&mut body)? < length {
        return Err(wrong("a message breaks off"));
    }
    let message = serde_json::from_slice(&body);
    message.map(Some).map_err(|error| wrong(format!("no message: {error}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(bytes: &[u8]) -> (usize, Option<String>) {
        let mut input = bytes;
        let mut count = 0;
        loop {
            match read(&mut input) {
                Ok(Some(_)) => count += 1,
                Ok(None) => return (count, None),
                Err(error) => return (count, Some(error.to_string())),
            }
        }
    }

    fn framed(body: &str) -> Vec<u8> {
        format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes()
    }

    const GOOD: &str = r#"{"jsonrpc":"2.0","id":1,"method":"a","params":{}}"#;

    #[test]
    fn messages_are_read_one_after_the_other() {
        let other = format!("content-length: {}\r\nContent-Type: a; b\r\n\r\n{GOOD}", GOOD.len());
        assert_eq!(all(&[framed(GOOD), other.into_bytes()].concat()), (2, None));
        assert_eq!(all(b""), (0, None));
    }

    #[test]
    fn a_promise_of_more_than_there_is_takes_no_memory() {
        for length in ["18446744073709551615", "9223372036854775807", "99999999999"] {
            let (count, words) = all(format!("Content-Length: {length}\r\n\r\n{GOOD}").as_bytes());
            assert!(count == 0 && words.unwrap().contains("is the most"), "{length}");
        }
        // As long as one may be: no more is held than has come.
        let (_, words) = all(format!("Content-Length: {MESSAGE}\r\n\r\n{GOOD}").as_bytes());
        assert_eq!(words.as_deref(), Some("a message breaks off"));
        for length in ["18446744073709551616", "-1", "1.5", "", "9 9", "é"] {
            let (count, words) = all(format!("Content-Length: {length}\r\n\r\n{GOOD}").as_bytes());
            assert!(count == 0 && words.is_some(), "{length}");
        }
    }

    #[test]
    fn what_is_no_message_is_told() {
        let endless = vec![b'a'; 100_000];
        let cases: [&[u8]; 8] = [
            b"\r\n\r\n",
            b"\n",
            b"Content-Length 1\r\n\r\n1",
            b"Content-Type: a\r\n\r\n{}",
            b"\xff\xff: \xff\r\n\r\n",
            b"Content-Length: 2\r\n\r\n\xff\xff",
            b"Content-Length: 2\r\n\r\n{}",
            &endless,
        ];
        for case in cases {
            let (count, words) = all(case);
            assert!(count == 0 && words.is_some(), "{:?}", String::from_utf8_lossy(case));
        }
        // Deeper than anybody needs.
        let deep = format!(r#"{{"method":"a","params":{}{}}}"#, "[".repeat(5000), "]".repeat(5000));
        assert!(all(&framed(&deep)).1.is_some());
    }

    #[test]
    fn any_damage_ends_in_messages_or_words() {
        let whole = [framed(GOOD), framed(r#"{"method":"b"}"#), framed(GOOD)].concat();
        let mut seed = 18_u64;
        let mut below = |most: usize| {
            // A linear congruence is chance enough for where to damage.
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as usize % most
        };
        for _ in 0..20_000 {
            let mut bytes = whole.clone();
            for _ in 0..=below(3) {
                let at = below(bytes.len());
                match below(4) {
                    0 => bytes[at] = below(256) as u8,
                    1 => drop(bytes.drain(at..(at + 1 + below(9)).min(bytes.len()))),
                    2 => bytes.insert(at, b"0129\r\n:{}[]\"\\\0"[below(14)]),
                    _ => bytes.truncate(at + 1),
                }
                if bytes.is_empty() {
                    break;
                }
            }
            let (count, _) = all(&bytes);
            assert!(count <= bytes.len() / 20, "more messages than bytes allow");
        }
    }
}
