//! Seams that pass very near one another without meeting.
//!
//! ```text
//!        ╱              ╱
//!   ────  ╱   becomes  ───╱      the end is moved to the point of the other seam that it
//!        ╱              ╱        misses: an end or a crossing there, or where its own line
//!                                runs on to
//! ```

use geometry::{Meet, Point, Segment, Surd};

use super::points::{On, edges};
use crate::measure::Measure;
use crate::plan::{BlockPlan, Draft};

/// Ends nearer than this share of the block's smaller side to a seam they do not meet are
/// told. A thirty-second of a 12 in block is three eighths: less than two allowances, so no
/// patch that can be sewn lies between. Larger, and fine drawings would be told as slips.
const NEAR: i64 = 32;

/// One end that misses something by a little.
#[derive(Clone, PartialEq, Debug)]
pub struct NearMiss {
    /// Where it ends.
    pub end: Point,
    /// Where it would meet.
    pub to: Point,
    /// The seams that end there, counted from 0.
    pub seams: Vec<usize>,
    /// What it misses.
    pub misses: On,
    /// By how much, inches.
    pub gap: f64,
}

impl NearMiss {
    /// `Seam 3 ends 0.16 in short of seam 1, at 3 in across and 2 7/8 in down.`
    #[must_use]
    pub fn says(&self, measure: Measure) -> String {
        let which: Vec<String> = self.seams.iter().map(|i| (i + 1).to_string()).collect();
        let (seam, ends) = match which.len() {
            1 => ("Seam", "ends"),
            _ => ("Seams", "end"),
        };
        let misses = match self.misses {
            On::Top => "the top edge".to_owned(),
            On::Right => "the right edge".to_owned(),
            On::Bottom => "the bottom edge".to_owned(),
            On::Left => "the left edge".to_owned(),
            On::Seam(seam) => format!("seam {}", seam + 1),
        };
        let gap = match measure {
            Measure::Inch => format!("{:.2} in", self.gap),
            Measure::Centimetre => format!("{:.1} mm", self.gap * 25.4),
        };
        format!(
            "{seam} {} {ends} {gap} from {misses} without meeting it, at {} across and {} down.",
            which.join(" and "),
            measure.say(&self.end.x),
            measure.say(&self.end.y)
        )
    }
}

/// All near misses of a drawing by hand, from the first seam on; each end once.
#[must_use]
pub fn near_misses(plan: &BlockPlan) -> Vec<NearMiss> {
    let Draft::Lines { lines } = &plan.draft else {
        return Vec::new();
    };
    let least = if plan.width < plan.height {
        &plan.width
    } else {
        &plan.height
    };
    let reach = least.over(NEAR);
    let reach = reach.to_f64();
    let edges = edges(&plan.width, &plan.height);
    let numbered = lines.iter().cloned().enumerate();
    let all: Vec<(On, Segment)> = numbered
        .map(|(i, seam)| (On::Seam(i), seam))
        .chain(edges)
        .collect();
    let mut found: Vec<NearMiss> = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        for end in [&line.a, &line.b] {
            if let Some(seen) = found.iter_mut().find(|miss| miss.end == *end) {
                if !seen.seams.contains(&index) {
                    seen.seams.push(index);
                }
                continue;
            }
            let nearest = all
                .iter()
                .filter(|(on, other)| *on != On::Seam(index) && !other.contains(end))
                .map(|(on, other)| (apart(end, other), *on, other))
                .filter(|(gap, ..)| *gap < reach)
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((gap, misses, other)) = nearest else {
                continue;
            };
            if let Some(to) = meeting(line, end, other, &all, reach) {
                found.push(NearMiss {
                    end: end.clone(),
                    to,
                    seams: vec![index],
                    misses,
                    gap,
                });
            }
        }
    }
    // Two ends that miss one another are one slip.
    let mut told: Vec<NearMiss> = Vec::new();
    for miss in found {
        let turned = |other: &NearMiss| other.end == miss.to && other.to == miss.end;
        if !told.iter().any(turned) {
            told.push(miss);
        }
    }
    told
}

