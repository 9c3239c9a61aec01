//! Published figures of settings and borders, computed through the real layout.
//!
//! AGREE rows must come out as printed; OVERSIZE rows must not be smaller than ours; SLIP
//! rows must *not* come out, and the test says why. Each names its source.
#![allow(
    clippy::unwrap_used,
    reason = "a test may panic, in its helpers as well"
)]

#[path = "support/plans.rs"]
mod plans;
mod support;

use geometry::Surd;
use plans::{border, on_point, plain, sashing};
use quilt::finishing::binding::strips_needed;
use quilt::measure::{Rounding, Ruler};
use quilt::plan::{Bed, BorderKind, BorderPlan, Corner, Pieced, Plan, Target};
use quilt::setting::cut_sizes::{PartCut, part_cut, square_cut_once, square_cut_twice, straight};
use quilt::setting::{PartKind, Top, bed_size, propose, sums, work_out};
use support::handbook::{Row, rows};

macro_rules! table {
    ($name:literal) => {
        rows(include_str!(concat!(
            "../../../fixtures/handbook/",
            $name,
            ".csv"
        )))
    };
}

fn quarter() -> Surd {
    Surd::ratio(1, 4)
}

fn eighths(rounding: Rounding) -> Ruler {
    Ruler::new(Surd::ratio(1, 8), rounding).unwrap()
}

fn count(row: &Row, column: &str) -> Option<u32> {
    let text = row.text(column);
    (!text.is_empty()).then(|| text.parse().unwrap())
}

fn laid_out(plan: &Plan) -> Top {
    work_out(plan, &[4]).unwrap_or_else(|findings| panic!("{findings:?}"))
}

fn parts(top: &Top, kind: PartKind) -> u64 {
    top.parts.iter().filter(|part| part.kind == kind).count() as u64
}

fn near(row: &Row, column: &str, exact: &Surd) {
    let decimal = row.decimal(column).unwrap();
    let digits = row.text(column).split_once('.').map_or(0, |(_, d)| d.len());
    let unit = 0.1f64.powi(i32::try_from(digits).unwrap());
    assert!(
        (decimal - exact.to_f64()).abs() <= unit,
        "{}: {column} {decimal}, ours {exact}",
        row.why()
    );
}

/// The trade's way: round the diagonal, then add the customary constant.
fn customary(piece: &str, block: &Surd, rounding: Rounding) -> Surd {
    let ruler = eighths(rounding);
    let root2 = Surd::root2();
    match piece {
        "side" => ruler.cut(block * &root2).size + Surd::ratio(5, 4),
        "corner" => ruler.cut(block * &root2.half()).size + Surd::ratio(7, 8),
        _ => block + &Surd::ratio(1, 2),
    }
}

/// Our exact square for a piece of an on-point setting of blocks of this size, through the
/// layout.
fn square_for(piece: &str, block: &Surd) -> Surd {
    let mut plan = plain(block.clone(), 2, 2);
    plan.setting.kind = on_point(Surd::ZERO);
    let top = laid_out(&plan);
    let cut = |kind| {
        let part = top.parts.iter().find(|part| part.kind == kind).unwrap();
        part_cut(part, &plan.seam)
    };
    match piece {
        "side" => match cut(PartKind::SideTriangle) {
            PartCut::SquareCutTwice { side } => side,
            other => panic!("{other:?}"),
        },
        "corner" => match cut(PartKind::CornerTriangle) {
            PartCut::SquareCutOnce { side } => side,
            other => panic!("{other:?}"),
        },
        "plain" => straight(block, &plan.seam),
        other => panic!("{other}"),
    }
}

#[test]
fn setting_triangles() {
    for row in table!("setting-triangles") {
        let (piece, block) = (row.text("piece"), row.size("block").unwrap());
        let published = row.size("published").unwrap();
        let exact = square_for(piece, &block);
        near(&row, "exact", &exact);
        let ours = Ruler::eighths().cut(exact.clone()).size;
        match row.status() {
            "AGREE" => assert!(
                published == ours || published == customary(piece, &block, Rounding::Up),
                "{}: ours {ours}",
                row.why()
            ),
            "OVERSIZE" => assert!(published >= exact, "{}", row.why()),
            "SLIP" => {
                assert!(published < exact && published != ours, "{}", row.why());
                println!("not reproduced: {}", row.why());
            }
            other => panic!("{other}"),
        }
    }
}

