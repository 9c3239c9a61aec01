//! Rings of borders round the inner top: plain, pieced, and the spacers that make pieced
//! ones fit.
//!
//! Butted: both sides over the height so far, then top and bottom over the whole width.
//! Mitred: four strips whose ends meet on the diagonal. With squares: four strips as long
//! as the sides and a square in each corner. Pieced: units in a row along every side, each
//! side a quarter turn on from the one before, and a square or a block in each corner.
//!
//! ```text
//!   ┌──┬──┬──┬──┬──┬──┐   side L of what lies inside, unit of length u:
//!   │◪ │▷ │▷ │▷ │▷ │◩ │     L = n·u, or the border does not fit.
//!   ├──┼──┴──┴──┴──┼──┤   A spacer of width s before it, plain borders f between:
//!   │△ │           │▽ │     L + 2s + 2f = n·u, n the least that leaves s wide enough.
//!   ├──┤           ├──┤   Width and height each have their own s: they are alike when
//! ```                      width and height differ by whole units.
//!
//! Source of the spacer: each ring's inner length must equal the size of what lies inside,
//! and plain rings bring that to a size the next pieced ring divides ("Border size problems
//! (spacer border)", a teacher's page; held against `fixtures/handbook/rings.csv`).

use std::collections::BTreeMap;

use geometry::{Motion, Point, Polygon, Surd};

use super::straight::in_cell;
use super::{BorderSpot, Part, PartKind, PartShape, PlacedBlock, RingSide, size_in, upright};
use crate::findings::Finding;
use crate::measure::Measure;
use crate::plan::{BorderKind, BorderPlan, CellPlan, Corner, Pieced, Plan};

/// One border as it comes out.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Ring {
    /// Finished width of its left and right strips, inches; zero where a spacer is not
    /// needed.
    pub side: Surd,
    /// Finished width of its top and bottom strips, inches; zero as above.
    pub end: Surd,
    /// Finished width and height of what lies inside it.
    pub before: (Surd, Surd),
    /// Finished width and height with it.
    pub after: (Surd, Surd),
    /// Pieced: how many units lie along the top, and how many along a side.
    pub units: Option<(u32, u32)>,
    /// How a spacer's width or the number of units comes about, in a sentence.
    pub sum: Option<String>,
}

/// All borders laid round an inner top.
pub(super) struct Laid {
    pub(super) rings: Vec<Ring>,
    pub(super) parts: Vec<Part>,
    pub(super) blocks: Vec<PlacedBlock>,
    /// How far the inner top lies in from the corner.
    pub(super) inset: Point,
}

/// The least the borders add to the size, on both sides together: spacers at their least.
pub(super) fn least(plan: &Plan) -> Surd {
    let width = |border: &BorderPlan| match &border.kind {
        BorderKind::Pieced(pieced) => pieced
            .units
            .first()
            .map_or(Surd::ZERO, |unit| size_in(plan, unit).1),
        BorderKind::Plain | BorderKind::Spacer => border.width.clone(),
        BorderKind::UpTo { .. } => Surd::ZERO,
    };
    plan.borders.iter().map(width).sum::<Surd>().times(2)
}

/// Works the rings out from the inside, without laying anything.
///
/// # Errors
///
/// A finding for each pieced border that does not fit.
pub(super) fn rings(plan: &Plan, inner: (&Surd, &Surd)) -> Result<Vec<Ring>, Vec<Finding>> {
    let mut before = (inner.0.clone(), inner.1.clone());
    let (mut rings, mut findings) = (Vec::new(), Vec::new());
    for (index, border) in plan.borders.iter().enumerate() {
        let sums = Sums {
            plan,
            index,
            before: &before,
        };
        let ring = match &border.kind {
            BorderKind::Plain => Ok(sums.ring((border.width.clone(), border.width.clone()))),
            BorderKind::Spacer => sums.spacer(border),
            BorderKind::UpTo { width, height } => sums.up_to(border, (width, height)),
            BorderKind::Pieced(pieced) => sums.pieced(pieced),
        };
        match ring {
            Ok(ring) => {
                before = ring.after.clone();
                rings.push(ring);
            }
            Err(finding) => {
                findings.push(finding);
                break;
            }
        }
    }
    if findings.is_empty() {
        Ok(rings)
    } else {
        Err(findings)
    }
}

