//! The ink of a document: what the typesetter put on each leaf, in its order, with the item that each piece belongs to. All lengths are
//! typographic points from the top left of the leaf; nothing here comes from the source that was typeset.

use std::collections::BTreeMap;

use typst::foundations::StyleChain;
use typst::introspection::{Location, Tag};
use typst::layout::{Frame, FrameItem, GridCell, Point, Transform};
use typst::model::TableCell;
use typst::visualize::{Curve, CurveItem};

use super::area::{Area, box_at};
use super::node;
use super::piece::{Drawn, Run, drawn, outline, run};
use super::shown::{Shown, shown};

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
    /// A box to tick that may have its number in it.
    Tick,
    /// Why work must not stop at the steps below it.
    Stop,
    /// What the data has as yes or no, in the template's own words.
    Told,
    /// The place of a row among its like, from 1.
    Number,
    /// A label beside a picture, with its line into it.
    Pointer,
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
            "r-tick" => Own::Tick,
            "r-stop" => Own::Stop,
            "r-told" => Own::Told,
            "r-number" => Own::Number,
            "r-pointer" => Own::Pointer,
            _ => return None,
        })
    }
}

#[derive(Debug, Clone)]
pub enum What {
    Run(Run),
    Drawn(Drawn),
    Picture(Shown),
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
    /// Each framed box to tick has a number.
    pub tick: Option<usize>,
    /// A head of a table that has come before.
    pub repeated: bool,
    /// Each place where the template tells a yes or no has a number.
    pub told: Option<usize>,
    /// Each pointer into a picture has a number.
    pub pointer: Option<usize>,
    /// A clip takes something of it.
    pub cut: bool,
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

/// How far letters may reach over a clip, in points: their boxes are higher than they are.
const OVER: f64 = 1.0;

/// A box or another shape that everything in it ends at.
#[derive(Clone)]
struct Clip {
    area: Area,
    /// The corners of one that is no upright rectangle.
    corners: Option<Vec<(f64, f64)>>,
}

impl Clip {
    fn of(curve: &Curve, here: Transform) -> Clip {
        let bounds = curve.bbox(None);
        let level = here.kx.get().abs() < 1e-6 && here.ky.get().abs() < 1e-6;
        let curved = curve.0.iter().any(|item| matches!(item, CurveItem::Cubic(..)));
        Clip {
            area: box_at(bounds.min, bounds.max, here),
            corners: (curved || !level).then(|| outline(curve, here)),
        }
    }

    fn cuts(&self, area: &Area, is_text: bool) -> bool {
        if !self.area.holds(area, OVER) {
            return true;
        }
        // A picture may have its corners rounded off.
        let Some(corners) = self.corners.as_ref().filter(|_| is_text) else {
            return false;
        };
        let (tail, head) = (0.25 * area.height(), 0.2 * area.height());
        let ends = |x: f64| [(x, area.top + head), (x, area.bottom - tail)];
        let [left, right] = [ends(area.left + OVER), ends(area.right - OVER)];
        left.into_iter().chain(right).any(|point| !is_inside(point, corners))
    }
}

/// True if a point lies inside a closed line, by how often a ray from it crosses the line.
fn is_inside((x, y): (f64, f64), corners: &[(f64, f64)]) -> bool {
    let next = corners.iter().cycle().skip(1);
    let crossed = corners.iter().zip(next).filter(|((ax, ay), (bx, by))| {
        let apart = (*ay > y) != (*by > y);
        apart && x < (bx - ax) * (y - ay) / (by - ay) + ax
    });
    crossed.count() % 2 == 1
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
        reader.frame(frame, Transform::identity(), &[]);
    }
    reader.ink
}

impl Reader {
    fn frame(&mut self, frame: &Frame, transform: Transform, clips: &[Clip]) {
        for (place, item) in frame.items() {
            let here = transform.pre_concat(Transform::translate(place.x, place.y));
            match item {
                FrameItem::Group(group) => {
                    let inner = here.pre_concat(group.transform);
                    let own: Vec<Clip>;
                    let clips = match &group.clip {
                        Some(curve) => {
                            own = clips.iter().cloned().chain([Clip::of(curve, inner)]).collect();
                            own.as_slice()
                        }
                        None => clips,
                    };
                    match group.parent {
                        // A cell that goes on overleaf: other cells come between its parts.
                        Some(parent) => {
                            let key = parent.location.hash();
                            let outer = self.open.clone();
                            if let Some(open) = self.cells.remove(&key) {
                                self.open = open;
                            }
                            self.frame(&group.frame, inner, clips);
                            let open = std::mem::replace(&mut self.open, outer);
                            self.cells.insert(key, open);
                        }
                        None => self.frame(&group.frame, inner, clips),
                    }
                }
                FrameItem::Tag(tag) => self.tag(tag),
                FrameItem::Text(text) => {
                    let (area, run) = run(text, here);
                    self.push(area, What::Run(run), clips);
                }
                FrameItem::Shape(shape, _) => {
                    let (area, drawn) = drawn(shape, here);
                    self.push(area, What::Drawn(drawn), clips);
                }
                FrameItem::Image(image, size, _) => {
                    let area = box_at(Point::zero(), size.to_point(), here);
                    self.push(area, What::Picture(shown(image, *size, here)), clips);
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
                        None => node::place(key).map(Mark::Item),
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

    fn push(&mut self, area: Area, what: What, clips: &[Clip]) {
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
        let part = |own: Own| {
            let of = |open: &Open| matches!(open.mark, Mark::Own(mark) if mark == own).then_some(open.part);
            self.open.iter().rev().find_map(of)
        };
        let (room, tick, told) = (part(Own::Box), part(Own::Tick), part(Own::Told));
        let pointer = part(Own::Pointer);
        let is_text = matches!(what, What::Run(_));
        let cut = clips.iter().any(|clip| clip.cuts(&area, is_text));
        self.ink.push(Ink {
            leaf: self.leaf,
            area,
            what,
            item,
            own: own.collect(),
            own_first: matches!(self.open.last(), Some(Open { mark: Mark::Own(_), .. })),
            room,
            tick,
            repeated: self.open.iter().any(|open| matches!(open.mark, Mark::Repeated)),
            told,
            pointer,
            cut,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_lie_inside_a_shape_or_outside() {
        // An arrow that points to the right, with a notch.
        let corners = [(0.0, 0.0), (10.0, 5.0), (0.0, 10.0), (4.0, 5.0)];
        for (point, inside) in [
            ((6.0, 5.0), true),
            ((2.0, 5.0), false),
            ((1.0, 1.0), true),
            ((9.0, 1.0), false),
            ((11.0, 5.0), false),
        ] {
            assert_eq!(is_inside(point, &corners), inside, "{point:?}");
        }
    }
}
