//! The repeat of a print as the cutting table needs it: along the selvages and across.
//!
//! A print whose repeat lies aslant by more than a hair is not straightened here: cut by
//! the ruler it would run off, and the maker should see that.

use crate::measure::Measured;

/// Where the figures of a print lie: in rows from selvage to selvage.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Rows {
    /// From one repeat to the next in its row, inches.
    pub across: f64,
    /// From one row to the next, inches.
    pub along: f64,
    /// How far every other row is set over to the right, inches; less than `across`.
    pub offset: f64,
}

/// A step counts as level or plumb when it leaves the line by less than this share.
const STRAIGHT: f64 = 0.02;

/// Whole steps tried each way.
const MOST: i32 = 4;

impl Measured {
    /// The repeat across and down as a rectangle, inches, if the print lies straight: the
    /// smallest rectangle of whole steps. Stripes have a way in which any length will do;
    /// there it is an inch.
    #[must_use]
    pub fn upright_repeat(&self) -> Option<[f64; 2]> {
        let steps: Vec<[f64; 2]> = self.repeat.iter().filter_map(|step| step.inches).collect();
        match steps.as_slice() {
            [one] if level(*one) => Some([one[0].abs(), 1.0]),
            [one] if plumb(*one) => Some([1.0, one[1].abs()]),
            [a, b] => Some([least(*a, *b, 0)?, least(*a, *b, 1)?]),
            _ => None,
        }
    }

    /// The rows in which the repeats lie, if they lie straight and every other row is
    /// level with the first but for its place across.
    #[must_use]
    pub fn rows(&self) -> Option<Rows> {
        let steps: Vec<[f64; 2]> = self.repeat.iter().filter_map(|step| step.inches).collect();
        let [a, b] = steps.as_slice() else {
            return None;
        };
        let across = least(*a, *b, 0)?;
        let along = (a[0] * b[1] - a[1] * b[0]).abs() / across;
        // Two rows down lies a whole number of steps aside, or rows are set over further
        // and further.
        let next = combinations(*a, *b).find(|v| (v[1] / along - 1.0).abs() < 0.1)?;
        let share = next[0].rem_euclid(across) / across;
        let offset = match share {
            s if !(0.04..=0.96).contains(&s) => 0.0,
            s if (s - 0.5).abs() < 0.04 => across / 2.0,
            _ => return None,
        };
        Some(Rows {
            across,
            along,
            offset,
        })
    }
}

fn level(v: [f64; 2]) -> bool {
    v[1].abs() < STRAIGHT * v[0].abs()
}

fn plumb(v: [f64; 2]) -> bool {
    v[0].abs() < STRAIGHT * v[1].abs()
}

fn combinations(a: [f64; 2], b: [f64; 2]) -> impl Iterator<Item = [f64; 2]> {
    (-MOST..=MOST).flat_map(move |i| {
        (-MOST..=MOST).map(move |j| {
            let (i, j) = (f64::from(i), f64::from(j));
            [i * a[0] + j * b[0], i * a[1] + j * b[1]]
        })
    })
}

/// The shortest whole combination along one axis.
fn least(a: [f64; 2], b: [f64; 2], axis: usize) -> Option<f64> {
    let along = combinations(a, b).filter(|v| {
        let straight = if axis == 0 { level(*v) } else { plumb(*v) };
        v[axis] > 0.0 && straight
    });
    let shortest = along.map(|v| v[axis]).fold(f64::INFINITY, f64::min);
    shortest.is_finite().then_some(shortest)
}
