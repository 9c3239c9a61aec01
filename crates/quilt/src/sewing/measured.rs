//! What a maker's own measure of a unit tells: which seam was sewn, what becomes of the
//! block and the top if all seams are sewn so, and what to do.
//!
//! ```text
//!      wanted                found                 each seam on the way across takes
//!    ├─┬──┬─┤   less      ├─┬──┬─┤    =  by how     2 allowances, so with k seams
//!                                        much off       off = −2 k b
//! ```
//!
//! A seam that runs aslant counts for less than a whole one: the two sides come closer by
//! two allowances *square to the seam*, of which |n · u| lies along the way u that is
//! measured (n square to the seam). The sum is made along lines right through the unit;
//! the one with the most counts, since the unit draws in there first.
//!
//! **Units.** Inches; floating, as everything about errors.
//!
//! **Assumes** the pieces were cut true, and one error common to all seams of the unit.
//! What a ruler recipe leaves to trim is taken off before.

use geometry::{Point, Surd};

use super::tolerance::{self, SHOWS};
use super::{BlockSewing, Errors, Handling, Join, Sewing, top};
use crate::measure::Measure;
use crate::plan::{BlockId, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// Two measures that tell of seams further apart than this do not fit one another: the
/// unit is out of square, inches (*common practice*: the thickness of a thread or two).
const AGREE: f64 = 1.0 / 32.0;
/// Nearer than this a unit is as it should be, inches (*common practice*).
const TRUE: f64 = 1.0 / 32.0;

/// What to do with a unit.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Verdict {
    /// It is as it should be.
    Keep,
    /// It is a little too small: it can be eased to its neighbour, and the next are sewn
    /// with a truer seam.
    Ease,
    /// It is too large: what is over is cut off.
    Trim,
    /// It is too small to be eased; cutting cannot mend that.
    Unpick,
}

/// What a measured unit tells.
#[derive(Clone, PartialEq, Debug)]
pub struct Measured {
    /// How far it is off along its longest side and square to it, inches, what there is to
    /// trim left out; `None` where it was not measured.
    pub off: [Option<f64>; 2],
    /// The allowance that was sewn; `None` where no seam lies across what was measured.
    pub seam: Option<f64>,
    /// How far the finished block is off across and down if all its seams are sewn so.
    pub block: Option<[f64; 2]>,
    /// The same of the whole top.
    pub top: Option<[f64; 2]>,
    /// What to do.
    pub verdict: Verdict,
    /// All of it in sentences.
    pub says: Vec<String>,
}

/// Reads what was measured of a unit, raw edge to raw edge: along its longest side and
/// square to it, as [`Join::unit_width`] and [`Join::unit_height`] are. `None` if there is
/// no such unit or nothing was measured.
#[must_use]
pub fn measured(
    plan: &Plan,
    blocks: &Blocks,
    laid: &Top,
    sewing: &Sewing,
    (block, step): (BlockId, usize),
    found: [Option<&Surd>; 2],
) -> Option<Measured> {
    let sewn = sewing.blocks.iter().find(|sewn| sewn.block == block)?;
    let own = sewing.handling.iter().find(|own| own.block == block)?;
    let join = sewn.joins.get(sewn.steps.get(step)?.shown)?;
    let reserve = own.forecast.trims.iter().find(|trim| trim.step == step);
    let reserve = reserve.map_or(0.0, |trim| trim.reserve);
    let wanted = [&join.unit_width, &join.unit_height];
    let off = [0, 1].map(|i| Some(found[i]?.to_f64() - wanted[i].to_f64() - reserve));
    if off.iter().all(Option::is_none) {
        return None;
    }
    let ways = ways(join);
    let told: Vec<f64> = (0..2)
        .filter_map(|i| {
            let taken = taken(sewn, join, ways[i]);
            (taken > 1e-9).then_some(())?;
            Some(-off[i]? / taken)
        })
        .collect();
    let bias = (!told.is_empty()).then(|| told.iter().sum::<f64>() / told.len() as f64);
    let skew = told.len() == 2 && (told[0] - told[1]).abs() > AGREE;
    let all_so = bias.map(|bias| Errors {
        cut: 0.0,
        seam: 0.0,
        bias,
        measured: true,
    });
    let after = all_so.and_then(|errors| {
        let drafted = blocks.get(block.0)?.as_deref()?;
        Some(tolerance::forecast(plan, drafted, sewn, &errors))
    });
    let in_block = after.map(|f| [f.width.mean, f.height.mean]);
    let in_top = all_so.and_then(|errors| whole(plan, blocks, laid, sewing, &errors));
    let verdict = verdict(&off);
    let mut measured = Measured {
        off,
        seam: bias.map(|bias| plan.seam.to_f64() + bias),
        block: in_block,
        top: in_top,
        verdict,
        says: Vec::new(),
    };
    measured.says = say(plan, laid, (block, join), &measured, found, reserve, skew);
    Some(measured)
}

