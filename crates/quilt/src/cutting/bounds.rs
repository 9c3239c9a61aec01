//! How little cloth could do: lengths that no plan of strips can beat.
//!
//! Three arguments, each valid for every way of grouping and (where allowed) turning the
//! pieces, and the best of them counts:
//!
//! * **area**: the strips together must hold the area of what is cut from them;
//! * **levels**: lay the pieces end to end by falling height. The strips `1 … k` hold at
//!   most `k·W` of width, so some piece among those up to and including the one at `k·W`
//!   lies in a later strip: the `(k + 1)`-th tallest strip is at least as tall as the
//!   piece found there. Add up the heights found at 0, W, 2W, …;
//! * **one kind alone**: pieces of one kind need as many strips as they fill.
//!
//! Both the first two are tried with widths bent so that what fits together still fits
//! (dual feasible functions): a piece wider than half the cloth fills a strip, small ones
//! may be left out, and a width may be counted as the share `1⁄k` of which no more than
//! `k` go into a strip.
//!
//! A piece that may be turned counts with the lesser of its sides both as height and as
//! width; a piece of a run with the cloth it takes in the longest run.
//!
//! **Units.** Marks; widths in marks ÷ [`FINE`], rounded down. Whole numbers throughout.
//!
//! # Source
//!
//! The level bound is of the kind in "Models and bounds for two-dimensional level packing
//! problems", Journal of Combinatorial Optimization (2004); bending widths follows "A
//! general framework for bounds for higher-dimensional orthogonal packing problems",
//! arXiv cs/0402044. The proof above is our own.

use super::packing::Item;
use super::ways::FINE;

/// Shares of the cloth's width tried: 1⁄1 to 1⁄k.
const SHARES: i64 = 40;

/// A bound and the argument that proves it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Bound {
    /// Marks.
    pub(super) least: i64,
    /// In words.
    pub(super) why: &'static str,
}

impl Bound {
    /// A bound found by the search.
    pub(super) fn better(&mut self, least: i64) {
        if least > self.least {
            self.least = least;
            self.why = "what the best filled strips can hold";
        }
    }
}

/// So many pieces alike.
#[derive(Clone, Copy, Debug)]
struct Row {
    height: i64,
    /// Marks ÷ [`FINE`].
    width: i64,
    /// Height × width of a piece the way it takes least, marks² ÷ [`FINE`].
    area: i64,
    count: i64,
}

/// A length that no plan of strips across `across` marks of cloth can go below.
///
/// `lengthwise`: width and length of the strips cut along the selvage first; beside them
/// strips are shorter than the cloth is wide, so only areas count.
pub(super) fn least(items: &[Item], lengthwise: &[(i64, i64)], across: i64) -> Bound {
    let mut rows: Vec<Row> = items.iter().map(row).collect();
    rows.sort_by_key(|row| (-row.height, -row.width));
    let tallest = rows
        .iter()
        .map(|row| row.height)
        .chain(lengthwise.iter().map(|s| s.1))
        .max();
    let mut best = Bound {
        least: tallest.unwrap_or_default(),
        why: "the longest piece",
    };
    let mut offer = |least: i64, why: &'static str| {
        if least > best.least {
            best = Bound { least, why };
        }
    };
    let panels: i64 = lengthwise
        .iter()
        .map(|(width, length)| width * length * FINE)
        .sum();
    let area = rows.iter().map(|row| row.area * row.count).sum::<i64>() + panels;
    offer(ceiling(area, across * FINE), "the area of the pieces");
    if lengthwise.is_empty() {
        for item in items {
            offer(alone(item), "the strips one kind of piece fills");
        }
        for bend in Bend::all(&rows, across) {
            offer(
                bend.area(&rows),
                "the area of the pieces, each with the share of a strip it blocks",
            );
            offer(
                bend.levels(&rows),
                "the heights of the strips there must be",
            );
        }
    }
    best
}

fn row(item: &Item) -> Row {
    let least =
        |value: fn(&super::ways::Way) -> i64| item.ways.iter().map(value).min().unwrap_or_default();
    let row = Row {
        height: least(|way| way.height),
        width: least(|way| way.advance),
        area: least(|way| way.height * way.advance),
        count: i64::from(item.count),
    };
    if item.divisible {
        // A joined strip may be made of any lengths: count it mark by mark.
        let marks = item.ways.first().map_or(0, |way| way.takes(1));
        Row {
            width: FINE,
            area: row.height * FINE,
            count: row.count * marks,
            ..row
        }
    } else {
        row
    }
}

