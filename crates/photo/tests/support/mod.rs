//! Prints made by rule and photographed by rule: everything about them is known.
//!
//! A [`Print`] is a colour for every point of a cloth, in inches. A [`Camera`] makes a
//! picture of it: how many pixels an inch, turned how far, in what light, how noisy and
//! how blurred. Shared by the tests and the benchmarks.

#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test and benchmark uses a part"
)]

pub mod camera;
pub mod made;

/// Numbers that look random and are the same every time (xorshift64*; Vigna, "An
/// experimental exploration of Marsaglia's xorshift generators, scrambled", ACM
/// Transactions on Mathematical Software 42, 2016).
#[derive(Clone)]
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        for _ in 0..8 {
            dice.next();
        }
        dice
    }

    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// From 0 to 1.
    pub fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.part()
    }

    pub fn below(&mut self, many: usize) -> usize {
        (self.part() * many as f64) as usize
    }

    /// About normal, mean 0, spread 1: twelve even ones added (Irwin–Hall).
    pub fn bell(&mut self) -> f64 {
        (0..12).map(|_| self.part()).sum::<f64>() - 6.0
    }
}

/// The outline of a figure in a square of side 1 about the middle.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Shape {
    /// Looks the same turned any way.
    Disc,
    /// The same upside down, not sideways.
    Leaf,
    /// One way up: a cup on a stem with a leaf to one side.
    Tulip,
    /// One way up: three tiers and a trunk.
    Fir,
    /// One way up.
    Heart,
    /// One way up: five rays.
    Star,
}

impl Shape {
    fn covers(self, x: f64, y: f64) -> bool {
        match self {
            Self::Disc => x.hypot(y) < 0.5,
            Self::Leaf => x.abs() < 0.22 * (1.0 - 4.0 * y * y),
            Self::Tulip => {
                let cup = y < -0.02 && y > -0.5 + 0.18 * (x * 20.0).cos().abs() && x.abs() < 0.28
                    || (x.hypot(y + 0.05) < 0.28 && y > -0.06);
                let stem = x.abs() < 0.05 && y > 0.0 && y < 0.5;
                let leaf = (x - 0.16).hypot((y - 0.3) * 0.6) < 0.13 && x > 0.03;
                cup || stem || leaf
            }
            Self::Fir => {
                let tier = |top: f64, wide: f64| {
                    let down = (y - top) / 0.34;
                    (0.0..=1.0).contains(&down) && x.abs() < wide * down
                };
                tier(-0.5, 0.25)
                    || tier(-0.26, 0.34)
                    || tier(0.0, 0.42)
                    || (x.abs() < 0.07 && y > 0.3 && y < 0.5)
            }
            Self::Heart => {
                let (u, v) = (x.abs() * 2.3, -y * 2.3 + 0.25);
                let a = u * u + v * v - 0.75;
                a * a * a - u * u * v * v * v < 0.0
            }
            Self::Star => {
                let angle = x.atan2(-y).rem_euclid(std::f64::consts::TAU / 5.0);
                let off =
                    (angle - std::f64::consts::TAU / 10.0).abs() / (std::f64::consts::TAU / 10.0);
                x.hypot(y) < 0.2 + 0.3 * off * off
            }
        }
    }
}

/// One figure of a print.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    pub at: [f64; 2],
    /// The side of its square, inches.
    pub size: f64,
    /// Clockwise, radians.
    pub turn: f64,
    pub shape: Shape,
    /// Index into the print's colours.
    pub colour: usize,
}

/// Bands across one way: where each begins and ends in the period, and its colour.
pub type Bands = Vec<(f64, f64, usize)>;

pub enum Drawn {
    /// One colour.
    Plain,
    /// Bands along the length of the cloth and across it, each with its period.
    Woven {
        along: (f64, Bands),
        across: Option<(f64, Bands)>,
    },
    /// Figures in a rectangle that is repeated.
    Repeated {
        cell: [f64; 2],
        figures: Vec<Figure>,
    },
    /// Figures strewn over a cloth of this size.
    Strewn {
        size: [f64; 2],
        figures: Vec<Figure>,
        reach: f64,
    },
}

