//! Where outlines lie against one another: pairs that share a stretch of an edge, and
//! what is left over as the outline of the whole. Exact.
//!
//! Every stretch is walked with its owner on the right hand. Two owners touch where one
//! walks a line forwards and the other backwards; where nobody walks the other way is an
//! outer edge.

use std::collections::BTreeMap;

use geometry::{Point, Surd};

/// A stretch of an outline, its owner on the right hand.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    pub(crate) owner: usize,
    pub(crate) from: Point,
    pub(crate) to: Point,
}

/// Two owners that share a stretch.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Contact {
    pub(crate) one: usize,
    pub(crate) other: usize,
    /// Length, inches; for weighing colour only.
    pub(crate) length: f64,
}

/// Who touches whom, and what lies open.
pub(crate) struct Met {
    pub(crate) contacts: Vec<Contact>,
    pub(crate) open: Vec<Stretch>,
}

/// Slope (`None`: upright) and where the line crosses the axis.
type Line = (Option<Surd>, Surd);
/// From, to along the line, and the owner.
type Run = (Surd, Surd, usize);

/// Finds them.
pub(crate) fn meet(stretches: &[Stretch]) -> Met {
    let mut lines: BTreeMap<Line, [Vec<Run>; 2]> = BTreeMap::new();
    for stretch in stretches {
        let (line, run, back) = laid(stretch);
        lines.entry(line).or_default()[usize::from(back)].push(run);
    }
    let mut met = Met {
        contacts: Vec::new(),
        open: Vec::new(),
    };
    for (line, [mut forth, mut back]) in lines {
        forth.sort();
        back.sort();
        along(&line, &forth, &back, &mut met);
    }
    met
}

fn laid(stretch: &Stretch) -> (Line, Run, bool) {
    let (a, b) = (&stretch.from, &stretch.to);
    let run = &b.x - &a.x;
    let slope = if a.y == b.y {
        (!run.is_zero()).then_some(Surd::ZERO)
    } else {
        (&b.y - &a.y).checked_div(&run)
    };
    let (line, from, to) = match slope {
        Some(slope) if slope.is_zero() => ((Some(slope), a.y.clone()), &a.x, &b.x),
        Some(slope) => {
            let cuts = &a.y - &(&slope * &a.x);
            ((Some(slope), cuts), &a.x, &b.x)
        }
        None => ((None, a.x.clone()), &a.y, &b.y),
    };
    if from < to {
        (line, (from.clone(), to.clone(), stretch.owner), false)
    } else {
        (line, (to.clone(), from.clone(), stretch.owner), true)
    }
}

/// Both directions of one line, side by side.
fn along(line: &Line, forth: &[Run], back: &[Run], met: &mut Met) {
    let scale = line.0.as_ref().map_or(1.0, |m| m.to_f64().hypot(1.0));
    let mut first = 0;
    for (from, to, owner) in forth {
        while first < back.len() && back[first].1 <= *from {
            first += 1;
        }
        let mut reached = from;
        for (low, high, other) in back[first..].iter().take_while(|run| run.0 < *to) {
            let (low, high) = (low.max(from), high.min(to));
            if reached < low {
                met.open.push(stretch(line, reached, low, *owner, false));
            }
            met.contacts.push(Contact {
                one: *owner,
                other: *other,
                length: (high - low).to_f64() * scale,
            });
            reached = high;
        }
        if reached < to {
            met.open.push(stretch(line, reached, to, *owner, false));
        }
    }
    let mut first = 0;
    for (from, to, owner) in back {
        while first < forth.len() && forth[first].1 <= *from {
            first += 1;
        }
        let mut reached = from;
        for (low, high, _) in forth[first..].iter().take_while(|run| run.0 < *to) {
            if reached < low {
                met.open.push(stretch(line, reached, low, *owner, true));
            }
            reached = high.min(to);
        }
        if reached < to {
            met.open.push(stretch(line, reached, to, *owner, true));
        }
    }
}

fn stretch(line: &Line, low: &Surd, high: &Surd, owner: usize, back: bool) -> Stretch {
    let at = |t: &Surd| match &line.0 {
        Some(slope) => Point::new(t.clone(), &(slope * t) + &line.1),
        None => Point::new(line.1.clone(), t.clone()),
    };
    let (from, to) = if back {
        (at(high), at(low))
    } else {
        (at(low), at(high))
    };
    Stretch { owner, from, to }
}
