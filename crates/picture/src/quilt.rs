//! Drawings of the whole top: in its cloth, as a page to colour, and as a laying chart.
//!
//! **Frame.** The finished top's corner lies a binding's width inside the drawing where
//! there is a binding; otherwise in its corner.

use quilt::block::Block;
use quilt::plan::{BlockId, Kind, Plan};
use quilt::results::Blocks;
use quilt::setting::{PlacedBlock, Top};
use quilt::sewing::TopLayers;

use crate::colour::Rgb;
use crate::drawing::{
    Anchor, ClothShape, Dot, Drawing, Ink, Item, Label, Lay, Path, Room, SMALLEST, Shape, Stroke,
};
use crate::flat::{self, P};
use crate::patches::{self, Dressed, Lines, Moved};

/// Seams between dark cloths of a whole quilt: just light enough to be seen.
const DIM: Rgb = Rgb([0x66, 0x66, 0x66]);

/// The whole quilt in its cloth, with borders and the binding's edge.
///
/// Blocks whose draft has faults are left out.
#[must_use]
pub fn quilt(plan: &Plan, blocks: &Blocks, top: &Top) -> Drawing {
    let rim = if plan.finishing.binding.cloth.is_some() {
        plan.seam.to_f64()
    } else {
        0.0
    };
    let mut drawing = whole(plan, top, "in its cloth", rim);
    let cloth = cloth_of_top(plan, blocks, top).map(|item| shifted(item, rim));
    drawing.items.extend(cloth);
    seams(&mut drawing, Some(plan), blocks, top, rim);
    if let Some(cloth) = plan.finishing.binding.cloth {
        binding(&mut drawing, cloth.0, rim);
    }
    let (w, h) = (drawing.width, drawing.height);
    let edge = Shape::drawn(
        vec![Path::ring(rectangle([0.0; 2], [w, h]))],
        Stroke::new(Ink::Ink, 0.5),
    );
    drawing.push(edge);
    drawing
}

/// The whole top in outline, a page to colour.
#[must_use]
pub fn quilt_lines(plan: &Plan, blocks: &Blocks, top: &Top) -> Drawing {
    let mut drawing = whole(plan, top, "in outline, to colour", 0.0);
    seams(&mut drawing, None, blocks, top, 0.0);
    let ring = rectangle([0.0; 2], [drawing.width, drawing.height]);
    drawing.push(Shape::drawn(
        vec![Path::ring(ring)],
        Stroke::new(Ink::Ink, 0.8),
    ));
    drawing
}

/// The blocks of the top in outline, borders left away, with the number of the cloth (from
/// 1, in the plan's order) in each patch that is filled from a pool.
#[must_use]
pub fn quilt_numbered(plan: &Plan, blocks: &Blocks, top: &Top) -> Drawing {
    let depth: f64 = plan.borders.iter().map(|b| b.width.to_f64()).sum();
    let by = [-depth; 2];
    let mut drawing = Drawing::new(
        format!("The quilt “{}”: which cloth each scrap is.", plan.title),
        top.inner_width.to_f64(),
        top.inner_height.to_f64(),
    )
    .with_margin([0.6; 4]);
    let (mut fine, mut bold) = (Vec::new(), Vec::new());
    for placed in &top.blocks {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let lines = Lines::of_all(block, &Moved::of(&placed.motion).then_by(by));
        fine.extend(lines.seams);
        bold.extend(lines.outline);
    }
    drawing.push(Shape::drawn(fine, Stroke::new(Ink::Pale, 0.4)));
    drawing.push(Shape::drawn(bold, Stroke::new(Ink::Ink, 0.6)));
    for placed in &top.blocks {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let moved = Moved::of(&placed.motion).then_by(by);
        for (&patch, cloth) in &placed.scraps {
            let room = moved.points(&patches::corners(&block.patches[patch].outline));
            let number = Label::new((cloth.0 + 1).to_string(), [0.0; 2], SMALLEST);
            drawing.push(number.within(Room::IfFits(room)));
        }
    }
    drawing
}

