//! Prints drawn by ourselves: small repeats that look like cloth on paper.
//!
//! A print is drawn over the flat ground of its cloth. One repeat is a square of
//! 100 × 100; y runs along the length of the cloth.
//!
//! **Invariant.** A figure either stays inside its tile or goes on unbroken from the
//! opposite edge, so that no repeat shows a cut. The ground is no part of the tile, and
//! tiles of stripes and checks hold many repeats: where a viewer leaves a hairline
//! between tiles, little of it shows.

use quilt::plan::Print;

use crate::colour::Rgb;
use crate::palette::ClothInk;

/// A repeat smaller than this on paper is drawn as its mean colour, points.
pub(crate) const FINEST: f64 = 1.5;
/// The smallest repeat that is drawn, points; finer ones down to [`FINEST`] are enlarged.
pub(crate) const READABLE: f64 = 3.6;

/// What is repeated: filled figures in a rectangle whose sides are whole repeats.
pub(crate) struct Tile {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// The undermost first; none for a plain cloth.
    pub(crate) figures: Vec<Figure>,
}

/// One filled figure of a tile.
pub(crate) struct Figure {
    /// SVG path data; 100 units are one repeat.
    pub(crate) d: String,
    pub(crate) colour: Rgb,
}

/// Clouds smaller than this look like a weave instead.
const CLOUDY: f64 = 7.0;

/// The size at which a repeat of so many points is drawn; `None` for its mean colour.
pub(crate) fn drawn_repeat(print: Print, points: f64) -> Option<f64> {
    let finest = if print == Print::Tonal {
        CLOUDY
    } else {
        FINEST
    };
    (points >= finest).then_some(points.max(READABLE))
}

/// The colour a cloth has from afar: ground and figures in the shares they cover.
#[must_use]
pub fn mean(cloth: &ClothInk) -> Rgb {
    cloth.ground.mixed(cloth.figure, cover(cloth.print))
}

/// How much of the ground the figures cover, by the areas drawn below.
fn cover(print: Print) -> f64 {
    match print {
        Print::Plain => 0.0,
        Print::Stripe => 0.36,
        Print::Plaid => 0.42,
        Print::Dot => 0.11,
        Print::Tonal => 0.16,
        Print::Leafy => 0.24,
    }
}

/// Length of a tile of stripes.
const LONG: f64 = 2400.0;
/// Repeats each way in a tile of checks.
const CHECKS: u32 = 4;

/// The tile of a cloth's print.
pub(crate) fn tile(cloth: &ClothInk) -> Tile {
    let (ground, second) = (cloth.ground, cloth.figure);
    let tone = |share: f64| ground.mixed(second, share);
    let (mut width, mut height) = (100.0, 100.0);
    let figures = match cloth.print {
        Print::Plain => Vec::new(),
        Print::Stripe => {
            height = LONG;
            let stripes = [(12.0, 28.0), (58.0, 4.0), (74.0, 4.0)];
            vec![figure(
                stripes.map(|(x, w)| rect(x, 0.0, w, LONG)).concat(),
                second,
            )]
        }
        Print::Plaid => {
            (width, height) = (100.0 * f64::from(CHECKS), 100.0 * f64::from(CHECKS));
            plaid(&tone, width)
        }
        Print::Dot => vec![figure(
            disc(25.0, 25.0, 13.5) + &disc(75.0, 75.0, 13.5),
            second,
        )],
        Print::Tonal => {
            (width, height) = (200.0, 200.0);
            tonal(&tone)
        }
        Print::Leafy => leafy(&tone),
    };
    Tile {
        width,
        height,
        figures,
    }
}

fn figure(d: String, colour: Rgb) -> Figure {
    Figure { d, colour }
}

/// Bands both ways; where two cross the colour is full, as in a woven check.
fn plaid(tone: &dyn Fn(f64) -> Rgb, side: f64) -> Vec<Figure> {
    let (wide, thin) = ([10.0, 36.0], [68.0, 6.0]);
    let starts = || (0..CHECKS).map(|i| 100.0 * f64::from(i));
    let bands = |[at, w]: [f64; 2]| -> String {
        starts()
            .map(|s| rect(s + at, 0.0, w, side) + &rect(0.0, s + at, side, w))
            .collect()
    };
    let crossings = starts()
        .flat_map(|x| starts().map(move |y| rect(x + wide[0], y + wide[0], wide[1], wide[1])))
        .collect();
    vec![
        figure(bands(wide), tone(0.5)),
        figure(bands(thin), tone(0.75)),
        figure(crossings, tone(1.0)),
    ]
}

