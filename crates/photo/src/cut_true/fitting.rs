//! How a finished patch lies in the piece of cloth that was cut for it.
//!
//! Pieces of one demand are alike, but they lie turned on the cloth, some with their ears
//! trimmed, some blunted. So the patch is fitted, not looked up: turned so that one of its
//! sides runs along the piece's longest side, and moved so that every side of the piece
//! lies a seam allowance outside it (least squares). Of the turns that fit equally the
//! smallest is taken; prints with a direction were laid upright by the cutting plan, and
//! so stay upright.

/// A point or a vector, inches.
pub(super) type P = [f64; 2];

/// A turn and a move: `x` and `y` are where the unit vectors go.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lay {
    /// Where the origin goes.
    pub at: P,
    /// Where the unit vector along x goes.
    pub x: P,
    /// Where the unit vector along y goes.
    pub y: P,
}

impl Lay {
    /// Nothing moved.
    pub const STILL: Self = Self {
        at: [0.0; 2],
        x: [1.0, 0.0],
        y: [0.0, 1.0],
    };

    /// Left and right exchanged.
    pub(super) const MIRRORED: Self = Self {
        x: [-1.0, 0.0],
        ..Self::STILL
    };

    /// Whether left and right are exchanged.
    pub(super) fn mirrors(&self) -> bool {
        self.x[0] * self.y[1] - self.x[1] * self.y[0] < 0.0
    }

    pub(super) fn turned(angle: f64) -> Self {
        let (s, c) = angle.sin_cos();
        Self {
            at: [0.0; 2],
            x: [c, s],
            y: [-s, c],
        }
    }

    /// Where a point goes.
    #[must_use]
    pub fn point(&self, p: P) -> P {
        [0, 1].map(|i| self.at[i] + p[0] * self.x[i] + p[1] * self.y[i])
    }

    /// This, then the other.
    pub(super) fn then(&self, other: &Self) -> Self {
        let way = |v: P| [0, 1].map(|i| v[0] * other.x[i] + v[1] * other.y[i]);
        Self {
            at: other.point(self.at),
            x: way(self.x),
            y: way(self.y),
        }
    }

    /// The other way round; the vectors stay at right angles, so this is the transpose.
    pub(super) fn undone(&self) -> Self {
        let (x, y) = ([self.x[0], self.y[0]], [self.x[1], self.y[1]]);
        let turn = Self { at: [0.0; 2], x, y };
        let back = turn.point(self.at);
        Self {
            at: [-back[0], -back[1]],
            ..turn
        }
    }
}

/// A fit: how the patch is laid into the piece, and how badly its sides miss, inches.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Fit {
    pub(super) lay: Lay,
    pub(super) miss: f64,
    /// How far it is turned, degrees, 0 to 180.
    pub(super) turned: f64,
}

/// Misses that differ by less are equal, inches: the ruler rounds cut sizes up.
const EQUAL: f64 = 0.03;

/// The best fit of a finished outline in a piece with a seam allowance all round.
pub(super) fn fitted(patch: &[P], piece: &[P], seam: f64) -> Option<Fit> {
    let patch = clockwise(patch)?;
    let piece = clockwise(piece)?;
    let sides: Vec<Side> = sides(&piece);
    let long = sides.iter().max_by(|a, b| a.length.total_cmp(&b.length))?;
    let mut best: Option<Fit> = None;
    for own in self::sides(&patch) {
        let turn = long.angle - own.angle;
        let turn = turn.sin().atan2(turn.cos());
        // Whole degrees of float dust must not decide between equals.
        let Some((at, miss)) = moved(&patch, &sides, turn, seam) else {
            continue;
        };
        let fit = Fit {
            lay: Lay {
                at,
                ..Lay::turned(turn)
            },
            miss,
            turned: turn.to_degrees().abs(),
        };
        if best.is_none_or(|best| fit.before(&best)) {
            best = Some(fit);
        }
    }
    best
}

impl Fit {
    /// Whether it is to be preferred.
    pub(super) fn before(&self, other: &Self) -> bool {
        if (self.miss - other.miss).abs() > EQUAL {
            self.miss < other.miss
        } else {
            self.turned < other.turned - 1e-6
        }
    }
}

struct Side {
    from: P,
    /// Into the piece, of length one.
    inward: P,
    length: f64,
    angle: f64,
}

fn sides(outline: &[P]) -> Vec<Side> {
    (0..outline.len())
        .filter_map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let length = dx.hypot(dy);
            (length > 1e-9).then(|| Side {
                from: a,
                inward: [-dy / length, dx / length],
                length,
                angle: dy.atan2(dx),
            })
        })
        .collect()
}

