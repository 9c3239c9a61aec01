//! The fewest seams to draw in addition, so that straight seams alone sew a block.
//!
//! A part that no straight seam cuts has lines that stop inside it. Drawn on through a
//! patch, a line cuts this patch in two: one seam and one patch more. Enough of such cuts,
//! and the part comes apart.
//!
//! ```text
//!   ┌────┬──┐   the seam on the left      ┌────┬──┐
//!   ├──┬─┤  │   drawn on through one      ├──┬─┤  │    one patch more,
//!   │  │ ├──┤   patch, and the ring is    ├──┼─┼──┤    no partial seam
//!   │  └─┴──┤   open                      │  └─┴──┤
//!   └──┴────┘                             └──┴────┘
//! ```
//!
//! **What is searched.** Cuts along the lines on which the seams of the part lie, drawn on
//! to its outline. In the end the part falls apart along whole lines; so each region is
//! divided along some line of the part, from side to side, at the price of the patches
//! the line cuts there, and both sides go on. The cheapest way is looked for by allowing
//! one cut more each time, and what is known of a region is kept.
//!
//! **A line that cuts no patch is safe to divide along**, for the cuts of the cheapest way
//! still do on each side of it; so only regions without one need a choice.
//!
//! **Lower bounds.** A region that no line divides for nothing takes one cut at least. A
//! point where no seam goes straight through lies on a cut in the end; a cut has two
//! ends, and serves two such points only if they lie at both of them.
//!
//! Work is counted, never timed. When it is used up, the depth reached stands as the lower
//! bound, and the lines are drawn on one by one, each leaving the least.

mod mesh;

use std::cmp::Reverse;
use std::collections::BTreeMap;

use geometry::{Polygon, Segment};

use super::Obstruction;
use super::lines::Lines;
use crate::block::Drafted;
use mesh::{Cut, Grains, Mesh};

/// Lines tried for one block: some tens of milliseconds when built for use.
const WORK: usize = 4_000;

/// What is drawn in addition so that straight seams alone sew the block.
#[derive(Clone, PartialEq, Debug)]
pub struct Repair {
    /// Each cuts one patch in two.
    pub cuts: Vec<RepairCut>,
    /// What becomes of each patch that is cut: its index, and the outlines of its parts.
    pub parts: Vec<(usize, Vec<Polygon>)>,
    /// No fewer cuts along lines of the drawing do it: proved. Equal to the number of
    /// cuts unless the search ran out of work.
    pub at_least: usize,
}

/// A seam to draw.
#[derive(Clone, PartialEq, Debug)]
pub struct RepairCut {
    /// The patch it cuts in two.
    pub patch: usize,
    /// From one edge of the patch (or an earlier cut) to another, block coordinates.
    pub seam: Segment,
}

/// Looks for the fewest cuts; `None` for a block that needs none, and where a part has
/// more lines than are searched.
#[must_use]
pub fn repair(drafted: &Drafted, obstructions: &[Obstruction]) -> Option<Repair> {
    if obstructions.is_empty() {
        return None;
    }
    let drawing = &drafted.arrangement;
    let lines = Lines::of(drawing);
    let mut found = Repair {
        cuts: Vec::new(),
        parts: Vec::new(),
        at_least: 0,
    };
    let mut work = WORK;
    for part in obstructions {
        let within = |face: Option<usize>| {
            face.is_some_and(|face| part.patches.binary_search(&face).is_ok())
        };
        let inner: Vec<usize> = (0..drawing.edges.len())
            .filter(|&edge| lines.is_inner(edge))
            .filter(|&edge| within(drawing.edges[edge].left) && within(drawing.edges[edge].right))
            .collect();
        let mesh = Mesh::of(drawing, &part.patches, &inner)?;
        let mut search = Search {
            mesh: &mesh,
            known: BTreeMap::new(),
            work,
        };
        found.at_least += search.repaired(&mut found);
        work = search.work;
    }
    Some(found)
}

/// What is known of a core: a region that no line divides for nothing.
struct Known {
    /// It takes so many cuts at least.
    least: usize,
    /// Whether so many are proved to be enough, with the first of `ways`.
    proved: bool,
    /// The lines it can be divided along, best first.
    ways: Vec<Way>,
}

/// A way to divide a core.
#[derive(Clone)]
struct Way {
    line: usize,
    price: usize,
    /// What is left on both sides.
    cores: Vec<Grains>,
}

struct Search<'a> {
    mesh: &'a Mesh,
    known: BTreeMap<Grains, Known>,
    /// Lines that may still be tried.
    work: usize,
}

