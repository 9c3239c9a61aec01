//! From patches and parts to shapes of a drawing: where each lies, which cloth it takes
//! and how that cloth lies under it.
//!
//! **Grain.** On the cloth the length runs down the page. A patch whose grain runs at g
//! degrees takes its cloth turned by g − 90, and its block's turn on top of that, so that
//! stripes and checks lie in the drawing as they will in the quilt.

use std::borrow::Cow;

use geometry::{Motion, Point, Polygon};
use quilt::block::Block;
use quilt::plan::{BlockId, ClothId, CutAlong, Direction, Plan};
use quilt::setting::{Part, PartKind, PartShape, PlacedBlock, cloth_of};

use crate::drawing::{ClothShape, Ink, Item, Lay, Path, Shape, Stroke};
use crate::flat::{self, P};

/// A motion of the plane in floats.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Moved {
    at: P,
    x: P,
    y: P,
    /// Degrees clockwise.
    pub(crate) turn: f64,
}

impl Moved {
    pub(crate) fn still() -> Self {
        Self {
            at: [0.0; 2],
            x: [1.0, 0.0],
            y: [0.0, 1.0],
            turn: 0.0,
        }
    }

    pub(crate) fn shifted(by: P) -> Self {
        Self {
            at: by,
            ..Self::still()
        }
    }

    pub(crate) fn of(motion: &Motion) -> Self {
        Self {
            at: motion.apply(&Point::ORIGIN).to_f64(),
            x: motion.apply_vector(&Point::ints(1, 0)).to_f64(),
            y: motion.apply_vector(&Point::ints(0, 1)).to_f64(),
            turn: motion.angle_degrees(),
        }
    }

    pub(crate) fn then_by(mut self, shift: P) -> Self {
        self.at = flat::add(self.at, shift);
        self
    }

    pub(crate) fn point(&self, p: P) -> P {
        std::array::from_fn(|i| self.at[i] + p[0] * self.x[i] + p[1] * self.y[i])
    }

    pub(crate) fn points(&self, ring: &[P]) -> Vec<P> {
        ring.iter().map(|&p| self.point(p)).collect()
    }
}

/// The corners of an exact outline.
pub(crate) fn corners(outline: &Polygon) -> Vec<P> {
    outline.points().iter().map(Point::to_f64).collect()
}

/// A block in its cloths, wherever it lies.
pub(crate) struct Dressed<'a> {
    plan: &'a Plan,
    block: &'a Block,
    placed: Cow<'a, PlacedBlock>,
}

impl<'a> Dressed<'a> {
    /// A block that lies in the top.
    pub(crate) fn placed(plan: &'a Plan, block: &'a Block, placed: &'a PlacedBlock) -> Self {
        Self {
            plan,
            block,
            placed: Cow::Borrowed(placed),
        }
    }

    /// A block by itself, in the cloths this copy of it takes.
    pub(crate) fn alone(
        plan: &'a Plan,
        id: BlockId,
        block: &'a Block,
        colourway: Option<usize>,
        copy: u32,
    ) -> Self {
        let placed = PlacedBlock {
            row: 0,
            column: 0,
            between: false,
            diagonal: None,
            border: None,
            block: id,
            colourway,
            turn: 0,
            copy,
            motion: Motion::identity(),
            scraps: std::collections::BTreeMap::new(),
        };
        Self {
            plan,
            block,
            placed: Cow::Owned(placed),
        }
    }

    /// The cloth of a patch, unless no place claims it.
    pub(crate) fn cloth(&self, patch: usize) -> Option<ClothId> {
        let place = self.block.patches[patch].place?;
        Some(cloth_of(self.plan, &self.placed, place, patch))
    }

    /// Whether a patch lies in dark cloth.
    pub(crate) fn is_dark(&self, patch: usize) -> bool {
        self.cloth(patch).is_some_and(|c| is_dark(self.plan, c))
    }

    /// The lines of some of its patches.
    pub(crate) fn lines(&self, of: &[usize], moved: &Moved) -> Lines {
        Lines::of(self.block, of, moved, &|i| self.is_dark(i))
    }

    /// The patch as a shape: cloth, or bare paper while it has none.
    pub(crate) fn shape(&self, patch: usize, moved: &Moved) -> Item {
        let p = &self.block.patches[patch];
        let outline = moved.points(&corners(&p.outline));
        match self.cloth(patch) {
            Some(cloth) => {
                // A print with a direction is cut to stand upright in the block, if the
                // piece lies square to it; any other follows the grain arrow.
                let square = |angle: f64| (angle / 90.0 - (angle / 90.0).round()).abs() < 1e-9;
                let upright = self.plan.cloth(cloth).direction != Direction::Free
                    && square(p.grain)
                    && square(p.from_template.angle_degrees());
                let turn = if upright { 0.0 } else { p.grain - 90.0 };
                cloth_item(outline, cloth, moved.turn + turn)
            }
            None => Shape::filled(vec![Path::ring(outline)], Ink::Paper).into(),
        }
    }
}

