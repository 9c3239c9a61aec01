//! A polygon divided into faces by straight segments.
//!
//! Answers: which faces arise, which vertices and minimal edges bound them, what lies on the two
//! sides of each edge; and, if the drawing does not divide the polygon cleanly, everything that is
//! wrong with it.
//!
//! **Sides.** Each [`Edge`] runs from one vertex to a neighbouring one. Its `right` face is on the
//! right hand of someone walking along it, as the eye sees the page (y down): the side of a positive
//! turn. A face's ring has the face on the right hand of its walk, so an edge walked by the ring in
//! its own direction has that face as `right`. `None` is outside the outline.
//!
//! **Always holds.** The faces' areas add up to the outline's, exactly; V − E + F = 1; every face is
//! a simple polygon; every edge has at least one face; vertices where an edge merely ends on another
//! (T-vertices) are in the rings on *both* sides.
//!
//! **Knows nothing of** curved lines, holes, and what the faces are for.

mod check;
mod mesh;
mod tiles;

use crate::plane::{Point, Segment, turn_of};
use crate::polygon::{Place, Polygon};
use mesh::Mesh;
use std::cmp::Ordering;

use crate::surd::Surd;

/// A polygon divided into faces; see the module for what always holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Arrangement {
    /// Every point where edges end, each once.
    pub vertices: Vec<Point>,
    /// Edges between neighbouring vertices, each stretch once.
    pub edges: Vec<Edge>,
    /// The faces: of [`Arrangement::of`] from top to bottom, then left to right, by their inner
    /// points; of [`Arrangement::from_tiles`] in the order of the tiles.
    pub faces: Vec<Face>,
}

/// A stretch between two neighbouring vertices.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Edge {
    /// Vertex it starts from.
    pub from: usize,
    /// Vertex it ends at.
    pub to: usize,
    /// Face on the left hand of the walk; `None` outside the outline.
    pub left: Option<usize>,
    /// Face on the right hand of the walk; `None` outside the outline.
    pub right: Option<usize>,
}

/// One part of the outline.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Face {
    /// Its vertices in order, T-vertices included; the face is on the right hand.
    pub ring: Vec<usize>,
    /// Its shape, without straight corners.
    pub polygon: Polygon,
}

/// What keeps a drawing from dividing the outline. Indices count the segments (or tiles) as they
/// were handed in.
#[derive(Clone, PartialEq, Debug)]
pub enum Fault {
    /// A segment leaves the outline.
    Outside {
        /// Which.
        segment: usize,
    },
    /// A segment stops in the open.
    Dangling {
        /// Which.
        segment: usize,
        /// Where.
        at: Point,
        /// How far the nearest other line is, if that is less than 1/16 of the smaller side of the
        /// outline's bounds: it was probably meant to reach it.
        short_by: Option<f64>,
    },
    /// A segment runs past a line and stops just beyond, by less than 1/16 of the smaller side of the
    /// outline's bounds.
    Overrun {
        /// Which.
        segment: usize,
        /// Where it stops.
        at: Point,
        /// How far it is beyond the line.
        past_by: f64,
    },
    /// A closed figure that no line connects with the outline.
    Island {
        /// The middle of its bounds.
        around: Point,
    },
    /// A face touches itself at a point: a closed figure hangs on the rest by one vertex or by one
    /// line.
    Pinched {
        /// The point where the face meets itself.
        at: Point,
    },
    /// Part of the outline is in no tile.
    Uncovered {
        /// A point strictly inside that part.
        around: Point,
        /// How much is missing there.
        area: Surd,
    },
    /// Two tiles share some area. Reported once for a pair.
    Overlap {
        /// The tile with the lower index.
        a: usize,
        /// The other.
        b: usize,
        /// A point strictly inside both.
        around: Point,
    },
    /// A tile reaches out of the outline. Reported once for a tile.
    TileOutside {
        /// Which tile.
        tile: usize,
        /// A point strictly inside the tile and outside the outline.
        around: Point,
    },
}

