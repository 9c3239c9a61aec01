//! One seam from the wrong side: how the two units lie at the machine, and the back of
//! the unit after pressing.
//!
//! ```text
//!    ┌──────╲               ┌───┬───┐
//!    │ ┄┄┄┄┄┄┄╲  ears,      │  ◀┤   │   allowances as they lie, and the
//!    └──────────   needle   └───┴───┘   way they are pressed
//! ```
//!
//! Both are drawn with full corners, so that the ears are seen. Of a seam that closes a
//! corner inside one unit only the patches along it are drawn together, as the hands hold
//! them when the rest of the unit is folded out of the way.

use geometry::{Polygon, offset_outline};
use quilt::block::{Block, SeamEnd};
use quilt::plan::Plan;
use quilt::sewing::layers::folded;
use quilt::sewing::{BlockSewing, Handling, Join, Press, Side};

use crate::drawing::{Anchor, Arrow, Dash, Dot, Drawing, Ink, Label, Path, Shape, Stroke};
use crate::flat::{self, P};
use crate::patches::{Dressed, Moved, corners};

/// Size of the words under the figures, points.
const WORDS: f64 = 7.0;

/// A step seen from the wrong side: on the left the two units laid right sides together
/// with the stitching and where it leaves the cloth, on the right the back of the unit.
///
/// A ring marks a crossing the stitching must pass exactly over, a dot where it leaves
/// the cloth. `None` if the block has no such step.
#[must_use]
pub fn back(
    plan: &Plan,
    block: &Block,
    sewing: &BlockSewing,
    handling: &Handling,
    step: usize,
) -> Option<Drawing> {
    let shown = sewing.steps.get(step)?.shown;
    let view = View {
        plan,
        block,
        sewing,
        handling,
        shown,
        join: sewing.joins.get(shown)?,
        seam: plan.seam.to_f64(),
    };
    let laid = view.laid_box();
    let whole = view.cut(&view.join.outline);
    let [low, high] = flat::bounds(&whole);
    let (pair, unit) = (flat::sub(laid[1], laid[0]), flat::sub(high, low));
    let gap = 0.22 * pair[0].max(unit[0]).max(0.5 * pair[1].max(unit[1]));
    let tall = pair[1].max(unit[1]);
    let says = format!(
        "Step {} from the wrong side: laid together, and its back.",
        step + 1
    );
    let mut drawing =
        Drawing::new(says, pair[0] + gap + unit[0], tall).with_margin([3.0, 3.0, 13.0, 3.0]);
    view.draw_laid(
        &mut drawing,
        [-laid[0][0], (tall - pair[1]) / 2.0 - laid[0][1]],
    );
    // The back is seen from behind: left and right change sides.
    let right_edge = pair[0] + gap + unit[0];
    let up = (tall - unit[1]) / 2.0 - low[1];
    let mirrored = move |p: P| [right_edge - (p[0] - low[0]), p[1] + up];
    view.draw_back(&mut drawing, &mirrored);
    // Under something narrow the word begins, or ends, where that does.
    let narrow = |width: f64| width < 0.4 * right_edge;
    let words = [
        match narrow(pair[0]) {
            true => ("together", 0.0, Anchor::Start),
            false => ("together", pair[0] / 2.0, Anchor::Middle),
        },
        match narrow(unit[0]) {
            true => ("back", right_edge, Anchor::End),
            false => ("back", right_edge - unit[0] / 2.0, Anchor::Middle),
        },
    ];
    for (text, at, anchor) in words {
        drawing.push(
            Label::new(text, [at, tall], WORDS)
                .ink(Ink::Quiet)
                .shifted([0.0, 8.0], anchor),
        );
    }
    Some(drawing)
}

struct View<'a> {
    plan: &'a Plan,
    block: &'a Block,
    sewing: &'a BlockSewing,
    handling: &'a Handling,
    shown: usize,
    join: &'a Join,
    seam: f64,
}

