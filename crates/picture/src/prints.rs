//! Prints drawn by ourselves: small repeats that look like cloth on paper.
//!
//! A print is drawn over the flat ground of its cloth, in a square of 100 × 100 that
//! repeats both ways without a break. y runs along the length of the cloth.
//!
//! **Invariant.** A figure either stays inside the square or is drawn again on the
//! opposite edge, so that no repeat shows a cut. The ground is no part of the tile: where
//! a viewer leaves a hairline between repeats, the ground shows through.

use quilt::plan::Print;

use crate::colour::Rgb;
use crate::palette::ClothInk;

/// A repeat smaller than this on paper is drawn as its mean colour, points.
pub const FINEST: f64 = 1.5;
/// The smallest repeat that is drawn, points; finer ones down to [`FINEST`] are enlarged.
pub const READABLE: f64 = 3.6;

/// One filled figure of a repeat.
pub(crate) struct Figure {
    /// SVG path data in the 100 × 100 square.
    pub(crate) d: String,
    pub(crate) colour: Rgb,
}

/// The size at which a repeat of so many points is drawn; `None` for its mean colour.
pub(crate) fn drawn_repeat(points: f64) -> Option<f64> {
    (points >= FINEST).then_some(points.max(READABLE))
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

/// The figures of one repeat, undermost first; none for a plain cloth.
pub(crate) fn figures(cloth: &ClothInk) -> Vec<Figure> {
    let (ground, second) = (cloth.ground, cloth.figure);
    let tone = |share: f64| ground.mixed(second, share);
    match cloth.print {
        Print::Plain => Vec::new(),
        Print::Stripe => vec![
            figure(column(12.0, 28.0), second),
            figure(column(58.0, 4.0) + &column(74.0, 4.0), second),
        ],
        Print::Plaid => plaid(&tone),
        Print::Dot => vec![figure(disc(25.0, 25.0, 13.5) + &disc(75.0, 75.0, 13.5), second)],
        Print::Tonal => tonal(&tone),
        Print::Leafy => leafy(&tone),
    }
}

fn figure(d: String, colour: Rgb) -> Figure {
    Figure { d, colour }
}

/// Bands both ways; where two cross the colour is full, as in a woven check.
fn plaid(tone: &dyn Fn(f64) -> Rgb) -> Vec<Figure> {
    let (wide, thin) = ([10.0, 36.0], [68.0, 6.0]);
    vec![
        figure(column(wide[0], wide[1]) + &row(wide[0], wide[1]), tone(0.5)),
        figure(column(thin[0], thin[1]) + &row(thin[0], thin[1]), tone(0.75)),
        figure(rect(wide[0], wide[0], wide[1], wide[1]), tone(1.0)),
    ]
}

/// Soft clouds of two strengths, like a hand-dyed cloth.
fn tonal(tone: &dyn Fn(f64) -> Rgb) -> Vec<Figure> {
    let faint = cloud(27.0, 24.0, 25.0, 14.0) + &cloud(74.0, 66.0, 22.0, 17.0) + &cloud(24.0, 78.0, 14.0, 9.0);
    let strong = cloud(70.0, 20.0, 12.0, 8.0) + &cloud(30.0, 54.0, 13.0, 6.0) + &cloud(79.0, 70.0, 9.0, 7.0);
    vec![figure(faint, tone(0.22)), figure(strong, tone(0.45))]
}

/// Leaves of two sizes strewn in all directions, the small ones fainter.
fn leafy(tone: &dyn Fn(f64) -> Rgb) -> Vec<Figure> {
    let large = [(24.0, 26.0, 35.0), (72.0, 20.0, 152.0), (70.0, 70.0, 62.0), (25.0, 76.0, 118.0)];
    let small = [(48.0, 48.0, 10.0), (48.0, 88.0, 75.0), (48.0, 9.0, 100.0), (90.0, 46.0, 140.0), (9.0, 50.0, 80.0)];
    let leaves = |of: &[(f64, f64, f64)], reach: f64| -> String {
        of.iter().map(|&(x, y, turn)| leaf(x, y, reach, turn)).collect()
    };
    vec![figure(leaves(&small, 8.0), tone(0.5)), figure(leaves(&large, 20.0), tone(0.95))]
}

fn column(x: f64, width: f64) -> String {
    format!("M{x} 0h{width}v100h-{width}z")
}

fn row(y: f64, height: f64) -> String {
    format!("M0 {y}h100v{height}h-100z")
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
