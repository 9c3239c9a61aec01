//! Drawings of units made several at a time: what is sewn, where it is cut, what comes of it.
//!
//! ```text
//!    ┌───────┐
//!    │╲ ┆ ╱  │       ┌──┐    dashes are stitching, whole lines are cuts; the square on
//!    │  ╳    │▌  =   │◢ │    top shows its back
//!    │╱ ┆ ╲  │▌      └──┘
//!    └───────┘▌     unit 3
//!     ▀▀▀▀▀▀▀▀
//! ```
//!
//! Sizes are those the ruler shows, so the square and its units are to one scale.

use std::collections::BTreeSet;

use quilt::block::Block;
use quilt::colour::lightness;
use quilt::cutting::Take;
use quilt::making::{Batch, Recipe};
use quilt::plan::{ClothId, Plan, UnitKind, Way};
use quilt::setting::Top;
use quilt::sewing::{BlockSewing, Join};

use crate::block::unit;
use crate::drawing::{
    Anchor, ClothShape, Dash, Drawing, Ink, Item, Label, Lay, Path, Shape, Stroke,
};
use crate::flat::{self, P};
use crate::patches::{self, Dressed, Moved, strokes};

/// Size of the words under units, points.
const WORDS: f64 = 7.5;

/// Crosscuts shown of a strip set.
const SHOWN: u32 = 4;

/// How a batch of units is made: the squares or strips with stitching and cuts, and the unit
/// they give, in its cloths. Drawn about 3 in wide.
///
/// `None` where the batch is sewn patch by patch, or the top has no such unit.
#[must_use]
pub fn together(
    plan: &Plan,
    block: &Block,
    top: &Top,
    sewing: &BlockSewing,
    batch: &Batch,
) -> Option<Drawing> {
    let (dressed, join) = an_example(plan, block, top, sewing, batch)?;
    let maker = Maker {
        plan,
        block,
        recipe: batch.recipe(),
        join,
        seam: plan.seam.to_f64(),
    };
    let figures = match (batch.kind, maker.recipe.way) {
        (_, Way::Singly) => return None,
        (UnitKind::HalfSquare, way) => vec![maker.half_squares(way)?],
        (UnitKind::Hourglass, _) => maker.hourglass()?,
        (UnitKind::Geese, Way::FourAtATime) => maker.geese()?,
        (UnitKind::Row, _) => vec![maker.strip_set(batch)?],
        (UnitKind::Geese | UnitKind::Corners, _) => vec![maker.flipped(&dressed)],
    };
    let says = format!(
        "Unit {} of “{}” made {}: what is sewn, where it is cut, and the unit.",
        batch.step + 1,
        plan.block(batch.block).name,
        maker.recipe.way.name()
    );
    let name = format!("unit {}", batch.step + 1);
    Some(in_a_row(says, &figures, &dressed, join, &name))
}

/// A copy of the block in which this unit takes the batch's cloths, and the join that makes it.
fn an_example<'a>(
    plan: &'a Plan,
    block: &'a Block,
    top: &'a Top,
    sewing: &'a BlockSewing,
    batch: &Batch,
) -> Option<(Dressed<'a>, &'a Join)> {
    let wanted: BTreeSet<ClothId> = batch.cloths.iter().copied().collect();
    let copies = top.blocks.iter().filter(|p| p.block == batch.block);
    for placed in copies {
        let dressed = Dressed::placed(plan, block, placed);
        for join in sewing.joins.iter().filter(|join| join.step == batch.step) {
            let patches = join.left.iter().chain(&join.right);
            let cloths: Option<BTreeSet<ClothId>> =
                patches.map(|&patch| dressed.cloth(patch)).collect();
            if cloths.as_ref() == Some(&wanted) {
                return Some((dressed, join));
            }
        }
    }
    None
}

/// What is drawn of one stage, from (0, 0) to its size.
struct Figure {
    size: P,
    items: Vec<Item>,
}

impl Figure {
    fn new(size: P) -> Self {
        Self {
            size,
            items: Vec::new(),
        }
    }

    /// Cloth, right side up.
    fn cloth(&mut self, cloth: ClothId, outline: Vec<P>) {
        self.items.push(
            ClothShape {
                outline: outline.clone(),
                cloth: cloth.0,
                lay: Lay::default(),
            }
            .into(),
        );
        self.line(vec![Path::ring(outline)], strokes::edge());
    }

    /// The back of a piece of cloth.
    fn back(&mut self, outline: Vec<P>) {
        let ring = vec![Path::ring(outline)];
        self.items.push(
            Shape {
                paths: ring,
                fill: Some(Ink::Paper),
                stroke: Some(strokes::edge()),
            }
            .into(),
        );
    }

    fn line(&mut self, paths: Vec<Path>, stroke: Stroke) {
        self.items.push(Shape::drawn(paths, stroke).into());
    }

    /// Where the blade goes.
    fn cut(&mut self, a: P, b: P) {
        self.line(vec![Path::line(a, b)], Stroke::new(Ink::Ink, 0.9));
    }

