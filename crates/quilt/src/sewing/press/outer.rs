//! The seams of the top outside its blocks, as pressing sees them.
//!
//! They are weighed by the rules of the seams in blocks: away from the side with more seams
//! running in, as many times as there are more, else to the darker cloth, else towards the sash or border. What lies along
//! them is read off the finished top: ends of seams that stop on their line, and the cloths
//! on either side by the length they lie there.

use std::collections::BTreeMap;

use geometry::{Point, Segment, Surd};

use super::super::Press;
use super::problem::lies;
use super::wishes::{self, Along};
use super::{FEWER, OUTWARD, Work};
use crate::colour::lightness;
use crate::plan::{ClothId, Plan};
use crate::setting::cloth_of;

/// Seams of the top that are pressed as one.
///
/// In the order they are sewn.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Group {
    /// Within a row, by its number from 0 among all rows. Yes: along the row, or towards
    /// its sashes.
    Row(usize),
    /// Between a row and the next. Yes: towards the next.
    Between(usize),
    /// Of a long sash or corner triangle sewn to the joined rows. Yes: towards it.
    Outside(usize),
    /// Between the units of a pieced border: which border, and whether of its sides. Yes:
    /// clockwise round the top.
    Strips(usize, bool),
    /// Of a border's left and right strips. Yes: towards the border.
    Sides(usize),
    /// Between a border's corner squares or blocks and its strips. Yes: towards the strip.
    Squares(usize),
    /// Of a border's top and bottom strips. Yes: towards the border.
    Ends(usize),
}

impl Group {
    /// Its place in the order of the work.
    pub(in crate::sewing) fn order(self) -> (usize, usize) {
        match self {
            Self::Row(_) => (0, 0),
            Self::Between(_) => (0, 1),
            Self::Outside(_) => (0, 2),
            Self::Strips(ring, _) => (ring + 1, 0),
            Self::Sides(ring) => (ring + 1, 1),
            Self::Squares(ring) => (ring + 1, 2),
            Self::Ends(ring) => (ring + 1, 3),
        }
    }
}

/// How seams of the top that are pressed as one are pressed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TopPress {
    /// Which seams.
    pub group: Group,
    /// Which way; see [`Group`].
    pub yes: bool,
    /// Whether they are pressed apart instead.
    pub apart: bool,
    /// Why.
    pub reason: &'static str,
}

impl TopPress {
    /// Whether nothing speaks for one way or the other.
    #[must_use]
    pub fn is_free(&self) -> bool {
        self.reason == EITHER
    }
}

/// One seam of the top outside its blocks.
pub(in crate::sewing) struct TopSeam {
    pub(in crate::sewing) group: Group,
    pub(in crate::sewing) seam: Segment,
    /// Which way it is pressed when its group's choice is yes.
    pub(in crate::sewing) towards: Point,
    /// Whether yes leads to the sash, triangle or border that the seam adds; none where it
    /// lies between equals.
    pub(in crate::sewing) sash: Option<bool>,
}

/// All seams of the top outside its blocks.
pub(in crate::sewing) struct TopSeams {
    pub(in crate::sewing) seams: Vec<TopSeam>,
    /// Groups that would like to be pressed alike, or opposite ways.
    pub(in crate::sewing) alike: Vec<(Group, Group, bool)>,
    /// How many rows there are.
    pub(in crate::sewing) rows: usize,
    /// The row of each block (`false`) and part (`true`) that lies in one.
    pub(in crate::sewing) row_of: BTreeMap<(bool, usize), usize>,
}

impl TopSeams {
    /// Every group that is pressed one way, rows first.
    pub(super) fn groups(&self) -> Vec<Group> {
        let rows = (0..self.rows).map(Group::Row);
        let mut groups: Vec<Group> = self.seams.iter().map(|seam| seam.group).collect();
        groups.extend(rows);
        groups.sort_unstable();
        groups.dedup();
        groups
    }
}

/// What one seam would like.
#[derive(Clone, Copy, Debug)]
pub(super) struct OuterWish {
    /// Whether its group should say yes.
    pub(super) yes: bool,
    pub(super) weight: i64,
    pub(super) reason: &'static str,
}

pub(super) const TO_SASH: &str = "nothing asks for another way";
pub(super) const EITHER: &str = "either way would do";
pub(super) const LIKE_OTHERS: &str = "like most other seams of its kind";

