//! Which way up a print may lie, found by comparing the print with itself turned.
//!
//! Small pieces of the print are looked for all over the picture, as they are and turned
//! by one, two and three quarters. Where the pieces as they are find much better matches
//! than the pieces turned upside down, the print has one right way up; where only the
//! quarter turns fail, it has two. Stripes alone decide nothing: they are found like
//! everything else.
//!
//! A piece is not allowed to find itself, only its like elsewhere. So a print strewn with
//! figures turned all ways comes out free although no part of the picture, turned, is any
//! other part.

use microfft::Complex32;
use quilt::plan::Direction;
use rayon::prelude::*;

use crate::fourier::Grid;
use crate::planes::Sums;
use crate::texture::Texture;

/// The wavelength of the print in the picture looked through, pixels: fine enough for the
/// outline of a figure.
const WAVELENGTH: f64 = 16.0;

/// Most pixels a side of that picture: a dozen figures each way.
const SIDE: usize = 200;

/// Sides of the pieces looked for, in wavelengths: one figure; a group of them.
const PIECES: [f64; 2] = [1.4, 2.6];

/// Pieces of each size, along each side of the picture.
const GRID: usize = 4;

/// How much worse a turned piece must match before it counts as another.
const WORSE: f64 = 0.07;

/// The direction of a print.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Turned {
    pub(crate) direction: Direction,
    /// From a half (a guess) to one.
    pub(crate) sure: f64,
}

/// How well pieces match as they are and turned by quarters: the mean, and the mean of the
/// difference to the unturned with its standard error.
#[derive(Clone, Copy, Debug)]
struct Matched {
    upright: f64,
    half: [f64; 2],
    quarter: [f64; 2],
}

/// Compares the print with itself turned. `None` where too little of it shows.
pub(crate) fn turned(texture: &Texture, wavelength: f64) -> Option<Turned> {
    let small = texture.scaled(wavelength / WAVELENGTH, SIDE);
    let scene = Scene::of(&small);
    let tried: Vec<Matched> = PIECES
        .iter()
        .filter_map(|piece| scene.matched((piece * WAVELENGTH).round() as usize))
        .collect();
    let counts = |[mean, error]: [f64; 2], upright: f64| {
        // In shares of what the unturned pieces reach, less the doubt about it.
        (mean - 2.0 * error) / upright.max(0.2)
    };
    let worst = |of: fn(&Matched) -> [f64; 2]| {
        let tried = tried.iter().filter(|t| t.upright > 0.25);
        tried.map(|t| counts(of(t), t.upright)).fold(f64::NEG_INFINITY, f64::max)
    };
    let (half, quarter) = (worst(|t| t.half), worst(|t| t.quarter));
    if half == f64::NEG_INFINITY {
        return None;
    }
    let sure = |beyond: f64| 0.5 + 0.5 * (beyond.abs() / WORSE).min(1.0);
    Some(if half > WORSE {
        Turned {
            direction: Direction::OneWay,
            sure: sure(half - WORSE),
        }
    } else if quarter > WORSE {
        Turned {
            direction: Direction::TwoWay,
            sure: sure(quarter - WORSE).min(sure(half - WORSE)),
        }
    } else {
        Turned {
            direction: Direction::Free,
            sure: sure(quarter - WORSE).min(sure(half - WORSE)),
        }
    })
}

/// The picture looked through, with what every search needs of it.
struct Scene<'a> {
    texture: &'a Texture,
    transformed: Grid,
    sums: [Sums; 3],
}

impl<'a> Scene<'a> {
    fn of(texture: &'a Texture) -> Self {
        let (w, h) = (texture.width, texture.height);
        let largest = (PIECES[1] * WAVELENGTH) as usize + 1;
        let mut transformed = Grid::with_room(w.max(h) + largest.min(w.min(h)));
        for y in 0..h {
            for x in 0..w {
                transformed.set(x, y, texture.at(x, y));
            }
        }
        transformed.forward();
        let of = |value: fn([f64; 2]) -> f64| {
            Sums::of(w, h, |i| value(texture.data[i].map(f64::from)))
        };
        let sums = [of(|[a, _]| a), of(|[_, b]| b), of(|[a, b]| a * a + b * b)];
        Self {
            texture,
            transformed,
            sums,
        }
    }

