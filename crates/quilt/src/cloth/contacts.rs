//! Which pieces of the top lie side by side, and along what length.
//!
//! Every patch of every block and every part between and around them is a piece. Two are
//! side by side where their edges run along each other; a point where corners meet is not
//! enough.
//!
//! **Units.** Inches in the frame of the top. Positions are floats here: they choose
//! cloth and measure seams to be told, and decide no size.

use crate::block::{Block, Patch};
use crate::results::Blocks;
use crate::setting::Top;

/// Edges closer than this lie on one line, inches.
const SAME: f64 = 1e-6;

/// Directions closer than this are one, radians.
const LEVEL: f64 = 1e-7;

/// One piece of the top.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Piece {
    /// What it is.
    pub lies: Lies,
    /// The middle of its corners' area.
    pub middle: [f64; 2],
}

/// Where a piece belongs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Lies {
    /// A patch: index into [`Top::blocks`], and the patch of that block.
    Patch(usize, usize),
    /// Index into [`Top::parts`].
    Part(usize),
}

/// Two pieces side by side.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Contact {
    /// Indices into [`Contacts::pieces`], the smaller first.
    pub pieces: [usize; 2],
    /// How long they touch.
    pub length: f64,
}

/// All pieces and where they touch.
#[derive(Clone, PartialEq, Debug)]
pub struct Contacts {
    /// The patches block by block, then the parts.
    pub pieces: Vec<Piece>,
    /// Every pair that touches once, in ascending order.
    pub touching: Vec<Contact>,
}

/// One edge of a piece, from `from` to `to` along a line.
struct Edge {
    angle: f64,
    offset: f64,
    from: f64,
    to: f64,
    piece: usize,
    ends: [[f64; 2]; 2],
}

/// Finds the contacts of a top.
#[must_use]
pub fn contacts(blocks: &Blocks, top: &Top) -> Contacts {
    let mut pieces = Vec::new();
    let mut edges = Vec::new();
    let mut add = |lies: Lies, corners: Vec<[f64; 2]>| {
        let piece = pieces.len();
        edges.extend((0..corners.len()).filter_map(|i| {
            let ends = [corners[i], corners[(i + 1) % corners.len()]];
            Edge::of(piece, ends)
        }));
        let middle = middle(&corners);
        pieces.push(Piece { lies, middle });
    };
    for (index, placed) in top.blocks.iter().enumerate() {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        for (patch, of) in block.patches.iter().enumerate() {
            let corners = of.outline.points().iter();
            let corners = corners.map(|p| placed.motion.apply(p).to_f64());
            add(Lies::Patch(index, patch), corners.collect());
        }
    }
    for (index, part) in top.parts.iter().enumerate() {
        let corners = part.outline.points().iter().map(geometry::Point::to_f64);
        add(Lies::Part(index), corners.collect());
    }
    Contacts {
        pieces,
        touching: touching(edges),
    }
}

/// Which patches of a block lie side by side, and along what length; the pieces are its
/// patches.
#[must_use]
pub fn inside(block: &Block) -> Vec<Contact> {
    let corners = |patch: &Patch| -> Vec<[f64; 2]> {
        let points = patch.outline.points().iter();
        points.map(geometry::Point::to_f64).collect()
    };
    let edges = block.patches.iter().enumerate().flat_map(|(piece, patch)| {
        let corners = corners(patch);
        (0..corners.len())
            .filter_map(|i| Edge::of(piece, [corners[i], corners[(i + 1) % corners.len()]]))
            .collect::<Vec<_>>()
    });
    touching(edges.collect())
}

impl Edge {
    fn of(piece: usize, ends: [[f64; 2]; 2]) -> Option<Self> {
        let [a, b] = ends;
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        if dx.hypot(dy) < SAME {
            return None;
        }
        // One of the two directions of the line; upright lines all the same one.
        let upright = dx.abs() < dx.hypot(dy) * LEVEL;
        let angle = if upright {
            std::f64::consts::FRAC_PI_2
        } else {
            (dy / dx).atan()
        };
        Some(Self {
            angle,
            offset: 0.0,
            from: 0.0,
            to: 0.0,
            piece,
            ends,
        })
    }

