//! How light a colour is to the eye.
//!
//! Answers: where a typed colour lies in CIELAB, how light a cloth counts, and how far two
//! colours are apart. Which cloths count as light, medium or dark is decided among all of
//! them: see [`cloth::Values`](crate::cloth::Values). Colour is measured in floating
//! point: nothing here decides a size.
//!
//! From sRGB to linear light by IEC 61966-2-1, to XYZ under the white D65, to L\*a\*b\*
//! by CIE 15. L\* runs from 0 (black) to 100 (white) in even steps to the eye.
//!
//! **Knows nothing of** photographs and prints: a cloth is the one colour the eye takes
//! from it, typed or measured.

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

/// The colour in CIELAB: L\* from 0 to 100, a\* (green to red), b\* (blue to yellow).
///
/// White comes out as L\* 100 and every grey with a\* and b\* nought to within 10⁻⁹.
#[must_use]
pub fn lab(colour: Colour) -> [f64; 3] {
    lab_of_light([colour.red, colour.green, colour.blue].map(light))
}

/// The same of linear light: red, green and blue of sRGB before coding, 1 the white.
/// More light than white gives an L\* over 100.
#[must_use]
pub fn lab_of_light(light: [f64; 3]) -> [f64; 3] {
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

/// The colour of a cloth in CIELAB: as measured, else as typed.
#[must_use]
pub fn seen(cloth: &Cloth) -> [f64; 3] {
    match &cloth.record.measured {
        Some(measured) => measured.lab.each_ref().map(geometry::Surd::to_f64),
        None => lab(cloth.colour),
    }
}

/// How light a cloth counts when cloths are compared: its L\*, or the middle of the third
/// the maker puts it in.
#[must_use]
pub fn lightness(cloth: &Cloth) -> f64 {
    match cloth.value {
        None => seen(cloth)[0],
        Some(Value::Dark) => 100.0 / 6.0,
        Some(Value::Medium) => 50.0,
        Some(Value::Light) => 500.0 / 6.0,
    }
}

/// The luminance Y of a Munsell value, both from nothing to white: V 0 to 10, Y 0 to 100.
///
/// The polynomial of ASTM D1535 (edition 08e1, as given in the documentation of the
/// colour-science package, Colour Developers).
#[must_use]
pub fn luminance_of_munsell(v: f64) -> f64 {
    // Horner's scheme.
    v * (1.1914 + v * (-0.225_33 + v * (0.233_52 + v * (-0.020_484 + v * 0.000_819_39))))
}

/// The Munsell value of a luminance Y from 0 to 100: the inverse of
/// [`luminance_of_munsell`], which rises all the way.
#[must_use]
pub fn munsell(luminance: f64) -> f64 {
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if luminance_of_munsell(middle) < luminance {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The luminance Y, 0 to 100, of an L\* (CIE 15).
#[must_use]
pub fn luminance(l: f64) -> f64 {
    let root = (l + 16.0) / 116.0;
    let share = root.powi(3);
    100.0 * if share > STRAIGHT { share } else { l / SLOPE }
}

/// The everyday word for a hue; the limits are our choice.
#[must_use]
pub fn hue_word([light, a, b]: [f64; 3]) -> &'static str {
    if a.hypot(b) < 12.0 {
        return match light {
            l if l < 30.0 => "near-black",
            l if l < 80.0 => "grey",
            _ => "near-white",
        };
    }
    match b.atan2(a).to_degrees().rem_euclid(360.0) {
        h if h < 45.0 => "red",
        h if h < 75.0 => "orange",
        h if h < 110.0 => "yellow",
        h if h < 165.0 => "green",
        h if h < 225.0 => "teal",
        h if h < 295.0 => "blue",
        h if h < 340.0 => "violet",
        _ => "pink",
    }
}

/// The colour difference CIEDE2000 of two colours in CIELAB (CIE 142): about 1 is just
/// to be seen side by side, 100 lies between black and white.
///
/// After Sharma, Wu, Dalal, "The CIEDE2000 Color-Difference Formula: Implementation
/// Notes, Supplementary Test Data, and Mathematical Observations", Color Research and
/// Application 30(1), 2005, with all weights 1.
#[must_use]
pub fn difference(one: [f64; 3], other: [f64; 3]) -> f64 {
    let seventh = |c: f64| (c.powi(7) / (c.powi(7) + 25_f64.powi(7))).sqrt();
    let chroma = |[_, a, b]: [f64; 3]| f64::hypot(a, b);
    let stretch = 1.5 - 0.5 * seventh(f64::midpoint(chroma(one), chroma(other)));
    let polar = |[_, a, b]: [f64; 3]| {
        let a = a * stretch;
        let hue = b.atan2(a).to_degrees().rem_euclid(360.0);
        (
            f64::hypot(a, b),
            if a == 0.0 && b == 0.0 { 0.0 } else { hue },
        )
    };
    let ((c1, h1), (c2, h2)) = (polar(one), polar(other));
    let grey = c1 * c2 == 0.0;
    // Opposite hues are taken as exactly opposite, whatever the last bit says.
    let apart = (h1 - h2).abs();
    let far = apart > 180.0 + 1e-9;
    let turn = match h2 - h1 {
        _ if grey => 0.0,
        d if !far => d,
        d if h2 > h1 => d - 360.0,
        d => d + 360.0,
    };
    let hue = match h1 + h2 {
        sum if grey => sum,
        sum if !far => sum / 2.0,
        sum if sum < 360.0 => (sum + 360.0) / 2.0,
        sum => (sum - 360.0) / 2.0,
    };
    let (light, strong) = (f64::midpoint(one[0], other[0]), f64::midpoint(c1, c2));
    let cos = |degrees: f64| degrees.to_radians().cos();
    let t = 1.0 - 0.17 * cos(hue - 30.0) + 0.24 * cos(2.0 * hue) + 0.32 * cos(3.0 * hue + 6.0)
        - 0.20 * cos(4.0 * hue - 63.0);
    let off = (light - 50.0).powi(2);
    let lightness = (other[0] - one[0]) / (1.0 + 0.015 * off / (20.0 + off).sqrt());
    let strength = (c2 - c1) / (1.0 + 0.045 * strong);
    let round =
        2.0 * (c1 * c2).sqrt() * (turn / 2.0).to_radians().sin() / (1.0 + 0.015 * strong * t);
    let lean = 60.0 * (-((hue - 275.0) / 25.0).powi(2)).exp();
    let blue = -2.0 * seventh(strong) * lean.to_radians().sin();
    (lightness.powi(2) + strength.powi(2) + round.powi(2) + blue * strength * round).sqrt()
}

/// The linear light of one part of a colour as it is coded, 0 to 1.
#[must_use]
pub fn light(part: u8) -> f64 {
    let part = f64::from(part) / 255.0;
    if part <= 0.040_45 {
        part / 12.92
    } else {
        ((part + 0.055) / 1.055).powf(2.4)
    }
}

/// The code of one part of linear light, the nearest there is; light beyond white is white.
#[must_use]
pub fn coded(light: f64) -> u8 {
    let part = if light <= 0.003_130_8 {
        light * 12.92
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    };
    (part * 255.0).round().clamp(0.0, 255.0) as u8
}

/// The linear light of a colour in CIELAB; parts below 0 or over 1 lie outside sRGB.
#[must_use]
pub fn light_of_lab([l, a, b]: [f64; 3]) -> [f64; 3] {
    let y = (l + 16.0) / 116.0;
    let cubed = |root: f64| {
        let share = root.powi(3);
        if share > STRAIGHT {
            share
        } else {
            (116.0 * root - 16.0) / SLOPE
        }
    };
    let roots = [y + a / 500.0, y, y - b / 200.0];
    let mut xyz = [0.0; 3];
    for ((part, root), row) in xyz.iter_mut().zip(roots).zip(TO_XYZ) {
        *part = cubed(root) * row.iter().sum::<f64>();
    }
    // The matrix undone, by Cramer's rule.
    let minor = |m: &[[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = minor(&TO_XYZ);
    [0, 1, 2].map(|column| {
        let mut with = TO_XYZ;
        for (row, part) in with.iter_mut().zip(xyz) {
            row[column] = part;
        }
        minor(&with) / whole
    })
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
    use super::*;

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
    fn every_level_is_coded_back() {
        for level in 0..=255 {
            assert_eq!(coded(light(level)), level);
        }
        assert_eq!((coded(-1.0), coded(2.0)), (0, 255));
    }

    #[test]
    fn light_comes_back_from_lab() {
        for [r, g, b] in [[0.0; 3], [1.0; 3], [0.2, 0.6, 0.05], [0.001, 0.002, 0.9]] {
            let back = light_of_lab(lab_of_light([r, g, b]));
            for (one, other) in back.iter().zip([r, g, b]) {
                assert!((one - other).abs() < 1e-9, "{back:?}");
            }
        }
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
    /// ASTM D1535 against the L\* of CIE 15.
    #[test]
    fn lightness_follows_munsell_value() {
        for tenth in 0..=100_u32 {
            let v = f64::from(tenth) / 10.0;
            let l = 116.0 * root(luminance_of_munsell(v) / 100.0) - 16.0;
            assert!((10.0 * v - l).abs() < 1.06, "value {v}: L* {l}");
            assert!((munsell(luminance(l)) - v).abs() < 1e-9, "value {v} back");
        }
    }

    /// Values of the unit tests of the colour-science package (Colour Developers) for ASTM
    /// D1535-08e1; its own inverse is interpolated, so the last agrees to 10⁻⁶ only. The
    /// second table is worked out independently from the same polynomial and CIE 15.
    #[test]
    fn munsell_values_are_those_of_the_standard() {
        for (v, y) in [
            (4.082_443_75, 12.236_342_675),
            (5.391_326_85, 22.893_999_867),
            (2.976_193_12, 6.290_225_351),
        ] {
            assert!((munsell(y) - v).abs() < 1e-6, "{y}: {}", munsell(y));
        }
        for (v, y, l) in [
            (0.0, 0.0, 0.0),
            (1.0, 1.1799, 10.408),
            (2.0, 3.0481, 20.236),
            (2.5, 4.4988, 25.256),
            (3.0, 6.3912, 30.379),
            (4.0, 11.7008, 40.737),
            (5.0, 19.2718, 51.004),
            (6.0, 29.3012, 61.046),
            (7.0, 41.9854, 70.861),
            (8.0, 57.6196, 80.527),
            (9.0, 76.6956, 90.181),
            (9.5, 87.7559, 95.058),
            (10.0, 100.0, 100.0),
        ] {
            let found = luminance_of_munsell(v);
            assert!((found - y).abs() < 6e-5, "value {v}: Y {found}");
            let light = 116.0 * root(found / 100.0) - 16.0;
            assert!((light - l).abs() < 6e-4, "value {v}: L* {light}");
        }
    }
}