#[test]
fn setting_triangle_chart() {
    let table = table!("setting-triangle-chart");
    assert_eq!(table.len(), 89, "2 to 24 in by quarters");
    let mut short = 0;
    for row in table {
        let block = row.size("block").unwrap();
        near(&row, "diagonal", &sums::diagonal(&block, &Surd::ZERO));
        for piece in ["side", "corner"] {
            let exact = if piece == "side" {
                square_cut_twice(
                    &sums::side_triangle_long_side(&block, &Surd::ZERO),
                    &quarter(),
                )
            } else {
                square_cut_once(&sums::corner_triangle_leg(&block, &Surd::ZERO), &quarter())
            };
            near(&row, &format!("{piece}_exact"), &exact);
            let up = row.size(&format!("{piece}_up")).unwrap();
            let nearest = row.size(&format!("{piece}_nearest")).unwrap();
            assert_eq!(up, customary(piece, &block, Rounding::Up), "{}", row.why());
            assert_eq!(
                nearest,
                customary(piece, &block, Rounding::Nearest),
                "{}",
                row.why()
            );
            // We round once, at the end: never too small, never larger than the trade's.
            let ours = Ruler::eighths().cut(exact.clone()).size;
            assert!(exact <= ours && ours <= up, "{}: ours {ours}", row.why());
            short += usize::from(nearest < exact);
        }
    }
    assert!(
        short > 0,
        "rounding to the nearest leaves some pieces too small"
    );
}

#[test]
fn the_boundary_traps_fall_on_the_side_of_the_true_root() {
    let up = eighths(Rounding::Up);
    let by = |block: &Surd, n: i64, d: i64| up.cut(block * &Surd::ratio(n, d)).size;
    let sixteen = Surd::int(16);
    assert_eq!(
        up.cut(sums::diagonal(&sixteen, &Surd::ZERO)).size,
        Surd::ratio(91, 4)
    );
    assert_eq!(
        by(&sixteen, 1414, 1000),
        Surd::ratio(181, 8),
        "1.414 is too little"
    );
    let block = Surd::ratio(35, 2);
    let leg = sums::corner_triangle_leg(&block, &Surd::ZERO);
    assert_eq!(up.cut(leg).size, Surd::ratio(99, 8));
    assert_eq!(
        by(&block, 1000, 1414),
        Surd::ratio(25, 2),
        "÷ 1.414 is too much"
    );
}

#[test]
fn published_diagonals_are_rounded_to_the_nearest_eighth() {
    let nearest = eighths(Rounding::Nearest);
    let mut differ = 0;
    for row in table!("diagonals") {
        let diagonal = sums::diagonal(&row.size("block").unwrap(), &Surd::ZERO);
        let published = row.size("published").unwrap();
        assert_eq!(
            nearest.cut(diagonal.clone()).size,
            published,
            "{}",
            row.why()
        );
        differ += usize::from(eighths(Rounding::Up).cut(diagonal).size != published);
    }
    assert_eq!(
        differ, 4,
        "4, 7, 10 and 14 in would round up to something else"
    );
}

#[test]
fn straight_settings_and_sashing() {
    for row in table!("sashing") {
        let (across, down) = (count(&row, "across").unwrap(), count(&row, "down").unwrap());
        let outside = row.text("where") == "outside";
        let mut plan = plain(row.size("block").unwrap(), across, down);
        plan.setting.sashing = row.size("sash").map(|sash| sashing(sash, true, outside));
        let top = laid_out(&plan);
        let sizes = [("width", &top.width), ("height", &top.height)];
        for (column, ours) in sizes {
            let Some(published) = row.size(column) else {
                continue;
            };
            if row.status() == "SLIP" {
                assert_ne!(*ours, published, "{}", row.why());
                println!("not reproduced: {}: ours {ours}", row.why());
            } else {
                assert_eq!(*ours, published, "{}", row.why());
            }
        }
        for (column, kind) in [("sashes", PartKind::Sash), ("posts", PartKind::Post)] {
            if let Some(published) = count(&row, column) {
                assert_eq!(parts(&top, kind), u64::from(published), "{}", row.why());
            }
        }
    }
}

#[test]
fn sash_widths() {
    for row in table!("sash-width") {
        let [_, golden] = sums::widest_sash(&row.size("block").unwrap());
        near(&row, "exact", &golden);
        let published = row.size("published").unwrap();
        assert_eq!(
            eighths(Rounding::Nearest).cut(golden).size,
            published,
            "{}",
            row.why()
        );
    }
}

#[test]
fn on_point_counts() {
    for row in table!("on-point") {
        let (across, down) = (count(&row, "across").unwrap(), count(&row, "down").unwrap());
        let mut plan = plain(Surd::int(6), across, down);
        plan.setting.kind = on_point(Surd::ZERO);
        let top = laid_out(&plan);
        let between = top.blocks.iter().filter(|b| b.between).count();
        let sides = parts(&top, PartKind::SideTriangle);
        let corners = parts(&top, PartKind::CornerTriangle);
        let ours = [
            ("blocks", top.blocks.len() as u64),
            ("main", (top.blocks.len() - between) as u64),
            ("between", between as u64),
            ("side_triangles", sides),
            ("side_squares", sides.div_ceil(4)),
            ("corner_squares", corners.div_ceil(2)),
        ];
        for (column, ours) in ours {
            if let Some(published) = count(&row, column) {
                assert_eq!(ours, u64::from(published), "{}: {column}", row.why());
            }
        }
    }
}