    /// What varies within a piece of the picture, all told.
    fn energy(&self, x: usize, y: usize, piece: usize) -> f64 {
        let (xs, ys) = ((x, x + piece), (y, y + piece));
        let [a, b, squares] = [0, 1, 2].map(|i| self.sums[i].over(xs, ys));
        (squares - (a * a + b * b) / (piece * piece) as f64).max(0.0)
    }

    /// `None` where fewer than four pieces fit or there is nothing in them.
    fn matched(&self, piece: usize) -> Option<Matched> {
        let (w, h) = (self.texture.width, self.texture.height);
        let room = (w.checked_sub(piece)?, h.checked_sub(piece)?);
        if room.0.max(room.1) < piece {
            return None;
        }
        let mut places: Vec<(usize, usize)> = (0..GRID * GRID)
            .map(|i| {
                let step = |i: usize, room: usize| (2 * i + 1) * room / (2 * GRID);
                (step(i % GRID, room.0), step(i / GRID, room.1))
            })
            .collect();
        places.dedup();
        let strength = |&(x, y): &(usize, usize)| self.energy(x, y, piece);
        let most = places.iter().map(strength).fold(0.0, f64::max);
        places.retain(|place| strength(place) > 0.1 * most);
        if places.len() < 4 || most <= 0.0 {
            return None;
        }
        let scores: Vec<[f64; 4]> = places
            .par_iter()
            .map(|&(x, y)| [0, 1, 2, 3].map(|turns| self.best(x, y, piece, turns)))
            .collect();
        let n = scores.len() as f64;
        let upright = scores.iter().map(|s| s[0]).sum::<f64>() / n;
        let against = |other: fn(&[f64; 4]) -> f64| {
            let gaps: Vec<f64> = scores.iter().map(|s| s[0] - other(s)).collect();
            let mean = gaps.iter().sum::<f64>() / n;
            let spread = gaps.iter().map(|g| (g - mean).powi(2)).sum::<f64>() / (n - 1.0);
            [mean, (spread / n).sqrt()]
        };
        Some(Matched {
            upright,
            half: against(|s| s[2]),
            quarter: against(|s| s[1].max(s[3])),
        })
    }

    /// The best match of the piece at (x, y), turned clockwise by quarters, anywhere but
    /// where it came from.
    fn best(&self, x: usize, y: usize, piece: usize, turns: usize) -> f64 {
        let n = self.transformed.side;
        let area = (piece * piece) as f64;
        let of_piece = self.energy(x, y, piece);
        let (xs, ys) = ((x, x + piece), (y, y + piece));
        let mean = [0, 1].map(|i| (self.sums[i].over(xs, ys) / area) as f32);
        let mut grid = Grid {
            side: n,
            data: vec![Complex32::default(); n * n],
        };
        for v in 0..piece {
            for u in 0..piece {
                let last = piece - 1;
                let (tu, tv) = match turns {
                    0 => (u, v),
                    1 => (last - v, u),
                    2 => (last - u, last - v),
                    _ => (v, last - u),
                };
                let [a, b] = self.texture.at(x + u, y + v);
                grid.set(tu, tv, [a - mean[0], b - mean[1]]);
            }
        }
        grid.forward();
        for (piece, scene) in grid.data.iter_mut().zip(&self.transformed.data) {
            *piece = scene * piece.conj();
        }
        grid.inverse();
        let (w, h) = (self.texture.width, self.texture.height);
        let mut best = -1.0_f64;
        for py in 0..=h - piece {
            for px in 0..=w - piece {
                let near = px.abs_diff(x).max(py.abs_diff(y)) < piece / 2;
                if near {
                    continue;
                }
                let there = self.energy(px, py, piece);
                // A place with hardly anything in it matches by chance.
                if there < 0.05 * of_piece {
                    continue;
                }
                let product = f64::from(grid.data[py * n + px].re);
                best = best.max(product / (there * of_piece).sqrt());
            }
        }
        best
    }
}
