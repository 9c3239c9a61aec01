//! The one form of each number: reduced, and short if it fits.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, ToPrimitive};

use super::{Big, Repr, Surd};

/// Largest numerator or denominator kept as a machine integer. A product of two numbers adds up at
/// most (1 + 2 + 3 + 6) · 2⁶¹ · 2⁶¹ < 2¹²⁶ in one numerator, so `i128` never overflows.
const LIMIT: u128 = 1 << 61;

impl Surd {
    pub(super) const fn small(n: [i64; 4], d: i64) -> Surd {
        Surd(Repr::Small { n, d })
    }

    pub(super) fn to_big(&self) -> Big {
        match &self.0 {
            Repr::Small { n, d } => Big {
                n: n.map(BigInt::from),
                d: BigInt::from(*d),
            },
            Repr::Big(big) => Big::clone(big),
        }
    }

    /// The canonical form of `n`/`d`; `d` is not zero.
    pub(super) fn pack(mut n: [i128; 4], mut d: i128) -> Surd {
        if d < 0 {
            d = -d;
            n = n.map(|part| -part);
        }
        // Halves, quarters and eighths are by far the most usual: shift instead of dividing.
        let twos = n.iter().fold(d.trailing_zeros(), |least, part| {
            least.min(part.trailing_zeros())
        });
        d >>= twos;
        n = n.map(|part| part >> twos);
        if !is_power_of_two(d) {
            (n, d) = reduced(n, d);
        }
        let fits = |part: i128| part.unsigned_abs() <= LIMIT;
        if fits(d) && n.into_iter().all(fits) {
            return Surd::small(n.map(|part| part as i64), d as i64);
        }
        Surd(Repr::Big(Box::new(Big {
            n: n.map(BigInt::from),
            d: BigInt::from(d),
        })))
    }

    /// The canonical form of `n`/`d`; `d` is not zero.
    pub(super) fn pack_big(mut n: [BigInt; 4], mut d: BigInt) -> Surd {
        if d.is_negative() {
            d = -d;
            n = n.map(|part| -part);
        }
        let mut common = d.clone();
        for part in &n {
            if common.is_one() {
                break;
            }
            common = common.gcd(part);
        }
        if !common.is_one() {
            d /= &common;
            n = n.map(|part| part / &common);
        }
        let fit = |part: &BigInt| {
            part.to_i64()
                .filter(|v| u128::from(v.unsigned_abs()) <= LIMIT)
        };
        let small = n.each_ref().map(fit);
        if let ([Some(a), Some(b), Some(c), Some(e)], Some(d)) = (small, fit(&d)) {
            return Surd::small([a, b, c, e], d);
        }
        Surd(Repr::Big(Box::new(Big { n, d })))
    }

    /// Numerator and denominator, if that is all and both are below 2³⁰ (so that any product of two
    /// such numbers fits a machine word).
    pub(super) fn short_ratio(&self) -> Option<(i64, i64)> {
        match self.0 {
            Repr::Small { n: [n, 0, 0, 0], d } if n.unsigned_abs() < 1 << 30 && d < 1 << 30 => {
                Some((n, d))
            }
            _ => None,
        }
    }

    /// The canonical form of `n`/`d` for machine words within [`LIMIT`]; `d` is positive.
    pub(super) fn pack_ratio(n: i64, d: i64) -> Surd {
        let twos = n.trailing_zeros().min(d.trailing_zeros());
        let (n, d) = (n >> twos, d >> twos);
        let common = if d & (d - 1) == 0 { 1 } else { d.gcd(&(n % d)) };
        if common == 1 {
            return Surd::small([n, 0, 0, 0], d);
        }
        Surd::small([n / common, 0, 0, 0], d / common)
    }
}

pub(super) fn is_power_of_two(d: i128) -> bool {
    d & (d - 1) == 0
}

/// `n`/`d` without common divisors; `d` is positive.
fn reduced(n: [i128; 4], d: i128) -> ([i128; 4], i128) {
    let narrow = |part: i128| i64::try_from(part).ok().filter(|part| *part != i64::MIN);
    if let ([Some(a), Some(b), Some(c), Some(e)], Some(d)) = (n.map(narrow), narrow(d)) {
        // Machine words divide many times faster.
        let parts = [a, b, c, e];
        let common = common_divisor(parts, d);
        return (
            parts.map(|part| i128::from(part / common)),
            i128::from(d / common),
        );
    }
    let common = n.into_iter().fold(
        d,
        |common, part| if part == 0 { common } else { common.gcd(&part) },
    );
    (n.map(|part| part / common), d / common)
}

/// The greatest common divisor of `d` > 0 and all the parts.
fn common_divisor(parts: [i64; 4], d: i64) -> i64 {
    let mut common = d;
    for part in parts.into_iter().filter(|part| *part != 0) {
        if common == 1 {
            break;
        }
        // The common divisor is mostly the whole denominator or small; the remainder shows which.
        common = common.gcd(&(part % common));
    }
    common
}
