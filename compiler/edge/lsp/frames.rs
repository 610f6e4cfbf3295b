//! Messages in and out, each behind a header that says how long it is. A header is believed only as far as bytes follow it: one that promises
//! more than a machine holds ends the conversation with a word, not the program. Where the header is sound, the next message can be found
//! whatever the body holds: what is no message of the protocol is answered as one that can't be, and the conversation goes on.

use crate::budgets;
use crossbeam_channel::bounded;
use lsp_server::{Connection, ErrorCode, Message, Notification, Request};
use serde_json::{Value, json};
use std::io::{self, BufRead, Error, ErrorKind, Read, Write};
use std::sync::{Mutex, PoisonError};
use std::thread::{self, ScopedJoinHandle};

/// The longest line of a header.
const HEADER: u64 = 8 << 10;

/// The longest message: a file as large as one may be, each of its bytes written as `\u0000`, and what stands around it.
const MESSAGE: usize = budgets::FILE.most * 6 + (1 << 20);

/// What a conversation came to, and what the editor could be told and be understood of it.
pub struct Ended<T> {
    pub conversation: T,
    /// An error if the editor said what is no message, or can't be told any more.
    pub messages: io::Result<()>,
}

/// A conversation over bytes in and bytes out. A message is taken in when the one before is dealt with, so that an editor that is quicker
/// than its answers waits. Ends when the editor has said its last, and has been told everything.
pub fn over<T>(
    mut input: impl BufRead + Send,
    output: impl Write + Send,
    converse: impl FnOnce(&Connection) -> T,
) -> Ended<T> {
    let (say, receiver) = bounded(0);
    let (sender, heard) = bounded::<Message>(0);
    // Held for a message at a time: refusals are written beside the answers.
    let output = &Mutex::new(output);
    let held = || output.lock().unwrap_or_else(PoisonError::into_inner);
    thread::scope(|scope| {
        let reader = scope.spawn(move || {
            while let Some(body) = read(&mut input)? {
                let message = match understood(&body) {
                    Ok(Some(message)) => message,
                    Ok(None) => continue,
                    Err(refusal) => {
                        refusal.write(&mut *held())?;
                        continue;
                    }
                };
                let last = matches!(&message, Message::Notification(told) if told.method == "exit");
                say.send(message).map_err(Error::other)?;
                if last {
                    break;
                }
            }
            Ok(())
        });
        let writer = scope.spawn(move || heard.into_iter().try_for_each(|message| message.write(&mut *held())));
        let connection = Connection { sender, receiver };
        let conversation = converse(&connection);
        // The writer ends when nobody can write any more.
        drop(connection);
        let ended = |thread: ScopedJoinHandle<'_, io::Result<()>>| {
            let stopped = |_| Err(Error::other("a thread stopped"));
            thread.join().unwrap_or_else(stopped)
        };
        let (read, written) = (ended(reader), ended(writer));
        Ended {
            conversation,
            messages: read.and(written),
        }
    })
}

fn wrong(words: impl Into<String>) -> Error {
    Error::new(ErrorKind::InvalidData, words.into())
}

/// The body of the next message; `None` if there is no more.
///
/// # Errors
/// If the header is none, or promises more than there is or than makes sense.
fn read(input: &mut impl BufRead) -> io::Result<Option<Vec<u8>>> {
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
    Ok(Some(body))
}

/// What is answered to a body that is no message.
#[derive(Debug)]
struct Refusal {
    /// That of the request, as it was written; null where none can be made out (JSON-RPC 2.0, section 5).
    id: Value,
    code: ErrorCode,
    words: String,
}

impl Refusal {
    fn write(&self, output: &mut impl Write) -> io::Result<()> {
        let error = json!({"code": self.code as i32, "message": self.words});
        let body = json!({"jsonrpc": "2.0", "id": self.id, "error": error}).to_string();
        write!(output, "Content-Length: {}\r\n\r\n{body}", body.len())?;
        output.flush()
    }
}

