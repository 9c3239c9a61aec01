//! Which way the seam allowances of each join are pressed, and why.
//!
//! The first of these that decides:
//!
//! 1. where eight or more patches meet on a seam, apart: that many layers to one side
//!    would make a lump;
//! 2. away from the side with more seams running into this one: fewer layers are folded;
//! 3. towards the darker cloth, where value shows: a dark allowance must not shine
//!    through light cloth. The cloths along the seam count by their length on it;
//! 4. away from the middle of the block, as the strips of a round are; along the middle
//!    itself down the page, else to the right.
//!
//! Joins that are the same work are pressed the same way. Only where two seams of one
//! line meet at a crossing do they nest if pressed opposite ways: of seams that rule 4
//! decided, one is turned for that, even if its fellows are not. Nesting with
//! neighbouring blocks is not looked at.
//!
//! Sources: to the darker cloth, apart where there are many layers, opposing ways so that
//! seams nest: "Pressing Quilt Seams", National Quilters Circle; "Rotate pressing", Kate
//! Colleran. The order of the rules is our choice.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use geometry::{Arrangement, Point, Segment, Surd, turn_of};

use super::Press;
use super::units::{Kinds, Made, sewn_by};

/// From this difference of L\* on, value shows: one step of the Munsell scale, below
/// which cloths blend. Our choice; no published figure was found. Smaller, and seams
/// turn this way and that for shades nobody sees; larger, and shadows show.
const SHOWS: f64 = 10.0;

/// This many patches meeting at a point make the seam over it lie better apart. A four-
/// patch (4) still nests; in a pinwheel (8) thirteen layers would lie on one spot.
const LUMP: usize = 8;

const APART: &str = "eight or more patches meet on it";
const FEWER: &str = "away from the seams on the other side, for less bulk";
const DARKER: &str = "towards the darker cloth";
const OUTWARD: &str = "away from the middle of the block";
const EITHER: &str = "to one side; either would do";
const NESTS: &str = "opposite to the seam it meets, so that they nest";

/// A decision, and whether nesting may turn it.
#[derive(Clone, Copy)]
struct Decided {
    press: Press,
    reason: &'static str,
    soft: bool,
}

/// What pressing looks at.
pub(super) struct Pressing<'a> {
    pub(super) drawing: &'a Arrangement,
    pub(super) made: &'a [Made<'a>],
    pub(super) kinds: &'a Kinds,
    /// L\* of each patch's cloth, where it has one.
    pub(super) lightness: &'a [Option<f64>],
    /// The middle of the block.
    pub(super) middle: Point,
}

/// What lies along a seam.
#[derive(Default)]
struct Along {
    /// Seams running into it from the left and from the right.
    running_in: [usize; 2],
    /// The most patches that meet at a point inside it.
    meeting: usize,
    /// Sum of L\* times length, and of length, on the left and on the right.
    light: [(f64, f64); 2],
}

