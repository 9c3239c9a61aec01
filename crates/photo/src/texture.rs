//! The print alone: what is left of a cloth when its mean colour and the fall of the
//! light over it are taken away.
//!
//! CIELAB has three numbers a pixel; a print needs two at most: the way in colour in
//! which it varies most, and the next one (principal components). Two fit one complex
//! transform.

use crate::planes::Plane;

/// A print without its ground, at one reduction of the picture.
pub(crate) struct Texture {
    /// Pixels of the picture in one of these.
    pub(crate) by: f64,
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Along the first and second component, ΔE, both with mean nought.
    pub(crate) data: Vec<[f32; 2]>,
    /// Share of the first component in all that varies.
    pub(crate) power: f64,
}

impl Texture {
    /// From the planes of CIELAB.
    pub(crate) fn of(lab: &[Plane; 3], by: usize) -> Self {
        let flat = [0, 1, 2].map(|part| flattened(&lab[part]));
        let n = flat[0].data.len() as f64;
        let product = |i: usize, j: usize| {
            let pairs = flat[i].data.iter().zip(&flat[j].data);
            pairs.map(|(a, b)| f64::from(a * b)).sum::<f64>() / n
        };
        let spread = [0, 1, 2].map(|i| [0, 1, 2].map(|j| product(i, j)));
        let first = main_way(&spread);
        let second = main_way(&without(&spread, first));
        let data = (0..flat[0].data.len())
            .map(|i| {
                [first, second].map(|way| {
                    let sum: f64 = (0..3).map(|p| way[p] * f64::from(flat[p].data[i])).sum();
                    sum as f32
                })
            })
            .collect();
        Self {
            by: by as f64,
            width: lab[0].width,
            height: lab[0].height,
            data,
            power: spread[0][0] + spread[1][1] + spread[2][2],
        }
    }

    pub(crate) fn at(&self, x: usize, y: usize) -> [f32; 2] {
        self.data[y * self.width + x]
    }

    /// The same print with `step` pixels of this one in each new pixel (not necessarily
    /// whole), the middle of it, at most `most` pixels a side.
    pub(crate) fn scaled(&self, step: f64, most: usize) -> Self {
        let size = |pixels: usize| ((pixels as f64 / step).floor() as usize).clamp(1, most);
        let (width, height) = (size(self.width), size(self.height));
        let left = (self.width as f64 - width as f64 * step) / 2.0;
        let above = (self.height as f64 - height as f64 * step) / 2.0;
        // Enough looks at each new pixel that no old one in it is missed.
        let looks = (step.ceil() as usize).clamp(1, 8);
        let planes = [0, 1].map(|part| Plane {
            width: self.width,
            height: self.height,
            data: self.data.iter().map(|d| d[part]).collect(),
        });
        let mut data = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                let mut sum = [0.0_f32; 2];
                for look in 0..looks * looks {
                    let part = |i: usize| (i as f64 + 0.5) / looks as f64;
                    let px = left + (x as f64 + part(look % looks)) * step - 0.5;
                    let py = above + (y as f64 + part(look / looks)) * step - 0.5;
                    for (sum, plane) in sum.iter_mut().zip(&planes) {
                        *sum += plane.between(px as f32, py as f32);
                    }
                }
                data.push(sum.map(|s| s / (looks * looks) as f32));
            }
        }
        Self {
            by: self.by * step,
            width,
            height,
            data,
            power: self.power,
        }
    }
}

/// Sides of the cells in which the commonest colour is looked for, ΔE.
const CELL: f32 = 3.0;

