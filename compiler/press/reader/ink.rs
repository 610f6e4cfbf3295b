//! The ink of a document: what the typesetter put on each leaf, in its order, with the item that each piece belongs to. All lengths are
//! typographic points from the top left of the leaf; nothing here comes from the source that was typeset.

use std::collections::BTreeMap;

use typst::foundations::StyleChain;
use typst::introspection::{Location, Tag};
use typst::layout::{Abs, Frame, FrameItem, GridCell, Point, Transform};
use typst::model::TableCell;
use typst::text::TextItem;
use typst::visualize::{CurveItem, Geometry, Paint, Shape};

use super::tree;

/// What templates say of ink that no dictionary of the data stands behind: `own(…)` in `lib/item.typ`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Own {
    /// Comes on every leaf: who it is.
    Head,
    /// Comes on every leaf: its code, and where it goes on.
    Foot,
    /// The template's own words.
    Words,
    /// Stands over something, on its leaf.
    Heading,
    /// Over the rows of a table, on every leaf.
    TableHead,
    /// Room to write in.
    Box,
}

impl Own {
    fn of(key: &str) -> Option<Own> {
        Some(match key {
            "r-head" => Own::Head,
            "r-foot" => Own::Foot,
            "r-words" => Own::Words,
            "r-heading" => Own::Heading,
            "r-tablehead" => Own::TableHead,
            "r-box" => Own::Box,
            _ => return None,
        })
    }
}

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

/// Lines and areas.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// `None` for a pattern.
    pub fill: Option<Colour>,
    pub is_filled: bool,
    pub stroked: bool,
    /// Straight strokes: both ends.
    pub lines: Vec<((f64, f64), (f64, f64))>,
    /// A line or a rectangle: the kind of shape that rules and frames are.
    pub plain: bool,
}

#[derive(Debug, Clone)]
pub enum What {
    Run(Run),
    Drawn(Drawn),
    Picture,
}

/// One piece of ink.
#[derive(Debug, Clone)]
pub struct Ink {
    /// Leaf, from 0.
    pub leaf: usize,
    pub area: Area,
    pub what: What,
    /// The innermost item of the data that it lies in.
    pub item: Option<usize>,
    /// What the template says of it, the innermost first.
    pub own: Vec<Own>,
    /// The innermost label of all is the template's own.
    pub own_first: bool,
    /// Each box to write in has a number.
    pub room: Option<usize>,
    /// A head of a table that has come before.
    pub repeated: bool,
    /// What a clip leaves of the leaf here, if anything is clipped.
    pub clip: Option<Area>,
}

impl Ink {
    pub fn is(&self, own: Own) -> bool {
        self.own.contains(&own)
    }

    pub fn run(&self) -> Option<&Run> {
        match &self.what {
            What::Run(run) => Some(run),
            _ => None,
        }
    }

    pub fn drawn(&self) -> Option<&Drawn> {
        match &self.what {
            What::Drawn(drawn) => Some(drawn),
            _ => None,
        }
    }
}

/// An item that is under way.
#[derive(Clone)]
struct Open {
    location: Location,
    mark: Mark,
    part: usize,
}

#[derive(Clone, Copy)]
enum Mark {
    Item(usize),
    Own(Own),
    Repeated,
}

struct Reader {
    ink: Vec<Ink>,
    open: Vec<Open>,
    /// What is under way in each cell that goes on over a leaf's end.
    cells: BTreeMap<u128, Vec<Open>>,
    parts: usize,
    leaf: usize,
}

/// All ink, leaf by leaf. Pages are given by their frames.
pub fn read<'a>(pages: impl IntoIterator<Item = &'a Frame>) -> Vec<Ink> {
    let mut reader = Reader {
        ink: Vec::new(),
        open: Vec::new(),
        cells: BTreeMap::new(),
        parts: 0,
        leaf: 0,
    };
    for (leaf, frame) in pages.into_iter().enumerate() {
        reader.leaf = leaf;
        reader.frame(frame, Transform::identity(), None);
    }
    reader.ink
}

fn at(point: Point, transform: Transform) -> (f64, f64) {
    let (x, y) = (point.x.to_pt(), point.y.to_pt());
    (
        x * transform.sx.get() + y * transform.kx.get() + transform.tx.to_pt(),
        x * transform.ky.get() + y * transform.sy.get() + transform.ty.to_pt(),
    )
}

