//! Which chords a unit is cut along first, and in which order its slabs are joined again.
//!
//! Every order is safe (see the module above), so these rules serve the maker only. Of
//! all chords of a unit:
//!
//! 1. those that meet its outline squarely go before those that meet it at a slant: the
//!    parts are rectangles that are easy to measure, and the long last seams do not
//!    stretch;
//! 2. of these, those that lie on the longest line of the drawing, whether or not the
//!    whole of it is in the unit: the great lines are sewn last, and what lies between
//!    them are the units the eye sees;
//! 3. parallel chords are cut together. Of several directions the one with the fewest
//!    different slabs, then with the most slabs, goes first; of the whole block's the
//!    rows before the columns.
//!
//! Where only one chord exists it peels off one piece after another: rounds.
//!
//! The slabs are joined again in pairs: the pair that can be made most often first, two
//! alike before two different, then the first in order; slabs of which no two have the
//! same shape are halved instead, the smallest pairs first. So eight slabs become four,
//! two, one, and an odd one is added at the end.
//!
//! **Always holds.** Below the whole block, units that are turned copies of each other
//! are taken apart alike: ties are broken in a frame that turns with the unit, and how a
//! unit was cut is remembered for those that look the same, since rule 2 looks beyond it.
//! Spot names count as cloth here; where each patch has a name of its own, shapes decide
//! as far as they can.

use std::cmp::{Ordering, Reverse};
use std::collections::{BTreeMap, BTreeSet};

use geometry::{Point, Surd, shape_keys};

use super::Merge;
use super::frame::{Frame, least_frames};
use super::lines::{Half, Lines};
use super::outline::corners_of;
use super::region::{Chord, Region, Regions};
use super::slits::{Slit, Slits};
use crate::block::Drafted;

/// What a unit is to the eye, seen from one frame: for each patch, in order, where it
/// lies and its shape; then the spot names in the same order.
type Content = (Vec<(Point, usize)>, Vec<usize>);

/// Where a chord lies, seen from a frame: its two ends in order.
type Ends = (Point, Point);

/// How a unit looks from where it looks least.
struct Sight {
    /// The frames it looks so from: several if it can be turned onto itself.
    frames: Vec<Frame>,
    content: Content,
    /// Whether shapes alone settle the frame, without spot names.
    lone: bool,
}

impl Sight {
    /// The whole block is looked at as it lies, so that rows are rows.
    fn of_the_page() -> Self {
        let frame = Frame {
            origin: Point::ORIGIN,
            along: Point::ints(1, 0),
        };
        Self {
            frames: vec![frame],
            content: Content::default(),
            lone: false,
        }
    }
}

/// The parts a unit is cut into and how they are joined again.
pub(super) struct Chosen {
    pub(super) parts: Vec<Region>,
    pub(super) merges: Vec<Merge>,
}

/// Chords in one direction, equally good, in order across it.
struct Family {
    chords: Vec<Chord>,
}

/// A part of a unit while its parts are joined again.
struct Slab {
    /// What it is, spot names included.
    full: usize,
    /// Its shape and those of its patches alone.
    shape: usize,
    patches: usize,
}

pub(super) struct Chooser<'a> {
    lines: &'a Lines<'a>,
    /// For each patch: its shape, its spot name, the sum of its corners and their number.
    shapes: Vec<usize>,
    spots: Vec<usize>,
    sums: Vec<(Point, i64)>,
    full: BTreeMap<Content, usize>,
    shape: BTreeMap<Vec<(Point, usize)>, usize>,
    /// Units made by joining two slabs: what each is in terms of the two.
    made: BTreeMap<(bool, usize, usize), usize>,
    next: usize,
    /// Where units were cut, by how they look, and by how their shapes alone look.
    cut: BTreeMap<Content, BTreeSet<Ends>>,
    cut_by_shape: BTreeMap<Vec<(Point, usize)>, BTreeSet<Ends>>,
    /// Where cores were opened, by how they look and where their inner edges lie: where
    /// the slit stops and starts, and the least number of slits.
    opened: BTreeMap<(Content, Vec<Ends>), (Ends, usize)>,
}