    /// Measures it along and from the line through the origin with this angle.
    fn measure(&mut self, angle: f64) {
        let (sin, cos) = angle.sin_cos();
        let [a, b] = self
            .ends
            .map(|[x, y]| [x * cos + y * sin, y * cos - x * sin]);
        self.offset = f64::midpoint(a[1], b[1]);
        (self.from, self.to) = (a[0].min(b[0]), a[0].max(b[0]));
    }
}

fn touching(mut edges: Vec<Edge>) -> Vec<Contact> {
    edges.sort_by(|a, b| a.angle.total_cmp(&b.angle));
    let mut found: Vec<([usize; 2], f64)> = Vec::new();
    for level in runs(&mut edges, |e| e.angle, LEVEL) {
        let angle = level[0].angle;
        level.iter_mut().for_each(|edge| edge.measure(angle));
        level.sort_by(|a, b| a.offset.total_cmp(&b.offset));
        for line in runs(level, |e| e.offset, SAME) {
            line.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.piece.cmp(&b.piece)));
            for (i, edge) in line.iter().enumerate() {
                let others = line[i + 1..].iter();
                for other in others.take_while(|other| other.from < edge.to - SAME) {
                    let length = edge.to.min(other.to) - other.from;
                    if length > SAME && edge.piece != other.piece {
                        let mut pair = [edge.piece, other.piece];
                        pair.sort_unstable();
                        found.push((pair, length));
                    }
                }
            }
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut contacts: Vec<Contact> = Vec::new();
    for (pieces, length) in found {
        match contacts.last_mut() {
            Some(last) if last.pieces == pieces => last.length += length,
            _ => contacts.push(Contact { pieces, length }),
        }
    }
    contacts
}

/// The sorted edges in runs whose measures follow one another closely.
fn runs<'a>(
    edges: &'a mut [Edge],
    measure: impl Fn(&Edge) -> f64 + 'a,
    near: f64,
) -> impl Iterator<Item = &'a mut [Edge]> + 'a {
    edges.chunk_by_mut(move |a, b| measure(b) - measure(a) < near)
}

/// The centre of a polygon's area; of its corners if it has none.
fn middle(corners: &[[f64; 2]]) -> [f64; 2] {
    let n = corners.len();
    let origin = corners.first().copied().unwrap_or_default();
    let mut sum = [0.0; 2];
    let mut area = 0.0;
    for i in 0..n {
        let [a, b] =
            [corners[i], corners[(i + 1) % n]].map(|[x, y]| [x - origin[0], y - origin[1]]);
        let twice = a[0] * b[1] - b[0] * a[1];
        area += twice;
        sum[0] += (a[0] + b[0]) * twice;
        sum[1] += (a[1] + b[1]) * twice;
    }
    if area.abs() < 1e-12 {
        return origin;
    }
    [0, 1].map(|i| origin[i] + sum[i] / (3.0 * area))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edges(pieces: &[&[[f64; 2]]]) -> Vec<Contact> {
        let all = pieces.iter().enumerate().flat_map(|(piece, corners)| {
            (0..corners.len()).filter_map(move |i| {
                Edge::of(piece, [corners[i], corners[(i + 1) % corners.len()]])
            })
        });
        touching(all.collect())
    }

    #[test]
    fn sides_touch_and_corners_do_not() {
        let square = |x: f64, y: f64, s: f64| [[x, y], [x + s, y], [x + s, y + s], [x, y + s]];
        let found = edges(&[
            &square(0.0, 0.0, 2.0),
            &square(2.0, 0.5, 1.0),
            &square(2.0, 2.0, 1.0),
            &[[0.0, 2.0], [2.0, 2.0], [0.0, 4.0]],
            &[[2.0, 2.0], [2.0, 4.0], [0.0, 4.0]],
        ]);
        let wanted = [
            ([0, 1], 1.0),
            ([0, 3], 2.0),
            ([2, 4], 1.0),
            ([3, 4], 8.0_f64.sqrt()),
        ];
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        for (contact, (pieces, length)) in found.iter().zip(wanted) {
            assert_eq!(contact.pieces, pieces);
            assert!((contact.length - length).abs() < 1e-9, "{contact:?}");
        }
    }

    #[test]
    fn the_middle_of_a_triangle_is_its_centroid() {
        let [x, y] = middle(&[[10.0, 10.0], [13.0, 10.0], [10.0, 16.0]]);
        assert!((x - 11.0).abs() < 1e-12 && (y - 12.0).abs() < 1e-12);
    }
}
