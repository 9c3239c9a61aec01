//! Where the needle passes: how two units are laid on each other, which points the
//! stitching must meet, and where it leaves the cloth.
//!
//! ```text
//!        tip of the smaller angle             the stitching runs out of the square
//!      ╲──┐                                   at s / sin 90° beyond the finished corner,
//!   ····╲·│···· stitching, s from the edge    out of the triangle at s / sin 45°:
//!        ╲│                                   s (√2 − 1) onto the triangle
//! ```
//!
//! At one end of a seam let the two units have the angles α and β. Cut with full
//! corners, their raw edges reach s·cot(α/2) and s·cot(β/2) beyond the finished corner,
//! and the stitching line leaves them s / sin α and s / sin β beyond it. So the smaller
//! angle sticks out by the difference of the first two, and the stitching runs on over
//! one of the units by the difference of the others: nothing where α = β, and nothing
//! where α + β = 180°, when the line runs exactly into the notch between them.
//!
//! **Seams that stop at a point** have nothing to land there: the stitching ends on the dot.
//! A seam that closes a slit has one end like that, and runs out at the other between the
//! two fans of patches that are already sewn together there.
//!
//! **Units.** Inches. Exact where both angles come from directions at multiples of 15°;
//! else floating, because the sine leaves the exact numbers.
//!
//! **Knows nothing of** pressing. Lengths are those of the shapes as cut, before sewing
//! stretches or shifts anything.
//!
//! **Always holds.** One landing a join, in working order; two ends each, first that of
//! `seam.a`. Templates whose ears are trimmed are looked at as they are printed.

use std::collections::BTreeMap;

use geometry::{Motion, Point, Surd};

use super::seams::{Seams, Side};
use super::{BlockSewing, Join, size};
use crate::block::{Block, SeamEnd};
use crate::measure::Measure;
use crate::plan::Plan;

/// Below this many inches two lengths count as the same: far finer than any thread.
const SAME: f64 = 1e-6;

/// A length that is exact where it can be.
#[derive(Clone, PartialEq, Debug)]
pub struct Length {
    /// Inches.
    pub value: f64,
    /// The same exactly; `None` where an angle at no multiple of 15° makes it leave the
    /// exact numbers.
    pub exact: Option<Surd>,
}

impl Length {
    fn nought() -> Self {
        Self {
            value: 0.0,
            exact: Some(Surd::ZERO),
        }
    }

    fn times(&self, by: &Surd) -> Self {
        Self {
            value: self.value * by.to_f64(),
            exact: self.exact.as_ref().map(|exact| exact * by),
        }
    }

    /// How much this is more than another.
    fn beyond(&self, other: &Self) -> Self {
        Self {
            value: self.value - other.value,
            exact: match (&self.exact, &other.exact) {
                (Some(a), Some(b)) => Some(a - b),
                _ => None,
            },
        }
    }

    fn turned_over(self) -> Self {
        Self {
            value: -self.value,
            exact: self.exact.map(|exact| -&exact),
        }
    }

    /// Nought exactly, or as near as floats tell.
    fn is_nought(&self) -> bool {
        match &self.exact {
            Some(exact) => exact.is_zero(),
            None => self.value.abs() < SAME,
        }
    }

    /// As the maker reads it: the nearest 1/32 in, or tenth of a millimetre, with
    /// `about` where it is not that mark exactly.
    #[must_use]
    pub fn say(&self, measure: Measure) -> String {
        let marks = match measure {
            Measure::Inch => 32,
            Measure::Centimetre => 254,
        };
        let nearest = Surd::ratio(
            (self.value * f64::from(marks)).round() as i64,
            i64::from(marks),
        );
        let said = measure.say(&nearest);
        let exact = (nearest.to_f64() - self.value).abs() < SAME;
        if exact { said } else { format!("about {said}") }
    }
}

