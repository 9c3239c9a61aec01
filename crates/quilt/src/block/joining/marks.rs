//! Cutting any set of edges, without a block's own bookkeeping.
//!
//! A part of the block of two patches or more is given here by the edges inside it, in
//! ascending order. Searches that look at thousands of parts use this; the block itself is
//! taken apart with `region`.

use std::collections::BTreeMap;

use super::lines::{Half, Lines};
use super::region::Chord;

/// The drawing, for asking about parts of it.
#[derive(Clone, Copy)]
pub(super) struct Marks<'a> {
    pub(super) lines: &'a Lines<'a>,
}

impl Marks<'_> {
    /// For each edge whether it is one of these.
    pub(super) fn marked(&self, edges: &[usize]) -> Vec<bool> {
        let mut inside = vec![false; self.lines.drawing.edges.len()];
        for &edge in edges {
            inside[edge] = true;
        }
        inside
    }

    /// Whether a vertex, an end of an edge inside, lies on the outline of the part.
    pub(super) fn on_outline(&self, inside: &[bool], vertex: usize) -> bool {
        let leaving = self.lines.leaving(vertex);
        leaving.iter().any(|half| !inside[half / 2])
    }

    /// The chord that starts with this half edge, if there is one.
    pub(super) fn chord(&self, inside: &[bool], first: Half) -> Option<Chord> {
        if !inside[first / 2] || !self.on_outline(inside, self.lines.source(first)) {
            return None;
        }
        let (mut last, mut edges) = (first, vec![first / 2]);
        while !self.on_outline(inside, self.lines.target(last)) {
            last = self.lines.straight(last)?;
            edges.push(last / 2);
        }
        Some(Chord { first, last, edges })
    }

    /// Every chord of a part, each once.
    pub(super) fn chords(&self, part: &[usize]) -> Vec<Chord> {
        let inside = self.marked(part);
        let halves = part.iter().flat_map(|edge| [2 * edge, 2 * edge + 1]);
        halves
            .filter_map(|half| self.chord(&inside, half))
            .filter(|chord| self.lines.source(chord.first) < self.lines.target(chord.last))
            .collect()
    }

    /// The two sides of a chord, left and right of it: their faces and their edges.
    pub(super) fn sides(&self, part: &[usize], chord: &Chord) -> [(Vec<usize>, Vec<usize>); 2] {
        let mut inside = self.marked(part);
        for &edge in &chord.edges {
            inside[edge] = false;
        }
        [chord.first ^ 1, chord.first].map(|half| self.spread(&inside, self.lines.right(half)))
    }

    /// The faces that hang together with this one across edges inside, and those edges.
    fn spread(&self, inside: &[bool], face: usize) -> (Vec<usize>, Vec<usize>) {
        let mut met = vec![false; self.lines.drawing.faces.len()];
        met[face] = true;
        let (mut faces, mut edges) = (vec![face], Vec::new());
        let mut next = 0;
        while next < faces.len() {
            for &edge in &self.lines.around[faces[next]] {
                if !inside[edge] {
                    continue;
                }
                edges.push(edge);
                for side in [2 * edge, 2 * edge + 1] {
                    let face = self.lines.right(side);
                    if !std::mem::replace(&mut met[face], true) {
                        faces.push(face);
                    }
                }
            }
            next += 1;
        }
        faces.sort_unstable();
        edges.sort_unstable();
        edges.dedup();
        (faces, edges)
    }

    /// The faces on either side of some edges, ascending.
    pub(super) fn faces(&self, edges: &[usize]) -> Vec<usize> {
        let halves = edges.iter().flat_map(|edge| [2 * edge, 2 * edge + 1]);
        let mut faces: Vec<usize> = halves.map(|half| self.lines.right(half)).collect();
        faces.sort_unstable();
        faces.dedup();
        faces
    }

    /// Edges sorted into those whose patches hang together.
    pub(super) fn apart(&self, edges: &[usize]) -> Vec<Vec<usize>> {
        let mut part: BTreeMap<usize, usize> = BTreeMap::new();
        let mut parts: Vec<Vec<usize>> = Vec::new();
        for &edge in edges {
            let sides = [self.lines.right(2 * edge), self.lines.right(2 * edge + 1)];
            let mut touched: Vec<usize> = sides
                .iter()
                .filter_map(|face| part.get(face).copied())
                .collect();
            touched.sort_unstable();
            touched.dedup();
            let home = touched.first().copied().unwrap_or(parts.len());
            if home == parts.len() {
                parts.push(Vec::new());
            }
            parts[home].push(edge);
            for &other in touched.iter().skip(1) {
                let moved = std::mem::take(&mut parts[other]);
                parts[home].extend(moved);
                for place in part.values_mut().filter(|place| **place == other) {
                    *place = home;
                }
            }
            part.extend(sides.map(|face| (face, home)));
        }
        parts.retain(|part| !part.is_empty());
        for part in &mut parts {
            part.sort_unstable();
        }
        parts
    }
}
