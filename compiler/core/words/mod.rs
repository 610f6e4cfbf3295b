//! The words of a leaf: what isn't an author's own text is a key with arguments, and one table a language puts it into words.
//!
//! ```text
//! say.rs: a function a key ─▶ Phrase (key and arguments, author's texts, figures) ─▶ Speak, with a table of templates/words/ ─▶ text
//! ```
//!
//! The code of a leaf stands for keys and arguments, so that another wording of a table is no other leaf. What is printed on a terminal is
//! in English, from the same table.

pub(crate) mod formula;
pub(crate) mod say;
mod phrase;
mod speak;
mod table;
mod tag;

pub use phrase::{Arg, Key, Phrase, Piece, Said};
pub(crate) use phrase::{joined, phrase};
pub use speak::Speak;
pub(crate) use speak::{plain, speaks};
pub use table::{Called, Language, Part, Text};
pub use tag::Tag;
