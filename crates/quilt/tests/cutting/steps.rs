//! The cutting in words.

use geometry::Surd;
use quilt::cutting::steps;
use quilt::plan::{Cell, Direction};
use quilt::setting::{PartKind, PartShape};

use super::plans::{Bench, bench, block, one_cell, plain};

fn said(bench: &Bench) -> Vec<String> {
    let cutting = bench.only();
    let steps = steps(&bench.plan, &bench.blocks, &cutting);
    let strips: u32 = steps.iter().map(|step| step.strips).sum();
    assert_eq!(
        strips as usize,
        cutting.strips().count(),
        "every strip is in a step"
    );
    let pieces: u32 = steps
        .iter()
        .flat_map(|s| &s.crosscuts)
        .flat_map(|c| &c.pieces)
        .map(|p| p.1)
        .sum();
    assert_eq!(
        pieces as usize,
        cutting.pieces().count(),
        "every piece is in a step"
    );
    steps.into_iter().map(|step| step.text).collect()
}

#[test]
fn triangles_from_squares() {
    let cell = Cell::Rising("light".into(), "dark".into());
    let four = block(
        "cell",
        Surd::int(4),
        Surd::int(4),
        one_cell(cell),
        &["light", "dark"],
    );
    assert_eq!(
        said(&bench(Surd::int(40), Direction::Free, vec![(four, 40)])),
        [
            "Cut 5 strips 4 7/8 in wide. From them cut 40 squares 4 7/8 in, each once on the diagonal: 80 A."
        ]
    );
}

#[test]
fn borders_are_joined_at_the_end() {
    let post = plain("Post", Surd::int(6), Surd::int(6));
    let other = plain("Kerb", Surd::int(2), Surd::int(6));
    let mut bench = bench(Surd::int(40), Direction::Free, vec![(post, 3), (other, 2)]);
    for x in [0, 10] {
        let ring = [(x, 0), (x + 6, 0), (x + 6, 50), (x, 50)];
        bench.part(PartKind::BorderSide(0), PartShape::Rectangle, &ring);
    }
    assert_eq!(
        said(&bench),
        [
            "Cut 4 strips 6 1/2 in wide. From them cut 2 whole strips to be joined for border 1; \
             1 length of 22 in to be joined for border 1; \
             2 rectangles 6 1/2 × 2 1/2 in: 2 A of Kerb; 3 squares 6 1/2 in: 3 A of Post.",
            "Join the 3 strips 6 1/2 in wide end to end; from the long strip cut 2 of 50 1/2 in: border 1.",
        ]
    );
}
