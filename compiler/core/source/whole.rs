//! Whether a picture can be read to its end, found without drawing it: its kind by its first bytes, the parts that its format asks for, their
//! check sums where there are some. What is wrong inside a part without one, the typesetter tells.

use roxmltree::{Document, Error, ParsingOptions};

/// A kind of picture that can be printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Png,
    Jpeg,
    Gif,
    Webp,
    Svg,
}

impl Kind {
    const ALL: [Kind; 5] = [Kind::Png, Kind::Jpeg, Kind::Gif, Kind::Webp, Kind::Svg];

    /// By the first bytes: an ending says nothing of what a file is.
    pub fn of(bytes: &[u8]) -> Option<Kind> {
        let has = |start: &[u8]| bytes.starts_with(start);
        if has(PNG) {
            Some(Kind::Png)
        } else if has(b"\xff\xd8\xff") {
            Some(Kind::Jpeg)
        } else if has(b"GIF87a") || has(b"GIF89a") {
            Some(Kind::Gif)
        } else if has(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            Some(Kind::Webp)
        } else {
            is_svg(bytes).then_some(Kind::Svg)
        }
    }

    /// As people call it.
    pub fn name(self) -> &'static str {
        match self {
            Kind::Png => "PNG",
            Kind::Jpeg => "JPEG",
            Kind::Gif => "GIF",
            Kind::Webp => "WebP",
            Kind::Svg => "SVG",
        }
    }

    /// Endings of its files, the usual one first.
    pub fn endings(self) -> &'static [&'static str] {
        match self {
            Kind::Png => &["png"],
            Kind::Jpeg => &["jpg", "jpeg"],
            Kind::Gif => &["gif"],
            Kind::Webp => &["webp"],
            Kind::Svg => &["svg"],
        }
    }

    /// True if the typesetter would take a file by this name for another kind: it goes by an ending that it knows, and without one by the first
    /// bytes, where a drawing has to say that it is one.
    pub fn is_misnamed(self, path: &str, bytes: &[u8]) -> bool {
        match Kind::promised(path) {
            Some(promised) => promised != self,
            None => self == Kind::Svg && !says_svg(bytes),
        }
    }

    /// The kind that the ending of a name promises; `None` for an ending that promises none.
    fn promised(path: &str) -> Option<Kind> {
        let (_, ending) = path.rsplit_once('.')?;
        Kind::ALL.into_iter().find(|kind| kind.endings().contains(&ending))
    }
}

/// What keeps a picture from being read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// It ends before it is whole.
    Cut,
    /// A part of it isn't what it was when it was written.
    Damaged,
    /// It is whole, of a variety that isn't read; says which.
    Variety(&'static str),
    /// It isn't well-formed, or has no drawing at its root; says why, from where it is read.
    Drawing(String),
}

/// What is wrong with a picture of this kind, `None` for a whole one.
pub fn fault(kind: Kind, bytes: &[u8]) -> Option<Fault> {
    let found = match kind {
        Kind::Png => png(bytes),
        Kind::Jpeg => jpeg(bytes),
        Kind::Gif => gif(bytes),
        Kind::Webp => webp(bytes),
        Kind::Svg => svg(bytes),
    };
    found.err()
}

/// Bytes in which the typesetter looks for the namespace of a drawing.
const HEAD: usize = 2048;

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

/// What is read from front to end.
struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    fn take(&mut self, count: usize) -> Result<&'a [u8], Fault> {
        let (taken, rest) = self.0.split_at_checked(count).ok_or(Fault::Cut)?;
        self.0 = rest;
        Ok(taken)
    }

    fn byte(&mut self) -> Result<u8, Fault> {
        let (byte, rest) = self.0.split_first().ok_or(Fault::Cut)?;
        self.0 = rest;
        Ok(*byte)
    }

    /// A number of so many bytes, the highest first.
    fn big(&mut self, count: usize) -> Result<usize, Fault> {
        let digits = self.take(count)?;
        Ok(digits.iter().fold(0, |sum, byte| sum << 8 | usize::from(*byte)))
    }

    fn little(&mut self, count: usize) -> Result<usize, Fault> {
        let digits = self.take(count)?;
        Ok(digits.iter().rev().fold(0, |sum, byte| sum << 8 | usize::from(*byte)))
    }
}

