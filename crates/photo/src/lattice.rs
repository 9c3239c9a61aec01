//! The smallest moves that lay a print upon itself.
//!
//! A print that goes on the same along one way (a stripe) has one such move, across it;
//! one of separate figures has two. The peaks of the likeness ([`Likeness`]) are the
//! candidates. Among those nearly as high as the highest, the two shortest that do not
//! lie in one line make the lattice; a half-drop comes out by itself, since its half step
//! is as good as any other. The steps are then measured over as many repeats as the
//! picture shows, which brings a tenth of a pixel down to a hundredth.
//!
//! Choosing among all strong peaks by how far each rules its neighbourhood follows the
//! idea of Liu and Collins, "A Computational Model for Repeated Pattern Perception Using
//! Frieze and Wallpaper Groups", CVPR 2000; here the likeness is normalised, which makes
//! true repeats equally high near and far.

use crate::likeness::Likeness;

/// The repeat of a print, pixels.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Lattice {
    /// One step for stripes, two for everything else, the shorter first.
    pub(crate) steps: Vec<[f64; 2]>,
    /// The mean likeness of the repeats, as a share of the signal.
    pub(crate) likeness: f64,
}

/// Below this likeness nothing is called a repeat. Hand-placed figures of one kind reach
/// about 0.35 here and there, true repeats under strong noise stay above 0.7.
const ALIKE: f64 = 0.5;

/// A peak this near to the highest is taken for a repeat as true as it.
const NEARLY: f64 = 0.93;

/// Along a stripe the likeness never falls below this.
const STRIPED: f64 = 0.75;

/// The repeat of a print whose wavelength is about known, and the way its stripes run if it
/// has any.
pub(crate) fn lattice(
    likeness: &Likeness,
    wavelength: f64,
    stripes: Option<[f64; 2]>,
) -> Option<Lattice> {
    match stripes {
        Some(way) => across_stripes(likeness, way, wavelength),
        None => of_figures(likeness, wavelength),
    }
}

/// The way in which a print goes on the same, if there is one.
pub(crate) fn along_stripes(likeness: &Likeness, wavelength: f64) -> Option<[f64; 2]> {
    const QUARTER_DEGREES: usize = 720;
    let mut best: Option<([f64; 2], f64)> = None;
    for i in 0..QUARTER_DEGREES {
        let angle = i as f64 * std::f64::consts::PI / QUARTER_DEGREES as f64;
        let way = [angle.cos(), angle.sin()];
        let mut r = (0.3 * wavelength).max(2.0);
        let (mut least, mut sum, mut many) = (f64::INFINITY, 0.0, 0);
        while let Some(value) = likeness.between(r * way[0], r * way[1]) {
            least = least.min(value);
            (sum, many) = (sum + value, many + 1);
            if least < STRIPED {
                break;
            }
            r += 1.0;
        }
        let mean = sum / f64::from(many.max(1));
        if many > 4 && least >= STRIPED && best.is_none_or(|(_, most)| mean > most) {
            best = Some((way, mean));
        }
    }
    best.map(|(way, _)| way)
}

/// The repeat across stripes that run `way`.
fn across_stripes(likeness: &Likeness, way: [f64; 2], wavelength: f64) -> Option<Lattice> {
    let across = [-way[1], way[0]];
    let at = |r: f64| likeness.between(r * across[0], r * across[1]);
    let mut profile = Vec::new();
    while let Some(value) = at(profile.len() as f64) {
        profile.push(value);
    }
    let nearest = (0.4 * wavelength).max(2.0) as usize;
    let summit = |from: usize, to: usize| -> Option<(f64, f64)> {
        let to = to.min(profile.len().saturating_sub(2));
        let top = (from.max(1)..=to).max_by(|&a, &b| profile[a].total_cmp(&profile[b]))?;
        let (a, b, c) = (profile[top - 1], profile[top], profile[top + 1]);
        let bend = a - 2.0 * b + c;
        let shift = if bend < 0.0 {
            (0.5 * (a - c) / bend).clamp(-0.5, 0.5)
        } else {
            0.0
        };
        Some((top as f64 + shift, b))
    };
    let tops: Vec<(f64, f64)> = (nearest.max(1)..profile.len().saturating_sub(1))
        .filter(|&i| profile[i] >= profile[i - 1] && profile[i] > profile[i + 1])
        .filter_map(|i| summit(i, i))
        .collect();
    let most = tops.iter().map(|top| top.1).fold(0.0, f64::max);
    let &(first, _) = tops
        .iter()
        .find(|top| top.1 >= NEARLY * most && most >= ALIKE)?;
    let mut step = first;
    let (mut sum, mut weight, mut height, mut many) = (first, 1.0, 0.0, 0.0);
    for m in 1..200 {
        let (near, slack) = (step * f64::from(m), 0.2 * step + 1.0);
        if near + slack >= profile.len() as f64 {
            break;
        }
        let found = summit(
            (near - slack).max(1.0) as usize,
            (near + slack).ceil() as usize,
        );
        if let Some((place, value)) = found {
            let m = f64::from(m);
            (sum, weight) = (sum + m * place, weight + m * m);
            (height, many) = (height + value, many + 1.0);
            step = sum / weight;
        }
    }
    Some(Lattice {
        steps: vec![across.map(|part| part * step)],
        likeness: height / f64::max(many, 1.0),
    })
}

