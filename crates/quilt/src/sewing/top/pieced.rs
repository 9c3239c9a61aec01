//! Pieced borders: units into strips, strips to the sides, corners to the ends.
//!
//! The strips are compared with the top before they are sewn on: many short seams add up
//! to more than one long one, and a strip that is off is mended at a few of its own seams,
//! not stretched ("Applying Borders", a longarm studio's handout, for measuring through
//! the middle; taking in several seams a little is common practice).

use geometry::Surd;

use super::super::TopStep;
use super::super::press::Group;
use super::borders::Border;
use super::{Piece, say};
use crate::plan::Pieced;
use crate::setting::{PartKind, RingSide};

/// The steps of one pieced border.
pub(super) fn steps(border: &Border<'_>, pieced: &Pieced, so_far: &mut Vec<Piece>) -> Vec<TopStep> {
    let all = Steps { border, pieced };
    let mut steps = Vec::new();
    for sides in [
        [RingSide::Left, RingSide::Right],
        [RingSide::Top, RingSide::Bottom],
    ] {
        steps.extend(all.strips(sides));
    }
    steps.push(all.sides(so_far));
    steps.extend(all.ends(so_far));
    steps
}

struct Steps<'a> {
    border: &'a Border<'a>,
    pieced: &'a Pieced,
}

impl Steps<'_> {
    /// The units along some sides.
    fn units(&self, sides: &[RingSide]) -> Vec<Piece> {
        let border = self.border;
        let blocks = border.work.top.blocks.iter().enumerate();
        let mine = blocks.filter(|(_, placed)| {
            let spot = placed.border.filter(|spot| spot.ring == border.index);
            spot.is_some_and(|spot| sides.contains(&spot.side))
        });
        mine.map(|(index, _)| Piece::Block(index)).collect()
    }

    fn upright(sides: [RingSide; 2]) -> bool {
        sides[0] == RingSide::Left
    }

    /// What a strip on these sides measures along and across, finished.
    fn length(&self, upright: bool) -> (&Surd, &Surd) {
        let ring = self.border.ring;
        if upright {
            (&ring.before.1, &ring.side)
        } else {
            (&ring.before.0, &ring.end)
        }
    }

    /// The step that joins the units of two opposite sides; `None` for a single unit.
    fn strips(&self, sides: [RingSide; 2]) -> Option<TopStep> {
        let (border, work) = (self.border, self.border.work);
        let pieces = self.units(&sides);
        let each = pieces.len() / 2;
        if each < 2 {
            return None;
        }
        let upright = Self::upright(sides);
        let (length, height) = self.length(upright);
        let size = (work.unfinished(length), work.unfinished(height));
        let mut step = work.step(&pieces, 2 * (each - 1), size);
        step.times = 2;
        let middle = if self.pieced.from_middle {
            " From the middle on they are the mirror images of those before."
        } else {
            ""
        };
        let sum = border.ring.sum.as_deref().unwrap_or_default();
        step.text = format!(
            "{}, {}: join {} for each of the two strips, in the order and turns of the chart.{middle} Each strip should be {}. {sum}",
            border.name(),
            if upright { "sides" } else { "top and bottom" },
            say::several(each, "unit"),
            work.say(&work.unfinished(length)),
        );
        step.text.truncate(step.text.trim_end().len());
        step.press = border.press(
            Group::Strips(border.index, upright),
            [
                "the seams one way, clockwise round the top",
                "the seams one way, anticlockwise round the top",
            ],
        );
        Some(step)
    }

    fn sides(&self, so_far: &mut Vec<Piece>) -> TopStep {
        let (border, work) = (self.border, self.border.work);
        so_far.extend(self.units(&[RingSide::Left, RingSide::Right]));
        let ring = border.ring;
        let text = format!(
            "{}, sides: measure the top from top to bottom through its middle; it should be {}. If a strip is longer or shorter, take in or let out a few of its seams a little. Pin ends, middle and quarters, and sew one strip to each side.",
            border.name(),
            work.say(&work.unfinished(&ring.before.1)),
        );
        let mut step = border.step(so_far, 2, (&ring.after.0, &ring.before.1), text);
        step.press = border.sewn_on(Group::Sides(border.index));
        step
    }

    fn ends(&self, so_far: &mut Vec<Piece>) -> [TopStep; 2] {
        let (border, work) = (self.border, self.border.work);
        let strips = self.units(&[RingSide::Top, RingSide::Bottom]);
        let ring = border.ring;
        let mut corners = self.units(&[RingSide::Corner]);
        let what = if corners.is_empty() {
            border.take(&mut corners, &[PartKind::BorderSquare(border.index)]);
            "plain corner square"
        } else {
            "corner block"
        };
        let both: Vec<Piece> = strips.iter().chain(&corners).copied().collect();
        let size = (work.unfinished(&ring.after.0), work.unfinished(&ring.end));
        let mut first = work.step(&both, corners.len(), size);
        first.times = 2;
        first.text = format!(
            "{}, top and bottom: sew a {what} to each end of both strips, turned as in the chart.",
            border.name()
        );
        first.press = border.corners("corners");
        so_far.extend(both);
        let text = format!(
            "{}, top and bottom: match the corner seams, pin the middle and the quarters, and sew one strip to the top and one to the bottom.",
            border.name()
        );
        let mut second = border.step(so_far, 2, (&ring.after.0, &ring.after.1), text);
        second.press = border.sewn_on(Group::Ends(border.index));
        [first, second]
    }
}
