//! The drawing board: what helps a maker to draw a block by hand, as pure geometry.
//!
//! ```text
//!   constructions ── laid down ──▶ draft ──▶ lines ◀── seams between true points
//!                                              ▲
//!        repeats · the seams a repair adds · near misses joined · a drawing read in
//! ```
//!
//! [`constructions`] lays down what the trade knows by name; [`points`] offers the exact
//! points a seam may end at; [`repeats`] copies seams into the other parts of the block;
//! [`sound`] tells which patches a half-drawn block has already; [`near`] finds seams that
//! pass close without meeting; [`traced`] puts measured lines on true points.
//!
//! **Units.** Inches, exact, block coordinates, y down; [`traced`] alone takes floating
//! numbers in, and gives exact ones out.

pub mod constructions;
pub mod near;
pub mod points;
pub mod repeats;
pub mod sound;
pub mod traced;

use geometry::Segment;

use crate::plan::BlockPlan;

/// Adds a seam to others, made one with those it goes on from or lies on.
#[must_use]
pub fn joined(mut lines: Vec<Segment>, mut seam: Segment) -> Vec<Segment> {
    loop {
        let goes_on = lines.iter().position(|other| {
            other.is_parallel(&seam)
                && ([&other.a, &other.b].iter().any(|end| seam.contains(end))
                    || [&seam.a, &seam.b].iter().any(|end| other.contains(end)))
        });
        let Some(index) = goes_on else {
            lines.push(seam);
            return lines;
        };
        let other = lines.swap_remove(index);
        let ends = [&seam.a, &seam.b, &other.a, &other.b];
        let (low, high) = (ends.iter().min(), ends.iter().max());
        if let (Some(low), Some(high)) = (low, high)
            && let Some(whole) = Segment::new((*low).clone(), (*high).clone())
        {
            seam = whole;
        }
    }
}

/// Takes away the places that are not in use, and their share of the colourways; the last
/// one stays whatever `used` says.
pub fn keep_places(block: &mut BlockPlan, used: &[bool]) {
    let mut used = used.to_vec();
    let mut index = 0;
    while index < block.places.len() && block.places.len() > 1 {
        if used.get(index) != Some(&false) {
            index += 1;
            continue;
        }
        used.remove(index);
        block.places.remove(index);
        for way in &mut block.colourways {
            way.places.retain(|(place, _)| *place != index);
            for (place, _) in &mut way.places {
                if *place > index {
                    *place -= 1;
                }
            }
        }
    }
}
