//! Drawings of one block: in its cloth, lettered, taken apart, and what stands in the way.
//!
//! All are in block coordinates: drawn at scale 1 they are true finished size.

use geometry::Segment;
use quilt::block::{Block, JoinNode};
use quilt::plan::{BlockId, Plan};
use quilt::sewing::BlockSewing;

use crate::drawing::{Dash, Dot, Drawing, Ink, Label, Path, Room, Shape, Stroke};
use crate::flat::{self, P};
use crate::patches::{self, Dressed, Lines, Moved, strokes};

/// Paper round a drawing so that its outer line is not cut.
const LINE: [f64; 4] = [1.0; 4];
/// Margin with room for letters that do not fit their patch.
const LETTERS: [f64; 4] = [18.0, 20.0, 18.0, 20.0];

/// The block in its cloth; `copy` tells which cloth of a list each patch takes (0 for the
/// first block).
#[must_use]
pub fn block(
    plan: &Plan,
    id: BlockId,
    block: &Block,
    colourway: Option<usize>,
    copy: u32,
) -> Drawing {
    let mut drawing = sheet(plan, id, block, "in its cloth").with_margin(LINE);
    let dressed = Dressed::alone(plan, id, block, colourway, copy);
    let all: Vec<usize> = (0..block.patches.len()).collect();
    unit(&mut drawing, &dressed, &all, &Moved::still());
    drawing
}

/// The block in its cloth with the number of each cloth (from 1, in the plan's order) on
/// a plate, for those who cannot tell the cloths by colour.
#[must_use]
pub fn block_numbered(
    plan: &Plan,
    id: BlockId,
    block_of: &Block,
    colourway: Option<usize>,
    copy: u32,
) -> Drawing {
    let mut drawing = block(plan, id, block_of, colourway, copy).with_margin(LETTERS);
    let dressed = Dressed::alone(plan, id, block_of, colourway, copy);
    for (i, patch) in block_of.patches.iter().enumerate() {
        if let Some(cloth) = dressed.cloth(i) {
            let room = Room::Once(patches::corners(&patch.outline), cloth.0);
            drawing.push(
                Label::new((cloth.0 + 1).to_string(), [0.0; 2], 9.0)
                    .on_plate()
                    .within(room),
            );
        }
    }
    drawing
}

/// The block as a line drawing with the template letter of each patch; of a block pieced on
/// foundations with the section and number of each piece.
#[must_use]
pub fn block_letters(plan: &Plan, id: BlockId, block: &Block) -> Drawing {
    if let Some(founded) = &block.foundation {
        let how = "with the section and number of each piece";
        let mut drawing = sheet(plan, id, block, how).with_margin(LETTERS);
        crate::foundation::numbered(&mut drawing, block, founded);
        return drawing;
    }
    let mut drawing =
        sheet(plan, id, block, "with the letter of each template").with_margin(LETTERS);
    line_drawing(&mut drawing, block, Stroke::new(Ink::Quiet, 0.6));
    for patch in &block.patches {
        let room = Room::Once(patches::corners(&patch.outline), patch.template);
        let letter = &block.templates[patch.template].letter;
        drawing.push(Label::new(letter.clone(), [0.0; 2], 11.0).within(room));
    }
    drawing
}

/// The block taken apart along the seams sewn last; a seam that closes a corner or the rest
/// of a partial seam takes nothing apart, and is passed over.
#[must_use]
pub fn block_exploded(
    plan: &Plan,
    id: BlockId,
    block: &Block,
    colourway: Option<usize>,
) -> Drawing {
    exploded(plan, id, block, &block.joining.tree, colourway)
}

/// The same by the order in which it is sewn, which cloth may have changed.
#[must_use]
pub fn block_exploded_as_sewn(
    plan: &Plan,
    block: &Block,
    sewing: &BlockSewing,
    colourway: Option<usize>,
) -> Drawing {
    exploded(plan, sewing.block, block, &sewing.tree, colourway)
}

