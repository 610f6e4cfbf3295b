//! What it would take to draw a picture, found without drawing it: its pixels, the elements of a drawing with those that it repeats, and effects.

use crate::budgets::{Budget, DEPTH, EFFECTS, ELEMENTS, PIXELS};
use roxmltree::{Document, Error, Node, ParsingOptions};
use std::collections::BTreeMap;

/// The budget that a picture goes past, with how much of it there is at least. What is no picture goes past none.
pub fn over(bytes: &[u8]) -> Option<(&'static Budget, usize)> {
    match pixels(bytes) {
        Some(pixels) => PIXELS.is_over(pixels).then_some((&PIXELS, pixels)),
        None => drawing(std::str::from_utf8(bytes).ok()?),
    }
}

/// Width times height of a picture made of pixels, from its head.
fn pixels(bytes: &[u8]) -> Option<usize> {
    let (width, height) = size(bytes)?;
    Some(width.saturating_mul(height))
}

/// Width and height of a picture made of pixels, from its head.
pub(super) fn size(bytes: &[u8]) -> Option<(usize, usize)> {
    // PNG: width and height stand first in IHDR (ISO/IEC 15948, 11.2.2).
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Some((big(bytes, 16, 4)?, big(bytes, 20, 4)?));
    }
    // GIF: the logical screen descriptor (GIF89a, 18).
    if bytes.starts_with(b"GIF8") {
        return Some((little(bytes, 6, 2)?, little(bytes, 8, 2)?));
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return webp(bytes);
    }
    bytes.starts_with(b"\xff\xd8").then(|| jpeg(bytes)).flatten()
}

/// JPEG: the frame header behind the first SOF marker (ITU-T T.81, B.2.2).
fn jpeg(bytes: &[u8]) -> Option<(usize, usize)> {
    let mut at = 2;
    loop {
        let marker = *bytes.get(at + 1)?;
        if *bytes.get(at)? != 0xff {
            return None;
        }
        let is_frame = (0xc0..=0xcf).contains(&marker) && !matches!(marker, 0xc4 | 0xc8 | 0xcc);
        if is_frame {
            return Some((big(bytes, at + 7, 2)?, big(bytes, at + 5, 2)?));
        }
        // Fill bytes, and markers that stand alone.
        at += match marker {
            0xff => 1,
            0x01 | 0xd0..=0xd8 => 2,
            _ => 2 + big(bytes, at + 2, 2)?.max(2),
        };
    }
}

/// WebP: the canvas of the extended form, or the frame of the others (RFC 9649).
fn webp(bytes: &[u8]) -> Option<(usize, usize)> {
    match bytes.get(12..16)? {
        b"VP8X" => Some((little(bytes, 24, 3)? + 1, little(bytes, 27, 3)? + 1)),
        b"VP8L" => {
            let bits = little(bytes, 21, 4)?;
            Some(((bits & 0x3fff) + 1, (bits >> 14 & 0x3fff) + 1))
        }
        b"VP8 " => Some((little(bytes, 26, 2)? & 0x3fff, little(bytes, 28, 2)? & 0x3fff)),
        _ => None,
    }
}

fn big(bytes: &[u8], at: usize, count: usize) -> Option<usize> {
    let digits = bytes.get(at..at + count)?;
    Some(digits.iter().fold(0, |sum, byte| sum << 8 | usize::from(*byte)))
}

fn little(bytes: &[u8], at: usize, count: usize) -> Option<usize> {
    let digits = bytes.get(at..at + count)?;
    Some(digits.iter().rev().fold(0, |sum, byte| sum << 8 | usize::from(*byte)))
}

/// Times that what `use` repeats is looked up in what `use` repeats: longer chains that grow have long gone past the budget.
const CHAIN: usize = 40;

