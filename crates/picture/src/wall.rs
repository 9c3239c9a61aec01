//! Settings side by side, to choose from; and block squares to cut out and shuffle.

use quilt::block::Block;
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

fn hang(drawing: &mut Drawing, blocks: &Blocks, hung: &Hung, at: P, manner: Manner) {
    let [w, h] = [hung.top.width.to_f64(), hung.top.height.to_f64()];
    match manner {
        Manner::Cloth => {
            let items = cloth_of_top(&hung.plan, blocks, &hung.top);
            drawing.items.extend(items.map(|item| moved(item, at)));
        }
        Manner::Lines => lines(drawing, blocks, &hung.top, at),
    }
    let ring = Path::ring(rectangle(at, flat::add(at, [w, h])));
    drawing.push(Shape::drawn(vec![ring], Stroke::new(Ink::Ink, 0.5)));
    let below = [at[0], at[1] + h];
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

/// Squares of one block in its cloth, `columns × rows` of them with lines to cut along:
/// to shuffle and turn on the table. Drawn at any scale; a mark shows each one's top.
#[must_use]
pub fn squares(plan: &Plan, id: BlockId, block: &Block, (columns, rows): (u32, u32)) -> Drawing {
    let [low, high] = flat::bounds(&patches::corners(&block.drafted.outline));
    let [w, h] = flat::sub(high, low);
    let says = format!(
        "The block “{}” to cut out and shuffle.",
        plan.block(id).name
    );
    let (wide, tall) = (w * f64::from(columns), h * f64::from(rows));
    let mut drawing = Drawing::new(says, wide, tall).with_margin([8.0; 4]);
    for (row, column) in (0..rows).flat_map(|r| (0..columns).map(move |c| (r, c))) {
        let at = [w * f64::from(column), h * f64::from(row)];
        let dressed = Dressed::alone(plan, id, block, None, row * columns + column);
        let shift = Moved::shifted(flat::sub(at, low));
        for patch in 0..block.patches.len() {
            drawing.push(dressed.shape(patch, &shift));
        }
    }
    let cuts = (0..=columns)
        .map(|c| w * f64::from(c))
        .map(|x| Path::line([x, 0.0], [x, tall]))
        .chain(
            (0..=rows)
                .map(|r| h * f64::from(r))
                .map(|y| Path::line([0.0, y], [wide, y])),
        );
    drawing.push(Shape::drawn(
        cuts.collect(),
        Stroke::new(Ink::Ink, 0.8).dashed(Dash::Stitches),
    ));
    drawing
}