fn verdict(off: &[Option<f64>; 2]) -> Verdict {
    let all = || off.iter().flatten();
    let least = all().copied().fold(0.0, f64::min);
    let most = all().copied().fold(0.0, f64::max);
    // Exact fractions come as floats, so the limits themselves are met within a hair.
    let hair = 1e-9;
    if least < -SHOWS - hair {
        Verdict::Unpick
    } else if least < -TRUE + hair {
        Verdict::Ease
    } else if most > TRUE - hair {
        Verdict::Trim
    } else {
        Verdict::Keep
    }
}

/// Along the longest side of a unit and square to it, as vectors of length 1.
fn ways(join: &Join) -> [[f64; 2]; 2] {
    // Of several longest sides the one along which the unit measures as it says.
    let seam = |extent: f64| (extent - join.unit_width.to_f64()).abs();
    let sides = join.outline.edges().map(|edge| edge.vector().to_f64());
    let all: Vec<[f64; 2]> = sides.collect();
    let longest = all.iter().map(|[x, y]| x.hypot(*y)).fold(0.0, f64::max);
    let points: Vec<[f64; 2]> = join.outline.points().iter().map(Point::to_f64).collect();
    let unit = |[x, y]: [f64; 2]| [x / x.hypot(y), y / x.hypot(y)];
    let reach = |way: [f64; 2]| {
        let at = points.iter().map(|p| p[0] * way[0] + p[1] * way[1]);
        let (low, high) = at.fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(x), h.max(x)));
        high - low
    };
    let along = all
        .into_iter()
        .filter(|[x, y]| x.hypot(*y) > longest - 1e-9)
        .map(unit)
        .min_by(|&a, &b| seam(reach(a)).total_cmp(&seam(reach(b))));
    let along = along.unwrap_or([1.0, 0.0]);
    [along, [-along[1], along[0]]]
}

/// By how much a unit draws in along a way for each inch its allowances are too wide.
fn taken(sewn: &BlockSewing, join: &Join, way: [f64; 2]) -> f64 {
    let inside = |other: &&Join| {
        let mut of = other.unit.iter();
        of.all(|patch| join.unit.binary_search(patch).is_ok())
    };
    let seams: Vec<[[f64; 2]; 2]> = sewn
        .joins
        .iter()
        .filter(inside)
        .map(|join| [join.seam.a.to_f64(), join.seam.b.to_f64()])
        .collect();
    // Lines along the way, between any two ends of seams beside each other.
    let beside = |p: [f64; 2]| p[1] * way[0] - p[0] * way[1];
    let mut ends: Vec<f64> = seams.iter().flatten().map(|p| beside(*p)).collect();
    ends.sort_by(f64::total_cmp);
    let lines = ends.windows(2).filter(|pair| pair[1] - pair[0] > 1e-9);
    lines
        .map(|pair| {
            let line = f64::midpoint(pair[0], pair[1]);
            let crossed = seams.iter().filter(|[a, b]| {
                let (a, b) = (beside(*a), beside(*b));
                a.min(b) < line && line < a.max(b)
            });
            crossed
                .map(|[a, b]| {
                    let (x, y) = (b[0] - a[0], b[1] - a[1]);
                    2.0 * (x * way[1] - y * way[0]).abs() / x.hypot(y)
                })
                .sum::<f64>()
        })
        .fold(0.0, f64::max)
}

/// How far the top is off if every seam of it is sewn so.
fn whole(
    plan: &Plan,
    blocks: &Blocks,
    laid: &Top,
    sewing: &Sewing,
    errors: &Errors,
) -> Option<[f64; 2]> {
    let handling: Vec<Handling> = sewing
        .handling
        .iter()
        .filter_map(|own| {
            let drafted = blocks.get(own.block.0)?.as_deref()?;
            let sewn = sewing.blocks.iter().find(|sewn| sewn.block == own.block)?;
            Some(Handling {
                forecast: tolerance::forecast(plan, drafted, sewn, errors),
                ..own.clone()
            })
        })
        .collect();
    let forecast = top::forecast(plan, laid, &handling, errors)?;
    Some(forecast.size.map(|size| size.mean))
}

