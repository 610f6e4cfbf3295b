//! Drawings of tightening orders: each bolt where it is on the part, seen the same way round, and one scale for both directions. A number in the wrong
//! place sends the wrench to another bolt.

use std::collections::BTreeMap;

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::Ink;
use super::node::Tree;
use super::tell::MM;
use super::words::named;

/// How far from its place a number may stand, in points.
const OFF: f64 = 1.5 * MM;

/// How far the scales of the two directions may differ.
const UNEVEN: f64 = 0.04;

/// A number in its ring: the leaf that it is on, and its middle.
type Bolt = (usize, (f64, f64));

/// Looks at every drawing of every pattern; `y` runs up on the part and down on the leaf.
pub fn check(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    for (index, node) in tree
        .nodes
        .iter()
        .enumerate()
        .filter(|(_, node)| node.path == "card.patterns")
    {
        let behind = tree.nodes.iter().enumerate().skip(index + 1);
        let (bolts, places): (Vec<usize>, Vec<(f64, f64)>) = behind
            .filter(|(_, bolt)| bolt.parent == Some(index))
            .filter_map(|(at, bolt)| Some((at, bolt.place?)))
            .unzip();
        let numbers = ringed(ink, index, &bolts);
        let drawings = numbers.values().map(Vec::len).max().unwrap_or(0);
        for n in 0..drawings {
            let drawn: Vec<Option<Bolt>> = bolts
                .iter()
                .map(|at| numbers.get(at).and_then(|all| all.get(n)).copied())
                .collect();
            let leaf = drawn.iter().flatten().next().map_or(0, |(leaf, _)| *leaf);
            if let Some((kind, words)) = wrong(&places, &drawn) {
                found.push(Breach::of(node, leaf, kind, format!("{words}, at {}", named(node))));
            }
        }
    }
}

/// Arrows by the side that they point to.
const ARROWS: [(&str, &str); 4] = [("top", "↑⇑⬆▲"), ("right", "→⇒➡▶"), ("bottom", "↓⇓⬇▼"), ("left", "←⇐⬅◀")];

/// A landmark may have an arrow on the page: it points to its side of the drawing, or all bolts are taken for others.
pub fn landmarks(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    for one in ink {
        let node = one.item.and_then(|item| tree.nodes.get(item));
        let side = node.and_then(|node| Some((node, node.side.as_deref()?)));
        let (Some((node, side)), Some(run)) = (side, one.run()) else {
            continue;
        };
        let mut letters = run.clusters.iter().flat_map(|cluster| cluster.text.chars());
        // The author's words may have one too.
        let is_own = |c: char| node.texts.iter().any(|text| text.words.contains(c));
        let is_other = |c: char| ARROWS.iter().any(|(to, arrows)| *to != side && arrows.contains(c)) && !is_own(c);
        if letters.any(is_other) {
            let words = format!("the arrow of {} points to another side than {side}", named(node));
            found.push(Breach::of(node, one.leaf, Kind::Misplaced, words));
        }
    }
}

/// The numbers of each bolt that stand in a ring of their pattern, in the order of the document. Numbers in a table or a line of text are no drawing.
fn ringed(ink: &[Ink], pattern: usize, bolts: &[usize]) -> BTreeMap<usize, Vec<Bolt>> {
    let is_ring = |ink: &&Ink| ink.item == Some(pattern) && ink.drawn().is_some_and(|drawn| !drawn.plain);
    let rings: Vec<(usize, Area)> = ink.iter().filter(is_ring).map(|ink| (ink.leaf, ink.area)).collect();
    let mut found: BTreeMap<usize, Vec<Bolt>> = BTreeMap::new();
    for one in ink.iter().filter(|ink| ink.run().is_some()) {
        let Some(item) = one.item.filter(|item| bolts.contains(item)) else {
            continue;
        };
        let is_in = |(leaf, ring): &(usize, Area)| *leaf == one.leaf && ring.holds(&one.area, 2.0);
        if rings.iter().any(is_in) {
            found.entry(item).or_default().push((one.leaf, one.area.centre()));
        }
    }
    found
}