/// The laying chart: every block in outline with its short name, a mark at its own top,
/// the rows numbered, and the parts between and around the blocks.
///
/// [`short_names`] tells which short name is which block.
#[must_use]
pub fn setting_chart(plan: &Plan, blocks: &Blocks, top: &Top) -> Drawing {
    let mut drawing = whole(plan, top, "row by row, with the turn of each block", 0.0).with_margin(
        if in_columns(plan) {
            [16.0, 2.0, 2.0, 2.0]
        } else {
            [2.0, 2.0, 2.0, 26.0]
        },
    );
    for part in &top.parts {
        let ring = Path::ring(patches::corners(&part.outline));
        drawing.push(Shape {
            paths: vec![ring],
            fill: Some(Ink::Tint),
            stroke: Some(Stroke::new(Ink::Quiet, 0.4)),
        });
    }
    let names = short_names(plan, top);
    let turned = top.blocks.iter().any(|b| b.turn % 4 != 0);
    for placed in &top.blocks {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let name = names
            .iter()
            .find(|n| (n.block, n.colourway) == (placed.block, placed.colourway));
        chart_block(
            &mut drawing,
            placed,
            block,
            name.map_or("", |n| &n.short),
            turned,
        );
    }
    row_numbers(&mut drawing, blocks, top, in_columns(plan));
    drawing
}

/// Whether blocks are sewn into columns first, not into rows.
fn in_columns(plan: &Plan) -> bool {
    let kind = &plan.setting.kind;
    matches!(kind, Kind::Strips { .. } | Kind::HalfDrop { .. })
}

/// A block of the setting and the short name it has in the laying chart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShortName {
    /// One to three letters and figures, different for each block and colourway.
    pub short: String,
    /// Which block.
    pub block: BlockId,
    /// Which of its colourways, or its own cloths.
    pub colourway: Option<usize>,
    /// The maker's own name for it.
    pub name: String,
}

/// The blocks the top uses, in the plan's order, with short names made from the initials
/// of their own.
#[must_use]
pub fn short_names(plan: &Plan, top: &Top) -> Vec<ShortName> {
    let used: std::collections::BTreeSet<(BlockId, Option<usize>)> =
        top.blocks.iter().map(|b| (b.block, b.colourway)).collect();
    let marks = block_marks(plan);
    let mut names: Vec<ShortName> = Vec::new();
    for (block, colourway) in used {
        let of = plan.block(block);
        let dress = colourway
            .and_then(|c| of.colourways.get(c))
            .map(|c| c.name.as_str());
        let name = dress.map_or_else(|| of.name.clone(), |d| format!("{}, {d}", of.name));
        let stem = marks[block.0].clone() + &initials(dress.unwrap_or(""), 1).to_lowercase();
        let short = unlike(&stem, |short| names.iter().any(|n| n.short == short));
        names.push(ShortName {
            short,
            block,
            colourway,
            name,
        });
    }
    names
}

/// A short mark for each block of the plan, from the initials of its name; no two alike.
#[must_use]
pub fn block_marks(plan: &Plan) -> Vec<String> {
    let mut marks: Vec<String> = Vec::new();
    for block in &plan.blocks {
        let stem = initials(&block.name, 2).to_uppercase();
        let mark = unlike(&stem, |mark| marks.iter().any(|m| m == mark));
        marks.push(mark);
    }
    marks
}

fn initials(words: &str, most: usize) -> String {
    words
        .split_whitespace()
        .filter_map(|w| w.chars().next())
        .take(most)
        .collect()
}

/// The stem, with the first number that makes it different where it is taken.
fn unlike(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut name = stem.to_owned();
    let mut number = 2;
    while taken(&name) {
        name = format!("{stem}{number}");
        number += 1;
    }
    name
}

/// Every patch and part of the top, without seams: the parts in the top's order, then
/// block by block each block's patches in theirs. A patch no place claims is bare paper.
#[must_use]
pub fn top_patches(plan: &Plan, blocks: &Blocks, top: &Top) -> Vec<Item> {
    cloth_of_top(plan, blocks, top).collect()
}

