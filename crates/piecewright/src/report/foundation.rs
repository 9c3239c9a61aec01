//! Foundations in the report: sections, the order within each, rough sizes.

use geometry::Segment;
use quilt::block::Block;
use quilt::block::foundation::Founded;
use serde::Serialize;

use super::{Spot, ring};

#[derive(Serialize)]
pub(super) struct Foundation {
    sections: Vec<Section>,
    /// For each patch its piece; the section of a single patch has a letter and no piece.
    patches: Vec<Piece>,
    joins: Vec<Join>,
    at_least: usize,
    margin: f64,
}

#[derive(Serialize)]
struct Section {
    id: String,
    count: usize,
    outline: Vec<Spot>,
    cut: Vec<Spot>,
    seams: Vec<[Spot; 2]>,
    pieces: Vec<Rough>,
}

#[derive(Serialize)]
struct Rough {
    number: usize,
    patch: usize,
    along: f64,
    across: f64,
    along_exact: f64,
    across_exact: f64,
    lies: [Spot; 4],
    bias_outside: bool,
}

#[derive(Serialize)]
struct Piece {
    patch: usize,
    section: String,
    number: usize,
    by_template: bool,
}

#[derive(Serialize)]
struct Join {
    seam: [Spot; 2],
    left: Vec<usize>,
    right: Vec<usize>,
}

fn ends(seam: &Segment) -> [Spot; 2] {
    [seam.a.to_f64(), seam.b.to_f64()]
}

pub(super) fn foundation(block: &Block) -> Option<Foundation> {
    let founded = block.foundation.as_ref()?;
    let division = &founded.division;
    let sections = founded.kinds.iter().map(|kind| Section {
        id: kind.letter.clone(),
        count: kind.count,
        outline: ring(&kind.outline),
        cut: kind.cut.clone(),
        seams: division.sections[kind.shown]
            .seams
            .iter()
            .map(ends)
            .collect(),
        pieces: kind
            .pieces
            .iter()
            .enumerate()
            .map(|(at, piece)| Rough {
                number: at + 1,
                patch: piece.patch,
                along: piece.along.size.to_f64(),
                across: piece.across.size.to_f64(),
                along_exact: piece.along.exact.to_f64(),
                across_exact: piece.across.exact.to_f64(),
                lies: piece.lies,
                bias_outside: piece.bias_outside,
            })
            .collect(),
    });
    let patches = founded.of_patch.iter().enumerate();
    Some(Foundation {
        sections: sections.collect(),
        patches: patches
            .map(|(patch, &(section, number))| Piece {
                patch,
                section: founded.kinds[founded.of_section[section]].letter.clone(),
                number,
                by_template: founded.piece(patch).is_none(),
            })
            .collect(),
        joins: division
            .joins
            .iter()
            .map(|join| Join {
                seam: ends(&join.seam),
                left: join.sides[0].clone(),
                right: join.sides[1].clone(),
            })
            .collect(),
        at_least: division.at_least,
        margin: Founded::margin().to_f64(),
    })
}
