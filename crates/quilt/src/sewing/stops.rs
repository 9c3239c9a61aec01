//! Seams that stop at a point: what kind they are, and how they are sewn, in words.
//!
//! Two kinds. A *partial* seam is sewn part-way, so that what comes after can be sewn
//! across its end, and is finished last. A *set-in* seam stops exactly where patches turn:
//! the point is marked one allowance in from both raw edges on the wrong side, and the
//! stitching neither begins nor ends beyond it.
//!
//! Sources: never to sew into the allowance at the point, and each short seam on its own:
//! "Y-seams (2020)", a guild officer's pages; to mark the meeting point 1/4 in from both
//! edges, start there, two stitches forward and two back, then on to the outer edge:
//! "Y-seams", Hummingbird Highway. Partial seams: *from memory*.

use std::collections::BTreeMap;

use geometry::{Point, Segment, Surd};

use super::{Join, SeamKind, Step};
use crate::block::SeamEnd;
use crate::plan::Plan;

/// What kind of seam it is. One that closes is of the kind of the point it begins at.
pub(super) fn kind(ends: [SeamEnd; 2], closes: bool) -> SeamKind {
    let counted = if closes { &ends[..1] } else { &ends[..] };
    if counted.contains(&SeamEnd::Corner) {
        SeamKind::SetIn
    } else if counted.contains(&SeamEnd::PartWay) {
        SeamKind::Partial
    } else {
        SeamKind::Straight
    }
}

/// Gives each step whose seam stops at a point its sentences.
pub(super) fn tell(plan: &Plan, joins: &[Join], steps: &mut [Step]) {
    // For each point where a seam stops, the step that closes it.
    let closing: BTreeMap<&Point, usize> = joins
        .iter()
        .filter(|join| join.closes)
        .map(|join| (&join.seam.a, join.step))
        .collect();
    let part_way: BTreeMap<&Point, usize> = joins
        .iter()
        .filter(|join| !join.closes)
        .flat_map(|join| {
            let part_way = join.stops().filter(|(_, end)| *end == SeamEnd::PartWay);
            part_way.map(|(at, _)| (at, join.step))
        })
        .collect();
    let mut told = Told::default();
    for (number, step) in steps.iter_mut().enumerate() {
        let join = &joins[step.shown];
        step.how = match (join.kind, join.closes) {
            (SeamKind::Straight, _) => None,
            (SeamKind::Partial, true) => Some(finished(part_way.get(&join.seam.a).copied())),
            (SeamKind::SetIn, true) => Some(told.set_in(number, join.ends[1])),
            (SeamKind::Partial | SeamKind::SetIn, false) => {
                Some(stopped(plan, join, &closing, (number, &mut told)))
            }
        };
    }
}

/// A seam that is finished.
fn finished(begun: Option<usize>) -> String {
    let begun = match begun {
        Some(step) => format!("the seam begun in step {}", step + 1),
        None => "the seam left open before".to_owned(),
    };
    format!(
        "Finish {begun}: lay its open edges right sides together, begin on the last stitches there, and sew over the dot out to the edge."
    )
}

/// The steps that tell the long ways of working whole; later ones refer to them.
#[derive(Default)]
struct Told {
    set_in: Option<usize>,
    /// From one dot, and from dot to dot.
    marked: [Option<usize>; 2],
}

impl Told {
    /// A seam that closes a corner.
    fn set_in(&mut self, step: usize, out: SeamEnd) -> String {
        let on = match out {
            SeamEnd::Through => "out to the edge",
            SeamEnd::PartWay | SeamEnd::Corner => "on to the next dot, and stop there",
        };
        let first = *self.set_in.get_or_insert(step);
        if first == step {
            set_in(on)
        } else {
            format!(
                "Set in the corner as in step {}: from the dot {on}.",
                first + 1
            )
        }
    }

    /// A seam that starts or stops at corners, of which it has one or two.
    fn marked(&mut self, step: usize, corners: usize, allowance: &str) -> String {
        let both = corners == 2;
        let first = *self.marked[usize::from(both)].get_or_insert(step);
        match (first == step, both) {
            (true, true) => format!(
                "Mark both dots on the wrong side, {allowance} from both raw edges; sew from dot to dot only. Never sew into the allowance beyond."
            ),
            (true, false) => format!(
                "Mark the dot on the wrong side, {allowance} from both raw edges; start at the dot, two stitches forward and two back, then sew away from it. Never sew into the allowance beyond."
            ),
            (false, true) => format!("Sew from dot to dot only, as in step {}.", first + 1),
            (false, false) => format!("Mark the dot and start at it, as in step {}.", first + 1),
        }
    }
}

fn set_in(on: &str) -> String {
    format!(
        "Set in the corner: turn the work at the dot until the open edges lie right sides together, with the allowances at the dot folded out of the way. Start at the dot, two stitches forward and two back, then sew {on}."
    )
}

/// A seam that stops at one end or at both.
fn stopped(
    plan: &Plan,
    join: &Join,
    closing: &BTreeMap<&Point, usize>,
    (step, told): (usize, &mut Told),
) -> String {
    let mut sentences = Vec::new();
    let corners = join
        .ends
        .iter()
        .filter(|end| **end == SeamEnd::Corner)
        .count();
    if corners > 0 {
        sentences.push(told.marked(step, corners, &plan.measure.say(&plan.seam)));
    }
    for (at, end) in join.stops() {
        if end != SeamEnd::PartWay {
            continue;
        }
        let later = match closing.get(at) {
            Some(step) => format!("step {} finishes it", step + 1),
            None => "it is finished later".to_owned(),
        };
        sentences.push(format!(
            "Partial seam: stop {} before the dot, with two stitches back, and leave the rest open; {later}.",
            plan.measure.say(&half(&join.seam))
        ));
    }
    sentences.join(" ")
}

/// About half the length of a seam, in eighths of an inch.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the seams of a block are short"
)]
fn half(seam: &Segment) -> Surd {
    let eighths = (seam.length_f64() * 4.0).round().max(1.0);
    Surd::ratio(eighths as i64, 8)
}
