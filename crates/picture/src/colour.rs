//! Colours of a drawing: hex, mixing, and the fixed inks.
//!
//! **Units.** sRGB, 8 bits a channel (IEC 61966-2-1). Mixing is done in linear light,
//! where the eye's average of a fine print lies.

use crate::drawing::Ink;

/// A colour, sRGB.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Rgb(pub [u8; 3]);

impl Rgb {
    /// As it is written in a drawing: `#1b1b1b`.
    #[must_use]
    pub fn hex(self) -> String {
        let Self([r, g, b]) = self;
        format!("#{r:02x}{g:02x}{b:02x}")
    }

    /// This colour with so much (0 to 1) of another in it, mixed as light.
    #[must_use]
    pub fn mixed(self, other: Self, share: f64) -> Self {
        let mix = |a: u8, b: u8| to_channel(linear(a) * (1.0 - share) + linear(b) * share);
        Self(std::array::from_fn(|i| mix(self.0[i], other.0[i])))
    }

    /// Its linear light: red, green, blue, each 0 to 1.
    pub(crate) fn light(self) -> [f64; 3] {
        self.0.map(linear)
    }

    /// The colour of so much linear light, what is beyond 0 and 1 cut off.
    pub(crate) fn of_light(light: [f64; 3]) -> Self {
        Self(light.map(to_channel))
    }

    /// Its luminance Y, 0 for black to 1 for white.
    #[must_use]
    pub fn luminance(self) -> f64 {
        let [r, g, b] = self.0.map(linear);
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// The grey of the same luminance.
    #[must_use]
    pub fn grey(self) -> Self {
        Self([to_channel(self.luminance()); 3])
    }
}

/// The colour of an ink.
#[must_use]
pub fn colour_of(ink: Ink) -> Rgb {
    match ink {
        Ink::Ink => Rgb([0x1b, 0x1b, 0x1b]),
        Ink::Quiet => Rgb([0x4a, 0x4a, 0x4a]),
        Ink::Pale => Rgb([0xa8, 0xa6, 0xa0]),
        Ink::Paper => Rgb([0xfb, 0xfa, 0xf7]),
        Ink::Tint => Rgb([0xf0, 0xee, 0xe8]),
        Ink::Flat(colour) => colour,
    }
}

fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.04045 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to 0..=255"
)]
fn to_channel(light: f64) -> u8 {
    let c = if light <= 0.003_130_8 {
        light * 12.92
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    };
    (c * 255.0).round().clamp(0.0, 255.0) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mixing_is_done_in_light() {
        let half = Rgb([0; 3]).mixed(Rgb([255; 3]), 0.5);
        assert_eq!(
            half.hex(),
            "#bcbcbc",
            "half the light reads as 188, not 128"
        );
        for c in 0..=255 {
            let grey = Rgb([c; 3]);
            assert_eq!(
                grey.mixed(Rgb([3, 9, 200]), 0.0),
                grey,
                "nothing mixed in changes nothing"
            );
            assert_eq!(grey.grey(), grey);
        }
    }

    #[test]
    fn words_stand_out_from_the_paper() {
        // Contrast as in WCAG 2.2 (W3C), 1.4.6: 7 to 1 for words, 3 to 1 for edges is 1.4.11.
        let paper = colour_of(Ink::Paper).luminance() + 0.05;
        let contrast = |ink| paper / (colour_of(ink).luminance() + 0.05);
        assert!(contrast(Ink::Ink) > 16.0);
        assert!(contrast(Ink::Quiet) > 7.0);
    }
}