    fn stitched(&mut self, a: P, b: P) {
        let path = vec![Path::line(a, b)];
        self.line(path.clone(), Stroke::new(Ink::Paper, 2.2));
        self.line(path, Stroke::new(Ink::Ink, 1.2).dashed(Dash::Stitches));
    }

    /// Stitching on both sides of a cut, a seam away from it, kept inside its ends.
    fn stitched_beside(&mut self, a: P, b: P, seam: f64) {
        let along = flat::unit(flat::sub(b, a));
        let across = flat::scaled(flat::quarter(along), seam);
        let inside = flat::scaled(along, seam);
        for by in [across, flat::scaled(across, -1.0)] {
            self.stitched(
                flat::add(flat::add(a, inside), by),
                flat::add(flat::sub(b, inside), by),
            );
        }
        self.cut(a, b);
    }
}

struct Maker<'a> {
    plan: &'a Plan,
    block: &'a Block,
    recipe: &'a Recipe,
    join: &'a Join,
    seam: f64,
}

impl Maker<'_> {
    fn take(&self, index: usize) -> Option<(ClothId, &Take)> {
        self.recipe
            .takes
            .get(index)
            .map(|(cloth, take)| (*cloth, take))
    }

    /// Two squares, the lighter with its back up on the darker, which shows below it.
    fn pair(&self) -> Option<(Figure, f64)> {
        let ((a, take), (b, _)) = (self.take(0)?, self.take(1)?);
        let light = |cloth: ClothId| lightness(self.plan.cloth(cloth));
        let below = if light(a) < light(b) { a } else { b };
        let side = take.height.size.to_f64();
        let beyond = 0.07 * side;
        let mut figure = Figure::new([side + beyond; 2]);
        figure.cloth(below, rectangle([beyond; 2], [side + beyond; 2]));
        figure.back(rectangle([0.0; 2], [side; 2]));
        Some((figure, side))
    }

    fn half_squares(&self, way: Way) -> Option<Figure> {
        let (mut figure, side) = self.pair()?;
        let (a, b, c, d) = ([0.0, side], [side, 0.0], [0.0, 0.0], [side, side]);
        match way {
            Way::FourAtATime => {
                let (near, far) = (self.seam, side - self.seam);
                let ring = [[near, near], [far, near], [far, far], [near, far]];
                for i in 0..4 {
                    figure.stitched(ring[i], ring[(i + 1) % 4]);
                }
                figure.cut(a, b);
                figure.cut(c, d);
            }
            Way::EightAtATime => {
                figure.stitched_beside(a, b, self.seam);
                figure.stitched_beside(c, d, self.seam);
                figure.cut([0.0, side / 2.0], [side, side / 2.0]);
                figure.cut([side / 2.0, 0.0], [side / 2.0, side]);
            }
            _ => figure.stitched_beside(a, b, self.seam),
        }
        Some(figure)
    }

    fn hourglass(&self) -> Option<Vec<Figure>> {
        let (mut first, side) = self.pair()?;
        first.stitched_beside([0.0, side], [side, 0.0], self.seam);
        let small = side - self.seam * std::f64::consts::SQRT_2;
        let beyond = 0.07 * small;
        let ((a, _), (b, _)) = (self.take(0)?, self.take(1)?);
        let mut second = Figure::new([small + beyond; 2]);
        let (low, high) = (beyond, small + beyond);
        second.cloth(a, vec![[low, low], [high, low], [low, high]]);
        second.cloth(b, vec![[high, low], [high, high], [low, high]]);
        second.back(rectangle([0.0; 2], [small; 2]));
        let seam = vec![Path::line([0.0, small], [small, 0.0])];
        second.line(seam, Stroke::new(Ink::Quiet, 0.6));
        second.stitched_beside([0.0, 0.0], [small, small], self.seam);
        Some(vec![first, second])
    }

    fn geese(&self) -> Option<Vec<Figure>> {
        let ((goose, large), (sky, small)) = (self.take(0)?, self.take(1)?);
        let (l, s) = (large.height.size.to_f64(), small.height.size.to_f64());
        let mut first = Figure::new([l; 2]);
        first.cloth(goose, rectangle([0.0; 2], [l; 2]));
        first.back(rectangle([0.0, l - s], [s, l]));
        first.back(rectangle([l - s, 0.0], [l, s]));
        first.stitched_beside([0.0, l], [l, 0.0], self.seam);
        // The half that keeps the lower right corner, its small triangles pressed out.
        let mut second = Figure::new([l; 2]);
        second.cloth(goose, vec![[0.0, l], [l, 0.0], [l, l]]);
        second.cloth(sky, vec![[0.0, l], [0.0, l - s], [s, l - s]]);
        second.cloth(sky, vec![[l - s, 0.0], [l, 0.0], [l - s, s]]);
        second.back(rectangle([l - s; 2], [l; 2]));
        second.stitched_beside([l - s; 2], [l; 2], self.seam);
        Some(vec![first, second])
    }

    /// The beginning of a strip set, its strips one under another.
    fn strip_set(&self, batch: &Batch) -> Option<Figure> {
        let two = 2.0 * self.seam;
        let crosscut = self
            .plan
            .ruler
            .cut(&batch.size[0] + &self.plan.seam.times(2));
        let crosscut = crosscut.size.to_f64();
        let parts = batch.cloths.len();
        let whole = batch.size[1].to_f64() + two;
        let shown = SHOWN.min(batch.needed);
        let width = (f64::from(shown) + 0.6) * crosscut;
        let mut figure = Figure::new([width, whole]);
        let mut y = 0.0;
        for index in 0..parts {
            let (cloth, take) = self.take(index)?;
            let outer = [index == 0, index + 1 == parts];
            let hidden = outer.iter().filter(|outer| !**outer).count() as f64 * self.seam;
            let high = take.height.size.to_f64() - hidden;
            figure.cloth(cloth, rectangle([0.0, y], [width, y + high]));
            y += high;
        }
        figure.size[1] = y;
        for cut in 1..=shown {
            let x = f64::from(cut) * crosscut;
            figure.cut([x, -0.04 * y], [x, 1.04 * y]);
        }
        Some(figure)
    }

    /// The whole rectangle with a square on each corner that gets a triangle.
    fn flipped(&self, dressed: &Dressed) -> Figure {
        let ring = patches::corners(&self.join.outline);
        let [low, high] = flat::bounds(&ring);
        let here = |p: P| flat::sub(p, low);
        let mut figure = Figure::new(flat::sub(high, low));
        let all: Vec<usize> = self
            .join
            .left
            .iter()
            .chain(&self.join.right)
            .copied()
            .collect();
        let area = |&patch: &usize| flat::area(&self.outline(patch)).abs();
        let main = all.iter().max_by(|a, b| area(a).total_cmp(&area(b)));
        let Some(&main) = main else { return figure };
        if let Some(cloth) = dressed.cloth(main) {
            figure.cloth(cloth, ring.iter().map(|&p| here(p)).collect());
        }
        for &patch in all.iter().filter(|&&patch| patch != main) {
            let Some([corner, a, b]) = self.right_triangle(patch) else {
                continue;
            };
            let far = flat::sub(flat::add(a, b), corner);
            figure.back([corner, a, far, b].map(here).to_vec());
            figure.stitched(here(a), here(b));
        }
        figure
    }

    fn outline(&self, patch: usize) -> Vec<P> {
        patches::corners(&self.block.patches[patch].outline)
    }

    /// The square corner of a right triangle, and its other two.
    fn right_triangle(&self, patch: usize) -> Option<[P; 3]> {
        let ring = self.outline(patch);
        let [a, b, c] = ring.as_slice() else {
            return None;
        };
        [[*a, *b, *c], [*b, *c, *a], [*c, *a, *b]]
            .into_iter()
            .find(|[corner, p, q]| {
                flat::dot(flat::sub(*p, *corner), flat::sub(*q, *corner)).abs() < 1e-9
            })
    }
}

