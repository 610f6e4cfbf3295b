//! The preview, asked over its socket as a browser asks, and by a browser where the machine has one.

mod damaged;
mod measured;

use crate::harness::Outcome;
use crate::program::Scratch;
use crate::program::browser::{self, Browser};
use crate::program::editor::Editor;
use crate::program::served::{PATIENCE, Served, ask, get, parts};
use libtest_mimic::Trial;
use serde_json::Value;
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

pub fn trials() -> Vec<Trial> {
    let browser = browser::any();
    vec![
        Trial::test("preview/leaves-and-places", leaves),
        Trial::test("preview/nobody-else-is-answered", strangers),
        Trial::test("preview/more-than-there-is-room-for", too_much),
        Trial::test("preview/damaged-requests", || damaged::damaged(300)),
        Trial::test("preview/the-last-good-page-stays", stays),
        Trial::test("preview/a-folder-may-go-and-come-back", folder_gone),
        Trial::test("preview/a-set-that-is-begun", begun),
        Trial::test("preview/a-port-that-is-taken", busy_port),
        Trial::test("preview/unsaved-changes-of-an-editor", unsaved),
        Trial::test("preview/nothing-of-a-set-is-markup", markup),
        Trial::test("preview/in-a-browser", move || in_browser(browser.unwrap_or_default()))
            .with_ignored_flag(browser.is_none()),
        Trial::test("left/preview-latency", move || {
            measured::latency(browser.expect("a browser"), 100)
        })
        .with_ignored_flag(true),
        Trial::test("left/preview-damaged-requests", || damaged::damaged(20_000)).with_ignored_flag(true),
        Trial::test("left/preview-memory-stays-flat", || measured::flat(1000)).with_ignored_flag(true),
    ]
}

/// A small set that prints.
const SET: &str = "machine: Invented pump\ntitle: Pump\nrev: A\ndate: 2026-01-02\n";
const PROCEDURE: &str = "---
title: Close
tried: 2026-01-02
torques:
  bolts: {name: cover bolts, fastener: M6 8.8, count: 4, torque: 10 N·m, lubrication: dry}
---

1. Look at the cover.
2. Tighten the [torque bolts].
";

/// Lines of its steps.
const LOOK: u64 = 8;
const TIGHTEN: u64 = 9;

fn small(name: &str) -> Scratch {
    let scratch = Scratch::new(&format!("preview-{name}"));
    scratch.write("pump/set.yaml", SET.as_bytes());
    scratch.write("pump/10-close.md", PROCEDURE.as_bytes());
    scratch
}

const CARD: &str = "set=pump&document=card%2Fclose";

fn leaves() -> Outcome {
    let scratch = small("leaves");
    let mut served = Served::of(&scratch, "pump", 0);
    let page = served.get("");
    assert_eq!(page.status, 200);
    assert!(String::from_utf8_lossy(&page.body).contains("page.js"));
    for header in [
        "Content-Security-Policy: default-src 'none'",
        "X-Content-Type-Options: nosniff",
        "Cross-Origin-Resource-Policy: same-origin",
    ] {
        assert!(page.headers.contains(header), "{}", page.headers);
    }
    let state = served.state(CARD);
    let leaves = state["leaves"].as_array().expect("leaves");
    assert!(!leaves.is_empty() && state["fresh"] == true && state["findings"] == serde_json::json!([]));
    // A click on the second step goes to its line.
    let spots = leaves.iter().flat_map(|leaf| leaf["spots"].as_array().expect("spots"));
    let at_step = |spot: &&Value| {
        spot["line"] == TIGHTEN && spot["file"].as_str().is_some_and(|file| file.ends_with("10-close.md"))
    };
    let spot = spots.clone().find(at_step).expect("a spot of the second step");
    let area: Vec<f64> = spot["area"]
        .as_array()
        .expect("four")
        .iter()
        .filter_map(Value::as_f64)
        .collect();
    assert!(area.len() == 4 && area[0] < area[2] && area[1] < area[3], "{area:?}");
    let file = spot["file"].as_str().expect("a path");
    assert_eq!(served.get(&format!("go?file={file}&line={TIGHTEN}")).status, 200);
    assert_eq!(served.line(), format!("{file}:{TIGHTEN}"));
    assert_eq!(served.get("go?file=%2Fetc%2Fpasswd&line=1").status, 404);
    // Leaves are pictures as large as they were asked for.
    let leaf = served.get(&format!("leaf?{CARD}&leaf=0&ppi=72"));
    assert!(leaf.body.starts_with(b"\x89PNG\r\n\x1a\n"), "{}", leaf.headers);
    let wide = u32::from_be_bytes(leaf.body[16..20].try_into().expect("a width"));
    let points = leaves[0]["width"].as_f64().expect("a width");
    assert!(
        (f64::from(wide) - points).abs() <= 1.0,
        "{wide} pixels for {points} points"
    );
    let a5 = served.state(&format!("{CARD}&paper=a5"));
    assert!(a5["leaves"][0]["width"].as_f64() < Some(points));
    assert_eq!(served.get(&format!("leaf?{CARD}&leaf=99")).status, 404);
    assert_eq!(served.get("nothing").status, 404);
    Ok(())
}

