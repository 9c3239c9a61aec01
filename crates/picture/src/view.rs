//! Ways of looking at cloth: by value alone, with half-shut eyes, through coloured glass,
//! and with other eyes.
//!
//! A view changes the colours of a [`Palette`]; the drawing stays. All mixing is done in
//! linear light. What a glass lets through is our own simple model: a filter that passes
//! one third of the spectrum and little else; no published curve stands behind it.
//!
//! # Source
//!
//! Eyes that lack one kind of cone: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A
//! Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
//! Transactions on Visualization and Computer Graphics 15(6), 2009
//! (doi 10.1109/TVCG.2009.113), matrices for severity 1.

use quilt::cloth::Values;
use quilt::plan::Print;

use crate::colour::Rgb;
use crate::palette::{ClothInk, Palette};
use crate::prints;

/// A way of looking at cloth.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum View {
    /// As it is.
    Cloth,
    /// Every colour in the grey of its own luminance.
    Grey,
    /// With half-shut eyes: no prints, and everything a little blurred.
    Squint,
    /// The same in greys.
    GreySquint,
    /// Every cloth flat in the grey of its group by value: the value drawing.
    Groups,
    /// Through red glass: shows value, but red cloth reads too light.
    RedGlass,
    /// Through green glass: shows value, but green cloth reads too light.
    GreenGlass,
    /// As seen without the cones for long waves: reds are dim.
    NoLong,
    /// As seen without the cones for middle waves: red and green are hard to tell.
    NoMiddle,
    /// As seen without the cones for short waves: blue and yellow are hard to tell.
    NoShort,
}

impl View {
    /// Every view.
    pub const ALL: [Self; 10] = [
        Self::Cloth,
        Self::Grey,
        Self::Squint,
        Self::GreySquint,
        Self::Groups,
        Self::RedGlass,
        Self::GreenGlass,
        Self::NoLong,
        Self::NoMiddle,
        Self::NoShort,
    ];

    /// What it shows, to stand under a picture.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Cloth => "in its cloth",
            Self::Grey => "in greys: value alone",
            Self::Squint => "with half-shut eyes",
            Self::GreySquint => "in greys, with half-shut eyes",
            Self::Groups => "each cloth in the grey of its group",
            Self::RedGlass => "through red glass; red cloth reads too light",
            Self::GreenGlass => "through green glass; green cloth reads too light",
            Self::NoLong => "as seen without the cones for long waves",
            Self::NoMiddle => "as seen without the cones for middle waves",
            Self::NoShort => "as seen without the cones for short waves",
        }
    }

    /// One colour, seen so. [`View::Groups`] leaves it alone: that goes by the cloth.
    #[must_use]
    pub fn of(self, colour: Rgb) -> Rgb {
        match self {
            Self::Cloth | Self::Squint | Self::Groups => colour,
            Self::Grey | Self::GreySquint => colour.grey(),
            Self::RedGlass => through(colour, 0),
            Self::GreenGlass => through(colour, 1),
            Self::NoLong => by(colour, &NO_LONG),
            Self::NoMiddle => by(colour, &NO_MIDDLE),
            Self::NoShort => by(colour, &NO_SHORT),
        }
    }
}

/// Linear sRGB to linear sRGB, as the eye without the cones takes it.
type Matrix = [[f64; 3]; 3];

const NO_LONG: Matrix = [
    [0.152_286, 1.052_583, -0.204_868],
    [0.114_503, 0.786_281, 0.099_216],
    [-0.003_882, -0.048_116, 1.051_998],
];
const NO_MIDDLE: Matrix = [
    [0.367_322, 0.860_646, -0.227_968],
    [0.280_085, 0.672_501, 0.047_413],
    [-0.011_820, 0.042_940, 0.968_881],
];
const NO_SHORT: Matrix = [
    [1.255_528, -0.076_749, -0.178_779],
    [-0.078_411, 0.930_809, 0.147_602],
    [0.004_733, 0.691_367, 0.303_900],
];

/// How much of the light it stops a glass still lets through, so that the picture looks
/// like glass and not like a lamp.
const STRAY: f64 = 0.12;

/// How far a squint blurs: a deviation of this share of the picture's width. Our choice:
/// at a tenth of its length small patches run together and blocks stay apart.
const BLUR: f64 = 1.0 / 110.0;

