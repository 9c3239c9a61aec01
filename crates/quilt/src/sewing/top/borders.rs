//! Borders, from the inside out.
//!
//! Sides before top and bottom, every pair cut to one length measured through the middle
//! of the top, so that a wavy edge is eased in and opposite sides end equal ("Applying
//! Borders", a longarm studio's handout; "A Tip for Adding Borders", Quiltery online).

use geometry::Surd;

use super::super::TopStep;
use super::super::press::{Group, PressPlan};
use super::{Piece, Work, pieced};
use crate::plan::{BorderKind, Corner};
use crate::setting::{PartKind, Ring};

/// The steps of all borders.
pub(super) fn steps(work: &Work<'_>, pressing: &PressPlan) -> Vec<TopStep> {
    let mut so_far: Vec<Piece> = work.inner_blocks().map(Piece::Block).collect();
    so_far.extend(work.inner_parts().map(|(index, _)| Piece::Part(index)));
    let mut steps = Vec::new();
    let rings = work.plan.borders.iter().zip(&work.top.rings);
    for (index, (border, ring)) in rings.enumerate() {
        let new = Border {
            work,
            index,
            ring,
            pressing,
        };
        match (&border.kind, border.corner) {
            (BorderKind::Pieced(pieced), _) => {
                steps.extend(pieced::steps(&new, pieced, &mut so_far));
            }
            (_, Corner::Mitred) => steps.extend(new.mitred(&mut so_far)),
            (_, Corner::Butted) => steps.extend(new.straight(&mut so_far, false)),
            (_, Corner::Squares(_)) => steps.extend(new.straight(&mut so_far, true)),
        }
    }
    // A spacer that came out without any width has nothing to sew.
    steps.retain(|step| step.seams > 0);
    steps
}

/// One border, and how it comes out.
pub(super) struct Border<'a> {
    pub(super) work: &'a Work<'a>,
    pub(super) index: usize,
    pub(super) ring: &'a Ring,
    pub(super) pressing: &'a PressPlan,
}

impl Border<'_> {
    pub(super) fn name(&self) -> String {
        if self.work.plan.borders.len() == 1 {
            "Border".into()
        } else {
            format!("Border {}", self.index + 1)
        }
    }

    /// How a spacer's width comes about, to go behind a step's text.
    fn sum(&self) -> String {
        let sum = self.ring.sum.as_ref();
        sum.map_or_else(String::new, |sum| format!(" {sum}"))
    }

    /// Takes the parts of some kinds in, and says how many there were.
    pub(super) fn take(&self, so_far: &mut Vec<Piece>, kinds: &[PartKind]) -> usize {
        let before = so_far.len();
        let parts = self.work.top.parts.iter().enumerate();
        let mine = parts.filter(|(_, part)| kinds.contains(&part.kind));
        so_far.extend(mine.map(|(index, _)| Piece::Part(index)));
        so_far.len() - before
    }

    pub(super) fn step(
        &self,
        so_far: &[Piece],
        seams: usize,
        size: (&Surd, &Surd),
        text: String,
    ) -> TopStep {
        let size = (self.work.unfinished(size.0), self.work.unfinished(size.1));
        TopStep {
            text,
            ..self.work.step(so_far, seams, size)
        }
    }

    /// Which way some of its seams are pressed: what yes means and what no, and why.
    pub(super) fn press(&self, group: Group, [yes, no]: [&str; 2]) -> String {
        self.pressing.of(group).map_or_else(String::new, |press| {
            format!(
                "Press {}: {}.",
                if press.yes { yes } else { no },
                press.reason
            )
        })
    }

    /// The seams of a pair of strips sewn to the top.
    pub(super) fn sewn_on(&self, group: Group) -> String {
        self.press(group, ["towards the border", "towards the top"])
    }

    /// The seams of the corner squares in their strips.
    pub(super) fn corners(&self, what: &str) -> String {
        let away = format!("the seams of the {what} towards the {what}");
        let strip = format!("the seams of the {what} towards the strip");
        self.press(Group::Squares(self.index), [&strip, &away])
    }

    /// Butted, or with squares in the corners: one seam for each part, since each part is
    /// sewn on once.
    fn straight(&self, so_far: &mut Vec<Piece>, squares: bool) -> [TopStep; 2] {
        let (work, name) = (self.work, self.name());
        let side = work.say(&work.unfinished(&self.ring.before.1));
        let end_finished = if squares {
            &self.ring.before.0
        } else {
            &self.ring.after.0
        };
        let end = work.say(&work.unfinished(end_finished));
        let sides = self.take(so_far, &[PartKind::BorderSide(self.index)]);
        let both = if squares {
            format!(
                " Measure across the middle now as well; it should be {end}, the length of the top and bottom strips."
            )
        } else {
            String::new()
        };
        let mut first = self.step(
            so_far,
            sides,
            (&self.ring.after.0, &self.ring.before.1),
            format!(
                "{name}, sides: measure the top from top to bottom through its middle; it should be {side}. Cut both side strips to that length, pin ends, middles and quarters, and sew one to each side.{both}{}",
                self.sum()
            ),
        );
        first.press = self.sewn_on(Group::Sides(self.index));
        let kinds = [
            PartKind::BorderEnd(self.index),
            PartKind::BorderSquare(self.index),
        ];
        let ends = self.take(so_far, &kinds);
        let text = if squares {
            format!(
                "{name}, top and bottom: sew a corner square to each end of both strips cut to {end}, then sew one to the top and one to the bottom, matching the corner seams."
            )
        } else {
            format!(
                "{name}, top and bottom: measure from side to side through the middle, side borders included; it should be {end}. Cut both strips to that length, pin ends, middles and quarters, and sew one to the top and one to the bottom."
            )
        };
        let mut second = self.step(so_far, ends, (&self.ring.after.0, &self.ring.after.1), text);
        second.press = self.sewn_on(Group::Ends(self.index));
        if squares {
            second.press = format!("{} {}", self.corners("corner squares"), second.press);
        }
        [first, second]
    }

    /// Mitred: a seam for each strip, and one more at each corner.
    fn mitred(&self, so_far: &mut Vec<Piece>) -> [TopStep; 2] {
        let (work, name) = (self.work, self.name());
        let seam = work.say(&work.plan.seam);
        let kinds = [
            PartKind::BorderSide(self.index),
            PartKind::BorderEnd(self.index),
        ];
        let strips = self.take(so_far, &kinds);
        let size = (&self.ring.after.0, &self.ring.after.1);
        let mut first = self.step(
            so_far,
            strips,
            size,
            format!(
                "{name}: pin the middle of each strip to the middle of its side, with the same length over at both ends. Sew on all 4 strips, starting and stopping {seam} from each corner of the top.{}",
                self.sum()
            ),
        );
        first.press = self.sewn_on(Group::Sides(self.index));
        let text = format!(
            "{name}, mitres: at each corner fold the top on the diagonal so that two strips lie on each other, and sew at 45° from the inner corner to the outer edge. See that the corner lies flat, then trim the seam to {seam}."
        );
        let mut second = self.step(so_far, strips, size, text);
        second.times = 4;
        second.press = "Press the mitre seams open.".into();
        [first, second]
    }
}
