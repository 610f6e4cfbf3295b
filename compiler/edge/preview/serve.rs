//! The server: one address of this machine, read only, every answer under a content policy that lets nothing in from elsewhere.

use super::answers;
use super::guard::{Asked, Place, judge};
use super::query::{self, Query};
use super::shown::Shown;
use crate::edge::Trouble;
use std::io::{self, ErrorKind};
use std::mem::ManuallyDrop;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use tiny_http::{Header, Method, Request, Response, Server};

/// Questions that are answered at once; a browser with many pages open waits for its turn.
const AT_ONCE: usize = 32;

/// The longest body of a question, in bytes, that is read to be thrown away: none is wanted.
const BODY: usize = 1 << 20;

/// Pixels an inch that a leaf may be drawn with.
const PPI: (u32, u32, u32) = (36, 110, 400);

const PAGE: &str = include_str!("../../../templates/preview/page.html");
const SCRIPT: &str = include_str!("../../../templates/preview/page.js");
const STYLE: &str = include_str!("../../../templates/preview/page.css");

/// With every answer. Pictures are pixels that we drew: nothing of a set reaches the browser as markup or script.
const HEADERS: [(&str, &str); 6] = [
    (
        "Content-Security-Policy",
        "default-src 'none'; img-src 'self'; script-src 'self'; style-src 'self'; connect-src 'self'; base-uri 'none'; \
         form-action 'none'; frame-ancestors 'none'",
    ),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cache-Control", "no-store"),
];

/// Somebody clicked on what was written in a file, at a line from 1.
pub type Go = Box<dyn Fn(&str, usize) + Send + Sync>;

/// A server that listens, and is not yet answering.
pub struct Listening {
    server: Server,
    pub place: Place,
    /// The port that was asked for was taken.
    pub moved: bool,
}

/// Listens at a port of this machine, or at a free one if that is taken; 0 for any.
///
/// # Errors
/// If there is none, or no token can be had.
pub fn listen(port: u16) -> Result<Listening, Trouble> {
    let failed = |error: &dyn std::fmt::Display| Trouble::new(format!("can't listen on this machine: {error}"));
    let (listener, moved) = match TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
        Ok(listener) => (listener, false),
        Err(error) if error.kind() == ErrorKind::AddrInUse => {
            let any = TcpListener::bind((Ipv4Addr::LOCALHOST, 0));
            (any.map_err(|error| failed(&error))?, true)
        }
        Err(error) => return Err(failed(&error)),
    };
    let port = listener.local_addr().map_err(|error| failed(&error))?.port();
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes).map_err(|error| failed(&error))?;
    let token = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    let server = Server::from_listener(listener, None).map_err(|error| failed(&error))?;
    let place = Place { port, token };
    Ok(Listening { server, place, moved })
}

/// Answers for ever, from threads of its own.
pub fn answer(listening: Listening, shown: Arc<Shown>, go: Go) {
    let Listening { server, place, .. } = listening;
    let busy = Arc::new(AtomicUsize::new(0));
    let (place, go) = (Arc::new(place), Arc::new(go));
    thread::spawn(move || {
        for request in server.incoming_requests() {
            let Some(request) = taken(request) else { continue };
            if busy.fetch_add(1, Ordering::AcqRel) >= AT_ONCE {
                busy.fetch_sub(1, Ordering::AcqRel);
                let _ = request.respond(plain(503, "too many questions at once"));
                continue;
            }
            let (shown, place, go, busy) = (shown.clone(), place.clone(), go.clone(), busy.clone());
            thread::spawn(move || {
                let _ = one(request, &place, &shown, &go);
                busy.fetch_sub(1, Ordering::AcqRel);
            });
        }
    });
}

/// A question, unless it says that it has more of a body than is ever read: that one is refused here. The library makes room for what is left of a
/// body when it drops the question, all at once, and where there is no such room the program stops. So it is never dropped, and its connection
/// stays open.
fn taken(request: Request) -> Option<Request> {
    if request.body_length().is_none_or(|length| length <= BODY) {
        return Some(request);
    }
    let _open = ManuallyDrop::new(request.upgrade("close", plain(413, "too much to read")));
    None
}

type Answer = Response<io::Cursor<Vec<u8>>>;

/// Answers a question. Fails if whoever asked has gone.
fn one(request: Request, place: &Place, shown: &Shown, go: &Go) -> io::Result<()> {
    let answer = {
        let values = |name: &'static str| -> Vec<&str> {
            let headers = request.headers().iter();
            headers
                .filter(|header| header.field.equiv(name))
                .map(|header| header.value.as_str())
                .collect()
        };
        let asked = Asked {
            reads: matches!(request.method(), Method::Get | Method::Head),
            path: request.url(),
            hosts: &values("Host"),
            origins: &values("Origin"),
            sites: &values("Sec-Fetch-Site"),
        };
        match judge(&asked, place) {
            Ok(rest) => answered(rest, shown, go),
            Err(refusal) => plain(refusal.status(), "refused"),
        }
    };
    request.respond(answer)
}

fn answered(rest: &str, shown: &Shown, go: &Go) -> Answer {
    let (what, words) = rest.split_once('?').unwrap_or((rest, ""));
    let query = query::read(words);
    match what {
        "" => with(200, "text/html; charset=utf-8", PAGE.into()),
        "page.js" => with(200, "text/javascript; charset=utf-8", SCRIPT.into()),
        "page.css" => with(200, "text/css; charset=utf-8", STYLE.into()),
        // Browsers ask for one.
        "icon" => with(204, "image/png", Vec::new()),
        "state" => {
            let state = answers::state(shown, &query.view, query.since);
            with(200, "application/json", state.to_string().into_bytes())
        }
        "leaf" => leaf(&query, shown),
        "go" => went(&query, shown, go),
        _ => plain(404, "there is nothing here"),
    }
}

/// A leaf as a picture.
fn leaf(query: &Query, shown: &Shown) -> Answer {
    let Some(good) = shown.pages(&query.view).good else {
        return plain(404, "there is no such leaf");
    };
    let (least, usual, most) = PPI;
    let ppi = query.ppi.unwrap_or(usual).clamp(least, most);
    shown.draws_at(ppi);
    match good.picture(query.leaf, ppi) {
        Some(Ok(bytes)) => with(200, "image/png", bytes.to_vec()),
        Some(Err(_)) => plain(500, "the leaf can't be drawn"),
        None => plain(404, "there is no such leaf"),
    }
}

/// Goes to a line of a file that is among those that are shown, and to no other.
fn went(query: &Query, shown: &Shown, go: &Go) -> Answer {
    let (_, state, _) = shown.after(None, std::time::Duration::ZERO);
    match state.filter(|state| state.files.find(&query.file).is_some()) {
        Some(_) => {
            go(&query.file, query.line.max(1));
            plain(200, "there")
        }
        None => plain(404, "there is no such file"),
    }
}

fn plain(status: u16, words: &str) -> Answer {
    with(status, "text/plain; charset=utf-8", words.into())
}

fn with(status: u16, kind: &str, bytes: Vec<u8>) -> Answer {
    let mut response = Response::from_data(bytes).with_status_code(status);
    let headers = HEADERS.into_iter().chain([("Content-Type", kind)]);
    for header in headers.filter_map(|(name, value)| Header::from_bytes(name, value).ok()) {
        response.add_header(header);
    }
    response
}
