//! Which way the threads run in each patch.
//!
//! Cloth is firm along and across its threads and stretches on the bias. The rules, in
//! this order:
//!
//! 1. no edge on the block's outside lies on the bias where the shape allows it (of two
//!    that cannot both be straight, the longer wins);
//! 2. the least bias left open while sewing: every stage of the joining tree leaves the
//!    edges of its units open, and an edge on the bias counts with its length once for
//!    every stage before it is sewn. Patches do not influence one another here, since
//!    the sum is taken edge by edge, so the best direction of each is the best of all;
//! 3. congruent patches that can share a direction do, so that one template serves them.
//!
//! An edge is straight when it lies along or across the threads: directions are told
//! apart only up to a quarter turn.
//!
//! **Units.** Lengths are inches (float; they weigh, they decide no shape). Directions
//! are exact vectors.

use std::cmp::Ordering;

use geometry::{Arrangement, Motion, Point, Polygon, ShapeKey, all_fits, shape_keys};

use super::joining::{JoinNode, Joining};

/// Open bias within this factor of the least is as good when congruent patches can share
/// a template by it: one template less makes every cut simpler, but a patch that would
/// leave more than twice the bias open is worth one of its own.
const AS_GOOD: f64 = 2.0;

/// Lengths that differ by less are the same.
const SAME: f64 = 1e-9;

/// One direction a patch's threads could take, with what it costs.
struct Choice {
    direction: Point,
    /// Length of bias on the block's outside.
    outside: f64,
    /// Length of bias, once for every stage it is open.
    open: f64,
}

/// The direction of the grain of each patch, as a vector in block coordinates.
pub(super) fn directions(
    outlines: &[Polygon],
    arrangement: &Arrangement,
    joining: &Joining,
) -> Vec<Point> {
    let weights = EdgeWeights::of(arrangement, joining, outlines.len());
    let choices: Vec<Vec<Choice>> = outlines
        .iter()
        .enumerate()
        .map(|(patch, outline)| admissible(choices(outline, &weights.edges[patch])))
        .collect();
    shared(outlines, &choices)
}

/// Whether two directions agree up to a quarter turn.
pub(super) fn agree(a: &Point, b: &Point) -> bool {
    a.cross(b).is_zero() || a.dot(b).is_zero()
}

/// For each patch its stretches of edge: their vector, their length, whether they lie on
/// the block's outside, and for how many stages they stay open.
struct EdgeWeights {
    edges: Vec<Vec<(Point, f64, bool, f64)>>,
}

impl EdgeWeights {
    fn of(arrangement: &Arrangement, joining: &Joining, patches: usize) -> Self {
        let stages = Stages::of(&joining.tree, patches);
        let mut edges = vec![Vec::new(); patches];
        for (index, edge) in arrangement.edges.iter().enumerate() {
            let segment = arrangement.segment(index);
            let (vector, length) = (segment.vector(), segment.length_f64());
            for (side, other) in [(edge.left, edge.right), (edge.right, edge.left)] {
                let Some(patch) = side else { continue };
                let open = other.map_or(1.0, |other| stages.open(patch, other));
                edges[patch].push((vector.clone(), length, other.is_none(), open));
            }
        }
        Self { edges }
    }
}

/// For each patch the joins above it, from its own first to the last.
struct Stages {
    joins: Vec<Vec<usize>>,
}

impl Stages {
    fn of(tree: &JoinNode, patches: usize) -> Self {
        // Walk down with an own stack: log blocks make trees as deep as they have strips.
        let mut joins = vec![Vec::new(); patches];
        let mut stack = vec![tree];
        let mut next = 0;
        while let Some(node) = stack.pop() {
            match node {
                JoinNode::Patch(_) => {}
                JoinNode::Close { unit, .. } => stack.push(unit),
                JoinNode::Join {
                    left,
                    right,
                    patches,
                    ..
                } => {
                    for &patch in patches {
                        joins[patch].push(next);
                    }
                    next += 1;
                    stack.extend([left.as_ref(), right.as_ref()]);
                }
            }
        }
        for above in &mut joins {
            above.reverse();
        }
        Self { joins }
    }

