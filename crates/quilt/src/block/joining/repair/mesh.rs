//! A part of a block with all its lines drawn on to its outline.
//!
//! Every seam of the part lies on a line; all lines are drawn on from side to side. The
//! small faces between them are the grains that every cut along these lines can part. A
//! region is a set of grains; a stretch of a line inside it is a seam that is there
//! already, or runs through a patch and would cut it in two.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use geometry::{Arrangement, Place, Point, Polygon, Segment, turn_of};

use crate::block::joining::lines::Lines;
use crate::block::joining::outline::corners_of;

/// More lines than this are not drawn on.
const LINES: usize = 48;

/// A set of grains: one bit each.
pub(super) type Grains = Vec<u64>;

/// A stretch of a line between two points where lines meet.
struct Stretch {
    /// The grains beside it.
    beside: [usize; 2],
    /// Whether it is a seam already.
    seam: bool,
    /// Whether a seam ends or passes at its first point.
    meets: bool,
    ends: [usize; 2],
    /// Inches.
    length: f64,
}

/// One line, from side to side of the part.
struct Line {
    stretches: Vec<Stretch>,
    /// The grains on either side.
    sides: [Grains; 2],
}

/// A point inside where seams meet and none goes straight through.
struct Corner {
    /// The grains round it.
    around: Grains,
    /// Other such points that one cut of one patch would reach from here.
    reaches: Vec<usize>,
}

/// The part, ready for asking.
pub(super) struct Mesh {
    drawing: Arrangement,
    lines: Vec<Line>,
    corners: Vec<Corner>,
    /// For each grain its patch.
    pub(super) patch: Vec<usize>,
    /// For each grain its size, square inches.
    areas: Vec<f64>,
}

/// Stretches of one line that together cut one patch.
pub(super) struct Cut {
    pub(super) patch: usize,
    pub(super) seam: Segment,
}

impl Mesh {
    /// The part of a block made of these patches; `None` where it has too many lines.
    pub(super) fn of(drawing: &Arrangement, patches: &[usize], inner: &[usize]) -> Option<Self> {
        let outline = Polygon::new(corners_of(drawing, patches)).ok()?;
        let seams: Vec<Segment> = inner.iter().map(|&edge| drawing.segment(edge)).collect();
        let chords = drawn_on(&outline, &seams)?;
        let fine = Arrangement::of(&outline, &chords).ok()?;
        let walked = Lines::of(&fine);
        let seam: Vec<bool> = (0..fine.edges.len())
            .map(|edge| {
                let middle = fine.segment(edge).middle();
                walked.is_inner(edge) && seams.iter().any(|seam| seam.contains(&middle))
            })
            .collect();
        let patch = patch_of_grains(drawing, patches, &fine, &seam);
        let meets: Vec<bool> = (0..fine.vertices.len())
            .map(|v| walked.leaving(v).iter().any(|half| seam[half / 2]))
            .collect();
        let mut mesh = Self {
            lines: lines(&fine, &walked, &seam, &meets),
            corners: Vec::new(),
            patch,
            areas: fine
                .faces
                .iter()
                .map(|face| face.polygon.area().to_f64())
                .collect(),
            drawing: fine,
        };
        mesh.corners = mesh.corners_inside(&seam);
        Some(mesh)
    }

    /// All grains.
    pub(super) fn whole(&self) -> Grains {
        set(self.patch.len(), 0..self.patch.len())
    }

    pub(super) fn lines(&self) -> std::ops::Range<usize> {
        0..self.lines.len()
    }

    /// The two sides of a line in a region, if it crosses it.
    pub(super) fn halves(&self, region: &Grains, line: usize) -> Option<[Grains; 2]> {
        let halves = self.lines[line]
            .sides
            .each_ref()
            .map(|side| both(region, side));
        halves.iter().all(any).then_some(halves)
    }

    /// How many cuts of patches a line takes in a region.
    pub(super) fn price(&self, region: &Grains, line: usize) -> usize {
        let mut price = 0;
        self.runs(region, line, |_| price += 1);
        price
    }

    /// How much larger one side of a line is than the other in a region, in 1/1024 sq in.
    pub(super) fn uneven(&self, region: &Grains, line: usize) -> u64 {
        let area = |half: &Grains| grains(half).map(|grain| self.areas[grain]).sum::<f64>();
        let halves = self.halves(region, line);
        let more = halves.map_or(0.0, |[one, other]| (area(&one) - area(&other)).abs());
        (more * 1024.0).round() as u64
    }

