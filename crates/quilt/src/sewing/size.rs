//! What a unit measures before anything is sewn to it.

use geometry::{Motion, Point, Polygon, Surd};

/// Sizes that leave the exact numbers are rounded to one part in this many of an inch:
/// finer than any ruler, coarse enough to read.
const PARTS: i64 = 1000;

/// Finished extent of a shape along its longest side and square to it, with a seam added
/// at both ends of each.
///
/// Of several longest sides the one along which the shape reaches farthest counts, so that
/// a turned copy measures the same. Exact when that side runs at a multiple of 15°, else
/// to the nearest thousandth of an inch.
pub(super) fn unfinished(outline: &Polygon, seam: &Surd) -> (Surd, Surd) {
    let sides: Vec<Point> = outline.edges().map(|edge| edge.vector()).collect();
    let longest = sides.iter().map(Point::length_squared).max();
    let with_seams = |extent: Surd| extent + seam.times(2);
    sides
        .iter()
        .filter(|side| Some(side.length_squared()) == longest)
        .map(|along| {
            let across = Point::new(-&along.y, along.x.clone());
            let reach = |direction| with_seams(extent(outline.points(), direction));
            (reach(along), reach(&across))
        })
        .max()
        .unwrap_or_default()
}

/// How far some points reach in a direction of any length.
pub(super) fn extent(points: &[Point], direction: &Point) -> Surd {
    let unit = unit_along(direction);
    let reach = |along: &Point| {
        let at: Vec<Surd> = points.iter().map(|point| point.dot(along)).collect();
        match (at.iter().max(), at.iter().min()) {
            (Some(most), Some(least)) => most - least,
            _ => Surd::ZERO,
        }
    };
    match unit {
        Some(unit) => reach(&unit),
        None => thousandths(reach(direction).to_f64() / direction.length_squared().to_f64().sqrt()),
    }
}

/// The exact vector of length 1 in a direction, for multiples of 15°.
pub(super) fn unit_along(direction: &Point) -> Option<Point> {
    let level = Point::ints(1, 0);
    let [x, y] = direction.to_f64();
    // Only the nearest of the 24 can be it; floats find it, and the exact test decides.
    let nearest = (y.atan2(x).to_degrees() / 15.0).round();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a whole number between -12 and 12"
    )]
    let unit = Motion::turn_degrees(15 * nearest as i64)?.apply_vector(&level);
    (unit.cross(direction).is_zero() && unit.dot(direction).is_positive()).then_some(unit)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "sizes of quilts in thousandths of an inch fit both kinds of number"
)]
fn thousandths(size: f64) -> Surd {
    Surd::ratio((size * PARTS as f64).round() as i64, PARTS)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(corners: Vec<Point>) -> Polygon {
        Polygon::new(corners).unwrap()
    }

    #[test]
    fn a_turned_unit_measures_the_same() {
        let seam = Surd::ratio(1, 4);
        let flat = Polygon::rectangle(Surd::int(4), Surd::int(2)).unwrap();
        let wanted = (Surd::ratio(9, 2), Surd::ratio(5, 2));
        for degrees in (0..360).step_by(15) {
            let turned = flat.moved(&Motion::turn_degrees(degrees).unwrap());
            assert_eq!(unfinished(&turned, &seam), wanted, "turned by {degrees}°");
        }
    }

    #[test]
    fn other_shapes_are_measured_along_their_longest_side() {
        let seam = Surd::ratio(1, 4);
        // A half-square triangle with short sides of 4 stands 2√2 high on its long side.
        let half = shape(vec![
            Point::ints(0, 0),
            Point::ints(4, 0),
            Point::ints(0, 4),
        ]);
        let root8 = Surd::root2().times(2);
        let half_inch = Surd::ratio(1, 2);
        assert_eq!(
            unfinished(&half, &seam),
            (root8.times(2) + &half_inch, root8 + &half_inch)
        );
        // 3-4-5: the long side lies at no multiple of 15°.
        let slanted = shape(vec![
            Point::ints(0, 0),
            Point::ints(4, 0),
            Point::ints(0, 3),
        ]);
        assert_eq!(
            unfinished(&slanted, &seam),
            (Surd::ratio(11, 2), Surd::ratio(29, 10))
        );
    }
}
