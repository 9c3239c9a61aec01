//! How the maker sews: how exactly, and how fast.

use geometry::Surd;

/// What the maker knows of the own sewing. Every default is an assumption; no measured
/// study of quarter-inch sewing was found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SewingPlan {
    /// Standard deviation of a cut width, inches; zero or more.
    pub cut_error: Surd,
    /// Standard deviation of a seam allowance, inches; zero or more. Used where no
    /// strips were measured.
    pub seam_error: Surd,
    /// The three-strip test: three strips 1½ in wide (4 cm with centimetres) are sewn
    /// side by side and the middle one is measured, once for each test, inches.
    pub three_strips: Vec<Surd>,
    /// How fast the work goes.
    pub rates: Rates,
}

/// How fast the work goes, in seconds and stitched lengths.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Rates {
    /// Seconds to lay two units on each other and bring them under the needle.
    pub lay: u32,
    /// Inches of seam stitched in a minute; greater than zero.
    pub sew: Surd,
    /// Seconds to press one seam.
    pub press: u32,
    /// Seconds to pin one crossing.
    pub pin: u32,
    /// Seconds to trim one unit to its size.
    pub trim: u32,
}

impl Default for SewingPlan {
    fn default() -> Self {
        Self {
            cut_error: Surd::ratio(1, 64),
            seam_error: Surd::ratio(1, 64),
            three_strips: Vec::new(),
            rates: Rates::default(),
        }
    }
}

impl Default for Rates {
    fn default() -> Self {
        Self {
            lay: 8,
            sew: Surd::int(40),
            press: 8,
            pin: 6,
            trim: 20,
        }
    }
}