fn drawing(text: &str) -> Option<(&'static Budget, usize)> {
    let options = ParsingOptions {
        allow_dtd: true,
        // Words between the elements are nodes too.
        nodes_limit: ELEMENTS.most as u32 * 3,
        ..ParsingOptions::default()
    };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(Error::NodesLimitReached) => return Some((&ELEMENTS, ELEMENTS.most + 1)),
        Err(_) => return None,
    };
    let nodes: Vec<Node> = document.descendants().filter(Node::is_element).collect();
    let place: BTreeMap<_, usize> = nodes
        .iter()
        .enumerate()
        .map(|(n, node)| (node.id().get_usize(), n))
        .collect();
    let parents: Vec<Option<usize>> = nodes
        .iter()
        .map(|node| place.get(&node.parent()?.id().get_usize()).copied())
        .collect();
    // A parent stands before its children.
    let mut depths: Vec<usize> = Vec::with_capacity(nodes.len());
    for parent in &parents {
        let above = parent.and_then(|parent| depths.get(parent));
        depths.push(above.map_or(0, |depth| depth + 1));
    }
    if let Some(depth) = depths.iter().max().filter(|depth| DEPTH.is_over(**depth)) {
        return Some((&DEPTH, *depth));
    }
    let elements = repeated(&nodes, &parents);
    if ELEMENTS.is_over(elements) {
        return Some((&ELEMENTS, elements));
    }
    let effects = effects(&nodes, text, elements);
    EFFECTS.is_over(effects).then_some((&EFFECTS, effects))
}

/// The elements of a drawing, those that `use` repeats counted each time.
fn repeated(nodes: &[Node], parents: &[Option<usize>]) -> usize {
    let names: BTreeMap<&str, usize> = (nodes.iter().enumerate())
        .filter_map(|(n, node)| Some((node.attribute("id")?, n)))
        .collect();
    let target = |node: &Node| {
        let link = node.attributes().find(|a| a.name() == "href")?;
        let is_use = matches!(
            node.tag_name().name(),
            "use" | "pattern" | "image" | "mask" | "clipPath"
        );
        names.get(link.value().strip_prefix('#')?).copied().filter(|_| is_use)
    };
    let targets: Vec<Option<usize>> = nodes.iter().map(target).collect();
    let mut sizes = vec![1_usize; nodes.len()];
    for _ in 0..CHAIN {
        let mut next = vec![1_usize; nodes.len()];
        for (n, (target, parent)) in targets.iter().zip(parents).enumerate().rev() {
            let drawn = target.and_then(|target| sizes.get(target)).copied();
            let Some(size) = next.get_mut(n) else { continue };
            *size = size.saturating_add(drawn.unwrap_or(0));
            let size = *size;
            if let Some(above) = parent.and_then(|parent| next.get_mut(parent)) {
                *above = above.saturating_add(size);
            }
        }
        let done = next == sizes;
        sizes = next;
        if done || ELEMENTS.is_over(sizes.first().copied().unwrap_or(0)) {
            break;
        }
    }
    sizes.first().copied().unwrap_or(0)
}

