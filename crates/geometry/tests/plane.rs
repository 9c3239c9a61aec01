//! Segments, motions and polygons: tables of cases, and laws on random shapes.

use std::cmp::Ordering;

use geometry::{Meet, Motion, Place, Point, Polygon, PolygonFault, Segment, Surd, turn_of};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn p(x: i64, y: i64) -> Point {
    Point::ints(x, y)
}

fn seg(a: (i64, i64), b: (i64, i64)) -> Segment {
    Segment::new(p(a.0, a.1), p(b.0, b.1)).expect("two different points")
}

fn polygon(points: &[(i64, i64)]) -> Result<Polygon, PolygonFault> {
    Polygon::new(points.iter().map(|&(x, y)| p(x, y)).collect())
}

#[test]
fn what_segments_have_in_common() {
    let base = seg((0, 0), (4, 0));
    for (other, meet, why) in [
        (seg((2, -1), (2, 1)), Meet::At(p(2, 0)), "crossing"),
        (
            seg((2, 0), (2, 1)),
            Meet::At(p(2, 0)),
            "an end on the other",
        ),
        (seg((4, 0), (5, 5)), Meet::At(p(4, 0)), "a shared end"),
        (
            seg((4, 0), (7, 0)),
            Meet::At(p(4, 0)),
            "end to end on one line",
        ),
        (seg((5, 0), (7, 0)), Meet::None, "on one line, apart"),
        (seg((0, 1), (4, 1)), Meet::None, "parallel"),
        (seg((5, -1), (5, 1)), Meet::None, "beyond the end"),
        (seg((2, 1), (2, 3)), Meet::None, "short of it"),
        (
            seg((7, 0), (1, 0)),
            Meet::Along(seg((1, 0), (4, 0))),
            "overlap, in the first's direction",
        ),
        (
            seg((1, 0), (2, 0)),
            Meet::Along(seg((1, 0), (2, 0))),
            "one within the other",
        ),
        (
            seg((4, 0), (0, 0)),
            Meet::Along(base.clone()),
            "the same, backwards",
        ),
        (
            seg((0, -1), (3, 1)),
            Meet::At(Point::new(Surd::ratio(3, 2), Surd::ZERO)),
            "between",
        ),
    ] {
        assert_eq!(base.meets(&other), meet, "{why}");
    }
    assert_eq!(Segment::new(p(1, 1), p(1, 1)), None);
    // The diagonal of a unit square and the line across at height √2 − 1.
    let level = Surd::root2() - Surd::ONE;
    let across = Segment::new(
        Point::new(Surd::ZERO, level.clone()),
        Point::new(Surd::ONE, level.clone()),
    );
    let met = seg((0, 0), (1, 1)).meets(&across.expect("two different points"));
    assert_eq!(met, Meet::At(Point::new(level.clone(), level)));
}

#[test]
fn turns_by_fifteen_degrees() {
    assert_eq!(Motion::turn_degrees(7), None);
    let step = Motion::turn_degrees(15).expect("a multiple of 15");
    let mut turned = Motion::identity();
    for count in 0..48 {
        let direct = Motion::turn_degrees(15 * count).expect("a multiple of 15");
        assert_eq!(turned, direct, "{count} steps");
        assert_eq!(Motion::turn_degrees(15 * count - 720), Some(direct.clone()));
        let [x, y] = direct.apply(&p(1, 0)).to_f64();
        let (sin, cos) = (15.0 * count as f64).to_radians().sin_cos();
        assert!((x - cos).abs() < 1e-15 && (y - sin).abs() < 1e-15);
        let degrees = (15 * count) % 360;
        let expected = if degrees > 180 {
            degrees - 360
        } else {
            degrees
        };
        assert_eq!(direct.angle_degrees(), expected as f64);
        assert_eq!(
            Motion::mirror_x().then(&direct).angle_degrees(),
            expected as f64
        );
        turned = turned.then(&step);
    }
    assert_eq!(
        Motion::quarter_turns(-1),
        Motion::turn_degrees(270).expect("a multiple of 15")
    );
    assert_eq!(
        Motion::eighth_turns(3),
        Motion::turn_degrees(135).expect("a multiple of 15")
    );
    // y points down, so a positive quarter turn brings what was to the right down.
    assert_eq!(Motion::quarter_turns(1).apply(&p(1, 0)), p(0, 1));
}

