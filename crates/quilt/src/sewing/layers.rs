//! How many layers of cloth lie on each other, and where it is thickest.
//!
//! Each patch is its cut outline laid flat. A seam folds what overhangs it: pressed to
//! one side, the allowance of that side is turned back under its own unit and the other
//! one lies under it as it is; pressed apart, each is turned back under its own unit.
//! Seams are folded in working order, and then the layers are counted.
//!
//! ```text
//!    ═══╗                    one seam pressed to one side: three layers beside it;
//!    ───╝════   3  2  1      pressed apart: two on either side
//! ```
//!
//! **Units.** Inches; floating point, since layers are looked at and not cut. Slivers
//! below a ten-thousandth of a square inch are nobody's layer.
//!
//! **Knows nothing of** the thickness of a cloth, ears cut off after pressing (they are
//! still there: the count is the worst case), and of twirled seams.
//!
//! **Always holds.** Folding keeps area, so inside a block with all outer allowances
//! flat the sum of layers times area is the same however it is pressed, but for folds
//! that reach beyond the outline.

use geometry::{Point, Segment, offset_outline};

use super::seams::Seams;
use super::{BlockSewing, Join, Press};
use crate::block::Block;
use crate::plan::Plan;

type Spot = [f64; 2];

/// Layers on smaller areas than this do not count, square inches.
const SLIVER: f64 = 1e-4;
/// Two positions nearer than this are one.
const NEAR: f64 = 1e-7;

/// Where how many layers lie.
#[derive(Clone, PartialEq, Debug)]
pub struct Thick {
    /// The point of the drawing, in block coordinates.
    pub at: Point,
    /// The most layers near it.
    pub layers: usize,
    /// Patches that meet there.
    pub patches: Vec<usize>,
}

/// The thick places of a block.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LayerMap {
    /// The most layers anywhere.
    pub most: usize,
    /// The points inside the block where seams meet, thickest first.
    pub points: Vec<Thick>,
}

impl LayerMap {
    /// The thickest points, all of one thickness.
    #[must_use]
    pub fn thickest(&self) -> &[Thick] {
        let most = self.points.first().map_or(0, |point| point.layers);
        let end = self.points.partition_point(|point| point.layers == most);
        &self.points[..end]
    }

    /// The thickest point in words: how many layers, where, and which patches meet.
    /// `None` for a block of one seam or none, where nothing meets.
    #[must_use]
    pub fn say(&self, block: &Block) -> Option<String> {
        let thickest = self.thickest();
        let first = thickest.first()?;
        let of = first.patches.iter();
        let mut letters: Vec<String> = of.map(|&patch| block.called(patch)).collect();
        letters.sort_unstable();
        letters.dedup();
        let (low, high) = block.drafted.outline.bounds();
        let place = if first.at == Point::midpoint(&low, &high) {
            " in the middle of the block"
        } else {
            ""
        };
        let others = match thickest.len() {
            1 => String::new(),
            2 => "; one more point is as thick".into(),
            n => format!("; {} more points are as thick", n - 1),
        };
        Some(format!(
            "Thickest: {} layers where {} patches meet{place} ({}){others}.",
            first.layers,
            first.patches.len(),
            letters.join(", ")
        ))
    }
}

/// The layers near every point where seams meet.
pub(super) fn layer_map(plan: &Plan, block: &Block, sewn: &BlockSewing) -> LayerMap {
    let seam = plan.seam.to_f64();
    let ways: Vec<Press> = sewn.joins.iter().map(|join| join.press).collect();
    let pieces: Vec<Vec<Spot>> = folded(block, &sewn.joins, &ways, seam).concat();
    let seams = Seams::of(block, sewn);
    let drawing = &block.drafted.arrangement;
    let mut points: Vec<Thick> = Vec::new();
    for (vertex, edges) in seams.at.iter().enumerate() {
        if seam <= 0.0 || edges.iter().any(|&edge| seams.by_edge[edge].is_none()) {
            continue;
        }
        let at = &drawing.vertices[vertex];
        let [x, y] = at.to_f64();
        let window = [
            [x - 3.0 * seam, y - 3.0 * seam],
            [x + 3.0 * seam, y + 3.0 * seam],
        ];
        let most = counted(&pieces, window)
            .into_iter()
            .map(|cell| cell.layers)
            .max();
        let mut patches: Vec<usize> = edges
            .iter()
            .flat_map(|&edge| [drawing.edges[edge].left, drawing.edges[edge].right])
            .flatten()
            .collect();
        patches.sort_unstable();
        patches.dedup();
        points.push(Thick {
            at: at.clone(),
            layers: most.unwrap_or(0),
            patches,
        });
    }
    points.sort_by_key(|point| std::cmp::Reverse(point.layers));
    let alone = match ways.as_slice() {
        [] => 1,
        ways if ways.iter().all(|way| *way == Press::Open) => 2,
        _ => 3,
    };
    LayerMap {
        most: points
            .first()
            .map_or(alone, |point| point.layers.max(alone)),
        points,
    }
}