/// Lays the borders round an inner top of this size.
pub(super) fn laid(plan: &Plan, inner: (&Surd, &Surd)) -> Result<Laid, Vec<Finding>> {
    let rings = rings(plan, inner)?;
    let mut at = Point::new(
        rings.iter().map(|ring| ring.side.clone()).sum(),
        rings.iter().map(|ring| ring.end.clone()).sum(),
    );
    let inset = at.clone();
    let (mut parts, mut blocks) = (Vec::new(), Vec::new());
    for (index, (border, ring)) in plan.borders.iter().zip(&rings).enumerate() {
        at = &at - &Point::new(ring.side.clone(), ring.end.clone());
        let laying = Laying {
            plan,
            index,
            border,
            ring,
            at: &at,
        };
        match (&border.kind, border.corner) {
            (BorderKind::Pieced(pieced), _) => laying.pieced(pieced, &mut blocks, &mut parts),
            (_, Corner::Butted) => laying.butted(&mut parts),
            (_, Corner::Mitred) => laying.mitred(&mut parts),
            (_, Corner::Squares(_)) => laying.with_squares(&mut parts),
        }
    }
    Ok(Laid {
        rings,
        parts,
        blocks,
        inset,
    })
}

/// The sums of one ring.
struct Sums<'a> {
    plan: &'a Plan,
    index: usize,
    before: &'a (Surd, Surd),
}

/// What a pieced border's units measure: along the side all of a repeat together, and
/// across.
struct Run {
    length: Surd,
    height: Surd,
    /// How many repeats a side must be a multiple of: two where it is mirrored at the
    /// middle.
    step: i64,
}

