//! The cutting in words.

use geometry::Surd;
use quilt::cutting;
use quilt::plan::{Cell, Direction};
use quilt::setting::{PartKind, PartShape};

use super::at_table::table_sound;
use super::plans::{Bench, bench, block, one_cell, plain};

fn said(bench: &Bench) -> Vec<String> {
    let all = bench.cut();
    let table = cutting::table(&bench.plan, &bench.blocks, &all);
    table_sound(&bench.plan, &all, &table);
    let steps = table.stations.into_iter().flat_map(|station| station.steps);
    steps.map(|step| step.text).collect()
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
            "Lay the cloth folded selvage to selvage. Square the end on your left.",
            "Ruler at 4 7/8 in: cut 5 strips (1 to 5). See after every 4 that the end is still square.",
            "Turn them, still folded, 2 on each other (4 layers). Square the selvage ends on your left.",
            "Ruler at 4 7/8 in: 8 squares from each of strips 1 to 5, 40 in all.",
            "Stack the squares 4 deep. Cut each once corner to corner: 80 A.",
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
            "Lay the cloth folded selvage to selvage. Square the end on your left.",
            "Ruler at 6 1/2 in: cut 4 strips (1 to 4).",
            "Strips 1 and 2 stay whole: to be joined for border 1.",
            "Turn strips 3 and 4, still folded, 2 on each other (4 layers). Square the selvage ends on your left.",
            "Ruler at 2 1/2 in: 2 rectangles from strip 3: 2 A of Kerb.",
            "Ruler at 6 1/2 in: 3 squares from strip 4: 3 A of Post. They come in pairs; open the strip out for the last one.",
            "Ruler at 22 in: 1 length from strip 3, to be joined for border 1.",
            "Join the 3 strips 6 1/2 in wide end to end; from the long strip cut 2 of 50 1/2 in: border 1.",
        ]
    );
}
