//! When two figures are the same shape: exactly the same after turning and shifting.
//!
//! A figure is known by its rings, the outer one and those of its holes: the shape of
//! each, and how far the middle of a hole lies from the middle of the outer ring.
//!
//! **Knows nothing of** seams inside the figure: two ways to piece one shape are one.

use std::collections::BTreeMap;

use geometry::{Point, Polygon, ShapeKey, Surd, shape_keys};

use super::edges::Stretch;

/// What is the same for all turned and shifted copies of a figure.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) struct Shape(Vec<(bool, Surd, ShapeKey)>);

/// The shape whose edge these stretches are, the figure on their right hand.
pub(crate) fn shape_of(open: &[Stretch]) -> Shape {
    let rings = rings(open);
    let outer = rings
        .iter()
        .filter(|(_, hole)| !hole)
        .map(|(ring, _)| ring)
        .max_by(|a, b| a.area().cmp(&b.area()));
    let middle = outer.map_or(Point::ORIGIN, Polygon::centroid);
    let mut key: Vec<_> = rings
        .iter()
        .map(|(ring, hole)| {
            let away = (&ring.centroid() - &middle).length_squared();
            (*hole, away, shape_keys(ring).direct)
        })
        .collect();
    key.sort();
    Shape(key)
}

/// The rings of an outline, each with whether it is a hole.
fn rings(open: &[Stretch]) -> Vec<(Polygon, bool)> {
    let mut next: BTreeMap<&Point, Vec<&Point>> = BTreeMap::new();
    for stretch in open {
        next.entry(&stretch.from).or_default().push(&stretch.to);
    }
    let mut out = Vec::new();
    while let Some((&start, _)) = next.iter().find(|(_, ends)| !ends.is_empty()) {
        let mut path: Vec<&Point> = vec![start];
        while let Some(ends) = next.get_mut(path[path.len() - 1]) {
            if ends.is_empty() {
                break;
            }
            let from = path.len().checked_sub(2).map(|i| path[i]);
            let to = ends.remove(sharpest(from, path[path.len() - 1], ends));
            if let Some(met) = path.iter().position(|p| *p == to) {
                // A ring closes, perhaps at a corner where the outline touches itself.
                let ring = path.split_off(met);
                path.push(to);
                out.extend(ring_of(&ring));
                if path.len() == 1 {
                    break;
                }
            } else {
                path.push(to);
            }
        }
    }
    out
}

/// Of several ways on, the one that turns most to the right, so that parts which only
/// touch at a point stay apart. The angles differ by far more than floats err.
fn sharpest(from: Option<&Point>, at: &Point, ends: &[&Point]) -> usize {
    let Some(from) = from else { return 0 };
    let back = (from - at).to_f64();
    let turn = |end: &&Point| {
        let on = (*end - at).to_f64();
        let cross = back[1] * on[0] - back[0] * on[1];
        let dot = back[0] * on[0] + back[1] * on[1];
        cross.atan2(dot).rem_euclid(std::f64::consts::TAU)
    };
    let turns: Vec<f64> = ends.iter().map(turn).collect();
    (0..turns.len())
        .min_by(|&a, &b| turns[a].total_cmp(&turns[b]))
        .unwrap_or(0)
}

fn ring_of(points: &[&Point]) -> Option<(Polygon, bool)> {
    let sum: Surd = (0..points.len())
        .map(|i| points[i].cross(points[(i + 1) % points.len()]))
        .sum();
    let owned = points.iter().map(|p| (*p).clone()).collect();
    let hole = !sum.is_positive();
    Polygon::new(owned).ok().map(|ring| (ring, hole))
}
