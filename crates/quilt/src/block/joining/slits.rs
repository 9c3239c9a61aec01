//! The fewest seams beyond straight ones that a part needs which no chord cuts.
//!
//! A *slit* runs straight from the outline of the part to a point inside it. Opening it
//! makes that point lie on the outline, so that chords may end there; sewn forwards, the
//! slit is closed last of all. Where it stops tells what the maker does:
//!
//! ```text
//!   ┬───┬──┐ on its own line    ┬───┐  at a point no line     ──┴──  against a seam
//!   ├─┬─┤  │ that goes on: a    │╲  │  goes through: a            that runs straight
//!   │ │ ├──┤ partial seam       │ ╲─┤  set-in seam                on: set in as well
//! ```
//!
//! **Cutting chords stays safe.** Restricted to one side of a chord, a slit that crosses
//! it is a chord there and a slit on the other side, so slits never multiply: the fewest
//! slits of a part are those of its uncut cores together.
//!
//! **Lower bound.** A point no line goes through comes to lie on an outline by a slit that
//! ends there, so a core takes one slit for each such point, and at least one.
//!
//! **The search** deepens: with one slit more each time, every slit of a core is tried and
//! what is left is closed again and split into cores. What is known of a core is kept by
//! its edges. Work is counted in slits tried, never in time, so that the same block gives
//! the same answer everywhere; when the count is used up, slits are taken one by one,
//! each leaving the least, and the depth reached stands as the lower bound.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use super::lines::{Half, Lines};
use super::marks::Marks;

/// Slits tried for one block, and the share of it for one core: about a tenth of a second
/// when built for use. Blocks of the trade take a few hundred.
const WORK: usize = 24_000;
const SHARE: usize = 16_000;
/// What a core may use when nothing is left.
const SMALL_SHARE: usize = 500;

/// Where a slit stops, in the order of preference.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Stop {
    /// At a point no line goes through.
    Corner,
    /// On its own line, which goes on along this edge.
    Line(usize),
    /// Against a seam that runs straight on.
    Seam,
}

/// A straight run from the outline of a core to a point inside it.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Slit {
    /// Its first edge, leaving the outline.
    pub(super) first: Half,
    /// Its last edge, reaching the point where it stops.
    pub(super) last: Half,
    /// All its edges in order.
    pub(super) edges: Vec<usize>,
    /// How it stops.
    pub(super) stop: Stop,
}

/// What is known of a core.
#[derive(Clone, Default)]
struct Known {
    /// It takes so many slits at least.
    least: usize,
    /// An optimal first slit, once the least number is proved to suffice, and how many of
    /// all its slits stop against a seam.
    best: Option<(Slit, usize)>,
}

/// The search, with what it has learnt.
pub(super) struct Slits<'a> {
    lines: &'a Lines<'a>,
    marks: Marks<'a>,
    known: BTreeMap<Vec<usize>, Known>,
    /// Slits that may still be tried for the block, and for the core in hand.
    left: usize,
    share: usize,
}

impl<'a> Slits<'a> {
    pub(super) fn of(lines: &'a Lines<'a>) -> Self {
        Self {
            lines,
            marks: Marks { lines },
            known: BTreeMap::new(),
            left: WORK,
            share: 0,
        }
    }

    /// The slit to open first in a core, given by the edges inside it, and how many slits
    /// the core takes at least. That many are enough if the work sufficed.
    pub(super) fn first(&mut self, core: &[usize]) -> (Slit, usize) {
        let granted = SHARE.min(self.left).max(SMALL_SHARE);
        self.share = granted;
        self.solve(core, core.len());
        self.left = self.left.saturating_sub(granted - self.share);
        let known = self.known.get(core).cloned().unwrap_or_default();
        let slit = match known.best {
            Some((slit, _)) => slit,
            None => self.roughly(core),
        };
        (slit, known.least)
    }

    /// The fewest slits of a core, if they are at most `limit` and the work suffices.
    fn solve(&mut self, core: &[usize], limit: usize) -> Option<usize> {
        let known = match self.known.get(core) {
            Some(known) => known.clone(),
            None => Known {
                least: self.at_least(core),
                best: None,
            },
        };
        if known.best.is_some() || known.least > limit {
            let enough = known.best.is_some() && known.least <= limit;
            let least = known.least;
            self.known.entry(core.to_vec()).or_insert(known);
            return enough.then_some(least);
        }
        let slits = self.all(core);
        for wanted in known.least..=limit {
            let best = self.with_exactly(core, &slits, wanted);
            let found = best.is_some();
            let done = Known {
                least: wanted + usize::from(!found && self.share > 0),
                best,
            };
            self.known.insert(core.to_vec(), done);
            if found {
                return Some(wanted);
            }
            if self.share == 0 {
                return None;
            }
        }
        None
    }

