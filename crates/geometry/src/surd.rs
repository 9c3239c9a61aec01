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

use std::cmp::Ordering;
use std::fmt;
use std::hash::Hash;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, ToPrimitive, Zero};

/// The roots belonging to the four numerators, as squares.
const SQUARES: [i64; 4] = [1, 2, 3, 6];

/// The roots themselves, for floating point.
const ROOTS: [f64; 4] = [
    1.0,
    std::f64::consts::SQRT_2,
    1.732_050_807_568_877_2,
    2.449_489_742_783_178,
];

/// Largest numerator or denominator kept as a machine integer. A product of two numbers adds up at
/// most (1 + 2 + 3 + 6) · 2⁶¹ · 2⁶¹ < 2¹²⁶ in one numerator, so `i128` never overflows.
const LIMIT: u128 = 1 << 61;

/// Relative error, against the sum of the absolute terms, that the floating sum of the four terms
/// over the denominator cannot exceed: three roundings a term, three additions, a division and the
/// denominator's own rounding are under 9 · 2⁻⁵³; 16 · 2⁻⁵³ leaves room for second-order parts.
const FLOAT_ERROR: f64 = 8.0 * f64::EPSILON;

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
    /// Reduced, `d > 0`, everything within [`LIMIT`].
    Small { n: [i64; 4], d: i64 },
    /// Reduced, `d > 0`, something beyond [`LIMIT`].
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

    const fn small(n: [i64; 4], d: i64) -> Surd {
        Surd(Repr::Small { n, d })
    }

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

    /// Half of it.
    pub fn half(&self) -> Surd {
        self.over(2)
    }

    /// `factor` times it.
    pub fn times(&self, factor: i64) -> Surd {
        self * &Surd::int(factor)
    }

    /// Divided by the whole number `divisor`.
    ///
    /// # Panics
    ///
    /// If `divisor` is zero, as integer division does.
    pub fn over(&self, divisor: i64) -> Surd {
        assert!(divisor != 0, "cannot divide by zero");
        match &self.0 {
            Repr::Small { n, d } => {
                Surd::pack(n.map(i128::from), i128::from(*d) * i128::from(divisor))
            }
            Repr::Big(big) => Surd::pack_big(big.n.clone(), &big.d * divisor),
        }
    }

    /// One over it, or `None` for zero.
    ///
    /// Multiplies by the conjugates: (A + B√3)(A − B√3) = p + q√2, then (p + q√2)(p − q√2) is
    /// rational.
    pub fn recip(&self) -> Option<Surd> {
        if self.is_zero() {
            return None;
        }
        if let Repr::Small { n, d } = &self.0
            && let Some(found) = small_recip(n.map(i128::from), i128::from(*d))
        {
            return Some(found);
        }
        let Big { n: [a, b, c, e], d } = self.to_big();
        let p: BigInt = &a * &a + 2 * &b * &b - 3 * &c * &c - 6 * &e * &e;
        let q: BigInt = 2 * &a * &b - 6 * &c * &e;
        let norm: BigInt = &p * &p - 2 * &q * &q;
        let n = [
            (&a * &p - 2 * &b * &q) * &d,
            (&b * &p - &a * &q) * &d,
            (2 * &e * &q - &c * &p) * &d,
            (&c * &q - &e * &p) * &d,
        ];
        Some(Surd::pack_big(n, norm))
    }

    /// It divided by `divisor`, or `None` if that is zero.
    pub fn checked_div(&self, divisor: &Surd) -> Option<Surd> {
        divisor.recip().map(|r| self * &r)
    }

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

    /// Whether it is zero.
    pub fn is_zero(&self) -> bool {
        *self == Surd::ZERO
    }

    /// Whether it is greater than zero.
    pub fn is_positive(&self) -> bool {
        self.sign() == Ordering::Greater
    }

    /// Whether it has no root part.
    pub fn is_rational(&self) -> bool {
        match &self.0 {
            Repr::Small { n, .. } => n[1..] == [0, 0, 0],
            Repr::Big(big) => big.n[1..].iter().all(Zero::is_zero),
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
    pub(crate) fn approx(&self) -> (f64, f64) {
        match &self.0 {
            Repr::Small { n, d } => {
                if n[1..] == [0, 0, 0] {
                    let value = n[0] as f64 / *d as f64;
                    let exact = n[0].unsigned_abs() < 1 << 53 && is_power_of_two(i128::from(*d));
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
        (-self).floor().saturating_neg()
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

    fn to_big(&self) -> Big {
        match &self.0 {
            Repr::Small { n, d } => Big {
                n: n.map(BigInt::from),
                d: BigInt::from(*d),
            },
            Repr::Big(big) => Big::clone(big),
        }
    }

    /// The canonical form of `n`/`d`; `d` is not zero.
    fn pack(mut n: [i128; 4], mut d: i128) -> Surd {
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
    fn pack_big(mut n: [BigInt; 4], mut d: BigInt) -> Surd {
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
    fn short_ratio(&self) -> Option<(i64, i64)> {
        match self.0 {
            Repr::Small { n: [n, 0, 0, 0], d } if n.unsigned_abs() < 1 << 30 && d < 1 << 30 => {
                Some((n, d))
            }
            _ => None,
        }
    }

    /// The canonical form of `n`/`d` for machine words within [`LIMIT`]; `d` is positive.
    fn pack_ratio(n: i64, d: i64) -> Surd {
        let twos = n.trailing_zeros().min(d.trailing_zeros());
        let (n, d) = (n >> twos, d >> twos);
        let common = if d & (d - 1) == 0 { 1 } else { d.gcd(&(n % d)) };
        if common == 1 {
            return Surd::small([n, 0, 0, 0], d);
        }
        Surd::small([n / common, 0, 0, 0], d / common)
    }

    fn plus(&self, other: &Surd, negate: bool) -> Surd {
        if let (Some((a, da)), Some((b, db))) = (self.short_ratio(), other.short_ratio()) {
            let b = if negate { -b } else { b };
            return if da == db {
                Surd::pack_ratio(a + b, da)
            } else {
                Surd::pack_ratio(a * db + b * da, da * db)
            };
        }
        if let (Repr::Small { n: a, d: da }, Repr::Small { n: b, d: db }) = (&self.0, &other.0) {
            let b = if negate {
                b.map(|part| -i128::from(part))
            } else {
                b.map(i128::from)
            };
            if da == db {
                return Surd::pack(
                    std::array::from_fn(|i| i128::from(a[i]) + b[i]),
                    (*da).into(),
                );
            }
            let common = da.gcd(db);
            let (up, over) = (i128::from(db / common), i128::from(da / common));
            let n = std::array::from_fn(|i| i128::from(a[i]) * up + b[i] * over);
            return Surd::pack(n, i128::from(*da) * up);
        }
        let (a, b) = (self.to_big(), other.to_big());
        let n = std::array::from_fn(|i| {
            let (left, right) = (&a.n[i] * &b.d, &b.n[i] * &a.d);
            if negate { left - right } else { left + right }
        });
        Surd::pack_big(n, a.d * b.d)
    }

    fn product(&self, other: &Surd) -> Surd {
        if let (Some((a, da)), Some((b, db))) = (self.short_ratio(), other.short_ratio()) {
            return Surd::pack_ratio(a * b, da * db);
        }
        if let (Repr::Small { n: a, d: da }, Repr::Small { n: b, d: db }) = (&self.0, &other.0) {
            let m = |i: usize, j: usize| i128::from(a[i]) * i128::from(b[j]);
            let n = [
                m(0, 0) + 2 * m(1, 1) + 3 * m(2, 2) + 6 * m(3, 3),
                m(0, 1) + m(1, 0) + 3 * (m(2, 3) + m(3, 2)),
                m(0, 2) + m(2, 0) + 2 * (m(1, 3) + m(3, 1)),
                m(0, 3) + m(3, 0) + m(1, 2) + m(2, 1),
            ];
            return Surd::pack(n, i128::from(*da) * i128::from(*db));
        }
        let (a, b) = (self.to_big(), other.to_big());
        let m = |i: usize, j: usize| &a.n[i] * &b.n[j];
        let n = [
            m(0, 0) + 2 * m(1, 1) + 3 * m(2, 2) + 6 * m(3, 3),
            m(0, 1) + m(1, 0) + 3 * (m(2, 3) + m(3, 2)),
            m(0, 2) + m(2, 0) + 2 * (m(1, 3) + m(3, 1)),
            m(0, 3) + m(3, 0) + m(1, 2) + m(2, 1),
        ];
        Surd::pack_big(n, a.d * b.d)
    }

    fn negated(&self) -> Surd {
        match &self.0 {
            Repr::Small { n, d } => Surd::small(n.map(|part| -part), *d),
            Repr::Big(big) => Surd(Repr::Big(Box::new(Big {
                n: big.n.each_ref().map(|part| -part),
                d: big.d.clone(),
            }))),
        }
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

fn is_power_of_two(d: i128) -> bool {
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

/// The reciprocal in 128-bit integers, or `None` if they do not suffice. `n` is not all zero.
fn small_recip(n: [i128; 4], d: i128) -> Option<Surd> {
    let [a, b, c, e] = n;
    // With a single root r the conjugate a − b·r is enough, and keeps the numbers small.
    let single = match (b != 0, c != 0, e != 0) {
        (false, false, false) => return Some(Surd::pack([d, 0, 0, 0], a)),
        (true, false, false) => Some((b, 1)),
        (false, true, false) => Some((c, 2)),
        (false, false, true) => Some((e, 3)),
        _ => None,
    };
    if let Some((part, place)) = single {
        let norm = a * a - i128::from(SQUARES[place]) * part * part;
        let mut conjugate = [a * d, 0, 0, 0];
        conjugate[place] = -part * d;
        return Some(Surd::pack(conjugate, norm));
    }
    let p = a * a + 2 * b * b - 3 * c * c - 6 * e * e;
    let q = 2 * a * b - 6 * c * e;
    let norm = p
        .checked_mul(p)?
        .checked_sub(q.checked_mul(q)?.checked_mul(2)?)?;
    let part = |x: i128, y: i128, factor: i128| -> Option<i128> {
        let left = x.checked_mul(p)?;
        left.checked_sub(y.checked_mul(factor)?.checked_mul(q)?)?
            .checked_mul(d)
    };
    let n = [
        part(a, b, 2)?,
        part(b, a, 1)?,
        part(-c, -e, 2)?,
        part(-e, -c, 1)?,
    ];
    // `pack` turns signs round; the least i128 has no opposite.
    if norm == i128::MIN || n.contains(&i128::MIN) {
        return None;
    }
    Some(Surd::pack(n, norm))
}

/// Sign of a + b√2 + c√3 + d√6 for numbers within [`LIMIT`].
fn small_sign(n: [i128; 4]) -> Ordering {
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
fn big_sign(n: &[BigInt; 4]) -> Ordering {
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

macro_rules! operator {
    ($trait:ident, $method:ident, $of:expr) => {
        impl std::ops::$trait<&Surd> for &Surd {
            type Output = Surd;
            fn $method(self, other: &Surd) -> Surd {
                let of: fn(&Surd, &Surd) -> Surd = $of;
                of(self, other)
            }
        }
        impl std::ops::$trait<Surd> for &Surd {
            type Output = Surd;
            fn $method(self, other: Surd) -> Surd {
                std::ops::$trait::$method(self, &other)
            }
        }
        impl std::ops::$trait<&Surd> for Surd {
            type Output = Surd;
            fn $method(self, other: &Surd) -> Surd {
                std::ops::$trait::$method(&self, other)
            }
        }
        impl std::ops::$trait<Surd> for Surd {
            type Output = Surd;
            fn $method(self, other: Surd) -> Surd {
                std::ops::$trait::$method(&self, &other)
            }
        }
    };
}

operator!(Add, add, |a, b| a.plus(b, false));
operator!(Sub, sub, |a, b| a.plus(b, true));
operator!(Mul, mul, |a, b| a.product(b));

impl std::ops::Neg for &Surd {
    type Output = Surd;
    fn neg(self) -> Surd {
        self.negated()
    }
}

impl std::ops::Neg for Surd {
    type Output = Surd;
    fn neg(self) -> Surd {
        self.negated()
    }
}

impl std::ops::AddAssign<&Surd> for Surd {
    fn add_assign(&mut self, other: &Surd) {
        *self = self.plus(other, false);
    }
}

impl std::ops::AddAssign for Surd {
    fn add_assign(&mut self, other: Surd) {
        *self = self.plus(&other, false);
    }
}

impl std::ops::SubAssign<&Surd> for Surd {
    fn sub_assign(&mut self, other: &Surd) {
        *self = self.plus(other, true);
    }
}

impl std::ops::SubAssign for Surd {
    fn sub_assign(&mut self, other: Surd) {
        *self = self.plus(&other, true);
    }
}

impl std::iter::Sum for Surd {
    fn sum<I: Iterator<Item = Surd>>(parts: I) -> Surd {
        parts.fold(Surd::ZERO, |sum, part| sum.plus(&part, false))
    }
}

impl<'a> std::iter::Sum<&'a Surd> for Surd {
    fn sum<I: Iterator<Item = &'a Surd>>(parts: I) -> Surd {
        parts.fold(Surd::ZERO, |sum, part| sum.plus(part, false))
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