/// To the nearest mark that can be read off a ruler.
fn near(measure: Measure, length: f64) -> String {
    let parts = match measure {
        Measure::Inch => 32.0,
        // Half a millimetre.
        Measure::Centimetre => 50.8,
    };
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a quilt is a few hundred inches"
    )]
    let count = (length * parts).round() as i64;
    measure.say(&match measure {
        Measure::Inch => Surd::ratio(count, 32),
        Measure::Centimetre => Surd::ratio(count * 5, 254),
    })
}

fn say(
    plan: &Plan,
    laid: &Top,
    (block, join): (BlockId, &Join),
    measured: &Measured,
    found: [Option<&Surd>; 2],
    reserve: f64,
    skew: bool,
) -> Vec<String> {
    let measure = plan.measure;
    let near = |length: f64| near(measure, length);
    let mut says = Vec::new();
    let names = ["along its longest side", "the other way"];
    let wanted = [&join.unit_width, &join.unit_height];
    for i in 0..2 {
        let (Some(found), Some(off)) = (found[i], measured.off[i]) else {
            continue;
        };
        let should = wanted[i].to_f64() + reserve;
        let untrimmed = if reserve > 1e-9 {
            " before it is trimmed"
        } else {
            ""
        };
        let by = if off.abs() < 1.0 / 128.0 {
            "it is true".to_owned()
        } else {
            let word = if off > 0.0 { "large" } else { "small" };
            format!("{} too {word}", near(off.abs()))
        };
        says.push(format!(
            "It measures {} {}; it should be {}{untrimmed}: {by}.",
            measure.say(found),
            names[i],
            near(should),
        ));
    }
    if let Some(seam) = measured.seam
        && measured.verdict != Verdict::Keep
    {
        says.push(format!(
            "That is a seam of about {} instead of {}.",
            near(seam),
            measure.say(&plan.seam)
        ));
    }
    if skew {
        says.push(
            "Its two measures tell of different seams: it is out of square, or a piece was not cut true. Lay it on the squared mat and look before you sew on."
                .into(),
        );
    }
    let finished = |off: &[f64; 2], width: &Surd, height: &Surd| {
        let size = [width.to_f64() + off[0], height.to_f64() + off[1]].map(&near);
        format!("{} × {}", size[0], size[1])
    };
    if measured.verdict != Verdict::Keep {
        let of = plan.block(block);
        if let Some(off) = &measured.block {
            says.push(format!(
                "Sewn so throughout, “{}” finishes at {} instead of {}.",
                of.name,
                finished(off, &of.width, &of.height),
                measure.size(&of.width, &of.height)
            ));
        }
        if let Some(off) = &measured.top {
            says.push(format!(
                "The whole top would finish at {} instead of {}.",
                finished(off, &laid.width, &laid.height),
                measure.near_size(&laid.width, &laid.height)
            ));
        }
    }
    let target = measure.near_size(&join.unit_width, &join.unit_height);
    let truer = measured.seam.map(|seam| {
        let change = seam - plan.seam.to_f64();
        let way = if change > 0.0 {
            "further out"
        } else {
            "further in"
        };
        format!(" Sew the next ones {} {way}.", near(change.abs()))
    });
    let truer = truer.unwrap_or_default();
    says.push(match measured.verdict {
        Verdict::Keep => "Keep it: it is as near as hands can sew.".into(),
        Verdict::Ease => format!(
            "It is near enough to ease: pin it at both ends to its neighbour and let the cloth give.{truer}"
        ),
        Verdict::Trim => {
            format!("Trim it to {target}, the same on both sides, so that its seams stay in place.{truer}")
        }
        Verdict::Unpick => format!(
            "Cutting cannot make it larger: take it apart and sew it again.{truer}"
        ),
    });
    says
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(off: [Option<f64>; 2], wanted: Verdict) {
        assert_eq!(verdict(&off), wanted, "{off:?}");
    }

    #[test]
    fn too_small_weighs_more_than_too_large() {
        check([Some(0.0), None], Verdict::Keep);
        check([Some(0.02), Some(-0.02)], Verdict::Keep);
        check([Some(-1.0 / 16.0), None], Verdict::Ease);
        check([Some(1.0 / 16.0), Some(0.0)], Verdict::Trim);
        check([Some(1.0 / 8.0), Some(-1.0 / 8.0)], Verdict::Unpick);
    }
}
