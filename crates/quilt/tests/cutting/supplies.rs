//! Cloth the maker has already, cloth that is not sold any more, strips along the selvage.

use geometry::Surd;
use quilt::cutting::{ClothCutting, Source};
use quilt::plan::{Direction, Owned, OwnedKind};
use quilt::setting::{PartKind, PartShape};

use super::checks::sound;
use super::plans::{Bench, inches};
use super::tables::{pieces, rows};

/// So many pieces of this size across and along, a length where nothing is given across.
fn owned(count: u32, across: Option<&str>, along: &str) -> Owned {
    Owned {
        kind: OwnedKind::Piece,
        count,
        across: across.map(inches),
        along: inches(along),
    }
}

/// Squares and rectangles of these cut sizes (height, width, count) on cloth 40 in wide.
fn wanted(direction: Direction, sizes: &[(&str, &str, u32)], has: Vec<Owned>) -> Bench {
    let sizes: Vec<(Surd, Surd, u32)> = sizes
        .iter()
        .map(|&(height, width, count)| (inches(height), inches(width), count))
        .collect();
    let mut bench = pieces(Surd::int(40), true, &sizes);
    bench.plan.cloths[0].direction = direction;
    bench.plan.cloths[0].supply.owned = has;
    bench
}

fn cut(bench: &Bench) -> ClothCutting {
    let cutting = bench.only();
    sound(bench, &cutting);
    cutting
}

fn laid(cutting: &ClothCutting) -> usize {
    cutting.pieces().count()
}

/// A piece of cloth gives so many squares of one size: asked for one more, one is missing.
#[test]
fn squares_from_an_owned_piece() {
    let text = include_str!("../../../../fixtures/handbook/squares-per-cut.csv");
    let mut seen = 0;
    for row in rows(text) {
        let [table, square, across, length, _, formula, ..] = row.as_slice() else {
            panic!("a row of squares-per-cut.csv has seven cells or more: {row:?}");
        };
        let count: u32 = formula.parse().unwrap();
        let size = (inches(square), inches(square), count + 1);
        let mut bench = pieces(Surd::int(44), true, &[size]);
        bench.plan.cloths[0].supply.owned = vec![owned(1, Some(across), length)];
        bench.plan.cloths[0].supply.sold = false;
        let cutting = cut(&bench);
        let name = format!("{table}: {square} in squares from {across} × {length}");
        assert_eq!(laid(&cutting), count as usize, "{name}");
        let missing = cutting.missing.expect("one is missing");
        assert_eq!(missing.pieces.len(), 1, "{name}");
        assert_eq!(missing.pieces[0].1.count, 1, "{name}");
        seen += 1;
    }
    assert!(seen > 80, "{seen} rows");
}

#[test]
fn what_is_owned_is_used_first_and_the_rest_is_bought() {
    // Two fat quarters of 18 × 21 give 2 × 16 squares of 4 1/2 in; 48 are needed.
    let sizes = [("4 1/2", "4 1/2", 48)];
    let has = vec![owned(2, Some("21"), "18")];
    let cutting = cut(&wanted(Direction::Free, &sizes, has));
    let sources: Vec<Source> = cutting.sheets.iter().map(|s| s.source).collect();
    assert_eq!(
        sources,
        [Source::Owned(0), Source::Owned(0), Source::Bought]
    );
    let on = |i: usize| cutting.sheets[i].pieces.len();
    assert_eq!([on(0), on(1), on(2)], [16, 16, 16]);
    assert_eq!(cutting.needs, 72, "two strips of 4 1/2 in");
    assert!(cutting.buy_proved);
    assert_eq!(cutting.at_least, 72.0);
}

#[test]
fn enough_is_owned_and_nothing_is_bought() {
    let sizes = [("3 1/2", "3 1/2", 12), ("2 1/2", "6 1/2", 8)];
    let has = vec![owned(1, None, "36"), owned(1, Some("21"), "18")];
    let cutting = cut(&wanted(Direction::Free, &sizes, has));
    assert_eq!((cutting.needs, cutting.buy.is_zero()), (0, true));
    assert!(cutting.buy_proved);
    assert_eq!(cutting.sheets.len(), 1, "the smaller piece is enough");
    assert_eq!(cutting.sheets[0].source, Source::Owned(1));
}