fn cloth_item(outline: Vec<P>, cloth: ClothId, turn: f64) -> Item {
    ClothShape {
        outline,
        cloth: cloth.0,
        lay: Lay { turn, at: [0.0; 2] },
    }
    .into()
}

/// All patches of a placed block.
pub(crate) fn placed_patches<'a>(
    plan: &'a Plan,
    block: &'a Block,
    placed: &'a PlacedBlock,
) -> impl Iterator<Item = Item> + 'a {
    let dressed = Dressed::placed(plan, block, placed);
    let moved = Moved::of(&placed.motion);
    (0..block.patches.len()).map(move |i| dressed.shape(i, &moved))
}

/// A part of the top that belongs to no block.
pub(crate) fn part_shape(plan: &Plan, part: &Part) -> Item {
    let outline = corners(&part.outline);
    let turn = part_turn(plan, part, &outline);
    cloth_item(outline, part.cloth, turn)
}

/// How the cloth of a part lies: strips are cut across the cloth unless the plan says
/// along; triangles have the straight grain on the sides [`PartShape`] says.
fn part_turn(plan: &Plan, part: &Part, outline: &[P]) -> f64 {
    let long = flat::edges(outline)
        .map(|[a, b]| flat::sub(b, a))
        .fold([0.0; 2], |best: P, e| {
            if flat::length(e) > flat::length(best) + 1e-9 {
                e
            } else {
                best
            }
        });
    let along = match part.kind {
        PartKind::BorderSide(i) | PartKind::BorderEnd(i) => plan
            .borders
            .get(i)
            .is_some_and(|b| b.cut == CutAlong::Length),
        _ => false,
    };
    let turn = flat::degrees(long);
    match part.shape {
        PartShape::Rectangle if part.length == part.width => upright(turn, 90.0),
        PartShape::Rectangle | PartShape::MitredStrip if along => upright(turn - 90.0, 180.0),
        PartShape::Rectangle | PartShape::MitredStrip => upright(turn, 180.0),
        // The short sides stand at 45° to the long one.
        PartShape::HalfSquare => upright(turn - 45.0, 90.0),
        PartShape::QuarterSquare => upright(turn, 90.0),
    }
}

/// The turn nearest to none among those that differ by `step` degrees.
fn upright(turn: f64, step: f64) -> f64 {
    turn - step * (turn / step).round()
}

/// The lines between and around patches, each once.
#[derive(Default)]
pub(crate) struct Lines {
    /// Seams with light cloth on at least one side.
    pub(crate) seams: Vec<Path>,
    /// Seams between two dark cloths, where only a light line shows.
    pub(crate) in_dark: Vec<Path>,
    /// The outline of the patches.
    pub(crate) outline: Vec<Path>,
}

impl Lines {
    /// The lines of the patches `of` (ascending); `dark` tells which lie in dark cloth.
    pub(crate) fn of(
        block: &Block,
        of: &[usize],
        moved: &Moved,
        dark: &dyn Fn(usize) -> bool,
    ) -> Self {
        let drawn = &block.drafted.arrangement;
        let among = |side: Option<usize>| side.filter(|f| of.binary_search(f).is_ok());
        let [mut seams, mut in_dark, mut outline] = [Vec::new(), Vec::new(), Vec::new()];
        for edge in &drawn.edges {
            let list = match (among(edge.left), among(edge.right)) {
                (None, None) => continue,
                (Some(a), Some(b)) if dark(a) && dark(b) => &mut in_dark,
                (Some(_), Some(_)) => &mut seams,
                _ => &mut outline,
            };
            list.push([edge.from, edge.to].map(|v| moved.point(drawn.vertices[v].to_f64())));
        }
        Self {
            seams: joined(&seams),
            in_dark: joined(&in_dark),
            outline: joined(&outline),
        }
    }

    /// The lines of the whole block, without regard to cloth.
    pub(crate) fn of_all(block: &Block, moved: &Moved) -> Self {
        let all: Vec<usize> = (0..block.patches.len()).collect();
        Self::of(block, &all, moved, &|_| false)
    }
}

/// Whether a cloth is so dark that an ink line is lost in it: lightness below 35 of 100.
pub(crate) fn is_dark(plan: &Plan, cloth: ClothId) -> bool {
    quilt::colour::lab(plan.cloth(cloth).colour)[0] < 35.0
}

