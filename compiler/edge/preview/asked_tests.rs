//! Requests made up by chance: whatever stands in one, reading it stops nothing, and none is let in but the page's own.

use super::guard::{Asked, Place, judge};
use super::query;
use crate::edge::percent;

/// Numbers that hang on a seed alone (a linear congruence, of which the high half is kept).
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % most
    }

    fn text(&mut self, pieces: &[&str]) -> String {
        (0..self.below(9)).map(|_| pieces[self.below(pieces.len())]).collect()
    }
}

const TOKEN: &str = "0123456789abcdef";

const PIECES: [&str; 30] = [
    "/",
    TOKEN,
    "0123456789abcde",
    "127.0.0.1:4321",
    "127.0.0.1",
    ":4321",
    "http://",
    "localhost",
    "evil.example",
    "@",
    ".",
    " ",
    "\0",
    "é",
    "?",
    "&",
    "=",
    "%",
    "%2",
    "%2F",
    "%ff",
    "%C3%A9",
    "option.",
    "set",
    "leaf",
    "since",
    "line",
    "-1",
    "18446744073709551616",
    "same-origin",
];

#[test]
fn nobody_is_let_in_but_the_pages_own() {
    let place = Place {
        port: 4321,
        token: TOKEN.to_string(),
    };
    let own = "127.0.0.1:4321";
    let mut chance = Chance(18);
    let mut let_in = 0;
    for _ in 0..200_000 {
        let mut texts = |usual: &str| -> Vec<String> {
            (0..[1, 1, 1, 0, 2][chance.below(5)])
                .map(|_| match chance.below(4) {
                    0 => chance.text(&PIECES),
                    _ => usual.to_string(),
                })
                .collect()
        };
        let (hosts, origins, sites) = (texts(own), texts("http://127.0.0.1:4321"), texts("same-origin"));
        let path = match chance.below(4) {
            0 => chance.text(&PIECES),
            _ => format!("/{TOKEN}/{}", chance.text(&PIECES)),
        };
        let [hosts, origins, sites] =
            [&hosts, &origins, &sites].map(|texts| texts.iter().map(String::as_str).collect::<Vec<_>>());
        let asked = Asked {
            reads: chance.below(4) != 0,
            path: &path,
            hosts: &hosts,
            origins: &origins,
            sites: &sites,
        };
        if let Ok(rest) = judge(&asked, &place) {
            let_in += 1;
            assert_eq!(hosts, [own], "{asked:?}");
            assert!(
                origins.iter().all(|origin| *origin == "http://127.0.0.1:4321"),
                "{asked:?}"
            );
            assert!(
                sites.iter().all(|site| ["same-origin", "none"].contains(site)),
                "{asked:?}"
            );
            assert!(asked.reads && path == format!("/{TOKEN}/{rest}"), "{asked:?}");
        }
    }
    assert!(let_in > 1000, "only {let_in} were let in, which tells of nothing");
}

#[test]
fn any_question_is_read() {
    let mut chance = Chance(18);
    for _ in 0..50_000 {
        let text = chance.text(&PIECES);
        let read = query::read(&text);
        assert_eq!(read, query::read(&text), "{text:?}");
        let of_view = [&read.view.set, &read.view.document, &read.view.paper, &read.file];
        assert!(of_view.iter().all(|value| !value.contains('\0')), "{text:?}");
        if let Some(decoded) = percent::decoded(&text) {
            assert!(decoded.len() <= text.len() && !decoded.contains('\0'), "{text:?}");
        }
    }
}