impl<'a> Chooser<'a> {
    pub(super) fn of(drafted: &Drafted, lines: &'a Lines<'a>) -> Self {
        let faces = &drafted.arrangement.faces;
        let shapes = numbered(faces.iter().map(|f| shape_keys(&f.polygon).direct));
        let none = String::new();
        let spots = numbered((0..faces.len()).map(|i| drafted.spots.get(i).unwrap_or(&none)));
        let sum = |points: &[Point]| points.iter().fold(Point::ORIGIN, |sum, p| &sum + p);
        let corners = |points: &[Point]| i64::try_from(points.len()).unwrap_or(i64::MAX);
        let sums = faces.iter().map(|f| f.polygon.without_straight_corners());
        Self {
            lines,
            shapes,
            spots,
            sums: sums
                .map(|p| (sum(p.points()), corners(p.points())))
                .collect(),
            full: BTreeMap::new(),
            shape: BTreeMap::new(),
            made: BTreeMap::new(),
            next: 0,
            cut: BTreeMap::new(),
            cut_by_shape: BTreeMap::new(),
            opened: BTreeMap::new(),
        }
    }

    /// The first slit of a core, the same for cores that look the same, and how many the
    /// core takes at least.
    pub(super) fn opening(
        &mut self,
        regions: &Regions<'_>,
        region: usize,
        slits: &mut Slits<'_>,
    ) -> (Slit, usize) {
        let core = regions.inner(region);
        let sight = self.seen(regions.faces(region));
        let seen_from = |frame: &Frame| {
            let ends = core.iter().map(|&edge| self.edge_ends(edge, frame));
            let mut ends: Vec<Ends> = ends.collect();
            ends.sort_unstable();
            ends
        };
        let (inner, frame) = sight
            .frames
            .iter()
            .map(|frame| (seen_from(frame), frame))
            .min_by(|(a, _), (b, _)| a.cmp(b))
            .expect("a unit has a frame");
        let place = |slit: &Slit| {
            let stop = frame.of(self.lines.target_point(slit.last));
            (stop, frame.of(self.lines.source_point(slit.first)))
        };
        let look = (sight.content.clone(), inner);
        if let Some((wanted, least)) = self.opened.get(&look) {
            let found = slits.all(core).into_iter();
            if let Some(slit) = found.into_iter().find(|slit| place(slit) == *wanted) {
                return (slit, *least);
            }
        }
        let (slit, least) = slits.first(core);
        let at = place(&slit);
        self.opened.insert(look, (at, least));
        (slit, least)
    }

    /// Where an edge lies, seen from a frame.
    fn edge_ends(&self, edge: usize, frame: &Frame) -> Ends {
        let a = frame.of(self.lines.source_point(2 * edge));
        let b = frame.of(self.lines.target_point(2 * edge));
        if a < b { (a, b) } else { (b, a) }
    }

    /// Chooses among all chords of a region, of which there is at least one.
    pub(super) fn choose(
        &mut self,
        regions: &Regions<'_>,
        region: usize,
        chords: Vec<Chord>,
    ) -> Chosen {
        if chords.len() == 1 {
            return alone(regions, region, chords);
        }
        let sight = if region == 0 {
            Sight::of_the_page()
        } else {
            self.seen(regions.faces(region))
        };
        let known = self.remembered(&sight).unwrap_or_default();
        let is_known = |chord: &&Chord| known.contains(&self.ends(chord, &sight.frames[0]));
        let again: Vec<Chord> = chords.iter().filter(is_known).cloned().collect();
        let chords = if again.is_empty() {
            self.best(regions, region, chords)
        } else {
            again
        };
        let (family, parts, slabs) = self.first_family(regions, region, &sight.frames, chords);
        self.remember(sight, &family);
        let merges = self.merges(family, &parts, slabs);
        Chosen { parts, merges }
    }