/// The drawing with one near miss joined: every seam that ends there ends at the other
/// point. `None` where that would leave nothing of a seam.
#[must_use]
pub fn with_joined(lines: &[Segment], miss: &NearMiss) -> Option<Vec<Segment>> {
    let moved = |p: &Point| {
        if *p == miss.end {
            miss.to.clone()
        } else {
            p.clone()
        }
    };
    lines
        .iter()
        .map(|line| Segment::new(moved(&line.a), moved(&line.b)))
        .collect()
}

/// How far a point is from a segment.
fn apart(p: &Point, segment: &Segment) -> f64 {
    let along = segment.vector();
    let share = (p - &segment.a)
        .dot(&along)
        .checked_div(&along.length_squared())
        .unwrap_or_default();
    let share = if share < Surd::ZERO {
        Surd::ZERO
    } else if share > Surd::ONE {
        Surd::ONE
    } else {
        share
    };
    let foot = &segment.a + &along.scaled(&share);
    (p - &foot).length_squared().to_f64().sqrt()
}

/// Where an end is moved to on the seam it misses.
fn meeting(
    line: &Segment,
    end: &Point,
    other: &Segment,
    all: &[(On, Segment)],
    reach: f64,
) -> Option<Point> {
    let near = |p: &Point| (p - end).length_squared().to_f64().sqrt();
    let mut marks = vec![other.a.clone(), other.b.clone()];
    for (_, third) in all.iter().filter(|(_, third)| third != other) {
        if let Meet::At(point) = third.meets(other) {
            marks.push(point);
        }
    }
    let far = if line.a == *end { &line.b } else { &line.a };
    let best = marks
        .into_iter()
        .filter(|mark| mark != far && mark != end && near(mark) < reach)
        .min_by(|a, b| near(a).total_cmp(&near(b)));
    if best.is_some() {
        return best;
    }
    let way = end - far;
    let on = super::points::meets(far, &way, other).map(|(_, at)| at);
    on.filter(|at| near(at) < 3.0 * reach)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::draft::drafted;

    fn block(lines: &[[[i64; 2]; 2]]) -> BlockPlan {
        let at = |[x, y]: [i64; 2]| Point::new(Surd::ratio(x, 16), Surd::ratio(y, 16));
        let seam = |[a, b]: &[[i64; 2]; 2]| Segment::new(at(*a), at(*b)).unwrap();
        BlockPlan {
            name: "Test".into(),
            width: Surd::int(6),
            height: Surd::int(6),
            draft: Draft::Lines {
                lines: lines.iter().map(seam).collect(),
            },
            places: Vec::new(),
            colourways: Vec::new(),
            foundation: false,
        }
    }

    #[test]
    fn an_end_just_short_of_a_seam_is_joined_to_it() {
        // A level seam across the middle, and one down to a sixteenth short of it.
        let mut short = block(&[[[0, 48], [96, 48]], [[40, 0], [40, 47]]]);
        assert!(drafted(&short).is_err());
        let misses = near_misses(&short);
        assert_eq!(misses.len(), 1);
        assert_eq!(misses[0].seams, [1]);
        assert!(
            misses[0]
                .says(Measure::Inch)
                .starts_with("Seam 2 ends 0.06 in from seam 1")
        );
        let Draft::Lines { lines } = &mut short.draft else {
            panic!("lines");
        };
        *lines = with_joined(lines, &misses[0]).unwrap();
        assert!(near_misses(&short).is_empty());
        assert_eq!(drafted(&short).unwrap().arrangement.faces.len(), 3);
    }

    #[test]
    fn seams_that_meet_and_seams_far_apart_are_not_told() {
        let whole = block(&[
            [[0, 48], [96, 48]],
            [[48, 0], [48, 96]],
            [[0, 24], [48, 24]],
        ]);
        assert!(near_misses(&whole).is_empty());
    }
}