/// What the filters of a drawing cost: their effects, those with a size of their own by that, times the elements that they are put on.
fn effects(nodes: &[Node], text: &str, elements: usize) -> usize {
    let number = |node: &Node, name: &str| {
        let words = node.attribute(name).unwrap_or("");
        let numbers = words.split([' ', ',']).filter_map(|word| word.parse::<f64>().ok());
        numbers.fold(1.0_f64, f64::max).min(1e9) as usize
    };
    let cost = |node: &Node| match node.tag_name().name() {
        "feTurbulence" => number(node, "numOctaves"),
        "feConvolveMatrix" => number(node, "order").saturating_pow(2),
        "feMorphology" => number(node, "radius"),
        name => match name.strip_prefix("fe") {
            Some(effect) if effect.starts_with(|c: char| c.is_ascii_uppercase()) => 1,
            _ => 0,
        },
    };
    let costs = nodes.iter().map(cost).fold(0_usize, usize::saturating_add);
    if costs == 0 && !text.contains("filter") {
        return 0;
    }
    let has_filter = |node: &&Node| {
        let style = node.attribute("style").unwrap_or("");
        node.tag_name().name() != "filter" && (node.has_attribute("filter") || style.contains("filter"))
    };
    let mut uses = nodes.iter().filter(has_filter).count();
    // A style sheet may put one on everything.
    let sheets = nodes.iter().filter(|node| node.tag_name().name() == "style");
    if sheets.filter_map(Node::text).any(|sheet| sheet.contains("filter")) {
        uses = elements;
    }
    costs.max(1).saturating_mul(uses)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn svg(inside: &str) -> Vec<u8> {
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{inside}</svg>").into_bytes()
    }

    fn name(bytes: &[u8]) -> Option<&'static str> {
        over(bytes).map(|(budget, _)| budget.name)
    }

    /// The heads were written by hand after the formats' specifications.
    #[test]
    fn sizes_stand_in_the_heads() {
        let png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x03\x20\0\0\x02\x58\x08\x02\0\0\0";
        assert_eq!(size(png), Some((800, 600)));
        let jpeg = b"\xff\xd8\xff\xe0\0\x04xx\xff\xff\xc4\0\x03x\xff\xc2\0\x11\x08\x02\x58\x03\x20\x03";
        assert_eq!(size(jpeg), Some((800, 600)));
        assert_eq!(size(b"GIF89a\x20\x03\x58\x02\x80"), Some((800, 600)));
        let webp = b"RIFF\0\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\x1f\x03\0\x57\x02\0";
        assert_eq!(size(webp), Some((800, 600)));
        let lossless = b"RIFF\0\0\0\0WEBPVP8L\0\0\0\0\x2f\x1f\xc3\x95\0";
        assert_eq!(size(lossless), Some((800, 600)));
        let plain = b"RIFF\0\0\0\0WEBPVP8 \0\0\0\0\0\0\0\x9d\x01\x2a\x20\x03\x58\x02";
        assert_eq!(size(plain), Some((800, 600)));
        let huge = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\xff\xff\0\0\xff\xff\x08\x02\0\0\0";
        assert_eq!(name(huge), Some("pixels"));
        assert_eq!(name(png), None);
    }

    #[test]
    fn what_is_repeated_is_counted_each_time() {
        let mut doubled = "<g id=\"g0\"><rect/></g>".to_string();
        for n in 1..=40 {
            let last = n - 1;
            doubled += &format!("<g id=\"g{n}\"><use href=\"#g{last}\"/><use href=\"#g{last}\"/></g>");
        }
        assert_eq!(name(&svg(&doubled)), Some("drawing"));
        // Linked to itself: the typesetter leaves that out.
        assert_eq!(name(&svg("<g id=\"a\"><use href=\"#a\"/></g>")), None);
        assert_eq!(name(&svg(&"<rect/>".repeat(1000))), None);
        assert_eq!(name(&svg(&"<rect/>".repeat(100_001))), Some("drawing"));
    }

    #[test]
    fn depth_and_effects_have_an_end() {
        let deep = format!("{}{}", "<g>".repeat(5000), "</g>".repeat(5000));
        assert_eq!(name(&svg(&deep)), Some("drawing-depth"));
        let noise = "<filter id=\"f\"><feTurbulence numOctaves=\"100000\"/></filter><rect filter=\"url(#f)\"/>";
        assert_eq!(name(&svg(noise)), Some("effects"));
        let shadow = "<filter id=\"f\"><feGaussianBlur stdDeviation=\"2\"/></filter><rect filter=\"url(#f)\"/>";
        assert_eq!(name(&svg(shadow)), None);
        let everywhere = format!(
            "<style>* {{filter: url(#f)}}</style><filter id=\"f\"><feFlood/></filter>{}",
            "<rect/>".repeat(300)
        );
        assert_eq!(name(&svg(&everywhere)), Some("effects"));
    }
}
