//! How alike a print is to itself, moved.
//!
//! The normalised autocorrelation of a picture, by two Fourier transforms
//! (Wiener–Khinchin): 1 where the moved print covers itself exactly, 0 where the two have
//! nothing to do with each other. Only what overlaps counts, so a move by half the
//! picture is judged as fairly as one by a pixel.

use crate::fourier::{Grid, LARGEST};
use crate::planes::Sums;
use crate::texture::Texture;

/// The likeness of a print to itself for every move up to half the picture.
pub(crate) struct Likeness {
    /// Most pixels moved across and down.
    pub(crate) reach: [i32; 2],
    wide: usize,
    data: Vec<f32>,
    /// The likeness of neighbouring pixels: what is left for the print after the noise of
    /// single pixels. Every other likeness is a share of it.
    pub(crate) signal: f64,
}

impl Likeness {
    pub(crate) fn of(texture: &Texture) -> Self {
        let (w, h) = (texture.width, texture.height);
        let mut grid = Grid::with_room((w + w / 2).max(h + h / 2).min(LARGEST));
        for y in 0..h {
            for x in 0..w {
                grid.set(x, y, texture.at(x, y));
            }
        }
        grid.forward();
        for cell in &mut grid.data {
            let power = cell.norm_sqr();
            (cell.re, cell.im) = (power, 0.0);
        }
        grid.inverse();
        let energy = Sums::of(w, h, |i| {
            let [a, b] = texture.data[i].map(f64::from);
            a * a + b * b
        });
        let reach = [(w / 2) as i32, (h / 2) as i32];
        let wide = 2 * (w / 2) + 1;
        let mut data = Vec::with_capacity(wide * (h / 2 + 1));
        for dy in 0..=reach[1] {
            for dx in -reach[0]..=reach[0] {
                let n = grid.side as i32;
                let at = dy.rem_euclid(n) as usize * grid.side + dx.rem_euclid(n) as usize;
                let (right, left) = (dx.max(0) as usize, (-dx).max(0) as usize);
                let down = dy as usize;
                let one = energy.over((right, w - left), (down, h));
                let other = energy.over((left, w - right), (0, h - down));
                let below = (one * other).sqrt();
                data.push(if below > 1e-9 {
                    (f64::from(grid.data[at].re) / below) as f32
                } else {
                    0.0
                });
            }
        }
        let mut all = Self {
            reach,
            wide,
            data,
            signal: 1.0,
        };
        all.signal = all.neighbours();
        all
    }

    /// The likeness at a move of two pixels, about what it is at none but for noise.
    fn neighbours(&self) -> f64 {
        let moves = [(2, 0), (0, 2), (1, 1), (-1, 1), (1, 0), (0, 1)];
        let most = moves.map(|(dx, dy)| self.at(dx, dy).unwrap_or_default());
        f64::from(most.into_iter().fold(0.0, f32::max)).clamp(0.05, 1.0)
    }

    /// For a move by whole pixels; `None` beyond reach.
    pub(crate) fn at(&self, dx: i32, dy: i32) -> Option<f32> {
        let (dx, dy) = if dy < 0 { (-dx, -dy) } else { (dx, dy) };
        if dx.abs() > self.reach[0] || dy > self.reach[1] {
            return None;
        }
        let at = dy as usize * self.wide + (dx + self.reach[0]) as usize;
        self.data.get(at).copied()
    }

    /// For any move, as a share of the signal.
    pub(crate) fn between(&self, x: f64, y: f64) -> Option<f64> {
        let (x0, y0) = (x.floor(), y.floor());
        let (fx, fy) = (x - x0, y - y0);
        let at = |dx: i32, dy: i32| self.at(x0 as i32 + dx, y0 as i32 + dy).map(f64::from);
        let upper = at(0, 0)? * (1.0 - fx) + at(1, 0)? * fx;
        let lower = at(0, 1)? * (1.0 - fx) + at(1, 1)? * fx;
        Some((upper * (1.0 - fy) + lower * fy) / self.signal)
    }

