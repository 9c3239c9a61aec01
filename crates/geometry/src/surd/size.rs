//! Sign, order, and the floating and whole numbers nearest to a number.

use std::cmp::Ordering;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, ToPrimitive, Zero};

use super::{Big, Repr, Surd};

/// The roots belonging to the four numerators, as squares.
pub(super) const SQUARES: [i64; 4] = [1, 2, 3, 6];

/// The roots themselves, for floating point.
const ROOTS: [f64; 4] = [
    1.0,
    std::f64::consts::SQRT_2,
    1.732_050_807_568_877_2,
    2.449_489_742_783_178,
];

/// Relative error, against the sum of the absolute terms, that the floating sum of the four terms
/// over the denominator cannot exceed: three roundings a term, three additions, a division and the
/// denominator's own rounding are under 9 · 2⁻⁵³; 16 · 2⁻⁵³ leaves room for second-order parts.
const FLOAT_ERROR: f64 = 8.0 * f64::EPSILON;

impl Surd {
    /// Its order against zero: `Greater` if positive.
    pub fn sign(&self) -> Ordering {
        let (value, error) = self.approx();
        if value > error {
            return Ordering::Greater;
        }
        if value < -error {
            return Ordering::Less;
        }
        match &self.0 {
            Repr::Small { n, .. } => small_sign(n.map(i128::from)),
            Repr::Big(big) => big_sign(&big.n),
        }
    }

    /// Whether it is greater than zero.
    pub fn is_positive(&self) -> bool {
        self.sign() == Ordering::Greater
    }

    /// Its distance from zero.
    pub fn abs(&self) -> Surd {
        if self.sign() == Ordering::Less {
            -self
        } else {
            self.clone()
        }
    }

    /// The nearest floating number, to within a few units of the last place even where the terms
    /// cancel.
    pub fn to_f64(&self) -> f64 {
        let (value, error) = self.approx();
        if error <= value.abs() * 1e-14 {
            return value;
        }
        if self.is_zero() { 0.0 } else { self.slow_f64() }
    }

    /// A floating value and a bound on its error; the pair decides most signs and orders.
    #[inline]
    pub(crate) fn approx(&self) -> (f64, f64) {
        match &self.0 {
            Repr::Small { n, d } => {
                if n[1] | n[2] | n[3] == 0 {
                    let value = n[0] as f64 / *d as f64;
                    let exact = n[0].unsigned_abs() < 1 << 53 && d & (d - 1) == 0;
                    return (
                        value,
                        if exact {
                            0.0
                        } else {
                            value.abs() * FLOAT_ERROR
                        },
                    );
                }
                float_sum(n.map(|part| part as f64), *d as f64)
            }
            Repr::Big(big) => {
                let float = |part: &BigInt| part.to_f64().unwrap_or(f64::INFINITY);
                let (value, error) = float_sum(big.n.each_ref().map(float), float(&big.d));
                // Infinities make a quotient that says nothing.
                if value.is_finite() && error.is_finite() {
                    (value, error)
                } else {
                    (0.0, f64::INFINITY)
                }
            }
        }
    }

    /// The greatest whole number not above it; beyond the range of `i64`, the nearest end of that
    /// range.
    pub fn floor(&self) -> i64 {
        let (value, error) = self.approx();
        if error < 0.25 && value.abs() < 1e15 {
            let (low, high) = ((value - error).floor(), (value + error).floor());
            // Only the whole number in between, if there is one, is in doubt.
            let whole = high as i64;
            return if low == high || *self >= Surd::int(whole) {
                whole
            } else {
                whole - 1
            };
        }
        let found = self.big_floor();
        let end = if found.is_negative() {
            i64::MIN
        } else {
            i64::MAX
        };
        found.to_i64().unwrap_or(end)
    }

    /// The least whole number not below it; saturates like [`Surd::floor`].
    pub fn ceil(&self) -> i64 {
        let floor = self.floor();
        if *self <= Surd::int(floor) {
            floor
        } else {
            floor.saturating_add(1)
        }
    }

    /// The nearest whole number; a half goes up. Saturates like [`Surd::floor`].
    pub fn round_nearest(&self) -> i64 {
        (self + &Surd::ratio(1, 2)).floor()
    }

    fn big_floor(&self) -> BigInt {
        let big = self.to_big();
        if self.is_rational() {
            return big.n[0].div_floor(&big.d);
        }
        // An irrational number is no whole number, so close enough bounds always agree.
        let mut bits = 64;
        loop {
            let (low, high) = big.bounds(bits);
            let (low, high) = (low >> bits, high >> bits);
            if low == high {
                return low;
            }
            bits *= 2;
        }
    }

