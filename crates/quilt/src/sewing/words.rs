//! What stands in the way of straight seams, in words.

use crate::block::{Block, Obstruction};

/// The least number of set-in and partial seams that is certain.
///
/// A lower bound: each point no line goes through first comes to lie on an outline by a
/// seam of its own that stops there, and whatever is left uncut needs one seam that stops
/// somewhere. Several rings in one part may need more.
pub(super) fn at_least(obstructions: &[Obstruction]) -> u32 {
    let one = |o: &Obstruction| u32::try_from(o.corners.len().max(1)).unwrap_or(u32::MAX);
    obstructions.iter().map(one).sum()
}

/// The obstructions in sentences; `None` when there are none.
pub(super) fn in_words(block: &Block, obstructions: &[Obstruction]) -> Option<String> {
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
    (!sentences.is_empty()).then(|| sentences.join(" "))
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
