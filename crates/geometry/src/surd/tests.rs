//! Laws of exact numbers, over every representation.

use std::cmp::Ordering;

use num_bigint::BigInt;
use num_traits::{Signed, ToPrimitive, Zero};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use super::size::{big_sign, small_sign};
use super::{Big, Repr, Surd};

fn surd(n: [i64; 4], d: i64) -> Surd {
    Surd::pack(n.map(i128::from), i128::from(d))
}

fn is_big(x: &Surd) -> bool {
    matches!(x.0, Repr::Big(_))
}

#[test]
fn written_form() {
    for (value, text) in [
        (Surd::ZERO, "0"),
        (Surd::int(-7), "-7"),
        (Surd::ratio(6, -8), "-3/4"),
        (-Surd::root3(), "-√3"),
        (Surd::root2().half(), "√2/2"),
        (Surd::root2().times(-3).over(4), "-3√2/4"),
        (Surd::ratio(3, 4) + Surd::root2().times(2), "3/4 + 2√2"),
        (
            Surd::ONE - Surd::root6() + Surd::root3().over(5),
            "1 + √3/5 - √6",
        ),
        (Surd::int(i64::MAX) * Surd::TWO, "18446744073709551614"),
    ] {
        assert_eq!(value.to_string(), text);
    }
}

#[test]
fn whole_numbers_next_to_it() {
    let tiny = Surd::ratio(1, 1 << 40) * Surd::ratio(1, 1 << 40);
    let far = Surd::int(i64::MAX) * Surd::int(i64::MAX);
    for (value, floor, ceil, nearest) in [
        (Surd::ZERO, 0, 0, 0),
        (Surd::ratio(1, 2), 0, 1, 1),
        (Surd::ratio(-1, 2), -1, 0, 0),
        (Surd::ratio(-3, 2), -2, -1, -1),
        (Surd::root2(), 1, 2, 1),
        (-Surd::root2(), -2, -1, -1),
        (Surd::root6().times(1000), 2449, 2450, 2449),
        (Surd::int(5) - &tiny, 4, 5, 5),
        (Surd::int(5) + &tiny, 5, 6, 5),
        (Surd::ratio(1, 2) - &tiny, 0, 1, 0),
        (Surd::int(i64::MAX), i64::MAX, i64::MAX, i64::MAX),
        (Surd::int(i64::MIN), i64::MIN, i64::MIN, i64::MIN),
        (far.clone(), i64::MAX, i64::MAX, i64::MAX),
        (-&far, i64::MIN, i64::MIN, i64::MIN),
        (
            &far * Surd::root3() - &far * Surd::root3() + Surd::int(3),
            3,
            3,
            3,
        ),
    ] {
        assert_eq!(value.floor(), floor, "floor of {value}");
        assert_eq!(value.ceil(), ceil, "ceil of {value}");
        assert_eq!(value.round_nearest(), nearest, "nearest to {value}");
    }
}

/// (√2 − 1)ⁿ = aₙ − bₙ√2 with whole a, b that grow as fast as the value shrinks: nothing but exact
/// work tells it from zero.
#[test]
fn cancellation_is_seen_through() {
    let step = Surd::root2() - Surd::ONE;
    let mut power = Surd::ONE;
    for n in 1..=200 {
        power = &power * &step;
        assert_eq!(power.sign(), Ordering::Greater, "power {n}");
        assert_eq!((power.floor(), power.ceil()), (0, 1), "power {n}");
        assert_eq!((-&power).floor(), -1);
        let expected = (2f64.sqrt() - 1.0).powi(n);
        assert!(
            (power.to_f64() / expected - 1.0).abs() < 1e-12,
            "power {n}: {}",
            power.to_f64()
        );
    }
    assert!(is_big(&power));
    let back = power.recip().unwrap() * &power;
    assert_eq!(back, Surd::ONE);
    assert!(!is_big(&back));
}