/// The top in outline with a dot at each of the places where it is thickest.
#[must_use]
pub fn thick_places(plan: &Plan, blocks: &Blocks, top: &Top, layers: &TopLayers) -> Drawing {
    let mut drawing = whole(plan, top, "with its thickest points", 0.0);
    drawing.says = format!(
        "{} Dots: where {} layers lie on each other.",
        drawing.says,
        layers.most()
    );
    let mut lines = Vec::new();
    for placed in &top.blocks {
        if let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) {
            lines.extend(Lines::of_all(block, &Moved::of(&placed.motion)).outline);
        }
    }
    let parts = top.parts.iter();
    lines.extend(parts.map(|part| Path::ring(patches::corners(&part.outline))));
    drawing.push(Shape::drawn(lines, Stroke::new(Ink::Quiet, 0.4)));
    for thick in layers.thickest() {
        drawing.push(Dot {
            at: thick.at.to_f64(),
            radius: 1.4,
            fill: Some(Ink::Ink),
            stroke: Some(Stroke::new(Ink::Paper, 0.5)),
        });
    }
    drawing
}

fn whole(plan: &Plan, top: &Top, how: &str, rim: f64) -> Drawing {
    let size = plan.measure.size(&top.width, &top.height);
    let says = format!("The quilt “{}” {how}, {size} finished.", plan.title);
    Drawing::new(
        says,
        top.width.to_f64() + 2.0 * rim,
        top.height.to_f64() + 2.0 * rim,
    )
    .with_margin([0.6; 4])
}

/// Every patch and part of the top in its cloth.
pub(crate) fn cloth_of_top<'a>(
    plan: &'a Plan,
    blocks: &'a Blocks,
    top: &'a Top,
) -> impl Iterator<Item = Item> + 'a {
    let parts = top.parts.iter().map(|part| patches::part_shape(plan, part));
    let patches = top.blocks.iter().flat_map(move |placed| {
        let block = blocks.get(placed.block.0).and_then(Option::as_deref);
        block
            .into_iter()
            .flat_map(move |block| patches::placed_patches(plan, block, placed))
    });
    parts.chain(patches)
}

fn shifted(item: Item, by: f64) -> Item {
    let moved = Moved::shifted([by; 2]);
    match item {
        Item::Cloth(c) => ClothShape {
            outline: moved.points(&c.outline),
            ..c
        }
        .into(),
        Item::Shape(mut s) => {
            for path in &mut s.paths {
                path.points = moved.points(&path.points);
            }
            s.into()
        }
        other => other,
    }
}

/// Draws the seams of blocks and parts. In print they are a hair; on a much reduced quilt
/// less, so that small patches keep their cloth. Over cloth (`plan` is given) seams
/// between dark cloths are light.
fn seams(drawing: &mut Drawing, plan: Option<&Plan>, blocks: &Blocks, top: &Top, rim: f64) {
    let (mut fine, mut bold, mut in_dark) = (Vec::new(), Vec::new(), Vec::new());
    for placed in &top.blocks {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let moved = Moved::of(&placed.motion).then_by([rim; 2]);
        let lines = match plan {
            Some(plan) => {
                let all: Vec<usize> = (0..block.patches.len()).collect();
                Dressed::placed(plan, block, placed).lines(&all, &moved)
            }
            None => Lines::of_all(block, &moved),
        };
        fine.extend(lines.seams);
        in_dark.extend(lines.in_dark);
        bold.extend(lines.outline);
    }
    for part in &top.parts {
        bold.push(Path::ring(
            Moved::shifted([rim; 2]).points(&patches::corners(&part.outline)),
        ));
    }
    let narrow = narrowest(blocks);
    drawing.push(Shape::drawn(
        in_dark,
        Stroke::new(Ink::Flat(DIM), 0.3).at_most(narrow / 14.0),
    ));
    drawing.push(Shape::drawn(
        fine,
        Stroke::new(Ink::Quiet, 0.3).at_most(narrow / 14.0),
    ));
    drawing.push(Shape::drawn(
        bold,
        Stroke::new(Ink::Quiet, 0.4).at_most(narrow / 16.0),
    ));
}

