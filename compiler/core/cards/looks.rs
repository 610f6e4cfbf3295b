//! What a picture looks like, as a short text: the same for two files that differ in line ends and remarks alone.

use crate::source::picture;
use roxmltree::{Document, Node, ParsingOptions};
use sha2::{Digest, Sha256};

/// A digest of a picture. A vector drawing is taken apart, so that what its reader passes over doesn't count; any other file counts to
/// the byte.
pub fn looks(path: &str, bytes: &[u8]) -> String {
    let ending = path.rsplit('.').next().unwrap_or("");
    let is_drawing = ending.eq_ignore_ascii_case("svg") && picture::over(bytes).is_none();
    let drawing = is_drawing.then(|| plain(bytes)).flatten();
    let digest = match drawing {
        Some(text) => Sha256::digest(text.as_bytes()),
        None => Sha256::digest(bytes),
    };
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A drawing's elements, attributes and words without remarks, instructions and the white space between elements; `None` for what is
/// no XML.
fn plain(bytes: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(bytes).ok()?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    // A reader of XML takes every line end for one line feed, and so does this.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(&text, options).ok()?;
    let mut out = String::new();
    element(document.root_element(), &mut out);
    Some(out)
}

fn element(node: Node, out: &mut String) {
    let name = |space: Option<&str>, name: &str| format!("{}:{name:?}", space.unwrap_or(""));
    out.push_str(&format!(
        "<{}",
        name(node.tag_name().namespace(), node.tag_name().name())
    ));
    let mut attributes: Vec<String> = node
        .attributes()
        .map(|a| format!(" {}={:?}", name(a.namespace(), a.name()), a.value()))
        .collect();
    attributes.sort();
    attributes.iter().for_each(|a| out.push_str(a));
    out.push('>');
    // A remark in the middle of words doesn't part them.
    let mut words = String::new();
    let flush = |words: &mut String, out: &mut String| {
        if !words.trim().is_empty() {
            out.push_str(&format!("{words:?}"));
        }
        words.clear();
    };
    for child in node.children() {
        if child.is_element() {
            flush(&mut words, out);
            element(child, out);
        } else if child.is_text() {
            words.push_str(child.text().unwrap_or(""));
        }
    }
    flush(&mut words, out);
    out.push_str("</>");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_and_remarks_say_nothing() {
        let drawing =
            "<svg xmlns=\"http://www.w3.org/2000/svg\">\n  <rect width=\"2\" x=\"1\"/>\n  <text>a\nb</text>\n</svg>\n";
        let same = [
            drawing.replace('\n', "\r\n"),
            drawing.replace("  <rect", "  <!-- a plate -->\n  <rect"),
            drawing.replace("a\nb", "a<!-- x -->\nb"),
            format!("\u{feff}<?xml version=\"1.0\"?>\n<!-- drawn by hand -->\n{drawing}"),
        ];
        for other in same {
            assert_eq!(
                looks("a.svg", other.as_bytes()),
                looks("b.SVG", drawing.as_bytes()),
                "{other}"
            );
        }
        for other in [
            drawing.replace("2", "3"),
            drawing.replace("a\n", "c\n"),
            drawing.replace("rect", "line"),
        ] {
            assert_ne!(
                looks("a.svg", other.as_bytes()),
                looks("a.svg", drawing.as_bytes()),
                "{other}"
            );
        }
        assert_ne!(looks("a.png", b"1\r\n"), looks("a.png", b"1\n"));
    }
}