/// The strips that pieces of one kind fill by themselves.
fn alone(item: &Item) -> i64 {
    let [way] = item.ways.as_slice() else {
        return 0;
    };
    let most = way.reach.len() as i64;
    if most == 0 || item.divisible {
        0
    } else {
        ceiling(i64::from(item.count), most) * way.height
    }
}

fn ceiling(a: i64, b: i64) -> i64 {
    if b > 0 {
        a.div_euclid(b) + i64::from(a.rem_euclid(b) > 0)
    } else {
        0
    }
}

/// A way of bending widths.
#[derive(Clone, Copy, Debug)]
struct Bend {
    across: i64,
    kind: BendKind,
}

#[derive(Clone, Copy, Debug)]
enum BendKind {
    /// Widths below the threshold vanish; those above `W` less the threshold fill a strip.
    Threshold(i64),
    /// Widths in shares `1⁄k`, rounded down after a stretch by `(k + 1)⁄k`.
    Share(i64),
}

impl Bend {
    fn all(rows: &[Row], across: i64) -> Vec<Self> {
        let across = across * FINE;
        let mut thresholds: Vec<i64> = rows
            .iter()
            .map(|row| row.width)
            .filter(|width| 2 * width <= across)
            .collect();
        thresholds.push(0);
        thresholds.push(across / 2);
        thresholds.sort_unstable();
        thresholds.dedup();
        let thresholds = thresholds.into_iter().map(BendKind::Threshold);
        let shares = (1..=SHARES).map(BendKind::Share);
        thresholds
            .chain(shares)
            .map(|kind| Self { across, kind })
            .collect()
    }

    /// The bent width, in parts of which [`Self::full`] make a strip.
    fn width(&self, width: i64) -> i64 {
        match self.kind {
            BendKind::Threshold(least) if width > self.across - least => self.across,
            BendKind::Threshold(least) if width < least => 0,
            BendKind::Threshold(_) => width,
            BendKind::Share(k) => {
                let stretched = (k + 1) * width;
                let share = stretched / self.across;
                if stretched % self.across == 0 {
                    share * k
                } else {
                    share * (k + 1)
                }
            }
        }
    }

    fn full(&self) -> i64 {
        match self.kind {
            BendKind::Threshold(_) => self.across,
            BendKind::Share(k) => k * (k + 1),
        }
    }

    fn area(&self, rows: &[Row]) -> i64 {
        let area: i128 = rows
            .iter()
            .map(|row| i128::from(row.height) * i128::from(self.width(row.width) * row.count))
            .sum();
        let full = i128::from(self.full());
        i64::try_from((area + full - 1) / full).unwrap_or_default()
    }

    /// `rows` by falling height.
    fn levels(&self, rows: &[Row]) -> i64 {
        let full = self.full();
        let (mut laid, mut found) = (0, 0);
        let mut total = 0;
        for row in rows {
            laid += self.width(row.width) * row.count;
            // Positions 0, W, 2W, … before the end of what is laid so far.
            let strips = ceiling(laid, full);
            total += (strips - found) * row.height;
            found = strips;
        }
        total
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cutting::kinds::Split;
    use crate::cutting::ways::Way;

    fn item(height: i64, width: i64, count: u32, turns: bool, across: i64) -> Item {
        let mut ways = vec![Way::slab(height, width, Split::Whole, across)];
        if turns {
            ways.push(Way::slab(width, height, Split::Whole, across));
        }
        Item {
            demand: 0,
            ways,
            count,
            first: false,
            divisible: false,
        }
    }

    #[test]
    fn a_single_size_needs_the_strips_it_fills() {
        // 8 1/2 in squares on 40 in: four to a strip; the area alone would allow more.
        for count in 1..40 {
            let bound = least(&[item(68, 68, count, false, 320)], &[], 320);
            assert_eq!(
                bound.least,
                68 * i64::from(count.div_ceil(4)),
                "{count} squares"
            );
        }
    }

    #[test]
    fn wide_pieces_need_a_strip_each_whatever_lies_beside_them() {
        let bound = least(
            &[item(20, 170, 6, false, 320), item(20, 180, 5, false, 320)],
            &[],
            320,
        );
        assert_eq!(
            bound.least,
            11 * 20,
            "two pieces over half the width never share"
        );
    }

    #[test]
    fn strips_along_the_selvage_count_by_area_and_length() {
        let bound = least(&[], &[(52, 640), (52, 576)], 320);
        assert_eq!((bound.least, bound.why), (640, "the longest piece"));
    }
}
