//! Two leaves on one sheet: half-size leaves side by side on the paper of twice their size, with marks where to cut.
//!
//! Leaves keep their order, left before right, so that the sheets read in the order of the work and the PDF's tags stay nested.

use typst::foundations::Smart;
use typst::layout::{Abs, Frame, FrameItem, Point, Size};
use typst::syntax::Span;
use typst::visualize::{FixedStroke, Geometry, Paint};
use typst_layout::{Page, PagedDocument};

use super::export::Document;
use super::fault::Fault;

/// Leaves up to this width can stand two on a sheet.
const WIDEST_MM: f64 = 170.0;

/// Length of a cut mark. It stays outside the 8 mm that no leaf prints on.
const MARK_MM: f64 = 6.0;

/// Width of the sheet that holds two A5 leaves: A4 is a millimetre wider than two of them.
const A5_SHEET_MM: f64 = 297.0;

impl Document {
    /// The same leaves, two on a sheet.
    ///
    /// # Errors
    /// If the leaves are of a full paper size: nothing in use is twice as large.
    pub fn two_up(&self) -> Result<Document, Vec<Fault>> {
        let Some(size) = self.pages().first().map(|page| page.frame.size()) else {
            return Err(vec![Fault::error("", "there is no leaf to print")]);
        };
        if size.x.to_mm() > WIDEST_MM {
            return Err(vec![
                Fault::error("", "two of these leaves fit on no sheet")
                    .with_hint("print on a5 or half-letter to have two on one"),
            ]);
        }
        let width = size.x * 2.0;
        let width = if (width.to_mm() - A5_SHEET_MM).abs() < 2.0 {
            Abs::mm(A5_SHEET_MM)
        } else {
            width
        };
        let sheets = self.pages().chunks(2).zip(1..).filter_map(|(pair, number)| {
            let first = pair.first()?;
            let mut frame = Frame::hard(Size::new(width, size.y));
            let mut places = [width / 2.0 - size.x, width / 2.0].into_iter();
            for (page, x) in pair.iter().zip(&mut places) {
                frame.push_frame(Point::new(x, Abs::zero()), page.frame.clone());
            }
            for y in [Abs::zero(), size.y - Abs::mm(MARK_MM)] {
                frame.push(Point::new(width / 2.0, y), cut_mark());
            }
            Some(Page {
                frame,
                fill: Smart::Auto,
                number,
                ..first.clone()
            })
        });
        let mut info = self.paged.clone();
        let info = info.info_mut().clone();
        Ok(Document {
            paged: PagedDocument::new(sheets.collect(), info),
            identifier: format!("{} two-up", self.identifier),
            date: self.date,
            warnings: self.warnings.clone(),
            breaches: self.breaches.clone(),
        })
    }
}

fn cut_mark() -> FrameItem {
    let stroke = FixedStroke::from_pair(Paint::Solid(typst::visualize::Color::BLACK), Abs::pt(0.5));
    let line = Geometry::Line(Point::with_y(Abs::mm(MARK_MM)));
    FrameItem::Shape(line.stroked(stroke), Span::detached())
}
