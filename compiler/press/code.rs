//! The QR code of a leaf: which card this is, for a reader that isn't a person. Modules come as data; the template draws them.

use qrcode::{Color, EcLevel, QrCode};
use serde::Serialize;

use benchleaf_core::cards::card::Identity;

/// A code to be drawn. Its quiet zone of 4 modules is the template's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Code {
    /// What the code says, to be printed beside it.
    pub text: String,
    /// Modules along a side.
    pub side: usize,
    /// Dark modules: column, row and length of each run, from the top left.
    pub runs: Vec<(usize, usize, usize)>,
}

/// What the code of a leaf says: set, procedure, revision, fingerprint and choices, parted by spaces.
pub fn text(identity: &Identity) -> String {
    let mut text = format!("{}/{}", identity.set, identity.procedure);
    if !identity.rev.is_empty() {
        text.push_str(&format!(" rev {}", identity.rev));
    }
    if !identity.fingerprint.is_empty() {
        text.push_str(&format!(" {}", identity.fingerprint));
    }
    for choice in &identity.choices {
        text.push_str(&format!(" {}={}", choice.option, choice.value));
    }
    text
}

/// The code of a leaf at level M; `None` for a text that no code can hold (some 2300 bytes).
pub fn code(identity: &Identity) -> Option<Code> {
    let text = text(identity);
    let code = QrCode::with_error_correction_level(text.as_bytes(), EcLevel::M).ok()?;
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
    use super::super::{Assets, Settings, sample};
    use super::*;
    use typst_render::RenderOptions;

    /// What a reader makes of the codes on a leaf, from its picture at 200 dots an inch.
    fn read(page: &typst_layout::Page) -> Vec<String> {
        let options = RenderOptions {
            pixel_per_pt: typst::utils::Scalar::new(200.0 / 72.0),
            render_bleed: false,
        };
        let picture = typst_render::render(page, &options);
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        let pixels = picture.pixels();
        let grey = |x: usize, y: usize| pixels[y * width + x].green();
        let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(width, height, grey);
        let found = prepared.detect_grids();
        found.iter().filter_map(|grid| Some(grid.decode().ok()?.1)).collect()
    }

    #[test]
    fn a_reader_finds_the_code_on_every_paper() {
        for paper in ["a4", "letter", "a5", "half-letter"] {
            let mut card = sample::full();
            card.identity.paper = paper.into();
            card.identity.fingerprint = "7K3M-9QXD".into();
            let document = typesetter()
                .typeset(&card, &Assets::default(), &Settings::default())
                .unwrap();
            let found: Vec<String> = document.pages().iter().flat_map(read).collect();
            assert_eq!(found, [text(&card.identity)], "{paper}");
        }
    }

    #[test]
    fn a_text_too_long_for_any_code_has_none() {
        let mut identity = sample::identity();
        identity.rev = "x".repeat(3000);
        assert_eq!(code(&identity), None);
    }
}
