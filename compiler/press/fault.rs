//! What the typesetter and the templates complain about, as data. A fault names the template it comes from, never a Rust source.

use serde::Serialize;

/// How bad a fault is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// The document was made, but look at it.
    Warning,
    /// There is no document.
    Error,
}

/// One complaint.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Fault {
    pub level: Level,
    /// Path below the templates folder (`lib/step.typ`) or of an asset; empty if no file is to blame.
    pub file: String,
    /// From 1; 0 if there is no place to point at.
    pub line: usize,
    /// In characters, from 1; 0 if only the line is known.
    pub column: usize,
    pub message: String,
    /// What to do about it, and the calls that led here; may be empty.
    pub hint: String,
}

impl Fault {
    /// An error that points at a file as a whole.
    pub fn error(file: impl Into<String>, message: impl Into<String>) -> Self {
        Fault {
            level: Level::Error,
            file: file.into(),
            line: 0,
            column: 0,
            message: message.into(),
            hint: String::new(),
        }
    }

    /// The same fault with advice.
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if !self.file.is_empty() {
            write!(f, "{}:", self.file)?;
            if self.line > 0 {
                write!(f, "{}:", self.line)?;
            }
            if self.column > 0 {
                write!(f, "{}:", self.column)?;
            }
            write!(f, " ")?;
        }
        write!(f, "{}", self.message)?;
        if !self.hint.is_empty() {
            write!(f, " ({})", self.hint)?;
        }
        Ok(())
    }
}