/// What is wrong with a drawing of bolts that lie at these places of the part.
fn wrong(places: &[(f64, f64)], drawn: &[Option<Bolt>]) -> Option<(Kind, String)> {
    let all: Option<Vec<Bolt>> = drawn.iter().copied().collect();
    let Some(all) = all else {
        return Some((Kind::Lost, "a drawing lacks one of its bolts".to_string()));
    };
    if all
        .iter()
        .zip(all.iter().skip(1))
        .any(|((one, _), (next, _))| one != next)
    {
        return Some((Kind::Parted, "a drawing stands on two leaves".to_string()));
    }
    let round = |points: &mut dyn Iterator<Item = (f64, f64)>| {
        points.fold(Area::NONE, |area, (x, y)| {
            area.with(Area {
                left: x,
                right: x,
                top: y,
                bottom: y,
            })
        })
    };
    let part = round(&mut places.iter().copied());
    let leaf = round(&mut all.iter().map(|(_, middle)| *middle));
    let scale = |drawn: f64, own: f64| (own > 0.01).then(|| drawn / own);
    let scales = (scale(leaf.width(), part.width()), scale(leaf.height(), part.height()));
    let scale = match scales {
        (Some(across), Some(down)) => {
            if (across - down).abs() > UNEVEN * across.max(down) {
                return Some((Kind::Misplaced, "a drawing has two scales".to_string()));
            }
            across.max(down)
        }
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return None,
    };
    let is_off = |((x, y), (_, (left, top))): (&(f64, f64), &Bolt)| {
        let across = leaf.left + scale * (x - part.left);
        let down = leaf.bottom - scale * (y - part.top);
        f64::hypot(left - across, top - down) > OFF
    };
    let moved = places.iter().zip(&all).any(is_off);
    moved.then(|| {
        (
            Kind::Misplaced,
            "a bolt is drawn where it isn't on the part".to_string(),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLACES: [(f64, f64); 4] = [(0.0, 0.0), (63.0, 0.0), (63.0, 37.0), (0.0, 40.0)];

    fn drawn(at: impl Fn(f64, f64) -> (f64, f64)) -> Option<Kind> {
        let bolts: Vec<Option<Bolt>> = PLACES.iter().map(|(x, y)| Some((0, at(*x, *y)))).collect();
        wrong(&PLACES, &bolts).map(|(kind, _)| kind)
    }

    #[test]
    fn bolts_stand_where_they_are() {
        assert_eq!(drawn(|x, y| (20.0 + 3.0 * x, 300.0 - 3.0 * y)), None);
        for wrong in [
            drawn(|x, y| (300.0 - 3.0 * x, 300.0 - 3.0 * y)),
            drawn(|x, y| (20.0 + 3.0 * x, 20.0 + 3.0 * y)),
            drawn(|x, y| (20.0 + 3.0 * x, 300.0 - 2.0 * y)),
            drawn(|x, y| (300.0 - 3.0 * x, 20.0 + 3.0 * y)),
            drawn(|x, y| (20.0 + 3.0 * y, 300.0 - 3.0 * x)),
        ] {
            assert_eq!(wrong, Some(Kind::Misplaced));
        }
        let mut bolts: Vec<Option<Bolt>> = PLACES
            .iter()
            .map(|(x, y)| Some((0, (3.0 * x, 300.0 - 3.0 * y))))
            .collect();
        bolts[1] = Some((1, (189.0, 300.0)));
        assert_eq!(wrong(&PLACES, &bolts).map(|(kind, _)| kind), Some(Kind::Parted));
        bolts[2] = None;
        assert_eq!(wrong(&PLACES, &bolts).map(|(kind, _)| kind), Some(Kind::Lost));
    }

    #[test]
    fn bolts_in_a_row_have_one_scale() {
        for (places, turned) in [
            (
                [(0.0, 5.0), (40.0, 5.0), (70.0, 5.0)],
                [(0.0, 0.0), (120.0, 0.0), (210.0, 0.0)],
            ),
            (
                [(5.0, 70.0), (5.0, 30.0), (5.0, 0.0)],
                [(0.0, 0.0), (0.0, 120.0), (0.0, 210.0)],
            ),
        ] {
            let mut bolts = turned.map(|at| Some((0, at)));
            assert!(wrong(&places, &bolts).is_none());
            bolts.swap(0, 1);
            assert_eq!(wrong(&places, &bolts).map(|(kind, _)| kind), Some(Kind::Misplaced));
        }
        let one = [Some((0, (33.0, 44.0)))];
        assert!(wrong(&[(5.0, 5.0)], &one).is_none());
    }
}
