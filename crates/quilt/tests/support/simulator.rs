//! Sews a block join by join with exact cloth, and refuses what hands could not do.
//!
//! It knows the patches (the templates, moved to their places) and the joins, in order;
//! nothing of the tree they came from. Each join lays two units right sides together along
//! the seam. Refused is:
//!
//! - a unit that is not there yet, or a seam that is no common edge of both units;
//! - stitching through to the raw edge at a point where either unit reaches round the end of
//!   the seam by more than half a turn: the cloth beyond would be caught;
//! - stopping at a point where an earlier seam was sewn into the allowance;
//! - finishing a seam that was not begun, and leaving any seam unsewn.
//!
//! A seam left open part-way counts as open at that end until it is finished.

use std::collections::{BTreeMap, BTreeSet};

use geometry::{Point, Polygon, Segment, Surd, turn_of};
use quilt::block::{Block, SeamEnd};
use quilt::sewing::Join;

/// What an edge of the drawing is at one of its ends once it is sewn.
struct Bench<'a> {
    block: &'a Block,
    /// The cloth of each patch, finished.
    cloth: Vec<Polygon>,
    units: BTreeSet<Vec<usize>>,
    /// For each sewn edge and vertex at its ends, how the seam ends or passes there.
    sewn: BTreeMap<(usize, usize), SeamEnd>,
}

/// Sews all joins in order.
///
/// # Errors
///
/// The first join that cannot be sewn, by number, and why; or what is left undone.
pub(crate) fn sew(block: &Block, joins: &[Join]) -> Result<(), String> {
    let cloth = block.patches.iter().map(|patch| {
        let template = &block.templates[patch.template];
        template.finished.moved(&patch.from_template)
    });
    let mut bench = Bench {
        block,
        cloth: cloth.collect(),
        units: (0..block.patches.len()).map(|patch| vec![patch]).collect(),
        sewn: BTreeMap::new(),
    };
    for (number, join) in joins.iter().enumerate() {
        bench
            .join(join)
            .map_err(|why| format!("join {number}: {why}"))?;
    }
    bench.finished()
}

