//! The parts of a block while it is taken apart, and the chords that can cut them.

use super::lines::{Half, Lines};

/// A straight run of edges from the outline of a region to its outline.
#[derive(Clone, Debug)]
pub(super) struct Chord {
    /// Its first edge, leaving the outline.
    pub(super) first: Half,
    /// Its last edge, reaching the outline.
    pub(super) last: Half,
    /// All its edges in order.
    pub(super) edges: Vec<usize>,
}

/// Some faces that hang together, and the edges between them.
pub(super) struct Region {
    pub(super) faces: Vec<usize>,
    /// Edges with one of the faces on either side.
    pub(super) inner: Vec<usize>,
}

/// All regions found so far; the newest owner of each face.
pub(super) struct Regions<'a> {
    lines: &'a Lines<'a>,
    regions: Vec<Region>,
    owner: Vec<usize>,
    /// Edges opened by a slit: no seam holds there, whatever lies on either side.
    open: Vec<bool>,
}

impl<'a> Regions<'a> {
    /// The whole block as the first region.
    pub(super) fn whole(lines: &'a Lines<'a>) -> Self {
        let faces: Vec<usize> = (0..lines.drawing.faces.len()).collect();
        let inner = (0..lines.drawing.edges.len())
            .filter(|&e| lines.is_inner(e))
            .collect();
        let owner = vec![0; faces.len()];
        let regions = if faces.is_empty() {
            Vec::new()
        } else {
            vec![Region { faces, inner }]
        };
        Self {
            lines,
            regions,
            owner,
            open: vec![false; lines.drawing.edges.len()],
        }
    }

    pub(super) fn len(&self) -> usize {
        self.regions.len()
    }

    pub(super) fn faces(&self, region: usize) -> &[usize] {
        &self.regions[region].faces
    }

    pub(super) fn inner(&self, region: usize) -> &[usize] {
        &self.regions[region].inner
    }

    /// Whether the edge has the region on both sides.
    pub(super) fn is_inside(&self, edge: usize, region: usize) -> bool {
        if self.open[edge] {
            return false;
        }
        let edge = &self.lines.drawing.edges[edge];
        let mine = |face: Option<usize>| face.is_some_and(|face| self.owner[face] == region);
        mine(edge.left) && mine(edge.right)
    }

    /// Whether the edge has the region on one side only, or is open.
    pub(super) fn is_border(&self, edge: usize, region: usize) -> bool {
        let open = self.open[edge];
        let edge = &self.lines.drawing.edges[edge];
        let mine = |face: Option<usize>| face.is_some_and(|face| self.owner[face] == region);
        mine(edge.left) != mine(edge.right) || (open && mine(edge.left))
    }

    /// Whether the vertex, an end of one of the region's edges, lies on its outline.
    pub(super) fn on_outline(&self, vertex: usize, region: usize) -> bool {
        let leaving = self.lines.leaving(vertex);
        leaving.iter().any(|half| !self.is_inside(half / 2, region))
    }

    /// Every chord of a region, each once.
    ///
    /// From each vertex of the outline the walk goes straight on until it meets the
    /// outline again (a chord) or finds no line to go on (none); so each edge is walked
    /// twice at most.
    pub(super) fn chords(&self, region: usize) -> Vec<Chord> {
        let halves = self.regions[region]
            .inner
            .iter()
            .flat_map(|e| [2 * e, 2 * e + 1]);
        halves
            .filter_map(|half| self.chord_from(half, region))
            .collect()
    }

    fn chord_from(&self, first: Half, region: usize) -> Option<Chord> {
        if !self.on_outline(self.lines.source(first), region) {
            return None;
        }
        let mut edges = vec![first / 2];
        let mut last = first;
        while !self.on_outline(self.lines.target(last), region) {
            last = self.lines.straight(last)?;
            edges.push(last / 2);
        }
        // Each chord is met from both ends; the one with the lesser first vertex stays.
        (self.lines.source(first) < self.lines.target(last)).then_some(Chord { first, last, edges })
    }

    /// The parts of a region when it is cut along some chords that do not cross.
    pub(super) fn parts(&self, region: usize, chords: &[Chord]) -> Vec<Region> {
        let region_faces = &self.regions[region].faces;
        let mut cut = vec![false; self.lines.drawing.edges.len()];
        for edge in chords.iter().flat_map(|chord| &chord.edges) {
            cut[*edge] = true;
        }
        let mut part_of = vec![usize::MAX; self.owner.len()];
        let mut parts: Vec<Region> = Vec::new();
        for &seed in region_faces {
            if part_of[seed] != usize::MAX {
                continue;
            }
            let part = parts.len();
            part_of[seed] = part;
            let (mut faces, mut stack) = (Vec::new(), vec![seed]);
            while let Some(face) = stack.pop() {
                faces.push(face);
                for &edge in &self.lines.around[face] {
                    if cut[edge] || !self.is_inside(edge, region) {
                        continue;
                    }
                    let sides = &self.lines.drawing.edges[edge];
                    for next in [sides.left, sides.right].into_iter().flatten() {
                        if part_of[next] == usize::MAX {
                            part_of[next] = part;
                            stack.push(next);
                        }
                    }
                }
            }
            faces.sort_unstable();
            parts.push(Region {
                faces,
                inner: Vec::new(),
            });
        }
        for &edge in &self.regions[region].inner {
            let sides = &self.lines.drawing.edges[edge];
            if let (false, Some(face)) = (cut[edge], sides.left) {
                parts[part_of[face]].inner.push(edge);
            }
        }
        parts
    }

    /// Opens edges inside a region; what is left of it becomes the next region.
    pub(super) fn open(&mut self, region: usize, edges: &[usize]) {
        for &edge in edges {
            self.open[edge] = true;
        }
        let old = &self.regions[region];
        let inner = old.inner.iter().copied();
        let rest = Region {
            faces: old.faces.clone(),
            inner: inner.filter(|&edge| !self.open[edge]).collect(),
        };
        self.keep(vec![rest]);
    }

    /// Takes parts in as regions with the next numbers.
    pub(super) fn keep(&mut self, parts: Vec<Region>) {
        for part in parts {
            for &face in &part.faces {
                self.owner[face] = self.regions.len();
            }
            self.regions.push(part);
        }
    }
}
