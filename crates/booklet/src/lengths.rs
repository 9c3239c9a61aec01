//! Lengths a maker measures but never cuts to: unit sizes, finished sizes, totals.
//!
//! A length that no ruler shows (√2 in it, or a quotient) is said to the nearest
//! sixteenth of an inch or millimetre, with "about" before it; a length the ruler shows is
//! said as it is. Sizes to cut never come here: they met the ruler in `quilt::measure`.

use geometry::Surd;
use quilt::measure::Measure;

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

fn about(near: bool) -> &'static str {
    if near { "about " } else { "" }
}

/// The number, and whether it is only near.
fn number(measure: Measure, length: &Surd) -> (String, bool) {
    let step = match measure {
        Measure::Inch => Surd::ratio(1, 16),
        Measure::Centimetre => Surd::ratio(50, 127).over(10),
    };
    let shown = match measure {
        Measure::Inch => length.as_ratio().is_some_and(|(_, d)| d <= 64 && 64 % d == 0),
        Measure::Centimetre => false,
    };
    if shown {
        return (measure.number(length), false);
    }
    let steps = length.checked_div(&step).map_or(0, |quotient| quotient.round_nearest());
    let rounded = step.times(steps);
    (measure.number(&rounded), rounded != *length)
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
        let centimetre = Measure::Centimetre;
        assert_eq!(say(centimetre, &Surd::ratio(50, 127).times(12)), "12 cm");
        assert_eq!(say(centimetre, &Surd::ONE), "about 2.5 cm");
    }
}
