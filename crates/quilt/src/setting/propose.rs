//! How many blocks come nearest to the size the maker wants.
//!
//! The plan's own blocks, sashing, floating band and borders are kept; only the number of
//! rows and columns is counted up until the top no longer fits. Two answers are given: the
//! largest top that is not too large, and the next one up.
//!
//! A mattress asks for its width and twice the drop, by its length, the drop at the foot
//! and the tuck over the pillows (published sizes in `fixtures/handbook/beds.csv`).

use geometry::Surd;

use super::{borders, fit, size_in, sums};
use crate::plan::{Bed, Kind, Plan, Target};

/// What would come near the size aimed at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proposal {
    /// Width aimed at, inches.
    pub width: Surd,
    /// Length aimed at, inches.
    pub height: Surd,
    /// The largest top that is not too large in either direction; `None` if even one
    /// block is.
    pub fits: Option<Offer>,
    /// The next one up: at least as large in both directions. `None` if `fits` meets the
    /// size exactly.
    pub next: Option<Offer>,
}

/// So many blocks, and what they finish at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Offer {
    /// Blocks down (on point: main blocks).
    pub rows: u32,
    /// Blocks across (on point: main blocks).
    pub columns: u32,
    /// Finished width, borders included, inches.
    pub width: Surd,
    /// Finished length, inches.
    pub height: Surd,
    /// Width beyond the one aimed at; negative if it falls short.
    pub wider: Surd,
    /// Length beyond the one aimed at; negative if it falls short.
    pub longer: Surd,
    /// The same in words: `6 across and 8 down finish at 60 × 80 in: 3 in narrower and
    /// 7 in shorter than aimed at`.
    pub words: String,
}

/// More rows or columns than this are not a quilt; the count stops there.
const MOST: u32 = 10_000;

/// The finished size a mattress asks for: width + 2 · drop by length + drop + tuck.
#[must_use]
pub fn bed_size(bed: &Bed, drop: &Surd, tuck: &Surd) -> (Surd, Surd) {
    (&bed.width + &drop.times(2), &bed.length + drop + tuck)
}

/// What comes near the size the plan aims at; `None` if it aims at none or its blocks do not fit
/// one another.
#[must_use]
pub fn propose(plan: &Plan) -> Option<Proposal> {
    let (width, height) = match plan.setting.target.as_ref()? {
        Target::Bed { bed, drop, tuck } => bed_size(bed, drop, tuck),
        Target::Size { width, height } => (width.clone(), height.clone()),
    };
    let (across, down) = growths(plan)?;
    let (mut columns, mut rows) = (across.most_within(&width), down.most_within(&height));
    let offer = |rows: u32, columns: u32| {
        Offer::new(plan, (&across, &down), (rows, columns), (&width, &height))
    };
    // A spacer may come out wider than its least.
    while columns > 0 && offer(rows, columns).width > width {
        columns -= 1;
    }
    while rows > 0 && offer(rows, columns).height > height {
        rows -= 1;
    }
    let fits = (columns > 0 && rows > 0).then(|| offer(rows, columns));
    let up = |growth: &Growth, count: u32, aim: &Surd| {
        if count > 0 && growth.length(count) == *aim {
            count
        } else {
            count + 1
        }
    };
    let larger = (up(&down, rows, &height), up(&across, columns, &width));
    let next = (larger != (rows, columns)).then(|| offer(larger.0, larger.1));
    Some(Proposal {
        width,
        height,
        fits,
        next,
    })
}

/// What one block more adds across and one more down, inches; `None` where the blocks do
/// not fit one another. Spacers count at their least.
#[must_use]
pub fn one_more(plan: &Plan) -> Option<[Surd; 2]> {
    let (across, down) = growths(plan)?;
    let step = |growth: &Growth, count: u32| growth.length(count + 1) - growth.length(count);
    Some([
        step(&across, plan.setting.columns),
        step(&down, plan.setting.rows),
    ])
}

