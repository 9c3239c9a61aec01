//! The sums of a setting, without laying it out.
//!
//! Counts and sizes as a maker works them out on paper; the layout itself is checked
//! against them. All sizes are finished sizes, exact inches.
//!
//! ```text
//!   straight, m across, n down, block B, sash s
//!     sashing all round   size  m·B + (m+1)·s     sashes (m+1)·n + m·(n+1)   posts (m+1)(n+1)
//!     only between        size  m·B + (m−1)·s     sashes (m−1)·n + m·(n−1)   posts (m−1)(n−1)
//!   on point
//!     blocks  m·n + (m−1)(n−1)     size  m·D by n·D,  D = (B + s)·√2
//!     side triangles  2(m−1) + 2(n−1)             corner triangles  4
//! ```
//!
//! Source: common practice of the trade; held against the published examples in
//! `fixtures/handbook/sashing.csv` and `on-point.csv`.

use geometry::Surd;

/// How many sashes and posts a straight setting of one size of block takes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SashCount {
    /// Sashes as long as a block.
    pub sashes: u64,
    /// Posts where they meet.
    pub posts: u64,
}

/// Sashes and posts for blocks `across` by `down`, both at least 1; `outside` tells
/// whether sashing runs round the outside too.
#[must_use]
pub fn sash_count(across: u32, down: u32, outside: bool) -> SashCount {
    let (m, n) = (u64::from(across), u64::from(down));
    let lines = |blocks: u64| {
        if outside {
            blocks + 1
        } else {
            blocks.saturating_sub(1)
        }
    };
    SashCount {
        sashes: lines(m) * n + m * lines(n),
        posts: lines(m) * lines(n),
    }
}

/// Finished length of a row of blocks of these sizes with sashes of width `sash` between
/// them, and at both ends if `outside`.
#[must_use]
pub fn row_length<'a>(
    blocks: impl ExactSizeIterator<Item = &'a Surd>,
    sash: &Surd,
    outside: bool,
) -> Surd {
    let count = blocks.len() as i64;
    let sashes = if outside {
        count + 1
    } else {
        (count - 1).max(0)
    };
    blocks.cloned().sum::<Surd>() + sash.times(sashes)
}

/// How many blocks stand in an on-point setting: the main ones and those between.
#[must_use]
pub fn on_point_blocks(across: u32, down: u32) -> (u64, u64) {
    let (m, n) = (u64::from(across), u64::from(down));
    (m * n, m.saturating_sub(1) * n.saturating_sub(1))
}

/// How many side triangles an on-point setting takes; corners are always four.
#[must_use]
pub fn side_triangles(across: u32, down: u32) -> u64 {
    let lines = |count: u32| u64::from(count).saturating_sub(1);
    2 * lines(across) + 2 * lines(down)
}

/// The diagonal of a block with its sashing, `(block + sash)·√2`: the room one takes
/// across and down when it stands on point.
#[must_use]
pub fn diagonal(block: &Surd, sash: &Surd) -> Surd {
    (block + sash) * Surd::root2()
}

/// Finished long side of the side triangles of an on-point setting whose blocks float
/// `float` inside the edge: `B·√2 + 2·float`.
///
/// It is the same with sashing, which runs between the triangle and the blocks.
#[must_use]
pub fn side_triangle_long_side(block: &Surd, float: &Surd) -> Surd {
    block * &Surd::root2() + float.times(2)
}

/// Finished short side of the corner triangles, `B⁄√2 + 2·float`.
#[must_use]
pub fn corner_triangle_leg(block: &Surd, float: &Surd) -> Surd {
    block * &Surd::root2().half() + float.times(2)
}

/// How often a unit or motif of length `unit` goes into `length`, and what pitch makes
/// that many fill it exactly: `(repeats, length ÷ repeats)`. `None` if it does not fit
/// once or `unit` is not greater than zero.
///
/// For pieced borders (units that must fill a side) and for quilted border motifs
/// (motif and spacing together).
#[must_use]
pub fn repeats(length: &Surd, unit: &Surd) -> Option<(i64, Surd)> {
    if !unit.is_positive() {
        return None;
    }
    let count = length.checked_div(unit)?.floor();
    (count > 0).then(|| (count, length.over(count)))
}

/// The width of a plain ring that brings a centre from size `have` to size `want`:
/// half the difference on each side.
#[must_use]
pub fn spacer_ring(have: &Surd, want: &Surd) -> Surd {
    (want - have).half()
}

/// The widest sash that still looks right beside a block, by two rules of thumb: a quarter
/// of the block, and a quarter of the block in the golden ratio (block × 1.618 ÷ 4).
///
/// Sources: "Sashing and Cornerstone Measurements", About.com quilting guide; "Yardage II:
/// sashing and setting", a guild officer's blog.
#[must_use]
pub fn widest_sash(block: &Surd) -> [Surd; 2] {
    [block.over(4), block * &Surd::ratio(1_618, 4_000)]
}