/// The layers of every patch after all seams are pressed.
///
/// - `ways`: the press of each join, in place of its own.
/// - returns for each patch its cut outline as folded, in parts.
#[must_use]
pub fn folded(block: &Block, joins: &[Join], ways: &[Press], seam: f64) -> Vec<Vec<Vec<Spot>>> {
    let mut layers: Vec<Vec<Vec<Spot>>> = block
        .patches
        .iter()
        .map(|patch| {
            let ring: Vec<Spot> = patch.outline.points().iter().map(Point::to_f64).collect();
            vec![offset_outline(&ring, &vec![seam; ring.len()])]
        })
        .collect();
    for (join, way) in joins.iter().zip(ways) {
        let line = Line::of(&join.seam);
        // The line of a seam may run on through a unit that has a corner turned in; then
        // only what touches the seam itself is folded.
        let all = join.outline.is_convex();
        let touches = |patch: usize| {
            let outline = &block.patches[patch].outline;
            outline.points().iter().any(|p| join.seam.contains(p))
                || [&join.seam.a, &join.seam.b]
                    .iter()
                    .any(|end| outline.edges().any(|edge| edge.contains(end)))
        };
        let fold = |layers: &mut Vec<Vec<Vec<Spot>>>, patches: &[usize], side: f64| {
            for &patch in patches.iter().filter(|&&patch| all || touches(patch)) {
                layers[patch] = layers[patch]
                    .iter()
                    .flat_map(|p| line.folded(p, side))
                    .collect();
            }
        };
        // The right hand of the seam is the positive side.
        if *way != Press::Right {
            fold(&mut layers, &join.left, -1.0);
        }
        if *way != Press::Left {
            fold(&mut layers, &join.right, 1.0);
        }
    }
    layers
}

/// A part of the cloth with so many layers.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Cell {
    /// How many.
    pub layers: usize,
    /// Square inches.
    pub area: f64,
}

/// Counts the layers within a box, part by part; parts without cloth are left out.
///
/// Cut into upright slabs at every corner and crossing; within a slab the outlines keep
/// their order, so areas are exact but for rounding.
#[must_use]
pub fn counted(pieces: &[Vec<Spot>], [low, high]: [Spot; 2]) -> Vec<Cell> {
    let near: Vec<&Vec<Spot>> = pieces
        .iter()
        .filter(|piece| {
            (0..2).all(|i| {
                piece.iter().any(|p| p[i] < high[i]) && piece.iter().any(|p| p[i] > low[i])
            })
        })
        .collect();
    // What happens outside the box changes nothing in it.
    let inside = |p: &&Spot| (0..2).all(|i| (low[i]..=high[i]).contains(&p[i]));
    let meets =
        |[a, b]: &[Spot; 2]| (0..2).all(|i| a[i].max(b[i]) >= low[i] && a[i].min(b[i]) <= high[i]);
    let all = near.iter().flat_map(|piece| sides(piece));
    let sides: Vec<[Spot; 2]> = all.filter(meets).collect();
    let mut cuts = vec![low[0], high[0]];
    cuts.extend(
        near.iter()
            .flat_map(|piece| piece.iter().filter(inside).map(|p| p[0])),
    );
    for (i, one) in sides.iter().enumerate() {
        cuts.extend(
            sides[i + 1..]
                .iter()
                .filter_map(|other| crossing(one, other)),
        );
        cuts.extend(
            [low[1], high[1]]
                .iter()
                .filter_map(|&y| crossing(one, &[[low[0] - 1.0, y], [high[0] + 1.0, y]])),
        );
    }
    cuts.retain(|x| (low[0]..=high[0]).contains(x));
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| *a - *b < NEAR);
    let slabs = cuts
        .windows(2)
        .flat_map(|cut| slab(&near, [cut[0], cut[1]], [low[1], high[1]]));
    slabs.filter(|cell| cell.area > SLIVER * 0.01).collect()
}

