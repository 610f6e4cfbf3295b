//! Pieces of ink as the typesetter has them, with their places on the leaf.

use typst::layout::{Abs, Point, Transform};
use typst::text::TextItem;
use typst::visualize::{Curve, CurveItem, Geometry, Paint, Shape};

use super::area::{Area, at, box_at};

/// Red, green, blue from 0 to 1, and how dense.
pub type Colour = [f64; 4];

/// Letters that were drawn as one.
#[derive(Debug, Clone, PartialEq)]
pub struct Cluster {
    pub text: String,
    pub left: f64,
    pub right: f64,
    /// Pulled away from the letter behind it, further than the font does.
    pub apart: bool,
}

/// Words drawn in one go.
#[derive(Debug, Clone)]
pub struct Run {
    /// In the order in which they are read.
    pub clusters: Vec<Cluster>,
    pub size: f64,
    pub bold: bool,
    pub base: f64,
    /// `None` for a gradient or a pattern.
    pub fill: Option<Colour>,
    /// Has an outline.
    pub outlined: bool,
    pub turn: Turn,
    /// Letters are pushed into each other.
    pub tight: bool,
    /// Letters that no font had.
    pub missing: String,
    /// Read from right to left.
    pub backwards: bool,
}

/// How letters stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// In their own proportions, one behind the other from left to right.
    Upright,
    /// In their own proportions, but not level.
    Turned,
    /// Mirrored, slanted or squeezed.
    Distorted,
}

/// A straight line by its ends, in points from the upper left.
#[derive(Debug, Clone, Copy)]
pub struct Straight {
    pub from: (f64, f64),
    pub to: (f64, f64),
    /// Half of its thickness.
    pub half: f64,
}

/// Lines and areas.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// `None` for a pattern.
    pub fill: Option<Colour>,
    pub is_filled: bool,
    pub stroked: bool,
    /// What strokes are drawn in, or thin areas that stand for them; `None` for a pattern or no stroke.
    pub stroke: Option<Colour>,
    /// Strokes; curved ones in pieces.
    pub lines: Vec<Straight>,
    /// The boxes of an area that consists of several, such as the dark squares of a code.
    pub parts: Vec<Area>,
    /// A line or a rectangle: the kind of shape that rules and frames are.
    pub plain: bool,
}

fn colour(paint: &Paint) -> Option<Colour> {
    match paint {
        Paint::Solid(colour) => {
            let [r, g, b, a] = colour.to_rgb_quad();
            Some([r, g, b, a])
        }
        Paint::Gradient(_) | Paint::Tiling(_) => None,
    }
}

/// A colour as red, green, blue and density.
trait Quad {
    fn to_rgb_quad(&self) -> Colour;
}

impl Quad for typst::visualize::Color {
    fn to_rgb_quad(&self) -> Colour {
        let rgb = self.to_rgb();
        [rgb.red, rgb.green, rgb.blue, rgb.alpha].map(f64::from)
    }
}

/// Letters above and below their line, in em of DejaVu Sans: capitals with an accent are a little higher.
const ABOVE: f64 = 0.73;
const BELOW: f64 = 0.22;

/// How far letters may stand nearer to each other or further apart than they are wide, in em. The closest pair of DejaVu Sans, `L”`, is 0.263 em
/// nearer; digits have no pairs.
const NEARER: f64 = 0.3;
const FURTHER: f64 = 0.14;

/// How much wider than high letters may be drawn, or the other way round: nobody sees less.
const SQUEEZED: f64 = 0.05;

/// Letters of scripts that are read from right to left.
fn is_backwards(c: char) -> bool {
    matches!(c, '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefc}' | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1efff}')
}

/// What no font sets from right to left: a run of it was turned by a control character.
fn reads_forwards(c: char) -> bool {
    c.is_alphanumeric() && !is_backwards(c)
}