/// Where the stitching leaves the cloth at one end of a seam.
#[derive(Clone, PartialEq, Debug)]
pub struct End {
    /// The finished corner, in block coordinates.
    pub at: Point,
    /// Whether the stitching runs out here, or stops or begins on the point.
    pub stops: SeamEnd,
    /// With full corners: the patch it runs on over after it has left the other unit;
    /// `None` where it leaves both at once.
    pub runs_onto: Option<usize>,
    /// The unit that patch belongs to.
    pub side: Option<Side>,
    /// How far it runs over that patch.
    pub by: Length,
    /// Whether it leaves both at once in the notch between two raw edges that slant
    /// away from each other, rather than where one edge lies on the other.
    pub notch: bool,
    /// The unit whose tip sticks out beyond the other's raw corner, with full corners.
    pub ear: Option<Side>,
    /// How far it sticks out, along the raw edges that are sewn.
    pub ear_by: Length,
    /// How far the tips stick out of each other when the patches are cut by the
    /// templates with trimmed ears; nought where the raw ends lie on each other.
    pub trimmed_ear: f64,
    /// How far the stitching runs over one unit alone with trimmed ears.
    pub trimmed_by: f64,
}

/// A point inside a seam that has to be met.
#[derive(Clone, PartialEq, Debug)]
pub struct Pass {
    /// Where, in block coordinates.
    pub at: Point,
    /// How many seams of the unit on the left come to it, and of the one on the right.
    pub seams: [usize; 2],
}

impl Pass {
    /// The unit whose crossing of seams the stitching must pass exactly over, to leave
    /// its point whole. With a crossing on both units, the left one.
    #[must_use]
    pub fn over(&self) -> Option<Side> {
        match self.seams {
            [2..=usize::MAX, _] => Some(Side::Left),
            [_, 2..=usize::MAX] => Some(Side::Right),
            _ => None,
        }
    }

    /// Whether seams of both units have to meet here.
    #[must_use]
    pub fn meets(&self) -> bool {
        self.seams[0] > 0 && self.seams[1] > 0
    }
}

/// How one join is laid and stitched.
#[derive(Clone, PartialEq, Debug)]
pub struct Landing {
    /// At `seam.a` and at `seam.b`.
    pub ends: [End; 2],
    /// Points inside the seam that have to be met, from `seam.a` on.
    pub passes: Vec<Pass>,
    /// The unit that lies underneath at the machine; `None` where either may.
    pub under: Option<Side>,
    /// Why.
    pub under_reason: &'static str,
    /// Whether it closes a slit inside one unit, from `ends[0]` outwards.
    pub closes: bool,
}

const BIAS_UNDER: &str = "its edge is on the bias, and the feed takes up what it stretches";
const POINT_UP: &str = "the other shows the crossing the stitching must meet";
const EITHER_UNDER: &str = "neither edge stretches more than the other";

impl Landing {
    /// Whether both ends have the same ear on the same unit, so that the shorter piece
    /// is laid with its middle on the middle of the longer.
    #[must_use]
    pub fn equal_ears(&self) -> bool {
        let [a, b] = &self.ends;
        !self.closes && a.ear == b.ear && a.ear_by.beyond(&b.ear_by).is_nought()
    }

    /// What to look for while sewing, in a sentence or two; empty where there is
    /// nothing but two corners lying on each other.
    ///
    /// `names` are what the left and the right unit are called.
    #[must_use]
    pub fn say(&self, names: [&str; 2], measure: Measure) -> String {
        let name = |side: Side| names[side as usize];
        let mut told: Vec<String> = Vec::new();
        if let Some(ears) = self.ears_in_words(names, measure) {
            told.push(ears);
        }
        if let Some(stitching) = self.ends_in_words(measure) {
            told.push(stitching);
        }
        let over: Vec<Side> = self.passes.iter().filter_map(Pass::over).collect();
        if let Some(&first) = over.first() {
            let one = |side| over.iter().all(|&s| s == side);
            let whose = if one(first) && names[0] != names[1] {
                format!(" on {}", name(first))
            } else {
                String::new()
            };
            told.push(match over.len() {
                1 => format!("Stitch exactly over the crossing of seams{whose}."),
                n => format!("Stitch exactly over the {n} crossings of seams{whose}."),
            });
        }
        if let Some(under) = self.under.filter(|_| names[0] != names[1]) {
            told.push(format!("Lay {} underneath.", name(under)));
        }
        told.join(" ")
    }

