//! Fasteners by their designation, as topics are given them.

use super::given::Given;
use crate::domain::fastener::{Fastener, Thread};
use crate::domain::quantity::ValueError;

pub fn words(error: ValueError) -> String {
    format!("{}; {}", error.message(), error.help())
}

pub fn fastener(given: &Given, name: &str) -> Result<Option<Fastener>, String> {
    let text = given.words(name);
    text.map(|text| Fastener::parse(text).map_err(|e| format!("in `{name}={text}`: {}", words(e))))
        .transpose()
}

pub fn same_thread(name: &str, thread: Thread) -> bool {
    Fastener::parse(name).is_ok_and(|known| known.thread() == thread.right_handed())
}
