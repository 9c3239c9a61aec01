//! How many pixels of a picture make an inch of cloth.

use crate::area::{Crop, Rect};
use crate::planes;
use crate::reading::Photo;

/// What in the picture has a known size, inches.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Scale {
    /// The cloth shown is so wide.
    Width(f64),
    /// The cloth shown is so wide and so high.
    Size(f64, f64),
    /// From one point to another it is so far: two marks of a ruler.
    Ruler {
        /// One mark, pixels.
        from: [f64; 2],
        /// The other, pixels.
        to: [f64; 2],
        /// How far apart they are, inches.
        inches: f64,
    },
    /// A coin, or anything else round, lies in the picture.
    Coin {
        /// A rectangle drawn about it, with a little of the ground all round.
        within: Rect,
        /// How wide it is, inches.
        inches: f64,
    },
}

/// Why the scale could not be found.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum ScaleFault {
    /// A length that is not greater than nought.
    NoLength,
    /// The two marks are less than twenty pixels apart.
    MarksTogether,
    /// The rectangle about the coin lies outside the picture or is too small.
    CoinOutside,
    /// No round edge was found in the rectangle.
    NoCoin,
    /// A picture seen aslant has no one scale: the size of the cloth is needed.
    Aslant,
    /// The picture would be of a cloth too small or too large to be true.
    Unlikely,
}

impl std::fmt::Display for ScaleFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NoLength => "a length must be greater than nought",
            Self::MarksTogether => {
                "the two marks of the ruler are too near to each other; take marks further apart"
            }
            Self::CoinOutside => {
                "the rectangle about the coin is too small or lies outside the picture"
            }
            Self::NoCoin => {
                "no round edge was found there; draw the rectangle a little wider than the coin, \
                 or lay the coin where it stands out from the cloth"
            }
            Self::Aslant => {
                "a picture taken aslant has no one scale; type the width of the cloth shown"
            }
            Self::Unlikely => "by that, the cloth shown would be too small or too large to be true",
        })
    }
}

impl std::error::Error for ScaleFault {}

/// Pixels an inch a scale may have: a wall seen from afar, a magnifying glass.
const LIKELY: std::ops::RangeInclusive<f64> = 1.0..=20_000.0;

/// Pixels an inch in the picture itself (for corners: in the upright picture, `width`
/// pixels wide).
pub(crate) fn per_inch(
    photo: &Photo,
    crop: &Crop,
    width: usize,
    scale: Scale,
) -> Result<f64, ScaleFault> {
    let aslant = matches!(crop, Crop::Corners(_));
    let positive = |inches: f64| {
        let good = inches.is_finite() && inches > 0.0;
        good.then_some(inches).ok_or(ScaleFault::NoLength)
    };
    let found = match scale {
        Scale::Width(inches) => width as f64 / positive(inches)?,
        Scale::Size(across, down) => {
            positive(down)?;
            width as f64 / positive(across)?
        }
        _ if aslant => return Err(ScaleFault::Aslant),
        Scale::Ruler { from, to, inches } => {
            let pixels = (from[0] - to[0]).hypot(from[1] - to[1]);
            if pixels.is_nan() || pixels < 20.0 {
                return Err(ScaleFault::MarksTogether);
            }
            pixels / positive(inches)?
        }
        Scale::Coin { within, inches } => 2.0 * coin(photo, within)? / positive(inches)?,
    };
    LIKELY
        .contains(&found)
        .then_some(found)
        .ok_or(ScaleFault::Unlikely)
}

/// The height by the width of the cloth, where it was typed.
pub(crate) fn aspect(scale: Option<Scale>) -> Option<f64> {
    match scale {
        Some(Scale::Size(across, down)) if across > 0.0 && down > 0.0 => Some(down / across),
        _ => None,
    }
}

/// Rays sent out from the middle of a coin.
const RAYS: usize = 180;

