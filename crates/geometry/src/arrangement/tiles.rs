//! Whether polygons cover an outline exactly once, and what is wrong if they do not.
//!
//! Walk over any stretch from its left to its right: the number of tiles over one's head rises by the
//! tiles that walk their own boundary along the stretch and falls by those that walk it backwards. If
//! on every stretch that change equals the outline's, tiles and outline cover the same points, once.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use crate::plane::{Point, Segment, turn_of};
use crate::polygon::{Place, Polygon};
use crate::surd::Surd;

use super::mesh::{Half, Mesh};
use super::{Arrangement, Edge, Face, Fault};

pub(super) fn assemble(outline: &Polygon, tiles: &[Polygon]) -> Result<Arrangement, Vec<Fault>> {
    let sides = outline.points().len();
    let all = outline.edges().chain(tiles.iter().flat_map(Polygon::edges));
    let mesh = Mesh::of(all.collect(), sides);
    let rings = rings(&mesh, tiles, sides);
    let mut change = vec![0_i32; mesh.edges.len()];
    let mut note = |half: &Half, weight: i32| {
        change[half.half / 2] += if half.half.is_multiple_of(2) {
            weight
        } else {
            -weight
        };
    };
    mesh.chains[..sides]
        .iter()
        .flatten()
        .for_each(|half| note(half, -1));
    rings.iter().flatten().for_each(|half| note(half, 1));
    if change.iter().any(|&change| change != 0) {
        return Err(faults(&mesh, outline, tiles));
    }
    let mut edges: Vec<Edge> = mesh
        .edges
        .iter()
        .map(|edge| Edge {
            from: edge.from,
            to: edge.to,
            left: None,
            right: None,
        })
        .collect();
    for (tile, ring) in rings.iter().enumerate() {
        for half in ring {
            let edge = &mut edges[half.half / 2];
            let side = if half.half.is_multiple_of(2) {
                &mut edge.right
            } else {
                &mut edge.left
            };
            *side = Some(tile);
        }
    }
    let faces = rings.iter().zip(tiles).map(|(ring, tile)| Face {
        ring: ring.iter().map(|half| half.from).collect(),
        polygon: tile.without_straight_corners(),
    });
    Ok(Arrangement {
        faces: faces.collect(),
        vertices: mesh.points,
        edges,
    })
}

/// The stretches round each tile.
fn rings(mesh: &Mesh, tiles: &[Polygon], sides: usize) -> Vec<Vec<Half>> {
    let mut line = sides;
    let mut ring = |tile: &Polygon| {
        let first = line;
        line += tile.points().len();
        mesh.chains[first..line].concat()
    };
    tiles.iter().map(&mut ring).collect()
}

/// A region between the tiles' edges that is not covered.
struct Gap {
    around: Point,
    /// Area inside the walk round it, less that of the holes found so far.
    area: Surd,
    ring: Polygon,
    /// Area inside the walk alone.
    whole: Surd,
}

/// What the regions between the edges show, gathered region by region.
#[derive(Default)]
struct Survey {
    /// Tiles reaching outside, with a point there.
    outside: BTreeMap<usize, Point>,
    /// Pairs of tiles that share area, with a point there.
    overlaps: BTreeMap<(usize, usize), Point>,
    gaps: Vec<Gap>,
    /// Walks round holes in gaps: a point beside them, inside the gap, and their negative area.
    holes: Vec<(Point, Surd)>,
}

/// Looks into every region between the edges and counts what covers it.
fn faults(mesh: &Mesh, outline: &Polygon, tiles: &[Polygon]) -> Vec<Fault> {
    let mut survey = Survey::default();
    let bounds: Vec<(Point, Point)> = tiles.iter().map(Polygon::bounds).collect();
    for ring in mesh.cycles().rings {
        let point = beside(mesh, longest(mesh, &ring));
        let inside = |polygon: &Polygon| polygon.locate(&point) == Place::Inside;
        let close = |(low, high): &(Point, Point)| {
            low.x < point.x && point.x < high.x && low.y < point.y && point.y < high.y
        };
        let is_over = |&tile: &usize| close(&bounds[tile]) && inside(&tiles[tile]);
        let over: Vec<usize> = (0..tiles.len()).filter(is_over).collect();
        let wanted = inside(outline);
        if wanted && over.is_empty() {
            let corners = ring
                .iter()
                .map(|half| mesh.points[half.from].clone())
                .collect();
            survey.note_gap(point, corners);
        } else {
            survey.note_cover(&point, &over, wanted);
        }
    }
    survey.faults()
}