fn exploded(
    plan: &Plan,
    id: BlockId,
    block: &Block,
    tree: &JoinNode,
    colourway: Option<usize>,
) -> Drawing {
    let dressed = Dressed::alone(plan, id, block, colourway, 0);
    let [low, high] = flat::bounds(&patches::corners(&block.drafted.outline));
    let gap = 0.07 * (high[0] - low[0]).max(high[1] - low[1]);
    let parts = apart(tree, gap);
    let shown: Vec<(Vec<usize>, Moved)> = parts
        .iter()
        .map(|(node, shift)| (patches_of(node), Moved::shifted(*shift)))
        .collect();
    let reach: Vec<P> = shown
        .iter()
        .flat_map(|(of, moved)| {
            of.iter()
                .flat_map(|&i| moved.points(&patches::corners(&block.patches[i].outline)))
        })
        .collect();
    let [low, high] = flat::bounds(&reach);
    let name = &plan.block(id).name;
    let says = format!(
        "The block “{name}” in {} parts, drawn apart where they are sewn together last.",
        shown.len()
    );
    let mut drawing = Drawing::new(says, high[0] - low[0], high[1] - low[1]).with_margin(LINE);
    for (of, moved) in &shown {
        unit(
            &mut drawing,
            &dressed,
            of,
            &moved.then_by(flat::scaled(low, -1.0)),
        );
    }
    drawing
}

/// The block with what straight seams cannot take apart: the part outlined, its corner
/// points ringed, and the seams of a ring numbered.
#[must_use]
pub fn obstruction(plan: &Plan, id: BlockId, block: &Block) -> Drawing {
    let mut drawing = sheet(
        plan,
        id,
        block,
        "with the part that straight seams cannot sew",
    )
    .with_margin([6.0; 4]);
    line_drawing(&mut drawing, block, strokes::pale());
    let still = Moved::still();
    for found in &block.joining.obstructions {
        let of = &found.patches;
        let rings = of
            .iter()
            .map(|&i| Path::ring(patches::corners(&block.patches[i].outline)))
            .collect();
        drawing.push(Shape::filled(rings, Ink::Tint));
        let lines = Lines::of(block, of, &still, &|_| false);
        drawing.push(Shape::drawn(lines.seams, Stroke::new(Ink::Ink, 0.6)));
        drawing.push(Shape::drawn(lines.outline, Stroke::new(Ink::Ink, 1.6)));
        let ring: Vec<Path> = found
            .ring
            .iter()
            .map(|s| Path::line(s.a.to_f64(), s.b.to_f64()))
            .collect();
        drawing.push(Shape::drawn(
            ring,
            Stroke::new(Ink::Ink, 1.6).dashed(Dash::Stitches),
        ));
        for corner in &found.corners {
            let ring = Some(Stroke::new(Ink::Ink, 1.0));
            drawing.push(Dot {
                at: corner.to_f64(),
                radius: 4.5,
                fill: None,
                stroke: ring,
            });
        }
        for (i, seam) in found.ring.iter().enumerate() {
            let at = apart_from(seam, &found.ring);
            drawing.push(Label::new((i + 1).to_string(), at, 8.0).bold().on_plate());
        }
    }
    drawing
}

/// The block with the seams drawn in addition that let it sew in straight seams alone:
/// these heavy and in stitches, the patches they cut tinted. `None` where there are none.
#[must_use]
pub fn straightened(plan: &Plan, id: BlockId, block: &Block) -> Option<Drawing> {
    let repair = block.repair.as_ref()?;
    let mut drawing = sheet(
        plan,
        id,
        block,
        "with the seams that let it sew in straight seams alone",
    )
    .with_margin([6.0; 4]);
    let cut =
        |(patch, _): &(usize, Vec<_>)| Path::ring(patches::corners(&block.patches[*patch].outline));
    let cut = repair.parts.iter().map(cut).collect();
    drawing.push(Shape::filled(cut, Ink::Tint));
    line_drawing(&mut drawing, block, Stroke::new(Ink::Ink, 0.6));
    let seams = repair.cuts.iter();
    let seams = seams.map(|cut| Path::line(cut.seam.a.to_f64(), cut.seam.b.to_f64()));
    let stroke = Stroke::new(Ink::Ink, 1.8).dashed(Dash::Stitches);
    drawing.push(Shape::drawn(seams.collect(), stroke));
    Some(drawing)
}

