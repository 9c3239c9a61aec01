//! The drawing as straight lines: which edges go on in which.

use geometry::{Arrangement, Point, Segment, Surd, turn_of};
use std::cmp::Ordering;

use super::region::Chord;

/// An edge walked in one direction: `2e` from its start to its end, `2e + 1` back.
pub(super) type Half = usize;

/// The edges of a drawing and how they continue one another.
pub(super) struct Lines<'a> {
    pub(super) drawing: &'a Arrangement,
    /// For each half edge the one that goes straight on from its end, inside the block.
    straight: Vec<Option<Half>>,
    /// For each vertex the half edges that leave it.
    leaving: Vec<Vec<Half>>,
    /// For each face its edges.
    pub(super) around: Vec<Vec<usize>>,
    /// For each edge the squared length of the whole line it lies on: from the point
    /// where the line starts in the drawing to where it stops. Zero on the outline.
    pub(super) run: Vec<Surd>,
}

impl<'a> Lines<'a> {
    pub(super) fn of(drawing: &'a Arrangement) -> Self {
        let mut leaving = vec![Vec::new(); drawing.vertices.len()];
        let mut around = vec![Vec::new(); drawing.faces.len()];
        for (index, edge) in drawing.edges.iter().enumerate() {
            leaving[edge.from].push(2 * index);
            leaving[edge.to].push(2 * index + 1);
            for face in [edge.left, edge.right].into_iter().flatten() {
                around[face].push(index);
            }
        }
        let mut lines = Self {
            drawing,
            straight: Vec::new(),
            leaving,
            around,
            run: Vec::new(),
        };
        lines.straight = (0..2 * drawing.edges.len())
            .map(|half| lines.straight_on(half))
            .collect();
        lines.run = lines.runs();
        lines
    }

    fn straight_on(&self, half: Half) -> Option<Half> {
        if !self.is_inner(half / 2) {
            return None;
        }
        let (a, v) = (self.source_point(half), self.target_point(half));
        self.leaving[self.target(half)]
            .iter()
            .copied()
            .find(|&next| {
                let b = self.target_point(next);
                // Of three points on one line, the middle one lies between in any order.
                next != half ^ 1
                    && self.is_inner(next / 2)
                    && turn_of(a, v, b) == Ordering::Equal
                    && (a < v) == (v < b)
            })
    }

    fn runs(&self) -> Vec<Surd> {
        let mut run = vec![None; self.drawing.edges.len()];
        for edge in 0..run.len() {
            if run[edge].is_some() || !self.is_inner(edge) {
                continue;
            }
            let mut first = 2 * edge + 1;
            while let Some(on) = self.straight[first] {
                first = on;
            }
            let start = first ^ 1;
            let mut members = vec![start / 2];
            let mut last = start;
            while let Some(on) = self.straight[last] {
                members.push(on / 2);
                last = on;
            }
            let length = (self.target_point(last) - self.source_point(start)).length_squared();
            for member in members {
                run[member] = Some(length.clone());
            }
        }
        run.into_iter().map(Option::unwrap_or_default).collect()
    }

    /// The half edge that goes straight on.
    pub(super) fn straight(&self, half: Half) -> Option<Half> {
        self.straight[half]
    }

    /// The half edges that leave a vertex.
    pub(super) fn leaving(&self, vertex: usize) -> &[Half] {
        &self.leaving[vertex]
    }

    /// Whether the edge has a face on both sides.
    pub(super) fn is_inner(&self, edge: usize) -> bool {
        let edge = &self.drawing.edges[edge];
        edge.left.is_some() && edge.right.is_some()
    }

    pub(super) fn source(&self, half: Half) -> usize {
        let edge = &self.drawing.edges[half / 2];
        if half.is_multiple_of(2) {
            edge.from
        } else {
            edge.to
        }
    }

    pub(super) fn target(&self, half: Half) -> usize {
        self.source(half ^ 1)
    }

    pub(super) fn source_point(&self, half: Half) -> &'a Point {
        &self.drawing.vertices[self.source(half)]
    }

    pub(super) fn target_point(&self, half: Half) -> &'a Point {
        &self.drawing.vertices[self.target(half)]
    }

    pub(super) fn vector(&self, half: Half) -> Point {
        self.target_point(half) - self.source_point(half)
    }

    /// The face on the right hand of an inner edge.
    pub(super) fn right(&self, half: Half) -> usize {
        let edge = &self.drawing.edges[half / 2];
        let side = if half.is_multiple_of(2) {
            edge.right
        } else {
            edge.left
        };
        side.expect("only inner edges are part of a chord, and they have a face on both sides")
    }

    /// A chord as a segment.
    pub(super) fn segment(&self, chord: &Chord) -> Segment {
        Segment {
            a: self.source_point(chord.first).clone(),
            b: self.target_point(chord.last).clone(),
        }
    }
}
