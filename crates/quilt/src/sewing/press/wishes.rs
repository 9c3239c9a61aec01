//! What each seam would like by itself, whatever it meets.
//!
//! Where eight or more patches meet on a seam, it would make a lump to one side, and the
//! plan looks whether it does better apart. To one side, the first of these decides:
//!
//! 1. away from the side with more seams running into this one: fewer layers are folded,
//!    and points stay flat;
//! 2. towards the darker cloth, where value shows: a dark allowance must not shine
//!    through light cloth. The cloths along the seam count by their length on it;
//! 3. away from the middle of the block, as the strips of a round are; along the middle
//!    itself down the page, else to the right.
//!
//! On a foundation nothing is left to wish: a piece is turned over away from those sewn
//! before it, and its seam lies under it.
//!
//! Sources: to the darker cloth, apart where there are many layers, opposing ways so that
//! seams nest: "Pressing Quilt Seams", National Quilters Circle, and the teaching page
//! "Rotate pressing". The order of the rules is our choice.

use std::cmp::Ordering;

use geometry::{Point, Segment, Surd, turn_of};

use super::super::seams::Seams;
use super::super::{BlockSewing, Join, Press};
use super::{DARKER, FEWER, OUTWARD};
use crate::block::Block;
use crate::colour::lightness;
use crate::plan::Plan;

/// From this difference of L\* on, value shows: one step of the Munsell scale, below
/// which cloths blend. Our choice; no published figure was found. Smaller, and seams
/// turn this way and that for shades nobody sees; larger, and shadows show.
const SHOWS: f64 = 10.0;

/// This many patches meeting at a point make the seam over it lie better apart. A four-
/// patch (4) still nests; in a pinwheel (8) thirteen layers would lie on one spot.
pub(super) const LUMP: usize = 8;

/// A step of lightness times a length (L\* times inches) that weighs one.
const SHADOW: f64 = 60.0;

/// What the other way costs on a foundation, where there is none: more than all that could
/// be gained by it.
const SETTLED: i64 = 100_000;

pub(super) const APART: &str = "eight or more patches meet on it";
const FEWER_LAYERS: &str = "away from the seams on the other side, for less bulk";
const DARKER_CLOTH: &str = "towards the darker cloth";
const OUTWARDS: &str = "away from the middle of the block";
const ADDED: &str = "towards the piece just sewn on, as it is turned over";
const EITHER: &str = "to one side; either would do";

/// What a seam would like.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish {
    pub(super) press: Press,
    pub(super) reason: &'static str,
    /// What the other way costs.
    pub(super) weight: i64,
    /// Which way leads away from the middle of the block, if one does.
    pub(super) away: Option<Press>,
    /// Whether it makes a lump to one side.
    pub(super) lump: bool,
}

impl Wish {
    /// Whether nothing is left to choose: the seam lies under a piece on a foundation.
    pub(super) fn settled(&self) -> bool {
        self.weight == SETTLED
    }
}

/// What lies along a seam.
#[derive(Default)]
pub(super) struct Along {
    /// Seams running into it from the left and from the right.
    pub(super) running_in: [usize; 2],
    /// The most seams that meet at a point inside it.
    meeting: usize,
    /// Sum of L\* times length, and of length, on the left and on the right.
    pub(super) light: [(f64, f64); 2],
}

/// The wish of each join.
pub(super) fn wishes(plan: &Plan, sewn: &BlockSewing, seams: &Seams<'_>) -> Vec<Wish> {
    let light = lightness_of(plan, sewn, seams);
    let (low, high) = seams.block.drafted.outline.bounds();
    let middle = Point::midpoint(&low, &high);
    (0..sewn.joins.len())
        .map(|join| {
            let (outward, away) = outward(&sewn.joins[join].seam, &middle);
            if let Some(new) = added(seams.block, &sewn.joins[join]) {
                return Wish {
                    lump: false,
                    press: new,
                    reason: ADDED,
                    weight: SETTLED,
                    away,
                };
            }
            let along = along(seams, join, &light);
            let (press, reason, weight) = firm(&along).unwrap_or(outward);
            Wish {
                lump: along.meeting >= LUMP,
                press,
                reason,
                weight,
                away,
            }
        })
        .collect()
}

