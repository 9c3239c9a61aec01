//! The joins of a block bottom-up, and which of them are the same work.
//!
//! Two units are the same when one, turned and shifted but not mirrored, lies on the
//! other patch on patch, with the same templates, the same cloth and the same seams in
//! the same order, which stop at the same points. Cloth counts by place: two places with the same one cloth count as
//! one; a place that takes several in turn counts as itself.

use std::collections::BTreeMap;

use geometry::{Point, Polygon, Segment};

use crate::block::joining::{Frame, least_frames, outline_of};
use crate::block::{Block, JoinNode, SeamEnd};
use crate::plan::{BlockPlan, ClothId};

/// A join as it stands in the tree, or a seam that closes a slit: then both sides are the
/// same unit, with the patches along the seam.
pub(super) struct Made<'a> {
    pub(super) seam: &'a Segment,
    pub(super) ends: [SeamEnd; 2],
    pub(super) closes: bool,
    pub(super) left: Child<'a>,
    pub(super) right: Child<'a>,
    pub(super) patches: &'a [usize],
}

/// One side of a join.
#[derive(Clone, Copy)]
pub(super) struct Child<'a> {
    /// The join that makes it, `None` for a single patch.
    pub(super) join: Option<usize>,
    pub(super) patches: &'a [usize],
}

/// The joins of a tree, every unit after the units it is made of; of two units the one
/// with the first patch of the draft is made first.
///
/// Walks with a stack of its own: log blocks make trees as deep as they have strips.
pub(super) fn bottom_up(tree: &JoinNode) -> Vec<Made<'_>> {
    let mut made: Vec<Made<'_>> = Vec::new();
    let mut done: Vec<Child<'_>> = Vec::new();
    let mut stack = vec![(tree, false)];
    while let Some((node, parts_done)) = stack.pop() {
        let (seam, ends, left, right, patches) = match node {
            JoinNode::Patch(_) => {
                done.push(Child {
                    join: None,
                    patches: node.patches(),
                });
                continue;
            }
            JoinNode::Close { unit, .. } if !parts_done => {
                stack.extend([(node, true), (unit, false)]);
                continue;
            }
            JoinNode::Close {
                seam, ends, along, ..
            } => {
                let Some(unit) = done.pop() else { break };
                let [left, right] = along.each_ref().map(|patches| Child {
                    join: unit.join,
                    patches,
                });
                done.push(Child {
                    join: Some(made.len()),
                    patches: unit.patches,
                });
                made.push(Made {
                    seam,
                    ends: *ends,
                    closes: true,
                    left,
                    right,
                    patches: unit.patches,
                });
                continue;
            }
            JoinNode::Join {
                seam,
                ends,
                left,
                right,
                patches,
            } => (seam, *ends, left, right, patches),
        };
        let left_first = left.patches().first() <= right.patches().first();
        if !parts_done {
            let (first, second) = if left_first {
                (left, right)
            } else {
                (right, left)
            };
            stack.extend([(node, true), (second, false), (first, false)]);
            continue;
        }
        let (Some(second), Some(first)) = (done.pop(), done.pop()) else {
            break;
        };
        let (left, right) = if left_first {
            (first, second)
        } else {
            (second, first)
        };
        done.push(Child {
            join: Some(made.len()),
            patches,
        });
        made.push(Made {
            seam,
            ends,
            closes: false,
            left,
            right,
            patches,
        });
    }
    made
}

/// What cloth a patch takes, as far as units are told apart by it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Takes {
    Nothing,
    One(ClothId),
    InTurn(usize),
}

/// The kinds of the two parts of a unit, and from where each looks least, as seen from
/// the unit; then where its seam stops short of the raw edge, and how.
type Sight = ([(usize, Point, Point); 2], Vec<(Point, SeamEnd)>);

/// What makes two units the same.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Sameness {
    Patch(usize, Takes),
    Joined(Box<Sight>),
    /// A unit of this kind with a seam closed between these two points.
    Closed(usize, Box<[Point; 2]>),
}

/// A unit's kind and the frames from which it looks least.
struct Unit {
    kind: usize,
    frames: Vec<Frame>,
}

/// The kinds of the joins of a block.
pub(super) struct Kinds {
    /// For each join its outline.
    pub(super) outlines: Vec<Polygon>,
    /// For each join its kind; joins of one kind are the same work.
    pub(super) of_join: Vec<usize>,
    /// For each join the kinds of its left and right part.
    pub(super) of_parts: Vec<[usize; 2]>,
}