impl Pressing<'_> {
    /// Which way each join is pressed, and why.
    pub(super) fn decide(&self) -> Vec<(Press, &'static str)> {
        let sewn_by = sewn_by(self.drawing, self.made);
        let along = self.along(&sewn_by);
        let mut outward: BTreeMap<usize, usize> = BTreeMap::new();
        let mut decided: Vec<Decided> = (0..self.made.len())
            .map(|join| {
                self.firm(&along[join])
                    .unwrap_or_else(|| self.outward(join, &mut outward))
            })
            .collect();
        self.nest(&sewn_by, &mut decided);
        decided.into_iter().map(|d| (d.press, d.reason)).collect()
    }

    /// Rules 1 to 3.
    fn firm(&self, along: &Along) -> Option<Decided> {
        let firm = |press, reason| {
            Some(Decided {
                press,
                reason,
                soft: false,
            })
        };
        if along.meeting >= LUMP {
            return firm(Press::Open, APART);
        }
        match along.running_in[0].cmp(&along.running_in[1]) {
            Ordering::Less => return firm(Press::Left, FEWER),
            Ordering::Greater => return firm(Press::Right, FEWER),
            Ordering::Equal => {}
        }
        let [left, right] = along.light.map(|(sum, length)| sum / length);
        // Without cloth on a side its mean is no number, and nothing is decided.
        if left + SHOWS <= right {
            firm(Press::Left, DARKER)
        } else if right + SHOWS <= left {
            firm(Press::Right, DARKER)
        } else {
            None
        }
    }

    /// Rule 4. The first join of a kind decides for the others, if its parts differ.
    fn outward(&self, join: usize, decided: &mut BTreeMap<usize, usize>) -> Decided {
        let Segment { a, b } = self.made[join].seam;
        let (away, reason) = match turn_of(a, b, &self.middle) {
            // The middle is on the right hand, so the left is away from it.
            Ordering::Greater => (Press::Left, OUTWARD),
            Ordering::Less => (Press::Right, OUTWARD),
            Ordering::Equal => {
                // Downwards first, so y before x.
                let right_hand = (&a.y - &b.y, &b.x - &a.x);
                let lower = (right_hand.1, right_hand.0) > (Surd::ZERO, Surd::ZERO);
                (if lower { Press::Right } else { Press::Left }, EITHER)
            }
        };
        let parts = self.kinds.of_parts[join];
        let press = if parts[0] == parts[1] {
            away
        } else {
            let towards = if away == Press::Left {
                parts[0]
            } else {
                parts[1]
            };
            let kind = self.kinds.of_join[join];
            let towards = *decided.entry(kind).or_insert(towards);
            if towards == parts[0] {
                Press::Left
            } else {
                Press::Right
            }
        };
        let reason = if press == away { reason } else { EITHER };
        Decided {
            press,
            reason,
            soft: true,
        }
    }

    fn along(&self, sewn_by: &[Option<usize>]) -> Vec<Along> {
        let mut leaving = vec![Vec::new(); self.drawing.vertices.len()];
        let mut edges_of = vec![Vec::new(); self.made.len()];
        for (index, edge) in self.drawing.edges.iter().enumerate() {
            if let Some(join) = sewn_by[index] {
                leaving[edge.from].push(index);
                leaving[edge.to].push(index);
                edges_of[join].push(index);
            }
        }
        (0..self.made.len())
            .map(|join| self.along_one(join, &edges_of[join], &leaving))
            .collect()
    }

    fn along_one(&self, join: usize, edges: &[usize], leaving: &[Vec<usize>]) -> Along {
        let made = &self.made[join];
        let mut along = Along::default();
        let mut vertices: Vec<usize> = Vec::new();
        for &index in edges {
            let edge = &self.drawing.edges[index];
            let length = self.drawing.segment(index).length_f64();
            for patch in [edge.left, edge.right].into_iter().flatten() {
                let side = usize::from(made.left.patches.binary_search(&patch).is_err());
                if let Some(light) = self.lightness[patch] {
                    along.light[side].0 += light * length;
                    along.light[side].1 += length;
                }
            }
            vertices.extend([edge.from, edge.to]);
        }
        vertices.sort_unstable();
        vertices.dedup();
        for vertex in vertices {
            for &index in &leaving[vertex] {
                let edge = &self.drawing.edges[index];
                let within = |patches: &[usize]| {
                    let has = |face: Option<usize>| {
                        face.is_some_and(|face| patches.binary_search(&face).is_ok())
                    };
                    has(edge.left) && has(edge.right)
                };
                along.running_in[0] += usize::from(within(made.left.patches));
                along.running_in[1] += usize::from(within(made.right.patches));
            }
            let at = &self.drawing.vertices[vertex];
            if *at != made.seam.a && *at != made.seam.b {
                along.meeting = along.meeting.max(leaving[vertex].len());
            }
        }
        along
    }

    /// Turns soft decisions so that seams of one line nest where a later seam crosses.
    fn nest(&self, sewn_by: &[Option<usize>], decided: &mut [Decided]) {
        let mut settled = vec![false; self.made.len()];
        for [one, other] in self.crossings(sewn_by) {
            let (Some(p), Some(q)) = (self.side(one, decided), self.side(other, decided)) else {
                continue;
            };
            let same_way = self.made[one]
                .seam
                .vector()
                .dot(&self.made[other].seam.vector());
            let opposite = (p == q) != same_way.is_positive();
            if !opposite {
                let free = |join: usize| decided[join].soft && !settled[join];
                let Some(turned) = [other, one].into_iter().find(|&join| free(join)) else {
                    continue;
                };
                let back = decided[turned].press.turned();
                decided[turned] = Decided {
                    press: back,
                    reason: NESTS,
                    soft: true,
                };
            }
            settled[one] = true;
            settled[other] = true;
        }
    }

    /// Whether a join is pressed to the right of its seam; `None` when apart.
    fn side(&self, join: usize, decided: &[Decided]) -> Option<bool> {
        match decided[join].press {
            Press::Left => Some(false),
            Press::Right => Some(true),
            Press::Open => None,
        }
    }

    /// Pairs of joins whose seams lie on one line and meet at a seam sewn after both, in
    /// the order of that seam.
    fn crossings(&self, sewn_by: &[Option<usize>]) -> Vec<[usize; 2]> {
        let mut at: Vec<Vec<(usize, usize)>> = vec![Vec::new(); self.drawing.vertices.len()];
        for (index, edge) in self.drawing.edges.iter().enumerate() {
            if let Some(join) = sewn_by[index] {
                at[edge.from].push((join, edge.to));
                at[edge.to].push((join, edge.from));
            }
        }
        let mut pairs = Vec::new();
        for (vertex, ends) in at.iter().enumerate() {
            let point = |v: usize| &self.drawing.vertices[v];
            for (i, &(one, from)) in ends.iter().enumerate() {
                for &(other, to) in &ends[i + 1..] {
                    let straight = one != other
                        && turn_of(point(from), point(vertex), point(to)) == Ordering::Equal;
                    if !straight {
                        continue;
                    }
                    // The seam that passes through here last of all crosses the pair.
                    let later = ends.iter().map(|&(join, _)| join).max();
                    if let Some(later) = later.filter(|&later| later > one && later > other) {
                        pairs.push((later, vertex, [one.min(other), one.max(other)]));
                    }
                }
            }
        }
        pairs.sort_unstable();
        pairs.into_iter().map(|(.., pair)| pair).collect()
    }
}
