//! Rulers, rounding, and how a length is spoken.
//!
//! Everything exact meets the ruler here and nowhere else. A [`Cut`] keeps both sizes
//! side by side: what the geometry asks for, and the whole number of ruler marks the
//! maker sets the blade to. The difference is its reserve.
//!
//! **Units.** Exact lengths are inches. A ruler's mark is a fraction of an inch or of a
//! centimetre; one centimetre is 50⁄127 in exactly (the inch is 2.54 cm, international
//! yard and pound agreement of 1959).

use geometry::Surd;

/// The unit the maker reads.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Measure {
    /// Inches in fractions.
    Inch,
    /// Centimetres in decimals.
    Centimetre,
}

impl Measure {
    /// One of this unit, in inches.
    #[must_use]
    pub fn in_inches(self) -> Surd {
        match self {
            Self::Inch => Surd::ONE,
            Self::Centimetre => Surd::ratio(50, 127),
        }
    }

    /// A length given in this unit, in inches.
    #[must_use]
    pub fn inches(self, length: &Surd) -> Surd {
        length * &self.in_inches()
    }

    /// The unit's sign: `in` or `cm`.
    #[must_use]
    pub fn sign(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Centimetre => "cm",
        }
    }

    /// A length as the maker reads it, without the unit: `4 7/8`, `12.5`.
    ///
    /// A length that is no neat fraction (denominator up to 64, or hundredths of a
    /// centimetre) is given to three decimals of an inch or two of a centimetre.
    #[must_use]
    pub fn number(self, length: &Surd) -> String {
        match self {
            Self::Inch => match length.as_ratio() {
                Some((n, d)) if d <= 64 && 64 % d == 0 => fraction(n, d),
                _ => decimals(length.to_f64(), 3),
            },
            Self::Centimetre => decimals(length.to_f64() * 2.54, 2),
        }
    }

    /// A length as the maker reads it, with the unit: `4 7/8 in`.
    #[must_use]
    pub fn say(self, length: &Surd) -> String {
        format!("{} {}", self.number(length), self.sign())
    }

    /// Two lengths as a size: `4 7/8 × 4 7/8 in`.
    #[must_use]
    pub fn size(self, width: &Surd, height: &Surd) -> String {
        format!(
            "{} × {} {}",
            self.number(width),
            self.number(height),
            self.sign()
        )
    }

    /// Inches as the maker reads them where no ruler is meant: to two decimals of an inch,
    /// one of a centimetre.
    #[must_use]
    pub fn about(self, inches: f64) -> String {
        match self {
            Self::Inch => format!("{inches:.2} in"),
            Self::Centimetre => format!("{:.1} cm", inches * 2.54),
        }
    }

    /// Two lengths as a size, those with roots to the nearest mark of a ruler:
    /// `12 1/2 × 10 7/8 in`.
    #[must_use]
    pub fn near_size(self, width: &Surd, height: &Surd) -> String {
        let marks = match self {
            Self::Inch => 16,
            Self::Centimetre => 254,
        };
        let near = |length: &Surd| {
            if length.is_rational() {
                return length.clone();
            }
            #[expect(
                clippy::cast_possible_truncation,
                reason = "a quilt is a few hundred inches"
            )]
            let count = (length.to_f64() * f64::from(marks)).round() as i64;
            Surd::ratio(count, i64::from(marks))
        };
        self.size(&near(width), &near(height))
    }

    /// A length along the cloth as it is asked for in a shop: `1 3/8 yd`, `1.3 m`.
    #[must_use]
    pub fn shop(self, length: &Surd) -> String {
        match self {
            Self::Inch => {
                let yards = length.over(36);
                match yards.as_ratio() {
                    Some((n, d)) if d <= 24 => format!("{} yd", fraction(n, d)),
                    _ => format!("{} yd", decimals(yards.to_f64(), 2)),
                }
            }
            Self::Centimetre => format!("{} m", decimals(length.to_f64() * 0.0254, 2)),
        }
    }
}

/// A whole number of ths as a mixed fraction: `4 7/8`, `-1/2`, `3`.
fn fraction(n: i64, d: i64) -> String {
    let sign = if n < 0 { "-" } else { "" };
    let (n, d) = (n.unsigned_abs(), d.unsigned_abs());
    match (n / d, n % d) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, part) => format!("{sign}{part}/{d}"),
        (whole, part) => format!("{sign}{whole} {part}/{d}"),
    }
}