/// Finds the kinds of all joins; `None` if a unit has no outline, which a sound joining
/// tree never has.
pub(super) fn kinds(plan: &BlockPlan, block: &Block, made: &[Made<'_>]) -> Option<Kinds> {
    let drawing = &block.drafted.arrangement;
    let mut numbers: BTreeMap<Sameness, usize> = BTreeMap::new();
    let patches: Vec<Unit> = block
        .patches
        .iter()
        .map(|patch| Unit {
            kind: number(
                &mut numbers,
                Sameness::Patch(patch.template, takes(plan, patch.place)),
            ),
            frames: least_frames(patch.outline.points()),
        })
        .collect();
    let mut units: Vec<Unit> = Vec::new();
    let mut found = Kinds {
        outlines: Vec::new(),
        of_join: Vec::new(),
        of_parts: Vec::new(),
    };
    for join in made {
        let outline = outline_of(drawing, join.patches)?;
        let [left, right] = [join.left, join.right].map(|part| match part.join {
            Some(index) => &units[index],
            None => &patches[part.patches[0]],
        });
        let (frames, sameness) = if join.closes {
            closed(left, join.seam)?
        } else {
            seen(&outline, left, right, join)?
        };
        found.of_parts.push([left.kind, right.kind]);
        let kind = number(&mut numbers, sameness);
        found.of_join.push(kind);
        found.outlines.push(outline);
        units.push(Unit { kind, frames });
    }
    Some(found)
}

impl Kinds {
    /// How many kinds there are.
    pub(super) fn different(&self) -> usize {
        let mut kinds = self.of_join.clone();
        kinds.sort_unstable();
        kinds.dedup();
        kinds.len()
    }
}

/// For each patch a number; the same for patches of one template in the same cloth.
pub(super) fn patch_kinds(plan: &BlockPlan, block: &Block) -> Vec<usize> {
    let mut numbers: BTreeMap<Sameness, usize> = BTreeMap::new();
    let same = block
        .patches
        .iter()
        .map(|patch| Sameness::Patch(patch.template, takes(plan, patch.place)));
    same.map(|same| number(&mut numbers, same)).collect()
}

fn takes(plan: &BlockPlan, place: Option<usize>) -> Takes {
    let cloths = place
        .and_then(|place| plan.places.get(place))
        .map(|place| &place.cloths);
    match (cloths.map(Vec::as_slice), place) {
        (Some([only]), _) => Takes::One(*only),
        (Some(_), Some(place)) => Takes::InTurn(place),
        _ => Takes::Nothing,
    }
}

fn number(numbers: &mut BTreeMap<Sameness, usize>, sameness: Sameness) -> usize {
    let next = numbers.len();
    *numbers.entry(sameness).or_insert(next)
}

/// How a unit made of two looks from its own outline, and the frames it looks so from.
///
/// A part may look the same from several frames, when it can be turned onto itself; which
/// of them is seen first tells where it lies, whatever copy of it this is.
fn seen(
    outline: &Polygon,
    left: &Unit,
    right: &Unit,
    join: &Made<'_>,
) -> Option<(Vec<Frame>, Sameness)> {
    let stops: Vec<(&Point, SeamEnd)> = [&join.seam.a, &join.seam.b]
        .into_iter()
        .zip(join.ends)
        .filter(|(_, end)| *end != SeamEnd::Through)
        .collect();
    let mut best: Option<(Sight, Vec<Frame>)> = None;
    for frame in least_frames(outline.points()) {
        let part = |unit: &Unit| {
            let sights = unit.frames.iter();
            let sights = sights.map(|own| (frame.of(&own.origin), frame.of_vector(&own.along)));
            sights
                .min()
                .map(|(origin, along)| (unit.kind, origin, along))
        };
        let mut parts = [part(left)?, part(right)?];
        parts.sort();
        let stops = stops.iter().map(|&(at, end)| (frame.of(at), end));
        let mut stops: Vec<(Point, SeamEnd)> = stops.collect();
        stops.sort();
        let sight = (parts, stops);
        match &mut best {
            Some((least, frames)) if sight == *least => frames.push(frame),
            Some((least, _)) if sight > *least => {}
            _ => best = Some((sight, vec![frame])),
        }
    }
    best.map(|(sight, frames)| (frames, Sameness::Joined(Box::new(sight))))
}

/// How a unit looks in which a seam is closed.
fn closed(unit: &Unit, seam: &Segment) -> Option<(Vec<Frame>, Sameness)> {
    let sight = |frame: &Frame| [frame.of(&seam.a), frame.of(&seam.b)];
    let least = unit.frames.iter().map(sight).min()?;
    let frames = unit.frames.iter().filter(|frame| sight(frame) == least);
    let frames = frames.cloned().collect();
    Some((frames, Sameness::Closed(unit.kind, Box::new(least))))
}
