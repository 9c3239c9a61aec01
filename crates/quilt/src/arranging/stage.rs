//! The plan's own setting: its symmetry, its figures, what the eye takes from them.

use super::figures::{common, figures};
use super::likeness::{Classes, Likeness};
use super::motif;
use super::others::{self, Others};
use super::pose::{Pose, own_symmetry};
use super::says::{Tally, sentence, tallies};
use super::wallpaper::{Wallpaper, squared, symmetry};
use super::weight::{Weight, reason, weights};
use crate::plan::{BlockId, CellPlan, Kind, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// What is seen in the plan's own setting.
#[derive(Clone, PartialEq, Debug)]
pub struct Arranging {
    /// Its symmetry if it went on without end, cloth by cloth.
    pub symmetry: Wallpaper,
    /// The figures by cloth, then by family of colour.
    pub figures: Vec<Tally>,
    /// What the families weigh, the heaviest first.
    pub weights: Vec<Weight>,
    /// The families' figures that reach over more than one block, in a sentence.
    pub says: String,
    /// Which family stands out, and why.
    pub reason: String,
    /// What the other turns of the blocks would have shown; `None` where there is no
    /// choice, and on point or with sashing.
    pub others: Option<Others>,
}

/// Works it out. `blocks` has one entry a block of the plan, all there.
#[must_use]
pub fn work_out(plan: &Plan, blocks: &Blocks, top: &Top) -> Arranging {
    let by_cloth = figures(plan, blocks, top, Classes::of(plan, Likeness::Cloth));
    let by_family = figures(plan, blocks, top, Classes::of(plan, Likeness::Family));
    let wide: Vec<bool> = by_family
        .figures
        .iter()
        .map(|figure| figure.blocks.len() > 1)
        .collect();
    let mut told = by_family.clone();
    let mut keep = wide.iter();
    let classes: std::collections::BTreeSet<usize> = told
        .figures
        .iter()
        .filter(|_| *keep.next().unwrap_or(&false))
        .map(|figure| figure.class)
        .collect();
    told.figures
        .retain(|figure| classes.contains(&figure.class));
    let weights = weights(plan, &by_family);
    let others = others::work_out(plan, blocks, &weights, &by_family.classes);
    let mut all = tallies(plan, &by_cloth);
    all.extend(tallies(plan, &by_family));
    Arranging {
        symmetry: plan_symmetry(plan, blocks),
        figures: all,
        says: sentence(&tallies(plan, &told)),
        reason: reason(&weights),
        weights,
        others,
    }
}

/// A cell's content for comparing: the block, its colourway, and the first of the poses
/// in which it looks as it does.
type Look = (BlockId, Option<usize>, Pose);

/// A block and its colourway.
type Dressed = (BlockId, Option<usize>);

/// The symmetry of the plan's setting if it went on without end. Sashing and triangles
/// share it; of cloths taken in turn the first counts.
#[must_use]
pub fn plan_symmetry(plan: &Plan, blocks: &Blocks) -> Wallpaper {
    let mut known: Vec<(Dressed, Vec<Pose>)> = Vec::new();
    let mut look = |cell: &CellPlan| -> Look {
        let key = (cell.block, cell.colourway);
        if !known.iter().any(|(k, _)| *k == key) {
            known.push((key, own(plan, blocks, cell)));
        }
        (cell.block, cell.colourway, Pose::new(cell.turn, false))
    };
    let (rows, columns, cells) = lattice(plan);
    let looks: Vec<Look> = cells.iter().map(&mut look).collect();
    let least = |(block, colourway, pose): Look| -> Look {
        let own = known
            .iter()
            .find(|(k, _)| *k == (block, colourway))
            .map_or(&[][..], |(_, own)| own);
        let same = own.iter().map(|o| pose.after(*o)).min().unwrap_or(pose);
        (block, colourway, same)
    };
    let looks: Vec<Look> = looks.into_iter().map(least).collect();
    let (side, looks) = squared(rows, columns, &looks);
    let oblong = plan.blocks.iter().any(|b| b.width != b.height);
    symmetry(side, &looks, oblong, |turn, &(block, way, pose)| {
        least((block, way, turn.after(pose)))
    })
}

fn own(plan: &Plan, blocks: &Blocks, cell: &CellPlan) -> Vec<Pose> {
    let Some(block) = blocks.get(cell.block.0).and_then(Option::as_deref) else {
        return vec![Pose::UPRIGHT];
    };
    let cloth = |place| motif::cloth(plan, (cell.block, cell.colourway), place);
    let worn: Vec<_> = block
        .patches
        .iter()
        .map(|p| p.place.and_then(cloth))
        .collect();
    own_symmetry(block, &worn)
}

/// The repeat as rows and columns of cells. On point, held so that the diagonal rows lie
/// level: cells of the main blocks and of those between take turns.
fn lattice(plan: &Plan) -> (usize, usize, Vec<CellPlan>) {
    let main = &plan.setting.cells;
    let Kind::OnPoint { between, .. } = &plan.setting.kind else {
        return (main.rows, main.columns, main.cells.clone());
    };
    let of = |n: usize| u32::try_from(n).unwrap_or(1).max(1);
    let around = [main.rows, main.columns, between.rows, between.columns]
        .into_iter()
        .map(of)
        .fold(1, common);
    let side = i64::from(2 * around);
    let cell = |u: i64, v: i64| {
        let (column, row, of) = if (u + v) % 2 == 0 {
            ((u + v) / 2 - 1, (v - u) / 2 - 1, between)
        } else {
            ((u + v - 1) / 2, (v - 1 - u).div_euclid(2), main)
        };
        let within = |n: i64| u32::try_from(n.rem_euclid(side)).unwrap_or(0);
        *of.at(within(row), within(column))
    };
    let cells = (0..side)
        .flat_map(|v| (0..side).map(move |u| (u, v)))
        .map(|(u, v)| cell(u, v));
    let side = 2 * around as usize;
    (side, side, cells.collect())
}