impl Texture {
    /// How far each pixel is from the ground of the print, whatever its colour: figures of
    /// all colours stand up alike. The ground is the commonest colour; what is further
    /// from it than most figures counts no more than they do.
    pub(crate) fn figures(&self) -> Self {
        let cell = |d: &[f32; 2]| d.map(|v| (v / CELL).floor() as i32);
        let mut counts: std::collections::BTreeMap<[i32; 2], u32> =
            std::collections::BTreeMap::new();
        for d in &self.data {
            *counts.entry(cell(d)).or_default() += 1;
        }
        // Together with the cells beside it, so that no border splits the ground.
        let around = |[x, y]: [i32; 2]| -> u32 {
            let beside = [[x, y], [x - 1, y], [x + 1, y], [x, y - 1], [x, y + 1]];
            beside.iter().filter_map(|other| counts.get(other)).sum()
        };
        let commonest = counts
            .keys()
            .copied()
            .max_by_key(|&key| around(key))
            .unwrap_or_default();
        let ground = commonest.map(|v| (v as f32 + 0.5) * CELL);
        let mut far: Vec<f32> = self
            .data
            .iter()
            .map(|d| (d[0] - ground[0]).hypot(d[1] - ground[1]))
            .collect();
        let mut sorted = far.clone();
        let place = sorted.len() * 9 / 10;
        let (_, &mut high, _) = sorted.select_nth_unstable_by(place, f32::total_cmp);
        let most = 0.6 * high;
        far.iter_mut().for_each(|v| *v = v.min(most));
        let mean = far.iter().sum::<f32>() / far.len() as f32;
        let spread = far.iter().map(|v| (v - mean).powi(2)).sum::<f32>() / far.len() as f32;
        Self {
            by: self.by,
            width: self.width,
            height: self.height,
            data: far.iter().map(|v| [v - mean, 0.0]).collect(),
            power: f64::from(spread),
        }
    }
}

/// The plane less the smooth surface of second degree that fits it best.
fn flattened(plane: &Plane) -> Plane {
    let (w, h) = (plane.width, plane.height);
    // Legendre polynomials are orthogonal over the rectangle: each share is found alone.
    let way = |i: usize, n: usize| (2.0 * i as f64 + 1.0) / n as f64 - 1.0;
    let bent = |t: f64| 1.5 * t * t - 0.5;
    let basis = |x: f64, y: f64| [1.0, x, y, bent(x), bent(y), x * y];
    let mut fit = [0.0; 6];
    let mut weight = [0.0; 6];
    for y in 0..h {
        for x in 0..w {
            let parts = basis(way(x, w), way(y, h));
            let value = f64::from(plane.at(x, y));
            for ((fit, weight), part) in fit.iter_mut().zip(&mut weight).zip(parts) {
                *fit += part * value;
                *weight += part * part;
            }
        }
    }
    for (fit, weight) in fit.iter_mut().zip(weight) {
        *fit = if weight > 0.0 { *fit / weight } else { 0.0 };
    }
    let mut out = plane.clone();
    for y in 0..h {
        for x in 0..w {
            let parts = basis(way(x, w), way(y, h));
            let ground: f64 = parts.iter().zip(fit).map(|(part, fit)| part * fit).sum();
            out.data[y * w + x] -= ground as f32;
        }
    }
    out
}

/// The direction of greatest spread: power iteration on a symmetric matrix.
fn main_way(spread: &[[f64; 3]; 3]) -> [f64; 3] {
    // Begins near L*, which no print is quite without.
    let mut way = [1.0, 0.31, 0.17];
    for _ in 0..60 {
        let next = spread.map(|row| row.iter().zip(way).map(|(s, w)| s * w).sum::<f64>());
        let length = next.iter().map(|v| v * v).sum::<f64>().sqrt();
        if length < 1e-12 {
            break;
        }
        way = next.map(|v| v / length);
    }
    let length = way.iter().map(|v| v * v).sum::<f64>().sqrt();
    way.map(|v| v / length)
}

/// The spread less what lies along one way.
fn without(spread: &[[f64; 3]; 3], way: [f64; 3]) -> [[f64; 3]; 3] {
    let along: f64 = (0..3)
        .map(|i| (0..3).map(|j| way[i] * spread[i][j] * way[j]).sum::<f64>())
        .sum();
    let mut rest = *spread;
    for (i, row) in rest.iter_mut().enumerate() {
        for (j, cell) in row.iter_mut().enumerate() {
            *cell -= along * way[i] * way[j];
        }
    }
    rest
}
