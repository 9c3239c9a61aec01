//! Every way of cutting: counts a strip holds, grain, prints, hands, long strips.

use geometry::{Point, Polygon, Surd};
use quilt::block::RotaryShape;
use quilt::cutting::{ClothCutting, Method, Use};
use quilt::plan::{Cell, ClothId, Direction, Draft, HexagonParts, Pointing};
use quilt::setting::{PartKind, PartShape};

use super::checks::sound;
use super::plans::{Bench, bench, block, inches, one_cell, plain};

fn spot(name: &str) -> String {
    name.into()
}

fn cell_block(side: i64, cell: Cell, spots: &[&str]) -> quilt::plan::BlockPlan {
    block(
        "cell",
        Surd::int(side),
        Surd::int(side),
        one_cell(cell),
        spots,
    )
}

fn hexagon(parts: HexagonParts) -> quilt::plan::BlockPlan {
    let height = Surd::int(6) * Surd::root3().half();
    block(
        "comb",
        Surd::int(6),
        height,
        Draft::Hexagon { parts },
        &["hexagon"],
    )
}

pub fn pieces(
    name: &str,
    w: i64,
    h: i64,
    rings: &[(&str, &[(i64, i64)])],
) -> quilt::plan::BlockPlan {
    let pieces = rings.iter().map(|(spot, ring)| {
        let points = ring.iter().map(|&(x, y)| Point::ints(x, y)).collect();
        ((*spot).to_string(), Polygon::new(points).unwrap())
    });
    let draft = Draft::Pieces {
        pieces: pieces.collect(),
    };
    block(name, Surd::int(w), Surd::int(h), draft, &["a", "b"])
}

/// A band of a parallelogram `a` between two triangles that no cloth is given to.
pub fn slanted(leans_right: bool) -> quilt::plan::BlockPlan {
    let mirror = |ring: &[(i64, i64)]| -> Vec<(i64, i64)> {
        ring.iter()
            .map(|&(x, y)| if leans_right { (x, y) } else { (6 - x, y) })
            .collect()
    };
    let rings = [
        ("rest", mirror(&[(0, 0), (2, 2), (0, 2)])),
        ("a", mirror(&[(0, 0), (4, 0), (6, 2), (2, 2)])),
        ("rest", mirror(&[(4, 0), (6, 0), (6, 2)])),
    ];
    let rings: Vec<(&str, &[(i64, i64)])> = rings.iter().map(|(s, r)| (*s, r.as_slice())).collect();
    pieces("band", 6, 2, &rings)
}

/// Four kites of no ruler's angles round a square block: `a` twice, `b` twice.
pub fn kites() -> quilt::plan::BlockPlan {
    pieces(
        "kites",
        8,
        8,
        &[
            ("a", &[(0, 0), (5, 0), (4, 4), (0, 3)]),
            ("b", &[(5, 0), (8, 0), (8, 5), (4, 4)]),
            ("a", &[(8, 5), (8, 8), (3, 8), (4, 4)]),
            ("b", &[(0, 3), (4, 4), (3, 8), (0, 8)]),
        ],
    )
}

/// The most pieces of the only demand that one strip holds, found by asking for more and
/// more copies of a block that cuts `each` of them.
fn most_in_a_strip(make: impl Fn(u32) -> Bench, each: u32) -> u32 {
    let strips = |copies: u32| make(copies).only().strips().count();
    let copies = (1..200)
        .take_while(|&copies| strips(copies) == 1)
        .last()
        .unwrap();
    // Between `copies` and one more lies the limit; the full run shows it.
    let cutting = make(copies + 1).only();
    let most = cutting
        .strips()
        .flat_map(|s| &s.slabs)
        .map(|s| s.pieces)
        .max()
        .unwrap();
    assert!(most >= copies * each && most < (copies + 1) * each);
    most
}

