//! What can be read of a picture on paper, at best: how large the type of a drawing comes, how fine the dots of pixels. A picture is printed in
//! its own size (a unit of a drawing is 1/96 inch, a dot 1/72 where the file says nothing else), or smaller, as its room is.

use super::picture::size;
use roxmltree::{Document, Node, ParsingOptions};

/// The room that the templates give a picture on their largest paper, in points: 62 mm high, and as wide as the type area of a letter sheet.
const TALLEST: f64 = 62.0 / 25.4 * 72.0;
const WIDEST: f64 = 187.0 / 25.4 * 72.0;

/// A unit of a drawing, in points.
const UNIT: f64 = 72.0 / 96.0;

/// Size of type where a drawing says none, in units (what the typesetter's SVG library takes).
const UNSAID: f64 = 12.0;

/// The smallest type in a drawing as it is printed, in points; `None` for what has none, isn't one, or styles its words by a sheet.
pub fn smallest_type(bytes: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(bytes).ok()?;
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options).ok()?;
    let root = document.root_element();
    let mut all = root.descendants();
    if all.any(|node| node.is_element() && node.tag_name().name() == "style") {
        return None;
    }
    let view: Vec<f64> = root.attribute("viewBox").map(numbers).unwrap_or_default();
    let side = |name: &str, at: usize| {
        let own = root.attribute(name).and_then(|text| length(text, UNSAID));
        own.or_else(|| view.get(at).copied()).filter(|side| *side > 0.0)
    };
    let (width, height) = (side("width", 2)?, side("height", 3)?);
    let inner = match view.as_slice() {
        [_, _, across, down] if *across > 0.0 && *down > 0.0 => (width / across).min(height / down),
        _ => 1.0,
    };
    let printed = (TALLEST / height).min(WIDEST / width).min(UNIT) * inner;
    let sizes = root
        .descendants()
        .filter(|node| node.is_text() && is_shown(node))
        .map(|node| type_of(&node));
    sizes.reduce(f64::min).map(|size| size * printed)
}

/// Words of an element that shows them.
fn is_shown(node: &Node) -> bool {
    let is_words = node.text().is_some_and(|text| !text.trim().is_empty());
    let mut above = node.ancestors().skip(1).filter(Node::is_element).peekable();
    let is_text = above
        .peek()
        .is_some_and(|parent| matches!(parent.tag_name().name(), "text" | "tspan" | "textPath"));
    let hidden = |node: Node| {
        let style = node.attribute("style").unwrap_or("").replace(' ', "");
        matches!(node.tag_name().name(), "defs" | "symbol" | "clipPath" | "mask")
            || node.attribute("display") == Some("none")
            || style.contains("display:none")
    };
    is_words && is_text && !above.any(hidden)
}

/// The size of some words in units of the drawing, with what enlarges them.
fn type_of(words: &Node) -> f64 {
    let mut size: Option<f64> = None;
    let mut share = 1.0;
    let mut scale = 1.0;
    for node in words.ancestors().filter(Node::is_element) {
        if size.is_none()
            && let Some(said) = said_of(&node)
        {
            match said.trim().strip_suffix('%').or_else(|| said.trim().strip_suffix("em")) {
                Some(part) => {
                    let whole = if said.trim().ends_with('%') { 100.0 } else { 1.0 };
                    share *= part.trim().parse::<f64>().unwrap_or(whole) / whole;
                }
                None => size = length(&said, UNSAID),
            }
        }
        scale *= node.attribute("transform").map_or(1.0, enlarges);
    }
    size.unwrap_or(UNSAID) * share * scale
}

/// What an element says of its type's size: its style wins over its attribute (SVG 1.1, 6.4).
fn said_of(node: &Node) -> Option<String> {
    let style = node.attribute("style").unwrap_or("");
    let mut styled = style.split(';').filter_map(|one| one.split_once(':'));
    let found = styled.find(|(name, _)| name.trim() == "font-size");
    found
        .map(|(_, value)| value.trim().to_string())
        .or_else(|| node.attribute("font-size").map(str::to_string))
}

/// A length in units (CSS: 96 to the inch).
fn length(text: &str, em: f64) -> Option<f64> {
    let text = text.trim();
    let end = text
        .find(|c: char| c.is_ascii_alphabetic() || c == '%')
        .unwrap_or(text.len());
    let (number, unit) = text.split_at_checked(end)?;
    let number: f64 = number.trim().parse().ok()?;
    let unit = match unit.trim() {
        "" | "px" => 1.0,
        "pt" => 96.0 / 72.0,
        "pc" => 16.0,
        "mm" => 96.0 / 25.4,
        "cm" => 96.0 / 2.54,
        "in" => 96.0,
        "em" => em,
        _ => return None,
    };
    Some(number * unit)
}