fn rectangle(low: P, high: P) -> Vec<P> {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

/// The figures one after another, arrows between them, and the unit at the end.
fn in_a_row(
    says: String,
    figures: &[Figure],
    dressed: &Dressed,
    join: &Join,
    name: &str,
) -> Drawing {
    let mut patches: Vec<usize> = join.left.iter().chain(&join.right).copied().collect();
    patches.sort_unstable();
    let [low, high] = flat::bounds(&patches::corners(&join.outline));
    let made = flat::sub(high, low);
    let widest = figures.iter().map(|f| f.size[0]).fold(made[0], f64::max);
    let gap = 0.22 * widest;
    let height = figures.iter().map(|f| f.size[1]).fold(made[1], f64::max);
    let whole: f64 = figures.iter().map(|f| f.size[0] + gap).sum();
    let mut drawing =
        Drawing::new(says, whole + made[0], height).with_margin([4.0, 3.0, 14.0, 3.0]);
    let mut x = 0.0;
    for (index, figure) in figures.iter().enumerate() {
        let by = [x, (height - figure.size[1]) / 2.0];
        let items = figure.items.iter().cloned();
        drawing.items.extend(items.map(|item| shifted(item, by)));
        x += figure.size[0];
        let last = index + 1 == figures.len();
        let sign = if last { "=" } else { "→" };
        drawing.push(Label::new(sign, [x + gap / 2.0, height / 2.0], 12.0));
        x += gap;
    }
    let at = [x, (height - made[1]) / 2.0];
    unit(
        &mut drawing,
        dressed,
        &patches,
        &Moved::shifted(flat::sub(at, low)),
    );
    let under = [x + made[0] / 2.0, at[1] + made[1]];
    drawing.push(
        Label::new(name, under, WORDS)
            .bold()
            .shifted([0.0, 8.0], Anchor::Middle),
    );
    drawing
}

fn shifted(item: Item, by: P) -> Item {
    let move_all = |points: &mut Vec<P>| {
        for p in points.iter_mut() {
            *p = flat::add(*p, by);
        }
    };
    match item {
        Item::Cloth(mut shape) => {
            move_all(&mut shape.outline);
            shape.into()
        }
        Item::Shape(mut shape) => {
            shape
                .paths
                .iter_mut()
                .for_each(|path| move_all(&mut path.points));
            shape.into()
        }
        other => other,
    }
}
