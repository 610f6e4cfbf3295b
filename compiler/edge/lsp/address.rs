//! Addresses of files, as editors name them, and paths.

use crate::edge::paths::slashed;
use crate::edge::percent;
use lsp_types::Uri;
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// The path of a `file:` address; `None` for any other, or one on another machine.
pub fn path(address: &Uri) -> Option<PathBuf> {
    let rest = address.as_str().strip_prefix("file://")?;
    let rest = rest.strip_prefix("localhost").unwrap_or(rest);
    if !rest.starts_with('/') {
        return None;
    }
    let text = percent::decoded(rest.split(['?', '#']).next()?)?;
    // `/C:/folder`
    let bare = text
        .strip_prefix('/')
        .filter(|bare| bare.as_bytes().get(1) == Some(&b':'));
    Some(PathBuf::from(bare.filter(|_| cfg!(windows)).unwrap_or(&text)))
}

/// The address of a path from the root on.
pub fn of(path: &Path) -> Option<Uri> {
    path.to_str()?;
    let text = slashed(path);
    let mut out = String::from("file://");
    if !text.starts_with('/') {
        out.push('/');
    }
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    Uri::from_str(&out).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_and_paths_stand_for_each_other() {
        for path in ["/a/set.yaml", "/a b/50 %/é µ.md", "/a/#1?.md", "/a/b\\c.md"] {
            let address = of(Path::new(path)).unwrap();
            assert_eq!(
                super::path(&address).as_deref(),
                Some(Path::new(path)),
                "{}",
                address.as_str()
            );
        }
        let none = |text: &str| path(&Uri::from_str(text).unwrap());
        assert_eq!(none("untitled:Untitled-1"), None);
        assert_eq!(none("file://other-machine/a.md"), None);
        assert_eq!(none("file:///a%00b"), None);
    }
}
