//! Same shape or not: counted against published lists, and laid on one another.

use std::collections::{BTreeMap, BTreeSet};

use geometry::{Motion, Point, Polygon, ShapeKey, Surd, all_fits, fit, is_achiral, shape_keys};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

type Spot = (i64, i64);
/// A half-square triangle with whole corners, in positive order.
type Cell = [Spot; 3];

/// The four halves of the unit square at (x, y): two for each diagonal.
fn halves_at(x: i64, y: i64) -> [Cell; 4] {
    let [a, b, c, d] = [(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)];
    [[a, b, c], [a, c, d], [a, b, d], [b, c, d]]
}

fn edges_of(cell: &Cell) -> [(Spot, Spot); 3] {
    let [a, b, c] = *cell;
    [(a, b), (b, c), (c, a)]
}

/// The unit square a cell lies in: its top-left corner.
fn home(cell: &Cell) -> Spot {
    let low = |pick: fn(&Spot) -> i64| cell.iter().map(pick).min().expect("three corners");
    (low(|s| s.0), low(|s| s.1))
}

/// Whether two different cells share area: in one square, unless they are the halves of one diagonal.
fn overlap(a: &Cell, b: &Cell) -> bool {
    let opposite = edges_of(a)
        .iter()
        .any(|(p, q)| edges_of(b).contains(&(*q, *p)));
    home(a) == home(b) && !opposite
}

/// Boundary of the cells as one ring, if it is one simple ring.
fn outline(cells: &[Cell]) -> Option<Polygon> {
    let edges: BTreeSet<(Spot, Spot)> = cells.iter().flat_map(edges_of).collect();
    let open: Vec<(Spot, Spot)> = edges
        .iter()
        .filter(|(p, q)| !edges.contains(&(*q, *p)))
        .copied()
        .collect();
    let next: BTreeMap<Spot, Spot> = open.iter().copied().collect();
    let mut ring = vec![open[0].0];
    while let Some(&to) = next.get(ring.last()?).filter(|to| **to != ring[0]) {
        ring.push(to);
    }
    let simple = next.len() == open.len() && ring.len() == open.len();
    simple
        .then(|| Polygon::new(ring.iter().map(|&(x, y)| Point::ints(x, y)).collect()))?
        .ok()
}

/// All shapes with one cell more than these, by key.
fn grown(shapes: &BTreeMap<ShapeKey, Vec<Cell>>) -> BTreeMap<ShapeKey, Vec<Cell>> {
    let mut larger = BTreeMap::new();
    for cells in shapes.values() {
        let (x, y) = home(&cells[0]);
        let around = (x - 9..x + 9).flat_map(|x| (y - 9..y + 9).flat_map(move |y| halves_at(x, y)));
        for cell in around {
            let touches = edges_of(&cell)
                .iter()
                .any(|(p, q)| cells.iter().any(|own| edges_of(own).contains(&(*q, *p))));
            if !touches || cells.iter().any(|own| *own == cell || overlap(own, &cell)) {
                continue;
            }
            let mut more = cells.clone();
            more.push(cell);
            let shape = outline(&more).expect("up to six cells leave no hole");
            larger
                .entry(shape_keys(&shape).unhanded().clone())
                .or_insert(more);
        }
    }
    larger
}

/// Shapes made of n half-square triangles: with mirror images taken as one (OEIS A006074), and
/// counted apart (OEIS A151519). The OEIS Foundation.
#[test]
fn shapes_of_half_squares() {
    let cell = halves_at(0, 0)[0];
    let key = shape_keys(&outline(&[cell]).expect("a triangle"))
        .unhanded()
        .clone();
    let mut shapes = BTreeMap::from([(key, vec![cell])]);
    for (free, one_sided) in [(1, 1), (3, 4), (4, 6), (14, 22), (30, 56), (107, 198)] {
        assert_eq!(shapes.len(), free);
        let own_mirror = shapes
            .values()
            .filter(|cells| is_achiral(&outline(cells).expect("a simple ring")))
            .count();
        assert_eq!(2 * free - own_mirror, one_sided, "with {free} free ones");
        shapes = if free < 107 { grown(&shapes) } else { shapes };
    }
}

fn polygon(points: &[Spot]) -> Polygon {
    Polygon::new(points.iter().map(|&(x, y)| Point::ints(x, y)).collect()).expect("simple")
}

fn regular(n: i64) -> Polygon {
    let turn = |k: i64| Motion::turn_degrees(k * 360 / n).expect("a multiple of 15");
    Polygon::new((0..n).map(|k| turn(k).apply(&Point::ints(2, 1))).collect()).expect("simple")
}