impl Sums<'_> {
    fn say(&self, length: &Surd) -> String {
        self.plan.measure.say(length)
    }

    fn ring(&self, (side, end): (Surd, Surd)) -> Ring {
        Ring {
            after: (
                &self.before.0 + &side.times(2),
                &self.before.1 + &end.times(2),
            ),
            before: self.before.clone(),
            side,
            end,
            units: None,
            sum: None,
        }
    }

    /// The next pieced border from here on, with the width of all plain ones up to it.
    fn next_pieced(&self) -> Option<(usize, &Pieced, Surd)> {
        let mut between = Surd::ZERO;
        for (index, border) in self.plan.borders.iter().enumerate().skip(self.index + 1) {
            match &border.kind {
                BorderKind::Plain => between += &border.width,
                // Their widths are not known before what lies inside them is.
                BorderKind::Spacer | BorderKind::UpTo { .. } => return None,
                BorderKind::Pieced(pieced) => return Some((index, pieced, between)),
            }
        }
        None
    }

    fn spacer(&self, border: &BorderPlan) -> Result<Ring, Finding> {
        let number = self.index + 1;
        let Some((next, pieced, between)) = self.next_pieced() else {
            return Err(Finding::stop(format!(
                "Border {number} is a spacer, but no pieced border follows that it could make fit. Give it a width, or put a pieced border outside it."
            )));
        };
        let run = self.run(next, pieced)?;
        let width = |inside: &Surd| {
            let bound = inside + &border.width.times(2) + between.times(2);
            let unit = run.length.times(run.step);
            // The least multiple of the repeat that is not shorter.
            let count = bound
                .checked_div(&unit)
                .map_or(0, |ratio| -(-ratio).floor());
            let length = unit.times(count.max(1));
            let width = (&length - inside - between.times(2)).half();
            (width, length, count.max(1) * run.step)
        };
        let across = width(&self.before.0);
        let down = width(&self.before.1);
        self.can_turn(border, (&across.0, &down.0))?;
        let way = |(width, length, count): &(Surd, Surd, i64), inside: &Surd, side: &str| {
            let fixed = if between.is_zero() {
                String::new()
            } else {
                format!(" and 2 × {} of border between", self.say(&between))
            };
            format!(
                "{side} {} + 2 × {}{fixed} = {} = {count} × {}",
                self.say(inside),
                self.say(width),
                self.say(length),
                self.say(&run.length)
            )
        };
        let sum = format!(
            "It makes the units of border {} fit: {}, {}.",
            next + 1,
            way(&across, &self.before.0, "width"),
            way(&down, &self.before.1, "length")
        );
        Ok(Ring {
            sum: Some(sum),
            ..self.ring((across.0, down.0))
        })
    }

    /// Strips of different width cannot be mitred.
    fn can_turn(&self, border: &BorderPlan, (side, end): (&Surd, &Surd)) -> Result<(), Finding> {
        if border.corner != Corner::Mitred || side == end {
            return Ok(());
        }
        Err(Finding::stop(format!(
            "Border {} comes out {} wide at the sides and {} at top and bottom, and such strips cannot be mitred. Let its corners be butted.",
            self.index + 1,
            self.say(side),
            self.say(end)
        )))
    }

    fn up_to(&self, border: &BorderPlan, wanted: (&Surd, &Surd)) -> Result<Ring, Finding> {
        let (width, height) = self.before;
        let (side, end) = ((wanted.0 - width).half(), (wanted.1 - height).half());
        if side.sign().is_lt() || end.sign().is_lt() {
            return Err(Finding::stop(format!(
                "Border {} is to bring the top up to {}, but it is {} already. Take blocks or borders away, or make it larger.",
                self.index + 1,
                self.plan.measure.size(wanted.0, wanted.1),
                self.plan.measure.size(width, height)
            )));
        }
        self.can_turn(border, (&side, &end))?;
        let sum = format!(
            "It brings the top up to {}: width {} + 2 × {}, length {} + 2 × {}.",
            self.plan.measure.size(wanted.0, wanted.1),
            self.say(width),
            self.say(&side),
            self.say(height),
            self.say(&end)
        );
        Ok(Ring {
            sum: Some(sum),
            ..self.ring((side, end))
        })
    }

    fn pieced(&self, pieced: &Pieced) -> Result<Ring, Finding> {
        let run = self.run(self.index, pieced)?;
        let across = self.repeats(&run, &self.before.0, "wide")?;
        let down = self.repeats(&run, &self.before.1, "long")?;
        let many = pieced.units.len() as i64;
        let units = |repeats: i64| u32::try_from(repeats * many).unwrap_or(u32::MAX);
        let sum = format!(
            "The top is {} wide and {} long up to here: {} × {} and {} × {}.",
            self.say(&self.before.0),
            self.say(&self.before.1),
            across,
            self.say(&run.length),
            down,
            self.say(&run.length),
        );
        Ok(Ring {
            units: Some((units(across), units(down))),
            sum: Some(sum),
            ..self.ring((run.height.clone(), run.height))
        })
    }

    /// How often the repeat goes along a side.
    fn repeats(&self, run: &Run, inside: &Surd, way: &str) -> Result<i64, Finding> {
        let unit = run.length.times(run.step);
        let count = inside.checked_div(&unit).map_or(0, |ratio| ratio.floor());
        if count > 0 && unit.times(count) == *inside {
            return Ok(count * run.step);
        }
        let up = unit.times(count + 1);
        let spacer = (&up - inside).half();
        let fitting = count.max(1) * run.step;
        let two = if run.step == 2 {
            ", in pairs because it is mirrored at the middle,"
        } else {
            ""
        };
        Err(Finding::stop(format!(
            "Border {} does not fit: its repeat of {}{two} goes {} times into {}, the top is {} {way} up to there, and {} is left over. \
             Put a spacer before it ([[border]] with spacer = true; here it would be {} wide), or draft its units so that a repeat is {} long.",
            self.index + 1,
            self.say(&run.length),
            count * run.step,
            self.say(&unit.times(count)),
            self.say(inside),
            self.say(&(inside - &unit.times(count))),
            self.say(&spacer),
            exactly(self.plan.measure, &inside.over(fitting)),
        )))
    }

    /// What the units measure, if all are equally high and the corners fit.
    fn run(&self, index: usize, pieced: &Pieced) -> Result<Run, Finding> {
        let number = index + 1;
        let sizes: Vec<(Surd, Surd)> = pieced
            .units
            .iter()
            .map(|unit| size_in(self.plan, unit))
            .collect();
        let Some((_, height)) = sizes.first() else {
            return Err(Finding::stop(format!(
                "Border {number} is pieced but has no units. Give it at least one, or make it plain."
            )));
        };
        if let Some((_, other)) = sizes.iter().find(|(_, other)| other != height) {
            return Err(Finding::stop(format!(
                "The units of border {number} are {} and {} high as they lie in the top side; all must be equally high. Draft them to one height, or turn one.",
                self.say(height),
                self.say(other)
            )));
        }
        if let Some(corner) = &pieced.corner {
            let (w, h) = size_in(self.plan, corner);
            if w != *height || h != *height {
                return Err(Finding::stop(format!(
                    "The corner block of border {number} is {}, but the border is {} wide. Draft it {} wide and high, or leave it out for plain squares.",
                    self.plan.measure.size(&w, &h),
                    self.say(height),
                    self.say(height)
                )));
            }
        }
        Ok(Run {
            length: sizes.iter().map(|(length, _)| length.clone()).sum(),
            height: height.clone(),
            step: if pieced.from_middle { 2 } else { 1 },
        })
    }
}