/// The cells of one slab.
fn slab(pieces: &[&Vec<Spot>], [from, to]: [f64; 2], [low, high]: [f64; 2]) -> Vec<Cell> {
    let x = f64::midpoint(from, to);
    let mut changes: Vec<(f64, i32)> = Vec::new();
    let mut at: Vec<f64> = Vec::new();
    for piece in pieces {
        at.clear();
        at.extend(
            sides(piece)
                .filter(|[a, b]| (a[0] < x) != (b[0] < x))
                .map(|[a, b]| a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0])),
        );
        at.sort_by(f64::total_cmp);
        for pair in at.chunks_exact(2) {
            changes.push((pair[0].clamp(low, high), 1));
            changes.push((pair[1].clamp(low, high), -1));
        }
    }
    changes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut cells = Vec::new();
    let mut layers = 0;
    for pair in changes.windows(2) {
        layers += pair[0].1;
        let area = (pair[1].0 - pair[0].0) * (to - from);
        if let Some(layers) = usize::try_from(layers)
            .ok()
            .filter(|&n| n > 0 && area > NEAR * NEAR)
        {
            cells.push(Cell { layers, area });
        }
    }
    cells
}

fn sides(piece: &[Spot]) -> impl Iterator<Item = [Spot; 2]> + '_ {
    (0..piece.len()).map(|i| [piece[i], piece[(i + 1) % piece.len()]])
}

/// The x at which two sides cross, if they do.
fn crossing([a, b]: &[Spot; 2], [c, d]: &[Spot; 2]) -> Option<f64> {
    let (ab, cd) = ([b[0] - a[0], b[1] - a[1]], [d[0] - c[0], d[1] - c[1]]);
    let turn = ab[0] * cd[1] - ab[1] * cd[0];
    if turn.abs() < NEAR {
        return None;
    }
    let ac = [c[0] - a[0], c[1] - a[1]];
    let t = (ac[0] * cd[1] - ac[1] * cd[0]) / turn;
    let u = (ac[0] * ab[1] - ac[1] * ab[0]) / turn;
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u)).then(|| a[0] + t * ab[0])
}

/// A seam line with its unit normal to the right hand.
pub(super) struct Line {
    at: Spot,
    normal: Spot,
}

impl Line {
    pub(super) fn of(seam: &Segment) -> Self {
        let [x, y] = seam.vector().to_f64();
        let length = x.hypot(y);
        Self {
            at: seam.a.to_f64(),
            normal: [-y / length, x / length],
        }
    }

    /// How far to the right of the line.
    pub(super) fn beyond(&self, p: Spot) -> f64 {
        (p[0] - self.at[0]) * self.normal[0] + (p[1] - self.at[1]) * self.normal[1]
    }

    /// What lies on one side stays, what lies on the other is turned over the line.
    pub(super) fn folded(&self, piece: &[Spot], side: f64) -> Vec<Vec<Spot>> {
        let stays = self.kept(piece, side);
        let over: Vec<Spot> = self
            .kept(piece, -side)
            .into_iter()
            .map(|p| {
                let far = 2.0 * self.beyond(p);
                [p[0] - far * self.normal[0], p[1] - far * self.normal[1]]
            })
            .collect();
        [stays, over]
            .into_iter()
            .filter(|part| geometry::area(part).abs() > SLIVER)
            .collect()
    }

    /// The part of a piece on one side (Sutherland–Hodgman).
    fn kept(&self, piece: &[Spot], side: f64) -> Vec<Spot> {
        let mut kept = Vec::with_capacity(piece.len() + 2);
        for [a, b] in sides(piece) {
            let (at_a, at_b) = (self.beyond(a) * side, self.beyond(b) * side);
            if at_a >= 0.0 {
                kept.push(a);
            }
            if (at_a > 0.0 && at_b < 0.0) || (at_a < 0.0 && at_b > 0.0) {
                let t = at_a / (at_a - at_b);
                kept.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
            }
        }
        kept
    }
}