/// Smallest values of whole-number combinations up to M, found by trying all; they keep clear of the
/// bound 1/((1 + √2 + √3 + √6)·M)³ that follows from the norm being a whole number.
#[test]
fn separation() {
    for (most, measured) in [(3, 0.0146), (6, 0.00141), (10, 0.00035)] {
        let mut least = f64::INFINITY;
        for a in -most..=most {
            for b in -most..=most {
                for c in -most..=most {
                    for d in -most..=most {
                        let value = surd([a, b, c, d], 1);
                        let float = value.to_f64();
                        let parts = [a, b, c, d].map(i128::from);
                        let expected = float.total_cmp(&0.0);
                        let expected = if float == 0.0 {
                            Ordering::Equal
                        } else {
                            expected
                        };
                        assert_eq!(small_sign(parts), expected, "{value}");
                        if !value.is_zero() {
                            least = least.min(float.abs());
                        }
                    }
                }
            }
        }
        assert!((least / measured - 1.0).abs() < 0.02, "M = {most}: {least}");
        assert!(least > 1.0 / (6.60 * most as f64).powi(3));
    }
}

#[test]
fn division_by_nothing() {
    assert_eq!(Surd::ZERO.recip(), None);
    assert_eq!(Surd::ONE.checked_div(&Surd::ZERO), None);
    assert_eq!(Surd::try_ratio(1, 0), None);
    assert_eq!(Surd::try_ratio(1, -2), Some(Surd::ratio(-1, 2)));
}

#[test]
fn ratios_come_back() {
    assert_eq!(Surd::ratio(10, -4).as_ratio(), Some((-5, 2)));
    assert_eq!(Surd::root2().as_ratio(), None);
    assert_eq!((Surd::root2() * Surd::root2()).as_ratio(), Some((2, 1)));
    assert_eq!((Surd::root2() * Surd::root3()), Surd::root6());
}

/// Numbers of every size: everyday ones, at the edge of machine words, and far beyond.
fn any_surd() -> impl Strategy<Value = Surd> {
    let short = (prop::array::uniform4(-40_i64..=40), 1_i64..=48).prop_map(|(n, d)| surd(n, d));
    let dyadic = (-500_i64..=500, 0_u32..6).prop_map(|(n, k)| Surd::ratio(n, 1 << k));
    let edge =
        (prop::array::uniform4(any::<i64>()), 1_i64..=i64::MAX).prop_map(|(n, d)| surd(n, d));
    let huge = (
        prop::array::uniform4(any::<i64>()),
        any::<i64>(),
        1_i64..=i64::MAX,
    )
        .prop_map(|(n, factor, d)| surd(n, d) * Surd::int(factor) * Surd::int(i64::MAX));
    prop_oneof![4 => short, 2 => dyadic, 2 => edge, 1 => huge]
}

/// A prime that is 1 modulo 24, so that 2 and 3 (and 6) have square roots modulo it; and those roots.
const PRIME: i64 = 2_147_483_497;
const ROOT_2: i64 = 974_023_842;
const ROOT_3: i64 = 95_134_852;

/// The image of a number modulo the prime: an independent calculator for sums and products.
fn image(x: &Surd) -> Option<BigInt> {
    let Big { n, d } = x.to_big();
    let prime = BigInt::from(PRIME);
    let roots = [1, ROOT_2, ROOT_3, ROOT_2 * ROOT_3 % PRIME];
    let top: BigInt = n.iter().zip(roots).map(|(part, root)| part * root).sum();
    let fermat = d.modpow(&(&prime - 2), &prime);
    (!(&d % &prime).is_zero()).then(|| modulo(top * fermat))
}

fn modulo(x: BigInt) -> BigInt {
    let rest: BigInt = x % PRIME;
    if rest.is_negative() {
        rest + PRIME
    } else {
        rest
    }
}

