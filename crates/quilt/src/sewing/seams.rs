//! Which edges of the drawing each join sews, and what runs into them.
//!
//! Answers: along which stretches a join runs, over which points, and what was sewn
//! there before. Read by everything that follows a seam: landings, pressing, layers and
//! the forecast.
//!
//! **Units.** Indices into the drawing and into [`BlockSewing::joins`].
//!
//! **Knows nothing of** cloth and pressing.
//!
//! **Always holds.** Two units may lie side by side along a slit as well, which is closed
//! later; only what lies on a join's own seam is its. Of two joins on one point the one with the higher index is sewn
//! later, since joins stand in working order.

use crate::block::Block;

use super::{BlockSewing, Join};

/// A block's seams on its drawing.
pub(super) struct Seams<'a> {
    pub(super) block: &'a Block,
    pub(super) joins: &'a [Join],
    /// For each inner edge the join that sews it; `None` on the outline and where no
    /// order is known.
    pub(super) by_edge: Vec<Option<usize>>,
    /// The edges each join sews.
    pub(super) edges: Vec<Vec<usize>>,
    /// The edges that end in each vertex, outline and all.
    pub(super) at: Vec<Vec<usize>>,
}

/// One of the two units of a join.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Side {
    /// The one on the left of the seam.
    Left,
    /// The one on the right of the seam.
    Right,
}

impl Join {
    /// The patches of one of its units, ascending.
    #[must_use]
    pub fn patches(&self, side: Side) -> &[usize] {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }
}

impl<'a> Seams<'a> {
    pub(super) fn of(block: &'a Block, sewn: &'a BlockSewing) -> Self {
        let drawing = &block.drafted.arrangement;
        let mut found = Self {
            block,
            joins: &sewn.joins,
            by_edge: vec![None; drawing.edges.len()],
            edges: vec![Vec::new(); sewn.joins.len()],
            at: vec![Vec::new(); drawing.vertices.len()],
        };
        let mut around = vec![Vec::new(); drawing.faces.len()];
        for (index, edge) in drawing.edges.iter().enumerate() {
            found.at[edge.from].push(index);
            found.at[edge.to].push(index);
            for face in [edge.left, edge.right].into_iter().flatten() {
                around[face].push(index);
            }
        }
        let slit = sewn.joins.iter().any(|join| join.closes);
        for (index, join) in sewn.joins.iter().enumerate() {
            let on_seam = |edge: usize| {
                let ends = [drawing.edges[edge].from, drawing.edges[edge].to];
                !slit
                    || ends
                        .iter()
                        .all(|&end| join.seam.contains(&drawing.vertices[end]))
            };
            // An edge between the two units is on both; look round the smaller.
            let (small, large) = if join.left.len() <= join.right.len() {
                (&join.left, &join.right)
            } else {
                (&join.right, &join.left)
            };
            for &edge in small.iter().flat_map(|&patch| &around[patch]) {
                let faces = [drawing.edges[edge].left, drawing.edges[edge].right];
                let across = faces
                    .iter()
                    .flatten()
                    .any(|face| large.binary_search(face).is_ok());
                if across && found.by_edge[edge].is_none() && on_seam(edge) {
                    found.by_edge[edge] = Some(index);
                    found.edges[index].push(edge);
                }
            }
        }
        found
    }

    /// The vertex at the other end of an edge.
    pub(super) fn other_end(&self, edge: usize, vertex: usize) -> usize {
        let edge = &self.block.drafted.arrangement.edges[edge];
        if edge.from == vertex {
            edge.to
        } else {
            edge.from
        }
    }

    /// The vertices on a join, each once, ascending, its ends among them.
    pub(super) fn vertices(&self, join: usize) -> Vec<usize> {
        let edges = &self.block.drafted.arrangement.edges;
        let mut all: Vec<usize> = self.edges[join]
            .iter()
            .flat_map(|&edge| [edges[edge].from, edges[edge].to])
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Whether both sides of an edge belong to some patches.
    pub(super) fn within(&self, edge: usize, patches: &[usize]) -> bool {
        let edge = &self.block.drafted.arrangement.edges[edge];
        [edge.left, edge.right]
            .iter()
            .all(|face| face.is_some_and(|face| patches.binary_search(&face).is_ok()))
    }

    /// How many seams of a unit end in a vertex.
    pub(super) fn running_in(&self, vertex: usize, patches: &[usize]) -> usize {
        let within = |&&edge: &&usize| self.within(edge, patches);
        self.at[vertex].iter().filter(within).count()
    }

    /// The vertices inside a join (not its two ends).
    pub(super) fn inner_vertices(&self, join: usize) -> Vec<usize> {
        let seam = &self.joins[join].seam;
        let points = &self.block.drafted.arrangement.vertices;
        let mut all = self.vertices(join);
        all.retain(|&v| points[v] != seam.a && points[v] != seam.b);
        all
    }
}
