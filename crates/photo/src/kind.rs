//! What sort of print a cloth has: plain, tonal, striped, plaid, dotted or leafy.
//!
//! A guess with its confidence. Plain and tonal cloths hardly vary; a stripe goes on the
//! same along one way; in a plaid nearly everything can be told from the way alone across
//! and the way alone down; dots are round. What is left has figures, and is called leafy.

use quilt::plan::Print;

use crate::lattice::Lattice;
use crate::likeness::Likeness;
use crate::spectrum::{Spectrum, WAYS};
use crate::texture::Texture;

/// What varies less than this in all, ΔE, reads as plain. A just noticeable difference
/// is 2.3 (Mahy, Van Eycken, Oosterlinck, "Evaluation of uniform color spaces developed
/// after the adoption of CIELAB and CIELUV", Color Research and Application 19, 1994).
pub(crate) const PLAIN: f64 = 2.3;

/// Up to this a print looks cloudy rather than drawn, ΔE; our choice.
const TONAL: f64 = 5.0;

/// A guess.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Guess {
    pub(crate) print: Print,
    /// From a half to one.
    pub(crate) sure: f64,
}

/// What the guess is made from.
pub(crate) struct Clues<'a> {
    pub(crate) texture: &'a Texture,
    pub(crate) spectrum: &'a Spectrum,
    pub(crate) likeness: &'a Likeness,
    pub(crate) lattice: Option<&'a Lattice>,
    pub(crate) striped: bool,
    pub(crate) wavelength: f64,
}

/// How sure it is that what varies by so much, ΔE, is plain.
pub(crate) fn plain_sure(spread: f64) -> f64 {
    0.5 + 0.5 * ((PLAIN - spread) / 1.5).clamp(0.0, 1.0)
}

/// Guesses the print. `spread` is the variation of the print without its noise, ΔE.
pub(crate) fn guess(clues: &Clues, spread: f64) -> Guess {
    let sure = |margin: f64| 0.5 + 0.5 * margin.clamp(0.0, 1.0);
    if spread < PLAIN {
        return Guess {
            print: Print::Plain,
            sure: plain_sure(spread),
        };
    }
    let ways = clues.spectrum.ways(clues.wavelength);
    let (first, second) = two_ways(&ways);
    if clues.striped || first > 0.75 {
        return Guess {
            print: Print::Stripe,
            sure: sure((first - 0.4) / 0.4),
        };
    }
    let woven = woven(clues, &ways);
    if woven > 0.66 && second > 0.06 {
        return Guess {
            print: Print::Plaid,
            sure: sure((woven - 0.66) / 0.2),
        };
    }
    if spread < TONAL {
        return Guess {
            print: Print::Tonal,
            sure: sure((TONAL - spread) / (TONAL - PLAIN)),
        };
    }
    let round = roundness(clues);
    if round > 0.6 {
        return Guess {
            print: Print::Dot,
            sure: sure((round - 0.6) / 0.3),
        };
    }
    Guess {
        print: Print::Leafy,
        sure: sure((0.6 - round) / 0.4),
    }
}

/// The power in the strongest direction and in the one square to it, fifteen degrees
/// wide each.
fn two_ways(ways: &[f64; WAYS]) -> (f64, f64) {
    let about = |way: usize| {
        [WAYS - 1, 0, 1]
            .iter()
            .map(|off| ways[(way + off) % WAYS])
            .sum::<f64>()
    };
    let main = (0..WAYS)
        .max_by(|&a, &b| about(a).total_cmp(&about(b)))
        .unwrap_or(0);
    (about(main), about(main + WAYS / 2))
}

/// The share of a print that can be told from the place along one way and the place along
/// the way square to it, each alone: means along lines, as a share of all that varies.
fn woven(clues: &Clues, ways: &[f64; WAYS]) -> f64 {
    let pairs = (0..WAYS / 2).map(|way| ways[way] + ways[way + WAYS / 2]);
    let pairs: Vec<f64> = pairs.collect();
    let main = (0..pairs.len())
        .max_by(|&a, &b| pairs[a].total_cmp(&pairs[b]))
        .unwrap_or(0);
    let middle = (main as f64 + 0.5) / WAYS as f64 * 180.0;
    // A lattice knows the way far better than the five degrees of the spectrum.
    let exact = clues
        .lattice
        .and_then(|l| l.steps.first())
        .map(|v| v[1].atan2(v[0]).to_degrees());
    let around = (-12..=12).map(|i| middle + f64::from(i) * 0.5).chain(exact);
    around
        .map(|angle| told_by_lines(clues.likeness, angle))
        .fold(0.0, f64::max)
}

/// How alike the print stays along two ways square to each other: the mean likeness along
/// a line of moves is the share of the variation that is the same all along that line.
fn told_by_lines(likeness: &Likeness, degrees: f64) -> f64 {
    let mean = |angle: f64| {
        let way = [angle.to_radians().cos(), angle.to_radians().sin()];
        let (mut sum, mut many, mut r) = (0.0, 0, 0.0);
        while let Some(value) = likeness.between(r * way[0], r * way[1]) {
            (sum, many, r) = (sum + value, many + 1, r + 1.0);
        }
        sum / f64::from(many.max(1))
    };
    mean(degrees) + mean(degrees + 90.0)
}