fn is_canonical(x: &Surd) -> bool {
    let again = x.to_big();
    Surd::pack_big(again.n.clone(), again.d.clone()) == *x
        && Surd::pack_big(again.n.map(|part| part * 6), again.d * 6) == *x
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 600, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..Default::default()
    })]

    #[test]
    fn field_laws(a in any_surd(), b in any_surd(), c in any_surd()) {
        prop_assert_eq!(&a + &b, &b + &a);
        prop_assert_eq!(&a * &b, &b * &a);
        prop_assert_eq!((&a + &b) + &c, &a + (&b + &c));
        prop_assert_eq!((&a * &b) * &c, &a * (&b * &c));
        prop_assert_eq!(&a * (&b + &c), &a * &b + &a * &c);
        prop_assert_eq!(&a - &a, Surd::ZERO);
        prop_assert_eq!(&a + (-&a), Surd::ZERO);
        prop_assert_eq!(&a * Surd::ONE, a.clone());
        match a.recip() {
            Some(r) => prop_assert_eq!(&a * &r, Surd::ONE),
            None => prop_assert!(a.is_zero()),
        }
        for x in [&a + &b, &a - &b, &a * &b, a.half(), a.over(-35)] {
            prop_assert!(is_canonical(&x), "{}", x);
        }
    }

    #[test]
    fn agrees_with_arithmetic_modulo_a_prime(a in any_surd(), b in any_surd()) {
        if let (Some(p), Some(q)) = (image(&a), image(&b)) {
            prop_assert_eq!(image(&(&a + &b)), Some(modulo(&p + &q)));
            prop_assert_eq!(image(&(&a - &b)), Some(modulo(&p - &q)));
            prop_assert_eq!(image(&(&a * &b)), Some(modulo(&p * &q)));
            if let Some(r) = a.recip().as_ref().and_then(image) {
                prop_assert_eq!(modulo(r * p), BigInt::from(1));
            }
        }
    }

    #[test]
    fn order(a in any_surd(), b in any_surd(), c in any_surd()) {
        prop_assert_eq!(a.cmp(&b), b.cmp(&a).reverse());
        prop_assert_eq!(a.cmp(&b), (&a - &b).sign());
        prop_assert_eq!(a.cmp(&b), big_sign(&(&a - &b).to_big().n));
        prop_assert_eq!(a.cmp(&b), (&a + &c).cmp(&(&b + &c)));
        if a <= b && b <= c {
            prop_assert!(a <= c);
        }
        prop_assert_eq!((&a * &b).sign() as i8, a.sign() as i8 * b.sign() as i8);
        prop_assert!(!(-a.abs()).is_positive());
    }

    #[test]
    fn whole_parts(a in any_surd()) {
        let floor = a.floor();
        if floor > i64::MIN && floor < i64::MAX {
            prop_assert!(Surd::int(floor) <= a && a < Surd::int(floor + 1));
            let ceil = a.ceil();
            prop_assert!(Surd::int(ceil - 1) < a && a <= Surd::int(ceil));
            prop_assert!((Surd::int(a.round_nearest()) - &a).abs() <= Surd::ratio(1, 2));
        }
    }

    #[test]
    fn floats(a in any_surd(), b in any_surd()) {
        let near = |x: f64, y: f64, size: f64| (x - y).abs() <= 1e-12 * size.max(f64::MIN_POSITIVE);
        let (x, y) = (a.to_f64(), b.to_f64());
        prop_assert!(near((&a + &b).to_f64(), x + y, x.abs() + y.abs()));
        prop_assert!(near((&a * &b).to_f64(), x * y, (x * y).abs()));
        let (value, error) = a.approx();
        prop_assert!((value - x).abs() <= error * 1.01, "{} {} {}", value, x, error);
        if let Some((n, d)) = a.as_ratio() {
            prop_assert!(near(x, n as f64 / d as f64, x.abs()));
            prop_assert_eq!(a.to_big().n[0].to_i64(), Some(n));
        }
    }
}
