//! A language server over standard input and output: what an author's editor asks is answered from the files as they are being written.
//! It reads what `check` reads of the workspace and writes nothing; where a preview is asked for, that is served beside it.

mod address;
mod answers;
mod frames;
mod place;
mod server;
mod workspace;

pub use server::{over, serve};
