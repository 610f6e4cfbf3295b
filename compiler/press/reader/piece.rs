//! Pieces of ink as the typesetter has them, with their places on the leaf.

use typst::layout::{Abs, Point, Transform};
use typst::text::TextItem;
use typst::visualize::{CurveItem, Geometry, Paint, Shape};

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    pub const NONE: Area = Area {
        left: f64::INFINITY,
        top: f64::INFINITY,
        right: f64::NEG_INFINITY,
        bottom: f64::NEG_INFINITY,
    };

    pub fn is_some(&self) -> bool {
        self.left <= self.right && self.top <= self.bottom
    }

    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub fn with(self, other: Area) -> Area {
        Area {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// True if all of the other lies in it, give or take so much.
    pub fn holds(&self, other: &Area, slack: f64) -> bool {
        other.left >= self.left - slack
            && other.top >= self.top - slack
            && other.right <= self.right + slack
            && other.bottom <= self.bottom + slack
    }

    /// How far two areas reach into each other: across and down; negative if they are apart.
    pub fn shared(&self, other: &Area) -> (f64, f64) {
        (
            self.right.min(other.right) - self.left.max(other.left),
            self.bottom.min(other.bottom) - self.top.max(other.top),
        )
    }

    fn of(points: impl IntoIterator<Item = (f64, f64)>) -> Area {
        points.into_iter().fold(Area::NONE, |area, (x, y)| {
            area.with(Area {
                left: x,
                top: y,
                right: x,
                bottom: y,
            })
        })
    }
}

/// Red, green, blue from 0 to 1, and how dense.
pub type Colour = [f64; 4];

/// Letters that were drawn as one.
#[derive(Debug, Clone, PartialEq)]
pub struct Cluster {
    pub text: String,
    pub left: f64,
    pub right: f64,
}

/// Words drawn in one go.
#[derive(Debug, Clone)]
pub struct Run {
    /// In the order in which they are read.
    pub clusters: Vec<Cluster>,
    pub size: f64,
    pub bold: bool,
    pub base: f64,
    pub fill: Option<Colour>,
    /// Letters that no font had.
    pub missing: String,
    /// Read from right to left.
    pub backwards: bool,
}

/// A straight line by its ends, in points from the upper left.
pub type Straight = ((f64, f64), (f64, f64));

/// Lines and areas.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// `None` for a pattern.
    pub fill: Option<Colour>,
    pub is_filled: bool,
    pub stroked: bool,
    /// Straight strokes: both ends.
    pub lines: Vec<Straight>,
    /// A line or a rectangle: the kind of shape that rules and frames are.
    pub plain: bool,
}

fn at(point: Point, transform: Transform) -> (f64, f64) {
    let (x, y) = (point.x.to_pt(), point.y.to_pt());
    (
        x * transform.sx.get() + y * transform.kx.get() + transform.tx.to_pt(),
        x * transform.ky.get() + y * transform.sy.get() + transform.ty.to_pt(),
    )
}

pub fn box_at(min: Point, max: Point, transform: Transform) -> Area {
    let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
    Area::of(corners.map(|corner| at(corner, transform)))
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

pub fn run(text: &TextItem, here: Transform) -> (Area, Run) {
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
            }),
        }
        backwards |= last
            .as_ref()
            .is_some_and(|before: &std::ops::Range<usize>| before.start > range.start);
        last = Some(range);
    }
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
        size: size * here.sy.get().abs().max(here.kx.get().abs()),
        bold: text.font.info().variant.weight.to_number() >= 600,
        base,
        fill: colour(&text.fill),
        missing,
        backwards,
    };
    (area, run)
}

/// Thickest stroke that an area is taken for, in points.
const THIN: f64 = 4.0;

pub fn drawn(shape: &Shape, here: Transform) -> (Area, Drawn) {
    let bounds = shape.geometry.bbox(None);
    let mut lines = Vec::new();
    let thickness = shape.stroke.as_ref().map_or(0.0, |stroke| stroke.thickness.to_pt());
    let stroked = thickness > 0.0;
    let mut line = |from: Point, to: Point| {
        if stroked {
            lines.push((at(from, here), at(to, here)));
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
                    CurveItem::Move(to) => (first, now) = (*to, *to),
                    CurveItem::Line(to) => {
                        line(now, *to);
                        plain &= now.x == to.x || now.y == to.y;
                        now = *to;
                    }
                    CurveItem::Cubic(_, _, to) => {
                        plain = false;
                        now = *to;
                    }
                    CurveItem::Close => {
                        line(now, first);
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
        lines.push(if area.width() > area.height() {
            ((area.left, y), (area.right, y))
        } else {
            ((x, area.top), (x, area.bottom))
        });
    }
    let half = thickness / 2.0;
    let area = Area {
        left: area.left - half,
        top: area.top - half,
        right: area.right + half,
        bottom: area.bottom + half,
    };
    let drawn = Drawn {
        fill: shape.fill.as_ref().and_then(colour),
        is_filled: shape.fill.is_some(),
        stroked: stroked || !lines.is_empty(),
        lines,
        plain,
    };
    (area, drawn)
}