    /// For how many stages the edge between two patches is open on the side of the first.
    fn open(&self, patch: usize, other: usize) -> f64 {
        let closing = self.joins[patch]
            .iter()
            .position(|join| self.joins[other].contains(join));
        closing.map_or(1.0, |stage| stage as f64 + 1.0)
    }
}

/// Every direction worth trying: along each edge, and along the block.
fn choices(outline: &Polygon, edges: &[(Point, f64, bool, f64)]) -> Vec<Choice> {
    let mut found: Vec<Point> = vec![Point::ints(0, 1)];
    for edge in outline.edges() {
        let vector = edge.vector();
        if !found.iter().any(|known| agree(known, &vector)) {
            found.push(vector);
        }
    }
    found
        .into_iter()
        .map(|direction| {
            let off = edges
                .iter()
                .filter(|(vector, ..)| !agree(vector, &direction));
            let (outside, open) = off.fold((0.0, 0.0), |(outside, open), edge| {
                let (_, length, is_outside, stages) = edge;
                if *is_outside {
                    (outside + length, open)
                } else {
                    (outside, open + length * stages)
                }
            });
            Choice {
                direction,
                outside,
                open,
            }
        })
        .collect()
}

/// Those with the least bias outside and, of them, about the least left open.
fn admissible(mut choices: Vec<Choice>) -> Vec<Choice> {
    let outside = choices
        .iter()
        .map(|c| c.outside)
        .fold(f64::INFINITY, f64::min);
    choices.retain(|c| c.outside <= outside + SAME);
    let open = choices.iter().map(|c| c.open).fold(f64::INFINITY, f64::min);
    choices.retain(|c| c.open <= open * AS_GOOD + SAME);
    choices.sort_by(|a, b| a.open.total_cmp(&b.open));
    choices
}

/// Chooses among the admissible directions so that congruent patches need few templates.
fn shared(outlines: &[Polygon], choices: &[Vec<Choice>]) -> Vec<Point> {
    let keys: Vec<ShapeKey> = outlines
        .iter()
        .map(|o| shape_keys(o).unhanded().clone())
        .collect();
    let mut chosen: Vec<Option<Point>> = vec![None; outlines.len()];
    for first in 0..outlines.len() {
        if chosen[first].is_some() {
            continue;
        }
        let class: Vec<usize> = (first..outlines.len())
            .filter(|&p| chosen[p].is_none() && keys[p] == keys[first])
            .collect();
        // The motions that lay this patch on the others carry its directions along.
        let fits: Vec<Vec<Motion>> = class
            .iter()
            .map(|&p| all_fits(&outlines[first], &outlines[p]))
            .collect();
        let best = choices[first]
            .iter()
            .map(|choice| followers(choice, &class, &fits, choices))
            .max_by(better)
            .expect("a patch always has a direction");
        for (patch, direction) in best.patches {
            chosen[patch] = Some(direction);
        }
    }
    chosen
        .into_iter()
        .map(|direction| direction.expect("every class was served"))
        .collect()
}

/// The patches of a class that can share one direction, and what that leaves open.
struct Shared {
    patches: Vec<(usize, Point)>,
    unmirrored: usize,
    open: f64,
}

fn followers(
    choice: &Choice,
    class: &[usize],
    fits: &[Vec<Motion>],
    all: &[Vec<Choice>],
) -> Shared {
    let mut shared = Shared {
        patches: Vec::new(),
        unmirrored: 0,
        open: 0.0,
    };
    for (&patch, fits) in class.iter().zip(fits) {
        let follows = fits.iter().find_map(|fit| {
            let direction = fit.apply_vector(&choice.direction);
            let found = all[patch]
                .iter()
                .find(|other| agree(&other.direction, &direction))?;
            Some((found, fit.is_mirrored()))
        });
        if let Some((found, mirrored)) = follows {
            shared.patches.push((patch, found.direction.clone()));
            shared.unmirrored += usize::from(!mirrored);
            shared.open += found.open;
        }
    }
    shared
}

/// More patches on one template, then fewer turned over, then less bias open.
fn better(a: &Shared, b: &Shared) -> Ordering {
    (a.patches.len().cmp(&b.patches.len()))
        .then(a.unmirrored.cmp(&b.unmirrored))
        .then(b.open.total_cmp(&a.open))
}
