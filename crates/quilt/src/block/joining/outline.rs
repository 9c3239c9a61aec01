//! The outline of some patches that hang together.

use std::collections::BTreeMap;

use geometry::{Arrangement, Point, Polygon, turn_of};
use std::cmp::Ordering;

/// The corners of the outline round these faces, straight ones left out, with the faces
/// on the right hand. The faces hang together by edges and leave no hole.
pub(super) fn corners_of(drawing: &Arrangement, faces: &[usize]) -> Vec<Point> {
    // An edge between two of the faces is walked once each way; the outline's edges are
    // those walked only one way.
    let mut next: BTreeMap<(usize, usize), ()> = BTreeMap::new();
    for &face in faces {
        let ring = &drawing.faces[face].ring;
        for (i, &from) in ring.iter().enumerate() {
            let to = ring[(i + 1) % ring.len()];
            if next.remove(&(to, from)).is_none() {
                next.insert((from, to), ());
            }
        }
    }
    let Some((&(start, mut at), ())) = next.first_key_value() else {
        return Vec::new();
    };
    let mut ring = vec![start];
    while at != start && ring.len() <= next.len() {
        ring.push(at);
        at = match next.range((at, 0)..=(at, usize::MAX)).next() {
            Some((&(_, to), ())) => to,
            None => break,
        };
    }
    let point = |i: usize| &drawing.vertices[ring[i % ring.len()]];
    let n = ring.len();
    (0..n)
        .filter(|&i| turn_of(point(i + n - 1), point(i), point(i + 1)) != Ordering::Equal)
        .map(|i| point(i).clone())
        .collect()
}

/// The outline round these patches, without straight corners; `None` if they do not hang
/// together.
pub(crate) fn outline_of(drawing: &Arrangement, patches: &[usize]) -> Option<Polygon> {
    match patches {
        [patch] => Some(drawing.faces[*patch].polygon.without_straight_corners()),
        _ => Polygon::new(corners_of(drawing, patches)).ok(),
    }
}
