//! Upright rectangles on a leaf, in points from its upper left.

use typst::layout::{Point, Transform};

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

    /// The same with so much more on every side, or less.
    pub fn widened(&self, by: f64) -> Area {
        Area {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    pub fn centre(&self) -> (f64, f64) {
        ((self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0)
    }

    /// How far apart two areas are; 0 where they touch.
    pub fn distance(&self, other: &Area) -> f64 {
        let (across, down) = self.shared(other);
        f64::hypot((-across).max(0.0), (-down).max(0.0))
    }

    /// True if they reach into each other by more than so much, across and down.
    pub fn reaches(&self, other: &Area, by: f64) -> bool {
        let (across, down) = self.shared(other);
        across > by && down > by
    }

    /// How far two areas reach into each other: across and down; negative if they are apart.
    pub fn shared(&self, other: &Area) -> (f64, f64) {
        (
            self.right.min(other.right) - self.left.max(other.left),
            self.bottom.min(other.bottom) - self.top.max(other.top),
        )
    }

    pub fn of(points: impl IntoIterator<Item = (f64, f64)>) -> Area {
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

/// Where a point lies on the leaf, in points from its upper left.
pub fn at(point: Point, transform: Transform) -> (f64, f64) {
    let (x, y) = (point.x.to_pt(), point.y.to_pt());
    (
        x * transform.sx.get() + y * transform.kx.get() + transform.tx.to_pt(),
        x * transform.ky.get() + y * transform.sy.get() + transform.ty.to_pt(),
    )
}

/// The upright rectangle round a box that may be turned.
pub fn box_at(min: Point, max: Point, transform: Transform) -> Area {
    let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
    Area::of(corners.map(|corner| at(corner, transform)))
}