/// A number to so many decimals, without trailing noughts.
fn decimals(x: f64, places: usize) -> String {
    let text = format!("{x:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// Which way a size is rounded to the ruler.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Rounding {
    /// To the next mark up: a piece is never too small. The default.
    Up,
    /// To the nearest mark, halves up: as many printed charts do.
    Nearest,
}

/// A ruler: its smallest mark and the rounding chosen for it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Ruler {
    mark: Surd,
    /// Which way sizes are rounded.
    pub rounding: Rounding,
}

impl Ruler {
    /// A ruler whose smallest mark is `mark` inches; `None` unless that is a fraction
    /// greater than zero.
    #[must_use]
    pub fn new(mark: Surd, rounding: Rounding) -> Option<Self> {
        (mark.is_positive() && mark.is_rational()).then_some(Self { mark, rounding })
    }

    /// The usual ruler: eighths of an inch, rounding up.
    #[must_use]
    pub fn eighths() -> Self {
        Self {
            mark: Surd::ratio(1, 8),
            rounding: Rounding::Up,
        }
    }

    /// The smallest mark, inches.
    #[must_use]
    pub fn mark(&self) -> &Surd {
        &self.mark
    }

    /// The fewest marks that reach `exact`.
    #[must_use]
    pub fn up(&self, exact: &Surd) -> i64 {
        self.in_marks(exact).ceil()
    }

    /// The most marks that fit in `exact`.
    #[must_use]
    pub fn down(&self, exact: &Surd) -> i64 {
        self.in_marks(exact).floor()
    }

    /// The size to cut for `exact`, by the rounding chosen.
    #[must_use]
    pub fn cut(&self, exact: Surd) -> Cut {
        let marks = match self.rounding {
            Rounding::Up => self.up(&exact),
            Rounding::Nearest => self.in_marks(&exact).round_nearest(),
        };
        Cut {
            size: self.length(marks),
            marks,
            exact,
        }
    }

    /// So many marks, in inches.
    #[must_use]
    pub fn length(&self, marks: i64) -> Surd {
        self.mark.times(marks)
    }

    fn in_marks(&self, exact: &Surd) -> Surd {
        exact
            .checked_div(&self.mark)
            .expect("a ruler's mark is greater than zero")
    }
}

/// A size to cut: what the geometry asks for and what the ruler shows.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Cut {
    /// The size in whole ruler marks.
    pub marks: i64,
    /// The same in inches.
    pub size: Surd,
    /// What the geometry asks for, inches.
    pub exact: Surd,
}

impl Cut {
    /// How much larger the cut size is than the exact one, inches; negative only with
    /// [`Rounding::Nearest`].
    #[must_use]
    pub fn reserve(&self) -> f64 {
        (&self.size - &self.exact).to_f64()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_spoken_as_a_maker_reads_them() {
        let inch = Measure::Inch;
        assert_eq!(inch.say(&Surd::ratio(39, 8)), "4 7/8 in");
        assert_eq!(inch.say(&Surd::int(12)), "12 in");
        assert_eq!(inch.number(&Surd::ratio(-1, 2)), "-1/2");
        assert_eq!(inch.number(&Surd::root2()), "1.414");
        assert_eq!(inch.shop(&Surd::ratio(99, 2)), "1 3/8 yd");
        assert_eq!(
            Measure::Centimetre.say(&Surd::ratio(50, 127).times(12)),
            "12 cm"
        );
        assert_eq!(
            Measure::Centimetre.shop(&Surd::ratio(50, 127).times(130)),
            "1.3 m"
        );
    }

    #[test]
    fn sizes_round_to_the_ruler_and_keep_their_reserve() {
        let leg = Surd::int(3) + Surd::ratio(1, 4) * (Surd::TWO + Surd::root2());
        let up = Ruler::eighths().cut(leg.clone());
        assert_eq!(
            (up.marks, up.size.clone()),
            (31, Surd::ratio(31, 8)),
            "3 7/8"
        );
        assert!((up.reserve() - 0.021_447).abs() < 1e-6);
        let nearest = Ruler::new(Surd::ratio(1, 4), Rounding::Nearest)
            .unwrap()
            .cut(leg);
        assert_eq!(
            nearest.size,
            Surd::ratio(15, 4),
            "3.8536 is nearer 3 3/4 than 4"
        );
        assert!(nearest.reserve() < 0.0);
        assert_eq!(
            Ruler::eighths().cut(Surd::int(4)).marks,
            32,
            "a whole size stays"
        );
    }
}