    /// How much seam lies on a line in a region, in 1/1024 in.
    pub(super) fn carried(&self, region: &Grains, line: usize) -> u64 {
        let seams = self.lines[line].stretches.iter();
        let seams = seams.filter(|s| s.seam && s.beside.iter().all(|&grain| has(region, grain)));
        let length: f64 = seams.map(|stretch| stretch.length).sum();
        (length * 1024.0).round() as u64
    }

    /// The cuts a line takes in a region.
    pub(super) fn cuts(&self, region: &Grains, line: usize) -> Vec<Cut> {
        let mut cuts = Vec::new();
        self.runs(region, line, |run| {
            let (Some(first), Some(last)) = (run.first(), run.last()) else {
                return;
            };
            cuts.push(Cut {
                patch: self.patch[first.beside[0]],
                seam: Segment {
                    a: self.drawing.vertices[first.ends[0]].clone(),
                    b: self.drawing.vertices[last.ends[1]].clone(),
                },
            });
        });
        cuts
    }

    /// Every run of stretches of a line that lies in one patch inside a region.
    fn runs(&self, region: &Grains, line: usize, mut each: impl FnMut(&[Stretch])) {
        let stretches = &self.lines[line].stretches;
        let open = |stretch: &Stretch| {
            !stretch.seam && stretch.beside.iter().all(|&grain| has(region, grain))
        };
        let mut from = 0;
        while from < stretches.len() {
            if !open(&stretches[from]) {
                from += 1;
                continue;
            }
            let rest = &stretches[from + 1..];
            let more = rest.iter().take_while(|s| open(s) && !s.meets).count();
            each(&stretches[from..=from + more]);
            from += more + 1;
        }
    }

    /// The patch a region lies in, if it lies in one.
    pub(super) fn only_patch(&self, region: &Grains) -> Option<usize> {
        let mut grains = grains(region);
        let patch = self.patch[grains.next()?];
        grains
            .all(|grain| self.patch[grain] == patch)
            .then_some(patch)
    }

    /// The outline of a region.
    pub(super) fn outline(&self, region: &Grains) -> Option<Polygon> {
        let faces: Vec<usize> = grains(region).collect();
        Polygon::new(corners_of(&self.drawing, &faces)).ok()
    }

    /// How many cuts of patches a region takes at least for its corners: one cut has two
    /// ends, and only some corners lie so that one cut serves both.
    pub(super) fn for_corners(&self, region: &Grains) -> usize {
        let inside: Vec<usize> = (0..self.corners.len())
            .filter(|&c| both(&self.corners[c].around, region) == self.corners[c].around)
            .collect();
        let paired = inside.iter().filter(|&&corner| {
            let others = &self.corners[corner].reaches;
            others
                .iter()
                .any(|other| inside.binary_search(other).is_ok())
        });
        let paired = paired.count();
        inside.len() - paired + paired.div_ceil(2)
    }

    fn corners_inside(&self, seam: &[bool]) -> Vec<Corner> {
        let walked = Lines::of(&self.drawing);
        let passed = |vertex: usize| {
            walked.leaving(vertex).iter().any(|&half| {
                let on = walked.straight(half ^ 1);
                seam[half / 2] && on.is_some_and(|on| seam[on / 2])
            })
        };
        let inside = |vertex: usize| {
            let leaving = walked.leaving(vertex);
            leaving.iter().all(|half| walked.is_inner(half / 2))
        };
        let meets = |vertex: usize| walked.leaving(vertex).iter().any(|half| seam[half / 2]);
        let at: Vec<usize> = (0..self.drawing.vertices.len())
            .filter(|&vertex| meets(vertex) && inside(vertex) && !passed(vertex))
            .collect();
        let of = |vertex: &usize| {
            let leaving = walked.leaving(*vertex);
            let around = leaving.iter().map(|&half| walked.right(half));
            let mut reaches = Vec::new();
            for &first in leaving.iter().filter(|half| !seam[**half / 2]) {
                let mut last = first;
                while !meets(walked.target(last)) {
                    match walked.straight(last).filter(|on| !seam[on / 2]) {
                        Some(on) => last = on,
                        None => break,
                    }
                }
                reaches.extend(at.binary_search(&walked.target(last)).ok());
            }
            Corner {
                around: set(self.patch.len(), around),
                reaches,
            }
        };
        at.iter().map(of).collect()
    }
}

