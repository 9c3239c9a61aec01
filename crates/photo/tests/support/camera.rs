//! Photographs of made prints.

use photo::Photo;
use quilt::colour;

use super::{Dice, Print};

/// How a picture is taken.
#[derive(Clone)]
pub struct Camera {
    pub width: usize,
    pub height: usize,
    pub per_inch: f64,
    /// The cloth lies turned clockwise by so many degrees.
    pub turned: f64,
    /// The light of red, green and blue; 1 is as printed.
    pub cast: [f64; 3],
    /// How much darker it is in the lower right corner, a share.
    pub fall: f64,
    /// The spread of the noise, coded levels.
    pub noise: f64,
    /// The spread of the blur, pixels.
    pub blur: f64,
    /// Points looked at in each pixel, each way.
    pub looks: usize,
    pub seed: u64,
    /// Things that lie on the cloth: where, and their light.
    pub things: Vec<(Thing, [f64; 3])>,
    /// Seen aslant: where the corners of the cloth shown, `width` by `height` pixels at
    /// `per_inch`, come to lie in the picture.
    pub corners: Option<[[f64; 2]; 4]>,
}

#[derive(Clone, Copy)]
pub enum Thing {
    /// Left, upper, right, lower, pixels.
    Card([f64; 4]),
    /// Middle and radius, pixels.
    Coin([f64; 3]),
}

impl Thing {
    fn covers(self, x: f64, y: f64) -> bool {
        match self {
            Self::Card([l, t, r, b]) => x >= l && x < r && y >= t && y < b,
            Self::Coin([cx, cy, r]) => (x - cx).hypot(y - cy) < r,
        }
    }
}

impl Camera {
    pub fn plain(width: usize, height: usize, per_inch: f64) -> Self {
        Self {
            width,
            height,
            per_inch,
            turned: 0.0,
            cast: [1.0; 3],
            fall: 0.0,
            noise: 0.0,
            blur: 0.0,
            looks: 2,
            seed: 1,
            things: Vec::new(),
            corners: None,
        }
    }

    pub fn take(&self, print: &Print) -> Photo {
        let mut light = vec![[0.0; 3]; self.width * self.height];
        let undo = self.corners.map(|corners| undone(&corners));
        for (i, pixel) in light.iter_mut().enumerate() {
            let (px, py) = ((i % self.width) as f64, (i / self.width) as f64);
            for look in 0..self.looks * self.looks {
                let part = |i: usize| (i as f64 + 0.5) / self.looks as f64;
                let (x, y) = (px + part(look % self.looks), py + part(look / self.looks));
                let seen = self.point(print, undo.as_ref(), x, y);
                for (sum, part) in pixel.iter_mut().zip(seen) {
                    *sum += part / (self.looks * self.looks) as f64;
                }
            }
        }
        if self.blur > 0.0 {
            light = blurred(&light, self.width, self.blur);
        }
        let mut dice = Dice::new(self.seed);
        let mut rgb = Vec::with_capacity(3 * light.len());
        for (i, pixel) in light.iter().enumerate() {
            let (x, y) = (i % self.width, i / self.width);
            let far = (x as f64 / self.width as f64 + y as f64 / self.height as f64) / 2.0;
            let strength = 1.0 - self.fall * far;
            for (part, cast) in pixel.iter().zip(self.cast) {
                let level = f64::from(colour::coded(part * cast * strength));
                let noisy = level
                    + if self.noise > 0.0 {
                        self.noise * dice.bell()
                    } else {
                        0.0
                    };
                rgb.push(noisy.round().clamp(0.0, 255.0) as u8);
            }
        }
        Photo {
            width: self.width,
            height: self.height,
            rgb,
            notes: Vec::new(),
        }
    }

    fn point(&self, print: &Print, undo: Option<&[[f64; 3]; 3]>, x: f64, y: f64) -> [f64; 3] {
        if let Some((_, light)) = self.things.iter().find(|(thing, _)| thing.covers(x, y)) {
            return *light;
        }
        let (mut x, mut y) = (x, y);
        if let Some(m) = undo {
            let row = |i: usize| m[i][0] * x + m[i][1] * y + m[i][2];
            let (u, v, w) = (row(0), row(1), row(2));
            (x, y) = (u / w * self.width as f64, v / w * self.height as f64);
            if x < 0.0 || y < 0.0 || x > self.width as f64 || y > self.height as f64 {
                return [0.02; 3];
            }
        }
        let (c, s) = (
            self.turned.to_radians().cos(),
            self.turned.to_radians().sin(),
        );
        let (u, v) = (x / self.per_inch, y / self.per_inch);
        // Turned about a point well inside the strewn cloth.
        let (u, v) = (u - 4.0, v - 4.0);
        print.light(12.0 + u * c + v * s, 12.0 - u * s + v * c)
    }
}

/// The map from the picture to the unit square, from that of the square to four corners:
/// eight equations solved by elimination, independent of the house's own closed form.
fn undone(corners: &[[f64; 2]; 4]) -> [[f64; 3]; 3] {
    let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let mut rows: Vec<[f64; 9]> = Vec::new();
    for ([x, y], [u, v]) in corners.iter().zip(square) {
        rows.push([*x, *y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, u]);
        rows.push([0.0, 0.0, 0.0, *x, *y, 1.0, -v * x, -v * y, v]);
    }
    for i in 0..8 {
        let pivot = (i..8)
            .max_by(|&a, &b| rows[a][i].abs().total_cmp(&rows[b][i].abs()))
            .expect("a row");
        rows.swap(i, pivot);
        let own = rows[i].map(|v| v / rows[i][i]);
        rows[i] = own;
        for (j, row) in rows.iter_mut().enumerate() {
            if j != i {
                let times = row[i];
                row.iter_mut().zip(own).for_each(|(a, b)| *a -= times * b);
            }
        }
    }
    let h: Vec<f64> = rows.iter().map(|row| row[8]).collect();
    [[h[0], h[1], h[2]], [h[3], h[4], h[5]], [h[6], h[7], 1.0]]
}

fn blurred(light: &[[f64; 3]], width: usize, spread: f64) -> Vec<[f64; 3]> {
    let height = light.len() / width;
    let reach = (3.0 * spread).ceil() as i64;
    let weight: Vec<f64> = (-reach..=reach)
        .map(|i| (-0.5 * (i as f64 / spread).powi(2)).exp())
        .collect();
    let all: f64 = weight.iter().sum();
    let pass = |from: &[[f64; 3]], dx: i64, dy: i64| -> Vec<[f64; 3]> {
        (0..from.len())
            .map(|i| {
                let (x, y) = ((i % width) as i64, (i / width) as i64);
                let mut sum = [0.0; 3];
                for (k, weight) in (-reach..=reach).zip(&weight) {
                    let x = (x + k * dx).clamp(0, width as i64 - 1) as usize;
                    let y = (y + k * dy).clamp(0, height as i64 - 1) as usize;
                    for (sum, part) in sum.iter_mut().zip(from[y * width + x]) {
                        *sum += weight * part / all;
                    }
                }
                sum
            })
            .collect()
    };
    pass(&pass(light, 1, 0), 0, 1)
}