/// The repeat of separate figures.
fn of_figures(likeness: &Likeness, wavelength: f64) -> Option<Lattice> {
    let tops = likeness.summits((0.4 * wavelength).max(3.0));
    let most = tops.first()?.1;
    if most < ALIKE {
        return None;
    }
    let length = |v: &[f64; 2]| v[0].hypot(v[1]);
    let mut strong: Vec<[f64; 2]> = tops
        .iter()
        .filter(|top| top.1 >= NEARLY * most)
        .map(|top| top.0)
        .collect();
    strong.sort_by(|a, b| length(a).total_cmp(&length(b)));
    let first = *strong.first()?;
    let aside =
        |v: &[f64; 2]| (first[0] * v[1] - first[1] * v[0]).abs() / (length(&first) * length(v));
    let second = *strong.iter().find(|v| aside(v) > 0.25)?;
    let mut steps = reduced([first, second]);
    for reach in [1, 2, 4, 8] {
        steps = fitted(likeness, steps, reach)?;
    }
    let steps = reduced(steps);
    let height = mean_height(likeness, steps)?;
    (height >= ALIKE * 0.9).then(|| Lattice {
        steps: steps.to_vec(),
        likeness: height,
    })
}

/// The two shortest steps of the same lattice (Gauss), the shorter first, each pointing
/// right or down.
fn reduced([mut a, mut b]: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
    for _ in 0..64 {
        if dot(b, b) < dot(a, a) {
            std::mem::swap(&mut a, &mut b);
        }
        let many = (dot(a, b) / dot(a, a)).round();
        if many == 0.0 {
            break;
        }
        b = [b[0] - many * a[0], b[1] - many * a[1]];
    }
    [a, b].map(|v| {
        let level = v[1].abs() < 0.05 * v[0].abs();
        let back = if level { v[0] < 0.0 } else { v[1] < 0.0 };
        if back { [-v[0], -v[1]] } else { v }
    })
}

/// The steps that fit the peaks best which lie up to `reach` steps away (least squares).
fn fitted(likeness: &Likeness, steps: [[f64; 2]; 2], reach: i32) -> Option<[[f64; 2]; 2]> {
    let [a, b] = steps;
    let slack = (0.15 * a[0].hypot(a[1])).clamp(1.5, 6.0);
    let (mut ii, mut ij, mut jj) = (0.0, 0.0, 0.0);
    let mut right = [[0.0; 2]; 2];
    for i in -reach..=reach {
        for j in 0..=reach {
            if j == 0 && i <= 0 {
                continue;
            }
            let (fi, fj) = (f64::from(i), f64::from(j));
            let near = [fi * a[0] + fj * b[0], fi * a[1] + fj * b[1]];
            let Some((place, value)) = likeness.summit(near, slack) else {
                continue;
            };
            if value < ALIKE * 0.7 {
                continue;
            }
            (ii, ij, jj) = (
                ii + value * fi * fi,
                ij + value * fi * fj,
                jj + value * fj * fj,
            );
            for axis in 0..2 {
                right[0][axis] += value * fi * place[axis];
                right[1][axis] += value * fj * place[axis];
            }
        }
    }
    let below = ii * jj - ij * ij;
    if below < 1e-9 {
        return None;
    }
    let solve = |axis: usize| {
        [
            (right[0][axis] * jj - right[1][axis] * ij) / below,
            (right[1][axis] * ii - right[0][axis] * ij) / below,
        ]
    };
    let (x, y) = (solve(0), solve(1));
    Some([[x[0], y[0]], [x[1], y[1]]])
}

/// The mean likeness over the repeats within reach; at least two of them must be there.
fn mean_height(likeness: &Likeness, [a, b]: [[f64; 2]; 2]) -> Option<f64> {
    let mut heights = Vec::new();
    for i in -3..=3 {
        for j in 0..=3 {
            if j == 0 && i <= 0 {
                continue;
            }
            let (i, j) = (f64::from(i), f64::from(j));
            let place = [i * a[0] + j * b[0], i * a[1] + j * b[1]];
            heights.extend(likeness.between(place[0], place[1]));
        }
    }
    let many = heights.len();
    (many >= 2).then(|| heights.iter().sum::<f64>() / many as f64)
}