    /// The family that goes first by rule 3, in order, and what it leaves.
    fn first_family(
        &mut self,
        regions: &Regions<'_>,
        region: usize,
        frames: &[Frame],
        chords: Vec<Chord>,
    ) -> (Family, Vec<Region>, Vec<Slab>) {
        let mut options = Vec::new();
        for family in self.families(chords) {
            let parts = regions.parts(region, &family.chords);
            let slabs: Vec<Slab> = parts.iter().map(|part| self.slab(&part.faces)).collect();
            let kinds: BTreeSet<usize> = slabs.iter().map(|slab| slab.full).collect();
            let (key, frame) = frames
                .iter()
                .filter_map(|frame| Some((self.key(&family, frame)?, frame)))
                .min_by(|(a, _), (b, _)| a.cmp(b))
                .expect("a unit has a frame and a family has a chord");
            let rank = (kinds.len(), Reverse(family.chords.len()), key);
            options.push((rank, self.in_order(family, frame), parts, slabs));
        }
        let (_, family, parts, slabs) = options
            .into_iter()
            .min_by(|(a, ..), (b, ..)| a.cmp(b))
            .expect("there is at least one chord");
        (family, parts, slabs)
    }

    /// Where the chords lie by which a unit that looks the same was cut.
    fn remembered(&self, sight: &Sight) -> Option<BTreeSet<Ends>> {
        let by_shape = || {
            let shape = sight.lone.then_some(&sight.content.0)?;
            self.cut_by_shape.get(shape)
        };
        self.cut.get(&sight.content).or_else(by_shape).cloned()
    }

    fn remember(&mut self, sight: Sight, family: &Family) {
        if sight.content.0.is_empty() {
            return;
        }
        let ends = family
            .chords
            .iter()
            .map(|chord| self.ends(chord, &sight.frames[0]));
        let ends: BTreeSet<Ends> = ends.collect();
        if sight.lone {
            let shape = self.cut_by_shape.entry(sight.content.0.clone());
            shape.or_insert_with(|| ends.clone());
        }
        self.cut.entry(sight.content).or_insert(ends);
    }

    /// Where a chord lies, seen from a frame.
    fn ends(&self, chord: &Chord, frame: &Frame) -> Ends {
        let segment = self.lines.segment(chord);
        let (a, b) = (frame.of(&segment.a), frame.of(&segment.b));
        if a < b { (a, b) } else { (b, a) }
    }

    /// The chords that come first by rules 1 and 2.
    fn best(&self, regions: &Regions<'_>, region: usize, mut chords: Vec<Chord>) -> Vec<Chord> {
        let rank = |chord: &Chord| {
            let ends = [chord.first, chord.last ^ 1];
            let square = ends
                .iter()
                .filter(|&&end| self.is_square(regions, region, end));
            (square.count(), &self.lines.run[chord.edges[0]])
        };
        let ranks: Vec<_> = chords.iter().map(rank).collect();
        let Some(best) = ranks.iter().max().copied() else {
            return chords;
        };
        let mut kept = ranks.iter().map(|&rank| rank == best);
        chords.retain(|_| kept.next().unwrap_or(false));
        chords
    }

    /// Whether a chord leaves the outline squarely: every edge of the outline there is
    /// square to it or in line with it.
    fn is_square(&self, regions: &Regions<'_>, region: usize, end: Half) -> bool {
        let along = self.lines.vector(end);
        let vertex = self.lines.source(end);
        self.lines
            .leaving(vertex)
            .iter()
            .filter(|half| regions.is_border(*half / 2, region))
            .map(|&half| self.lines.vector(half))
            .all(|side| along.dot(&side).is_zero() || along.cross(&side).is_zero())
    }

    /// The chords by direction.
    fn families(&self, chords: Vec<Chord>) -> Vec<Family> {
        let mut families: Vec<Family> = Vec::new();
        for chord in chords {
            let along = self.lines.vector(chord.first);
            let parallel = |family: &&mut Family| {
                let first = self.lines.vector(family.chords[0].first);
                first.cross(&along).is_zero()
            };
            match families.iter_mut().find(parallel) {
                Some(family) => family.chords.push(chord),
                None => families.push(Family {
                    chords: vec![chord],
                }),
            }
        }
        families
    }