/// Soft clouds, like a hand-dyed cloth; each is drawn inside paler and larger ones, so
/// that its edge fades.
fn tonal(tone: &dyn Fn(f64) -> Rgb) -> Vec<Figure> {
    let clouds = [
        (38.0, 34.0, 36.0, 24.0),
        (128.0, 22.0, 40.0, 18.0),
        (92.0, 84.0, 46.0, 26.0),
        (166.0, 96.0, 30.0, 30.0),
        (30.0, 122.0, 26.0, 34.0),
        (104.0, 156.0, 42.0, 24.0),
        (172.0, 172.0, 26.0, 18.0),
        (42.0, 182.0, 24.0, 12.0),
    ];
    let at = |size: f64| -> String {
        clouds
            .iter()
            .map(|&(x, y, rx, ry)| {
                cloud(
                    x + 3.0 * (1.0 - size),
                    y - 4.0 * (1.0 - size),
                    rx * size,
                    ry * size,
                )
            })
            .collect()
    };
    let layers = [
        (1.0, 0.07),
        (0.86, 0.13),
        (0.72, 0.19),
        (0.57, 0.25),
        (0.42, 0.3),
        (0.26, 0.35),
    ];
    layers
        .map(|(size, share)| figure(at(size), tone(share)))
        .into()
}

/// Leaves of two sizes strewn in all directions, the small ones fainter.
fn leafy(tone: &dyn Fn(f64) -> Rgb) -> Vec<Figure> {
    let large = [
        (24.0, 26.0, 35.0),
        (72.0, 20.0, 152.0),
        (70.0, 70.0, 62.0),
        (25.0, 76.0, 118.0),
    ];
    let small = [
        (48.0, 48.0, 10.0),
        (48.0, 88.0, 75.0),
        (48.0, 9.0, 100.0),
        (90.0, 46.0, 140.0),
        (9.0, 50.0, 80.0),
    ];
    let leaves = |of: &[(f64, f64, f64)], reach: f64| -> String {
        of.iter()
            .map(|&(x, y, turn)| leaf(x, y, reach, turn))
            .collect()
    };
    vec![
        figure(leaves(&small, 8.0), tone(0.5)),
        figure(leaves(&large, 20.0), tone(0.95)),
    ]
}

fn rect(x: f64, y: f64, width: f64, height: f64) -> String {
    format!("M{x} {y}h{width}v{height}h-{width}z")
}

fn disc(x: f64, y: f64, r: f64) -> String {
    let (left, across) = (x - r, 2.0 * r);
    format!("M{left} {y}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0z")
}

/// A rounded blob leaning to the right.
fn cloud(x: f64, y: f64, rx: f64, ry: f64) -> String {
    let (l, r, t, b) = (x - rx, x + rx, y - ry, y + ry);
    let (lean, dip) = (rx * 0.45, ry * 0.7);
    let c1 = format!("C{l} {} {} {t} {} {t}", y - dip, x - lean, x + lean * 0.4);
    let c2 = format!("C{} {t} {r} {} {r} {}", x + rx * 0.9, y - dip, y + ry * 0.1);
    let c3 = format!("C{r} {} {} {b} {} {b}", y + dip, x + lean, x - lean * 0.4);
    let c4 = format!("C{} {b} {l} {} {l} {y}", x - rx * 0.9, y + dip);
    format!("M{l} {y}{c1}{c2}{c3}{c4}z")
}

/// A leaf about its middle: two arcs from tip to tip, turned clockwise.
fn leaf(x: f64, y: f64, reach: f64, turn: f64) -> String {
    let (c, s) = (turn.to_radians().cos(), turn.to_radians().sin());
    let at = |along: f64, aside: f64| {
        let p = [x + along * c - aside * s, y + along * s + aside * c];
        format!("{:.1} {:.1}", p[0], p[1])
    };
    let w = reach * 0.62;
    format!(
        "M{}Q{} {}Q{} {}z",
        at(-reach, 0.0),
        at(-reach * 0.1, -w),
        at(reach, 0.0),
        at(-reach * 0.1, w),
        at(-reach, 0.0)
    )
}