impl Bench<'_> {
    fn join(&mut self, join: &Join) -> Result<(), String> {
        let edges = self.edges_along(&join.seam)?;
        if edges.iter().any(|&edge| self.is_sewn(edge)) {
            return Err("part of the seam is sewn already".into());
        }
        if join.closes {
            if !self.units.contains(&join.unit) {
                return Err("the unit to close is not there yet".into());
            }
        } else {
            for part in [&join.left, &join.right] {
                if !self.units.remove(part) {
                    return Err(format!("unit {part:?} is not there yet"));
                }
            }
        }
        for &edge in &edges {
            self.faces_meet(join, edge)?;
        }
        self.end(join, &join.seam.a, join.ends[0], edges[0])?;
        self.end(join, &join.seam.b, join.ends[1], edges[edges.len() - 1])?;
        let mut unit = if join.closes {
            join.unit.clone()
        } else {
            [join.left.clone(), join.right.clone()].concat()
        };
        unit.sort_unstable();
        if unit != join.unit {
            return Err("the unit is not made of its parts".into());
        }
        self.units.insert(unit);
        self.stitch(join, &edges);
        Ok(())
    }

    /// The drawing's edges along a seam, from its start to its end without a gap.
    fn edges_along(&self, seam: &Segment) -> Result<Vec<usize>, String> {
        let drawing = &self.block.drafted.arrangement;
        let way = seam.vector();
        let mut edges: Vec<(Surd, usize)> = Vec::new();
        for (index, edge) in drawing.edges.iter().enumerate() {
            let line = drawing.segment(index);
            let inner = edge.left.is_some() && edge.right.is_some();
            if inner && seam.contains(&line.a) && seam.contains(&line.b) {
                let from = (&line.a - &seam.a)
                    .dot(&way)
                    .min((&line.b - &seam.a).dot(&way));
                edges.push((from, index));
            }
        }
        edges.sort();
        let mut at = seam.a.clone();
        for (_, index) in &edges {
            let line = drawing.segment(*index);
            at = if line.a == at {
                line.b
            } else if line.b == at {
                line.a
            } else {
                return Err("the seam has a gap".into());
            };
        }
        if at == seam.b && !edges.is_empty() {
            Ok(edges.into_iter().map(|(_, index)| index).collect())
        } else {
            Err("the seam does not end at a corner of a patch".into())
        }
    }

    /// Folds the right side over the seam: its cloth must lie edge to edge on the left's.
    fn faces_meet(&self, join: &Join, edge: usize) -> Result<(), String> {
        let line = self.block.drafted.arrangement.segment(edge);
        let middle = Point::midpoint(&line.a, &line.b);
        let on = |cloth: &Polygon, p: &Point| cloth.edges().any(|side| side.contains(p));
        let left = join
            .left
            .iter()
            .find(|&&patch| on(&self.cloth[patch], &middle));
        let right = join.right.iter().find(|&&patch| {
            let folded = self.cloth[patch]
                .points()
                .iter()
                .map(|p| folded(p, &join.seam));
            // Folding turns the walk round.
            let folded: Vec<Point> = folded.collect::<Vec<_>>().into_iter().rev().collect();
            Polygon::new(folded).is_ok_and(|cloth| on(&cloth, &middle))
        });
        let (Some(&left), Some(&right)) = (left, right) else {
            return Err("the edges do not lie on one another".into());
        };
        let side = |patch: usize| {
            let outline = &self.cloth[patch];
            outline
                .edges()
                .find(|side| side.contains(&middle))
                .map(|side| side.vector().dot(&join.seam.vector()).is_positive())
        };
        // A patch walked with its inside on the right runs along the seam on its right.
        if side(right) == Some(true) && side(left) == Some(false) {
            Ok(())
        } else {
            Err("left and right are not the two sides of the seam".into())
        }
    }

    fn end(&self, join: &Join, at: &Point, end: SeamEnd, edge: usize) -> Result<(), String> {
        let vertex = self.vertex(at)?;
        match end {
            SeamEnd::Through => {
                for turn in [false, true] {
                    if self.reaches_round(edge, vertex, turn) {
                        return Err(format!("sewn through into a corner at {:?}", at.to_f64()));
                    }
                }
            }
            SeamEnd::Corner => {
                for other in self.edges_at(vertex) {
                    let how = self.sewn.get(&(other, vertex));
                    if how.is_some_and(|how| *how != SeamEnd::Corner) {
                        return Err("an earlier seam is in the way of the point".into());
                    }
                }
            }
            SeamEnd::PartWay if join.closes && *at == join.seam.a => {
                let line = self.on_the_line(edge, vertex);
                let begun = line.and_then(|on| self.sewn.get(&(on, vertex)));
                if begun != Some(&SeamEnd::PartWay) {
                    return Err("nothing was begun that could be finished".into());
                }
            }
            SeamEnd::PartWay => {
                let line = self.on_the_line(edge, vertex);
                if line.is_none_or(|on| self.is_sewn(on)) {
                    return Err("no seam goes on from here".into());
                }
            }
        }
        Ok(())
    }

    /// Whether the sewn cloth on one side of an edge reaches round its end by more than half
    /// a turn before it comes to an open edge.
    fn reaches_round(&self, edge: usize, vertex: usize, clockwise: bool) -> bool {
        let drawing = &self.block.drafted.arrangement;
        let at = &drawing.vertices[vertex];
        let away = |edge: usize| {
            let line = drawing.segment(edge);
            if line.a == *at {
                &line.b - at
            } else {
                &line.a - at
            }
        };
        let turned = |from: &Point, to: &Point| {
            let cross = from.cross(to);
            if clockwise { cross } else { -&cross }
        };
        let start = away(edge);
        let (mut here, mut last) = (edge, Surd::ZERO);
        for _ in 0..drawing.edges.len() {
            // The next edge in this sense at the vertex, with the face between.
            let next = self
                .edges_at(vertex)
                .into_iter()
                .filter(|&other| other != here)
                .min_by(|&p, &q| {
                    let from = away(here);
                    let key = |e: usize| half_turns(&turned(&from, &away(e)), &from.dot(&away(e)));
                    key(p)
                        .cmp(&key(q))
                        .then_with(|| Surd::ZERO.cmp(&turned(&away(p), &away(q))))
                });
            let Some(next) = next else { return false };
            if next == edge {
                return true;
            }
            let (from, to) = (away(here), away(next));
            let face_reaches = turned(&from, &to) < Surd::ZERO;
            let so_far = turned(&start, &to);
            let beyond = so_far < Surd::ZERO || (so_far.is_zero() && last < Surd::ZERO);
            if face_reaches || beyond {
                return true;
            }
            last = so_far;
            let closed = self
                .sewn
                .get(&(next, vertex))
                .is_some_and(|how| *how != SeamEnd::PartWay);
            if !closed {
                return false;
            }
            here = next;
        }
        true
    }

    fn stitch(&mut self, join: &Join, edges: &[usize]) {
        let drawing = &self.block.drafted.arrangement;
        let how = |at: &Point| {
            if *at == join.seam.a {
                join.ends[0]
            } else if *at == join.seam.b {
                join.ends[1]
            } else {
                SeamEnd::Through
            }
        };
        let mut stitched = Vec::new();
        for &edge in edges {
            for vertex in [drawing.edges[edge].from, drawing.edges[edge].to] {
                stitched.push(((edge, vertex), how(&drawing.vertices[vertex])));
            }
        }
        if join.closes && join.ends[0] == SeamEnd::PartWay {
            // The seam begun before is sewn to its end now.
            let vertex = self.vertex(&join.seam.a).expect("checked before");
            for edge in [edges[0]]
                .into_iter()
                .chain(self.on_the_line(edges[0], vertex))
            {
                stitched.push(((edge, vertex), SeamEnd::Through));
            }
        }
        self.sewn.extend(stitched);
    }

    fn finished(&self) -> Result<(), String> {
        let all: Vec<usize> = (0..self.block.patches.len()).collect();
        if self.units != BTreeSet::from([all]) {
            return Err("the units are not joined to one block".into());
        }
        let drawing = &self.block.drafted.arrangement;
        for (index, edge) in drawing.edges.iter().enumerate() {
            if edge.left.is_some() && edge.right.is_some() && !self.is_sewn(index) {
                return Err("a seam is left open".into());
            }
        }
        if self.sewn.values().any(|how| *how == SeamEnd::PartWay) {
            return Err("a partial seam is not finished".into());
        }
        for (patch, face) in drawing.faces.iter().enumerate() {
            let drafted = face.polygon.without_straight_corners();
            let corners = |shape: &Polygon| shape.points().iter().cloned().collect::<BTreeSet<_>>();
            if corners(&drafted) != corners(&self.cloth[patch]) {
                return Err(format!("patch {patch} is not the drafted one"));
            }
        }
        Ok(())
    }

    fn is_sewn(&self, edge: usize) -> bool {
        let from = self.block.drafted.arrangement.edges[edge].from;
        self.sewn.contains_key(&(edge, from))
    }

    fn vertex(&self, at: &Point) -> Result<usize, String> {
        let vertices = &self.block.drafted.arrangement.vertices;
        let found = vertices.iter().position(|vertex| vertex == at);
        found.ok_or_else(|| "a seam ends at no corner".into())
    }

    fn edges_at(&self, vertex: usize) -> Vec<usize> {
        let edges = self.block.drafted.arrangement.edges.iter().enumerate();
        let here = edges.filter(|(_, edge)| edge.from == vertex || edge.to == vertex);
        here.map(|(index, _)| index).collect()
    }

    /// The edge that goes straight on beyond a vertex.
    fn on_the_line(&self, edge: usize, vertex: usize) -> Option<usize> {
        let drawing = &self.block.drafted.arrangement;
        let far = |edge: usize| {
            let ends = &drawing.edges[edge];
            &drawing.vertices[if ends.from == vertex {
                ends.to
            } else {
                ends.from
            }]
        };
        let at = &drawing.vertices[vertex];
        self.edges_at(vertex).into_iter().find(|&other| {
            let straight = turn_of(far(edge), at, far(other)) == std::cmp::Ordering::Equal;
            other != edge && straight && (far(edge) - at).dot(&(far(other) - at)) < Surd::ZERO
        })
    }
}

/// In which half turn a direction lies: with positive turn first, then straight back and
/// beyond.
fn half_turns(cross: &Surd, dot: &Surd) -> u8 {
    if cross.is_positive() {
        0
    } else if cross.is_zero() && *dot < Surd::ZERO {
        1
    } else {
        2
    }
}

/// A point folded over a seam.
fn folded(p: &Point, seam: &Segment) -> Point {
    let along = seam.vector();
    let across = Point::new(-&along.y, along.x.clone());
    let off = (p - &seam.a).dot(&across);
    let share = off
        .checked_div(&across.length_squared())
        .expect("a seam has a length");
    p - &across.scaled(&share.times(2))
}
