//! Drawings only a handout needs: a back pieced from lengths, a block to colour.

use quilt::block::Block;
use quilt::finishing::{Backing, BackingWay, SeamsRun};
use quilt::plan::{BlockId, Plan};
use quilt::setting::Top;

use crate::block::line_drawing;
use crate::drawing::{Anchor, Dash, Drawing, Ink, Label, Path, Shape, Stroke};
use crate::flat;
use crate::patches;
use crate::placing::placed;
use crate::quilt::rectangle;

/// The back as it is joined from lengths of cloth, with the edge of the top on it.
///
/// The seams are drawn at even distances; where exactly they fall is the maker's choice.
#[must_use]
pub fn backing(plan: &Plan, made: &Backing, way: &BackingWay, top: &Top) -> Drawing {
    let [width, height] = [made.width.to_f64(), made.height.to_f64()];
    let up = |length| plan.ruler.length(plan.ruler.up(length));
    let size = plan.measure.size(&up(&made.width), &up(&made.height));
    let seams = match way.seams {
        SeamsRun::None => "in one piece",
        SeamsRun::Upright => "with upright seams",
        SeamsRun::Across => "with seams across",
    };
    let says = format!("The back, {size} cut, {seams}; the top lies in the middle of it.");
    let mut drawing = Drawing::new(says, width, height).with_margin([1.0, 1.0, 14.0, 15.0]);
    let sheet = vec![Path::ring(rectangle([0.0; 2], [width, height]))];
    drawing.push(Shape {
        paths: sheet,
        fill: Some(Ink::Tint),
        stroke: Some(Stroke::new(Ink::Ink, 0.9)),
    });
    drawing.push(Shape::drawn(
        joins(way, width, height),
        Stroke::new(Ink::Ink, 0.7),
    ));
    let [w, h] = [top.width.to_f64(), top.height.to_f64()];
    let low = [(width - w) / 2.0, (height - h) / 2.0];
    let edge = Path::ring(rectangle(low, flat::add(low, [w, h])));
    drawing.push(Shape::drawn(
        vec![edge],
        Stroke::new(Ink::Quiet, 0.7).dashed(Dash::Stitches),
    ));
    let label = |text: String, at| Label::new(text, at, 8.0);
    drawing.push(
        label("top".into(), low)
            .shifted([5.0, 9.0], Anchor::Start)
            .ink(Ink::Quiet),
    );
    drawing.push(
        label(plan.measure.say(&up(&made.width)), [width / 2.0, height])
            .shifted([0.0, 8.0], Anchor::Middle),
    );
    let mut side = label(plan.measure.say(&up(&made.height)), [0.0, height / 2.0])
        .shifted([-8.0, 0.0], Anchor::Middle);
    side.upwards = true;
    drawing.push(side);
    drawing
}

/// The seams between the lengths, evenly across the side they divide.
fn joins(way: &BackingWay, width: f64, height: f64) -> Vec<Path> {
    let lengths = f64::from(way.lengths);
    (1..way.lengths)
        .filter_map(|i| {
            let share = f64::from(i) / lengths;
            match way.seams {
                SeamsRun::None => None,
                SeamsRun::Upright => {
                    Some(Path::line([share * width, 0.0], [share * width, height]))
                }
                SeamsRun::Across => {
                    Some(Path::line([0.0, share * height], [width, share * height]))
                }
            }
        })
        .collect()
}

/// The drawing with hardly a margin, if at this width on paper every label finds its room
/// without one; else as it was.
#[must_use]
pub fn snug(drawing: Drawing, width_in: f64) -> Drawing {
    let close = drawing.clone().with_margin([1.0; 4]);
    let all_inside = placed(&close, width_in)
        .iter()
        .all(|label| label.leader.is_none());
    if all_inside { close } else { drawing }
}

/// One block in outline, to colour.
#[must_use]
pub fn block_lines(plan: &Plan, id: BlockId, block: &Block) -> Drawing {
    let [_, high] = flat::bounds(&patches::corners(&block.drafted.outline));
    let says = format!("The block “{}” in outline, to colour.", plan.block(id).name);
    let mut drawing = Drawing::new(says, high[0], high[1]).with_margin([1.0; 4]);
    line_drawing(&mut drawing, block, Stroke::new(Ink::Quiet, 0.6));
    drawing
}