/// ISO/IEC 15948: chunks of length, type, data and CRC (5.3), from IHDR to IEND with image data between (5.6).
fn png(bytes: &[u8]) -> Result<(), Fault> {
    let mut rest = Bytes(bytes);
    rest.take(PNG.len())?;
    let (mut first, mut has_data) = (true, false);
    loop {
        let length = rest.big(4)?;
        let mut part = Bytes(rest.0);
        let (kind, _data) = (part.take(4)?, part.take(length)?);
        let sum = part.big(4)?;
        let summed = rest.take(4 + length)?;
        if crc32fast::hash(summed) as usize != sum || first != (kind == b"IHDR") {
            return Err(Fault::Damaged);
        }
        rest = part;
        first = false;
        has_data |= kind == b"IDAT";
        if kind == b"IEND" {
            return if has_data { Ok(()) } else { Err(Fault::Damaged) };
        }
    }
}

/// ITU-T T.81, B.1 and B.2: marker segments from SOI to EOI; behind a start of scan stands coded data up to the next marker that is none of its own.
fn jpeg(bytes: &[u8]) -> Result<(), Fault> {
    let mut rest = Bytes(bytes);
    rest.take(2)?;
    let (mut has_frame, mut has_scan) = (false, false);
    loop {
        if rest.byte()? != 0xff {
            return Err(Fault::Damaged);
        }
        let mut marker = rest.byte()?;
        while marker == 0xff {
            marker = rest.byte()?;
        }
        match marker {
            0xd9 => return if has_scan { Ok(()) } else { Err(Fault::Damaged) },
            // Markers that stand alone.
            0x01 | 0xd0..=0xd7 => continue,
            0xc0..=0xc2 => has_frame = true,
            0xc3 | 0xc7 => return Err(Fault::Variety("without loss")),
            0xc9..=0xcb | 0xcd..=0xcf => return Err(Fault::Variety("with arithmetic coding")),
            0xc5 | 0xc6 => return Err(Fault::Variety("in stages of several sizes")),
            _ => {}
        }
        let length = rest.big(2)?;
        let segment = rest.take(length.checked_sub(2).ok_or(Fault::Damaged)?)?;
        if matches!(marker, 0xc0..=0xc2) && segment.first() != Some(&8) {
            return Err(Fault::Variety("of more than 8 bits"));
        }
        if marker == 0xda {
            if !has_frame {
                return Err(Fault::Damaged);
            }
            has_scan = true;
            rest.0 = behind_coded(rest.0).ok_or(Fault::Cut)?;
        }
    }
}

/// From the first marker that is neither a stuffed byte nor a restart.
fn behind_coded(bytes: &[u8]) -> Option<&[u8]> {
    let mut rest = bytes;
    loop {
        let at = rest.iter().position(|byte| *byte == 0xff)?;
        rest = rest.get(at..)?;
        match rest.get(1)? {
            0x00 | 0xd0..=0xd7 => rest = rest.get(2..)?,
            0xff => rest = rest.get(1..)?,
            _ => return Some(rest),
        }
    }
}

/// GIF89a, appendix B: a head, then blocks up to the trailer, at least one image among them.
fn gif(bytes: &[u8]) -> Result<(), Fault> {
    let mut rest = Bytes(bytes);
    rest.take(10)?;
    let flags = rest.byte()?;
    rest.take(2)?;
    colours(&mut rest, flags)?;
    let mut has_image = false;
    loop {
        match rest.byte()? {
            0x21 => {
                rest.byte()?;
                blocks(&mut rest)?;
            }
            0x2c => {
                rest.take(8)?;
                let flags = rest.byte()?;
                colours(&mut rest, flags)?;
                rest.byte()?;
                blocks(&mut rest)?;
                has_image = true;
            }
            0x3b => return if has_image { Ok(()) } else { Err(Fault::Damaged) },
            _ => return Err(Fault::Damaged),
        }
    }
}

