//! Settings side by side, to choose from; and block squares to cut out and shuffle.

use quilt::plan::{BlockId, Plan};
use quilt::results::Blocks;
use quilt::setting::Top;

use crate::drawing::{Anchor, ClothShape, Dash, Drawing, Ink, Item, Label, Path, Shape, Stroke};
use crate::flat::{self, P};
use crate::patches::{self, Dressed, Lines, Moved};
use crate::quilt::{cloth_of_top, rectangle};

/// One setting on the wall.
#[derive(Clone, Debug)]
pub struct Hung {
    /// The plan with this setting.
    pub plan: Plan,
    /// Its top.
    pub top: Top,
    /// The line under it, bold: its number or its name.
    pub title: String,
    /// The lines under that.
    pub says: String,
}

/// How the settings on the wall are drawn. In greys, write the drawing with
/// [`Palette::in_greys`](crate::Palette::in_greys).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Manner {
    /// In their cloth.
    Cloth,
    /// As line drawings.
    Lines,
}

/// Room beside and under each, as shares of its width.
const BESIDE: f64 = 0.09;
const UNDER: f64 = 0.34;

/// The settings in rows of so many, each with its lines under it. All are drawn to the
/// scale of the widest top.
#[must_use]
pub fn wall(blocks: &Blocks, hung: &[Hung], columns: usize, manner: Manner) -> Drawing {
    let most = |size: fn(&Top) -> f64| hung.iter().map(|h| size(&h.top)).fold(1.0, f64::max);
    let (wide, high) = (most(|t| t.width.to_f64()), most(|t| t.height.to_f64()));
    let columns = columns.clamp(1, hung.len().max(1));
    let rows = hung.len().div_ceil(columns);
    let step = [wide * (1.0 + BESIDE), high + wide * UNDER];
    #[expect(clippy::cast_precision_loss, reason = "a wall has a few dozen places")]
    let at = |i: usize| {
        [
            (i % columns) as f64 * step[0],
            (i / columns) as f64 * step[1],
        ]
    };
    let [right, bottom] = at((rows * columns).saturating_sub(1));
    let mut drawing = Drawing::new(
        format!("{} settings to choose from.", hung.len()),
        right + wide,
        bottom + step[1],
    )
    .with_margin([4.0; 4]);
    for (i, hung) in hung.iter().enumerate() {
        hang(&mut drawing, blocks, hung, at(i), manner);
    }
    drawing
}

/// One setting alone, small: the blocks without borders, binding and words.
#[must_use]
pub fn setting_small(plan: &Plan, blocks: &Blocks, top: &Top, manner: Manner) -> Drawing {
    let says = format!(
        "{} × {} blocks in this setting.",
        plan.setting.columns, plan.setting.rows
    );
    let mut drawing = Drawing::new(says, top.width.to_f64(), top.height.to_f64());
    draw(&mut drawing, (plan, blocks, top), [0.0; 2], manner);
    drawing.with_margin([1.0; 4])
}

/// Draws a top with its corner here.
fn draw(drawing: &mut Drawing, (plan, blocks, top): (&Plan, &Blocks, &Top), at: P, manner: Manner) {
    match manner {
        Manner::Cloth => {
            let items = cloth_of_top(plan, blocks, top);
            drawing.items.extend(items.map(|item| moved(item, at)));
        }
        Manner::Lines => lines(drawing, blocks, top, at),
    }
    let size = [top.width.to_f64(), top.height.to_f64()];
    let ring = Path::ring(rectangle(at, flat::add(at, size)));
    drawing.push(Shape::drawn(vec![ring], Stroke::new(Ink::Ink, 0.5)));
}

fn hang(drawing: &mut Drawing, blocks: &Blocks, hung: &Hung, at: P, manner: Manner) {
    draw(drawing, (&hung.plan, blocks, &hung.top), at, manner);
    let below = [at[0], at[1] + hung.top.height.to_f64()];
    drawing.push(
        Label::new(hung.title.clone(), below, 9.0)
            .bold()
            .shifted([0.0, 9.0], Anchor::Start),
    );
    for (row, line) in (0_u8..).zip(hung.says.lines()) {
        let down = 20.0 + 10.0 * f64::from(row);
        drawing.push(Label::new(line, below, 8.0).shifted([0.0, down], Anchor::Start));
    }
}

fn lines(drawing: &mut Drawing, blocks: &Blocks, top: &Top, at: P) {
    let (mut fine, mut bold) = (Vec::new(), Vec::new());
    for placed in &top.blocks {
        if let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) {
            let lines = Lines::of_all(block, &Moved::of(&placed.motion).then_by(at));
            fine.extend(lines.seams);
            bold.extend(lines.outline);
        }
    }
    drawing.push(Shape::drawn(fine, Stroke::new(Ink::Quiet, 0.3)));
    drawing.push(Shape::drawn(bold, Stroke::new(Ink::Ink, 0.4)));
}

fn moved(item: Item, by: P) -> Item {
    let shift = Moved::shifted(by);
    match item {
        Item::Cloth(cloth) => ClothShape {
            outline: shift.points(&cloth.outline),
            ..cloth
        }
        .into(),
        Item::Shape(mut shape) => {
            for path in &mut shape.paths {
                path.points = shift.points(&path.points);
            }
            shape.into()
        }
        other => other,
    }
}

/// Squares of blocks in their cloth, so many in a row, with lines to cut along: to
/// shuffle and turn on the table. `worn` names the block of each, in order, and its
/// colourway; all are of one size. Drawn at any scale.
#[must_use]
pub fn squares(
    plan: &Plan,
    blocks: &Blocks,
    worn: &[(BlockId, Option<usize>)],
    columns: usize,
) -> Drawing {
    let size = |id: &BlockId| {
        let of = plan.block(*id);
        [of.width.to_f64(), of.height.to_f64()]
    };
    let [w, h] = worn.first().map_or([1.0; 2], |(id, _)| size(id));
    let columns = columns.clamp(1, worn.len().max(1));
    let rows = worn.len().div_ceil(columns);
    #[expect(clippy::cast_precision_loss, reason = "a page has a few dozen squares")]
    let at = |column: usize, row: usize| [w * column as f64, h * row as f64];
    let [wide, tall] = at(columns, rows);
    let says = format!("{} block squares to cut out and shuffle.", worn.len());
    let mut drawing = Drawing::new(says, wide, tall).with_margin([4.0; 4]);
    for (index, (id, way)) in worn.iter().enumerate() {
        let Some(block) = blocks.get(id.0).and_then(Option::as_deref) else {
            continue;
        };
        let [low, _] = flat::bounds(&patches::corners(&block.drafted.outline));
        let copy = u32::try_from(index).unwrap_or(0);
        let dressed = Dressed::alone(plan, *id, block, *way, copy);
        let corner = at(index % columns, index / columns);
        let shift = Moved::shifted(flat::sub(corner, low));
        for patch in 0..block.patches.len() {
            drawing.push(dressed.shape(patch, &shift));
        }
    }
    let down = (0..=columns).map(|c| Path::line(at(c, 0), at(c, rows)));
    let across = (0..=rows).map(|r| Path::line(at(0, r), at(columns, r)));
    drawing.push(Shape::drawn(
        down.chain(across).collect(),
        Stroke::new(Ink::Ink, 0.8).dashed(Dash::Stitches),
    ));
    drawing
}
