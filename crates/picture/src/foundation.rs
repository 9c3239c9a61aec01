//! Foundations to print at true size, and sections in their cloth.
//!
//! ```text
//!     ┌──────────────────────┐    solid outside: trim here, an allowance
//!     │ ┌ ─ ─ ─ ─ ─ ─ ─ ─ ─┐ │    outside the dashes (the seam round the section)
//!     │ │      A1       ╱  │ │
//!     │ │             ╱ A2 │ │    solid inside: sew here, in the order
//!     │ └ ─ ─ ─ ─ ─ ─ ─ ─ ─┘ │    of the numbers
//!     └──────────────────────┘
//! ```
//!
//! The page is the mirror image of the section: cloth lies on its other side.

use quilt::block::{Block, Founded};
use quilt::plan::{BlockId, Plan};

use crate::block::{line_drawing, unit};
use crate::drawing::{Anchor, Dash, Drawing, Ink, Label, Path, Room, Shape, Stroke};
use crate::flat::{self, P};
use crate::letters;
use crate::patches::{self, Dressed, Moved};

/// Size of a page's heading, points.
const HEADING: f64 = 9.0;

/// One kind of section as it is printed, mirrored and at true size: write it `true_width()`
/// wide. `turned` lays it a quarter turn round; `heading` stands over it.
///
/// `None` if the block has no foundation of this number, or it is a single patch.
#[must_use]
pub fn foundation(
    plan: &Plan,
    id: BlockId,
    block: &Block,
    kind: usize,
    turned: bool,
    heading: &str,
) -> Option<Drawing> {
    let founded = block.foundation.as_ref()?;
    let of = founded
        .kinds
        .get(kind)
        .filter(|kind| !kind.pieces.is_empty())?;
    let section = founded.division.sections.get(of.shown)?;
    // Mirrored left to right, then perhaps turned a quarter clockwise.
    let seen = |[x, y]: P| if turned { [-y, -x] } else { [-x, y] };
    let all: Vec<P> = of.cut.iter().map(|&p| seen(p)).collect();
    let [low, high] = flat::bounds(&all);
    let at = |p: P| flat::sub(seen(p), low);
    let ring = |points: &[P]| points.iter().map(|&p| at(p)).collect::<Vec<P>>();

    let says = format!(
        "Foundation {} of “{}”, true size, mirror image.",
        of.letter,
        plan.block(id).name
    );
    let size = flat::sub(high, low);
    let [wide, _] = letters::extent(heading, HEADING, true);
    let beyond = (wide - size[0] * 72.0 + 6.0).max(3.0);
    let mut drawing = Drawing::new(says, size[0], size[1]).with_margin([17.0, beyond, 3.0, 3.0]);
    drawing.push(Shape::drawn(
        vec![Path::ring(ring(&of.cut))],
        Stroke::new(Ink::Ink, 1.0),
    ));
    drawing.push(Shape::drawn(
        vec![Path::ring(ring(&patches::corners(&of.outline)))],
        Stroke::new(Ink::Quiet, 0.7).dashed(Dash::Stitches),
    ));
    let seams = section.seams.iter();
    let seams = seams.map(|seam| Path::line(at(seam.a.to_f64()), at(seam.b.to_f64())));
    drawing.push(Shape::drawn(seams.collect(), Stroke::new(Ink::Ink, 1.2)));
    for (number, &patch) in section.patches.iter().enumerate() {
        let outline = ring(&patches::corners(&block.patches[patch].outline));
        let place = block.patches[patch].place;
        let place = place.and_then(|place| plan.block(id).places.get(place));
        let mut label = Label::new(format!("{}{}", of.letter, number + 1), [0.0; 2], 16.0).bold();
        label.under = place.map_or_else(String::new, |place| place.name.clone());
        drawing.push(label.within(Room::Within(outline)));
    }
    drawing.push(
        Label::new(heading, [0.0, 0.0], HEADING)
            .bold()
            .shifted([0.0, -9.0], Anchor::Start),
    );
    Some(drawing)
}

/// One kind of section from the front in its cloth, with the number of each piece.
#[must_use]
pub fn section(
    plan: &Plan,
    id: BlockId,
    block: &Block,
    kind: usize,
    colourway: Option<usize>,
) -> Option<Drawing> {
    let founded = block.foundation.as_ref()?;
    let of = founded.kinds.get(kind)?;
    let section = founded.division.sections.get(of.shown)?;
    let mut all = section.patches.clone();
    all.sort_unstable();
    let [low, high] = flat::bounds(&patches::corners(&of.outline));
    let size = flat::sub(high, low);
    let says = format!(
        "Section {} of “{}” from the front, its pieces numbered in the order they are sewn.",
        of.letter,
        plan.block(id).name
    );
    let mut drawing = Drawing::new(says, size[0], size[1]).with_margin([18.0, 20.0, 18.0, 20.0]);
    let moved = Moved::shifted(flat::scaled(low, -1.0));
    let dressed = Dressed::alone(plan, id, block, colourway, 0);
    unit(&mut drawing, &dressed, &all, &moved);
    for (number, &patch) in section.patches.iter().enumerate() {
        let room = moved.points(&patches::corners(&block.patches[patch].outline));
        drawing.push(
            Label::new((number + 1).to_string(), [0.0; 2], 11.0)
                .bold()
                .on_plate()
                .within(Room::Within(room)),
        );
    }
    Some(drawing)
}

/// The block as a line drawing, the seams between sections heavy, each patch with the name
/// of its piece.
pub(crate) fn numbered(drawing: &mut Drawing, block: &Block, founded: &Founded) {
    line_drawing(drawing, block, Stroke::new(Ink::Quiet, 0.6));
    let joins = founded.division.joins.iter();
    let joins = joins.map(|join| Path::line(join.seam.a.to_f64(), join.seam.b.to_f64()));
    drawing.push(Shape::drawn(joins.collect(), Stroke::new(Ink::Ink, 1.6)));
    for (index, patch) in block.patches.iter().enumerate() {
        let name = block.called(index);
        let room = Room::Within(patches::corners(&patch.outline));
        drawing.push(Label::new(name, [0.0; 2], 10.0).within(room));
    }
}