#[test]
fn what_is_no_polygon() {
    use PolygonFault::*;
    let middle = Point::new(Surd::ONE, Surd::ONE);
    for (points, fault) in [
        (&[(0, 0), (1, 0)][..], TooFewCorners { corners: 2 }),
        (
            &[(0, 0), (1, 0), (1, 1), (1, 0)],
            RepeatedPoint { at: p(1, 0) },
        ),
        (&[(0, 0), (1, 0), (3, 0)], NoArea),
        (
            &[(0, 0), (2, 2), (2, 0), (0, 2)],
            CrossesItself { at: middle },
        ),
        (
            &[(0, 0), (4, 0), (4, 4), (2, 0), (0, 4)],
            CrossesItself { at: p(2, 0) },
        ),
        (
            &[(0, 0), (4, 0), (2, 0), (2, 2)],
            CrossesItself { at: p(3, 0) },
        ),
    ] {
        assert_eq!(polygon(points), Err(fault), "{points:?}");
    }
    assert_eq!(Polygon::rectangle(Surd::ONE, Surd::ZERO), None);
    assert_eq!(Polygon::rectangle(Surd::int(-1), Surd::ONE), None);
}

#[test]
fn direction_round_does_not_matter() {
    let one = polygon(&[(0, 0), (4, 0), (4, 3)]).expect("a triangle");
    let other = polygon(&[(0, 0), (4, 3), (4, 0)]).expect("a triangle");
    assert_eq!(one, other);
    assert_eq!(one.area(), Surd::int(6));
    assert_eq!(one.perimeter_f64(), 12.0);
    assert_eq!(one.centroid(), Point::new(Surd::ratio(8, 3), Surd::ONE));
    assert_eq!(one.bounds(), (p(0, 0), p(4, 3)));
}

#[test]
fn angles_and_straight_corners() {
    let shape = polygon(&[(0, 0), (2, 0), (4, 0), (4, 4), (2, 2), (0, 4)]).expect("simple");
    let angles: Vec<f64> = (0..6).map(|i| shape.corner_angle_degrees(i)).collect();
    for (angle, expected) in angles.iter().zip([90.0, 180.0, 90.0, 45.0, 270.0, 45.0]) {
        assert!((angle - expected).abs() < 1e-9, "{angles:?}");
    }
    assert!(!shape.is_convex());
    let bare = shape.without_straight_corners();
    assert_eq!(bare.points().len(), 5);
    assert_eq!(bare.area(), shape.area());
}

/// In a square with a small notch the inner point keeps well away from the sides.
#[test]
fn the_inner_point_of_a_dented_shape_is_not_in_a_splinter() {
    let shape = polygon(&[
        (0, 0),
        (20, 0),
        (20, 20),
        (11, 20),
        (10, 19),
        (9, 20),
        (0, 20),
    ]);
    let [x, y] = shape.expect("simple").inner_point().to_f64();
    assert!(x > 3.0 && x < 17.0 && y > 3.0 && y < 17.0, "({x}, {y})");
}

#[test]
fn where_points_lie() {
    // Dented, with a level side and corners at the level of the points.
    let shape = polygon(&[(0, 0), (6, 0), (6, 4), (4, 2), (2, 2), (0, 4)]).expect("simple");
    for ((x, y), place) in [
        ((3, 1), Place::Inside),
        ((1, 2), Place::Inside),
        ((5, 2), Place::Inside),
        ((3, 2), Place::Edge),
        ((4, 2), Place::Edge),
        ((0, 4), Place::Edge),
        ((6, 1), Place::Edge),
        ((3, 3), Place::Outside),
        ((-1, 2), Place::Outside),
        ((7, 2), Place::Outside),
        ((-1, 0), Place::Outside),
        ((7, 4), Place::Outside),
        ((1, 4), Place::Outside),
    ] {
        assert_eq!(shape.locate(&p(x, y)), place, "({x}, {y})");
    }
}

/// Points round a centre at random distances: simple, often dented.
fn star() -> impl Strategy<Value = Polygon> {
    let reach = prop::collection::vec(1_i64..12, 24);
    (reach, 3_usize..24).prop_map(|(reach, n)| {
        let corner = |k: usize| {
            let steps = k * 24 / n;
            let turn = Motion::turn_degrees(15 * steps as i64).expect("a multiple of 15");
            turn.apply(&p(reach[k], 0))
        };
        Polygon::new((0..n).map(corner).collect()).expect("corners in order of direction")
    })
}

fn motion() -> impl Strategy<Value = Motion> {
    (0_i64..24, any::<bool>(), -9_i64..9, -9_i64..9).prop_map(|(turn, mirrored, x, y)| {
        let first = if mirrored {
            Motion::mirror_x()
        } else {
            Motion::identity()
        };
        let turn = Motion::turn_degrees(15 * turn).expect("a multiple of 15");
        first
            .then(&turn)
            .then(&Motion::shift(Point::new(Surd::int(x), Surd::ratio(y, 7))))
    })
}