/// The share of the figures that are round, by area.
fn roundness(clues: &Clues) -> f64 {
    let texture = clues.texture;
    // A figure a dozen pixels wide is enough to tell a circle from a leaf.
    let texture = texture.scaled((clues.wavelength / 40.0).max(0.5), 400);
    let (w, h) = (texture.width, texture.height);
    let values: Vec<f32> = texture.data.iter().map(|d| d[0]).collect();
    let cut = between_two(&values);
    let above = values.iter().filter(|&&v| v > cut).count();
    // The figures are what there is less of.
    let figure = |v: f32| (v > cut) == (above * 2 < values.len());
    let mut seen = vec![false; w * h];
    let (mut round, mut all) = (0.0, 0.0);
    for start in 0..w * h {
        if seen[start] || !figure(values[start]) {
            continue;
        }
        let blob = Blob::from(start, (w, h), &mut seen, |i| figure(values[i]));
        if blob.cut_off || blob.area < 24.0 {
            continue;
        }
        all += blob.area;
        if blob.is_round() {
            round += blob.area;
        }
    }
    if all > 0.0 { round / all } else { 0.0 }
}

/// The level that parts dark from light best (Otsu, "A Threshold Selection Method from
/// Gray-Level Histograms", IEEE Transactions on Systems, Man, and Cybernetics 9, 1979).
fn between_two(values: &[f32]) -> f32 {
    const BINS: usize = 256;
    let least = values.iter().copied().fold(f32::INFINITY, f32::min);
    let most = values.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let wide = (most - least).max(1e-6);
    let mut counts = [0.0_f64; BINS];
    for value in values {
        let bin = ((value - least) / wide * (BINS as f32 - 1.0)) as usize;
        counts[bin.min(BINS - 1)] += 1.0;
    }
    let total = values.len() as f64;
    let sum: f64 = counts.iter().enumerate().map(|(i, c)| i as f64 * c).sum();
    let (mut below, mut sum_below, mut best) = (0.0, 0.0, (0.0, 0));
    for (bin, count) in counts.iter().enumerate() {
        below += count;
        sum_below += bin as f64 * count;
        let over = total - below;
        if below > 0.0 && over > 0.0 {
            let apart = sum_below / below - (sum - sum_below) / over;
            let gain = below * over * apart * apart;
            if gain > best.0 {
                best = (gain, bin);
            }
        }
    }
    least + (best.1 as f32 + 0.5) / (BINS as f32 - 1.0) * wide
}

/// One figure: pixels that hang together.
struct Blob {
    area: f64,
    /// It goes on outside the picture.
    cut_off: bool,
    sums: [f64; 5],
}

impl Blob {
    fn from(
        start: usize,
        (w, h): (usize, usize),
        seen: &mut [bool],
        figure: impl Fn(usize) -> bool,
    ) -> Self {
        let mut blob = Self {
            area: 0.0,
            cut_off: false,
            sums: [0.0; 5],
        };
        let mut next = vec![start];
        seen[start] = true;
        while let Some(at) = next.pop() {
            let (x, y) = (at % w, at / w);
            blob.add(x as f64, y as f64);
            if x == 0 || y == 0 || x + 1 == w || y + 1 == h {
                blob.cut_off = true;
            }
            let beside = [
                (x > 0).then(|| at - 1),
                (x + 1 < w).then(|| at + 1),
                (y > 0).then(|| at - w),
                (y + 1 < h).then(|| at + w),
            ];
            for other in beside.into_iter().flatten() {
                if !seen[other] && figure(other) {
                    seen[other] = true;
                    next.push(other);
                }
            }
        }
        blob
    }

    fn add(&mut self, x: f64, y: f64) {
        self.area += 1.0;
        for (sum, part) in self.sums.iter_mut().zip([x, y, x * x, x * y, y * y]) {
            *sum += part;
        }
    }

    /// As wide as long, and filling the circle of its own spread: by second moments, the
    /// ellipse that spreads as the figure does has the figure's own area.
    fn is_round(&self) -> bool {
        let [x, y, xx, xy, yy] = self.sums.map(|sum| sum / self.area);
        // A pixel itself spreads by a twelfth.
        let (a, b, c) = (xx - x * x + 1.0 / 12.0, xy - x * y, yy - y * y + 1.0 / 12.0);
        let (middle, half) = (f64::midpoint(a, c), ((a - c) / 2.0).hypot(b));
        let (long, short) = (middle + half, (middle - half).max(0.0));
        let ellipse = 4.0 * std::f64::consts::PI * (long * short).sqrt();
        (short / long).sqrt() > 0.82 && self.area / ellipse > 0.93
    }
}