fn turn(here: Transform) -> Turn {
    let (sx, kx, ky, sy) = (here.sx.get(), here.kx.get(), here.ky.get(), here.sy.get());
    let (wide, high) = (f64::hypot(sx, ky), f64::hypot(kx, sy));
    let most = SQUEEZED * wide.max(high);
    let square = (sx * kx + ky * sy).abs() <= most * wide.max(high);
    if sx * sy - kx * ky <= 0.0 || (wide - high).abs() > most || !square {
        Turn::Distorted
    } else if ky.abs() > most || sx < 0.0 {
        Turn::Turned
    } else {
        Turn::Upright
    }
}

pub fn run(text: &TextItem, here: Transform) -> (Area, Run) {
    let mut tight = false;
    let mut clusters: Vec<Cluster> = Vec::new();
    let mut missing = String::new();
    let (mut x, mut end) = (0.0, 0.0);
    let size = text.size.to_pt();
    let mut last = None;
    let mut backwards = false;
    for glyph in &text.glyphs {
        let range = glyph.range();
        let words = text.text.get(range.clone()).unwrap_or_default();
        let left = x;
        x += glyph.x_advance.get() * size;
        // Marks that stand on another letter, and letters of several parts, have places of their own.
        let one_letter = words.chars().count() == 1 && last.as_ref() != Some(&range);
        let further = match text.font.x_advance(glyph.id) {
            Some(own) if one_letter && words.chars().all(reads_forwards) => glyph.x_advance.get() - own.get(),
            Some(own) if one_letter && matches!(words, "." | ",") => glyph.x_advance.get() - own.get(),
            _ => 0.0,
        };
        tight |= further < -NEARER;
        // A word that is spaced out is still that word, a figure is two.
        let apart = further > FURTHER && words.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
        if !words.trim().is_empty() {
            end = f64::max(end, x);
        }
        if glyph.id == 0 && words.chars().any(|c| !c.is_control()) {
            missing.push_str(words);
        }
        match (last.clone(), clusters.last_mut()) {
            // One letter of several parts.
            (Some(before), Some(cluster)) if before == range => cluster.right = x,
            _ => clusters.push(Cluster {
                text: words.to_string(),
                left,
                right: x,
                apart,
            }),
        }
        backwards |= last
            .as_ref()
            .is_some_and(|before: &std::ops::Range<usize>| before.start > range.start);
        last = Some(range);
    }
    backwards &= !text.text.chars().any(reads_forwards);
    if backwards {
        clusters.reverse();
    }
    let lettered = text.text.chars().all(|c| c.is_ascii() || c == '\u{a0}');
    let (above, below) = if lettered || text.text.is_empty() {
        (-ABOVE * size, BELOW * size)
    } else {
        let bounds = text.bbox();
        (
            bounds.min.y.to_pt().min(bounds.max.y.to_pt()),
            bounds.max.y.to_pt().max(bounds.min.y.to_pt()),
        )
    };
    let area = if text.text.trim().is_empty() || !above.is_finite() || !below.is_finite() {
        Area::NONE
    } else {
        box_at(
            Point::new(Abs::zero(), Abs::pt(above)),
            Point::new(Abs::pt(end), Abs::pt(below)),
            here,
        )
    };
    // Places on the leaf; a run that is turned keeps its own.
    let (origin, base) = at(Point::zero(), here);
    let along = here.sx.get();
    for cluster in &mut clusters {
        cluster.left = origin + cluster.left * along;
        cluster.right = origin + cluster.right * along;
    }
    let run = Run {
        clusters,
        size: size * f64::hypot(here.sy.get(), here.kx.get()),
        bold: text.font.info().variant.weight.to_number() >= 600,
        base,
        fill: colour(&text.fill),
        outlined: text.stroke.is_some(),
        turn: turn(here),
        tight,
        missing,
        backwards,
    };
    (area, run)
}

/// Pieces that a curved stroke is taken in.
const CHORDS: u32 = 8;

/// A point of a cubic Bézier curve.
fn on_curve([a, b, c, d]: [Point; 4], t: f64) -> Point {
    let s = 1.0 - t;
    a * (s * s * s) + b * (3.0 * s * s * t) + c * (3.0 * s * t * t) + d * (t * t * t)
}

