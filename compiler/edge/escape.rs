//! Text that others wrote, made fit for a terminal: what would move the cursor, colour the screen, turn the direction of reading or begin
//! a line of its own is shown by its number, `\u{1b}`.

use std::borrow::Cow;
use std::fmt::Write;
use std::path::Path;

/// Text of whole lines: their ends and tabs are kept.
pub fn text(text: &str) -> Cow<'_, str> {
    escape(text, &['\n', '\t'], |c, out| {
        let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
    })
}

/// A name or another word within a line: it can't end the line.
pub fn word(text: &str) -> Cow<'_, str> {
    escape(text, &[], |c, out| {
        let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
    })
}

/// A path within a line.
pub fn path(path: &Path) -> String {
    word(&path.to_string_lossy()).into_owned()
}

/// Lines of JSON, which stay the same JSON: such characters only stand inside its strings.
pub fn json(text: &str) -> Cow<'_, str> {
    escape(text, &['\n', '\t'], |c, out| {
        let mut units = [0; 2];
        for unit in c.encode_utf16(&mut units) {
            let _ = write!(out, "\\u{unit:04x}");
        }
    })
}

/// True for what a terminal may take for more than a character: control characters of both ranges, other ends of lines, and what turns
/// the direction of reading.
pub fn is_dangerous(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The one function that does it.
fn escape<'t>(text: &'t str, kept: &[char], show: impl Fn(char, &mut String)) -> Cow<'t, str> {
    let dangerous = |c: char| is_dangerous(c) && !kept.contains(&c);
    if !text.contains(dangerous) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text.chars();
    while let Some(c) = rest.next() {
        // Calendars and CSV end their lines with two characters; the first alone would go back over the line.
        let ends_line = c == '\r' && kept.contains(&'\n') && rest.as_str().starts_with('\n');
        if dangerous(c) && !ends_line {
            show(c, &mut out);
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_would_obey_is_shown() {
        let nasty = "a\u{1b}[2Jb\u{9b}31mc\u{7}\u{202e}d\r\u{2028}e";
        let shown = "a\\u{1b}[2Jb\\u{9b}31mc\\u{7}\\u{202e}d\\u{d}\\u{2028}e";
        assert_eq!(text(nasty), shown);
        assert_eq!(text("12 N·m\r\n\t± 1\n"), "12 N·m\r\n\t± 1\n");
        assert_eq!(word("pump\nerror[BL101]: forged"), "pump\\u{a}error[BL101]: forged");
    }

    #[test]
    fn json_stays_the_same_json() {
        let value = serde_json::json!({"title": "a\u{9b}b\u{202e}c\u{7f}d\u{1b}e\nf"});
        let line = json(&value.to_string()).into_owned();
        assert!(!line.contains(is_dangerous), "{line}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&line).unwrap(), value);
    }
}