/// Only one third of the light comes through, and tints everything.
fn through(colour: Rgb, passed: usize) -> Rgb {
    let light = colour.light()[passed];
    Rgb::of_light(std::array::from_fn(|i| {
        if i == passed { light } else { light * STRAY }
    }))
}

fn by(colour: Rgb, matrix: &Matrix) -> Rgb {
    let light = colour.light();
    let sum = |row: [f64; 3]| row.iter().zip(light).map(|(w, c)| w * c).sum::<f64>();
    Rgb::of_light(matrix.map(|row| sum(row).clamp(0.0, 1.0)))
}

impl Palette {
    /// The same palette in another view. `values` are the plan's cloths by value.
    #[must_use]
    pub fn seen(&self, view: View, values: &Values) -> Self {
        let flat = |colour| ClothInk {
            ground: colour,
            figure: colour,
            print: Print::Plain,
            repeat: 1.0,
        };
        let ink = |(index, cloth): (usize, &ClothInk)| match view {
            View::Squint | View::GreySquint => flat(view.of(prints::mean(cloth))),
            View::Groups => {
                let group = values.of.get(index).map_or(0, |valued| valued.group);
                flat(group_grey(group, values.groups.len()))
            }
            _ => ClothInk {
                ground: view.of(cloth.ground),
                figure: view.of(cloth.figure),
                ..*cloth
            },
        };
        Self {
            cloths: self.cloths.iter().enumerate().map(ink).collect(),
            blur: match view {
                View::Squint | View::GreySquint => BLUR,
                _ => self.blur,
            },
            ..self.clone()
        }
    }
}

/// The grey a group by value is drawn in: evenly from L\* 25 for the darkest to L\* 92.
#[must_use]
pub fn group_grey(group: usize, groups: usize) -> Rgb {
    #[expect(clippy::cast_precision_loss, reason = "a handful of groups")]
    let share = match groups {
        0 | 1 => 0.5,
        _ => group as f64 / (groups - 1) as f64,
    };
    let light = quilt::colour::luminance(25.0 + 67.0 * share) / 100.0;
    Rgb::of_light([light; 3])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn greys_stay_grey_to_every_eye() {
        for c in (0..=255).step_by(5) {
            let grey = Rgb([c; 3]);
            for view in [
                View::Cloth,
                View::Grey,
                View::NoLong,
                View::NoMiddle,
                View::NoShort,
            ] {
                let Rgb(seen) = view.of(grey);
                let near = seen.iter().all(|&part| part.abs_diff(c) <= 1);
                assert!(near, "{view:?}: {c} becomes {seen:?}");
            }
        }
    }

    /// Worked by hand from the published matrix: full red in linear light is its first
    /// column, less than nothing cut off, then coded by IEC 61966-2-1.
    #[test]
    fn red_is_dim_without_the_long_cones() {
        assert_eq!(View::NoLong.of(Rgb([255, 0, 0])).hex(), "#6d5f00");
        assert_eq!(View::NoMiddle.of(Rgb([255, 0, 0])).hex(), "#a39000");
        assert_eq!(View::NoShort.of(Rgb([0, 0, 255])).hex(), "#006b96");
    }

    /// Trade practice: a red glass tells the value of all colours but red, a green one of
    /// all but green.
    #[test]
    fn a_glass_fails_for_its_own_colour() {
        let (red, green) = (Rgb([200, 30, 30]), Rgb([30, 140, 40]));
        let white = Rgb([255; 3]);
        let share =
            |view: View, colour: Rgb| view.of(colour).luminance() / view.of(white).luminance();
        for colour in [red, green] {
            assert!(colour.luminance() < 0.25, "both are dark or medium");
        }
        assert!(share(View::RedGlass, red) > 0.5 && share(View::RedGlass, green) < 0.03);
        assert!(share(View::GreenGlass, green) > 0.2 && share(View::GreenGlass, red) < 0.03);
    }

    #[test]
    fn groups_run_from_dark_to_light() {
        for groups in 1..=9 {
            let greys: Vec<Rgb> = (0..groups).map(|g| group_grey(g, groups)).collect();
            assert!(
                greys
                    .windows(2)
                    .all(|w| w[0].luminance() < w[1].luminance())
            );
        }
        assert_eq!(group_grey(1, 3), group_grey(0, 1));
    }
}
