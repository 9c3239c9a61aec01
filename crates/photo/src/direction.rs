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
const WAVELENGTH: f64 = 18.0;

/// Most pixels a side of that picture: a dozen figures each way.
const SIDE: usize = 210;

/// Sides of the pieces looked for, in wavelengths: one figure; a group of them.
const PIECES: [f64; 2] = [1.05, 2.4];

/// Most pieces of each size.
const MOST: usize = 12;

/// How much worse a turned piece must match before it counts as another.
const WORSE: f64 = 0.05;

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
        tried
            .map(|t| counts(of(t), t.upright))
            .fold(f64::NEG_INFINITY, f64::max)
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
    sums: [Sums; 2],
    /// The middles of figures, the clearest first.
    middles: Vec<(usize, usize)>,
}

impl<'a> Scene<'a> {
    fn of(texture: &'a Texture) -> Self {
        let (w, h) = (texture.width, texture.height);
        let largest = (PIECES[1] * WAVELENGTH) as usize + 1;
        let mut transformed = Grid::with_room(w.max(h) + largest.min(w.min(h)));
        for y in 0..h {
            for x in 0..w {
                transformed.set(x, y, [texture.at(x, y)[0], 0.0]);
            }
        }
        transformed.forward();
        let of = |value: fn(f64) -> f64| Sums::of(w, h, |i| value(f64::from(texture.data[i][0])));
        Self {
            texture,
            transformed,
            sums: [of(|a| a), of(|a| a * a)],
            middles: middles(texture),
        }
    }

    /// What varies within a piece of the picture, all told.
    fn energy(&self, x: usize, y: usize, piece: usize) -> f64 {
        let (xs, ys) = ((x, x + piece), (y, y + piece));
        let [sum, squares] = [0, 1].map(|i| self.sums[i].over(xs, ys));
        (squares - sum * sum / (piece * piece) as f64).max(0.0)
    }

    /// `None` where fewer than four pieces fit or there is nothing in them.
    fn matched(&self, piece: usize) -> Option<Matched> {
        let (w, h) = (self.texture.width, self.texture.height);
        let room = (w.checked_sub(piece)?, h.checked_sub(piece)?);
        if room.0.max(room.1) < piece {
            return None;
        }
        let half = piece / 2;
        let corner = |&(x, y): &(usize, usize)| {
            let (x, y) = (x.checked_sub(half)?, y.checked_sub(half)?);
            (x <= room.0 && y <= room.1).then_some((x, y))
        };
        let mut places: Vec<(usize, usize)> = self.middles.iter().filter_map(corner).collect();
        places.truncate(MOST);
        // What varies in every place, once for all searches.
        let energies: Vec<f32> = (0..=room.1)
            .flat_map(|y| (0..=room.0).map(move |x| (x, y)))
            .map(|(x, y)| self.energy(x, y, piece) as f32)
            .collect();
        let strength = |&(x, y): &(usize, usize)| energies[y * (room.0 + 1) + x];
        let most = places.iter().map(strength).fold(0.0, f32::max);
        places.retain(|place| strength(place) > 0.1 * most);
        if places.len() < 4 || most <= 0.0 {
            return None;
        }
        let scores: Vec<[f64; 4]> = places
            .par_iter()
            .map(|&place| {
                // The piece as it is and upside down are looked for at once: one is the
                // real, one the imaginary part.
                let [a, c] = self.best(place, piece, &energies, [0, 2]);
                let [b, d] = self.best(place, piece, &energies, [1, 3]);
                [a, b, c, d]
            })
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

    /// The best matches of the piece at (x, y), turned clockwise by so many quarters,
    /// anywhere but where it came from.
    fn best(
        &self,
        (x, y): (usize, usize),
        piece: usize,
        energies: &[f32],
        turns: [usize; 2],
    ) -> [f64; 2] {
        let n = self.transformed.side;
        let wide = self.texture.width - piece + 1;
        let of_piece = energies[y * wide + x];
        let mean = self.sums[0].over((x, x + piece), (y, y + piece)) / (piece * piece) as f64;
        let mut grid = Grid {
            side: n,
            data: vec![Complex32::default(); n * n],
        };
        for v in 0..piece {
            for u in 0..piece {
                let value = self.texture.at(x + u, y + v)[0] - mean as f32;
                for (part, turns) in turns.into_iter().enumerate() {
                    let (tu, tv) = turned_by(turns, (u, v), piece - 1);
                    let cell = &mut grid.data[tv * n + tu];
                    if part == 0 {
                        cell.re += value;
                    } else {
                        // Conjugated below, so that it comes out with its sign.
                        cell.im -= value;
                    }
                }
            }
        }
        grid.forward();
        for (piece, scene) in grid.data.iter_mut().zip(&self.transformed.data) {
            *piece = scene * piece.conj();
        }
        grid.inverse();
        let mut best = [-1.0_f32; 2];
        for (i, &there) in energies.iter().enumerate() {
            let (px, py) = (i % wide, i / wide);
            let near = px.abs_diff(x).max(py.abs_diff(y)) < piece / 2;
            // A place with hardly anything in it matches by chance.
            if near || there < 0.05 * of_piece {
                continue;
            }
            let product = grid.data[py * n + px];
            let below = (there * of_piece).sqrt();
            best = [
                best[0].max(product.re / below),
                best[1].max(product.im / below),
            ];
        }
        best.map(f64::from)
    }
}

/// Where a pixel of a piece comes to lie when the piece is turned clockwise by quarters.
fn turned_by(turns: usize, (u, v): (usize, usize), last: usize) -> (usize, usize) {
    match turns {
        0 => (u, v),
        1 => (last - v, u),
        2 => (last - u, last - v),
        _ => (v, last - u),
    }
}

/// Where figures have their middles: the highest places of the print's distance from its
/// ground, smoothed to about a figure, the highest first. None lies within half a
/// wavelength of another.
fn middles(texture: &Texture) -> Vec<(usize, usize)> {
    let figures = texture.figures();
    let (w, h) = (figures.width, figures.height);
    let sums = Sums::of(w, h, |i| f64::from(figures.data[i][0]));
    let reach = (0.3 * WAVELENGTH) as usize;
    let smooth = |x: usize, y: usize| {
        let xs = (x.saturating_sub(reach), (x + reach + 1).min(w));
        let ys = (y.saturating_sub(reach), (y + reach + 1).min(h));
        sums.over(xs, ys) / ((xs.1 - xs.0) * (ys.1 - ys.0)) as f64
    };
    let mut all: Vec<(f64, usize, usize)> = (0..w * h)
        .map(|i| (smooth(i % w, i / w), i % w, i / w))
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.2, a.1).cmp(&(b.2, b.1))));
    let apart = 0.5 * WAVELENGTH;
    let mut chosen: Vec<(usize, usize)> = Vec::new();
    // Those near the edge hold no whole piece; twice as many as are looked for are enough.
    for &(_, x, y) in all.iter().take(w * h / 2) {
        let near =
            |&(ox, oy): &(usize, usize)| (ox as f64 - x as f64).hypot(oy as f64 - y as f64) < apart;
        if !chosen.iter().any(near) {
            chosen.push((x, y));
            if chosen.len() >= 6 * MOST {
                break;
            }
        }
    }
    chosen
}