/// The wish of every seam.
pub(super) fn wishes(plan: &Plan, work: &Work<'_>) -> Vec<OuterWish> {
    let seams = &work.outer.seams;
    let lines = Lines::of(seams);
    let mut along: Vec<Along> = seams.iter().map(|_| Along::default()).collect();
    // A seam sewn later does not run in: it ends on this one from outside.
    let mut ends = |point: &Point, into: &Point, sewn: Option<Group>| {
        for seam in lines.through(point) {
            if sewn.is_some_and(|sewn| sewn.order() >= seams[seam].group.order()) {
                continue;
            }
            if let Some(side) = side_of(&seams[seam].seam, into) {
                along[seam].running_in[side] += 1;
            }
        }
    };
    for placed in &work.top.blocks {
        let Some(part) = work.part_of[placed.block.0] else {
            continue;
        };
        let motion = lies(work, part, placed, false);
        for end in &work.parts[part].ends {
            ends(
                &motion.apply(&end.at.0),
                &motion.apply_vector(&end.at.1),
                None,
            );
        }
    }
    for TopSeam { seam, group, .. } in seams {
        ends(&seam.a, &(&seam.b - &seam.a), Some(*group));
        ends(&seam.b, &(&seam.a - &seam.b), Some(*group));
    }
    let mut lights: BTreeMap<ClothId, f64> = BTreeMap::new();
    let mut lie = |stretch: &Segment, inward: &Point, cloth: ClothId| {
        for seam in lines.through(&stretch.middle()) {
            let Some(side) = side_of(&seams[seam].seam, inward) else {
                continue;
            };
            let light = lights
                .entry(cloth)
                .or_insert_with(|| lightness(plan.cloth(cloth)));
            let length = stretch.length_f64();
            along[seam].light[side].0 += *light * length;
            along[seam].light[side].1 += length;
        }
    };
    for placed in &work.top.blocks {
        let Some(part) = work.part_of[placed.block.0] else {
            continue;
        };
        let block = work.parts[part].seams.block;
        let drawing = &block.drafted.arrangement;
        for (index, edge) in drawing.edges.iter().enumerate() {
            let ((Some(patch), None) | (None, Some(patch))) = (edge.left, edge.right) else {
                continue;
            };
            let Some(place) = block.patches[patch].place else {
                continue;
            };
            let flat = drawing.segment(index);
            let right = right_of(&flat);
            let inward = if edge.right.is_some() { right } else { -&right };
            let stretch = Segment {
                a: placed.motion.apply(&flat.a),
                b: placed.motion.apply(&flat.b),
            };
            let cloth = cloth_of(plan, placed, place, patch);
            lie(&stretch, &placed.motion.apply_vector(&inward), cloth);
        }
    }
    for part in &work.top.parts {
        for edge in part.outline.edges() {
            // An outline runs clockwise on the page, with its inside on the right.
            lie(&edge, &right_of(&edge), part.cloth);
        }
    }
    seams
        .iter()
        .zip(&along)
        .map(|(seam, along)| wish(seam, along))
        .collect()
}

fn wish(seam: &TopSeam, along: &Along) -> OuterWish {
    let right = right_of(&seam.seam);
    let yes_is_right = seam.towards.dot(&right).is_positive();
    match (wishes::firm(along), seam.sash) {
        (Some((press, reason, weight)), _) => {
            let [left, right] = along.running_in;
            // These seams are long: each seam that runs in counts.
            let more = i64::try_from(left.abs_diff(right)).unwrap_or(i64::MAX / FEWER);
            OuterWish {
                yes: (press == Press::Right) == yes_is_right,
                weight: weight.max(FEWER * more),
                reason,
            }
        }
        (None, Some(sash)) => OuterWish {
            yes: sash,
            weight: OUTWARD,
            reason: TO_SASH,
        },
        (None, None) => OuterWish {
            yes: true,
            weight: 0,
            reason: EITHER,
        },
    }
}

/// The right hand of a run, y down: a quarter turn clockwise.
fn right_of(seam: &Segment) -> Point {
    let run = seam.vector();
    Point::new(-&run.y, run.x)
}

/// 0 for the left of a seam, 1 for the right, none along it.
fn side_of(seam: &Segment, way: &Point) -> Option<usize> {
    let over = right_of(seam).dot(way);
    (!over.is_zero()).then(|| usize::from(over.is_positive()))
}

/// Seams by the line they lie on: level, upright, and the two diagonals.
struct Lines<'a> {
    seams: &'a [TopSeam],
    on: [BTreeMap<Surd, Vec<usize>>; 4],
}

impl<'a> Lines<'a> {
    fn of(seams: &'a [TopSeam]) -> Self {
        let mut on: [BTreeMap<Surd, Vec<usize>>; 4] = Default::default();
        for (index, TopSeam { seam, .. }) in seams.iter().enumerate() {
            let run = seam.vector();
            let sort = if run.y.is_zero() {
                0
            } else if run.x.is_zero() {
                1
            } else if run.x == run.y {
                2
            } else {
                3
            };
            on[sort]
                .entry(offset(sort, &seam.a))
                .or_default()
                .push(index);
        }
        Self { seams, on }
    }

    /// The seams a point lies on, their ends included.
    fn through(&self, point: &Point) -> Vec<usize> {
        let mut all = Vec::new();
        for (sort, lines) in self.on.iter().enumerate() {
            if lines.is_empty() {
                continue;
            }
            let Some(seams) = lines.get(&offset(sort, point)) else {
                continue;
            };
            all.extend(seams.iter().copied().filter(|&index| {
                let Segment { a, b } = &self.seams[index].seam;
                (a.min(b)..=a.max(b)).contains(&point)
            }));
        }
        all
    }
}

/// What all points of a line of this sort have in common.
fn offset(sort: usize, point: &Point) -> Surd {
    match sort {
        0 => point.y.clone(),
        1 => point.x.clone(),
        2 => &point.y - &point.x,
        _ => &point.y + &point.x,
    }
}