/// Each line that some seams lie on, from side to side of the outline.
fn drawn_on(outline: &Polygon, seams: &[Segment]) -> Option<Vec<Segment>> {
    let mut chords: Vec<Segment> = Vec::new();
    for seam in seams {
        let on = |chord: &Segment| {
            [&seam.a, &seam.b]
                .iter()
                .all(|p| turn_of(&chord.a, &chord.b, p) == Ordering::Equal)
        };
        if !chords.iter().any(on) {
            chords.push(across(outline, seam)?);
            if chords.len() > LINES {
                return None;
            }
        }
    }
    Some(chords)
}

/// The line of a seam between the two points where it meets a convex outline.
fn across(outline: &Polygon, seam: &Segment) -> Option<Segment> {
    let along = seam.vector();
    let far = |point: &Point| along.cross(&(point - &seam.a));
    let mut met: BTreeSet<Point> = BTreeSet::new();
    for side in outline.edges() {
        let [a, b] = [far(&side.a), far(&side.b)];
        if a.is_zero() {
            met.insert(side.a.clone());
        } else if !b.is_zero() && a.is_positive() != b.is_positive() {
            let part = a.checked_div(&(&a - &b))?;
            met.insert(&side.a + &side.vector().scaled(&part));
        }
    }
    Segment::new(met.pop_first()?, met.pop_last()?)
}

/// Grains that no seam parts lie in one patch.
fn patch_of_grains(
    drawing: &Arrangement,
    patches: &[usize],
    fine: &Arrangement,
    seam: &[bool],
) -> Vec<usize> {
    let mut patch = vec![usize::MAX; fine.faces.len()];
    let mut beside = vec![Vec::new(); fine.faces.len()];
    for (edge, sides) in fine.edges.iter().enumerate() {
        if let (false, Some(left), Some(right)) = (seam[edge], sides.left, sides.right) {
            beside[left].push(right);
            beside[right].push(left);
        }
    }
    for grain in 0..fine.faces.len() {
        if patch[grain] != usize::MAX {
            continue;
        }
        let within = fine.faces[grain].polygon.inner_point();
        let holds =
            |&&patch: &&usize| drawing.faces[patch].polygon.locate(&within) != Place::Outside;
        let own = patches.iter().find(holds).copied().unwrap_or_default();
        let mut stack = vec![grain];
        while let Some(here) = stack.pop() {
            if patch[here] == usize::MAX {
                patch[here] = own;
                stack.extend(&beside[here]);
            }
        }
    }
    patch
}

fn lines(fine: &Arrangement, walked: &Lines<'_>, seam: &[bool], meets: &[bool]) -> Vec<Line> {
    let border = |vertex: usize| {
        let leaving = walked.leaving(vertex);
        leaving.iter().any(|half| !walked.is_inner(half / 2))
    };
    let inside: Vec<Point> = fine
        .faces
        .iter()
        .map(|face| face.polygon.inner_point())
        .collect();
    let mut lines = Vec::new();
    for first in 0..2 * fine.edges.len() {
        if !walked.is_inner(first / 2) || !border(walked.source(first)) {
            continue;
        }
        let (mut last, mut stretches) = (first, Vec::new());
        loop {
            stretches.push(Stretch {
                beside: [walked.right(last), walked.right(last ^ 1)],
                seam: seam[last / 2],
                meets: meets[walked.source(last)],
                ends: [walked.source(last), walked.target(last)],
                length: fine.segment(last / 2).length_f64(),
            });
            match walked.straight(last) {
                Some(on) => last = on,
                None => break,
            }
        }
        let (from, to) = (walked.source(first), walked.target(last));
        if from < to {
            let ends = [from, to].map(|end| &fine.vertices[end]);
            let side = |wanted: Ordering| {
                let on = (0..inside.len())
                    .filter(|&grain| turn_of(ends[0], ends[1], &inside[grain]) == wanted);
                set(inside.len(), on)
            };
            lines.push(Line {
                stretches,
                sides: [side(Ordering::Less), side(Ordering::Greater)],
            });
        }
    }
    lines
}

fn set(count: usize, grains: impl Iterator<Item = usize>) -> Grains {
    let mut set = vec![0; count.div_ceil(64)];
    for grain in grains {
        set[grain / 64] |= 1 << (grain % 64);
    }
    set
}

fn has(set: &Grains, grain: usize) -> bool {
    set[grain / 64] >> (grain % 64) & 1 == 1
}

fn both(one: &Grains, other: &Grains) -> Grains {
    one.iter().zip(other).map(|(a, b)| a & b).collect()
}

fn any(set: &Grains) -> bool {
    set.iter().any(|word| *word != 0)
}

fn grains(set: &Grains) -> impl Iterator<Item = usize> {
    (0..set.len() * 64).filter(|&grain| has(set, grain))
}
