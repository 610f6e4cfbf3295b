//! Document to bytes: PDF, SVG or PNG. The same document gives the same bytes: no clock, no random identifier.

use typst::diag::{Severity, SourceDiagnostic};
use typst::foundations::{Datetime, Smart};
use typst::utils::Scalar;
use typst_layout::{Page, PagedDocument};
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};
use typst_render::RenderOptions;
use typst_svg::SvgOptions;

use super::fault::{Fault, Level};
use super::reader::Breach;

/// Pixels an inch beyond which a leaf doesn't fit into a sensible amount of memory.
pub const MAX_PPI: u32 = 1200;

/// What a document is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Format {
    /// One file: PDF 1.7, tagged, PDF/UA-1.
    Pdf,
    /// One file: PDF/UA-1 and PDF/A-2a in one. Needs a card with a date.
    PdfArchive,
    /// One file a leaf, at so many pixels an inch (limited to 1 … 1200).
    Png { ppi: u32 },
    /// One file a leaf, text as outlines.
    Svg,
}

impl Format {
    /// The ending of its files, without the dot.
    pub fn extension(self) -> &'static str {
        match self {
            Format::Pdf | Format::PdfArchive => "pdf",
            Format::Png { .. } => "png",
            Format::Svg => "svg",
        }
    }
}

/// A laid-out card.
pub struct Document {
    pub(super) paged: PagedDocument,
    /// Says which card this is, the same for each edition: the PDF's document identifier is made from it.
    pub(super) identifier: String,
    pub(super) date: Option<Datetime>,
    /// What the typesetter found worth a look.
    pub warnings: Vec<Fault>,
    /// What isn't on the pages as the leaf has it: nothing of a set is to be written that has one of these.
    pub breaches: Vec<Breach>,
}

impl Document {
    /// Number of leaves (printed sides).
    pub fn leaves(&self) -> usize {
        self.paged.pages().len()
    }

    /// Width and height of each leaf, in points.
    pub fn sizes(&self) -> Vec<(f64, f64)> {
        let frames = self.pages().iter().map(|page| &page.frame);
        frames
            .map(|frame| (frame.width().to_pt(), frame.height().to_pt()))
            .collect()
    }

    /// One leaf, from 0, as PNG for a screen that somebody waits at; `None` if there is no such leaf.
    ///
    /// # Errors
    /// If the picture can't be encoded.
    pub fn png(&self, leaf: usize, ppi: u32) -> Option<Result<Vec<u8>, Fault>> {
        Some(quick(self.pages().get(leaf)?, ppi))
    }

    /// The pages, for tests that look at what lies where.
    pub fn pages(&self) -> &[Page] {
        self.paged.pages()
    }

    /// The bytes: one entry for a PDF, else one a leaf.
    pub fn export(&self, format: Format) -> Result<Vec<Vec<u8>>, Vec<Fault>> {
        match format {
            Format::Pdf => self.pdf(&[PdfStandard::Ua_1]),
            Format::PdfArchive => self.pdf(&[PdfStandard::Ua_1, PdfStandard::A_2a]),
            Format::Svg => {
                let options = SvgOptions::default();
                Ok(self
                    .pages()
                    .iter()
                    .map(|page| typst_svg::svg(page, &options).into_bytes())
                    .collect())
            }
            Format::Png { ppi } => {
                let all = self.pages().iter().map(|page| encoded(page, ppi));
                all.collect::<Result<_, _>>().map_err(|fault| vec![fault])
            }
        }
    }

    fn pdf(&self, standards: &[PdfStandard]) -> Result<Vec<Vec<u8>>, Vec<Fault>> {
        let standards = PdfStandards::new(standards)
            .map_err(|error| vec![Fault::error("", error.message().as_str()).with_hint(error.hints().join("; "))])?;
        let options = PdfOptions {
            ident: Smart::Custom(self.identifier.clone()),
            creator: Smart::Custom(Some(concat!("benchleaf ", env!("CARGO_PKG_VERSION")).to_string())),
            timestamp: self.date.map(Timestamp::new_utc),
            standards,
            ..PdfOptions::default()
        };
        match typst_pdf::pdf(&self.paged, &options) {
            Ok(bytes) => Ok(vec![bytes]),
            Err(errors) => Err(errors.iter().map(export_fault).collect()),
        }
    }
}

/// A page as PNG.
fn options(ppi: u32) -> RenderOptions {
    RenderOptions {
        pixel_per_pt: Scalar::new(f64::from(ppi.clamp(1, MAX_PPI)) / 72.0),
        render_bleed: false,
    }
}

fn encoded(page: &Page, ppi: u32) -> Result<Vec<u8>, Fault> {
    let pixels = typst_render::render(page, &options(ppi)).encode_png();
    pixels.map_err(unencoded)
}

/// The same pixels on white for somebody who waits: packed less tightly, in a fraction of the time.
fn quick(page: &Page, ppi: u32) -> Result<Vec<u8>, Fault> {
    let pixels = typst_render::render(page, &options(ppi));
    let mut colours = Vec::with_capacity(pixels.data().len() / 4 * 3);
    for pixel in pixels.pixels() {
        // Colours are held times how opaque they are.
        let white = u8::MAX - pixel.alpha();
        colours.extend([pixel.red(), pixel.green(), pixel.blue()].map(|colour| colour.saturating_add(white)));
    }
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, pixels.width(), pixels.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().map_err(unencoded)?;
    writer.write_image_data(&colours).map_err(unencoded)?;
    writer.finish().map_err(unencoded)?;
    Ok(bytes)
}

fn unencoded(error: impl std::fmt::Display) -> Fault {
    Fault::error("", format!("the image can't be encoded: {error}"))
}

/// Faults of an export concern the whole document: a place in a template would say nothing to the author.
fn export_fault(error: &SourceDiagnostic) -> Fault {
    Fault {
        level: if error.severity == Severity::Error {
            Level::Error
        } else {
            Level::Warning
        },
        file: String::new(),
        line: 0,
        column: 0,
        message: error.message.to_string(),
        hint: error
            .hints
            .iter()
            .map(|hint| hint.v.as_str())
            .collect::<Vec<_>>()
            .join("; "),
    }
}