impl Survey {
    fn note_cover(&mut self, point: &Point, over: &[usize], wanted: bool) {
        for (k, &a) in over.iter().enumerate() {
            if !wanted {
                self.outside.entry(a).or_insert_with(|| point.clone());
            }
            for &b in &over[k + 1..] {
                self.overlaps.entry((a, b)).or_insert_with(|| point.clone());
            }
        }
    }

    fn note_gap(&mut self, around: Point, corners: Vec<Point>) {
        let area = signed_area(&corners);
        if area.is_positive() {
            let ring = Polygon::trusted(corners);
            self.gaps.push(Gap {
                around,
                whole: area.clone(),
                area,
                ring,
            });
        } else {
            self.holes.push((around, area));
        }
    }

    fn faults(mut self) -> Vec<Fault> {
        for (point, area) in self.holes {
            // The innermost walk round the hole's surroundings is that of the same region.
            let around = self
                .gaps
                .iter_mut()
                .filter(|gap| gap.ring.locate(&point) == Place::Inside);
            if let Some(gap) = around.min_by(|a, b| a.whole.cmp(&b.whole)) {
                gap.area += area;
            }
        }
        self.gaps
            .sort_by(|a, b| (&a.around.y, &a.around.x).cmp(&(&b.around.y, &b.around.x)));
        let outside = self.outside.into_iter();
        let overlaps = self.overlaps.into_iter();
        outside
            .map(|(tile, around)| Fault::TileOutside { tile, around })
            .chain(overlaps.map(|((a, b), around)| Fault::Overlap { a, b, around }))
            .chain(self.gaps.into_iter().map(|gap| Fault::Uncovered {
                around: gap.around,
                area: gap.area,
            }))
            .collect()
    }
}

fn signed_area(corners: &[Point]) -> Surd {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(p, q)| p.cross(q))
        .sum::<Surd>()
        .half()
}

/// The longest stretch of a walk.
fn longest(mesh: &Mesh, ring: &[Half]) -> usize {
    let length = |half: usize| {
        let [a, b] = [mesh.source(half), mesh.target(half)].map(|v| mesh.points[v].to_f64());
        (b[0] - a[0]).hypot(b[1] - a[1])
    };
    let mut best = (ring[0].half, length(ring[0].half));
    for half in &ring[1..] {
        let this = length(half.half);
        if this > best.1 * 1.000_001 {
            best = (half.half, this);
        }
    }
    best.0
}

/// A point strictly inside the region on the right of a half: from its middle, halfway straight
/// across to the next stretch.
fn beside(mesh: &Mesh, half: usize) -> Point {
    let [a, b] = [mesh.source(half), mesh.target(half)].map(|v| &mesh.points[v]);
    let from = Point::midpoint(a, b);
    let along = b - a;
    let across = Point::new(-&along.y, along.x);
    let ahead = &from + &across;
    let mut nearest: Option<Surd> = None;
    for (index, edge) in mesh.edges.iter().enumerate() {
        let [p, q] = [edge.from, edge.to].map(|v| &mesh.points[v]);
        // Most stretches lie to one side of the line ahead, which floating point sees at once.
        let [side_p, side_q] = [p, q].map(|end| turn_of(&from, &ahead, end));
        if index == half / 2 || (side_p == side_q && side_p != Ordering::Equal) {
            continue;
        }
        for part in ray_hits(
            &from,
            &across,
            &Segment {
                a: p.clone(),
                b: q.clone(),
            },
        ) {
            if part.is_positive() && nearest.as_ref().is_none_or(|least| part < *least) {
                nearest = Some(part);
            }
        }
    }
    // With nothing ahead the region is the unbounded one; any step will do.
    let part = nearest.map_or(Surd::ONE, |part| part.half());
    &from + &across.scaled(&part)
}

/// Where the line from + t·direction meets a segment that is known to reach it: the values of t.
fn ray_hits(from: &Point, direction: &Point, other: &Segment) -> Vec<Surd> {
    let (start, run) = (&other.a - from, other.vector());
    if let Some(part) = direction.cross(&run).recip() {
        return vec![start.cross(&run) * &part];
    }
    let unit = direction.length_squared();
    let ends = [start, &other.b - from];
    ends.iter()
        .filter_map(|end| end.dot(direction).checked_div(&unit))
        .collect()
}