/// A square of this side with a spacer of at least so much, and round it a border of
/// square units of this size.
fn ringed(side: &Surd, (least, unit): (Surd, Surd)) -> Top {
    let mut plan = plain(side.clone(), 1, 1);
    plan.blocks
        .push(plans::four_patch("Unit", unit.clone(), unit));
    let spacer = BorderPlan {
        kind: BorderKind::Spacer,
        ..border(least, Corner::Butted)
    };
    let pieced = BorderPlan {
        kind: BorderKind::Pieced(Pieced {
            units: vec![plans::cell(1, 0)],
            corner: None,
            from_middle: false,
        }),
        ..border(Surd::ZERO, Corner::Butted)
    };
    plan.borders = vec![spacer, pieced];
    laid_out(&plan)
}

#[test]
fn rings_and_repeats() {
    for row in table!("rings") {
        let size = |column| row.size(column).unwrap();
        match row.text("what") {
            "spacer" => {
                assert_eq!(
                    sums::spacer_ring(&size("have"), &size("want")),
                    size("result")
                );
                let least = size("result").floor();
                let top = ringed(&size("have"), (Surd::int(least), size("want").over(7)));
                assert_eq!(top.rings[0].side, size("result"), "{}", row.why());
                assert_eq!(top.rings[0].end, size("result"), "{}", row.why());
                assert_eq!(top.rings[1].units, Some((7, 7)), "{}", row.why());
            }
            "units" => {
                let units = vec![size("unit"); count(&row, "count").unwrap() as usize];
                let ours = sums::row_length(units.iter(), &Surd::ZERO, false);
                assert_eq!(ours, size("result"), "{}", row.why());
            }
            "repeat" => {
                let (repeats, pitch) = sums::repeats(&size("have"), &size("unit")).unwrap();
                assert_eq!(Surd::int(repeats), size("result"), "{}", row.why());
                assert_eq!(pitch, size("pitch"), "{}", row.why());
                // A border of units of that pitch fits the side as it is.
                let top = ringed(&size("have"), (Surd::ZERO, pitch));
                assert!(top.rings[0].side.is_zero(), "{}", row.why());
                let count = u32::try_from(repeats).unwrap();
                assert_eq!(top.rings[1].units, Some((count, count)), "{}", row.why());
            }
            other => panic!("{other}"),
        }
    }
}

#[test]
fn mitred_borders() {
    for row in table!("mitred-borders") {
        let size = |column| row.size(column).unwrap();
        let mut plan = plain(size("side"), 1, 1);
        plan.borders = vec![border(size("border"), Corner::Mitred)];
        let top = laid_out(&plan);
        let strip = top
            .parts
            .iter()
            .find(|part| part.kind == PartKind::BorderEnd(0))
            .unwrap();
        let published = size("published");
        assert_eq!(&strip.length + &size("extra"), published, "{}", row.why());
        let PartCut::Strip { length, .. } = part_cut(strip, &plan.seam) else {
            panic!("a mitred border is a strip")
        };
        assert!(published >= length, "{}: ours {length}", row.why());
    }
}

#[test]
fn strips_for_a_border() {
    for row in table!("border-strips") {
        let size = |column| row.size(column).unwrap();
        let around = (size("width") + size("height")).times(2);
        assert_eq!(around, size("around"), "{}", row.why());
        let strips = strips_needed(&around, &size("cloth_width"), &Surd::ZERO);
        assert_eq!(Some(strips), count(&row, "strips"), "{}", row.why());
        let cut = i64::from(count(&row, "cut").unwrap());
        assert_eq!(size("strip").times(cut), size("length"), "{}", row.why());
    }
}

#[test]
fn quilt_sizes_for_mattresses() {
    for row in table!("beds") {
        let size = |column| row.size(column).unwrap();
        let bed = Bed {
            name: row.text("bed").into(),
            width: size("mattress_width"),
            length: size("mattress_length"),
        };
        let ours = bed_size(&bed, &size("drop"), &size("tuck"));
        let published = (size("width"), size("length"));
        if row.status() == "SLIP" {
            assert_ne!(ours, published, "{}", row.why());
            println!("not reproduced: {}", row.why());
        } else {
            assert_eq!(ours, published, "{}", row.why());
        }
    }
}

#[test]
fn block_counts_for_a_size() {
    for row in table!("block-counts") {
        let size = |column| row.size(column).unwrap();
        let mut plan = plain(size("block"), 1, 1);
        plan.setting.target = Some(Target::Size {
            width: size("width"),
            height: size("height"),
        });
        let proposal = propose(&plan).unwrap();
        let fits = proposal.fits.unwrap();
        assert_eq!(Some(fits.columns), count(&row, "across"), "{}", row.why());
        assert_eq!(Some(fits.rows), count(&row, "down"), "{}", row.why());
        assert_eq!(proposal.next, None, "it meets the size exactly");
    }
}
