//! The ink of a document: what the typesetter put on each leaf, in its order, with the item that each piece belongs to. All lengths are
//! typographic points from the top left of the leaf; nothing here comes from the source that was typeset.

use std::collections::BTreeMap;

use typst::foundations::StyleChain;
use typst::introspection::{Location, Tag};
use typst::layout::{Frame, FrameItem, GridCell, Point, Transform};
use typst::model::TableCell;

use super::node;
use super::piece::{Area, Drawn, Run, box_at, drawn, run};

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
            _ => return None,
        })
    }
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
    /// Each framed box to tick has a number.
    pub tick: Option<usize>,
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
        let part = |own: Own| {
            let of = |open: &Open| matches!(open.mark, Mark::Own(mark) if mark == own).then_some(open.part);
            self.open.iter().rev().find_map(of)
        };
        let (room, tick) = (part(Own::Box), part(Own::Tick));
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
            clip,
        });
    }
}