/// A small patch's size: the root of the area one patch in ten is smaller than.
fn narrowest(blocks: &Blocks) -> f64 {
    let mut sizes: Vec<f64> = blocks
        .iter()
        .flatten()
        .flat_map(|b| {
            b.patches
                .iter()
                .map(|p| flat::area(&patches::corners(&p.outline)).abs().sqrt())
        })
        .collect();
    sizes.sort_by(f64::total_cmp);
    sizes.get(sizes.len() / 10).copied().unwrap_or(1.0)
}

/// Four mitred strips of binding round the drawing.
fn binding(drawing: &mut Drawing, cloth: usize, rim: f64) {
    let (w, h) = (drawing.width, drawing.height);
    let outer = rectangle([0.0; 2], [w, h]);
    let inner = rectangle([rim; 2], [w - rim, h - rim]);
    for i in 0..4 {
        let j = (i + 1) % 4;
        let turn = if i % 2 == 0 { 0.0 } else { 90.0 };
        let outline = vec![outer[i], outer[j], inner[j], inner[i]];
        drawing.push(ClothShape {
            outline,
            cloth,
            lay: Lay { turn, at: [0.0; 2] },
        });
    }
    drawing.push(Shape::drawn(
        vec![Path::ring(inner)],
        Stroke::new(Ink::Ink, 0.35).at_most(rim / 5.0),
    ));
}

pub(crate) fn rectangle(low: P, high: P) -> Vec<P> {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

fn chart_block(
    drawing: &mut Drawing,
    placed: &PlacedBlock,
    block: &Block,
    short: &str,
    turned: bool,
) {
    let moved = Moved::of(&placed.motion);
    let outline = patches::corners(&block.drafted.outline);
    let [low, high] = flat::bounds(&outline);
    let at = |x: f64, y: f64| {
        moved.point([
            low[0] + x * (high[0] - low[0]),
            low[1] + y * (high[1] - low[1]),
        ])
    };
    drawing.push(Shape {
        paths: vec![Path::ring(moved.points(&outline))],
        fill: Some(Ink::Paper),
        stroke: Some(Stroke::new(Ink::Ink, 0.7)),
    });
    if turned {
        let mark = vec![at(0.5, 0.05), at(0.6, 0.17), at(0.4, 0.17)];
        drawing.push(Shape::filled(vec![Path::ring(mark)], Ink::Ink));
    }
    let room = vec![at(0.04, 0.2), at(0.96, 0.2), at(0.96, 0.8), at(0.04, 0.8)];
    drawing.push(Label::new(short, at(0.5, 0.5), 10.0).within(Room::IfFits(room)));
}

/// The number of each row where it begins: in the margin, or on point beside the first
/// block of the diagonal row. Columns have theirs above them.
fn row_numbers(drawing: &mut Drawing, blocks: &Blocks, top: &Top, columns: bool) {
    let mut first: std::collections::BTreeMap<u32, &PlacedBlock> =
        std::collections::BTreeMap::new();
    let place = |b: &PlacedBlock| match b.diagonal {
        Some(place) => place,
        None if columns => (b.column, b.row),
        None => (b.row, b.column),
    };
    for placed in top.blocks.iter().filter(|b| b.border.is_none()) {
        let (row, along) = place(placed);
        let entry = first.entry(row).or_insert(placed);
        if along < place(entry).1 {
            *entry = placed;
        }
    }
    for (row, placed) in first {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let corners = Moved::of(&placed.motion).points(&patches::corners(&block.drafted.outline));
        let [low, high] = flat::bounds(&corners);
        let name = (row + 1).to_string();
        let label = if placed.diagonal.is_some() {
            // Outward from the side that faces down and left, where a triangle is.
            let quarter = (high[0] - low[0]) / 4.0;
            Label::new(
                name,
                [low[0] + 0.55 * quarter, high[1] - 0.55 * quarter],
                9.0,
            )
            .on_plate()
        } else if columns {
            let at = [(low[0] + high[0]) / 2.0, 0.0];
            Label::new(name, at, 9.0).shifted([0.0, -7.0], Anchor::Middle)
        } else {
            let at = [0.0, (low[1] + high[1]) / 2.0];
            Label::new(name, at, 9.0).shifted([-6.0, 0.0], Anchor::End)
        };
        drawing.push(label.bold());
    }
}