impl View<'_> {
    /// An outline with its allowance, corners full.
    fn cut(&self, outline: &Polygon) -> Vec<P> {
        let ring = corners(outline);
        offset_outline(&ring, &vec![self.seam; ring.len()])
    }

    /// The outlines of one of the two units: of a seam that closes, those of the patches
    /// along it.
    fn unit(&self, side: Side) -> Vec<Vec<P>> {
        let patches = self.join.patches(side);
        let made = self.made(patches).filter(|_| !self.join.closes);
        match made {
            Some(made) => vec![self.cut(&made.outline)],
            None => patches
                .iter()
                .map(|&patch| self.cut(&self.block.patches[patch].outline))
                .collect(),
        }
    }

    /// The join that makes a unit of several patches.
    fn made(&self, patches: &[usize]) -> Option<&Join> {
        let makes = |join: &&Join| !join.closes && join.unit == patches;
        self.sewing.joins.iter().find(makes)
    }

    /// The unit underneath at the machine, and the one on top.
    fn sides(&self) -> [Side; 2] {
        match self
            .handling
            .landings
            .get(self.shown)
            .and_then(|landing| landing.under)
        {
            Some(Side::Right) => [Side::Right, Side::Left],
            _ => [Side::Left, Side::Right],
        }
    }

    /// A point turned over the seam.
    fn over(&self, p: P) -> P {
        let a = self.join.seam.a.to_f64();
        let across = flat::quarter(flat::unit(flat::sub(self.join.seam.b.to_f64(), a)));
        let far = flat::dot(flat::sub(p, a), across);
        flat::sub(p, flat::scaled(across, 2.0 * far))
    }

    /// The lower unit where it lies, and the upper one turned over onto it.
    fn laid(&self) -> [Vec<Vec<P>>; 2] {
        let [under, above] = self.sides();
        let over = |ring: Vec<P>| ring.into_iter().map(|p| self.over(p)).collect();
        let top = self.unit(above).into_iter().map(over).collect();
        [self.unit(under), top]
    }

    fn laid_box(&self) -> [P; 2] {
        flat::bounds(&self.laid().concat().concat())
    }

    /// Where the stitching begins and ends: on the dot where it stops at a point, else where
    /// it leaves the cloth. A partial seam is sewn half-way at first.
    fn stitching(&self, laid: &[Vec<Vec<P>>; 2]) -> [P; 2] {
        let ends = [self.join.seam.a.to_f64(), self.join.seam.b.to_f64()];
        let out = flat::unit(flat::sub(ends[1], ends[0]));
        let middle = flat::middle(ends[0], ends[1]);
        [(0, -1.0), (1, 1.0)].map(|(i, way)| match self.join.ends[i] {
            SeamEnd::Corner => ends[i],
            SeamEnd::PartWay if self.join.closes => ends[i],
            SeamEnd::PartWay if self.join.ends == [SeamEnd::PartWay; 2] => {
                flat::middle(ends[i], middle)
            }
            SeamEnd::PartWay => middle,
            SeamEnd::Through => {
                let leaves = laid.iter().flatten();
                let leaves = leaves.map(|ring| leaves_at(ring, ends[i], flat::scaled(out, way)));
                let far = leaves.filter(|far| far.is_finite()).fold(0.0, f64::max);
                flat::add(ends[i], flat::scaled(out, way * far))
            }
        })
    }

    fn draw_laid(&self, drawing: &mut Drawing, shift: P) {
        let at = |p: P| flat::add(p, shift);
        let moved = |rings: &[Vec<P>]| {
            let ring = |ring: &Vec<P>| Path::ring(ring.iter().map(|&p| at(p)).collect());
            rings.iter().map(ring).collect::<Vec<Path>>()
        };
        let laid = self.laid();
        let [under, above] = &laid;
        let [below, _] = self.sides();
        // The lower unit lies with its right side up: its cloth shows at the ears.
        let dressed = Dressed::alone(self.plan, self.sewing.block, self.block, None, 0);
        drawing.push(Shape::filled(moved(under), Ink::Tint));
        for &patch in self.join.patches(below) {
            drawing
                .items
                .push(dressed.shape(patch, &Moved::shifted(shift)));
        }
        drawing.push(Shape::drawn(moved(under), Stroke::new(Ink::Ink, 0.7)));
        drawing.push(Shape::filled(moved(above), Ink::Paper));
        drawing.push(Shape::drawn(moved(above), Stroke::new(Ink::Ink, 0.7)));
        let stitches = self.stitching(&laid).map(at);
        drawing.push(Shape::drawn(
            vec![Path::line(stitches[0], stitches[1])],
            Stroke::new(Ink::Ink, 1.2).dashed(Dash::Stitches),
        ));
        // The marked points are larger than the ends that run out.
        for (at, _) in self.join.stops() {
            drawing.push(Dot {
                at: flat::add(at.to_f64(), shift),
                radius: 3.4,
                fill: Some(Ink::Ink),
                stroke: Some(Stroke::new(Ink::Paper, 0.8)),
            });
        }
        for &end in &stitches {
            drawing.push(Dot {
                at: end,
                radius: 1.8,
                fill: Some(Ink::Ink),
                stroke: None,
            });
        }
        let passes = self
            .handling
            .landings
            .get(self.shown)
            .map(|landing| &landing.passes);
        for pass in passes.into_iter().flatten() {
            drawing.push(Dot {
                at: at(pass.at.to_f64()),
                radius: 3.2,
                fill: None,
                stroke: Some(Stroke::new(Ink::Ink, 0.9)),
            });
        }
    }

    /// The wrong side: every layer as it lies, what is pressed later on top.
    fn draw_back(&self, drawing: &mut Drawing, place: &dyn Fn(P) -> P) {
        let joins = &self.sewing.joins[..=self.shown];
        let ways: Vec<Press> = joins.iter().map(|join| join.press).collect();
        let layers = folded(self.block, joins, &ways, self.seam);
        for patch in self.below(self.shown) {
            // The patch itself first, then its allowances over it.
            for part in &layers[patch] {
                let ring = vec![Path::ring(part.iter().map(|&p| place(p)).collect())];
                drawing.push(Shape::filled(ring.clone(), Ink::Paper));
                drawing.push(Shape::drawn(ring, Stroke::new(Ink::Quiet, 0.55)));
            }
        }
        let ends = [self.join.seam.a.to_f64(), self.join.seam.b.to_f64()];
        let [from, to] = self.stitching(&[Vec::new(), Vec::new()]);
        drawing.push(Shape::drawn(
            vec![Path::line(place(from), place(to))],
            Stroke::new(Ink::Ink, 1.2).dashed(Dash::Stitches),
        ));
        let across = flat::quarter(flat::unit(flat::sub(ends[1], ends[0])));
        // Twirled, the half at the seam's first end goes as decided, the other half opposite.
        let sides: &[(f64, f64)] = match self.join.press {
            Press::Left if self.join.twirled => &[(-1.0, 0.25), (1.0, 0.75)],
            Press::Right if self.join.twirled => &[(1.0, 0.25), (-1.0, 0.75)],
            Press::Left => &[(-1.0, 0.36)],
            Press::Right => &[(1.0, 0.36)],
            Press::Open => &[(-1.0, 0.36), (1.0, 0.36)],
        };
        for (way, part) in sides {
            let at = flat::add(ends[0], flat::scaled(flat::sub(ends[1], ends[0]), *part));
            let point = |far: f64| place(flat::add(at, flat::scaled(across, way * far)));
            drawing.push(Arrow {
                from: point(0.0),
                to: point(2.6 * self.seam),
                both: false,
                head: 4.5,
            });
        }
    }

    /// The patches of a unit in the order they lie from behind, the lowest first: the
    /// unit a seam is pressed to lies under the allowance of the other.
    fn below(&self, join: usize) -> Vec<usize> {
        let mut order = Vec::new();
        let mut stack = vec![self.sewing.joins[join].unit.clone()];
        while let Some(unit) = stack.pop() {
            if let [only] = unit[..] {
                order.push(only);
                continue;
            }
            let made = self.made(&unit);
            let Some(made) = made else {
                order.extend(unit);
                continue;
            };
            let (first, second) = match made.press {
                Press::Left => (&made.left, &made.right),
                _ => (&made.right, &made.left),
            };
            stack.push(second.clone());
            stack.push(first.clone());
        }
        order
    }
}

/// How far from a point inside a ring one goes on in a direction before leaving it.
fn leaves_at(ring: &[P], from: P, way: P) -> f64 {
    (0..ring.len())
        .filter_map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            let side = flat::sub(b, a);
            let turn = flat::cross(way, side);
            if turn.abs() < 1e-9 {
                return None;
            }
            let to = flat::sub(a, from);
            let (t, u) = (flat::cross(to, side) / turn, flat::cross(to, way) / turn);
            ((-1e-9..=1.0 + 1e-9).contains(&u) && t > 0.0).then_some(t)
        })
        .fold(f64::INFINITY, f64::min)
}