fn box_at(min: Point, max: Point, transform: Transform) -> Area {
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

impl Reader {
    fn frame(&mut self, frame: &Frame, transform: Transform, clip: Option<Area>) {
        for (place, item) in frame.items() {
            let here = transform.pre_concat(Transform::translate(place.x, place.y));
            match item {
                FrameItem::Group(group) => {
                    let inner = here.pre_concat(group.transform);
                    let clip = match &group.clip {
                        Some(curve) => {
                            let bounds = curve.bbox(None);
                            let cut = box_at(bounds.min, bounds.max, inner);
                            Some(clip.map_or(cut, |outer| Area {
                                left: outer.left.max(cut.left),
                                top: outer.top.max(cut.top),
                                right: outer.right.min(cut.right),
                                bottom: outer.bottom.min(cut.bottom),
                            }))
                        }
                        None => clip,
                    };
                    match group.parent {
                        // A cell that goes on overleaf: other cells come between its parts.
                        Some(parent) => {
                            let key = parent.location.hash();
                            let outer = self.open.clone();
                            if let Some(open) = self.cells.remove(&key) {
                                self.open = open;
                            }
                            self.frame(&group.frame, inner, clip);
                            let open = std::mem::replace(&mut self.open, outer);
                            self.cells.insert(key, open);
                        }
                        None => self.frame(&group.frame, inner, clip),
                    }
                }
                FrameItem::Tag(tag) => self.tag(tag),
                FrameItem::Text(text) => {
                    let (area, run) = run(text, here);
                    self.push(area, What::Run(run), clip);
                }
                FrameItem::Shape(shape, _) => {
                    let (area, drawn) = drawn(shape, here);
                    self.push(area, What::Drawn(drawn), clip);
                }
                FrameItem::Image(_, size, _) => {
                    let area = box_at(Point::zero(), size.to_point(), here);
                    self.push(area, What::Picture, clip);
                }
                FrameItem::Link(..) => {}
            }
        }
    }

    fn tag(&mut self, tag: &Tag) {
        match tag {
            Tag::Start(element, _) => {
                let label = element.label().map(|label| label.resolve().as_str().to_string());
                let mark = match label.as_deref() {
                    Some(key) => match Own::of(key) {
                        Some(own) => Some(Mark::Own(own)),
                        None => tree::place(key).map(Mark::Item),
                    },
                    None => None,
                };
                let again = element
                    .to_packed::<TableCell>()
                    .is_some_and(|cell| cell.is_repeated.get(StyleChain::default()))
                    || element
                        .to_packed::<GridCell>()
                        .is_some_and(|cell| cell.is_repeated.get(StyleChain::default()));
                let mark = mark.or(again.then_some(Mark::Repeated));
                if let (Some(mark), Some(location)) = (mark, element.location()) {
                    self.parts += 1;
                    self.open.push(Open {
                        location,
                        mark,
                        part: self.parts,
                    });
                }
            }
            Tag::End(location, ..) => {
                if let Some(index) = self.open.iter().rposition(|open| open.location == *location) {
                    self.open.remove(index);
                }
            }
        }
    }

    fn push(&mut self, area: Area, what: What, clip: Option<Area>) {
        // Blanks at the end of a line have no place.
        if !area.is_some() {
            return;
        }
        let item = self.open.iter().rev().find_map(|open| match open.mark {
            Mark::Item(item) => Some(item),
            _ => None,
        });
        let own = self.open.iter().rev().filter_map(|open| match open.mark {
            Mark::Own(own) => Some(own),
            _ => None,
        });
        let room = self.open.iter().rev().find_map(|open| match open.mark {
            Mark::Own(Own::Box) => Some(open.part),
            _ => None,
        });
        self.ink.push(Ink {
            leaf: self.leaf,
            area,
            what,
            item,
            own: own.collect(),
            own_first: matches!(self.open.last(), Some(Open { mark: Mark::Own(_), .. })),
            room,
            repeated: self.open.iter().any(|open| matches!(open.mark, Mark::Repeated)),
            clip,
        });
    }
}

/// Letters above and below their line, in em of DejaVu Sans: capitals with an accent are a little higher.
const ABOVE: f64 = 0.73;
const BELOW: f64 = 0.22;

fn run(text: &TextItem, here: Transform) -> (Area, Run) {
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

fn drawn(shape: &Shape, here: Transform) -> (Area, Drawn) {
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
