//! Sums, products and quotients, in machine integers while they suffice.

use num_integer::Integer;

use super::size::SQUARES;
use super::{Big, Repr, Surd};
use num_bigint::BigInt;

impl Surd {
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
