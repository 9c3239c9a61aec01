//! Exact numbers as a maker would write them.

use geometry::Surd;
use quilt::measure::Measure;

/// Most decimals written; beyond that a fraction is shorter.
const DECIMALS: u32 = 6;

/// A length of so many inches, in the unit of the file: `4 7/8`, `0.75`, `4√3`.
pub(super) fn length(measure: Measure, inches: &Surd) -> String {
    let cm = measure == Measure::Centimetre;
    let value = if cm {
        inches * &Surd::ratio(127, 50)
    } else {
        inches.clone()
    };
    number(&value, cm)
}

/// A number with a blank between its whole and its fraction: `4 7/8`.
///
/// - `decimal`: whether a decimal is liked better than a fraction.
pub(super) fn number(value: &Surd, decimal: bool) -> String {
    let Some((n, d)) = value.as_ratio() else {
        return value.to_string();
    };
    if d == 1 {
        return n.to_string();
    }
    if let Some(text) = decimals(n, d).filter(|_| decimal || !marks(d)) {
        return text;
    }
    let sign = if n < 0 { "-" } else { "" };
    let (whole, part) = (
        n.unsigned_abs() / d.unsigned_abs(),
        n.unsigned_abs() % d.unsigned_abs(),
    );
    if whole == 0 {
        format!("{sign}{part}/{d}")
    } else {
        format!("{sign}{whole} {part}/{d}")
    }
}

/// A number without any blank, for places where a blank divides: `39/8`, `4-2√2`.
pub(super) fn tight(value: &Surd) -> String {
    match value.as_ratio() {
        Some((n, d)) if d != 1 => decimals(n, d)
            .filter(|_| !marks(d))
            .unwrap_or_else(|| format!("{n}/{d}")),
        _ => value.to_string().replace(' ', ""),
    }
}

/// Whether this is a division of an inch as rulers have it.
fn marks(d: i64) -> bool {
    d <= 64 && 64 % d == 0
}

/// A fraction as a decimal, if that is exact and short.
fn decimals(n: i64, d: i64) -> Option<String> {
    let (places, tens) = (1..=DECIMALS)
        .map(|p| (p, 10_i64.pow(p)))
        .find(|(_, t)| t % d == 0)?;
    let scaled = n.checked_mul(tens / d)?;
    let sign = if scaled < 0 { "-" } else { "" };
    let (whole, part) = (
        scaled.unsigned_abs() / tens.unsigned_abs(),
        scaled.unsigned_abs() % tens.unsigned_abs(),
    );
    let width = usize::try_from(places).ok()?;
    Some(format!("{sign}{whole}.{part:0width$}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number as read;

    #[test]
    fn numbers_are_written_as_makers_write_them() {
        let inch = |n, d| length(Measure::Inch, &Surd::ratio(n, d));
        assert_eq!(inch(39, 8), "4 7/8");
        assert_eq!(inch(-1, 2), "-1/2");
        assert_eq!(inch(12, 1), "12");
        assert_eq!(inch(1, 10), "0.1");
        assert_eq!(inch(22, 7), "3 1/7");
        let cm = |n, d| {
            length(
                Measure::Centimetre,
                &Measure::Centimetre.inches(&Surd::ratio(n, d)),
            )
        };
        assert_eq!(cm(3, 4), "0.75");
        assert_eq!(cm(30, 1), "30");
        assert_eq!(cm(1, 3), "1/3");
        assert_eq!(tight(&Surd::ratio(39, 8)), "39/8");
        assert_eq!(tight(&(Surd::int(4) - Surd::root2().times(2))), "4-2√2");
    }

    #[test]
    fn what_is_written_reads_the_same() {
        for n in -40..=40_i64 {
            for d in [1, 2, 3, 5, 7, 8, 10, 64, 100, 127, 1000] {
                for value in [Surd::ratio(n, d), Surd::ratio(n, d) + Surd::root6().over(d)] {
                    assert_eq!(read(&number(&value, false)).as_ref(), Ok(&value));
                    assert_eq!(read(&number(&value, true)).as_ref(), Ok(&value));
                    assert_eq!(read(&tight(&value)).as_ref(), Ok(&value));
                }
            }
        }
    }
}