fn rotary(cutting: &ClothCutting) -> quilt::block::Rotary {
    match &cutting.demands[0].method {
        Method::Ruler(rotary) => (**rotary).clone(),
        other => panic!("cut by ruler, not {other:?}"),
    }
}

/// Pieces along a strip by turning the ruler: sums of our own in the trade facts (derived
/// by hand from the shapes), with the sizes the ruler shows.
#[test]
fn slanted_pieces_along_a_strip() {
    let third = 3.0_f64.sqrt();
    type Sum = fn(f64, f64, f64) -> f64;
    let table: [(HexagonParts, u32, RotaryShape, Sum); 4] = [
        // N = ⌊2L⁄t⌋ − 1 with t = 2·strip⁄√3.
        (
            HexagonParts::Triangles,
            6,
            RotaryShape::Triangle60,
            |l, strip, _| (2.0 * l / (2.0 * strip / 3.0_f64.sqrt())).floor() - 1.0,
        ),
        // The first trim loses k⁄√3; each advances 1.1547 k.
        (
            HexagonParts::Diamonds,
            3,
            RotaryShape::Diamond60,
            |l, k, _| ((l - k / 3.0_f64.sqrt()) / (2.0 * k / 3.0_f64.sqrt())).floor(),
        ),
        (HexagonParts::Whole, 1, RotaryShape::Hexagon60, |l, k, _| {
            ((l - k / 3.0_f64.sqrt()) / (2.0 * k / 3.0_f64.sqrt())).floor()
        }),
        // (k − 1)(b₁ + b₂)⁄2 + b₁ ≤ L.
        (
            HexagonParts::Halves,
            2,
            RotaryShape::Trapezoid60,
            |l, strip, long| {
                let lean = strip / 3.0_f64.sqrt();
                ((l - lean) / (long - lean)).floor()
            },
        ),
    ];
    for (parts, each, shape, sum) in table {
        for width in ["40", "42 1/2", "31 3/8"] {
            let make = |copies| {
                bench(
                    inches(width),
                    Direction::Free,
                    vec![(hexagon(parts), copies)],
                )
            };
            let cutting = make(3).only();
            sound(&make(3), &cutting);
            let recipe = rotary(&cutting);
            assert_eq!(recipe.shape, shape);
            let (strip, long) = (recipe.strip.size.to_f64(), recipe.crosscut.size.to_f64());
            let expected = sum(inches(width).to_f64(), strip, long);
            let found = f64::from(most_in_a_strip(make, each));
            assert_eq!(found, expected, "{shape:?} from {width} in");
        }
    }
    let star = |copies| {
        let draft = Draft::Star { split: false };
        let star = block("star", Surd::int(12), Surd::int(12), draft, &["point"]);
        bench(Surd::int(40), Direction::Free, vec![(star, copies)])
    };
    let recipe = rotary(&star(1).only());
    assert_eq!(recipe.shape, RotaryShape::Diamond45);
    // The first trim loses k; each advances k·√2.
    let k = recipe.strip.size.to_f64();
    let expected = ((40.0 - k) / (k * 2.0_f64.sqrt())).floor();
    assert_eq!(f64::from(most_in_a_strip(star, 8)), expected, "{third}");
}

