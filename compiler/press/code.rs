//! The code of a leaf for a reader that isn't a person: a QR code of the check code alone, so that its squares are as large as they can
//! be. Modules come as data; the template draws them.

use benchleaf_core::fingerprint;
use qrcode::bits::Bits;
use qrcode::{Color, EcLevel, QrCode, Version};
use serde::Serialize;

/// A code to be drawn. Its quiet zone of 4 modules is the template's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Code {
    /// What the code says, `WD47-9V4K`, to be printed beside it.
    pub text: String,
    /// Modules along a side: 21, the smallest there is.
    pub side: usize,
    /// Dark modules: column, row and length of each run, from the top left.
    pub runs: Vec<(usize, usize, usize)>,
}

/// A check code as a QR code of version 1 at level H in alphanumeric mode, which holds 10 characters (ISO/IEC 18004:2015, table 7).
pub fn drawn(code: &fingerprint::Code) -> Option<Code> {
    let text = code.to_string();
    let mut bits = Bits::new(Version::Normal(1));
    bits.push_alphanumeric_data(text.as_bytes()).ok()?;
    bits.push_terminator(EcLevel::H).ok()?;
    let code = QrCode::with_bits(bits, EcLevel::H).ok()?;
    let side = code.width();
    let mut runs: Vec<(usize, usize, usize)> = Vec::new();
    for (n, colour) in code.to_colors().into_iter().enumerate() {
        let (x, y) = (n % side, n / side);
        if colour == Color::Light {
            continue;
        }
        match runs.last_mut() {
            Some((from, row, length)) if *row == y && *from + *length == x => *length += 1,
            _ => runs.push((x, y, 1)),
        }
    }
    Some(Code { text, side, runs })
}

#[cfg(test)]
mod tests {
    use super::super::layout_tests::typesetter;
    use super::super::leaf::Leaf;
    use super::super::{Assets, Settings, sample};
    use super::*;
    use benchleaf_core::cards::beside::{CloseOut, Pocket};
    use typst_render::RenderOptions;

    const PAPERS: [&str; 4] = ["a4", "letter", "a5", "half-letter"];

    /// Dots an inch of the pictures that are read.
    const PPI: f64 = 300.0;

    /// A code that a general reader finds on a leaf: what it says, its version and its level of error correction.
    struct Found {
        text: String,
        version: usize,
        level: u16,
    }

    /// The codes of a leaf; and the dark square in its outer bottom corner: side, and distance from the right and the bottom edge, in
    /// millimetres.
    fn read(page: &typst_layout::Page) -> (Vec<Found>, [f64; 3]) {
        let options = RenderOptions {
            pixel_per_pt: typst::utils::Scalar::new(PPI / 72.0),
            render_bleed: false,
        };
        let picture = typst_render::render(page, &options);
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        let pixels = picture.pixels();
        let grey = |x: usize, y: usize| pixels[y * width + x].green();
        // The corner of the leaf, as somebody holds a reader to it.
        let part = (60.0 / 25.4 * PPI) as usize;
        let (x, y) = (width - part, height - part);
        let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(part, part, |dx, dy| grey(x + dx, y + dy));
        let mm = |pixels: usize| pixels as f64 * 25.4 / PPI;
        // No code of a leaf is larger, and nothing else stands further out.
        let corner = (30.0 / 25.4 * PPI) as usize;
        let dark = |x: usize, y: usize| grey(x, y) < 128;
        let rows = height - corner..height;
        let right = (width - corner..width)
            .rev()
            .find(|x| rows.clone().any(|y| dark(*x, y)))
            .unwrap_or(0);
        // The last row may be light at its end, but not along half of a square.
        let along = (13.0 / 25.4 * PPI) as usize;
        let bottom = rows
            .clone()
            .rev()
            .find(|y| (right - along..=right).any(|x| dark(x, *y)))
            .unwrap_or(0);
        // The finder in its upper corner is dark along the outer edge.
        let top = (height - 36 * corner / 30..height)
            .find(|y| dark(right - 1, *y))
            .unwrap_or(0);
        let one = |grid: &rqrr::Grid<_>| {
            let (meta, text) = grid.decode().ok()?;
            Some(Found {
                text,
                version: meta.version.0,
                level: meta.ecc_level,
            })
        };
        let found = prepared.detect_grids().iter().filter_map(one).collect();
        (
            found,
            [mm(bottom + 1 - top), mm(width - 1 - right), mm(height - 1 - bottom)],
        )
    }

    /// Of every leaf of a document its code, at its place and size; `lead` is the side on the first leaf.
    fn look<L: Leaf>(mut data: L, lead: f64) {
        for paper in PAPERS {
            for colour in if paper == "half-letter" {
                &[true, false][..]
            } else {
                &[true]
            } {
                data.identity_mut().paper = paper.into();
                let settings = Settings {
                    colour: *colour,
                    ..Settings::default()
                };
                let document = typesetter().typeset(&data, &Assets::default(), &settings).unwrap();
                let said = fingerprint::code(&data).to_string();
                for (n, page) in document.pages().iter().enumerate() {
                    let place = format!("{} on {paper}, leaf {}", L::NAME, n + 1);
                    let (found, [side, right, bottom]) = read(page);
                    assert_eq!(found.len(), 1, "{place}");
                    // Level H is 2 in the code's own format bits (ISO/IEC 18004, table 12).
                    let Found { text, version, level } = &found[0];
                    assert_eq!((text.as_str(), *version, *level), (said.as_str(), 1, 2), "{place}");
                    let wanted = if n == 0 { lead } else { 14.0 };
                    assert!((side - wanted).abs() < 0.3, "{place}: {side:.2} mm wide");
                    for edge in [right, bottom] {
                        assert!((edge - 9.0).abs() < 0.3, "{place}: {edge:.2} mm from an edge");
                    }
                }
            }
        }
    }

    #[test]
    fn a_general_reader_finds_the_code_on_every_leaf_of_a_card() {
        look(sample::full(), 25.0);
    }

    #[test]
    fn a_general_reader_finds_the_code_on_every_other_kind_of_leaf() {
        let card = sample::full();
        let pocket = Pocket {
            identity: card.identity.clone(),
            torques: card.torques.clone(),
            measurements: card.measurements.clone(),
        };
        let close_out = CloseOut {
            identity: card.identity.clone(),
            notices: Vec::new(),
            temporary: card.carried_in.fitted.clone(),
            torques: Vec::new(),
            holds: Vec::new(),
            states: Vec::new(),
        };
        look(pocket, 14.0);
        look(close_out, 14.0);
        look(sample::sheets::kit(9), 14.0);
        look(sample::sheets::plan(2, 5), 14.0);
        look(sample::sheets::record(9), 14.0);
        look(sample::sheets::changes(5), 14.0);
    }
}
