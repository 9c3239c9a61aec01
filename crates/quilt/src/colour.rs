//! How light a colour is to the eye.
//!
//! Answers: where a typed colour lies in CIELAB, and whether a cloth counts as light,
//! medium or dark. Colour is measured in floating point: nothing here decides a size.
//!
//! From sRGB to linear light by IEC 61966-2-1, to XYZ under the white D65, to L\*a\*b\*
//! by CIE 15. L\* runs from 0 (black) to 100 (white) in even steps to the eye.
//!
//! **Knows nothing of** photographs and prints: a cloth is the one colour the eye takes
//! from it.

use crate::plan::{Cloth, Colour, Value};

/// Linear sRGB to XYZ under D65, rows X, Y, Z (IEC 61966-2-1, to seven places).
const TO_XYZ: [[f64; 3]; 3] = [
    [0.412_456_4, 0.357_576_1, 0.180_437_5],
    [0.212_672_9, 0.715_152_2, 0.072_175_0],
    [0.019_333_9, 0.119_192_0, 0.950_304_1],
];

/// Below this share of white the cube root gives way to a straight line: (6/29)³, CIE 15.
const STRAIGHT: f64 = 216.0 / 24_389.0;

/// The slope of that line: (29/3)³, CIE 15.
const SLOPE: f64 = 24_389.0 / 27.0;

/// The thirds of L\*: below the first a cloth is dark, from the second on it is light.
/// Our choice; no published limits were found.
const THIRDS: [f64; 2] = [100.0 / 3.0, 200.0 / 3.0];

/// The colour in CIELAB: L\* from 0 to 100, a\* (green to red), b\* (blue to yellow).
///
/// White comes out as L\* 100 and every grey with a\* and b\* nought to within 10⁻⁹.
#[must_use]
pub fn lab(colour: Colour) -> [f64; 3] {
    let light = [colour.red, colour.green, colour.blue].map(linear);
    let [x, y, z] = TO_XYZ.map(|row| {
        let sum: f64 = row
            .iter()
            .zip(light)
            .map(|(weight, part)| weight * part)
            .sum();
        // Against the white of the same matrix, so that greys are exactly neutral.
        root(sum / row.iter().sum::<f64>())
    });
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// Whether a cloth reads light, medium or dark: the maker's word, else by thirds of L\*.
#[must_use]
pub fn value_of(cloth: &Cloth) -> Value {
    cloth.value.unwrap_or_else(|| match lab(cloth.colour)[0] {
        l if l < THIRDS[0] => Value::Dark,
        l if l < THIRDS[1] => Value::Medium,
        _ => Value::Light,
    })
}

/// How light a cloth counts when cloths are compared: its L\*, or the middle of the third
/// the maker puts it in.
#[must_use]
pub fn lightness(cloth: &Cloth) -> f64 {
    match cloth.value {
        None => lab(cloth.colour)[0],
        Some(Value::Dark) => THIRDS[0] / 2.0,
        Some(Value::Medium) => 50.0,
        Some(Value::Light) => 100.0 - THIRDS[0] / 2.0,
    }
}

fn linear(part: u8) -> f64 {
    let part = f64::from(part) / 255.0;
    if part <= 0.040_45 {
        part / 12.92
    } else {
        ((part + 0.055) / 1.055).powf(2.4)
    }
}

fn root(share: f64) -> f64 {
    if share > STRAIGHT {
        share.cbrt()
    } else {
        (SLOPE * share + 16.0) / 116.0
    }
}

#[cfg(test)]
mod tests {
    use geometry::Surd;

    use super::*;
    use crate::plan::{Direction, Print};

    fn grey(level: u8) -> Colour {
        Colour {
            red: level,
            green: level,
            blue: level,
        }
    }

    /// sRGB to Lab checks, two decimals, from a public unit-test file; four decimals
    /// computed independently with the same standards.
    #[test]
    fn primaries_lie_where_they_are_published() {
        let table = [
            ((255, 0, 0), [53.2408, 80.0925, 67.2032]),
            ((0, 255, 0), [87.7347, -86.1827, 83.1793]),
            ((0, 0, 255), [32.2970, 79.1875, -107.8602]),
        ];
        for ((red, green, blue), wanted) in table {
            let found = lab(Colour { red, green, blue });
            for (a, b) in found.iter().zip(wanted) {
                assert!((a - b).abs() < 2e-3, "{found:?} against {wanted:?}");
            }
        }
        assert!((lab(grey(119))[0] - 50.034).abs() < 1e-3);
    }

    #[test]
    fn greys_are_neutral_and_rise() {
        let mut before = -1.0;
        for level in 0..=255 {
            let [l, a, b] = lab(grey(level));
            assert!(
                a.abs() < 1e-9 && b.abs() < 1e-9,
                "grey {level} is tinted: {a} {b}"
            );
            assert!(l > before, "grey {level} is no lighter than the one before");
            before = l;
        }
        assert!(lab(grey(0))[0].abs() < 1e-9 && (before - 100.0).abs() < 1e-9);
    }

    /// L\* is ten times the Munsell value to within 1.05 everywhere: the value scale of
    /// ASTM D1535 (polynomial as in the documentation of the colour-science package,
    /// Colour Developers) against the L\* of CIE 15.
    #[test]
    fn lightness_follows_munsell_value() {
        for tenth in 0..=100_u32 {
            let v = f64::from(tenth) / 10.0;
            let y = 1.1914 * v - 0.22533 * v.powi(2) + 0.23352 * v.powi(3) - 0.020484 * v.powi(4)
                + 0.00081939 * v.powi(5);
            let l = 116.0 * root(y / 100.0) - 16.0;
            assert!((10.0 * v - l).abs() < 1.06, "value {v}: L* {l}");
        }
    }

    #[test]
    fn the_makers_word_goes_before_the_measured_value() {
        let mut cloth = Cloth {
            key: "a".into(),
            name: "A".into(),
            colour: grey(20),
            second: grey(20),
            print: Print::Plain,
            scale: Surd::ONE,
            direction: Direction::Free,
            width: Surd::int(40),
            value: None,
            supply: crate::plan::Supply::default(),
        };
        let by_level = |cloth: &mut Cloth, level| {
            cloth.colour = grey(level);
            value_of(cloth)
        };
        assert_eq!(by_level(&mut cloth, 20), Value::Dark);
        assert_eq!(by_level(&mut cloth, 119), Value::Medium);
        assert_eq!(by_level(&mut cloth, 230), Value::Light);
        cloth.value = Some(Value::Dark);
        assert_eq!(value_of(&cloth), Value::Dark);
        assert!(lightness(&cloth) < 20.0);
    }
}