/// The side of the patch that a seam on a foundation adds; `None` for other seams.
fn added(block: &Block, join: &Join) -> Option<Press> {
    let founded = block.foundation.as_ref()?;
    let first = *join.unit.first()?;
    if !join
        .unit
        .iter()
        .all(|&patch| founded.together(first, patch))
    {
        return None;
    }
    let number = |side: &[usize]| side.iter().map(|&patch| founded.of_patch[patch].1).max();
    Some(if number(&join.left) > number(&join.right) {
        Press::Left
    } else {
        Press::Right
    })
}

/// L\* of each patch's cloth: the mean where its place takes several in turn.
fn lightness_of(plan: &Plan, sewn: &BlockSewing, seams: &Seams<'_>) -> Vec<Option<f64>> {
    let places = &plan.block(sewn.block).places;
    let of_place = |place: usize| {
        let cloths = &places.get(place)?.cloths;
        let sum: f64 = cloths
            .iter()
            .map(|&cloth| lightness(plan.cloth(cloth)))
            .sum();
        let count = u32::try_from(cloths.len())
            .ok()
            .filter(|&count| count > 0)?;
        Some(sum / f64::from(count))
    };
    let patches = seams.block.patches.iter();
    patches
        .map(|patch| patch.place.and_then(of_place))
        .collect()
}

/// Rules 1 and 2.
pub(super) fn firm(along: &Along) -> Option<(Press, &'static str, i64)> {
    match along.running_in[0].cmp(&along.running_in[1]) {
        Ordering::Less => return Some((Press::Left, FEWER_LAYERS, FEWER)),
        Ordering::Greater => return Some((Press::Right, FEWER_LAYERS, FEWER)),
        Ordering::Equal => {}
    }
    let [left, right] = along.light.map(|(sum, length)| sum / length);
    // Without cloth on a side its mean is no number, and nothing is decided.
    let step = (left - right).abs();
    let shadow = (step * along.light[0].1 / SHADOW).round() as i64;
    let weight = shadow.clamp(OUTWARD + 1, DARKER);
    if left + SHOWS <= right {
        Some((Press::Left, DARKER_CLOTH, weight))
    } else if right + SHOWS <= left {
        Some((Press::Right, DARKER_CLOTH, weight))
    } else {
        None
    }
}

/// Rule 3, and which way is away from the middle.
fn outward(
    Segment { a, b }: &Segment,
    middle: &Point,
) -> ((Press, &'static str, i64), Option<Press>) {
    let away = match turn_of(a, b, middle) {
        // The middle is on the right hand, so the left is away from it.
        Ordering::Greater => Some(Press::Left),
        Ordering::Less => Some(Press::Right),
        Ordering::Equal => None,
    };
    if let Some(away) = away {
        return ((away, OUTWARDS, OUTWARD), Some(away));
    }
    // Downwards first, so y before x.
    let right_hand = (&b.x - &a.x, &a.y - &b.y);
    let lower = right_hand > (Surd::ZERO, Surd::ZERO);
    let press = if lower { Press::Right } else { Press::Left };
    ((press, EITHER, 0), None)
}

fn along(seams: &Seams<'_>, join: usize, light: &[Option<f64>]) -> Along {
    let drawing = &seams.block.drafted.arrangement;
    let made = &seams.joins[join];
    let mut along = Along::default();
    for &index in &seams.edges[join] {
        let edge = &drawing.edges[index];
        let length = drawing.segment(index).length_f64();
        for patch in [edge.left, edge.right].into_iter().flatten() {
            let side = usize::from(made.left.binary_search(&patch).is_err());
            if let Some(light) = light[patch] {
                along.light[side].0 += light * length;
                along.light[side].1 += length;
            }
        }
    }
    for vertex in seams.vertices(join) {
        along.running_in[0] += seams.running_in(vertex, &made.left);
        along.running_in[1] += seams.running_in(vertex, &made.right);
    }
    for vertex in seams.inner_vertices(join) {
        let inner = seams.at[vertex]
            .iter()
            .filter(|&&edge| seams.by_edge[edge].is_some());
        along.meeting = along.meeting.max(inner.count());
    }
    along
}