/// Joins lines end to end into longer ones where one continues the other: fewer words in
/// the file, and dashes that do not begin anew at every corner.
pub(crate) fn joined(lines: &[[P; 2]]) -> Vec<Path> {
    let mut chains: Vec<Vec<P>> = Vec::new();
    let mut used = vec![false; lines.len()];
    let near = |a: P, b: P| (a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9;
    let mut at: std::collections::BTreeMap<[i64; 2], Vec<usize>> =
        std::collections::BTreeMap::new();
    for (i, line) in lines.iter().enumerate() {
        for &end in line {
            at.entry(cell(end)).or_default().push(i);
        }
    }
    for start in 0..lines.len() {
        if used[start] {
            continue;
        }
        used[start] = true;
        let mut chain: Vec<P> = lines[start].to_vec();
        for _ in 0..2 {
            while let Some(next) = continuation(&chain, lines, &used, &at) {
                used[next] = true;
                let [a, b] = lines[next];
                let end = chain[chain.len() - 1];
                chain.push(if near(a, end) { b } else { a });
                drop_straight(&mut chain);
            }
            chain.reverse();
        }
        chains.push(chain);
    }
    chains.into_iter().map(closed_if_ring).collect()
}

/// Whole ten-millionths of an inch, to find ends that meet.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a quilt is a few hundred inches wide"
)]
fn cell(p: P) -> [i64; 2] {
    p.map(|x| (x * 1e7).round() as i64)
}

/// An unused line that goes on from the chain's end, straight on if there is one.
fn continuation(
    chain: &[P],
    lines: &[[P; 2]],
    used: &[bool],
    at: &std::collections::BTreeMap<[i64; 2], Vec<usize>>,
) -> Option<usize> {
    let end = chain[chain.len() - 1];
    let along = flat::unit(flat::sub(end, chain[chain.len() - 2]));
    let bend = |i: usize| {
        let [a, b] = lines[i];
        let far = if cell(a) == cell(end) { b } else { a };
        1.0 - flat::dot(along, flat::unit(flat::sub(far, end)))
    };
    at.get(&cell(end))?
        .iter()
        .copied()
        .filter(|&i| !used[i])
        .min_by(|&i, &j| bend(i).total_cmp(&bend(j)))
}

/// Takes out the last point but one when the chain runs straight through it.
fn drop_straight(chain: &mut Vec<P>) {
    if let [.., a, b, c] = chain[..] {
        let (u, v) = (flat::sub(b, a), flat::sub(c, b));
        if flat::cross(u, v).abs() < 1e-9 && flat::dot(u, v) > 0.0 {
            chain.remove(chain.len() - 2);
        }
    }
}

fn closed_if_ring(mut points: Vec<P>) -> Path {
    let closed = points.len() > 3 && cell(points[0]) == cell(points[points.len() - 1]);
    if closed {
        points.pop();
    }
    Path { points, closed }
}

/// The strokes drawings of patches share.
pub(crate) mod strokes {
    use super::{Ink, Stroke};

    /// Seams over cloth.
    pub(crate) fn seam() -> Stroke {
        Stroke::new(Ink::Quiet, 0.45)
    }

    /// Seams between dark cloths.
    pub(crate) fn seam_in_dark() -> Stroke {
        Stroke::new(Ink::Pale, 0.45)
    }

    /// The edge of a block or unit.
    pub(crate) fn edge() -> Stroke {
        Stroke::new(Ink::Ink, 0.9)
    }

    /// What is only there to place the rest.
    pub(crate) fn pale() -> Stroke {
        Stroke::new(Ink::Pale, 0.5)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_joined_without_losing_any() {
        // A window of four panes: 12 lines of length 1.
        let mut lines = Vec::new();
        for i in 0..3 {
            for j in 0..2 {
                let (i, j) = (f64::from(i), f64::from(j));
                lines.push([[j, i], [j + 1.0, i]]);
                lines.push([[i, j + 1.0], [i, j]]);
            }
        }
        let paths = joined(&lines);
        let total: f64 = paths
            .iter()
            .map(|p| {
                let ends = if p.closed {
                    p.points.len()
                } else {
                    p.points.len() - 1
                };
                flat::edges(&p.points)
                    .take(ends)
                    .map(|[a, b]| flat::length(flat::sub(b, a)))
                    .sum::<f64>()
            })
            .sum();
        assert!((total - 12.0).abs() < 1e-12, "length {total}");
        assert!(paths.len() <= 6, "{} paths for 12 lines", paths.len());
    }

    #[test]
    fn turns_are_brought_upright() {
        assert_eq!(
            [
                upright(180.0, 180.0),
                upright(135.0, 90.0),
                upright(-90.0, 90.0)
            ],
            [0.0, -45.0, 0.0]
        );
    }
}
