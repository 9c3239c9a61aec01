//! Fourier transforms of square grids whose sides are powers of two.

use microfft::Complex32;
use microfft::complex::{cfft_64, cfft_128, cfft_256, cfft_512, cfft_1024, cfft_2048};
use rayon::prelude::*;

/// The largest side.
pub(crate) const LARGEST: usize = 2048;

/// A square grid of complex numbers, row by row.
pub(crate) struct Grid {
    pub(crate) side: usize,
    pub(crate) data: Vec<Complex32>,
}

impl Grid {
    /// An empty grid with room for so many pixels a side: the next power of two from 64,
    /// at most [`LARGEST`].
    pub(crate) fn with_room(pixels: usize) -> Self {
        let side = pixels.next_power_of_two().clamp(64, LARGEST);
        Self {
            side,
            data: vec![Complex32::default(); side * side],
        }
    }

    pub(crate) fn set(&mut self, x: usize, y: usize, value: [f32; 2]) {
        self.data[y * self.side + x] = Complex32::new(value[0], value[1]);
    }

    /// Transforms in place. The result lies transposed: rows are frequencies across.
    pub(crate) fn forward(&mut self) {
        self.rows();
        self.transpose();
        self.rows();
    }

    /// Undoes [`Self::forward`], its transposition included.
    pub(crate) fn inverse(&mut self) {
        // The inverse is the transform of the conjugate, conjugated.
        self.data.iter_mut().for_each(|c| c.im = -c.im);
        self.forward();
        let share = 1.0 / self.data.len() as f32;
        self.data
            .iter_mut()
            .for_each(|c| *c = Complex32::new(c.re * share, -c.im * share));
    }

    fn rows(&mut self) {
        self.data.par_chunks_mut(self.side).for_each(row);
    }

    fn transpose(&mut self) {
        /// A square of this side stays within the fastest memory.
        const TILE: usize = 32;
        let n = self.side;
        for ty in (0..n).step_by(TILE) {
            for tx in (ty..n).step_by(TILE) {
                for y in ty..(ty + TILE).min(n) {
                    for x in tx.max(y + 1)..(tx + TILE).min(n) {
                        self.data.swap(y * n + x, x * n + y);
                    }
                }
            }
        }
    }
}

fn row(row: &mut [Complex32]) {
    if let Ok(row) = <&mut [Complex32; 64]>::try_from(&mut *row) {
        let _ = cfft_64(row);
    } else if let Ok(row) = <&mut [Complex32; 128]>::try_from(&mut *row) {
        let _ = cfft_128(row);
    } else if let Ok(row) = <&mut [Complex32; 256]>::try_from(&mut *row) {
        let _ = cfft_256(row);
    } else if let Ok(row) = <&mut [Complex32; 512]>::try_from(&mut *row) {
        let _ = cfft_512(row);
    } else if let Ok(row) = <&mut [Complex32; 1024]>::try_from(&mut *row) {
        let _ = cfft_1024(row);
    } else if let Ok(row) = <&mut [Complex32; 2048]>::try_from(&mut *row) {
        let _ = cfft_2048(row);
    }
}