fn strangers() -> Outcome {
    let scratch = small("strangers");
    let served = Served::of(&scratch, "pump", 0);
    let (host, path) = parts(&served.address);
    let port = host.rsplit(':').next().expect("a port");
    let own = format!("GET /{path}state HTTP/1.1\r\n");
    let cases: Vec<(&str, String, u16)> = vec![
        (
            "its own page",
            format!("{own}Host: {host}\r\nSec-Fetch-Site: same-origin\r\n"),
            200,
        ),
        ("a rebound name", format!("{own}Host: evil.example:{port}\r\n"), 403),
        (
            "another name of this machine",
            format!("{own}Host: localhost:{port}\r\n"),
            403,
        ),
        (
            "another site",
            format!("{own}Host: {host}\r\nOrigin: https://evil.example\r\n"),
            403,
        ),
        (
            "a page from a file",
            format!("{own}Host: {host}\r\nOrigin: null\r\n"),
            403,
        ),
        (
            "a picture on another site",
            format!("{own}Host: {host}\r\nSec-Fetch-Site: cross-site\r\n"),
            403,
        ),
        (
            "another port of this machine",
            format!("{own}Host: {host}\r\nSec-Fetch-Site: same-site\r\n"),
            403,
        ),
        ("no token", format!("GET /state HTTP/1.1\r\nHost: {host}\r\n"), 403),
        (
            "another token",
            format!("GET /{}/state HTTP/1.1\r\nHost: {host}\r\n", "0".repeat(32)),
            403,
        ),
        (
            "up from the token",
            format!("GET /{path}../../etc/passwd HTTP/1.1\r\nHost: {host}\r\n"),
            404,
        ),
        (
            "a file by its path",
            format!("GET /{path}%2e%2e%2fset.yaml HTTP/1.1\r\nHost: {host}\r\n"),
            404,
        ),
        (
            "writing",
            format!("POST /{path}state HTTP/1.1\r\nHost: {host}\r\nContent-Length: 0\r\n"),
            405,
        ),
    ];
    let mut faults = Vec::new();
    for (what, lines, wanted) in cases {
        let answer = ask(host, &lines);
        if answer.status != wanted {
            faults.push(format!("{what}: {} instead of {wanted}", answer.status));
        }
        let foreign = answer.headers.to_ascii_lowercase().contains("access-control-allow");
        if foreign || (wanted != 200 && answer.body.len() > 40) {
            faults.push(format!(
                "{what}: another page may read it, or it says more than it should"
            ));
        }
    }
    // Nobody from another machine.
    let others = TcpStream::connect_timeout(
        &format!("127.0.0.2:{port}").parse().expect("an address"),
        Duration::from_secs(2),
    );
    if others.is_ok() {
        faults.push("it listens at other addresses than its own".to_string());
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

/// A question with more of a body than any memory holds is refused, and the next one answered.
fn too_much() -> Outcome {
    let scratch = small("too-much");
    let served = Served::of(&scratch, "pump", 0);
    let (host, path) = parts(&served.address);
    for length in ["2000000", "99999999999999999", "18446744073709551615"] {
        let mut stream = TcpStream::connect(host).expect("somebody listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
        let lines = format!("GET /{path} HTTP/1.1\r\nHost: {host}\r\nContent-Length: {length}\r\n\r\n");
        stream.write_all(lines.as_bytes()).expect("it is heard");
        let mut start = [0; 12];
        stream.read_exact(&mut start).expect("an answer");
        assert_eq!(start, *b"HTTP/1.1 413", "{length}");
        drop(stream);
        assert_eq!(served.get("").status, 200, "{length}");
    }
    Ok(())
}

fn stays() -> Outcome {
    let scratch = small("stays");
    let served = Served::of(&scratch, "pump", 0);
    let good = served.state(CARD);
    let version = good["leaves"][0]["version"].clone();
    scratch.write(
        "pump/10-close.md",
        PROCEDURE.replace("torque bolts", "torque bolds").as_bytes(),
    );
    let bad = served.until(CARD, "a finding", |state| state["findings"] != serde_json::json!([]));
    assert_eq!(bad["findings"][0]["code"], "BL101", "{bad}");
    assert_eq!(
        (&bad["fresh"], &bad["leaves"][0]["version"]),
        (&Value::Bool(false), &version)
    );
    assert_eq!(served.get(&format!("leaf?{CARD}&leaf=0")).status, 200);
    let other = PROCEDURE.replace("the cover", "the other cover");
    scratch.write("pump/10-close.md", other.as_bytes());
    let again = served.until(CARD, "a new page", |state| state["fresh"] == true);
    assert!(again["leaves"][0]["version"] != version && again["findings"] == serde_json::json!([]));
    assert_eq!(again["written"]["line"], LOOK, "{again}");
    Ok(())
}

fn folder_gone() -> Outcome {
    let scratch = small("gone");
    let served = Served::of(&scratch, "pump", 0);
    served.state(CARD);
    let (there, away) = (scratch.path().join("pump"), scratch.path().join("away"));
    fs::rename(&there, &away).expect("it can be moved");
    let gone = served.until(CARD, "trouble", |state| !state["trouble"].is_null());
    assert!(
        gone["leaves"].as_array().is_some_and(|leaves| !leaves.is_empty()),
        "{gone}"
    );
    fs::rename(&away, &there).expect("it can be moved back");
    served.until(CARD, "the page", |state| {
        state["trouble"].is_null() && state["fresh"] == true
    });
    Ok(())
}

/// A set that has no procedure yet has no leaves, and has them once it gets one.
fn begun() -> Outcome {
    let scratch = Scratch::new("preview-begun");
    scratch.write("pump/set.yaml", SET.as_bytes());
    let served = Served::of(&scratch, "pump", 0);
    let has_leaves = |state: &Value| state["leaves"].as_array().is_some_and(|leaves| !leaves.is_empty());
    let documents =
        ["set-sheet", "close-out", "pocket", "record"].map(|document| format!("set=pump&document={document}"));
    for document in &documents {
        let state = served.state(document);
        assert!(state["trouble"].is_null() && !has_leaves(&state), "{document}: {state}");
    }
    scratch.write("pump/10-close.md", PROCEDURE.as_bytes());
    for document in &documents {
        served.until(document, "the page", has_leaves);
    }
    Ok(())
}

fn busy_port() -> Outcome {
    let scratch = small("busy");
    let first = Served::of(&scratch, "pump", 0);
    let port: u16 = parts(&first.address)
        .0
        .rsplit(':')
        .next()
        .and_then(|p| p.parse().ok())
        .expect("a port");
    let second = Served::of(&scratch, "pump", port);
    assert_ne!(parts(&first.address).0, parts(&second.address).0);
    assert_ne!(
        parts(&first.address).1,
        parts(&second.address).1,
        "each has a token of its own"
    );
    assert_eq!(second.get("").status, 200);
    Ok(())
}

fn unsaved() -> Outcome {
    let scratch = small("unsaved");
    let mut editor = Editor::beside(&scratch.path().join("pump"));
    editor.settle();
    let told = editor
        .shown
        .iter()
        .find_map(|words| words.split("at ").nth(1).map(str::to_string));
    let address = told.ok_or_else(|| format!("no address in {:?}", editor.shown))?;
    let state = |words: &str| -> Value {
        serde_json::from_slice(&get(&address, &format!("state?{words}")).body).expect("JSON")
    };
    // What is written is told from what there was before.
    let begun = Instant::now();
    while state(CARD)["fresh"] != true {
        assert!(begun.elapsed() < PATIENCE, "nothing is shown");
        std::thread::sleep(Duration::from_millis(50));
    }
    let text = PROCEDURE.replace("the cover", "the cover from below");
    editor.show("10-close.md", &text);
    editor.settle();
    let begun = Instant::now();
    let seen = loop {
        let seen = state(CARD);
        if seen["written"]["line"] == LOOK && seen["fresh"] == true {
            break seen;
        }
        assert!(begun.elapsed() < PATIENCE, "what was written isn't shown: {seen}");
        std::thread::sleep(Duration::from_millis(50));
    };
    assert_eq!(
        fs::read_to_string(scratch.path().join("pump/10-close.md")).expect("a file"),
        PROCEDURE
    );
    // A click goes to the line, in the editor.
    let file = seen["written"]["file"].as_str().expect("a path");
    assert_eq!(get(&address, &format!("go?file={file}&line={LOOK}")).status, 200);
    editor.settle();
    let asked = editor
        .asked
        .iter()
        .find(|asked| asked["method"] == "window/showDocument" && asked["params"]["external"] != true);
    let asked = asked.ok_or("the editor isn't asked to go there")?;
    assert_eq!(asked["params"]["selection"]["start"]["line"], LOOK - 1);
    assert!(
        asked["params"]["uri"]
            .as_str()
            .is_some_and(|uri| uri.ends_with("pump/10-close.md"))
    );
    match editor.end() {
        (Some(0), _) => Ok(()),
        other => Err(format!("it ended with {other:?}").into()),
    }
}

/// Titles and pictures of a set come as text and pixels: no answer but our own page is one that a browser would run.
fn markup() -> Outcome {
    let scratch = small("markup");
    let title = "<img src=x onerror=alert(1)>";
    scratch.write(
        "pump/set.yaml",
        SET.replace("title: Pump", &format!("title: '{title}'")).as_bytes(),
    );
    let drawing = "<svg xmlns='http://www.w3.org/2000/svg' width='90' height='40'><script>alert(2)</script>\
        <rect width='90' height='40' fill='none' stroke='black'/></svg>";
    scratch.write("pump/cover.svg", drawing.as_bytes());
    scratch.write(
        "pump/10-close.md",
        format!("{PROCEDURE}\n![The cover](cover.svg)\n").as_bytes(),
    );
    let served = Served::of(&scratch, "pump", 0);
    let page = String::from_utf8_lossy(&served.get("").body).into_owned();
    assert!(!page.contains("onerror") && !page.contains("alert("));
    let state = served.get(&format!("state?{CARD}"));
    assert!(state.headers.contains("application/json") && String::from_utf8_lossy(&state.body).contains(title));
    let script = String::from_utf8_lossy(&served.get("page.js").body).into_owned();
    for way in [
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "eval(",
        "srcdoc",
    ] {
        assert!(!script.contains(way), "page.js makes markup of text by `{way}`");
    }
    for leaf in 0..2 {
        let picture = served.get(&format!("leaf?{CARD}&leaf={leaf}"));
        assert!(
            picture.status == 404 || picture.headers.contains("image/png"),
            "{}",
            picture.headers
        );
    }
    Ok(())
}

fn in_browser(name: &str) -> Outcome {
    let scratch = small("browser");
    let mut served = Served::of(&scratch, "pump", 0);
    let leaves = served.state(CARD)["leaves"].as_array().map_or(0, Vec::len);
    let mut browser = Browser::open(name, &scratch, &served.address);
    let drawn = "!document.querySelector('#leaves.old') && [...document.querySelectorAll('figure img')].map(i => i.complete && i.naturalWidth > 0)";
    browser.until(&format!("(l => l.length === {leaves} && l.every(Boolean))({drawn})"));
    // A click on the page goes to the line.
    let place = format!("document.querySelector('button[aria-label$=\"10-close.md, line {TIGHTEN}\"]')");
    browser.until(&format!("{place} !== null"));
    browser.value(&format!("{place}.click()"));
    assert!(served.line().ends_with(&format!("10-close.md:{TIGHTEN}")));
    // What is written comes by itself, and is pointed at.
    scratch.write(
        "pump/10-close.md",
        PROCEDURE.replace("the cover", "the other cover").as_bytes(),
    );
    browser.until(&format!(
        "document.querySelector('button.written')?.title.endsWith('10-close.md:{LOOK}')"
    ));
    // A mistake is told above the page as it was.
    scratch.write(
        "pump/10-close.md",
        PROCEDURE.replace("torque bolts", "torque bolds").as_bytes(),
    );
    browser.until("document.querySelector('#findings').textContent.includes('BL101')");
    assert_eq!(
        browser.value("document.querySelectorAll('#leaves.old figure img').length"),
        leaves
    );
    scratch.write("pump/10-close.md", PROCEDURE.as_bytes());
    browser.until("document.querySelector('#findings').hidden");
    // Another paper, by hand and by key.
    let wide = "document.querySelector('figure').clientWidth / document.querySelector('figure').clientHeight";
    let upright = browser.value(wide);
    browser.value("document.querySelector('#size').value = 'true'; document.querySelector('#size').dispatchEvent(new Event('change'))");
    let select = "document.querySelector('#paper')";
    browser.value(&format!(
        "{select}.value = 'a5'; {select}.dispatchEvent(new Event('change'))"
    ));
    browser.until("document.querySelector('figure').clientWidth === Math.round(148 / 25.4 * 96)");
    assert!(
        upright
            .as_f64()
            .is_some_and(|ratio| (ratio - 210.0 / 297.0).abs() < 0.01),
        "{upright}"
    );
    browser.value("document.dispatchEvent(new KeyboardEvent('keydown', {key: 'm'}))");
    browser.until(
        "document.querySelector('#mono').checked && document.querySelector('figure img').src.includes('mono=1')",
    );
    match browser.said.is_empty() {
        true => Ok(()),
        false => Err(format!("its console says {:?}", browser.said).into()),
    }
}