    /// Evaluates with as many bits as the cancellation calls for.
    fn slow_f64(&self) -> f64 {
        let big = self.to_big();
        let mut bits: u64 = 128;
        loop {
            let (low, high) = big.bounds(bits);
            let width = (&high - &low).bits();
            if low.bits() >= width + 56 && low.sign() == high.sign() {
                let drop = low.bits().saturating_sub(64);
                let head = (&low >> drop).to_f64().unwrap_or(0.0);
                // Beyond ±2000 the answer is 0 or infinite anyway.
                let exponent = (drop as i64 - bits as i64).clamp(-2000, 2000) as i32;
                return head * 2f64.powi(exponent / 2) * 2f64.powi(exponent - exponent / 2);
            }
            bits *= 2;
        }
    }
}

impl Ord for Surd {
    fn cmp(&self, other: &Self) -> Ordering {
        let ((a, da), (b, db)) = (self.approx(), other.approx());
        // The slack covers the rounding of this very subtraction.
        let (gap, slack) = (a - b, (da + db) * 1.0001);
        if gap > slack {
            Ordering::Greater
        } else if gap < -slack {
            Ordering::Less
        } else if self == other {
            Ordering::Equal
        } else {
            (self - other).sign()
        }
    }
}

impl PartialOrd for Surd {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Big {
    /// Whole numbers below and above 2^`bits` times the value, a few units apart (before division
    /// by the denominator, which brings them closer).
    fn bounds(&self, bits: u64) -> (BigInt, BigInt) {
        let (mut low, mut high) = (BigInt::zero(), BigInt::zero());
        for (part, square) in self.n.iter().zip(SQUARES) {
            let scaled: BigInt = part.abs() << bits;
            let (floor, slack) = if square == 1 {
                (scaled, 0)
            } else {
                (
                    (&scaled * &scaled * square).sqrt(),
                    i64::from(!part.is_zero()),
                )
            };
            if part.is_negative() {
                low -= &floor + slack;
                high -= floor;
            } else {
                low += &floor;
                high += floor + slack;
            }
        }
        (low.div_floor(&self.d), high.div_ceil(&self.d))
    }
}

fn float_sum(n: [f64; 4], d: f64) -> (f64, f64) {
    let terms: [f64; 4] = std::array::from_fn(|i| n[i] * ROOTS[i]);
    let value = (terms[0] + terms[1] + (terms[2] + terms[3])) / d;
    let size = (terms[0].abs() + terms[1].abs() + (terms[2].abs() + terms[3].abs())) / d;
    (value, size * FLOAT_ERROR)
}

/// Sign of a + b√2 + c√3 + d√6 for numbers within ±2⁶¹.
pub(super) fn small_sign(n: [i128; 4]) -> Ordering {
    let [a, b, c, d] = n;
    let pair = |p: i128, q: i128| -> Option<Ordering> {
        let (sp, sq) = (p.cmp(&0), q.cmp(&0));
        if let Some(sign) = agree(sp, sq) {
            return Some(sign);
        }
        let weigh = p.checked_mul(p)?.cmp(&q.checked_mul(q)?.checked_mul(2)?);
        Some(if sp == Ordering::Greater {
            weigh
        } else {
            weigh.reverse()
        })
    };
    let whole = || -> Option<Ordering> {
        let (first, second) = (pair(a, b)?, pair(c, d)?);
        if let Some(sign) = agree(first, second) {
            return Some(sign);
        }
        let weigh = pair(
            a * a + 2 * b * b - 3 * c * c - 6 * d * d,
            2 * a * b - 6 * c * d,
        )?;
        Some(if first == Ordering::Greater {
            weigh
        } else {
            weigh.reverse()
        })
    };
    whole().unwrap_or_else(|| big_sign(&n.map(BigInt::from)))
}

/// The common sign of two addends, if their signs alone settle that of the sum.
fn agree(first: Ordering, second: Ordering) -> Option<Ordering> {
    match (first, second) {
        (sign, Ordering::Equal) | (Ordering::Equal, sign) => Some(sign),
        (first, second) => (first == second).then_some(first),
    }
}

/// Sign of a + b√2 + c√3 + d√6: with A = a + b√2 and B = c + d√2 of opposite signs, that of A if
/// A² > 3B², else that of B; and A² − 3B² has only √2 left, treated the same way.
pub(super) fn big_sign(n: &[BigInt; 4]) -> Ordering {
    let [a, b, c, d] = n;
    let zero = BigInt::zero();
    let pair = |p: &BigInt, q: &BigInt| -> Ordering {
        let (sp, sq) = (p.cmp(&zero), q.cmp(&zero));
        agree(sp, sq).unwrap_or_else(|| {
            let weigh = (p * p).cmp(&(q * q * 2));
            if sp == Ordering::Greater {
                weigh
            } else {
                weigh.reverse()
            }
        })
    };
    let (first, second) = (pair(a, b), pair(c, d));
    agree(first, second).unwrap_or_else(|| {
        let p: BigInt = a * a + 2 * b * b - 3 * c * c - 6 * d * d;
        let q: BigInt = 2 * a * b - 6 * c * d;
        let weigh = pair(&p, &q);
        if first == Ordering::Greater {
            weigh
        } else {
            weigh.reverse()
        }
    })
}
