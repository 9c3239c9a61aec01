//! The patches a half-drawn block has already.
//!
//! While seams are still missing, some stop in the open and the drawing divides nothing.
//! Cut at every crossing and with all loose stretches left aside, what remains does: those
//! are the faces there are, and the picture can go on showing them.

use std::collections::{BTreeMap, BTreeSet};

use geometry::{Meet, Point, Segment};

use super::super::draft::drafted;
use super::joined;
use super::points::edges;
use crate::plan::{BlockPlan, Draft};

/// What there is of a half-drawn block.
#[derive(Clone, PartialEq, Debug)]
pub struct Sound {
    /// The block with the seams that divide it.
    pub block: BlockPlan,
    /// The stretches that are still loose.
    pub loose: Vec<Segment>,
}

/// The part of a drawing by hand that divides the block; `None` for other drafts, and where
/// even that makes no patches.
#[must_use]
pub fn sound(plan: &BlockPlan) -> Option<Sound> {
    let Draft::Lines { lines } = &plan.draft else {
        return None;
    };
    let edges: Vec<Segment> = edges(&plan.width, &plan.height)
        .into_iter()
        .map(|(_, edge)| edge)
        .collect();
    let on_edge = |p: &Point| edges.iter().any(|edge| edge.contains(p));
    let inside = |p: &Point| {
        let zero = geometry::Surd::ZERO;
        p.x >= zero && p.y >= zero && p.x <= plan.width && p.y <= plan.height
    };
    let (within, mut loose): (Vec<Segment>, Vec<Segment>) = lines
        .iter()
        .cloned()
        .partition(|line| inside(&line.a) && inside(&line.b));
    let mut left = stretches(&within, &edges);
    left.retain(|stretch| {
        let along = |edge: &Segment| edge.contains(&stretch.a) && edge.contains(&stretch.b);
        !edges.iter().any(along)
    });
    // Loose ends first, again and again; then figures that hang on nothing.
    loop {
        let mut at: BTreeMap<&Point, usize> = BTreeMap::new();
        for stretch in &left {
            *at.entry(&stretch.a).or_default() += 1;
            *at.entry(&stretch.b).or_default() += 1;
        }
        let ends = |s: &Segment| {
            let open = |p: &Point| at.get(p) == Some(&1) && !on_edge(p);
            open(&s.a) || open(&s.b)
        };
        let open: Vec<bool> = left.iter().map(ends).collect();
        if !open.contains(&true) {
            break;
        }
        let (gone, kept): (Vec<_>, Vec<_>) =
            left.into_iter().zip(open).partition(|(_, open)| *open);
        loose.extend(gone.into_iter().map(|(stretch, _)| stretch));
        left = kept.into_iter().map(|(stretch, _)| stretch).collect();
    }
    let mut reached: BTreeSet<Point> = BTreeSet::new();
    let hangs = |s: &Segment, reached: &BTreeSet<Point>| {
        [&s.a, &s.b]
            .into_iter()
            .any(|p| reached.contains(p) || on_edge(p))
    };
    let mut kept = Vec::new();
    loop {
        let (now, rest): (Vec<_>, Vec<_>) = left.into_iter().partition(|s| hangs(s, &reached));
        left = rest;
        if now.is_empty() {
            break;
        }
        reached.extend(now.iter().flat_map(|s| [s.a.clone(), s.b.clone()]));
        kept.extend(now);
    }
    loose.extend(left);
    let lines = kept.into_iter().fold(Vec::new(), joined);
    let block = BlockPlan {
        draft: Draft::Lines { lines },
        ..plan.clone()
    };
    drafted(&block).ok()?;
    let loose = loose.into_iter().fold(Vec::new(), joined);
    Some(Sound { block, loose })
}

/// The lines cut wherever they meet one another or an edge; each stretch once.
fn stretches(lines: &[Segment], edges: &[Segment]) -> Vec<Segment> {
    let mut found: BTreeSet<Segment> = BTreeSet::new();
    for (index, line) in lines.iter().enumerate() {
        let mut cuts = BTreeSet::from([line.a.clone(), line.b.clone()]);
        let others = lines.iter().enumerate().filter(|(i, _)| *i != index);
        for other in others.map(|(_, other)| other).chain(edges) {
            match line.meets(other) {
                Meet::None => {}
                Meet::At(point) => {
                    cuts.insert(point);
                }
                Meet::Along(part) => cuts.extend([part.a, part.b]),
            }
        }
        let cuts: Vec<Point> = cuts.into_iter().collect();
        for pair in cuts.windows(2) {
            found.extend(Segment::new(pair[0].clone(), pair[1].clone()));
        }
    }
    found.into_iter().collect()
}