    /// Where the first chord of a family lies in a frame: the more it runs along the
    /// frame the earlier, then the one nearer the origin.
    fn key(&self, family: &Family, frame: &Frame) -> Option<(Reverse<Point>, Point)> {
        let ends = family.chords.iter().map(|chord| self.ends(chord, frame));
        ends.map(|(a, b)| (Reverse(&b - &a), a)).min()
    }

    /// The family's chords from the frame's origin across.
    fn in_order(&self, family: Family, frame: &Frame) -> Family {
        let placed = |chord: &Chord| {
            let segment = self.lines.segment(chord);
            (frame.of(&segment.a), frame.of(&segment.b))
        };
        let Some((a, b)) = family.chords.first().map(placed) else {
            return family;
        };
        let along = if a < b { &b - &a } else { &a - &b };
        let mut keyed: Vec<((Surd, Surd), Chord)> = family
            .chords
            .into_iter()
            .map(|chord| {
                let (a, b) = placed(&chord);
                let start = a.min(b);
                ((along.cross(&start), along.dot(&start)), chord)
            })
            .collect();
        keyed.sort_by(|(p, _), (q, _)| p.cmp(q));
        Family {
            chords: keyed.into_iter().map(|(_, chord)| chord).collect(),
        }
    }

    /// How some faces that hang together look from where they look least.
    fn seen(&self, faces: &[usize]) -> Sight {
        let corners = corners_of(self.lines.drawing, faces);
        let mut best: Option<Sight> = None;
        for frame in least_frames(&corners) {
            let content = self.content(faces, &frame);
            match &mut best {
                Some(sight) if content.0 == sight.content.0 => {
                    sight.lone = false;
                    match content.1.cmp(&sight.content.1) {
                        Ordering::Less => (sight.frames, sight.content) = (vec![frame], content),
                        Ordering::Equal => sight.frames.push(frame),
                        Ordering::Greater => {}
                    }
                }
                Some(sight) if content.0 > sight.content.0 => {}
                _ => {
                    best = Some(Sight {
                        frames: vec![frame],
                        content,
                        lone: true,
                    })
                }
            }
        }
        best.unwrap_or_else(Sight::of_the_page)
    }

    fn content(&self, faces: &[usize], frame: &Frame) -> Content {
        let mut seen: Vec<(Point, usize, usize)> = faces
            .iter()
            .map(|&face| {
                let (sum, count) = &self.sums[face];
                (
                    frame.of_sum(sum, *count),
                    self.shapes[face],
                    self.spots[face],
                )
            })
            .collect();
        seen.sort_unstable();
        let spots = seen.iter().map(|&(.., spot)| spot).collect();
        (
            seen.into_iter().map(|(at, shape, _)| (at, shape)).collect(),
            spots,
        )
    }

    fn slab(&mut self, faces: &[usize]) -> Slab {
        // A single patch is told by its shape and spot; where it lies does not matter.
        let content = match faces {
            [face] => (
                vec![(Point::ORIGIN, self.shapes[*face])],
                vec![self.spots[*face]],
            ),
            _ => self.seen(faces).content,
        };
        let next = &mut self.next;
        let mut number = || {
            *next += 1;
            *next
        };
        let shape = *self
            .shape
            .entry(content.0.clone())
            .or_insert_with(&mut number);
        let full = *self.full.entry(content).or_insert_with(&mut number);
        Slab {
            full,
            shape,
            patches: faces.len(),
        }
    }

