//! Light and CIELAB of a picture, plane by plane, reduced to what a question needs.
//!
//! **Units.** Light is linear (1 is the white of sRGB), never coded; pixels are averaged
//! in light, as the eye far away does.

use std::sync::LazyLock;

use quilt::colour;
use rayon::prelude::*;

use crate::area::Rect;
use crate::reading::Photo;

/// Linear light of every coded level (IEC 61966-2-1).
static LIGHT: LazyLock<[f32; 256]> = LazyLock::new(|| {
    let mut table = [0.0; 256];
    for (level, light) in (0..=u8::MAX).zip(&mut table) {
        *light = colour::light(level) as f32;
    }
    table
});

/// One number a pixel.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Plane {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) data: Vec<f32>,
}

impl Plane {
    pub(crate) fn at(&self, x: usize, y: usize) -> f32 {
        self.data[y * self.width + x]
    }

    /// Between pixel centres, whose places are whole numbers; beyond the edge the edge.
    pub(crate) fn between(&self, x: f32, y: f32) -> f32 {
        let inside = |v: f32, most: usize| (v.max(0.0) as usize).min(most - 1);
        let (x0, y0) = (inside(x, self.width), inside(y, self.height));
        let (x1, y1) = ((x0 + 1).min(self.width - 1), (y0 + 1).min(self.height - 1));
        let (fx, fy) = (
            (x - x0 as f32).clamp(0.0, 1.0),
            (y - y0 as f32).clamp(0.0, 1.0),
        );
        let row = |y: usize| self.at(x0, y) * (1.0 - fx) + self.at(x1, y) * fx;
        row(y0) * (1.0 - fy) + row(y1) * fy
    }

    pub(crate) fn mean(&self) -> f64 {
        let rows = self.data.chunks(self.width);
        let sum: f64 = rows.map(|row| f64::from(row.iter().sum::<f32>())).sum();
        sum / self.data.len() as f64
    }
}

/// The light of a part of a picture, `by` × `by` pixels averaged into one. A rest that
/// fills no whole square is left out, unless there is nothing else.
pub(crate) fn light(photo: &Photo, part: Rect, by: usize) -> [Plane; 3] {
    let by = by.clamp(1, part.width.min(part.height).max(1));
    let (width, height) = (part.width / by, part.height / by);
    let mut rows = vec![0.0_f32; 3 * width * height];
    let share = 1.0 / (by * by) as f32;
    let table = &*LIGHT;
    rows.par_chunks_mut(3 * width)
        .enumerate()
        .for_each(|(y, row)| {
            for line in 0..by {
                let from = 3 * ((part.y + y * by + line) * photo.width + part.x);
                let pixels = &photo.rgb[from..from + 3 * width * by];
                for (sum, square) in row.chunks_exact_mut(3).zip(pixels.chunks_exact(3 * by)) {
                    for pixel in square.chunks_exact(3) {
                        sum[0] += table[usize::from(pixel[0])];
                        sum[1] += table[usize::from(pixel[1])];
                        sum[2] += table[usize::from(pixel[2])];
                    }
                }
            }
            for sum in row {
                *sum *= share;
            }
        });
    [0, 1, 2].map(|part| Plane {
        width,
        height,
        data: rows.iter().skip(part).step_by(3).copied().collect(),
    })
}

/// L\*, a\*, b\* of every pixel; `gains` correct the light first.
pub(crate) fn lab(light: &[Plane; 3], gains: [f64; 3]) -> [Plane; 3] {
    let mut all = vec![[0.0_f32; 3]; light[0].data.len()];
    let [red, green, blue] = light;
    all.par_iter_mut().enumerate().for_each(|(i, out)| {
        let parts = [red.data[i], green.data[i], blue.data[i]].map(f64::from);
        let corrected = [0, 1, 2].map(|part| parts[part] * gains[part]);
        *out = colour::lab_of_light(corrected).map(|part| part as f32);
    });
    [0, 1, 2].map(|part| Plane {
        width: red.width,
        height: red.height,
        data: all.iter().map(|lab| lab[part]).collect(),
    })
}

/// Sums over all rectangles from the upper left corner, to add up any rectangle at once.
pub(crate) struct Sums {
    width: usize,
    data: Vec<f64>,
}

impl Sums {
    pub(crate) fn of(width: usize, height: usize, value: impl Fn(usize) -> f64) -> Self {
        let wide = width + 1;
        let mut data = vec![0.0; wide * (height + 1)];
        for y in 0..height {
            let mut row = 0.0;
            for x in 0..width {
                row += value(y * width + x);
                data[(y + 1) * wide + x + 1] = data[y * wide + x + 1] + row;
            }
        }
        Self { width: wide, data }
    }

    /// Over x in `x.0..x.1`, y in `y.0..y.1`.
    pub(crate) fn over(&self, x: (usize, usize), y: (usize, usize)) -> f64 {
        let at = |x: usize, y: usize| self.data[y * self.width + x];
        at(x.1, y.1) - at(x.0, y.1) - at(x.1, y.0) + at(x.0, y.0)
    }
}
