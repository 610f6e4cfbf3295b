//! What a workshop knows: quantities, fasteners, patterns, limits. Typed values and pure arithmetic; no files, no cards.
//!
//! Modules stand in order of use: each may import those above it, never those below. Every fault in an author's text comes back as a
//! [`quantity::ValueError`] with the byte range it is about; nothing here panics on input, prints, or reads anything but the
//! tables compiled in from `compiler/tables/`.

#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::string_slice, reason = "tests may stop"))]

pub mod counted;
pub mod table;
pub mod quantity;
pub(crate) mod named;
pub mod fit;
pub mod limit;
pub mod timer;
pub mod amount;
pub mod tightening;
pub mod fastener;
pub mod lubrication;
pub mod preload;
pub mod tool;
pub mod thermal;
pub mod calc;
pub mod hazard;
pub mod verbs;
pub mod pattern;