/// A table of colours, if the flags say that one follows.
fn colours(rest: &mut Bytes, flags: u8) -> Result<(), Fault> {
    if flags & 0x80 != 0 {
        rest.take(3 << ((flags & 7) + 1))?;
    }
    Ok(())
}

/// Data in blocks of stated length, up to an empty one.
fn blocks(rest: &mut Bytes) -> Result<(), Fault> {
    loop {
        let length = rest.byte()?;
        if length == 0 {
            return Ok(());
        }
        rest.take(usize::from(length))?;
    }
}

/// RFC 9649, 2.3: chunks in a RIFF, an image or a frame among them.
fn webp(bytes: &[u8]) -> Result<(), Fault> {
    let mut rest = Bytes(bytes);
    rest.take(4)?;
    let length = rest.little(4)?;
    let mut inside = Bytes(rest.take(length)?);
    inside.take(4)?;
    let mut has_image = false;
    while !inside.0.is_empty() {
        let kind = inside.take(4)?;
        let length = inside.little(4)?;
        inside.take(length)?;
        // Data of odd length is followed by one more byte, which a last chunk often lacks.
        if length % 2 == 1 && !inside.0.is_empty() {
            inside.take(1)?;
        }
        has_image |= matches!(kind, b"VP8 " | b"VP8L" | b"ANMF");
    }
    if has_image { Ok(()) } else { Err(Fault::Damaged) }
}

/// Something else may hold a drawing as well, a document for printing for one.
fn is_svg(bytes: &[u8]) -> bool {
    let text = std::str::from_utf8(bytes).unwrap_or("");
    text.trim_start_matches('\u{feff}').trim_start().starts_with('<') && text.contains("<svg")
}

fn says_svg(bytes: &[u8]) -> bool {
    let head = bytes.get(..bytes.len().min(HEAD)).unwrap_or_default();
    head.windows(SVG.len()).any(|at| at == SVG.as_bytes())
}

/// SVG 1.1, 5.1.1: well-formed, with an `svg` of the namespace at its root, which isn't of no size.
fn svg(bytes: &[u8]) -> Result<(), Fault> {
    let text = std::str::from_utf8(bytes).unwrap_or("");
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(Error::NodesLimitReached) => return Ok(()),
        Err(error) => return Err(Fault::Drawing(error.to_string())),
    };
    let root = document.root_element();
    if !root.has_tag_name((SVG, "svg")) {
        let why = format!("its root is no `svg` of the namespace `{SVG}`");
        return Err(Fault::Drawing(why));
    }
    let nothing = |side: &&&str| {
        let number = root
            .attribute(**side)
            .map(|size| size.trim().trim_end_matches(|c: char| !c.is_ascii_digit()));
        number
            .and_then(|size| size.parse::<f64>().ok())
            .is_some_and(|size| size <= 0.0)
    };
    match ["width", "height"].iter().find(nothing) {
        Some(side) => Err(Fault::Drawing(format!("its {side} is nothing"))),
        None => Ok(()),
    }
}

/// The namespace of SVG.
pub const SVG: &str = "http://www.w3.org/2000/svg";

#[cfg(test)]
mod tests {
    use super::*;

    /// One white dot of each kind, made with an independent program for pictures.
    const PNG_DOT: &[u8] = include_bytes!("../../../tests/pictures/dot.png");
    const JPEG_DOT: &[u8] = include_bytes!("../../../tests/pictures/dot.jpg");
    const STAGED: &[u8] = include_bytes!("../../../tests/pictures/staged.jpg");
    const GIF_DOT: &[u8] = include_bytes!("../../../tests/pictures/dot.gif");
    const WEBP_DOT: &[u8] = include_bytes!("../../../tests/pictures/dot.webp");
    const LOSSLESS: &[u8] = include_bytes!("../../../tests/pictures/lossless.webp");

