//! A cloth as its photograph shows it, at true scale, for every place on the cloth.
//!
//! A photograph shows a part of the cloth only. Beyond it the print goes on by its
//! repeat, as many whole repeats as the photograph holds; where no repeat is known (or it
//! holds none), by the photograph and its mirror image in turn, which at least leaves no
//! edge to be seen.
//!
//! Photographs hold far more pixels than a picture of a whole top can show, so the light
//! of two by two is averaged again and again (Williams, "Pyramidal Parametrics", SIGGRAPH
//! 1983), and the level is taken that has about one pixel for each of the picture.

use quilt::colour;

use crate::reading::Photo;

/// A photograph that can be asked for the colour of any place on its cloth.
pub struct Swatch {
    levels: Vec<Level>,
    /// Pixels of the finest level in an inch.
    per_inch: f64,
    /// What is shown of the cloth before it begins again, inches.
    shown: [f64; 2],
    /// Whether every other time it is mirrored, across and down.
    mirrored: [bool; 2],
}

/// One reduction of the photograph.
struct Level {
    width: usize,
    height: usize,
    /// Coded light.
    rgb: Vec<[u8; 3]>,
}

impl Swatch {
    /// From a photograph of cloth alone, with the pixels in an inch and the repeat of the
    /// print across and down, inches.
    #[must_use]
    pub fn new(photo: &Photo, per_inch: f64, repeat: Option<[f64; 2]>) -> Self {
        let rgb = photo
            .rgb
            .chunks_exact(3)
            .map(|p| [p[0], p[1], p[2]])
            .collect();
        let mut levels = vec![Level {
            width: photo.width,
            height: photo.height,
            rgb,
        }];
        let codes = codes();
        while let Some(next) = levels.last().and_then(|last| last.halved(&codes)) {
            levels.push(next);
        }
        let size = [photo.width, photo.height].map(|side| side as f64 / per_inch);
        let mut shown = size;
        let mut mirrored = [true; 2];
        for ((shown, mirrored), step) in shown
            .iter_mut()
            .zip(&mut mirrored)
            .zip(repeat.into_iter().flatten())
        {
            let whole = (*shown / step).floor();
            if step > 0.0 && whole >= 1.0 {
                (*shown, *mirrored) = (whole * step, false);
            }
        }
        Self {
            levels,
            per_inch,
            shown,
            mirrored,
        }
    }

    /// The level to read when neighbouring pixels of the picture lie so many inches apart
    /// on the cloth.
    pub(super) fn level(&self, apart: f64) -> usize {
        let pixels = (apart * self.per_inch).max(1.0);
        // Rather a little sharp than a little soft.
        let level = (pixels.log2() - 0.2).round().max(0.0) as usize;
        level.min(self.levels.len() - 1)
    }

    /// The coded colour at a place on the cloth, inches.
    pub(super) fn colour(&self, level: usize, at: [f64; 2]) -> [f32; 3] {
        let place = [0, 1].map(|i| {
            let turns = (at[i] / self.shown[i]).floor();
            let within = at[i] - turns * self.shown[i];
            let back = self.mirrored[i] && turns.rem_euclid(2.0) > 0.5;
            if back { self.shown[i] - within } else { within }
        });
        let scale = self.per_inch / f64::from(1_u32 << level.min(31));
        self.levels[level].between(place.map(|v| (v * scale - 0.5) as f32))
    }
}

impl Level {
    /// Half as large each way; `None` when it is one pixel.
    fn halved(&self, codes: &[u8]) -> Option<Self> {
        let (width, height) = (self.width / 2, self.height / 2);
        if width == 0 || height == 0 {
            return None;
        }
        let light: Vec<f32> = (0..=u8::MAX)
            .map(|level| colour::light(level) as f32)
            .collect();
        let mut rgb = Vec::with_capacity(width * height);
        for y in 0..height {
            let (upper, lower) = (2 * y * self.width, (2 * y + 1) * self.width);
            for x in 0..width {
                let four = [
                    upper + 2 * x,
                    upper + 2 * x + 1,
                    lower + 2 * x,
                    lower + 2 * x + 1,
                ];
                rgb.push([0, 1, 2].map(|part| {
                    let sum: f32 = four
                        .iter()
                        .map(|&i| light[usize::from(self.rgb[i][part])])
                        .sum();
                    codes[(sum * 0.25 * LAST as f32) as usize]
                }));
            }
        }
        Some(Self { width, height, rgb })
    }

    fn between(&self, [x, y]: [f32; 2]) -> [f32; 3] {
        let clamped = |v: f32, most: usize| v.clamp(0.0, (most - 1) as f32);
        let (x, y) = (clamped(x, self.width), clamped(y, self.height));
        let (x0, y0) = (x as usize, y as usize);
        let (fx, fy) = (x - x0 as f32, y - y0 as f32);
        let right = usize::from(x0 + 1 < self.width);
        let below = if y0 + 1 < self.height { self.width } else { 0 };
        let at = y0 * self.width + x0;
        let (a, b) = (self.rgb[at], self.rgb[at + right]);
        let (c, d) = (self.rgb[at + below], self.rgb[at + below + right]);
        [0, 1, 2].map(|i| {
            let upper = f32::from(a[i]) * (1.0 - fx) + f32::from(b[i]) * fx;
            let lower = f32::from(c[i]) * (1.0 - fx) + f32::from(d[i]) * fx;
            upper * (1.0 - fy) + lower * fy
        })
    }
}

/// Steps of light told apart when it is coded again: finer than any code.
const LAST: usize = 8191;

fn codes() -> Vec<u8> {
    (0..=LAST)
        .map(|i| colour::coded(i as f64 / LAST as f64))
        .collect()
}