    /// How far off the nearest neighbours of a figure usually are, pixels: the mean
    /// likeness over all directions falls from one to where the moved figures lie between
    /// the others, and is highest again where they cover their neighbours.
    ///
    /// Of figures strewn at random but not upon each other this ring has, to within a
    /// few hundredths, the side of the square that holds one of them (measured on made
    /// prints); the power spectrum, in which the figures' own shapes take part, errs more.
    pub(crate) fn ring(&self) -> Option<f64> {
        const WAYS: usize = 120;
        let reach = self.reach[0].min(self.reach[1]) as usize;
        let mean = |r: usize| {
            let sum: f64 = (0..WAYS)
                .filter_map(|i| {
                    let angle = i as f64 * std::f64::consts::PI / WAYS as f64;
                    self.between(r as f64 * angle.cos(), r as f64 * angle.sin())
                })
                .sum();
            sum / WAYS as f64
        };
        let profile: Vec<f64> = (0..=reach).map(mean).collect();
        let smooth = |i: usize| 0.25 * profile[i - 1] + 0.5 * profile[i] + 0.25 * profile[i + 1];
        let last = profile.len().checked_sub(2)?;
        let low = (2..last).find(|&i| smooth(i) < 0.4 && smooth(i + 1) >= smooth(i))?;
        let top = (low..=last.min(3 * low)).max_by(|&a, &b| smooth(a).total_cmp(&smooth(b)))?;
        if smooth(top) - smooth(low) < 0.02 || top >= last {
            return None;
        }
        let (a, b, c) = (smooth(top - 1), smooth(top), smooth(top + 1));
        let bend = a - 2.0 * b + c;
        let shift = if bend < 0.0 {
            (0.5 * (a - c) / bend).clamp(-0.5, 0.5)
        } else {
            0.0
        };
        Some(top as f64 + shift)
    }

    /// The highest point within `radius` of a place, to a part of a pixel, with its
    /// likeness as a share of the signal.
    pub(crate) fn summit(&self, near: [f64; 2], radius: f64) -> Option<([f64; 2], f64)> {
        let reach = radius.ceil() as i32;
        let middle = near.map(|v| v.round() as i32);
        let mut best: Option<(i32, i32, f32)> = None;
        for dy in -reach..=reach {
            for dx in -reach..=reach {
                let (x, y) = (middle[0] + dx, middle[1] + dy);
                let far = (f64::from(x) - near[0]).hypot(f64::from(y) - near[1]) > radius + 0.75;
                let Some(value) = self.at(x, y).filter(|_| !far) else {
                    continue;
                };
                if best.is_none_or(|(.., most)| value > most) {
                    best = Some((x, y, value));
                }
            }
        }
        let (x, y, value) = best?;
        let bent = |before: Option<f32>, after: Option<f32>| match (before, after) {
            (Some(a), Some(c)) => {
                let bend = f64::from(a - 2.0 * value + c);
                let shift = 0.5 * f64::from(a - c) / bend;
                if bend < 0.0 {
                    shift.clamp(-0.5, 0.5)
                } else {
                    0.0
                }
            }
            _ => 0.0,
        };
        let place = [
            f64::from(x) + bent(self.at(x - 1, y), self.at(x + 1, y)),
            f64::from(y) + bent(self.at(x, y - 1), self.at(x, y + 1)),
        ];
        Some((place, f64::from(value) / self.signal))
    }

    /// Places (down or level to the right) that are higher than all around, beyond
    /// `nearest` pixels; the highest first.
    pub(crate) fn summits(&self, nearest: f64) -> Vec<([f64; 2], f64)> {
        let mut found = Vec::new();
        for dy in 0..=self.reach[1] {
            let from = if dy == 0 { 1 } else { -self.reach[0] };
            for dx in from..=self.reach[0] {
                if f64::from(dx).hypot(f64::from(dy)) < nearest {
                    continue;
                }
                let Some(value) = self
                    .at(dx, dy)
                    .filter(|v| f64::from(*v) > 0.15 * self.signal)
                else {
                    continue;
                };
                let around = (-2..=2).flat_map(|y| (-2..=2).map(move |x| (x, y)));
                let top = around.filter(|&o| o != (0, 0)).all(|(x, y)| {
                    self.at(dx + x, dy + y)
                        .is_none_or(|other| other < value || (other <= value && (y, x) > (0, 0)))
                });
                if top {
                    found.extend(self.summit([f64::from(dx), f64::from(dy)], 0.5));
                }
            }
        }
        found.sort_by(|a, b| b.1.total_cmp(&a.1));
        found
    }
}