/// A length to draft by: exact as a fraction where the ruler's marks do not say it.
fn exactly(measure: Measure, length: &Surd) -> String {
    let said = measure.say(length);
    let marks = match measure {
        Measure::Inch => length.times(16),
        Measure::Centimetre => length
            .checked_div(&measure.in_inches())
            .map_or(Surd::ZERO, |cm| cm.times(10)),
    };
    let whole = Surd::int(marks.floor()) == marks;
    match length.checked_div(&measure.in_inches()) {
        Some(exact) if !whole => format!("{exact} {} ({said})", measure.sign()),
        _ => said,
    }
}

/// One ring: its outer corner lies at `at`.
struct Laying<'a> {
    plan: &'a Plan,
    index: usize,
    border: &'a BorderPlan,
    ring: &'a Ring,
    at: &'a Point,
}

impl Laying<'_> {
    /// Where the ring's hole begins, and where the right and bottom strips begin.
    fn hole(&self) -> (Point, Point) {
        let near = self.at + &Point::new(self.ring.side.clone(), self.ring.end.clone());
        let inner = Point::new(self.ring.before.0.clone(), self.ring.before.1.clone());
        let far = &near + &inner;
        (near, far)
    }

    fn strip(&self, kind: PartKind, corner: (&Surd, &Surd), size: (&Surd, &Surd)) -> Option<Part> {
        let cloth = match (kind, self.border.corner) {
            (PartKind::BorderSquare(_), Corner::Squares(cloth)) => cloth,
            _ => self.border.cloth,
        };
        upright(kind, cloth, corner, size)
    }

    fn butted(&self, parts: &mut Vec<Part>) {
        let ring = self.ring;
        let (near, far) = self.hole();
        let whole = &ring.after.0;
        let side = PartKind::BorderSide(self.index);
        let end = PartKind::BorderEnd(self.index);
        let sides = (&ring.side, &ring.before.1);
        parts.extend(self.strip(side, (&self.at.x, &near.y), sides));
        parts.extend(self.strip(side, (&far.x, &near.y), sides));
        parts.extend(self.strip(end, (&self.at.x, &self.at.y), (whole, &ring.end)));
        parts.extend(self.strip(end, (&self.at.x, &far.y), (whole, &ring.end)));
    }

    fn with_squares(&self, parts: &mut Vec<Part>) {
        let ring = self.ring;
        let (near, far) = self.hole();
        let side = PartKind::BorderSide(self.index);
        let end = PartKind::BorderEnd(self.index);
        let sides = (&ring.side, &ring.before.1);
        let ends = (&ring.before.0, &ring.end);
        parts.extend(self.strip(side, (&self.at.x, &near.y), sides));
        parts.extend(self.strip(side, (&far.x, &near.y), sides));
        parts.extend(self.strip(end, (&near.x, &self.at.y), ends));
        parts.extend(self.strip(end, (&near.x, &far.y), ends));
        self.squares(parts);
    }

    /// The plain corners, clockwise from the top left.
    fn squares(&self, parts: &mut Vec<Part>) {
        let (_, far) = self.hole();
        let square = PartKind::BorderSquare(self.index);
        for corner in [
            (&self.at.x, &self.at.y),
            (&far.x, &self.at.y),
            (&far.x, &far.y),
            (&self.at.x, &far.y),
        ] {
            parts.extend(self.strip(square, corner, (&self.ring.side, &self.ring.end)));
        }
    }

    fn mitred(&self, parts: &mut Vec<Part>) {
        let wide = &self.ring.side;
        let (near, far) = self.hole();
        let (end_x, end_y) = (&far.x + wide, &far.y + wide);
        let point = |x: &Surd, y: &Surd| Point::new(x.clone(), y.clone());
        let outer = [
            point(&self.at.x, &self.at.y),
            point(&end_x, &self.at.y),
            point(&end_x, &end_y),
            point(&self.at.x, &end_y),
        ];
        let hole = [
            point(&near.x, &near.y),
            point(&far.x, &near.y),
            point(&far.x, &far.y),
            point(&near.x, &far.y),
        ];
        let side = PartKind::BorderSide(self.index);
        let end = PartKind::BorderEnd(self.index);
        // Each strip by the two corners of its long side, clockwise.
        for (kind, from, to) in [(side, 3, 0), (side, 1, 2), (end, 0, 1), (end, 2, 3)] {
            let corners = vec![
                outer[from].clone(),
                outer[to].clone(),
                hole[to].clone(),
                hole[from].clone(),
            ];
            let inner = if kind == side {
                &self.ring.before.1
            } else {
                &self.ring.before.0
            };
            parts.extend(Polygon::new(corners).ok().map(|outline| Part {
                kind,
                cloth: self.border.cloth,
                shape: PartShape::MitredStrip,
                outline,
                length: inner + &wide.times(2),
                width: wide.clone(),
            }));
        }
    }

    /// Units along the sides clockwise from the top left, then the corners.
    fn pieced(&self, pieced: &Pieced, blocks: &mut Vec<PlacedBlock>, parts: &mut Vec<Part>) {
        let (near, far) = self.hole();
        let (across, down) = self.ring.units.unwrap_or_default();
        // Where each side begins going clockwise, and which way it runs.
        let sides = [
            (RingSide::Top, (&near.x, &self.at.y), across),
            (RingSide::Right, (&far.x, &near.y), down),
            (RingSide::Bottom, (&far.x, &far.y), across),
            (RingSide::Left, (&self.at.x, &far.y), down),
        ];
        let mut known = BTreeMap::new();
        for (side, start, count) in sides {
            let mut at = Point::new(start.0.clone(), start.1.clone());
            for (index, cell) in (0u32..).zip(pieced.along(count)) {
                let cell = turned(&cell, side.turn());
                let (width, height) = size_in(self.plan, &cell);
                let (step, back) = match side {
                    RingSide::Top => (Point::new(width, Surd::ZERO), false),
                    RingSide::Right => (Point::new(Surd::ZERO, height), false),
                    RingSide::Bottom => (Point::new(-width, Surd::ZERO), true),
                    _ => (Point::new(Surd::ZERO, -height), true),
                };
                let next = &at + &step;
                let corner = if back { &next } else { &at };
                blocks.extend(self.block(&cell, (side, index), corner, &mut known));
                at = next;
            }
        }
        let Some(corner) = &pieced.corner else {
            self.squares(parts);
            return;
        };
        for (turn, at) in (0u8..).zip([
            (&self.at.x, &self.at.y),
            (&far.x, &self.at.y),
            (&far.x, &far.y),
            (&self.at.x, &far.y),
        ]) {
            let cell = turned(corner, turn);
            let at = Point::new(at.0.clone(), at.1.clone());
            let spot = (RingSide::Corner, u32::from(turn));
            blocks.extend(self.block(&cell, spot, &at, &mut known));
        }
    }

    fn block(
        &self,
        cell: &CellPlan,
        (side, index): (RingSide, u32),
        at: &Point,
        known: &mut BTreeMap<(usize, u8), Motion>,
    ) -> Option<PlacedBlock> {
        let id = self.plan.laid(cell)?;
        let block = self.plan.block(id);
        let turn = cell.turn % 4;
        let upright = known
            .entry((id.0, turn))
            .or_insert_with(|| in_cell(&block.width, &block.height, turn.into()));
        Some(PlacedBlock {
            row: 0,
            column: index,
            between: false,
            diagonal: None,
            border: Some(BorderSpot {
                ring: self.index,
                side,
            }),
            block: id,
            colourway: cell.colourway,
            turn,
            copy: 0,
            scraps: std::collections::BTreeMap::new(),
            motion: upright.then(&Motion::shift(at.clone())),
        })
    }
}

fn turned(cell: &CellPlan, by: u8) -> CellPlan {
    CellPlan {
        turn: (cell.turn + by) % 4,
        ..*cell
    }
}