    /// The order in which slabs are joined again along the family's chords.
    fn merges(&mut self, family: Family, parts: &[Region], mut slabs: Vec<Slab>) -> Vec<Merge> {
        let mut part_of = BTreeMap::new();
        for (index, part) in parts.iter().enumerate() {
            part_of.extend(part.faces.iter().map(|&face| (face, index)));
        }
        let mut links: Vec<Merge> = family
            .chords
            .into_iter()
            .map(|chord| {
                let one = part_of[&self.lines.right(chord.first)];
                let other = part_of[&self.lines.right(chord.first ^ 1)];
                Merge { chord, one, other }
            })
            .collect();
        let shapes: BTreeSet<usize> = slabs.iter().map(|slab| slab.shape).collect();
        let all_differ = shapes.len() == slabs.len();
        let mut merges = Vec::new();
        while let Some(kind) = most_made(&links, &slabs, all_differ) {
            let mut became: BTreeMap<usize, usize> = BTreeMap::new();
            let mut rest = Vec::new();
            for link in links {
                let taken = [link.one, link.other]
                    .iter()
                    .any(|part| became.contains_key(part));
                if taken || pair(&slabs, &link, |slab| slab.full) != kind {
                    rest.push(link);
                    continue;
                }
                let unit = self.made_of(&slabs, &link);
                became.insert(link.one, slabs.len());
                became.insert(link.other, slabs.len());
                slabs.push(unit);
                merges.push(link);
            }
            let now = |part: usize| became.get(&part).copied().unwrap_or(part);
            links = rest
                .into_iter()
                .map(|link| Merge {
                    one: now(link.one),
                    other: now(link.other),
                    ..link
                })
                .collect();
        }
        merges
    }

    fn made_of(&mut self, slabs: &[Slab], link: &Merge) -> Slab {
        let mut number = |full: bool, (lo, hi): (usize, usize)| {
            let next = &mut self.next;
            *self.made.entry((full, lo, hi)).or_insert_with(|| {
                *next += 1;
                *next
            })
        };
        Slab {
            full: number(true, pair(slabs, link, |slab| slab.full)),
            shape: number(false, pair(slabs, link, |slab| slab.shape)),
            patches: slabs[link.one].patches + slabs[link.other].patches,
        }
    }
}

/// Cuts along the only chord there is.
fn alone(regions: &Regions<'_>, region: usize, chords: Vec<Chord>) -> Chosen {
    let parts = regions.parts(region, &chords);
    let merge = |chord| Merge {
        chord,
        one: 0,
        other: 1,
    };
    Chosen {
        parts,
        merges: chords.into_iter().map(merge).collect(),
    }
}

/// What a link joins, without regard to sides.
fn pair(slabs: &[Slab], link: &Merge, what: fn(&Slab) -> usize) -> (usize, usize) {
    let (one, other) = (what(&slabs[link.one]), what(&slabs[link.other]));
    (one.min(other), one.max(other))
}

/// The kind of pair to join next.
fn most_made(links: &[Merge], slabs: &[Slab], all_differ: bool) -> Option<(usize, usize)> {
    let full = times(links, slabs, |slab| slab.full);
    let shape = times(links, slabs, |slab| slab.shape);
    let rank = |(index, link): (usize, &Merge)| {
        let kind = pair(slabs, link, |slab| slab.full);
        let like = pair(slabs, link, |slab| slab.shape);
        let size = slabs[link.one].patches + slabs[link.other].patches;
        let small = Reverse(if all_differ { size } else { 0 });
        (
            (
                full[&kind],
                shape[&like],
                kind.0 == kind.1,
                small,
                Reverse(index),
            ),
            kind,
        )
    };
    links
        .iter()
        .enumerate()
        .map(rank)
        .max()
        .map(|(_, kind)| kind)
}

/// How often each kind of pair can be made at once, taking the links in order.
fn times(
    links: &[Merge],
    slabs: &[Slab],
    what: fn(&Slab) -> usize,
) -> BTreeMap<(usize, usize), usize> {
    let mut times = BTreeMap::new();
    let mut used = BTreeSet::new();
    for link in links {
        let kind = pair(slabs, link, what);
        if used.contains(&(kind, link.one)) || used.contains(&(kind, link.other)) {
            continue;
        }
        used.insert((kind, link.one));
        used.insert((kind, link.other));
        *times.entry(kind).or_insert(0) += 1;
    }
    times
}

/// Numbers equal things alike, in the order of the things.
fn numbered<T: Ord>(things: impl Iterator<Item = T>) -> Vec<usize> {
    let things: Vec<T> = things.collect();
    let mut order: Vec<&T> = things.iter().collect();
    order.sort_unstable();
    order.dedup();
    things
        .iter()
        .map(|thing| order.partition_point(|other| *other < thing))
        .collect()
}