#[test]
fn handed_shapes_and_ways_to_lie() {
    for (shape, turns, mirrors, name) in [
        (polygon(&[(0, 0), (2, 0), (2, 2), (0, 2)]), 4, 4, "square"),
        (
            polygon(&[(0, 0), (2, 0), (2, 1), (0, 1)]),
            2,
            2,
            "rectangle",
        ),
        (
            polygon(&[(0, 0), (1, 0), (0, 1)]),
            1,
            1,
            "half-square triangle",
        ),
        (
            polygon(&[(0, 0), (2, 0), (0, 1)]),
            1,
            0,
            "half-rectangle triangle",
        ),
        (
            polygon(&[(0, 0), (2, 0), (3, 1), (1, 1)]),
            2,
            0,
            "parallelogram",
        ),
        (polygon(&[(0, 0), (5, 0), (8, 4), (3, 4)]), 2, 2, "rhombus"),
        (
            polygon(&[(0, 0), (4, 0), (3, 1), (1, 1)]),
            1,
            1,
            "trapezoid",
        ),
        (
            polygon(&[(0, 0), (4, 0), (3, 1), (0, 1)]),
            1,
            0,
            "one-ended trapezoid",
        ),
        (polygon(&[(0, 2), (1, 0), (2, 2), (1, 3)]), 1, 1, "kite"),
        (regular(3), 3, 3, "equilateral triangle"),
        (regular(6), 6, 6, "hexagon"),
        (regular(8), 8, 8, "octagon"),
        (regular(24), 24, 24, "24-gon"),
    ] {
        let keys = shape_keys(&shape);
        assert_eq!(keys.is_achiral(), mirrors > 0, "{name}");
        let fits = all_fits(&shape, &shape);
        assert_eq!(
            fits.iter().filter(|fit| !fit.is_mirrored()).count(),
            turns,
            "{name}"
        );
        assert_eq!(
            fits.iter().filter(|fit| fit.is_mirrored()).count(),
            mirrors,
            "{name}"
        );
        assert_eq!(fits[0], Motion::identity(), "{name}");
        let angles: Vec<f64> = fits[..turns]
            .iter()
            .map(|fit| fit.angle_degrees())
            .collect();
        for pair in angles.windows(2) {
            assert!(
                pair[0].abs() < pair[1].abs() + 1e-9,
                "least turns first: {angles:?}"
            );
        }
    }
}

#[test]
fn least_turns_come_first() {
    let square = polygon(&[(0, 0), (2, 0), (2, 2), (0, 2)]);
    let angles: Vec<f64> = all_fits(&square, &square)
        .iter()
        .map(Motion::angle_degrees)
        .collect();
    assert_eq!(angles, [0.0, 90.0, -90.0, 180.0, 0.0, 90.0, -90.0, 180.0]);
}

#[test]
fn straight_corners_do_not_count() {
    let plain = polygon(&[(0, 0), (2, 0), (2, 2), (0, 2)]);
    let with_more = polygon(&[(1, 0), (2, 0), (2, 1), (2, 2), (0, 2), (0, 0)]);
    assert_eq!(shape_keys(&plain), shape_keys(&with_more));
    assert_eq!(fit(&with_more, &plain), Some(Motion::identity()));
}

#[test]
fn alike_is_not_the_same() {
    let squares = [2, 3].map(|n| polygon(&[(0, 0), (n, 0), (n, n), (0, n)]));
    let rhombus = polygon(&[(0, 0), (5, 0), (8, 4), (3, 4)]);
    let five = polygon(&[(0, 0), (5, 0), (5, 5), (0, 5)]);
    for (a, b) in [(&squares[0], &squares[1]), (&rhombus, &five)] {
        assert_ne!(shape_keys(a), shape_keys(b));
        assert_eq!(fit(a, b), None);
    }
}

/// Four corners on the four sides of a box: mostly without any symmetry.
fn quadrilateral() -> impl Strategy<Value = Polygon> {
    (prop::array::uniform4(1_i64..6), any::<bool>()).prop_map(|([a, b, c, d], slanted)| {
        let third = if slanted { Surd::root2() } else { Surd::int(6) };
        let points = vec![
            Point::ints(a, 0),
            Point::new(&third + &Surd::int(6), Surd::int(b)),
            Point::ints(c, 6),
            Point::ints(0, d),
        ];
        Polygon::new(points).expect("corners on four sides")
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200, rng_seed: RngSeed::Fixed(4), failure_persistence: None, ..Default::default()
    })]

    #[test]
    fn moved_copies_are_the_same_shape(
        shape in quadrilateral(), turn in 0_i64..24, mirrored in any::<bool>(),
        x in -9_i64..9, start in 0_usize..4,
    ) {
        let first = if mirrored { Motion::mirror_x() } else { Motion::identity() };
        let by = first
            .then(&Motion::turn_degrees(15 * turn).expect("a multiple of 15"))
            .then(&Motion::shift(Point::new(Surd::ratio(x, 3), Surd::root3())));
        let mut corners = shape.moved(&by).points().to_vec();
        corners.rotate_left(start);
        let copy = Polygon::new(corners).expect("still simple");

        let (keys, copied) = (shape_keys(&shape), shape_keys(&copy));
        prop_assert_eq!(keys.unhanded(), copied.unhanded());
        if mirrored {
            prop_assert_eq!((&keys.direct, &keys.mirrored), (&copied.mirrored, &copied.direct));
        } else {
            prop_assert_eq!(&keys, &copied);
        }

        let fits = all_fits(&shape, &copy);
        prop_assert!(fits.contains(&by));
        prop_assert_eq!(fit(&shape, &copy), fits.first().cloned());
        let sorted = |polygon: &Polygon| {
            let mut points = polygon.points().to_vec();
            points.sort();
            points
        };
        for fit in &fits {
            prop_assert_eq!(sorted(&shape.moved(fit)), sorted(&copy));
        }
        if !keys.is_achiral() {
            prop_assert!(fits.iter().all(|fit| fit.is_mirrored() == mirrored));
        }
    }
}