    /// A first slit of `wanted` that suffice; of several the one with the fewest that stop
    /// against a seam, then the first.
    fn with_exactly(
        &mut self,
        core: &[usize],
        slits: &[Slit],
        wanted: usize,
    ) -> Option<(Slit, usize)> {
        let mut best: Option<(Slit, usize)> = None;
        for slit in slits {
            if self.share == 0 {
                break;
            }
            self.share -= 1;
            let cores = self.cores(core, &slit.edges);
            if let Some(against) = self.all_within(&cores, wanted - 1) {
                let against = against + usize::from(slit.stop == Stop::Seam);
                if best.as_ref().is_none_or(|(_, least)| against < *least) {
                    best = Some((slit.clone(), against));
                }
                if against == 0 {
                    break;
                }
            }
        }
        best
    }

    /// Whether some cores take at most `limit` slits together; if so, how many of those
    /// stop against a seam.
    fn all_within(&mut self, cores: &[Vec<usize>], limit: usize) -> Option<usize> {
        let least: Vec<usize> = cores.iter().map(|core| self.least(core)).collect();
        let mut spare = limit.checked_sub(least.iter().sum())?;
        let mut against = 0;
        for (core, least) in cores.iter().zip(least) {
            let needs = self.solve(core, least + spare)?;
            spare -= needs - least;
            against += self
                .known
                .get(core)
                .and_then(|known| known.best.as_ref())
                .map_or(0, |(_, against)| *against);
        }
        Some(against)
    }

    fn least(&self, core: &[usize]) -> usize {
        match self.known.get(core) {
            Some(known) => known.least,
            None => self.at_least(core),
        }
    }

    /// The lower bound: points no line goes through, and one at least.
    fn at_least(&self, core: &[usize]) -> usize {
        let inside = self.marks.marked(core);
        let vertices: BTreeSet<usize> = core
            .iter()
            .flat_map(|edge| [self.lines.source(2 * edge), self.lines.target(2 * edge)])
            .collect();
        let corner = |v: &&usize| !self.marks.on_outline(&inside, **v) && !self.passed(**v);
        vertices.iter().filter(corner).count().max(1)
    }

    /// The slit that leaves the least, by lower bound and then by edges.
    fn roughly(&self, core: &[usize]) -> Slit {
        let rank = |slit: &Slit| {
            let cores = self.cores(core, &slit.edges);
            let least: usize = cores.iter().map(|core| self.least(core)).sum();
            let edges: usize = cores.iter().map(Vec::len).sum();
            (least, edges, slit.stop)
        };
        self.all(core)
            .into_iter()
            .min_by_key(rank)
            .expect("an edge inside a core reaches its outline, for no patch has a hole")
    }

    /// Every slit of a core: those that stop at a corner first, then those that stop on
    /// their own line, then the others; long before short, so that more points open.
    pub(super) fn all(&self, core: &[usize]) -> Vec<Slit> {
        let inside = self.marks.marked(core);
        let mut slits = Vec::new();
        for first in core.iter().flat_map(|edge| [2 * edge, 2 * edge + 1]) {
            if !self.marks.on_outline(&inside, self.lines.source(first)) {
                continue;
            }
            let (mut last, mut edges) = (first, vec![first / 2]);
            while !self.marks.on_outline(&inside, self.lines.target(last)) {
                let on = self.lines.straight(last);
                let stop = match on {
                    Some(on) => Stop::Line(on / 2),
                    None if self.passed(self.lines.target(last)) => Stop::Seam,
                    None => Stop::Corner,
                };
                slits.push(Slit {
                    first,
                    last,
                    edges: edges.clone(),
                    stop,
                });
                let Some(on) = on else { break };
                last = on;
                edges.push(on / 2);
            }
        }
        let order = |stop: Stop| match stop {
            Stop::Corner => 0,
            Stop::Line(_) => 1,
            Stop::Seam => 2,
        };
        slits.sort_by_key(|slit| (order(slit.stop), Reverse(slit.edges.len())));
        slits
    }

    /// What no chord cuts once these edges of a core are open: its cores by their edges.
    fn cores(&self, core: &[usize], opened: &[usize]) -> Vec<Vec<usize>> {
        let mut inside = self.marks.marked(core);
        for &edge in opened {
            inside[edge] = false;
        }
        let mut cut = true;
        while cut {
            cut = false;
            for first in core.iter().flat_map(|edge| [2 * edge, 2 * edge + 1]) {
                if let Some(chord) = self.marks.chord(&inside, first) {
                    cut = true;
                    for edge in chord.edges {
                        inside[edge] = false;
                    }
                }
            }
        }
        let rest: Vec<usize> = core.iter().copied().filter(|&edge| inside[edge]).collect();
        self.marks.apart(&rest)
    }

    /// Whether some line goes straight through a vertex inside.
    fn passed(&self, vertex: usize) -> bool {
        let leaving = self.lines.leaving(vertex);
        leaving
            .iter()
            .any(|half| self.lines.straight(half ^ 1).is_some())
    }
}
