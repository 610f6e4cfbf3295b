//! Paths of the machine as people and findings write them.
//!
//! Windows gives a path without links in a form of its own, `\\?\C:\folder`: no other program shows it, and `/` is a letter of a name in it.
//! Here it is `C:\folder`, and `C:/folder` in findings.

use std::fs;
use std::io;
use std::path::{MAIN_SEPARATOR, Path, PathBuf};

/// A path without links in it.
///
/// # Errors
/// If nothing is there, or it can't be reached.
pub fn canonical(path: &Path) -> io::Result<PathBuf> {
    let found = fs::canonicalize(path)?;
    let shown = found.to_str().filter(|_| cfg!(windows)).and_then(usual);
    Ok(shown.map_or(found, PathBuf::from))
}

/// A path with `/` between its parts, as findings, histories and manifests have it on every system.
pub fn slashed(path: &Path) -> String {
    let tidy: PathBuf = path.components().collect();
    with_slashes(&tidy.to_string_lossy(), MAIN_SEPARATOR)
}

fn with_slashes(path: &str, separator: char) -> String {
    path.replace(separator, "/")
}

/// What people call a path of that form; `None` for any other.
fn usual(path: &str) -> Option<String> {
    let rest = path.strip_prefix(r"\\?\")?;
    if let Some(share) = rest.strip_prefix(r"UNC\") {
        return Some(format!(r"\\{share}"));
    }
    let on_a_drive = matches!(rest.as_bytes(), [letter, b':', b'\\', ..] if letter.is_ascii_alphabetic());
    on_a_drive.then(|| rest.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_that_only_windows_reads_is_not_shown() {
        assert_eq!(usual(r"\\?\C:\sets\pump").as_deref(), Some(r"C:\sets\pump"));
        assert_eq!(usual(r"\\?\C:\").as_deref(), Some(r"C:\"));
        assert_eq!(usual(r"\\?\UNC\shop\sets").as_deref(), Some(r"\\shop\sets"));
        // These have no other form.
        assert_eq!(usual(r"\\?\Volume{1}\sets"), None);
        assert_eq!(usual(r"C:\sets"), None);
        assert_eq!(usual("/sets"), None);
    }

    #[test]
    fn parts_are_set_off_by_slashes_on_every_system() {
        assert_eq!(with_slashes(r"C:\sets\pump", '\\'), "C:/sets/pump");
        assert_eq!(slashed(Path::new("/sets//pump/")), "/sets/pump");
        assert_eq!(slashed(Path::new("/")), "/");
        assert_eq!(slashed(Path::new("")), "");
    }

    #[cfg(unix)]
    #[test]
    fn a_backslash_is_a_letter_where_it_is_one() {
        assert_eq!(slashed(Path::new(r"/sets/a\b.md")), r"/sets/a\b.md");
    }
}
