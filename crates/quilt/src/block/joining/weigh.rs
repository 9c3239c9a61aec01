//! What an order costs the maker's hands, beyond how many different units it has.
//!
//! Of orders with equally few different units the one is taken that is least by the first
//! of these that differs:
//!
//! 1. **batches**: how often sewn units have to be taken to the iron before the next can
//!    be sewn, which is how many units deep the deepest patch lies;
//! 2. **seams outside strip sets**: a unit of slabs, with all its seams side by side and
//!    two sides along them, comes from long strips that are sewn and cut across;
//! 3. **open bias**: inches of edge on the bias round units that still wait for a seam,
//!    since such an edge stretches with every handling;
//! 4. **crossings on one seam**: for each seam the square of how many earlier seams end on
//!    it, so that bulk and matching are spread.
//!
//! The number of seams, their length in all and the points to be matched are the same for
//! every order, so they are not among them.
//!
//! The order of the four is our choice.

use geometry::Point;

use super::JoinNode;
use super::lines::Lines;
use super::marks::Marks;
use super::outline::corners_of;
use super::region::Chord;

/// What an order costs, first things first; less is better.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub struct Weight {
    /// Batches, one after the other.
    pub batches: usize,
    /// Seams of one block that lie in no unit a strip set could give.
    pub outside_strips: usize,
    /// Edges on the bias round waiting units, in 1/1024 in.
    pub open_bias: u64,
    /// For each seam the square of how many earlier seams end on it, added up.
    pub crossings: usize,
}

/// What one unit adds, however it is made.
#[derive(Clone, Copy, Default)]
pub(super) struct Unit {
    /// Whether a strip set could give it.
    pub(super) strips: bool,
    /// Bias round it, in 1/1024 in.
    pub(super) bias: u64,
}

/// The drawing with what weighing looks at.
#[derive(Clone, Copy)]
pub(super) struct Scales<'a> {
    pub(super) marks: Marks<'a>,
    /// For each edge of the drawing whether the patch on its left and the one on its right
    /// has it on the bias.
    pub(super) bias: &'a [[bool; 2]],
}

impl Scales<'_> {
    /// What a part of several patches adds.
    pub(super) fn unit(&self, part: &[usize], faces: &[usize]) -> Unit {
        Unit {
            strips: self.is_strips(part, faces),
            bias: self.bias_round(faces),
        }
    }

    /// Whether all seams of a part run one way and its outline has two pairs of equal
    /// sides, one of them along the seams.
    fn is_strips(&self, part: &[usize], faces: &[usize]) -> bool {
        let lines = self.marks.lines;
        let Some(along) = part.first().map(|edge| lines.vector(2 * edge)) else {
            return false;
        };
        if part
            .iter()
            .any(|edge| !lines.vector(2 * edge).cross(&along).is_zero())
        {
            return false;
        }
        let corners = corners_of(lines.drawing, faces);
        let [a, b, c, d] = corners.as_slice() else {
            return false;
        };
        let (first, second) = (b - a, c - b);
        let opposite = d - c;
        let even = (&first + &opposite) == Point::ORIGIN;
        even && (first.cross(&along).is_zero() || second.cross(&along).is_zero())
    }

    /// Edges on the bias round some patches.
    fn bias_round(&self, faces: &[usize]) -> u64 {
        let drawing = self.marks.lines.drawing;
        let within =
            |face: Option<usize>| face.is_some_and(|face| faces.binary_search(&face).is_ok());
        let mut sum = 0;
        for &face in faces {
            for &edge in &self.marks.lines.around[face] {
                let sides = [drawing.edges[edge].left, drawing.edges[edge].right];
                let mine = sides.map(within);
                let on_bias = self.bias[edge];
                if mine[0] != mine[1] && (mine[0] && on_bias[0] || mine[1] && on_bias[1]) {
                    sum += (drawing.segment(edge).length_f64() * 1024.0).round() as u64;
                }
            }
        }
        sum
    }

    /// The square of how many seams of a part end on a chord.
    pub(super) fn crossings(&self, part: &[usize], chord: &Chord) -> usize {
        let lines = self.marks.lines;
        let ends = |half: &usize| {
            let inside = part.binary_search(&(half / 2)).is_ok();
            usize::from(inside && !chord.edges.contains(&(half / 2)))
        };
        let mut half = chord.first;
        let mut sum = 0;
        while half != chord.last {
            sum += lines
                .leaving(lines.target(half))
                .iter()
                .map(ends)
                .sum::<usize>();
            match lines.straight(half) {
                Some(on) => half = on,
                None => break,
            }
        }
        sum * sum
    }

    /// What a tree of straight seams costs, and how many patches deep it is.
    pub(super) fn tree(&self, tree: &JoinNode) -> Weight {
        let mut weight = Weight::default();
        let mut stack = vec![(tree, 1)];
        while let Some((node, depth)) = stack.pop() {
            let JoinNode::Join {
                seam,
                left,
                right,
                patches,
                ..
            } = node
            else {
                continue;
            };
            weight.batches = weight.batches.max(depth);
            stack.extend([(&**left, depth + 1), (&**right, depth + 1)]);
            let part = self.inner(patches);
            let unit = self.unit(&part, patches);
            weight.outside_strips += usize::from(!unit.strips);
            weight.open_bias += unit.bias;
            let on = |chord: &&Chord| {
                let own = self.marks.lines.segment(chord);
                own == *seam || (own.a == seam.b && own.b == seam.a)
            };
            let chords = self.marks.chords(&part);
            let chord = chords.iter().find(on);
            weight.crossings += chord.map_or(0, |chord| self.crossings(&part, chord));
        }
        weight
    }

    /// The edges between some patches, ascending.
    pub(super) fn inner(&self, faces: &[usize]) -> Vec<usize> {
        let lines: &Lines<'_> = self.marks.lines;
        let within =
            |face: Option<usize>| face.is_some_and(|face| faces.binary_search(&face).is_ok());
        let mut inner: Vec<usize> = faces
            .iter()
            .flat_map(|&face| &lines.around[face])
            .copied()
            .filter(|&edge| {
                let edge = &lines.drawing.edges[edge];
                within(edge.left) && within(edge.right)
            })
            .collect();
        inner.sort_unstable();
        inner.dedup();
        inner
    }
}