impl Search<'_> {
    /// Adds the cuts of the whole part to what was found; gives how many it takes at least.
    fn repaired(&mut self, found: &mut Repair) -> usize {
        let whole = self.mesh.whole();
        let mut at_least = 0;
        for core in self.cores(whole.clone()) {
            self.solve(&core, usize::MAX);
            at_least += self.least(&core);
        }
        let (mut regions, mut parts) = (vec![whole], BTreeMap::new());
        while let Some(region) = regions.pop() {
            if let Some(patch) = self.mesh.only_patch(&region) {
                let outline = self.mesh.outline(&region);
                let own: &mut Vec<Polygon> = parts.entry(patch).or_default();
                own.extend(outline);
                continue;
            }
            let Some(line) = self.free_line(&region).or_else(|| self.chosen(&region)) else {
                continue;
            };
            let cuts = self.mesh.cuts(&region, line).into_iter();
            found
                .cuts
                .extend(cuts.map(|Cut { patch, seam }| RepairCut { patch, seam }));
            regions.extend(self.mesh.halves(&region, line).into_iter().flatten());
        }
        let cut = parts.into_iter().filter(|(_, own)| own.len() > 1);
        found.parts.extend(cut);
        at_least
    }

    /// The line to divide a core along: proved the best, or what leaves the least.
    fn chosen(&mut self, core: &Grains) -> Option<usize> {
        if !self.known.contains_key(core) {
            self.meet(core);
        }
        let known = self.known.get(core)?;
        known.ways.first().map(|way| way.line)
    }

    /// The fewest cuts of a core, if they are at most `limit` and the work suffices.
    fn solve(&mut self, core: &Grains, limit: usize) -> Option<usize> {
        if !self.known.contains_key(core) {
            if self.work == 0 {
                return None;
            }
            self.meet(core);
        }
        loop {
            let known = self.known.get(core)?;
            let wanted = known.least;
            if wanted > limit {
                return None;
            }
            if known.proved {
                return Some(wanted);
            }
            if self.work == 0 {
                return None;
            }
            let ways = known.ways.clone();
            let best = ways.iter().position(|way| self.suffice(way, wanted));
            let known = self.known.get_mut(core)?;
            match best {
                Some(best) => {
                    let way = known.ways.remove(best);
                    known.ways.insert(0, way);
                    known.proved = true;
                }
                None if self.work > 0 => known.least += 1,
                None => return None,
            }
        }
    }

    /// Whether a core takes at most `wanted` cuts when it is divided in this way.
    fn suffice(&mut self, way: &Way, wanted: usize) -> bool {
        let least: usize = way.cores.iter().map(|core| self.least(core)).sum();
        let Some(mut spare) = wanted.checked_sub(way.price + least) else {
            return false;
        };
        for core in &way.cores {
            let least = self.least(core);
            let Some(takes) = self.solve(core, least + spare) else {
                return false;
            };
            spare -= takes - least;
        }
        true
    }

    /// Looks at a core for the first time.
    fn meet(&mut self, core: &Grains) {
        let mut ways: Vec<(usize, Way)> = Vec::new();
        for line in self.mesh.lines() {
            let Some(halves) = self.mesh.halves(core, line) else {
                continue;
            };
            self.work = self.work.saturating_sub(1);
            let price = self.mesh.price(core, line);
            let mut cores = Vec::new();
            for half in halves {
                cores.extend(self.cores(half));
            }
            let least: usize = cores.iter().map(|core| self.least(core)).sum();
            ways.push((price + least, Way { line, price, cores }));
        }
        // Of equals the one that halves the core, so that both halves are cut alike; then the
        // one with the most seam on it, so that great lines stay great lines.
        ways.sort_by_cached_key(|(least, way)| {
            let uneven = self.mesh.uneven(core, way.line);
            let carried = Reverse(self.mesh.carried(core, way.line));
            (*least, way.price, uneven, carried, way.line)
        });
        let least = ways.first().map_or(0, |(least, _)| *least);
        let known = Known {
            least: least.max(self.at_first(core)),
            proved: false,
            ways: ways.into_iter().map(|(_, way)| way).collect(),
        };
        self.known.insert(core.clone(), known);
    }

    fn least(&self, core: &Grains) -> usize {
        match self.known.get(core) {
            Some(known) => known.least,
            None => self.at_first(core),
        }
    }

    fn at_first(&self, core: &Grains) -> usize {
        self.mesh.for_corners(core).max(1)
    }

    /// What no line divides for nothing in a region.
    fn cores(&self, region: Grains) -> Vec<Grains> {
        let (mut regions, mut cores) = (vec![region], Vec::new());
        while let Some(region) = regions.pop() {
            if self.mesh.only_patch(&region).is_some() {
                continue;
            }
            let free = self.free_line(&region);
            match free.and_then(|line| self.mesh.halves(&region, line)) {
                Some(halves) => regions.extend(halves),
                None => cores.push(region),
            }
        }
        cores
    }

    /// A line that divides a region and cuts no patch.
    fn free_line(&self, region: &Grains) -> Option<usize> {
        let crosses = |line: &usize| self.mesh.halves(region, *line).is_some();
        self.mesh
            .lines()
            .filter(crosses)
            .find(|&line| self.mesh.price(region, line) == 0)
    }
}
