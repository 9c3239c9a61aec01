//! The outline of some patches that hang together.

use std::collections::BTreeSet;

use geometry::{Arrangement, Point, Polygon, Surd, turn_of};

/// The corners of the outline round these faces, straight ones left out, with the faces
/// on the right hand. The faces hang together by edges; round a hole left between them,
/// whose far sides only a slit parts, the outline does not go.
pub(super) fn corners_of(drawing: &Arrangement, faces: &[usize]) -> Vec<Point> {
    let point = |vertex: usize| &drawing.vertices[vertex];
    let straight = |[a, b, c]: [usize; 3]| turn_of(point(a), point(b), point(c)).is_eq();
    let ring = ring_of(drawing, faces, &straight).into_iter();
    ring.map(|vertex| point(vertex).clone()).collect()
}

/// The same as vertices; `straight` tells whether three of them lie on one line.
pub(super) fn ring_of(
    drawing: &Arrangement,
    faces: &[usize],
    straight: &impl Fn([usize; 3]) -> bool,
) -> Vec<usize> {
    // An edge between two of the faces is walked once each way; the outline's edges are
    // those walked only one way.
    let mut walks: Vec<(usize, usize)> = Vec::new();
    for &face in faces {
        let ring = &drawing.faces[face].ring;
        let ends = ring.iter().zip(ring.iter().cycle().skip(1));
        walks.extend(ends.map(|(&from, &to)| (from, to)));
    }
    walks.sort_unstable();
    let one_way = |&&(from, to): &&(usize, usize)| walks.binary_search(&(to, from)).is_err();
    let mut next: BTreeSet<(usize, usize)> = walks.iter().filter(one_way).copied().collect();
    let mut rings = Vec::new();
    while let Some(&start) = next.first() {
        rings.push(without_straight(
            &walked(drawing, &mut next, start),
            straight,
        ));
    }
    if rings.len() == 1 {
        return rings.pop().unwrap_or_default();
    }
    // A hole is walked the other way round and has a negative area.
    rings
        .into_iter()
        .max_by_key(|ring| doubled_area(drawing, ring))
        .unwrap_or_default()
}

/// One ring of the outline, taken out of the edges still to be walked. Where the outline
/// touches itself the walk keeps to the same side of it.
fn walked(
    drawing: &Arrangement,
    next: &mut BTreeSet<(usize, usize)>,
    start: (usize, usize),
) -> Vec<usize> {
    let mut ring = Vec::new();
    let mut step = start;
    while next.remove(&step) {
        let (from, at) = step;
        ring.push(from);
        let on: Vec<usize> = next
            .range((at, 0)..=(at, usize::MAX))
            .map(|&(_, to)| to)
            .collect();
        let to = match on.as_slice() {
            [only] => *only,
            several => {
                let point = |vertex: usize| &drawing.vertices[vertex];
                let back = point(from) - point(at);
                let first = |best: usize, to: usize| {
                    let (best_way, way) = (point(best) - point(at), point(to) - point(at));
                    if clockwise_before(&back, &way, &best_way) {
                        to
                    } else {
                        best
                    }
                };
                match several.iter().copied().reduce(first) {
                    Some(to) => to,
                    None => break,
                }
            }
        };
        step = (at, to);
    }
    ring
}

/// Whether, turning clockwise from `from`, `one` is met before `other`.
fn clockwise_before(from: &Point, one: &Point, other: &Point) -> bool {
    let beyond = |v: &Point| {
        let turned = from.cross(v);
        turned < Surd::ZERO || (turned.is_zero() && from.dot(v) < Surd::ZERO)
    };
    match (beyond(one), beyond(other)) {
        (false, true) => true,
        (true, false) => false,
        _ => one.cross(other).is_positive(),
    }
}

fn without_straight(ring: &[usize], straight: &impl Fn([usize; 3]) -> bool) -> Vec<usize> {
    let n = ring.len();
    let at = |i: usize| ring[i % n];
    (0..n)
        .filter(|&i| !straight([at(i + n - 1), at(i), at(i + 1)]))
        .map(at)
        .collect()
}

fn doubled_area(drawing: &Arrangement, ring: &[usize]) -> Surd {
    let n = ring.len();
    let at = |i: usize| &drawing.vertices[ring[i % n]];
    (0..n).fold(Surd::ZERO, |sum, i| sum + at(i).cross(at(i + 1)))
}

/// The outline round these patches, without straight corners; `None` if they do not hang
/// together.
pub(crate) fn outline_of(drawing: &Arrangement, patches: &[usize]) -> Option<Polygon> {
    match patches {
        [patch] => Some(drawing.faces[*patch].polygon.without_straight_corners()),
        _ => Polygon::new(corners_of(drawing, patches)).ok(),
    }
}