/// A cloth: a colour, linear light, for every point.
pub struct Print {
    pub colours: Vec<[f64; 3]>,
    pub drawn: Drawn,
    buckets: Vec<Vec<usize>>,
    wide: usize,
}

impl Print {
    pub fn new(colours: Vec<[f64; 3]>, drawn: Drawn) -> Self {
        let mut print = Self {
            colours,
            drawn,
            buckets: Vec::new(),
            wide: 0,
        };
        if let Drawn::Strewn {
            size,
            figures,
            reach,
        } = &print.drawn
        {
            print.wide = (size[0] / reach).ceil() as usize + 1;
            let high = (size[1] / reach).ceil() as usize + 1;
            print.buckets = vec![Vec::new(); print.wide * high];
            for (i, figure) in figures.iter().enumerate() {
                let at = figure.at.map(|v| (v / reach) as usize);
                print.buckets[at[1] * print.wide + at[0]].push(i);
            }
        }
        print
    }

    /// The light of one point, inches.
    pub fn light(&self, x: f64, y: f64) -> [f64; 3] {
        let colour = match &self.drawn {
            Drawn::Plain => 0,
            Drawn::Woven { along, across } => {
                let band = |(period, bands): &(f64, Bands), v: f64| {
                    let v = v.rem_euclid(*period);
                    bands
                        .iter()
                        .find(|(from, to, _)| v >= *from && v < *to)
                        .map(|b| b.2)
                };
                let (one, other) = (band(along, x), across.as_ref().and_then(|a| band(a, y)));
                return match (one, other) {
                    // Threads of both ways lie side by side and mix.
                    _ if across.is_some() => {
                        let (a, b) = (
                            self.colours[one.unwrap_or(0)],
                            self.colours[other.unwrap_or(0)],
                        );
                        [0, 1, 2].map(|i| f64::midpoint(a[i], b[i]))
                    }
                    _ => self.colours[one.unwrap_or(0)],
                };
            }
            Drawn::Repeated { cell, figures } => {
                let mut top = 0;
                let (x, y) = (x.rem_euclid(cell[0]), y.rem_euclid(cell[1]));
                for figure in figures {
                    for (dx, dy) in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (i, j))) {
                        let (dx, dy) = (f64::from(dx) * cell[0], f64::from(dy) * cell[1]);
                        if covers(figure, x - dx, y - dy) {
                            top = figure.colour;
                        }
                    }
                }
                top
            }
            Drawn::Strewn { figures, reach, .. } => {
                let (bx, by) = ((x / reach).floor() as i64, (y / reach).floor() as i64);
                let mut top = 0;
                for (i, j) in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (bx + i, by + j))) {
                    if i < 0 || j < 0 || i >= self.wide as i64 {
                        continue;
                    }
                    let bucket = self.buckets.get(j as usize * self.wide + i as usize);
                    for &figure in bucket.into_iter().flatten() {
                        if covers(&figures[figure], x, y) {
                            top = figures[figure].colour;
                        }
                    }
                }
                top
            }
        };
        self.colours[colour]
    }

    /// The mean light over a rectangle from the corner, by looking at very many points.
    pub fn mean(&self, width: f64, height: f64) -> [f64; 3] {
        const LOOKS: usize = 400;
        let mut sum = [0.0; 3];
        for i in 0..LOOKS * LOOKS {
            let part = |i: usize| (i as f64 + 0.5) / LOOKS as f64;
            let light = self.light(part(i % LOOKS) * width, part(i / LOOKS) * height);
            for (sum, part) in sum.iter_mut().zip(light) {
                *sum += part;
            }
        }
        sum.map(|s| s / (LOOKS * LOOKS) as f64)
    }
}

fn covers(figure: &Figure, x: f64, y: f64) -> bool {
    let (dx, dy) = (x - figure.at[0], y - figure.at[1]);
    if dx.hypot(dy) > 0.75 * figure.size {
        return false;
    }
    let (c, s) = (figure.turn.cos(), figure.turn.sin());
    let (u, v) = (dx * c + dy * s, -dx * s + dy * c);
    figure.shape.covers(u / figure.size, v / figure.size)
}