#[test]
fn a_one_way_print_is_not_turned_over_along_the_strip() {
    for (direction, alternate) in [
        (Direction::Free, true),
        (Direction::TwoWay, true),
        (Direction::OneWay, false),
    ] {
        let draft = Draft::Triangles { rows: 1, across: 3 };
        let height = Surd::int(2) * Surd::root3().half();
        let row = block("row", Surd::int(6), height, draft, &["up", "down"]);
        let bench = bench(Surd::int(40), direction, vec![(row, 4)]);
        let cutting = bench.only();
        sound(&bench, &cutting);
        let ups = |demand: usize| {
            let outlines = cutting.pieces().filter(|p| p.demand == demand);
            // A triangle with its long side at the bottom has two corners low down.
            outlines
                .map(|p| {
                    let low = p.outline.iter().map(|q| q[1]).fold(f64::MIN, f64::max);
                    p.outline
                        .iter()
                        .filter(|q| (q[1] - low).abs() < 1e-9)
                        .count()
                        == 2
                })
                .collect::<Vec<bool>>()
        };
        let whole: Vec<usize> = (0..cutting.demands.len())
            .filter(|&d| matches!(&cutting.demands[d].method, Method::Ruler(_)))
            .collect();
        assert!(!whole.is_empty());
        for demand in whole {
            let ups = ups(demand);
            let both = ups.iter().any(|&up| up) && ups.iter().any(|&up| !up);
            assert_eq!(both, alternate, "{direction:?}");
        }
        if direction == Direction::OneWay {
            let up: usize = (0..cutting.demands.len())
                .map(|d| ups(d).iter().filter(|&&up| up).count())
                .sum();
            assert!(
                up > 0 && up < cutting.pieces().count(),
                "as many lie up as the block has"
            );
        }
    }
}

#[test]
fn halves_of_a_square_are_counted_and_the_spare_is_left() {
    let free = |copies| {
        let cell = Cell::Rising(spot("light"), spot("dark"));
        bench(
            Surd::int(40),
            Direction::Free,
            vec![(cell_block(4, cell, &["light"]), copies)],
        )
    };
    for copies in 1..12 {
        let bench = free(copies);
        let cutting = bench.only();
        sound(&bench, &cutting);
        assert_eq!(
            cutting.demands[0].count, copies,
            "one light triangle a block"
        );
        assert_eq!(
            cutting.demands[0].first_cuts,
            copies.div_ceil(2),
            "two from a square"
        );
    }
}

/// With one right way up, the two halves of a square serve two different corners; a print
/// that all lies in one corner gets one triangle from a square.
#[test]
fn a_one_way_print_takes_only_the_halves_that_lie_right() {
    let cell = || Cell::Rising(spot("light"), spot("dark"));
    let (one, both): (&[&str], &[&str]) = (&["light"], &["light", "dark"]);
    for (direction, spots, squares) in [
        (Direction::Free, one, 5),
        (Direction::TwoWay, one, 5),
        (Direction::OneWay, one, 10),
        (Direction::OneWay, both, 10),
        (Direction::TwoWay, both, 10),
    ] {
        let bench = bench(
            Surd::int(40),
            direction,
            vec![(cell_block(4, cell(), spots), 10)],
        );
        let cutting = bench.only();
        sound(&bench, &cutting);
        assert_eq!(
            cutting.demands[0].first_cuts, squares,
            "{direction:?} {spots:?}"
        );
    }
}

#[test]
fn quarters_of_a_square_by_side_and_print() {
    let names = ["top", "right", "bottom", "left"];
    let cell = || Cell::Hourglass(names.map(spot));
    for (direction, spots, squares) in [
        (Direction::Free, &names[..1], 3),
        (Direction::Free, &names[..], 10),
        (Direction::TwoWay, &["top", "bottom"][..], 10),
        (Direction::TwoWay, &["top", "right"][..], 5),
        (Direction::OneWay, &["top", "right", "left"][..], 10),
        (Direction::OneWay, &["top"][..], 10),
    ] {
        let bench = bench(
            Surd::int(40),
            direction,
            vec![(cell_block(4, cell(), spots), 10)],
        );
        let cutting = bench.only();
        sound(&bench, &cutting);
        let cut: u32 = cutting.demands.iter().map(|demand| demand.first_cuts).sum();
        assert_eq!(cut, squares, "{direction:?} {spots:?}");
    }
}

