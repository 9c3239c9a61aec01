//! Painting textured polygons.
//!
//! A pixel takes from every patch the share of it that the patch covers. Rows are worked
//! in bands, each by itself, so that two bands can be worked at the same time and the
//! memory for shares stays small.

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder};
use rayon::prelude::*;

use super::placing::Shown;
use super::swatch::Swatch;

/// Rows worked together.
const BAND: usize = 32;

/// Lines looked at in each row of pixels; along a line shares are exact.
const LINES: usize = 4;

/// What is not covered.
const PAPER: [f32; 3] = [255.0; 3];

/// A cloth as it is painted.
pub enum Painted {
    /// One colour.
    Flat([u8; 3]),
    /// From its photograph.
    Photo(Box<Swatch>),
}

/// Paints a top of this size, inches, `width` pixels wide; the picture's height and its
/// red, green and blue, row by row. `cloths` has an entry for each cloth of the plan.
///
/// The height is rounded up to whole pixels.
#[must_use]
pub fn paint(
    patches: &[Shown],
    cloths: &[Painted],
    size: [f64; 2],
    width: usize,
) -> (usize, Vec<u8>) {
    let per_inch = width as f64 / size[0];
    let height = (size[1] * per_inch - 1e-9).ceil().max(1.0) as usize;
    let bands = height.div_ceil(BAND);
    let shapes: Vec<Vec<[f64; 2]>> = patches
        .iter()
        .map(|patch| {
            patch
                .outline
                .iter()
                .map(|p| p.map(|v| v * per_inch))
                .collect()
        })
        .collect();
    let mut in_band: Vec<Vec<usize>> = vec![Vec::new(); bands];
    for (index, shape) in shapes.iter().enumerate() {
        let ys = || shape.iter().map(|p| p[1]);
        let (top, bottom) = (ys().fold(f64::INFINITY, f64::min), ys().fold(0.0, f64::max));
        let first = (top.max(0.0) as usize) / BAND;
        let last = ((bottom.max(0.0) as usize) / BAND).min(bands - 1);
        for band in in_band.iter_mut().take(last + 1).skip(first) {
            band.push(index);
        }
    }
    let mut rgb = vec![0; 3 * width * height];
    rgb.par_chunks_mut(3 * width * BAND)
        .zip(&in_band)
        .enumerate()
        .for_each(|(band, (rows, members))| {
            let mut work = Band {
                top: band * BAND,
                width,
                sums: vec![[0.0; 4]; rows.len() / 3],
                share: vec![0.0; width + 1],
            };
            for &index in members {
                let patch = &patches[index];
                let Some(cloth) = cloths.get(patch.cloth.0) else {
                    continue;
                };
                work.patch(&shapes[index], patch, cloth, per_inch);
            }
            for (pixel, [r, g, b, share]) in rows.chunks_exact_mut(3).zip(&work.sums) {
                let bare = (1.0 - share).max(0.0);
                for ((part, sum), paper) in pixel.iter_mut().zip([r, g, b]).zip(PAPER) {
                    let mixed = (sum + bare * paper) / (share + bare);
                    *part = (mixed + 0.5).clamp(0.0, 255.0) as u8;
                }
            }
        });
    (height, rgb)
}

/// Some rows being painted.
struct Band {
    top: usize,
    width: usize,
    /// Red, green and blue times the share covered, and the share.
    sums: Vec<[f32; 4]>,
    /// The share of each pixel of one row that the patch in hand covers.
    share: Vec<f32>,
}

impl Band {
    fn patch(&mut self, shape: &[[f64; 2]], patch: &Shown, cloth: &Painted, per_inch: f64) {
        let rows = self.sums.len() / self.width;
        let ys = || shape.iter().map(|p| p[1]);
        let (top, bottom) = (ys().fold(f64::INFINITY, f64::min), ys().fold(0.0, f64::max));
        let first = (top.max(0.0) as usize).max(self.top);
        let last = (bottom.max(0.0).ceil() as usize).min(self.top + rows);
        let step = 1.0 / per_inch;
        let lay = &patch.to_cloth;
        let level = match cloth {
            Painted::Flat(_) => 0,
            Painted::Photo(swatch) => swatch.level(step),
        };
        for y in first..last {
            let Some((from, to)) = self.shares(shape, y) else {
                continue;
            };
            let row = (y - self.top) * self.width;
            let start = [(from as f64 + 0.5) * step, (y as f64 + 0.5) * step];
            let mut place = lay.point(start);
            for x in from..to {
                let share = std::mem::take(&mut self.share[x]);
                if share > 0.0 {
                    let colour = match cloth {
                        Painted::Flat(colour) => colour.map(f32::from),
                        Painted::Photo(swatch) => swatch.colour(level, place),
                    };
                    let sum = &mut self.sums[row + x];
                    for (sum, part) in sum.iter_mut().zip(colour) {
                        *sum += share * part;
                    }
                    sum[3] += share;
                }
                place = [place[0] + lay.x[0] * step, place[1] + lay.x[1] * step];
            }
        }
    }

    /// Fills in the shares of row `y`; the pixels from and to which there are any.
    fn shares(&mut self, shape: &[[f64; 2]], y: usize) -> Option<(usize, usize)> {
        let (mut from, mut to) = (usize::MAX, 0);
        let mut crossings: Vec<f64> = Vec::with_capacity(8);
        for line in 0..LINES {
            let level = y as f64 + (line as f64 + 0.5) / LINES as f64;
            crossings.clear();
            for i in 0..shape.len() {
                let (a, b) = (shape[i], shape[(i + 1) % shape.len()]);
                if (a[1] <= level) != (b[1] <= level) {
                    crossings.push(a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
                }
            }
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let most = self.width as f64;
                let (left, right) = (pair[0].clamp(0.0, most), pair[1].clamp(0.0, most));
                if right <= left {
                    continue;
                }
                let (first, last) = (left as usize, (right.ceil() as usize).min(self.width));
                from = from.min(first);
                to = to.max(last);
                for x in first..last {
                    let covered = right.min(x as f64 + 1.0) - left.max(x as f64);
                    self.share[x] += covered as f32 / LINES as f32;
                }
            }
        }
        (from < to).then_some((from, to))
    }
}

/// The picture as a PNG file; `None` if the pixels are not `width` by `height`.
#[must_use]
pub fn png(width: usize, height: usize, rgb: &[u8]) -> Option<Vec<u8>> {
    let mut file = Vec::new();
    let (w, h) = (u32::try_from(width).ok()?, u32::try_from(height).ok()?);
    if rgb.len() != 3 * width * height {
        return None;
    }
    PngEncoder::new_with_quality(&mut file, CompressionType::Fast, FilterType::Adaptive)
        .write_image(rgb, w, h, ExtendedColorType::Rgb8)
        .ok()?;
    Some(file)
}