/// The corners of a closed curve, curved parts in pieces, in points on the leaf.
pub fn outline(curve: &Curve, here: Transform) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    let mut now = Point::zero();
    for item in &curve.0 {
        match item {
            CurveItem::Move(to) | CurveItem::Line(to) => {
                found.push(at(*to, here));
                now = *to;
            }
            CurveItem::Cubic(one, other, to) => {
                let piece = |n: u32| on_curve([now, *one, *other, *to], f64::from(n) / f64::from(CHORDS));
                found.extend((1..=CHORDS).map(|n| at(piece(n), here)));
                now = *to;
            }
            CurveItem::Close => {}
        }
    }
    found
}

/// Thickest stroke that an area is taken for, in points.
const THIN: f64 = 4.0;

pub fn drawn(shape: &Shape, here: Transform) -> (Area, Drawn) {
    let bounds = shape.geometry.bbox(None);
    let mut lines = Vec::new();
    let mut parts: Vec<Area> = Vec::new();
    let thickness = shape.stroke.as_ref().map_or(0.0, |stroke| stroke.thickness.to_pt());
    let stroked = thickness > 0.0;
    let half = thickness / 2.0;
    let mut line = |from: Point, to: Point| {
        if stroked {
            let (from, to) = (at(from, here), at(to, here));
            lines.push(Straight { from, to, half });
        }
    };
    let mut plain = true;
    match &shape.geometry {
        Geometry::Line(to) => line(Point::zero(), *to),
        Geometry::Rect(size) => {
            let (right, low) = (Point::with_x(size.x), Point::with_y(size.y));
            line(Point::zero(), right);
            line(right, size.to_point());
            line(size.to_point(), low);
            line(low, Point::zero());
        }
        Geometry::Curve(curve) => {
            let (mut first, mut now) = (Point::zero(), Point::zero());
            for item in &curve.0 {
                match item {
                    CurveItem::Move(to) => {
                        (first, now) = (*to, *to);
                        parts.push(Area::of([at(*to, here)]));
                    }
                    CurveItem::Line(to) => {
                        line(now, *to);
                        if let Some(part) = parts.last_mut() {
                            *part = part.with(Area::of([at(*to, here)]));
                        }
                        plain &= now.x == to.x || now.y == to.y;
                        now = *to;
                    }
                    CurveItem::Cubic(one, other, to) => {
                        plain = false;
                        let mut from = now;
                        for n in 1..=if stroked { CHORDS } else { 0 } {
                            let next = on_curve([now, *one, *other, *to], f64::from(n) / f64::from(CHORDS));
                            line(from, next);
                            from = next;
                        }
                        now = *to;
                    }
                    CurveItem::Close => {
                        line(now, first);
                        plain &= now.x == first.x || now.y == first.y;
                        now = first;
                    }
                }
            }
        }
    }
    let area = box_at(bounds.min, bounds.max, here);
    // Strokes that differ from side to side come as thin areas.
    if !stroked && plain && shape.fill.is_some() && area.width().min(area.height()) <= THIN {
        let (x, y) = ((area.left + area.right) / 2.0, (area.top + area.bottom) / 2.0);
        let (from, to) = if area.width() > area.height() {
            ((area.left, y), (area.right, y))
        } else {
            ((x, area.top), (x, area.bottom))
        };
        let half = area.width().min(area.height()) / 2.0;
        lines.push(Straight { from, to, half });
    }
    if !plain || parts.len() < 2 {
        parts.clear();
    }
    let fill = shape.fill.as_ref().and_then(colour);
    let stroke = match &shape.stroke {
        Some(stroke) => colour(&stroke.paint),
        None => fill,
    };
    let area = Area {
        left: area.left - half,
        top: area.top - half,
        right: area.right + half,
        bottom: area.bottom + half,
    };
    let drawn = Drawn {
        fill,
        is_filled: shape.fill.is_some(),
        stroked: stroked || !lines.is_empty(),
        stroke,
        lines,
        parts,
        plain,
    };
    (area, drawn)
}