/// A point on a seam well away from the other seams of its ring.
fn apart_from(seam: &Segment, ring: &[Segment]) -> P {
    let (a, b) = (seam.a.to_f64(), seam.b.to_f64());
    let others = || {
        ring.iter()
            .filter(|s| *s != seam)
            .map(|s| [s.a.to_f64(), s.b.to_f64()])
    };
    let free = |p: P| {
        others()
            .map(|s| flat::distance(p, s))
            .fold(f64::INFINITY, f64::min)
    };
    (1..8)
        .map(|i| flat::add(a, flat::scaled(flat::sub(b, a), f64::from(i) / 8.0)))
        .fold(
            a,
            |best, p| if free(p) > free(best) + 1e-9 { p } else { best },
        )
}

/// An empty drawing the size of the block.
fn sheet(plan: &Plan, id: BlockId, block: &Block, how: &str) -> Drawing {
    let [_, high] = flat::bounds(&patches::corners(&block.drafted.outline));
    Drawing::new(
        format!("The block “{}” {how}.", plan.block(id).name),
        high[0],
        high[1],
    )
}

/// Seams and outline of the whole block, without cloth.
pub(crate) fn line_drawing(drawing: &mut Drawing, block: &Block, seam: Stroke) {
    let lines = Lines::of_all(block, &Moved::still());
    let edge = Stroke {
        width: (2.0 * seam.width).min(1.0),
        ..seam
    };
    drawing.push(Shape::drawn(lines.seams, seam));
    drawing.push(Shape::drawn(lines.outline, edge));
}

/// One unit of the block in its cloth, with its seams and its outline.
pub(crate) fn unit(drawing: &mut Drawing, dressed: &Dressed, of: &[usize], moved: &Moved) {
    drawing
        .items
        .extend(of.iter().map(|&i| dressed.shape(i, moved)));
    let lines = dressed.lines(of, moved);
    drawing.push(Shape::drawn(lines.in_dark, strokes::seam_in_dark()));
    drawing.push(Shape::drawn(lines.seams, strokes::seam()));
    drawing.push(Shape::drawn(lines.outline, strokes::edge()));
}

fn patches_of(node: &JoinNode) -> Vec<usize> {
    node.patches().to_vec()
}

/// Parts of the tree drawn apart: the units along the last parallel seams, and those of
/// each in turn, until there are enough parts to see how the block goes together.
fn apart(tree: &JoinNode, gap: f64) -> Vec<(&JoinNode, P)> {
    let mut parts = vec![(tree, [0.0; 2])];
    let mut gap = gap;
    for _ in 0..4 {
        if parts.len() >= 4 {
            break;
        }
        parts = parts
            .into_iter()
            .flat_map(|(node, at)| along_one_way(node, at, gap))
            .collect();
        gap *= 0.6;
    }
    parts
}

/// The parts a unit falls into along its last seam and those parallel to it.
fn along_one_way(node: &JoinNode, at: P, gap: f64) -> Vec<(&JoinNode, P)> {
    let node = opened(node);
    let JoinNode::Join { seam, .. } = node else {
        return vec![(node, at)];
    };
    let along = flat::unit(flat::sub(seam.b.to_f64(), seam.a.to_f64()));
    let mut parts = Vec::new();
    split(node, along, &mut parts);
    // `right` lies a quarter turn clockwise from the seam's run.
    let across = flat::quarter(along);
    #[expect(clippy::cast_precision_loss, reason = "a block has few parts")]
    let place = |i: usize| gap * (i as f64 - (parts.len() - 1) as f64 / 2.0);
    (0..parts.len())
        .map(|i| (parts[i], flat::add(at, flat::scaled(across, place(i)))))
        .collect()
}

/// The unit as it is before the seams closed last in it.
fn opened(node: &JoinNode) -> &JoinNode {
    let mut node = node;
    while let JoinNode::Close { unit, .. } = node {
        node = unit;
    }
    node
}

/// Parts in order from left to right across a seam that runs along `way`.
fn split<'a>(node: &'a JoinNode, way: P, parts: &mut Vec<&'a JoinNode>) {
    if let JoinNode::Join {
        seam, left, right, ..
    } = node
    {
        let along = flat::unit(flat::sub(seam.b.to_f64(), seam.a.to_f64()));
        if flat::cross(along, way).abs() < 1e-9 {
            let (first, second) = if flat::dot(along, way) > 0.0 {
                (left, right)
            } else {
                (right, left)
            };
            split(first, way, parts);
            split(second, way, parts);
            return;
        }
    }
    parts.push(node);
}