    fn ears_in_words(&self, names: [&str; 2], measure: Measure) -> Option<String> {
        let name = |side: Side| names[side as usize];
        let [a, b] = &self.ends;
        let ear = |end: &End| Some((end.ear?, end.ear_by.say(measure)));
        match (ear(a), ear(b)) {
            (None, None) => None,
            (_, Some((side, by))) if self.closes => Some(format!(
                "Where the seam runs out, the tip of {} sticks out by {by} with full corners.",
                name(side)
            )),
            (Some((side, by)), _) if self.equal_ears() => Some(format!(
                "Match the middles: with full corners the tips of {} stick out by {by} at both ends.",
                name(side)
            )),
            (Some((side, by)), None) | (None, Some((side, by))) => Some(format!(
                "Match the square ends; with full corners the tip of {} sticks out by {by} at the other end.",
                name(side)
            )),
            (Some((one, by)), Some((other, also))) if one == other => Some(format!(
                "With full corners the tips of {} stick out by {by} at one end and {also} at the other.",
                name(one)
            )),
            (Some((one, by)), Some((other, also))) => Some(format!(
                "With full corners the tip of {} sticks out by {by} at one end and that of {} by {also} at the other.",
                name(one),
                name(other)
            )),
        }
    }

    fn ends_in_words(&self, measure: Measure) -> Option<String> {
        if self.closes {
            let out = &self.ends[1];
            return match (&out.runs_onto, out.notch) {
                (Some(_), _) => Some(format!(
                    "Where it runs out, the stitching goes {} onto the tip.",
                    out.by.say(measure)
                )),
                (None, true) => {
                    Some("Where it runs out, the stitching goes exactly into the notch.".into())
                }
                (None, false) => None,
            };
        }
        let notches = self.ends.iter().filter(|end| end.notch).count();
        let runs: Vec<&End> = self.ends.iter().filter(|e| e.runs_onto.is_some()).collect();
        let runs_over = |end: &End| end.by.say(measure);
        Some(match (notches, runs.as_slice()) {
            (2, _) => "The stitching begins and ends in the notches between the two.".into(),
            (1, []) => "At one end the stitching runs exactly into the notch.".into(),
            (1, [end, ..]) => format!(
                "At one end the stitching runs exactly into the notch, at the other {} onto the tip.",
                runs_over(end)
            ),
            (_, [one, other]) if one.by.beyond(&other.by).is_nought() => {
                format!(
                    "At both ends the stitching runs {} onto the tip.",
                    runs_over(one)
                )
            }
            (_, [one, other]) => format!(
                "The stitching runs {} onto the tip at one end and {} at the other.",
                runs_over(one),
                runs_over(other)
            ),
            (_, [one]) => format!(
                "At one end the stitching runs {} onto the tip.",
                runs_over(one)
            ),
            _ => return None,
        })
    }
}

/// The landings of every join of a block.
pub(super) fn landings(plan: &Plan, block: &Block, sewn: &BlockSewing) -> Vec<Landing> {
    let seams = Seams::of(block, sewn);
    let points = &block.drafted.arrangement.vertices;
    let number: BTreeMap<&Point, usize> = points.iter().enumerate().map(|(i, p)| (p, i)).collect();
    let frames: Vec<Frame> = block
        .patches
        .iter()
        .map(|p| Frame::of(&p.from_template))
        .collect();
    let room = Room {
        seams,
        number,
        frames,
        seam: &plan.seam,
    };
    (0..sewn.joins.len())
        .map(|join| room.landing(join))
        .collect()
}

/// What landings look at.
struct Room<'a> {
    seams: Seams<'a>,
    number: BTreeMap<&'a Point, usize>,
    /// For each patch, from its template to the block.
    frames: Vec<Frame>,
    seam: &'a Surd,
}