fn near(p: [f64; 2], q: [f64; 2]) -> bool {
    (p[0] - q[0]).abs() < 1e-9 && (p[1] - q[1]).abs() < 1e-9
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200, rng_seed: RngSeed::Fixed(2), failure_persistence: None, ..Default::default()
    })]

    #[test]
    fn motions_form_a_group(a in motion(), b in motion(), c in motion(), x in -9_i64..9, y in -9_i64..9) {
        let point = p(x, y);
        prop_assert_eq!(a.then(&b).apply(&point), b.apply(&a.apply(&point)));
        prop_assert_eq!(a.then(&b).then(&c), a.then(&b.then(&c)));
        prop_assert_eq!(a.then(&a.inverse()), Motion::identity());
        prop_assert_eq!(a.inverse().then(&a), Motion::identity());
        prop_assert_eq!(a.then(&b).is_mirrored(), a.is_mirrored() != b.is_mirrored());
        let vector = a.apply_vector(&point);
        prop_assert_eq!(vector.length_squared(), point.length_squared());
        // The angle, with mirror_x first, says the same as the motion itself.
        let (sin, cos) = a.angle_degrees().to_radians().sin_cos();
        let x = if a.is_mirrored() { -x as f64 } else { x as f64 };
        let turned = [cos * x - sin * y as f64, sin * x + cos * y as f64];
        prop_assert!(near(vector.to_f64(), turned));
    }

    #[test]
    fn polygons_keep_their_measures(shape in star(), by in motion()) {
        let moved = shape.moved(&by);
        prop_assert_eq!(moved.area(), shape.area());
        prop_assert!(moved.area().is_positive());
        prop_assert_eq!(moved.is_convex(), shape.is_convex());
        prop_assert_eq!(moved.centroid(), by.apply(&shape.centroid()));
        prop_assert!((moved.perimeter_f64() - shape.perimeter_f64()).abs() < 1e-9);
        prop_assert_eq!(&moved.points()[0], &by.apply(&shape.points()[0]));
        prop_assert_eq!(moved.locate(&by.apply(&Point::ORIGIN)), shape.locate(&Point::ORIGIN));
        prop_assert!(Polygon::new(moved.points().to_vec()).as_ref() == Ok(&moved));
    }

    #[test]
    fn the_inner_point_is_inside(shape in star(), by in motion()) {
        let moved = shape.moved(&by);
        prop_assert_eq!(moved.locate(&moved.inner_point()), Place::Inside);
        prop_assert_eq!(shape.locate(&shape.inner_point()), Place::Inside);
        for edge in shape.edges() {
            prop_assert_eq!(shape.locate(&edge.middle()), Place::Edge);
            prop_assert_eq!(shape.locate(&edge.a), Place::Edge);
            prop_assert!(edge.contains(&edge.middle()));
        }
    }

    /// The angles of an n-cornered polygon add up to (n − 2) half-turns.
    #[test]
    fn angles_add_up(shape in star()) {
        let n = shape.points().len();
        let sum: f64 = (0..n).map(|i| shape.corner_angle_degrees(i)).sum();
        prop_assert!((sum - 180.0 * (n as f64 - 2.0)).abs() < 1e-8, "{}", sum);
    }

    #[test]
    fn meeting_is_mutual(a in motion(), c in -6_i64..6, d in -6_i64..6, e in 1_i64..9, f in -6_i64..6) {
        let first = Segment::new(a.apply(&p(-4, 0)), a.apply(&p(4, 0))).expect("moved apart");
        let second = Segment::new(a.apply(&p(c, d)), a.apply(&p(c + e, f))).expect("moved apart");
        match (first.meets(&second), second.meets(&first)) {
            (Meet::None, Meet::None) => {}
            (Meet::At(x), Meet::At(y)) => {
                prop_assert_eq!(&x, &y);
                prop_assert!(first.contains(&x) && second.contains(&x));
            }
            (Meet::Along(x), Meet::Along(y)) => {
                prop_assert!(first.is_parallel(&second));
                prop_assert!(x == y || (x.a == y.b && x.b == y.a));
                prop_assert!(first.contains(&x.a) && second.contains(&x.b));
            }
            (x, y) => prop_assert!(false, "{:?} {:?}", x, y),
        }
        prop_assert_eq!(
            turn_of(&first.a, &first.b, &second.a),
            turn_of(&first.b, &first.a, &second.a).reverse()
        );
        let side = if a.is_mirrored() { d.cmp(&0).reverse() } else { d.cmp(&0) };
        prop_assert_eq!(turn_of(&first.a, &first.b, &second.a), side);
        prop_assert_eq!(turn_of(&first.a, &first.a, &second.a), Ordering::Equal);
    }
}
