//! One leaf of a document with its ink, and what its head and foot leave.

use super::area::Area;
use super::ink::{Ink, Own};
use super::piece::{Drawn, Run};
use super::tell::MM;

/// Clear on every side: pouches are welded there.
pub const CLEAR: f64 = 8.0 * MM;

/// The ink of one leaf, with what is needed to look at it.
pub struct Leaf<'a> {
    /// From 0.
    pub number: usize,
    pub width: f64,
    pub height: f64,
    pub ink: Vec<&'a Ink>,
    /// What is left between head and foot.
    pub work: Area,
    /// Where lines of type end: as far to the right as the rule under the head reaches, if there is one across most of the leaf.
    pub edge: Option<f64>,
    /// The code in the corner, which is higher than the foot.
    pub code: Area,
}

/// The leaves of a document; `sizes` are width and height of each in points.
pub fn all<'a>(ink: &'a [Ink], sizes: &[(f64, f64)]) -> Vec<Leaf<'a>> {
    let leaf = |(number, (width, height)): (usize, &(f64, f64))| {
        let of_leaf: Vec<&Ink> = ink.iter().filter(|ink| ink.leaf == number).collect();
        Leaf::new(number, of_leaf, *width, *height)
    };
    sizes.iter().enumerate().map(leaf).collect()
}

impl<'a> Leaf<'a> {
    fn new(number: usize, ink: Vec<&'a Ink>, width: f64, height: f64) -> Self {
        // The code is areas, its ground among them; head and foot are letters and rules.
        let of = |own: Own, areas: bool| {
            let like = |ink: &&&Ink| ink.is(own) && ink.drawn().is_some_and(|d| !d.stroked) == areas;
            ink.iter()
                .filter(like)
                .fold(Area::NONE, |area, ink| area.with(ink.area))
        };
        let (head, foot) = (of(Own::Head, false), of(Own::Foot, false));
        let rules = ink
            .iter()
            .filter(|ink| ink.is(Own::Head) && ink.drawn().is_some_and(|d| d.stroked));
        let across = rules.filter(|rule| rule.area.width() > width / 2.0);
        Leaf {
            number,
            edge: across.map(|rule| rule.area.right).reduce(f64::max),
            width,
            height,
            work: Area {
                left: CLEAR,
                right: width - CLEAR,
                top: if head.is_some() { head.bottom } else { CLEAR },
                bottom: if foot.is_some() { foot.top } else { height - CLEAR },
            },
            code: of(Own::Foot, true),
            ink,
        }
    }

    pub fn runs(&self) -> impl Iterator<Item = (usize, &'a Ink, &'a Run)> {
        self.ink
            .iter()
            .enumerate()
            .filter_map(|(n, ink)| ink.run().map(|run| (n, *ink, run)))
    }

    pub fn drawn(&self) -> impl Iterator<Item = (usize, &'a Ink, &'a Drawn)> {
        self.ink
            .iter()
            .enumerate()
            .filter_map(|(n, ink)| ink.drawn().map(|drawn| (n, *ink, drawn)))
    }
}