fn numbers(text: &str) -> Vec<f64> {
    let parts = text.split(|c: char| c.is_whitespace() || c == ',');
    parts.filter_map(|part| part.parse().ok()).collect()
}

/// How much the transforms of an element enlarge it.
fn enlarges(transforms: &str) -> f64 {
    let one = |part: &str| {
        let (name, inside) = part.split_once('(')?;
        let given = numbers(inside);
        match (name.trim().trim_start_matches(',').trim(), given.as_slice()) {
            ("scale", [both]) => Some(both.abs()),
            ("scale", [x, y, ..]) => Some((x * y).abs().sqrt()),
            ("matrix", [a, b, c, d, ..]) => Some((a * d - b * c).abs().sqrt()),
            _ => None,
        }
    };
    transforms.split(')').filter_map(one).product()
}

/// Dots to the inch at which pixels are printed at most; `None` for what has none.
pub fn dots_per_inch(bytes: &[u8]) -> Option<f64> {
    let (width, height) = size(bytes)?;
    let (width, height) = (width as f64, height as f64);
    let own = density(bytes).unwrap_or(72.0);
    let shrunk = (height / TALLEST * 72.0).max(width / WIDEST * 72.0);
    Some(own.max(shrunk))
}

/// What the file says of itself: PNG's `pHYs` (ISO/IEC 15948, 11.3.5.3), JFIF's density (ITU-T T.871, 10.1).
fn density(bytes: &[u8]) -> Option<f64> {
    if bytes.starts_with(b"\x89PNG") {
        let head = bytes.get(..bytes.len().min(4096))?;
        let at = head.windows(4).position(|four| four == b"pHYs")? + 4;
        let per_unit = bytes
            .get(at..at + 4)?
            .iter()
            .fold(0_u32, |sum, byte| sum << 8 | u32::from(*byte));
        return (bytes.get(at + 8) == Some(&1)).then(|| f64::from(per_unit) * 0.0254);
    }
    if bytes.get(6..11) == Some(b"JFIF\0") {
        let across = bytes
            .get(14..16)?
            .iter()
            .fold(0_u32, |sum, byte| sum << 8 | u32::from(*byte));
        return match bytes.get(13)? {
            1 => Some(f64::from(across)),
            2 => Some(f64::from(across) * 2.54),
            _ => None,
        };
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn type_in(head: &str, inside: &str) -> Option<f64> {
        smallest_type(format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {head}>{inside}</svg>").as_bytes())
    }

    fn near(found: Option<f64>, wanted: f64) -> bool {
        found.is_some_and(|found| (found - wanted).abs() < 0.05)
    }

    #[test]
    fn type_is_as_large_as_it_is_printed() {
        let small = "viewBox=\"0 0 100 100\"";
        assert_eq!(type_in(small, "<rect/>"), None);
        assert!(near(type_in(small, "<text font-size=\"12\">a</text>"), 9.0));
        assert!(near(type_in(small, "<text>a</text>"), 9.0));
        // 62 mm are 175.75 points: what is 351.5 units high comes at half a point to the unit.
        let high = "viewBox=\"0 0 100 351.5\"";
        assert!(near(type_in(high, "<g font-size=\"20\"><text>a</text></g>"), 10.0));
        assert!(near(
            type_in(
                high,
                "<g font-size=\"20\"><text><tspan style=\"font-size: 50%\">a</tspan></text></g>"
            ),
            5.0
        ));
        assert!(near(
            type_in(
                high,
                "<g transform=\"translate(3, 4) scale(2)\"><text font-size=\"10pt\">a</text></g>"
            ),
            13.33
        ));
        assert!(near(
            type_in(
                "width=\"200\" height=\"200\" viewBox=\"0 0 100 100\"",
                "<text font-size=\"6\">a</text>"
            ),
            9.0
        ));
        assert_eq!(
            type_in(small, "<title>a</title><defs><text font-size=\"1\">a</text></defs>"),
            None
        );
        assert_eq!(
            type_in(small, "<style>text {font-size: 2px}</style><text>a</text>"),
            None
        );
    }

    #[test]
    fn dots_are_as_fine_as_they_are_printed() {
        let png = |width: u16, height: u16| {
            let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0".to_vec();
            bytes.extend(width.to_be_bytes());
            bytes.extend([0, 0]);
            bytes.extend(height.to_be_bytes());
            bytes.extend(b"\x08\x02\0\0\0");
            bytes
        };
        assert!(near(dots_per_inch(&png(100, 100)), 72.0));
        assert!(near(dots_per_inch(&png(100, 976)), 399.8));
        let mut fine = png(100, 100);
        fine.extend(b"\0\0\0\x09pHYs\0\0\x2e\x23\0\0\x2e\x23\x01");
        assert!(near(dots_per_inch(&fine), 300.0));
    }
}
