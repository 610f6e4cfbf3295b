//! A language server over standard input and output: what an author's editor asks is answered from the files as they are being written.
//! It reads what `check` reads of the workspace, writes nothing, and opens no connection.

mod address;
mod answers;
mod place;
mod server;
mod workspace;

pub use server::serve;