/// The outline going round clockwise (y points down); `None` without area.
fn clockwise(outline: &[P]) -> Option<Vec<P>> {
    let n = outline.len();
    let doubled: f64 = (0..n)
        .map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % n]);
            a[0] * b[1] - a[1] * b[0]
        })
        .sum();
    match doubled {
        d if d > 1e-9 => Some(outline.to_vec()),
        d if d < -1e-9 => Some(outline.iter().rev().copied().collect()),
        _ => None,
    }
}

/// Where to move the turned patch, and the miss that is left.
fn moved(patch: &[P], sides: &[Side], turn: f64, seam: f64) -> Option<(P, f64)> {
    let lay = Lay::turned(turn);
    let points: Vec<P> = patch.iter().map(|&p| lay.point(p)).collect();
    let dot = |a: P, b: P| a[0] * b[0] + a[1] * b[1];
    // What every side still wants the patch to move inward.
    let wants: Vec<f64> = sides
        .iter()
        .map(|side| {
            let nearest = points
                .iter()
                .map(|&p| dot(side.inward, p))
                .fold(f64::INFINITY, f64::min);
            seam - (nearest - dot(side.inward, side.from))
        })
        .collect();
    let (mut xx, mut xy, mut yy, mut rx, mut ry, mut all) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for (side, want) in sides.iter().zip(&wants) {
        let ([nx, ny], w) = (side.inward, side.length);
        (xx, xy, yy) = (xx + w * nx * nx, xy + w * nx * ny, yy + w * ny * ny);
        (rx, ry, all) = (rx + w * nx * want, ry + w * ny * want, all + w);
    }
    let below = xx * yy - xy * xy;
    if below.abs() < 1e-12 {
        return None;
    }
    let at = [(rx * yy - ry * xy) / below, (ry * xx - rx * xy) / below];
    let miss: f64 = sides
        .iter()
        .zip(&wants)
        .map(|(side, want)| side.length * (dot(side.inward, at) - want).powi(2))
        .sum();
    Some((at, (miss / all).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SEAM: f64 = 0.25;

    fn near(a: P, b: P) -> bool {
        (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9
    }

    #[test]
    fn a_square_lies_upright_in_its_piece() {
        let patch = [[3.0, 3.0], [6.0, 3.0], [6.0, 6.0], [3.0, 6.0]];
        let piece = [[10.0, 20.0], [13.5, 20.0], [13.5, 23.5], [10.0, 23.5]];
        let fit = fitted(&patch, &piece, SEAM).expect("it fits");
        assert!(fit.miss < 1e-9 && fit.turned < 1e-9);
        assert!(near(fit.lay.point([3.0, 3.0]), [10.25, 20.25]));
    }

    #[test]
    fn a_half_square_finds_its_half() {
        // Finished leg 3: a square cut once on the diagonal has legs of 3 7/8.
        let leg = 3.0 + SEAM * (2.0 + std::f64::consts::SQRT_2);
        let patch = [[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]];
        let upper = [[1.0, 1.0], [1.0 + leg, 1.0], [1.0, 1.0 + leg]];
        let lower = [[1.0 + leg, 1.0], [1.0 + leg, 1.0 + leg], [1.0, 1.0 + leg]];
        let fit = fitted(&patch, &upper, SEAM).expect("it fits");
        assert!(fit.miss < 1e-9 && fit.turned < 1e-9, "{fit:?}");
        let fit = fitted(&patch, &lower, SEAM).expect("it fits");
        assert!(
            fit.miss < 1e-9 && (fit.turned - 180.0).abs() < 1e-6,
            "{fit:?}"
        );
    }

    #[test]
    fn a_trimmed_ear_does_not_move_the_patch() {
        let leg = 3.0 + SEAM * (2.0 + std::f64::consts::SQRT_2);
        let patch = [[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]];
        let piece = [
            [0.0, 0.0],
            [leg - 0.375, 0.0],
            [leg - 0.375, 0.375],
            [0.375, leg - 0.375],
            [0.0, leg - 0.375],
        ];
        let fit = fitted(&patch, &piece, SEAM).expect("it fits");
        assert!(fit.turned < 1e-9, "{fit:?}");
        assert!((fit.lay.at[0] - SEAM).abs() < 0.08, "{fit:?}");
    }

    #[test]
    fn a_lay_comes_back() {
        let lay = Lay {
            at: [3.0, -2.0],
            ..Lay::turned(0.7)
        };
        for lay in [lay, Lay::MIRRORED.then(&lay)] {
            let back = lay.then(&lay.undone());
            assert!(near(back.point([5.0, 4.0]), [5.0, 4.0]));
        }
        assert!(!lay.mirrors() && Lay::MIRRORED.then(&lay).mirrors());
    }
}
