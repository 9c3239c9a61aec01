//! Regular polygons with all their diagonals: a hard and exactly known test of the number field.
use geometry::{Arrangement, Motion, Point, Polygon, Segment};

fn regular(n: i64) -> Polygon {
    let corner = |i: i64| {
        Motion::turn_degrees(i * 360 / n)
            .expect("always holds")
            .apply(&Point::ints(1, 0))
    };
    Polygon::new((0..n).map(corner).collect()).expect("always holds")
}

/// Regions, and points inside where diagonals meet.
fn check(n: i64, regions: usize, meets: usize) {
    let outline = regular(n);
    let corners = outline.points();
    let mut drawn = Vec::new();
    for i in 0..corners.len() {
        for j in i + 2..corners.len() {
            drawn.push(Segment::new(corners[i].clone(), corners[j].clone()).expect("always holds"));
        }
    }
    let found = Arrangement::of(&outline, &drawn).expect("always holds");
    assert_eq!(found.faces.len(), regions, "regions of the {n}-gon");
    assert_eq!(
        found.vertices.len() - corners.len(),
        meets,
        "inner points of the {n}-gon"
    );
}

#[test]
fn regular_polygons_with_all_diagonals() {
    check(4, 4, 1);
    check(6, 24, 13);
    check(8, 80, 49);
    check(12, 444, 301);
    check(24, 9024, 7297);
}
