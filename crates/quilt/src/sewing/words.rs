//! What stands in the way of straight seams, in words.

use crate::block::{Block, Obstruction};

/// The obstructions in sentences, and how many seams that are not straight the order
/// takes, partial and set in; `None` when there are none.
pub(super) fn in_words(
    block: &Block,
    obstructions: &[Obstruction],
    [partial, set_in]: [u32; 2],
    at_least: u32,
) -> Option<String> {
    let points: usize = obstructions.iter().map(|o| o.corners.len()).sum();
    let mut sentences: Vec<String> = Vec::new();
    match points {
        0 => {}
        1 => sentences.push(
            "At one point inside the block patches meet and no line goes straight through: it asks for a set-in seam."
                .into(),
        ),
        n => sentences.push(format!(
            "At {n} points inside the block patches meet and no line goes straight through: each asks for a set-in seam."
        )),
    }
    let mut rings: Vec<(String, usize)> = Vec::new();
    for ring in obstructions
        .iter()
        .filter(|o| !o.ring.is_empty())
        .map(|o| ring(block, o))
    {
        match rings.iter_mut().find(|(told, _)| *told == ring) {
            Some((_, times)) => *times += 1,
            None => rings.push((ring, 1)),
        }
    }
    sentences.extend(rings.into_iter().map(|(told, times)| match times {
        1 => told,
        n => format!("{told} This happens {n} times."),
    }));
    if sentences.is_empty() {
        return None;
    }
    sentences.push(taken(partial, set_in, at_least));
    Some(sentences.join(" "))
}

/// What the order takes, and whether it could be less.
fn taken(partial: u32, set_in: u32, at_least: u32) -> String {
    let seams = |n: u32, kind: &str| match n {
        0 => None,
        1 => Some(format!("one {kind} seam")),
        n => Some(format!("{n} {kind} seams")),
    };
    let both = [seams(partial, "partial"), seams(set_in, "set-in")];
    let told: Vec<String> = both.into_iter().flatten().collect();
    let told = told.join(" and ");
    if partial + set_in > at_least {
        format!("The order given takes {told}; {at_least} at least are needed.")
    } else {
        format!("The order given takes {told}, and no order takes fewer.")
    }
}

fn ring(block: &Block, obstruction: &Obstruction) -> String {
    let seams = obstruction.ring.len();
    let around = match enclosed(block, obstruction).as_slice() {
        [one] => {
            let letter = &block.templates[block.patches[*one].template].letter;
            format!("Seams ring patch {letter}")
        }
        _ => "Seams go round in a ring".into(),
    };
    format!(
        "{around}: each of {seams} seams ends on the next, so one must be sewn part-way and finished last (a partial seam)."
    )
}

/// Patches every edge of which lies on the ring.
fn enclosed(block: &Block, obstruction: &Obstruction) -> Vec<usize> {
    let on_ring = |edge: geometry::Segment| {
        obstruction
            .ring
            .iter()
            .any(|seam| seam.contains(&edge.a) && seam.contains(&edge.b))
    };
    let inside = |patch: &&usize| block.patches[**patch].outline.edges().all(on_ring);
    obstruction.patches.iter().filter(inside).copied().collect()
}