/// 5 × 17 in rectangles lie across a fat quarter three and three, or along it four.
#[test]
fn a_fat_quarter_is_cut_along_or_across() {
    for (direction, size) in [
        (Direction::Free, ("5", "17", 4)),
        (Direction::OneWay, ("17", "5", 4)),
    ] {
        let bench = wanted(direction, &[size], vec![owned(1, Some("21"), "18")]);
        let cutting = cut(&bench);
        assert_eq!(cutting.needs, 0, "{direction:?}");
        assert_eq!(laid(&cutting), 4);
    }
    // Strips of 4 in along the selvage, 18 long: pieces of 4 × 9 standing and of 4 × 5 1/2.
    let sizes = [("9", "4", 6), ("5 1/2", "4", 6)];
    let bench = wanted(Direction::OneWay, &sizes, vec![owned(1, Some("20"), "18")]);
    let cutting = cut(&bench);
    assert!(cutting.at_least <= cutting.needs as f64);
    for piece in cutting.pieces() {
        let turned = cutting
            .sheets
            .iter()
            .any(|s| s.turned && s.pieces.contains(piece));
        assert_eq!(piece.grain, if turned { 0.0 } else { 90.0 });
    }
}

#[test]
fn precut_strips_and_squares() {
    let sizes = [
        ("2 1/2", "2 1/2", 40),
        ("2 1/2", "4 1/2", 20),
        ("5", "5", 14),
    ];
    let mut has = vec![owned(5, None, "2 1/2"), owned(12, Some("5"), "5")];
    has[0].kind = OwnedKind::Strips;
    has[1].kind = OwnedKind::Squares;
    let cutting = cut(&wanted(Direction::Free, &sizes, has));
    let of = |source: Source| {
        cutting
            .sheets
            .iter()
            .filter(move |s| s.source == source)
            .count()
    };
    assert_eq!(
        of(Source::Owned(0)),
        5,
        "40 × 2 1/2 + 20 × 4 1/2 is 190 in: five strips"
    );
    assert_eq!(of(Source::Owned(1)), 12);
    assert_eq!(cutting.needs, 40, "two more squares from one strip of 5 in");
    assert!(cutting.buy_proved);
}

#[test]
fn a_cloth_that_is_not_sold_any_more_may_run_out() {
    let mut bench = wanted(
        Direction::Free,
        &[("4 1/2", "4 1/2", 20)],
        vec![owned(1, Some("21"), "18")],
    );
    bench.plan.cloths[0].supply.sold = false;
    let cutting = cut(&bench);
    let missing = cutting.missing.clone().expect("four squares are missing");
    assert_eq!(missing.pieces[0].1.count, 4);
    assert_eq!(missing.length, 36, "a strip of 4 1/2 in");
    assert!(cutting.buy.is_zero() && cutting.needs == 0);
    bench.plan.cloths[0].supply.owned[0].count = 2;
    assert_eq!(cut(&bench).missing, None, "two are enough");
}

/// Four borders along the selvage, the squares of the quilt beside them.
fn bordered(squares: u32) -> Bench {
    let mut bench = wanted(Direction::Free, &[("6 1/2", "6 1/2", squares)], Vec::new());
    let (side, end) = (PartKind::BorderSide(1), PartKind::BorderEnd(1));
    for x in [0, 66] {
        let outline = [(x, 0), (x + 6, 0), (x + 6, 71), (x, 71)];
        bench.part(side, PartShape::Rectangle, &outline);
    }
    for y in [0, 77] {
        let outline = [(0, y), (59, y), (59, y + 6), (0, y + 6)];
        bench.part(end, PartShape::Rectangle, &outline);
    }
    bench
}

#[test]
fn squares_lie_beside_and_below_strips_along_the_selvage() {
    // The four strips, 6 1/2 wide, leave 14 in beside them: two squares, eleven times over
    // 71 1/2 in; and below the two short ones 13 × 12 in: two more.
    let cutting = cut(&bordered(24));
    assert_eq!(cutting.needs, 572, "71 1/2 in");
    assert_eq!(cutting.at_least, 572.0);
    assert!(cutting.buy_proved);
    // One more needs another strip.
    let cutting = cut(&bordered(25));
    assert_eq!(cutting.needs, 572 + 52);
    assert!(cutting.buy_proved);
}

#[test]
fn strips_along_the_selvage_come_from_an_owned_length() {
    let mut bench = bordered(24);
    bench.plan.cloths[0].supply.owned = vec![owned(1, None, "72")];
    let cutting = cut(&bench);
    assert_eq!(cutting.needs, 0);
    assert_eq!(cutting.sheets.len(), 1);
    assert!(cutting.strips().filter(|strip| strip.lengthwise).count() == 4);
}
