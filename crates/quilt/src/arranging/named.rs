//! The trade's names for settings of a block with two halves, light and dark.
//!
//! The names are those of log cabin quilts (common practice): straight furrow, sunshine
//! and shadow, streak of lightning, barn raising.

use super::motif::Motif;

/// How much darker one half must be than the other to be seen from across a room, in
/// steps of L*. Our choice.
const DARKER: f64 = 15.0;

/// How far the run from light to dark may lean from the diagonal: its share across the
/// diagonal of its share along it. Our choice.
const LEAN: f64 = 0.35;

/// The dark corner of a square block with two halves: 0 top left, 1 top right, 2 bottom
/// right, 3 bottom left. `None` if no half is clearly darker, or the halves do not meet
/// along a diagonal.
///
/// `patches` have their area, the middle of their area as shares of the block from its
/// own middle (−½ to ½), and their lightness L*.
pub(super) fn dark_corner(patches: &[(f64, [f64; 2], f64)]) -> Option<u8> {
    let all: f64 = patches.iter().map(|p| p.0).sum();
    if all <= 0.0 {
        return None;
    }
    let mean = patches.iter().map(|p| p.0 * p.2).sum::<f64>() / all;
    let sum = |axis: usize| {
        let parts = patches.iter().map(|p| p.0 * (p.2 - mean) * p.1[axis]);
        parts.sum::<f64>() / all
    };
    let [x, y] = [sum(0), sum(1)];
    // Halves that differ by d have their middles √2/6 of the side from the diagonal, so
    // that the sums are d/12 each way.
    let along = (x.abs() + y.abs()) / 2.0;
    let across = (x.abs() - y.abs()).abs() / 2.0;
    if along * 12.0 < DARKER || across > LEAN * along {
        return None;
    }
    Some(match (x < 0.0, y < 0.0) {
        (false, false) => 0,
        (true, false) => 1,
        (true, true) => 2,
        (false, true) => 3,
    })
}

/// Dark corners in rings about the middle of the top, turn about towards it and away.
fn in_rings(rows: usize, columns: usize, flip: usize, r: usize, c: usize) -> u8 {
    let (y, x) = (r.min(rows - 1 - r), c.min(columns - 1 - c));
    let inward = (x + y + flip).is_multiple_of(2);
    match (2 * r < rows, 2 * c < columns, inward) {
        (true, true, true) | (false, false, false) => 2,
        (true, true, false) | (false, false, true) => 0,
        (true, false, true) | (false, true, false) => 3,
        (true, false, false) | (false, true, true) => 1,
    }
}

/// Whether rings about the middle can be told on this size of top.
fn rings_fit(rows: usize, columns: usize) -> bool {
    rows.is_multiple_of(2) && columns.is_multiple_of(2) && rows >= 4 && columns >= 4
}

/// A barn raising of this size, one of the two ways: its placements row by row. `None`
/// for a block without halves or for a size without a middle corner.
pub(super) fn barn_raising(
    motif: &Motif,
    (rows, columns): (usize, usize),
    way: usize,
) -> Option<Vec<u8>> {
    let dark = motif.dark.as_ref()?;
    let placed = |corner: u8| {
        let at = dark.iter().position(|d| *d == corner)?;
        u8::try_from(at).ok()
    };
    if !rings_fit(rows, columns) {
        return None;
    }
    (0..rows)
        .flat_map(|r| (0..columns).map(move |c| (r, c)))
        .map(|(r, c)| placed(in_rings(rows, columns, way, r, c)))
        .collect()
}

/// The trade's name for a setting of a block with two halves, light and dark.
///
/// `dark` gives the dark corner of the block in each row and column of the top: 0 top
/// left, 1 top right, 2 bottom right, 3 bottom left.
#[must_use]
pub fn trade_name(
    rows: usize,
    columns: usize,
    dark: impl Fn(usize, usize) -> u8,
) -> Option<&'static str> {
    let fits = |pattern: &dyn Fn(usize, usize) -> u8| {
        (0..rows).all(|r| (0..columns).all(|c| pattern(r, c) == dark(r, c)))
    };
    let turned = |repeat: [u8; 4]| {
        // Begun at any cell, turned any way, light for dark.
        (0..16).any(|way| {
            let (down, right, turn) = (way & 1, way >> 1 & 1, (way >> 2) as u8);
            fits(&|r, c| {
                let (y, x) = ((r + down) % 2, (c + right) % 2);
                let (y, x) = if turn % 2 == 1 { (x, 1 - y) } else { (y, x) };
                (repeat[2 * y + x] + 4 - turn) % 4
            })
        })
    };
    if rows < 2 || columns < 2 {
        return None;
    }
    let barn =
        |way: usize| rings_fit(rows, columns) && fits(&|r, c| in_rings(rows, columns, way, r, c));
    if turned([0, 2, 2, 0]) {
        Some("straight furrow")
    } else if turned([2, 3, 1, 0]) {
        Some("sunshine and shadow")
    } else if turned([2, 3, 0, 1]) {
        Some("streak of lightning")
    } else if barn(0) || barn(1) {
        Some("barn raising")
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::dark_corner;

    #[test]
    fn a_half_square_has_its_dark_corner_and_a_plain_or_upright_split_has_none() {
        let third = 1.0 / 6.0;
        let halves =
            |dark: f64, light: f64| [(0.5, [-third, -third], dark), (0.5, [third, third], light)];
        assert_eq!(dark_corner(&halves(30.0, 80.0)), Some(0));
        assert_eq!(dark_corner(&halves(80.0, 30.0)), Some(2));
        assert_eq!(dark_corner(&halves(50.0, 64.0)), None, "too near in value");
        assert_eq!(dark_corner(&halves(50.0, 66.0)), Some(0));
        let upright = [(0.5, [-0.25, 0.0], 30.0), (0.5, [0.25, 0.0], 80.0)];
        assert_eq!(dark_corner(&upright), None);
        assert_eq!(dark_corner(&[]), None);
    }
}
