//! The main colours of a cloth and the share of each.
//!
//! Weighted k-means in CIELAB with five centres, begun far apart from each other; centres
//! nearer than [`ALIKE`] are one colour. Nothing is drawn by lot: the first centre is the
//! commonest colour, each next one the place worst served so far.

use quilt::colour;
use quilt::plan::Colour;

use crate::planes::Plane;

/// Most colours told.
const MOST: usize = 5;

/// Colours nearer than this (CIEDE2000) are told as one: "two colours" begin above 5.
const ALIKE: f64 = 5.0;

/// Smaller shares are blurred edges and threads.
const LEAST: f64 = 0.02;

/// One of the main colours.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Shade {
    /// The mean of what is taken together.
    pub colour: Colour,
    /// Its CIELAB.
    pub lab: [f64; 3],
    /// Its share of the cloth, 0 to 1.
    pub share: f64,
}

/// A cell of the colours found, with how many pixels fall into it.
struct Cell {
    lab: [f64; 3],
    many: f64,
}

/// The main colours, the commonest first; the shares add up to 1.
pub(crate) fn shades(lab: &[Plane; 3]) -> Vec<Shade> {
    let cells = gathered(lab);
    let mut centres = begun(&cells);
    let mut shares = Vec::new();
    for _ in 0..40 {
        let (next, many) = moved(&cells, &centres);
        let still = next.iter().zip(&centres).all(|(a, b)| apart(*a, *b) < 1e-4);
        (centres, shares) = (next, many);
        if still {
            break;
        }
    }
    let mut all: Vec<([f64; 3], f64)> = centres.into_iter().zip(shares).collect();
    merge(&mut all);
    let total: f64 = all.iter().map(|(_, many)| many).sum();
    all.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0[0].total_cmp(&b.0[0])));
    all.retain(|(_, many)| *many >= LEAST * total);
    let kept: f64 = all.iter().map(|(_, many)| many).sum();
    all.into_iter()
        .map(|(lab, many)| Shade {
            colour: shown(lab),
            lab,
            share: many / kept.max(1e-9),
        })
        .collect()
}

/// Pixels gathered into cells of two units a side, so that every picture costs the same.
fn gathered(lab: &[Plane; 3]) -> Vec<Cell> {
    let mut cells: std::collections::BTreeMap<[i32; 3], ([f64; 3], f64)> =
        std::collections::BTreeMap::new();
    // Every so many pixels: shares to a tenth of a percent need no more.
    for i in (0..lab[0].data.len()).step_by(stride(lab[0].width, lab[0].data.len())) {
        let point = [0, 1, 2].map(|part| f64::from(lab[part].data[i]));
        let cell = cells
            .entry(point.map(|v| (v / 2.0).floor() as i32))
            .or_default();
        cell.1 += 1.0;
        for (sum, part) in cell.0.iter_mut().zip(point) {
            *sum += part;
        }
    }
    cells
        .into_values()
        .map(|(sum, many)| Cell {
            lab: sum.map(|part| part / many),
            many,
        })
        .collect()
}

/// Steps through the pixels that visit other columns in every row; the same columns again
/// and again would see one stripe of a print only.
fn stride(width: usize, all: usize) -> usize {
    let common = |mut a: usize, mut b: usize| {
        while b > 0 {
            (a, b) = (b, a % b);
        }
        a
    };
    let least = (all / 40_000).max(1);
    (least..)
        .find(|&step| common(step, width) == 1)
        .unwrap_or(1)
}

fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum()
}

/// The commonest cell, then each time the cell that counts most: distance times pixels.
fn begun(cells: &[Cell]) -> Vec<[f64; 3]> {
    let mut centres: Vec<[f64; 3]> = Vec::new();
    while centres.len() < MOST {
        let gain = |cell: &Cell| {
            let nearest = centres
                .iter()
                .map(|c| apart(cell.lab, *c))
                .fold(f64::INFINITY, f64::min);
            if centres.is_empty() {
                cell.many
            } else {
                nearest * cell.many
            }
        };
        let best = cells.iter().max_by(|a, b| gain(a).total_cmp(&gain(b)));
        match best.filter(|cell| gain(cell) > 0.0) {
            Some(cell) => centres.push(cell.lab),
            None => break,
        }
    }
    centres
}

/// One round: every cell to its nearest centre, every centre to the mean of its cells.
fn moved(cells: &[Cell], centres: &[[f64; 3]]) -> (Vec<[f64; 3]>, Vec<f64>) {
    let mut sums = vec![([0.0; 3], 0.0); centres.len()];
    for cell in cells {
        let nearest = (0..centres.len())
            .min_by(|&a, &b| apart(cell.lab, centres[a]).total_cmp(&apart(cell.lab, centres[b])));
        if let Some(sum) = nearest.and_then(|nearest| sums.get_mut(nearest)) {
            sum.1 += cell.many;
            for (sum, part) in sum.0.iter_mut().zip(cell.lab) {
                *sum += part * cell.many;
            }
        }
    }
    let mean = |(i, (sum, many)): (usize, &([f64; 3], f64))| {
        if *many > 0.0 {
            sum.map(|part| part / many)
        } else {
            centres[i]
        }
    };
    let next = sums.iter().enumerate().map(mean).collect();
    (next, sums.iter().map(|(_, many)| *many).collect())
}

/// Takes together what looks alike, the nearest pair first.
fn merge(all: &mut Vec<([f64; 3], f64)>) {
    loop {
        let mut nearest: Option<(usize, usize, f64)> = None;
        for i in 0..all.len() {
            for j in i + 1..all.len() {
                let gap = colour::difference(all[i].0, all[j].0);
                if gap < ALIKE && nearest.is_none_or(|(.., least)| gap < least) {
                    nearest = Some((i, j, gap));
                }
            }
        }
        let Some((i, j, _)) = nearest else { return };
        let (other, many) = all.remove(j);
        let (lab, own) = &mut all[i];
        let total = (*own + many).max(1e-9);
        for (part, other) in lab.iter_mut().zip(other) {
            *part = (*part * *own + other * many) / total;
        }
        *own += many;
    }
}

/// The colour on a screen, the nearest that sRGB has.
pub(crate) fn shown(lab: [f64; 3]) -> Colour {
    let [red, green, blue] = colour::light_of_lab(lab).map(colour::coded);
    Colour { red, green, blue }
}