impl Arrangement {
    /// Divides `outline` along the `drawn` segments.
    ///
    /// Segments may cross, touch, lie on the outline and overlap one another: a stretch that several
    /// cover is one edge.
    ///
    /// # Errors
    ///
    /// Everything that is wrong: segments outside, ends in the open, unconnected or pinched figures.
    pub fn of(outline: &Polygon, drawn: &[Segment]) -> Result<Arrangement, Vec<Fault>> {
        let lines: Vec<Segment> = outline.edges().chain(drawn.iter().cloned()).collect();
        let sides = outline.points().len();
        let mesh = Mesh::of(lines, sides);
        let faults = check::faults(&mesh, outline, sides);
        if !faults.is_empty() {
            return Err(faults);
        }
        let cycles = mesh.cycles();
        // The outline is walked with its inside on the right, so the other way round is outside.
        let outer = cycles.of_half[mesh.chains[0][0].half ^ 1];
        let pinches = pinches(&mesh, &cycles.rings, outer);
        if !pinches.is_empty() {
            return Err(pinches);
        }
        let mut faces: Vec<(Point, usize, Face)> = (0..cycles.rings.len())
            .filter(|&cycle| cycle != outer)
            .map(|cycle| {
                let face = face(&mesh, &cycles.rings[cycle]);
                (face.polygon.inner_point(), cycle, face)
            })
            .collect();
        faces.sort_by(|(p, ..), (q, ..)| p.y.cmp(&q.y).then_with(|| p.x.cmp(&q.x)));
        let mut place = vec![None; cycles.rings.len()];
        for (index, (_, cycle, _)) in faces.iter().enumerate() {
            place[*cycle] = Some(index);
        }
        let edges = (0..mesh.edges.len())
            .map(|e| Edge {
                from: mesh.edges[e].from,
                to: mesh.edges[e].to,
                left: place[cycles.of_half[2 * e + 1]],
                right: place[cycles.of_half[2 * e]],
            })
            .collect();
        let faces = faces.into_iter().map(|(.., face)| face).collect();
        let found = Arrangement {
            vertices: mesh.points,
            edges,
            faces,
        };
        debug_assert_eq!(found.check(outline), Ok(()));
        Ok(found)
    }

    /// Takes the `tiles` as faces: face i is tile i.
    ///
    /// # Errors
    ///
    /// Everything that keeps them from covering the outline exactly once: gaps, overlaps, tiles
    /// reaching outside.
    pub fn from_tiles(outline: &Polygon, tiles: &[Polygon]) -> Result<Arrangement, Vec<Fault>> {
        let found = tiles::assemble(outline, tiles)?;
        debug_assert_eq!(found.check(outline), Ok(()));
        Ok(found)
    }

    /// The face that contains `point`; of several that share it on an edge, the lowest index. `None`
    /// outside the outline.
    pub fn locate(&self, point: &Point) -> Option<usize> {
        self.faces
            .iter()
            .position(|face| face.polygon.locate(point) != Place::Outside)
    }

    /// The segment that an edge covers, in the edge's direction.
    pub fn segment(&self, edge: usize) -> Segment {
        let Edge { from, to, .. } = self.edges[edge];
        Segment {
            a: self.vertices[from].clone(),
            b: self.vertices[to].clone(),
        }
    }

    /// Whether it keeps the promises about counts and areas, with a word on the first broken one.
    fn check(&self, outline: &Polygon) -> Result<(), &'static str> {
        if self.vertices.len() + self.faces.len() != self.edges.len() + 1 {
            return Err("vertices, edges and faces do not satisfy V - E + F = 1");
        }
        if self
            .edges
            .iter()
            .any(|e| e.left.is_none() && e.right.is_none())
        {
            return Err("an edge has no face");
        }
        let whole: Surd = self.faces.iter().map(|face| face.polygon.area()).sum();
        if whole != outline.area() {
            return Err("the areas do not add up");
        }
        Ok(())
    }
}

/// Faces whose ring comes to a vertex twice, one fault for each such vertex.
fn pinches(mesh: &Mesh, rings: &[Vec<mesh::Half>], outer: usize) -> Vec<Fault> {
    let mut seen_by = vec![usize::MAX; mesh.points.len()];
    let mut pinched = Vec::new();
    for (cycle, ring) in rings
        .iter()
        .enumerate()
        .filter(|(cycle, _)| *cycle != outer)
    {
        for half in ring {
            if seen_by[half.from] == cycle {
                pinched.push(half.from);
            }
            seen_by[half.from] = cycle;
        }
    }
    pinched.sort_unstable();
    pinched.dedup();
    pinched
        .into_iter()
        .map(|v| Fault::Pinched {
            at: mesh.points[v].clone(),
        })
        .collect()
}

/// The face inside a ring that visits no vertex twice.
fn face(mesh: &Mesh, ring: &[mesh::Half]) -> Face {
    let n = ring.len();
    let is_corner = |k: &usize| {
        let (before, after) = (&ring[(k + n - 1) % n], &ring[*k]);
        let point = |v: usize| &mesh.points[v];
        let (a, b, c) = (before.from, after.from, ring[(k + 1) % n].from);
        // Parts of one segment go straight on; parts of two may.
        mesh.line(before) != mesh.line(after)
            && turn_of(point(a), point(b), point(c)) != Ordering::Equal
    };
    let corners = (0..n)
        .filter(is_corner)
        .map(|k| mesh.points[ring[k].from].clone())
        .collect();
    Face {
        ring: ring.iter().map(|half| half.from).collect(),
        polygon: Polygon::trusted(corners),
    }
}