/// Pieces of a printed cloth lie as they lie in the block.
#[test]
fn a_print_runs_up_the_block() {
    for direction in [Direction::TwoWay, Direction::OneWay] {
        let upright = plain("upright", Surd::int(2), Surd::int(6));
        let level = plain("level", Surd::int(6), Surd::int(2));
        let bench = bench(Surd::int(40), direction, vec![(upright, 5), (level, 5)]);
        let cutting = bench.only();
        sound(&bench, &cutting);
        for piece in cutting.pieces() {
            let tall = (piece.outline[2][1] - piece.outline[0][1]) > 4.0;
            let Use::Patch(id, _) = piece.usage else {
                panic!("a patch")
            };
            assert_eq!(tall, id.0 == 0, "{direction:?}");
        }
    }
    let goose = |pointing| {
        let cell = Cell::Goose {
            pointing,
            goose: spot("goose"),
            sky: spot("sky"),
        };
        let (w, h) = match pointing {
            Pointing::Up | Pointing::Down => (6, 3),
            Pointing::Left | Pointing::Right => (3, 6),
        };
        block(
            "geese",
            Surd::int(w),
            Surd::int(h),
            one_cell(cell),
            &["goose", "sky"],
        )
    };
    for pointing in [
        Pointing::Up,
        Pointing::Down,
        Pointing::Left,
        Pointing::Right,
    ] {
        for direction in [Direction::Free, Direction::TwoWay, Direction::OneWay] {
            let bench = bench(Surd::int(40), direction, vec![(goose(pointing), 6)]);
            let cutting = bench.only();
            sound(&bench, &cutting);
            assert_eq!(cutting.pieces().count(), 18);
            let geese = cutting.pieces().filter(|p| {
                let low = p.outline.iter().map(|q| q[1]).fold(f64::MIN, f64::max);
                let level = p
                    .outline
                    .iter()
                    .filter(|q| (q[1] - low).abs() < 1e-9)
                    .count()
                    == 2;
                let span = p.outline.iter().map(|q| q[0]).fold(f64::MIN, f64::max)
                    - p.outline.iter().map(|q| q[0]).fold(f64::MAX, f64::min);
                level && span > 7.0
            });
            if direction == Direction::OneWay {
                let expected = if pointing == Pointing::Up { 6 } else { 0 };
                assert_eq!(
                    geese.count(),
                    expected,
                    "{pointing:?}: geese with the base low"
                );
            }
        }
    }
}

/// A parallelogram that leans right cannot be cut from a strip cut leaning left.
#[test]
fn one_handed_pieces_keep_their_hand() {
    let blocks = vec![(slanted(true), 7), (slanted(false), 5)];
    let bench = bench(Surd::int(40), Direction::Free, blocks);
    let cutting = bench.only();
    sound(&bench, &cutting);
    assert_eq!(cutting.demands.len(), 2, "each hand has its own runs");
    for piece in cutting.pieces() {
        let Use::Patch(id, _) = piece.usage else {
            panic!("a patch")
        };
        let template = &bench.blocks[id.0].as_ref().unwrap().templates;
        let Use::Patch(_, index) = piece.usage else {
            panic!("a patch")
        };
        let laid = angles_and_edges(&piece.outline);
        let cut = angles_and_edges(&template[index].cut);
        assert!(same_hand(&laid, &cut), "{laid:?} is not {cut:?} turned");
    }
}

/// At each corner its turn, degrees, and the edge after it.
fn angles_and_edges(ring: &[[f64; 2]]) -> Vec<(f64, f64)> {
    let n = ring.len();
    let edge = |i: usize| {
        let (a, b) = (ring[i % n], ring[(i + 1) % n]);
        [b[0] - a[0], b[1] - a[1]]
    };
    (0..n)
        .map(|i| {
            let (u, v) = (edge(i + n - 1), edge(i));
            let turn = (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1]);
            (turn.to_degrees(), v[0].hypot(v[1]))
        })
        .collect()
}

/// Same corners in the same order, edges as long up to the ruler's rounding.
fn same_hand(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    let near = |x: &(f64, f64), y: &(f64, f64)| (x.0 - y.0).abs() < 1.0 && (x.1 - y.1).abs() < 0.3;
    let n = a.len();
    n == b.len() && (0..n).any(|shift| (0..n).all(|i| near(&a[(i + shift) % n], &b[i])))
}