/// The message of a body; `None` for an answer that belongs to nothing, which nobody waits for.
///
/// # Errors
/// If it is no message.
fn understood(body: &[u8]) -> Result<Option<Message>, Refusal> {
    let mut value: Value = serde_json::from_slice(body).map_err(|error| Refusal {
        id: Value::Null,
        code: ErrorCode::ParseError,
        words: format!("no JSON: {error}"),
    })?;
    let id = value.get("id").cloned().unwrap_or_default();
    let invalid = |words: &str| Refusal {
        id: match &id {
            Value::Number(_) | Value::String(_) => id.clone(),
            _ => Value::Null,
        },
        code: ErrorCode::InvalidRequest,
        words: words.to_string(),
    };
    let method = match value.get("method") {
        Some(Value::String(method)) => method.clone(),
        Some(_) => return Err(invalid("a method is a text")),
        None if value.get("result").is_some() || value.get("error").is_some() => {
            return Ok(serde_json::from_value(value).map(Message::Response).ok());
        }
        None => {
            return Err(invalid(
                "no message: it asks nothing, tells nothing and answers nothing",
            ));
        }
    };
    let params = value.get_mut("params").map(Value::take).unwrap_or_default();
    if id.is_null() {
        return Ok(Some(Notification { method, params }.into()));
    }
    match serde_json::from_value(id.clone()) {
        Ok(id) => Ok(Some(Request { id, method, params }.into())),
        Err(_) => Err(invalid("the id of a request is a text or a whole number of 32 bits")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many messages there are, and why there are no more.
    fn all(bytes: &[u8]) -> (usize, Option<String>) {
        let mut input = bytes;
        let mut count = 0;
        loop {
            match read(&mut input) {
                Ok(Some(body)) => count += usize::from(matches!(understood(&body), Ok(Some(_)))),
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
    fn a_header_that_is_none_is_told() {
        let endless = vec![b'a'; 100_000];
        let cases: [&[u8]; 6] = [
            b"\r\n\r\n",
            b"\n",
            b"Content-Length 1\r\n\r\n1",
            b"Content-Type: a\r\n\r\n{}",
            b"\xff\xff: \xff\r\n\r\n",
            &endless,
        ];
        for case in cases {
            let (count, words) = all(case);
            assert!(count == 0 && words.is_some(), "{:?}", String::from_utf8_lossy(case));
        }
    }

    #[test]
    fn a_body_that_is_no_message_is_refused_by_its_id() {
        use ErrorCode::{InvalidRequest, ParseError};
        let deep = format!(r#"{{"method":"a","params":{}{}}}"#, "[".repeat(5000), "]".repeat(5000));
        let cases: [(&[u8], ErrorCode, Value); 14] = [
            (b"\xff\xff", ParseError, json!(null)),
            (b"", ParseError, json!(null)),
            (b"not json!", ParseError, json!(null)),
            (br#"{"id":1e999,"method":"a"}"#, ParseError, json!(null)),
            // Deeper than anybody needs.
            (deep.as_bytes(), ParseError, json!(null)),
            (b"{}", InvalidRequest, json!(null)),
            (b"[]", InvalidRequest, json!(null)),
            (b"7", InvalidRequest, json!(null)),
            (br#"{"id":7}"#, InvalidRequest, json!(7)),
            (br#"{"id":"a","method":7}"#, InvalidRequest, json!("a")),
            (br#"{"id":true,"method":"a"}"#, InvalidRequest, json!(null)),
            (
                br#"{"id":2147483648,"method":"a"}"#,
                InvalidRequest,
                json!(2_147_483_648_u32),
            ),
            (
                br#"{"id":18446744073709551615,"method":"a"}"#,
                InvalidRequest,
                json!(u64::MAX),
            ),
            (br#"{"id":1.5,"method":"a"}"#, InvalidRequest, json!(1.5)),
        ];
        for (body, code, id) in cases {
            let shown = String::from_utf8_lossy(body);
            let refusal = understood(body).expect_err(&shown);
            assert_eq!((refusal.code as i32, &refusal.id), (code as i32, &id), "{shown}");
            // What is said is a message itself, behind a header of the right length.
            let mut said = Vec::new();
            refusal.write(&mut said).expect("a buffer takes it");
            let answer = read(&mut said.as_slice()).expect("a header").expect("a body");
            let answer: Value = serde_json::from_slice(&answer).expect("JSON");
            assert_eq!(
                (&answer["id"], &answer["error"]["code"]),
                (&id, &json!(code as i32)),
                "{shown}"
            );
        }
        for id in ["2147483647", "-2147483648", r#""4294967296""#] {
            let body = format!(r#"{{"id":{id},"method":"a"}}"#);
            let message = understood(body.as_bytes());
            assert!(matches!(message, Ok(Some(Message::Request(_)))), "{id}");
        }
        // Told, without an id; an answer that belongs to nothing is no reason to say anything.
        let told = understood(br#"{"id":null,"method":"a","params":[1]}"#);
        assert!(matches!(told, Ok(Some(Message::Notification(told))) if told.params == json!([1])));
        let answer = understood(br#"{"id":4294967296,"result":{}}"#);
        assert!(matches!(answer, Ok(None)));
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