/// A unit's corner at one end of a seam.
struct Corner {
    /// The patch with the seam's edge, and the one with the unit's outer edge.
    first: usize,
    outer: usize,
    /// 1 / sin and cot of half the corner's angle.
    over_sine: Length,
    cot_half: Length,
    /// As exact vectors: along the seam, along the outer edge.
    along: Point,
    out: Point,
}

impl Room<'_> {
    fn landing(&self, index: usize) -> Landing {
        let join = &self.seams.joins[index];
        let ends = [
            (&join.seam.a, &join.seam.b, join.ends[0]),
            (&join.seam.b, &join.seam.a, join.ends[1]),
        ]
        .map(|(at, other, stops)| self.end(index, at, other, stops));
        let passes = self.passes(index);
        let (under, under_reason) = self.under(join, &passes);
        Landing {
            ends,
            passes,
            under,
            under_reason,
            closes: join.closes,
        }
    }

    fn end(&self, join: usize, at: &Point, other: &Point, stops: SeamEnd) -> End {
        let inside = stops != SeamEnd::Through;
        if inside && self.seams.joins[join].closes {
            return plain(at, stops);
        }
        let corners = [Side::Left, Side::Right].map(|side| self.corner(join, side, at, other));
        let [Some(left), Some(right)] = corners else {
            return plain(at, stops);
        };
        let onto = left.over_sine.beyond(&right.over_sine).times(self.seam);
        let ear = left.cot_half.beyond(&right.cot_half).times(self.seam);
        let sided = |length: Length| match (length.is_nought(), length.value > 0.0) {
            (true, _) => (None, Length::nought()),
            (false, true) => (Some(Side::Left), length),
            (false, false) => (Some(Side::Right), length.turned_over()),
        };
        let (side, by) = sided(onto);
        let (ear, ear_by) = sided(ear);
        // Stitching that stops on the point runs over nothing; the raw corners lie there all
        // the same.
        let (side, by) = if inside {
            (None, Length::nought())
        } else {
            (side, by)
        };
        // Angles that add up to a straight line: the outer edges go on in one line.
        let notch = !inside && side.is_none() && ear.is_some();
        let reach = |corner: &Corner| self.trimmed_reach(corner, at);
        let exit = |corner: &Corner| self.trimmed_exit(corner, at);
        End {
            at: at.clone(),
            stops,
            runs_onto: side.map(|side| match side {
                Side::Left => left.outer,
                Side::Right => right.outer,
            }),
            side,
            by,
            notch,
            ear,
            ear_by,
            trimmed_ear: no_dust((reach(&left) - reach(&right)).abs()),
            trimmed_by: if inside {
                0.0
            } else {
                no_dust((exit(&left) - exit(&right)).abs())
            },
        }
    }

    /// The corner of a unit at one end of a seam; `None` where the unit has none there,
    /// as at the end of a seam that stops inside.
    fn corner(&self, join: usize, side: Side, at: &Point, other: &Point) -> Option<Corner> {
        let (seams, drawing) = (&self.seams, &self.seams.block.drafted.arrangement);
        let &vertex = self.number.get(at)?;
        let patches = seams.joins[join].patches(side);
        let mine = |edge: usize| {
            let edge = &drawing.edges[edge];
            let faces = [edge.left, edge.right].into_iter().flatten();
            let mut faces = faces.filter(|face| patches.binary_search(face).is_ok());
            match (faces.next(), faces.next()) {
                (Some(only), None) => Some(only),
                _ => None,
            }
        };
        let along = other - at;
        if seams.joins[join].closes {
            let (first, (outer, out)) = self.fan(join, side, vertex)?;
            let (over_sine, cot_half) = angle(&along, &out)?;
            return Some(Corner {
                first,
                outer,
                over_sine,
                cot_half,
                along,
                out,
            });
        }
        let (mut first, mut outer) = (None, None);
        for &edge in &seams.at[vertex] {
            let Some(patch) = mine(edge) else { continue };
            let way = &drawing.vertices[seams.other_end(edge, vertex)] - at;
            if way.cross(&along).is_zero() && way.dot(&along).is_positive() {
                first = Some(patch);
            } else {
                outer = Some((patch, way));
            }
        }
        let (first, (outer, out)) = (first?, outer?);
        let (over_sine, cot_half) = angle(&along, &out)?;
        Some(Corner {
            first,
            outer,
            over_sine,
            cot_half,
            along,
            out,
        })
    }

    /// On one side of a seam that closes, at the end where it runs out: the patch along it,
    /// and the raw edge of the patches sewn to that one so far, with the patch it is of.
    fn fan(&self, join: usize, side: Side, vertex: usize) -> Option<(usize, (usize, Point))> {
        let (seams, drawing) = (&self.seams, &self.seams.block.drafted.arrangement);
        let along = seams.joins[join].patches(side);
        let around = &seams.at[vertex];
        let mut edge = *around.iter().find(|&&e| seams.by_edge[e] == Some(join))?;
        let faces = |edge: usize| [drawing.edges[edge].left, drawing.edges[edge].right];
        let first = faces(edge)
            .into_iter()
            .flatten()
            .find(|face| along.binary_search(face).is_ok())?;
        let mut face = first;
        for _ in around {
            let next = |e: &&usize| **e != edge && faces(**e).contains(&Some(face));
            edge = *around.iter().find(next)?;
            let sewn = seams.by_edge[edge].is_some_and(|earlier| earlier < join);
            let beyond = faces(edge).into_iter().flatten().find(|f| *f != face);
            match beyond {
                Some(beyond) if sewn => face = beyond,
                _ => break,
            }
        }
        let out = &drawing.vertices[seams.other_end(edge, vertex)] - &drawing.vertices[vertex];
        Some((first, (face, out)))
    }

    /// How far the trimmed first patch reaches beyond the end along its raw edge.
    fn trimmed_reach(&self, corner: &Corner, at: &Point) -> f64 {
        let ring = self.trimmed(corner.first);
        let (along, out) = (unit(&corner.along), corner.out.to_f64());
        let here = at.to_f64();
        let mut square = [-along[1], along[0]];
        if square[0] * out[0] + square[1] * out[1] > 0.0 {
            square = [along[1], -along[0]];
        }
        // On the raw edge: one seam beyond the seam line, away from the unit.
        let raw = self.seam.to_f64();
        ring.iter()
            .map(|p| [p[0] - here[0], p[1] - here[1]])
            .filter(|p| (p[0] * square[0] + p[1] * square[1] - raw).abs() < SAME)
            .map(|p| -(p[0] * along[0] + p[1] * along[1]))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// How far beyond the end the stitching leaves the trimmed outer patch.
    fn trimmed_exit(&self, corner: &Corner, at: &Point) -> f64 {
        let (ring, here) = (self.trimmed(corner.outer), at.to_f64());
        let way = unit(&corner.along).map(|x| -x);
        let n = ring.len();
        (0..n)
            .filter_map(|i| {
                let (a, b) = (ring[i], ring[(i + 1) % n]);
                let normal = [b[1] - a[1], a[0] - b[0]];
                let towards = normal[0] * way[0] + normal[1] * way[1];
                let far = normal[0] * (a[0] - here[0]) + normal[1] * (a[1] - here[1]);
                (towards > SAME).then_some(far / towards)
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// A patch's trimmed outline where it lies in the block.
    fn trimmed(&self, patch: usize) -> Vec<[f64; 2]> {
        let block = self.seams.block;
        let template = &block.templates[block.patches[patch].template];
        template
            .trimmed
            .iter()
            .map(|&p| self.frames[patch].apply(p))
            .collect()
    }

    fn passes(&self, index: usize) -> Vec<Pass> {
        let join = &self.seams.joins[index];
        let along = join.seam.vector();
        let drawing = &self.seams.block.drafted.arrangement;
        let mut passes: Vec<Pass> = self
            .seams
            .inner_vertices(index)
            .into_iter()
            .map(|vertex| Pass {
                at: drawing.vertices[vertex].clone(),
                seams: [&join.left, &join.right].map(|unit| self.seams.running_in(vertex, unit)),
            })
            .filter(|pass| pass.meets() || pass.over().is_some())
            .collect();
        passes.sort_by_key(|pass| (&pass.at - &join.seam.a).dot(&along));
        passes
    }

    fn under(&self, join: &Join, passes: &[Pass]) -> (Option<Side>, &'static str) {
        let [left, right] = [Side::Left, Side::Right].map(|side| self.on_the_bias(join, side));
        if left > right + SAME {
            return (Some(Side::Left), BIAS_UNDER);
        }
        if right > left + SAME {
            return (Some(Side::Right), BIAS_UNDER);
        }
        let over: Vec<Side> = passes.iter().filter_map(Pass::over).collect();
        match over.first() {
            Some(&side) if over.iter().all(|&s| s == side) => match side {
                Side::Left => (Some(Side::Right), POINT_UP),
                Side::Right => (Some(Side::Left), POINT_UP),
            },
            _ => (None, EITHER_UNDER),
        }
    }

    /// How many inches of a unit's sewn edge lie on the bias.
    fn on_the_bias(&self, join: &Join, side: Side) -> f64 {
        let patches = join.patches(side).iter();
        let patches = patches.map(|&patch| &self.seams.block.patches[patch]);
        patches
            .flat_map(|patch| {
                let on_bias = |(index, _): &(usize, _)| patch.bias.contains(index);
                patch.outline.edges().enumerate().filter(on_bias)
            })
            .filter(|(_, edge)| join.seam.contains(&edge.a) && join.seam.contains(&edge.b))
            .map(|(_, edge)| edge.length_f64())
            .sum()
    }
}

/// An end where nothing sticks out: a seam that stops inside.
fn plain(at: &Point, stops: SeamEnd) -> End {
    End {
        at: at.clone(),
        stops,
        runs_onto: None,
        side: None,
        by: Length::nought(),
        notch: false,
        ear: None,
        ear_by: Length::nought(),
        trimmed_ear: 0.0,
        trimmed_by: 0.0,
    }
}

/// 1 / sin and cot of half the angle between two directions; `None` at 180° and beyond.
fn angle(along: &Point, out: &Point) -> Option<(Length, Length)> {
    let (cross, dot) = (along.cross(out).abs(), along.dot(out));
    if cross.is_zero() {
        return None;
    }
    let exact = size::unit_along(along)
        .zip(size::unit_along(out))
        .and_then(|(a, b)| {
            let over = a.cross(&b).abs().recip()?;
            let cot = &(&Surd::ONE + &a.dot(&b)) * &over;
            Some((over, cot))
        });
    Some(match exact {
        Some((over, cot)) => {
            let length = |exact: Surd| Length {
                value: exact.to_f64(),
                exact: Some(exact),
            };
            (length(over), length(cot))
        }
        None => {
            let angle = cross.to_f64().atan2(dot.to_f64());
            let length = |value: f64| Length { value, exact: None };
            (length(1.0 / angle.sin()), length(1.0 / (angle / 2.0).tan()))
        }
    })
}

/// What floats leave of nought, taken away.
fn no_dust(length: f64) -> f64 {
    if length < SAME { 0.0 } else { length }
}

fn unit(vector: &Point) -> [f64; 2] {
    let [x, y] = vector.to_f64();
    let length = x.hypot(y);
    [x / length, y / length]
}

/// A motion in floats.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    at: [f64; 2],
    x: [f64; 2],
    y: [f64; 2],
}

impl Frame {
    pub(super) fn of(motion: &Motion) -> Self {
        Self {
            at: motion.apply(&Point::ints(0, 0)).to_f64(),
            x: motion.apply_vector(&Point::ints(1, 0)).to_f64(),
            y: motion.apply_vector(&Point::ints(0, 1)).to_f64(),
        }
    }

    pub(super) fn apply(&self, p: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|i| self.at[i] + p[0] * self.x[i] + p[1] * self.y[i])
    }
}