#[test]
fn shapes_without_a_recipe_nest_head_to_tail() {
    for direction in [Direction::Free, Direction::TwoWay, Direction::OneWay] {
        let bench = bench(Surd::int(40), direction, vec![(kites(), 20)]);
        let cutting = bench.only();
        sound(&bench, &cutting);
        assert_eq!(cutting.pieces().count(), 80);
        for piece in cutting.pieces() {
            let Use::Patch(id, index) = piece.usage else {
                panic!("a patch")
            };
            let template = &bench.blocks[id.0].as_ref().unwrap().templates[index];
            let laid = angles_and_edges(&piece.outline);
            let own = angles_and_edges(&template.trimmed);
            assert!(
                same_hand(&laid, &own),
                "every piece is the printed template, unmirrored"
            );
        }
    }
}

/// Four borders 6 1/2 in wide and 72 in long. Our own sums in the trade facts: along the
/// cloth 72 in; across cloth of 40 in, 8 strips, 52 in.
#[test]
fn borders_along_and_across() {
    for (border, needs, pieces) in [(1, 72, 4), (0, 52, 8)] {
        let mut bench = bench(Surd::int(40), Direction::Free, Vec::new());
        for x in [0, 10, 20, 30] {
            let ring = [(x, 0), (x + 6, 0), (x + 6, 71), (x, 71)];
            bench.part(PartKind::BorderSide(border), PartShape::Rectangle, &ring);
        }
        for part in &mut bench.top.parts {
            part.length = inches("71 1/2");
        }
        let cutting = bench.only();
        sound(&bench, &cutting);
        assert_eq!(bench.plan.ruler.length(cutting.needs), Surd::int(needs));
        assert_eq!(cutting.pieces().count(), pieces);
        assert_eq!(cutting.sheets[0].strips[0].lengthwise, border == 1);
    }
}

/// What is left beside strips cut along the selvage is used for other pieces.
#[test]
fn the_cloth_beside_long_strips_is_used() {
    let mut bench = bench(
        Surd::int(40),
        Direction::Free,
        vec![(plain("square", Surd::int(3), Surd::int(3)), 60)],
    );
    for x in [0, 10] {
        let ring = [(x, 0), (x + 6, 0), (x + 6, 70), (x, 70)];
        bench.part(PartKind::BorderSide(1), PartShape::Rectangle, &ring);
    }
    let cutting = bench.only();
    sound(&bench, &cutting);
    // 27 in are left beside two strips of 6 1/2 in: 7 squares a strip, 20 strips high.
    assert_eq!(bench.plan.ruler.length(cutting.needs), inches("70 1/2"));
    assert_eq!(cutting.at_least, cutting.needs as f64);
}

#[test]
fn setting_triangles_come_from_squares() {
    let mut bench = bench(Surd::int(40), Direction::OneWay, Vec::new());
    // The four corners of a top 40 × 40, and a triangle on each side.
    let corners: [[(i64, i64); 3]; 4] = [
        [(0, 0), (8, 0), (0, 8)],
        [(32, 0), (40, 0), (40, 8)],
        [(40, 32), (40, 40), (32, 40)],
        [(8, 40), (0, 40), (0, 32)],
    ];
    let sides: [[(i64, i64); 3]; 4] = [
        [(8, 0), (24, 0), (16, 8)],
        [(40, 8), (40, 24), (32, 16)],
        [(24, 40), (8, 40), (16, 32)],
        [(0, 24), (0, 8), (8, 16)],
    ];
    for ring in &corners {
        bench.part(PartKind::CornerTriangle, PartShape::HalfSquare, ring);
    }
    for ring in &sides {
        bench.part(PartKind::SideTriangle, PartShape::QuarterSquare, ring);
    }
    let cutting = bench.only();
    sound(&bench, &cutting);
    let squares = |kind: PartKind| -> u32 {
        let of_kind = cutting
            .demands
            .iter()
            .filter(|demand| demand.usage == Use::Part(kind));
        of_kind.map(|demand| demand.first_cuts).sum()
    };
    assert_eq!(
        squares(PartKind::SideTriangle),
        1,
        "one to each side of one square"
    );
    assert_eq!(
        squares(PartKind::CornerTriangle),
        2,
        "opposite corners share a square"
    );
    let side = |kind: PartKind| {
        let demand = cutting
            .demands
            .iter()
            .find(|demand| demand.usage == Use::Part(kind));
        match &demand.unwrap().method {
            Method::Ruler(rotary) => rotary.strip.size.clone(),
            other => panic!("{other:?}"),
        }
    };
    // 16 + 1 1/4 (1.207 up) and 8 + 7/8 (0.854 up).
    assert_eq!(side(PartKind::SideTriangle), inches("17 1/4"));
    assert_eq!(side(PartKind::CornerTriangle), inches("8 7/8"));
}