impl Offer {
    fn new(
        plan: &Plan,
        (across, down): (&Growth, &Growth),
        (rows, columns): (u32, u32),
        (aim_width, aim_height): (&Surd, &Surd),
    ) -> Self {
        let (width, height) = finished(plan, (&across.length(columns), &down.length(rows)));
        let (wider, longer) = (&width - aim_width, &height - aim_height);
        let size = plan.measure.size(&width, &height);
        let differences: Vec<String> = [
            (&wider, "wider", "narrower"),
            (&longer, "longer", "shorter"),
        ]
        .into_iter()
        .filter(|(by, ..)| !by.is_zero())
        .map(|(by, more, less)| {
            let word = if by.is_positive() { more } else { less };
            format!("{} {word}", plan.measure.say(&by.abs()))
        })
        .collect();
        let differs = if differences.is_empty() {
            "exactly the size aimed at".into()
        } else {
            format!("{} than aimed at", differences.join(" and "))
        };
        let on_point = match plan.setting.kind {
            Kind::OnPoint { .. } => " on point",
            _ => "",
        };
        Self {
            words: format!(
                "{columns} across and {rows} down{on_point} finish at {size}: {differs}"
            ),
            rows,
            columns,
            width,
            height,
            wider,
            longer,
        }
    }
}

/// The finished size where blocks and borders at their least make this much: spacers as
/// they come out there. A pieced border that does not fit there counts at its own width.
fn finished(plan: &Plan, least: (&Surd, &Surd)) -> (Surd, Surd) {
    let ring = borders::least(plan);
    let (width, height) = (least.0 - &ring, least.1 - &ring);
    let rings = borders::rings(plan, (&width, &height));
    let outermost = rings.ok().and_then(|mut rings| rings.pop());
    match outermost {
        Some(ring) => ring.after,
        None => (least.0.clone(), least.1.clone()),
    }
}

/// How the finished length grows with the number of blocks in one direction.
pub(super) struct Growth {
    /// What is there whatever the number: borders, floating band, the sash at the end.
    fixed: Surd,
    /// What each block adds, sash included, repeated in turn.
    steps: Vec<Surd>,
}

impl Growth {
    pub(super) fn length(&self, count: u32) -> Surd {
        let turns = self.steps.len() as u32;
        let (whole, rest) = (count / turns, count % turns);
        let round: Surd = self.steps.iter().cloned().sum();
        let some: Surd = self.steps.iter().take(rest as usize).cloned().sum();
        &self.fixed + &(round.times(i64::from(whole)) + some)
    }

    /// The most blocks that stay within `aim`.
    pub(super) fn most_within(&self, aim: &Surd) -> u32 {
        let mut length = self.fixed.clone();
        for (count, step) in (0..MOST).zip(self.steps.iter().cycle()) {
            length += step;
            if length > *aim {
                return count;
            }
        }
        MOST
    }
}

/// How the top grows across and down.
pub(super) fn growths(plan: &Plan) -> Option<(Growth, Growth)> {
    let ring = borders::least(plan);
    let setting = &plan.setting;
    let sash = setting
        .sashing
        .as_ref()
        .map_or(Surd::ZERO, |s| s.width.clone());
    match &setting.kind {
        Kind::OnPoint { between, float, .. } => {
            let block = fit::on_point(plan, between).ok()?;
            let growth = || Growth {
                fixed: &ring + &float.times(2),
                steps: vec![sums::diagonal(&block, &sash)],
            };
            Some((growth(), growth()))
        }
        kind => {
            // Strips run between columns only; shifting by half a block adds nothing.
            let strips = match kind {
                Kind::Strips { width, outside, .. } => Some((width.clone(), *outside)),
                _ => None,
            };
            let end = |outside: bool, width: &Surd| if outside { width.clone() } else { -width };
            // One sash more than blocks outside, one fewer only between.
            let ends = match &setting.sashing {
                Some(s) => end(s.outside, &s.width),
                None => Surd::ZERO,
            };
            let side_ends = match &strips {
                Some((width, outside)) => end(*outside, width),
                None => ends.clone(),
            };
            let strip = strips.map_or_else(|| sash.clone(), |(width, _)| width);
            let cells = &setting.cells;
            let size = |row: usize, column: usize| {
                size_in(plan, &cells.cells[row * cells.columns + column])
            };
            let widths = (0..cells.columns)
                .map(|column| fit::most_common((0..cells.rows).map(|row| size(row, column).0)));
            let heights = (0..cells.rows)
                .map(|row| fit::most_common((0..cells.columns).map(|column| size(row, column).1)));
            let growth = |steps: Option<Vec<Surd>>, ends: &Surd, strip: &Surd| {
                Some(Growth {
                    fixed: &ring + ends,
                    steps: steps?.iter().map(|step| step + strip).collect(),
                })
            };
            Some((
                growth(widths.collect(), &side_ends, &strip)?,
                growth(heights.collect(), &ends, &sash)?,
            ))
        }
    }
}