    const ALL: [(Kind, &[u8]); 6] = [
        (Kind::Png, PNG_DOT),
        (Kind::Jpeg, JPEG_DOT),
        (Kind::Jpeg, STAGED),
        (Kind::Gif, GIF_DOT),
        (Kind::Webp, WEBP_DOT),
        (Kind::Webp, LOSSLESS),
    ];

    #[test]
    fn whole_ones_are_whole_and_each_cut_is_told() {
        for (kind, bytes) in ALL {
            assert_eq!(Kind::of(bytes), Some(kind));
            assert_eq!(fault(kind, bytes), None, "{kind:?}");
            for end in 12..bytes.len() {
                assert!(fault(kind, &bytes[..end]).is_some(), "{kind:?} cut at {end}");
            }
            // What some cameras and programs leave behind the end.
            if kind != Kind::Webp {
                assert_eq!(fault(kind, &[bytes, b"\0\0"].concat()), None, "{kind:?}");
            }
        }
    }

    #[test]
    fn a_changed_byte_of_a_png_is_told() {
        for at in PNG.len()..PNG_DOT.len() {
            let mut bytes = PNG_DOT.to_vec();
            bytes[at] ^= 0x10;
            assert!(fault(Kind::Png, &bytes).is_some(), "at {at}");
        }
    }

    #[test]
    fn varieties_that_nobody_reads_are_named() {
        let with = |frame: u8, bits: u8| {
            let at = JPEG_DOT.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
            let mut bytes = JPEG_DOT.to_vec();
            (bytes[at + 1], bytes[at + 4]) = (frame, bits);
            fault(Kind::Jpeg, &bytes)
        };
        assert_eq!(with(0xc0, 8), None);
        assert_eq!(with(0xc1, 12), Some(Fault::Variety("of more than 8 bits")));
        assert_eq!(with(0xc3, 8), Some(Fault::Variety("without loss")));
        assert_eq!(with(0xc9, 8), Some(Fault::Variety("with arithmetic coding")));
    }

    #[test]
    fn drawings_are_well_formed_and_of_their_namespace() {
        let told = |text: &str| match fault(Kind::Svg, text.as_bytes()) {
            None => String::new(),
            Some(Fault::Drawing(why)) => why,
            Some(other) => format!("{other:?}"),
        };
        let open = format!("<svg xmlns=\"{SVG}\"");
        assert_eq!(told(&format!("{open}/>")), "");
        assert_eq!(told(&format!("<s:svg xmlns:s=\"{SVG}\" width=\"4mm\"/>")), "");
        assert!(told("<svg/>").contains("namespace"));
        assert!(told(&format!("<html xmlns:s=\"{SVG}\"><s:svg/></html>")).contains("root"));
        assert!(
            told(&format!("{open}><g></svg>")).contains("tag"),
            "{}",
            told(&format!("{open}><g></svg>"))
        );
        assert_eq!(told(&format!("{open} height=\"0mm\"/>")), "its height is nothing");
    }

    #[test]
    fn an_ending_that_promises_another_kind_is_a_wrong_name() {
        assert!(!Kind::Jpeg.is_misnamed("a/b.jpeg", JPEG_DOT));
        assert!(!Kind::Jpeg.is_misnamed("a.b/c", JPEG_DOT));
        assert!(!Kind::Gif.is_misnamed("a.PNG", GIF_DOT));
        assert!(Kind::Gif.is_misnamed("a.png", GIF_DOT));
        let drawing = format!("<svg xmlns=\"{SVG}\"/>");
        let late = format!("<!--{}-->{drawing}", " ".repeat(HEAD));
        assert!(!Kind::Svg.is_misnamed("a", drawing.as_bytes()));
        assert!(!Kind::Svg.is_misnamed("a.svg", late.as_bytes()));
        assert!(Kind::Svg.is_misnamed("a", late.as_bytes()));
    }
}
