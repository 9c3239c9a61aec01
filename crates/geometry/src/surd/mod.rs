//! Numbers of the form a + b√2 + c√3 + d√6 with rational a, b, c, d, held exactly.
//!
//! Every point that can be reached from a square grid by joining points with straight lines, and by
//! directions at multiples of 15°, has coordinates of this form; so equality, order and "does this
//! point lie on that line" are answered without a tolerance.
//!
//! **Representation.** Four integer numerators over one positive denominator, reduced. They are kept
//! as machine integers while all five stay within ±2⁶¹, which makes every product below fit 128 bits;
//! a number that outgrows them moves to big integers and moves back as soon as it fits. A value has
//! therefore exactly one representation, and the derived equality and hash are those of the value.
//! The four basis numbers are linearly independent over the rationals, so a number is zero only if
//! all four numerators are.
//!
//! **Sign.** Found in floating point with a proved error bound; only if that cannot decide, exactly,
//! by squaring away one root after the other.
//!
//! **Knows nothing of** points, and of any other root: √5, the length of most slanted segments and
//! the directions at odd multiples of 7.5° or at 36° are not in this field.

mod arithmetic;
mod form;
mod size;
#[cfg(test)]
mod tests;

use std::fmt;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

/// An exact number a + b√2 + c√3 + d√6 with rational a, b, c, d.
///
/// Ordered by value. Arithmetic never rounds and never overflows.
///
/// ```
/// use geometry::Surd;
/// let leg = Surd::int(2) + Surd::root2();
/// assert_eq!(leg.recip(), Some(Surd::int(1) - Surd::root2().half()));
/// assert!(leg > Surd::ratio(341, 100));
/// ```
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct Surd(Repr);

#[derive(Clone, PartialEq, Eq, Hash)]
enum Repr {
    /// Reduced, `d > 0`, everything within ±2⁶¹.
    Small { n: [i64; 4], d: i64 },
    /// Reduced, `d > 0`, something beyond ±2⁶¹.
    Big(Box<Big>),
}

#[derive(Clone, PartialEq, Eq, Hash)]
struct Big {
    n: [BigInt; 4],
    d: BigInt,
}

impl Surd {
    /// Nought.
    pub const ZERO: Surd = Surd::small([0, 0, 0, 0], 1);

    /// One.
    pub const ONE: Surd = Surd::small([1, 0, 0, 0], 1);

    /// Two.
    pub const TWO: Surd = Surd::small([2, 0, 0, 0], 1);

    /// A whole number.
    pub fn int(value: i64) -> Surd {
        Surd::pack([i128::from(value), 0, 0, 0], 1)
    }

    /// The fraction `n`/`d`.
    ///
    /// # Panics
    ///
    /// If `d` is zero, as integer division does. Use [`Surd::try_ratio`] for a denominator that was
    /// read from outside.
    pub fn ratio(n: i64, d: i64) -> Surd {
        assert!(d != 0, "a fraction needs a denominator other than zero");
        Surd::pack([i128::from(n), 0, 0, 0], i128::from(d))
    }

    /// The fraction `n`/`d`, or `None` if `d` is zero.
    pub fn try_ratio(n: i64, d: i64) -> Option<Surd> {
        (d != 0).then(|| Surd::ratio(n, d))
    }

    /// √2.
    pub const fn root2() -> Surd {
        Surd::small([0, 1, 0, 0], 1)
    }

    /// √3.
    pub const fn root3() -> Surd {
        Surd::small([0, 0, 1, 0], 1)
    }

    /// √6.
    pub const fn root6() -> Surd {
        Surd::small([0, 0, 0, 1], 1)
    }

    /// Whether it is zero.
    pub fn is_zero(&self) -> bool {
        *self == Surd::ZERO
    }

    /// Whether it has no root part.
    pub fn is_rational(&self) -> bool {
        match &self.0 {
            Repr::Small { n, .. } => n[1..] == [0, 0, 0],
            Repr::Big(big) => big.n[1..].iter().all(Zero::is_zero),
        }
    }

    /// The numerators of 1, √2, √3 and √6 over their common denominator (reduced, positive), if
    /// all lie within ±2⁶¹.
    pub fn parts(&self) -> Option<([i64; 4], i64)> {
        match &self.0 {
            Repr::Small { n, d } => Some((*n, *d)),
            Repr::Big(_) => None,
        }
    }

    /// Numerator and denominator (reduced, denominator positive) if it is rational and both lie
    /// within ±2⁶¹.
    pub fn as_ratio(&self) -> Option<(i64, i64)> {
        match &self.0 {
            Repr::Small { n, d } if self.is_rational() => Some((n[0], *d)),
            _ => None,
        }
    }
}

impl Default for Surd {
    fn default() -> Self {
        Surd::ZERO
    }
}

impl From<i64> for Surd {
    fn from(value: i64) -> Self {
        Surd::int(value)
    }
}

impl From<i32> for Surd {
    fn from(value: i32) -> Self {
        Surd::int(i64::from(value))
    }
}

/// Written as `3/4 + 2√2`, `-√3`, `√2/2` or `0`.
impl fmt::Display for Surd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Big { n, d } = self.to_big();
        let mut first = true;
        for (part, root) in n.iter().zip(["", "√2", "√3", "√6"]) {
            if part.is_zero() {
                continue;
            }
            let common = part.gcd(&d);
            let (top, bottom) = (part.abs() / &common, &d / &common);
            let sign = match (first, part.is_negative()) {
                (true, true) => "-",
                (true, false) => "",
                (false, true) => " - ",
                (false, false) => " + ",
            };
            f.write_str(sign)?;
            if root.is_empty() || !top.is_one() {
                write!(f, "{top}")?;
            }
            f.write_str(root)?;
            if !bottom.is_one() {
                write!(f, "/{bottom}")?;
            }
            first = false;
        }
        if first { f.write_str("0") } else { Ok(()) }
    }
}

impl fmt::Debug for Surd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
