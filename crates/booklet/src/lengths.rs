//! Lengths a maker measures but never cuts to: unit sizes, finished sizes, totals.
//!
//! A length that no ruler shows (√2 in it, or a quotient) is said to the nearest
//! sixteenth of an inch or millimetre, with "about" before it; a length the ruler shows is
//! said as it is. Sizes to cut never come here: they met the ruler in `quilt::measure`.

use geometry::Surd;
use quilt::measure::Measure;

use crate::words::list;

/// `4 7/8 in`, `about 4 1/16 in`, `12.5 cm`.
pub(crate) fn say(measure: Measure, length: &Surd) -> String {
    let (number, near) = number(measure, length);
    format!("{}{number} {}", about(near), measure.sign())
}

/// `3 in square`, `about 5 13/16 × 4 1/16 in`.
pub(crate) fn size(measure: Measure, width: &Surd, height: &Surd) -> String {
    if width == height {
        return format!("{} square", say(measure, width));
    }
    across(measure, width, height)
}

/// `3 × 3 in`: how far something reaches each way, square or not.
pub(crate) fn across(measure: Measure, width: &Surd, height: &Surd) -> String {
    let ((w, near_w), (h, near_h)) = (number(measure, width), number(measure, height));
    format!("{}{w} × {h} {}", about(near_w || near_h), measure.sign())
}

/// The sides of a shape whose sides are all equal, or of a triangle; inches.
///
/// `2 5/8 in each side`, `short sides 5 in`, `base 3 in, long sides 5 in`,
/// `sides 3, 4 and 5 in`. `None` for other shapes.
pub(crate) fn sides(measure: Measure, sides: &[f64]) -> Option<String> {
    let mut sides = sides.to_vec();
    sides.sort_by(f64::total_cmp);
    let alike = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let one = |side: f64| {
        let (number, near) = nearest(measure, side);
        format!("{}{number} {}", about(near), measure.sign())
    };
    match *sides.as_slice() {
        [first, .., last] if alike(first, last) => Some(format!("{} each side", one(first))),
        [a, b, _] if alike(a, b) => Some(format!("short sides {}", one(a))),
        [a, b, c] if alike(b, c) => Some(format!("base {}, long sides {}", one(a), one(b))),
        [a, b, c] => {
            let all = [a, b, c].map(|side| nearest(measure, side));
            let numbers = all.clone().map(|(number, _)| number);
            let near = all.iter().any(|(_, near)| *near);
            Some(format!("sides {}{} {}", about(near), list(&numbers), measure.sign()))
        }
        _ => None,
    }
}

fn about(near: bool) -> &'static str {
    if near { "about " } else { "" }
}

/// The number, and whether it is only near.
fn number(measure: Measure, length: &Surd) -> (String, bool) {
    match measure {
        Measure::Inch if length.as_ratio().is_some_and(|(_, d)| d <= 64 && 64 % d == 0) => {
            (measure.number(length), false)
        }
        _ => nearest(measure, length.to_f64()),
    }
}

/// The nearest sixteenth of an inch or millimetre, and whether it is only near.
fn nearest(measure: Measure, inches: f64) -> (String, bool) {
    let (step, parts) = match measure {
        Measure::Inch => (Surd::ratio(1, 16), 16.0),
        Measure::Centimetre => (Surd::ratio(5, 127), 25.4),
    };
    let steps = (inches * parts).round();
    #[expect(clippy::cast_possible_truncation, reason = "a quilt is a few thousand steps wide")]
    let whole = steps as i64;
    (measure.number(&step.times(whole)), (steps - inches * parts).abs() > 1e-6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_ruler_shows_is_said_to_be_near() {
        let inch = Measure::Inch;
        assert_eq!(say(inch, &Surd::ratio(39, 8)), "4 7/8 in");
        assert_eq!(say(inch, &Surd::ratio(79, 16)), "4 15/16 in");
        assert_eq!(say(inch, &Surd::root2()), "about 1 7/16 in");
        assert_eq!(say(inch, &Surd::ratio(10, 3)), "about 3 5/16 in");
        assert_eq!(size(inch, &Surd::int(3), &Surd::int(3)), "3 in square");
        assert_eq!(across(inch, &Surd::int(3), &Surd::int(3)), "3 × 3 in");
        assert_eq!(size(inch, &Surd::root2(), &Surd::int(5)), "about 1 7/16 × 5 in");
        let triangle = |sides: [f64; 3]| super::sides(inch, &sides);
        assert_eq!(triangle([5.0, 50f64.sqrt(), 5.0]).unwrap(), "short sides 5 in");
        assert_eq!(triangle([3.0, 5.0, 4.0]).unwrap(), "sides 3, 4 and 5 in");
        assert_eq!(triangle([5.0, 5.0, 3.0]).unwrap(), "base 3 in, long sides 5 in");
        assert_eq!(super::sides(inch, &[2.5; 6]).unwrap(), "2 1/2 in each side");
        assert_eq!(super::sides(inch, &[2.0, 3.0, 2.0, 3.0]), None);
        let centimetre = Measure::Centimetre;
        assert_eq!(say(centimetre, &Surd::ratio(50, 127).times(12)), "12 cm");
        assert_eq!(say(centimetre, &Surd::ONE), "about 2.5 cm");
    }
}