#[test]
fn back_binding_and_sleeve_share_a_cloth() {
    let mut bench = bench(Surd::int(40), Direction::Free, Vec::new());
    bench.finishing.backing.cloth = Some(ClothId(0));
    bench.finishing.binding.cloth = Some(ClothId(0));
    bench.finishing.sleeve = Some(quilt::finishing::Sleeve {
        cut_depth: inches("8 1/2"),
        cut_length: Surd::int(60),
    });
    let cutting = bench.only();
    sound(&bench, &cutting);
    // Two backing lengths of 68, two sleeve strips joined (40 + 20 1/2), 7 binding strips.
    assert_eq!(bench.plan.ruler.length(cutting.needs), inches("170 1/2"));
    assert_eq!(
        cutting.sheets[0].strips[0].height,
        68 * 8,
        "the back comes first"
    );
    assert_eq!(cutting.sheets[0].strips[1].height, 68 * 8);
    let sleeve = cutting
        .demands
        .iter()
        .find(|demand| demand.usage == Use::Sleeve)
        .unwrap();
    assert_eq!(sleeve.count, 2);
}

#[test]
fn what_is_larger_than_the_cloth_is_named_and_the_rest_is_cut() {
    let giant = plain("giant", Surd::int(50), Surd::int(50));
    let long = plain("long", Surd::int(50), Surd::int(3));
    let small = plain("small", Surd::int(3), Surd::int(3));
    let bench = bench(
        Surd::int(40),
        Direction::Free,
        vec![(giant, 1), (long, 2), (small, 5)],
    );
    let cutting = bench.only();
    sound(&bench, &cutting);
    let named: Vec<Use> = cutting
        .too_large
        .iter()
        .map(|&d| cutting.demands[d].usage)
        .collect();
    assert_eq!(
        named,
        vec![Use::Patch(quilt::plan::BlockId(0), 0)],
        "only the giant"
    );
    // The long one is turned: 50 1/2 in along the cloth.
    assert_eq!(cutting.pieces().count(), 7);
}

#[test]
fn squaring_and_shrinkage_come_before_the_step() {
    let square = || vec![(plain("square", Surd::int(4), Surd::int(4)), 8)];
    let mut bench = bench(Surd::int(40), Direction::Free, square());
    bench.plan.buying.step = inches("4 1/2");
    assert_eq!(
        bench.only().buy,
        inches("4 1/2"),
        "one strip is an eighth exactly"
    );
    bench.plan.buying.squaring = inches("1/8");
    assert_eq!(
        bench.only().buy,
        Surd::int(9),
        "the squared end asks for the next step"
    );
    bench.plan.buying.squaring = Surd::ZERO;
    bench.plan.buying.shrinkage = Surd::ratio(1, 1000);
    assert_eq!(
        bench.only().buy,
        Surd::int(9),
        "so does the least shrinkage"
    );
}
