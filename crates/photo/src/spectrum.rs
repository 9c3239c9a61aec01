//! How much of a print varies at which distance and in which direction.

use crate::fourier::Grid;
use crate::texture::Texture;

/// Directions told apart over half a turn: five degrees each.
pub(crate) const WAYS: usize = 36;

/// The power spectrum of a print.
pub(crate) struct Spectrum {
    side: usize,
    power: Vec<f32>,
}

impl Spectrum {
    pub(crate) fn of(texture: &Texture) -> Self {
        let (w, h) = (texture.width, texture.height);
        let mut grid = Grid::with_room(w.max(h));
        let side = grid.side;
        // Without the fall to the edges (Hann) every picture would show a plaid of its own
        // edges.
        let fall = |i: usize, n: usize| {
            let t = (i as f32 + 0.5) / n as f32;
            0.5 - 0.5 * (std::f32::consts::TAU * t).cos()
        };
        let across: Vec<f32> = (0..w).map(|x| fall(x, w)).collect();
        for y in 0..h {
            let down = fall(y, h);
            for (x, &across) in across.iter().enumerate() {
                grid.set(x, y, texture.at(x, y).map(|v| v * across * down));
            }
        }
        grid.forward();
        let power = grid.data.iter().map(|c| c.norm_sqr()).collect();
        Self { side, power }
    }

    /// Every pair of frequencies (cycles a pixel, across and down) with its power.
    fn cells(&self) -> impl Iterator<Item = ([f64; 2], f64)> + '_ {
        let n = self.side;
        let cycles = move |i: usize| {
            let signed = if i <= n / 2 {
                i as f64
            } else {
                i as f64 - n as f64
            };
            signed / n as f64
        };
        // Transposed: the row is the frequency across.
        let cell =
            move |(i, &power): (usize, &f32)| ([cycles(i / n), cycles(i % n)], f64::from(power));
        self.power.iter().enumerate().map(cell)
    }

    /// The wavelength at which the print varies most for its area, pixels. Distances over
    /// a third of the `extent` are not looked at: too few of them show.
    pub(crate) fn wavelength(&self, extent: usize) -> Option<f64> {
        let n = self.side as f64;
        let rings = self.side / 2;
        let (mut sum, mut many) = (vec![0.0; rings + 1], vec![0.0; rings + 1]);
        for ([fx, fy], power) in self.cells() {
            let radius = fx.hypot(fy) * n;
            let ring = radius.floor() as usize;
            if ring < rings {
                // Shared between the two nearest rings.
                let upper = radius - ring as f64;
                sum[ring] += power * (1.0 - upper);
                many[ring] += 1.0 - upper;
                sum[ring + 1] += power * upper;
                many[ring + 1] += upper;
            }
        }
        let mean: Vec<f64> = sum
            .iter()
            .zip(&many)
            .map(|(s, m)| s / m.max(1e-9))
            .collect();
        let first = (3.0 * n / extent as f64).ceil() as usize;
        let smooth = |i: usize| {
            let at = |i: usize| mean.get(i).copied().unwrap_or_default();
            at(i.saturating_sub(1)).mul_add(0.25, at(i) * 0.5) + at(i + 1) * 0.25
        };
        let best =
            (first..rings.saturating_sub(1)).max_by(|&a, &b| smooth(a).total_cmp(&smooth(b)))?;
        let (a, b, c) = (
            smooth(best.saturating_sub(1)),
            smooth(best),
            smooth(best + 1),
        );
        let bend = a - 2.0 * b + c;
        let shift = if bend < 0.0 {
            (0.5 * (a - c) / bend).clamp(-0.5, 0.5)
        } else {
            0.0
        };
        (b > 0.0).then(|| n / (best as f64 + shift))
    }

    /// The power at wavelengths from `shortest` to `longest` pixels.
    pub(crate) fn between(&self, shortest: f64, longest: f64) -> f64 {
        let inside = |[fx, fy]: [f64; 2]| {
            let cycles = fx.hypot(fy);
            cycles * longest >= 1.0 && cycles * shortest <= 1.0
        };
        let n = (self.side * self.side) as f64;
        self.cells()
            .filter(|(f, _)| inside(*f))
            .map(|(_, p)| p)
            .sum::<f64>()
            / n
            / n
    }

    /// The share of the power in each direction (of the wave, clockwise from x) at
    /// wavelengths around `wavelength`.
    pub(crate) fn ways(&self, wavelength: f64) -> [f64; WAYS] {
        let mut ways = [0.0; WAYS];
        for ([fx, fy], power) in self.cells() {
            let cycles = fx.hypot(fy) * wavelength;
            if (0.3..=5.0).contains(&cycles) {
                let angle = fy.atan2(fx).rem_euclid(std::f64::consts::PI);
                let way = (angle / std::f64::consts::PI * WAYS as f64).floor() as usize;
                ways[way % WAYS] += power;
            }
        }
        let all: f64 = ways.iter().sum();
        ways.map(|way| if all > 0.0 { way / all } else { 0.0 })
    }
}
