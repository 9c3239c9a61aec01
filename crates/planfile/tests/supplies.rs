//! What a maker writes about cloth on the shelf is read, written and read the same.
#![allow(clippy::unwrap_used, reason = "everything here is a test")]

use geometry::Surd;
use quilt::plan::{OwnedKind, Plan};

fn text(cloth: &str, units: &str) -> String {
    format!(
        "piecewright = 1\ntitle = \"Shelf\"\nunits = \"{units}\"\n[cloth.sand]\ncolour = \"#d9c9a3\"\n{cloth}\n\
         [block.Square]\nsize = \"4\"\ndraft = \"grid\"\ncells = [\"sand\"]\n[block.Square.places]\nsand = \"sand\"\n\
         [setting]\nrows = 1\ncolumns = 1\ncells = [\"S\"]\n[setting.key]\nS = \"Square\"\n"
    )
}

fn read(cloth: &str, units: &str) -> Plan {
    let text = text(cloth, units);
    planfile::read("shelf.toml", &text).unwrap_or_else(|all| panic!("{cloth}: {all:?}"))
}

/// Kind, count, across and along, inches.
fn owned(entry: &str, units: &str) -> (OwnedKind, u32, Option<Surd>, Surd) {
    let plan = read(&format!("owned = [{entry}]"), units);
    let again = planfile::read("again.toml", &planfile::write(&plan)).unwrap();
    assert_eq!(again, plan, "{entry} is written as it is read");
    let owned = &plan.cloths[0].supply.owned[0];
    (
        owned.kind,
        owned.count,
        owned.across.clone(),
        owned.along.clone(),
    )
}

#[test]
fn words_of_the_craft_and_sizes_of_your_own() {
    let int = Surd::int;
    let half = |n: i64| Surd::ratio(n, 2);
    use OwnedKind::{FatEighth, FatQuarter, Length, Piece, Squares, Strips};
    let table = [
        ("\"1/2 yd\"", (Length, 1, None, int(18))),
        ("18", (Length, 1, None, int(18))),
        ("\"3 lengths 1/4 yd\"", (Length, 3, None, int(9))),
        ("\"fat quarter\"", (FatQuarter, 1, Some(int(21)), int(18))),
        (
            "\"2 fat quarters 18 x 22\"",
            (FatQuarter, 2, Some(int(22)), int(18)),
        ),
        (
            "\"fat quarter 22 × 18\"",
            (FatQuarter, 1, Some(int(22)), int(18)),
        ),
        ("\"Fat eighth\"", (FatEighth, 1, Some(int(21)), int(9))),
        ("\"9 x 14\"", (Piece, 1, Some(int(9)), int(14))),
        (
            "\"4 pieces 9 x 14 1/2\"",
            (Piece, 4, Some(int(9)), half(29)),
        ),
        ("\"6 strips 2 1/2\"", (Strips, 6, None, half(5))),
        ("\"6 strips\"", (Strips, 6, None, half(5))),
        (
            "\"6 strips 1 1/2 x 42\"",
            (Strips, 6, Some(int(42)), half(3)),
        ),
        ("\"12 squares 5\"", (Squares, 12, Some(int(5)), int(5))),
        ("\"square 10\"", (Squares, 1, Some(int(10)), int(10))),
    ];
    for (entry, wanted) in table {
        assert_eq!(owned(entry, "inch"), wanted, "{entry}");
    }
    let cm = |n: i64| Surd::ratio(50 * n, 127);
    assert_eq!(
        owned("\"fat quarter\"", "cm"),
        (FatQuarter, 1, Some(cm(55)), cm(50))
    );
    assert_eq!(owned("\"0.5 m\"", "cm"), (Length, 1, None, cm(50)));
    assert_eq!(
        owned("\"squares\"", "cm"),
        (Squares, 1, Some(int(5)), int(5))
    );
}

#[test]
fn how_it_is_sold() {
    let plan = read(
        "sold = false\nprice = \"12.50\"\nwidths = [\"58\", \"108 at 24.50\"]",
        "inch",
    );
    let supply = &plan.cloths[0].supply;
    assert!(!supply.sold);
    assert_eq!(supply.price, Some(Surd::ratio(25, 2)));
    assert_eq!(supply.widths[0].width, Surd::int(58));
    assert_eq!(supply.widths[0].price, None);
    assert_eq!(supply.widths[1].price, Some(Surd::ratio(49, 2)));
    let again = planfile::read("again.toml", &planfile::write(&plan)).unwrap();
    assert_eq!(again, plan);
}

#[test]
fn where_motifs_lie_and_what_is_centred_on_them() {
    let plan = read(
        "motif = { across = 10, along = \"12.5\", offset = 5, from_edge = \"4\" }",
        "cm",
    );
    let motif = plan.cloths[0].motif.as_ref().unwrap();
    let cm = |halves: i64| Surd::ratio(25 * halves, 127);
    assert_eq!(
        [&motif.across, &motif.along, &motif.offset],
        [&cm(20), &cm(25), &cm(10)]
    );
    assert_eq!(motif.from_edge, Some(cm(8)));
    assert_eq!(motif.from_end, None);
    assert!(!plan.blocks[0].places[0].centred);
    let mut showing = plan.clone();
    showing.blocks[0].places[0].centred = true;
    for plan in [&plan, &showing] {
        let again = planfile::read("again.toml", &planfile::write(plan)).unwrap();
        assert_eq!(&again, plan);
    }
    let text = text("motif = { across = \"4\", along = \"6\" } # roses", "inch");
    let before = planfile::read("roses.toml", &text).unwrap();
    let mut after = before.clone();
    after.blocks[0].places[0].centred = true;
    after.cloths[0].motif.as_mut().unwrap().from_end = Some(Surd::int(3));
    let changed = planfile::write_change(&text, &before, &after).unwrap();
    assert!(changed.contains("# roses"), "{changed}");
    assert!(
        changed.contains("sand = { cloth = \"sand\", centred = true }"),
        "{changed}"
    );
    assert_eq!(planfile::read("roses.toml", &changed).unwrap(), after);
}

#[test]
fn what_makes_no_sense_is_told_with_a_way_out() {
    let table = [
        ("owned = [\"0 strips 2 1/2\"]", "pieces cannot be"),
        ("owned = [\"six strips 2 1/2\"]", "pieces cannot be"),
        (
            "owned = [\"fat quarter 18\"]",
            "One side of the piece is missing",
        ),
        (
            "owned = [\"2 pieces\"]",
            "The size of the pieces is missing",
        ),
        ("owned = [\"a heap\"]", "no piece of cloth"),
        ("owned = [\"9 x 0\"]", "nothing or less"),
        ("price = \"3 in\"", "no price"),
        ("widths = [\"58 at ten\"]", ""),
        ("sold = \"no\"", "yes or no"),
        ("motif = { across = \"4\" }", "motif.along"),
        ("motif = { across = \"0\", along = 3 }", "nothing or less"),
        ("motif = { across = 2, along = 3, shift = 1 }", "shift"),
        ("motif = { across = 2, along = \"1/8\" }", "so close"),
        ("motif = \"4\"", "across"),
    ];
    for (cloth, wanted) in table {
        let text = text(cloth, "inch");
        let troubles = planfile::read("shelf.toml", &text).unwrap_err();
        let told = format!("{troubles:?}");
        assert!(
            told.contains(wanted) && troubles.len() == 1,
            "{cloth}: {told}"
        );
    }
}
