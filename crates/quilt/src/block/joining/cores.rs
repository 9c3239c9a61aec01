//! What keeps a part of a block from being cut: points no line goes through, and rings.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use geometry::{Point, Segment};

use super::Obstruction;
use super::lines::{Half, Lines};
use super::region::Regions;

/// A seam of a core: as far as the line goes straight on inside it.
struct Seam {
    first: Half,
    last: Half,
}

/// Why no chord cuts a region of several patches.
///
/// Every seam of it stops inside at one end at least: at a point where no line goes
/// straight through, or on another seam. If there are no such points, following each
/// seam to the one it stops on must come round in a ring.
pub(super) fn obstruction(lines: &Lines, regions: &Regions<'_>, region: usize) -> Obstruction {
    let inside = |vertex: usize| !regions.on_outline(vertex, region);
    let inner = regions.inner(region);
    let halves = || inner.iter().flat_map(|edge| [2 * edge, 2 * edge + 1]);
    let vertices: BTreeSet<usize> = halves()
        .map(|half| lines.source(half))
        .filter(|&v| inside(v))
        .collect();
    let passes = |vertex: usize| {
        lines
            .leaving(vertex)
            .iter()
            .find(|half| lines.straight(**half ^ 1).is_some())
    };
    let corners: Vec<Point> = vertices
        .iter()
        .filter(|&&v| passes(v).is_none())
        .map(|&v| lines.drawing.vertices[v].clone())
        .collect();
    let seams = seams(lines, halves(), &inside);
    let mut seam_of = BTreeMap::new();
    for (index, (_, edges)) in seams.iter().enumerate() {
        seam_of.extend(edges.iter().map(|&edge| (edge, index)));
    }
    let stops_on: Vec<Vec<usize>> = seams
        .iter()
        .map(|(seam, _)| {
            [lines.source(seam.first), lines.target(seam.last)]
                .into_iter()
                .filter(|&vertex| inside(vertex))
                .filter_map(|vertex| seam_of.get(&(passes(vertex)? / 2)).copied())
                .collect()
        })
        .collect();
    let ring = shortest_ring(&stops_on).into_iter().map(|seam| Segment {
        a: lines.source_point(seams[seam].0.first).clone(),
        b: lines.target_point(seams[seam].0.last).clone(),
    });
    let mut corners = corners;
    corners.sort_by(|p, q| p.y.cmp(&q.y).then_with(|| p.x.cmp(&q.x)));
    Obstruction {
        patches: regions.faces(region).to_vec(),
        corners,
        ring: ring.collect(),
    }
}

/// The seams of a core with their edges, each once.
fn seams(
    lines: &Lines,
    halves: impl Iterator<Item = Half>,
    inside: &dyn Fn(usize) -> bool,
) -> Vec<(Seam, Vec<usize>)> {
    let starts = |half: &Half| {
        let vertex = lines.source(*half);
        !inside(vertex) || lines.straight(half ^ 1).is_none()
    };
    let mut seams = Vec::new();
    for first in halves.filter(starts) {
        let (mut last, mut edges) = (first, vec![first / 2]);
        while inside(lines.target(last)) {
            let Some(on) = lines.straight(last) else {
                break;
            };
            last = on;
            edges.push(last / 2);
        }
        if lines.source(first) < lines.target(last) {
            seams.push((Seam { first, last }, edges));
        }
    }
    seams
}

/// The shortest ring of seams each stopping on the next, the first found of several;
/// empty if there is none.
fn shortest_ring(stops_on: &[Vec<usize>]) -> Vec<usize> {
    let mut best: Vec<usize> = Vec::new();
    for start in 0..stops_on.len() {
        let mut before: BTreeMap<usize, usize> = BTreeMap::new();
        let mut queue = VecDeque::from([start]);
        'search: while let Some(seam) = queue.pop_front() {
            for &next in &stops_on[seam] {
                if next == start {
                    let ring = trace(&before, start, seam);
                    if best.is_empty() || ring.len() < best.len() {
                        best = ring;
                    }
                    break 'search;
                }
                if let Entry::Vacant(unseen) = before.entry(next) {
                    unseen.insert(seam);
                    queue.push_back(next);
                }
            }
        }
    }
    best
}

fn trace(before: &BTreeMap<usize, usize>, start: usize, end: usize) -> Vec<usize> {
    let mut ring = vec![end];
    let mut at = end;
    while at != start {
        let Some(&earlier) = before.get(&at) else {
            break;
        };
        at = earlier;
        ring.push(at);
    }
    ring.reverse();
    ring
}