/// The radius of the round thing in a rectangle, pixels.
///
/// From its middle rays go out; on each the sharpest step in colour near the rim is kept.
/// A circle is fitted to them (least squares, Kåsa), and what lies far from it is thrown
/// out, three times: a thread or a shadow turns a few rays aside, not the circle.
fn coin(photo: &Photo, within: Rect) -> Result<f64, ScaleFault> {
    if !within.fits(photo) || within.width.min(within.height) < 24 {
        return Err(ScaleFault::CoinOutside);
    }
    let by = (within.width.max(within.height) / 400).max(1);
    let lab = planes::lab(&planes::light(photo, within, by), [1.0; 3]);
    let (w, h) = (lab[0].width as f64, lab[0].height as f64);
    let mut circle = [(w - 1.0) / 2.0, (h - 1.0) / 2.0, 0.0];
    // The first look goes from a third of the rectangle to its edge, later ones stay near
    // the circle found.
    let mut range = (0.3 * w.min(h), 0.5 * w.max(h));
    let mut edge = Vec::new();
    for look in 0..4 {
        edge = (0..RAYS)
            .filter_map(|i| {
                let angle = i as f64 / RAYS as f64 * std::f64::consts::TAU;
                step_along(&lab, &circle, [angle.cos(), angle.sin()], range)
            })
            .collect::<Vec<[f64; 2]>>();
        for _ in 0..3 {
            circle = circle_through(&edge).ok_or(ScaleFault::NoCoin)?;
            let off = |p: &[f64; 2]| ((p[0] - circle[0]).hypot(p[1] - circle[1]) - circle[2]).abs();
            let mut all: Vec<f64> = edge.iter().map(off).collect();
            all.sort_by(f64::total_cmp);
            let usual = all.get(all.len() / 2).copied().unwrap_or_default();
            edge.retain(|p| off(p) <= (2.5 * usual).max(0.75));
        }
        let slack = [0.2, 0.1, 0.06][look.min(2)] * circle[2];
        range = (circle[2] - slack, circle[2] + slack);
    }
    let off = edge
        .iter()
        .map(|p| ((p[0] - circle[0]).hypot(p[1] - circle[1]) - circle[2]).abs())
        .sum::<f64>()
        / edge.len().max(1) as f64;
    if edge.len() < RAYS / 2 || off > 0.02 * circle[2] + 0.5 {
        return Err(ScaleFault::NoCoin);
    }
    Ok(circle[2] * by as f64)
}

/// The sharpest step in colour along a ray.
fn step_along(
    lab: &[planes::Plane; 3],
    circle: &[f64; 3],
    way: [f64; 2],
    (from, to): (f64, f64),
) -> Option<[f64; 2]> {
    let (w, h) = (lab[0].width as f64, lab[0].height as f64);
    let point = |r: f64| [circle[0] + r * way[0], circle[1] + r * way[1]];
    let inside = |[x, y]: [f64; 2]| x >= 0.0 && y >= 0.0 && x <= w - 1.0 && y <= h - 1.0;
    let steep = |r: f64| {
        let (a, b) = (point(r - 1.5), point(r + 1.5));
        let gap = |part: &planes::Plane| {
            let at = |p: [f64; 2]| f64::from(part.between(p[0] as f32, p[1] as f32));
            (at(a) - at(b)).powi(2)
        };
        (inside(a) && inside(b)).then(|| lab.iter().map(gap).sum::<f64>())
    };
    let mut best: Option<(f64, f64)> = None;
    let mut r = from.max(2.0);
    while r <= to {
        if let Some(value) = steep(r).filter(|v| best.is_none_or(|(_, most)| *v > most)) {
            best = Some((r, value));
        }
        r += 0.5;
    }
    let (r, _) = best.filter(|(_, value)| *value > 9.0)?;
    // To a part of half a pixel by the parabola through the neighbours.
    let (a, b, c) = (steep(r - 0.5)?, steep(r)?, steep(r + 0.5)?);
    let bend = a - 2.0 * b + c;
    let shift = if bend < 0.0 {
        (0.25 * (a - c) / bend).clamp(-0.5, 0.5)
    } else {
        0.0
    };
    Some(point(r + shift))
}

/// Middle and radius of the circle nearest to some points (Kåsa, "A Circle Fitting
/// Procedure and Its Error Analysis", IEEE Transactions on Instrumentation and
/// Measurement 25, 1976).
fn circle_through(points: &[[f64; 2]]) -> Option<[f64; 3]> {
    if points.len() < RAYS / 4 {
        return None;
    }
    let n = points.len() as f64;
    let mean = [0, 1].map(|i| points.iter().map(|p| p[i]).sum::<f64>() / n);
    let (mut uu, mut uv, mut vv, mut ru, mut rv, mut rr) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for p in points {
        let (u, v) = (p[0] - mean[0], p[1] - mean[1]);
        let square = u * u + v * v;
        (uu, uv, vv) = (uu + u * u, uv + u * v, vv + v * v);
        (ru, rv, rr) = (ru + square * u, rv + square * v, rr + square);
    }
    let below = 2.0 * (uu * vv - uv * uv);
    if below.abs() < 1e-9 {
        return None;
    }
    let (u, v) = ((ru * vv - rv * uv) / below, (rv * uu - ru * uv) / below);
    Some([mean[0] + u, mean[1] + v, (u * u + v * v + rr / n).sqrt()])
}
