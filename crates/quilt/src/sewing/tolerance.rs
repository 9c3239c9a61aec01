//! What small errors of cutting and sewing add up to.
//!
//! Every cut edge lies a little off, every seam allowance a little too wide or narrow.
//! Positions of the finished block are linear in these errors to first order. So each
//! patch carries a sparse list of how far it is shifted for each error (one row of the
//! Jacobian each way), and every join adds two: units are laid with their raw edges
//! together, and, along the seam, with their raw ends together at its first end.
//!
//! For a row of n patches of cut width c this gives the formulas of a stack of n cut
//! widths and n − 1 seams: σ² = n σ_c² + 4 (n − 1) σ_s² across, and for seam line k from
//! the raw edge k σ_c² + (4 (k − 1) + 1) σ_s²; two rows laid edge to edge miss each other
//! by twice the latter. A constant error of the allowance shifts the width by
//! −2 (n − 1) b.
//!
//! **Units.** Inches; floating point, since these are likelihoods.
//!
//! **Assumes** independent errors of edges (half the variance of a cut width each) and of
//! seams, one constant error common to all seams, nothing eased or pinned, units that are
//! shifted but not turned. Pinning and easing bring the misses below the forecast.
//!
//! **Trimming** cuts off what is over and adds nothing where it is short. For one unit
//! that is a cut-off normal distribution, which has a closed form ([`Trimmed`]).

use geometry::Point;

use super::seams::Seams;
use super::{BlockSewing, Ingredient};
use crate::block::Block;
use crate::measure::Measure;
use crate::plan::{Plan, SewingPlan};

/// A crossing that misses by more than this shows, inches: the usual working tolerance of
/// a block (*common practice*).
pub const SHOWS: f64 = 1.0 / 16.0;

/// The maker's errors, inches.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Errors {
    /// Standard deviation of a cut width.
    pub cut: f64,
    /// Standard deviation of a seam allowance.
    pub seam: f64,
    /// By how much every allowance is too wide, the fold of the pressed seam counted in.
    pub bias: f64,
    /// Whether the maker's own strips say so, or they are assumed.
    pub measured: bool,
}

impl Errors {
    /// From the plan: measured strips, else what the plan assumes.
    ///
    /// Three strips of width w sewn side by side show w − 2 s of the middle one. With a
    /// mean m the allowance is too wide by (w − 2 s − m) / 2; the spread of the middles is
    /// that of one cut width and two allowances, which gives the spread of an allowance
    /// once three tests or more are there.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let SewingPlan {
            cut_error,
            seam_error,
            three_strips,
            ..
        } = &plan.sewing;
        let (cut, assumed) = (cut_error.to_f64(), seam_error.to_f64());
        let shown: Vec<f64> = three_strips.iter().map(geometry::Surd::to_f64).collect();
        if shown.is_empty() {
            return Self {
                cut,
                seam: assumed,
                bias: 0.0,
                measured: false,
            };
        }
        let count = shown.len() as f64;
        let mean = shown.iter().sum::<f64>() / count;
        let should = test_strip(plan.measure) - 2.0 * plan.seam.to_f64();
        let seam = if shown.len() < 3 {
            assumed
        } else {
            let spread = shown.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / (count - 1.0);
            ((spread - cut * cut) / 2.0).max(0.0).sqrt()
        };
        Self {
            cut,
            seam,
            bias: (should - mean) / 2.0,
            measured: true,
        }
    }
}

/// The width of the strips of the three-strip test, inches.
#[must_use]
pub fn test_strip(measure: Measure) -> f64 {
    match measure {
        Measure::Inch => 1.5,
        Measure::Centimetre => 4.0 / 2.54,
    }
}

/// A mean and a standard deviation, inches.
#[derive(Clone, Copy, PartialEq, Default, Debug)]
pub struct Spread {
    /// How far off it is on average.
    pub mean: f64,
    /// Standard deviation about that.
    pub sigma: f64,
}

impl Spread {
    /// How likely it is further off than this, either way.
    #[must_use]
    pub fn beyond(&self, limit: f64) -> f64 {
        if self.sigma <= 0.0 {
            return f64::from(u8::from(self.mean.abs() > limit));
        }
        let above = tail((limit - self.mean) / self.sigma);
        above + tail((limit + self.mean) / self.sigma)
    }
}

/// What a unit has over before it is trimmed, and what is left to chance.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Trimmed {
    /// How likely the unit is too small to trim.
    pub short: f64,
    /// How much it is too small on average, all units counted, inches.
    pub lacking: f64,
}

/// A unit that is made larger by `reserve` on average, with this spread, and trimmed: the
/// lower tail of the normal distribution, and its first moment.
#[must_use]
pub fn trimmed(reserve: f64, sigma: f64) -> Trimmed {
    if sigma <= 0.0 {
        return Trimmed {
            short: f64::from(u8::from(reserve < 0.0)),
            lacking: (-reserve).max(0.0),
        };
    }
    let z = reserve / sigma;
    let density = (-0.5 * z * z).exp() / (std::f64::consts::TAU).sqrt();
    let short = tail(z);
    Trimmed {
        short,
        lacking: (sigma * (density - z * short)).max(0.0),
    }
}

/// The forecast of one block.
#[derive(Clone, PartialEq, Debug)]
pub struct Forecast {
    /// How far the finished block is off across and down.
    pub width: Spread,
    /// See `width`.
    pub height: Spread,
    /// For each join the points inside it where seams of both units meet, and by how much
    /// they miss each other along the seam, unpinned.
    pub misses: Vec<Vec<(Point, Spread)>>,
    /// How many points of one block miss by more than [`SHOWS`], on average, unpinned.
    pub showing: f64,
    /// Steps whose unit is cut with something over and is trimmed after sewing.
    pub trims: Vec<Trim>,
}

/// A unit to trim.
#[derive(Clone, PartialEq, Debug)]
pub struct Trim {
    /// Which step makes it.
    pub step: usize,
    /// How much of the cut size is rounding, inches: what there is to trim, at least.
    pub reserve: f64,
    /// What is left to chance with the maker's errors.
    pub chance: Trimmed,
}

/// An error that may occur.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Cause {
    /// A cut edge of a patch lies further out, by patch and outline edge.
    Edge(usize, usize),
    /// The allowance of a join is wider.
    Allowance(usize),
}

/// A sum of errors with their factors, by cause, ascending.
type Sum = Vec<(Cause, f64)>;

fn add(sum: &mut Sum, other: &[(Cause, f64)], factor: f64) {
    if factor == 0.0 {
        return;
    }
    let mut both = Sum::with_capacity(sum.len() + other.len());
    let mut own = sum.drain(..).peekable();
    for &(cause, more) in other {
        while let Some(before) = own.next_if(|(mine, _)| *mine < cause) {
            both.push(before);
        }
        let known = own.next_if(|(mine, _)| *mine == cause);
        both.push((cause, known.map_or(0.0, |(_, known)| known) + more * factor));
    }
    both.extend(own);
    *sum = both;
}

fn spread(sum: &Sum, errors: &Errors) -> Spread {
    let (mut mean, mut variance) = (0.0, 0.0);
    for (cause, factor) in sum {
        let sigma = match cause {
            Cause::Edge(..) => errors.cut / std::f64::consts::SQRT_2,
            Cause::Allowance(_) => {
                mean += factor * errors.bias;
                errors.seam
            }
        };
        variance += (factor * sigma).powi(2);
    }
    Spread {
        mean,
        sigma: variance.sqrt(),
    }
}

/// Works out what the errors of a block add up to.
#[must_use]
pub fn forecast(plan: &Plan, block: &Block, sewn: &BlockSewing, errors: &Errors) -> Forecast {
    let mut table = Table {
        block,
        seams: Seams::of(block, sewn),
        shift: vec![[Sum::new(), Sum::new()]; block.patches.len()],
    };
    let mut misses = Vec::new();
    for join in 0..sewn.joins.len() {
        misses.push(table.join(join, errors));
    }
    let showing = misses
        .iter()
        .flatten()
        .map(|(_, miss)| miss.beyond(SHOWS))
        .sum();
    Forecast {
        width: table.extent([1.0, 0.0], errors),
        height: table.extent([0.0, 1.0], errors),
        misses,
        showing,
        trims: trims(plan, block, sewn, errors),
    }
}

/// Where everything lies so far.
struct Table<'a> {
    block: &'a Block,
    seams: Seams<'a>,
    /// For each patch how far it is shifted in x and in y.
    shift: Vec<[Sum; 2]>,
}

impl Table<'_> {
    /// Lays the right unit on the left one and says what misses what along the seam.
    fn join(&mut self, index: usize, errors: &Errors) -> Vec<(Point, Spread)> {
        let join = &self.seams.joins[index];
        let [x, y] = join.seam.vector().to_f64();
        let length = x.hypot(y);
        let along = [x / length, y / length];
        // Towards the right unit.
        let across = [-along[1], along[0]];
        let Some(&edge) = self.seams.edges[index].first() else {
            return Vec::new();
        };
        let faces = [
            self.block.drafted.arrangement.edges[edge].left,
            self.block.drafted.arrangement.edges[edge].right,
        ];
        let on = |patches: &[usize]| {
            faces
                .into_iter()
                .flatten()
                .find(|face| patches.binary_search(face).is_ok())
        };
        let (Some(left), Some(right)) = (on(&join.left), on(&join.right)) else {
            return Vec::new();
        };
        let segment = self.block.drafted.arrangement.segment(edge);
        // Across: the raw edges lie on each other, the seam takes both allowances.
        let mut gap = self.toward(left, across);
        add(&mut gap, &self.raw(left, &segment), 1.0);
        add(&mut gap, &self.toward(right, across), -1.0);
        add(&mut gap, &self.raw(right, &segment), 1.0);
        add(&mut gap, &[(Cause::Allowance(index), 1.0)], -2.0);
        // Along: the raw ends lie on each other where the seam begins.
        let mut slide = self.raw_end(index, true, along).unwrap_or_default();
        add(
            &mut slide,
            &self.raw_end(index, false, along).unwrap_or_default(),
            -1.0,
        );
        for &patch in &join.right {
            for axis in 0..2 {
                add(&mut self.shift[patch][axis], &gap, across[axis]);
                add(&mut self.shift[patch][axis], &slide, along[axis]);
            }
        }
        self.misses(index, along, errors)
    }

    /// How a patch is shifted in a direction.
    fn toward(&self, patch: usize, way: [f64; 2]) -> Sum {
        let mut sum = Sum::new();
        for (shift, along) in self.shift[patch].iter().zip(way) {
            add(&mut sum, shift, along);
        }
        sum
    }

    /// The error of the cut edge of a patch that lies along a stretch.
    fn raw(&self, patch: usize, stretch: &geometry::Segment) -> Sum {
        let mut edges = self.block.patches[patch].outline.edges();
        let edge = edges.position(|e| e.contains(&stretch.a) && e.contains(&stretch.b));
        edge.map(|edge| vec![(Cause::Edge(patch, edge), 1.0)])
            .unwrap_or_default()
    }

    /// Where the raw end of a unit lies at the beginning of a seam, along it.
    fn raw_end(&self, index: usize, left: bool, along: [f64; 2]) -> Option<Sum> {
        let join = &self.seams.joins[index];
        let patches = if left { &join.left } else { &join.right };
        let drawing = &self.block.drafted.arrangement;
        let vertex = drawing.vertices.iter().position(|p| *p == join.seam.a)?;
        let run = join.seam.vector();
        // The outer edge of the unit at that end: one side in the unit, not on the seam.
        self.seams.at[vertex].iter().find_map(|&edge| {
            let sides = [drawing.edges[edge].left, drawing.edges[edge].right];
            let mut own = sides
                .into_iter()
                .flatten()
                .filter(|face| patches.binary_search(face).is_ok());
            let (patch, None) = (own.next()?, own.next()) else {
                return None;
            };
            let way = &drawing.vertices[self.seams.other_end(edge, vertex)] - &join.seam.a;
            if way.cross(&run).is_zero() {
                return None;
            }
            let mut sum = self.toward(patch, along);
            // Further out means further back along the seam, the more the slanter.
            let sine = way.cross(&run).to_f64().abs()
                / (way.length_squared().to_f64() * run.length_squared().to_f64()).sqrt();
            add(
                &mut sum,
                &self.raw(patch, &drawing.segment(edge)),
                -1.0 / sine,
            );
            Some(sum)
        })
    }

    /// By how much seams of both units miss each other on a join.
    fn misses(&self, index: usize, along: [f64; 2], errors: &Errors) -> Vec<(Point, Spread)> {
        let join = &self.seams.joins[index];
        let drawing = &self.block.drafted.arrangement;
        let inner = self.seams.inner_vertices(index).into_iter();
        inner
            .filter_map(|vertex| {
                let seam_of = |patches: &[usize]| {
                    let edges = self.seams.at[vertex].iter();
                    edges
                        .copied()
                        .find(|&edge| self.seams.within(edge, patches))
                };
                let ends = [seam_of(&join.left)?, seam_of(&join.right)?];
                let [one, other] = ends.map(|edge| self.seam_line(edge, along));
                let mut miss = one?;
                add(&mut miss, &other?, -1.0);
                Some((drawing.vertices[vertex].clone(), spread(&miss, errors)))
            })
            .collect()
    }

    /// How far a stitched seam lies along a direction: its patch's raw edge less the
    /// allowance, as far as the direction crosses it.
    fn seam_line(&self, edge: usize, along: [f64; 2]) -> Option<Sum> {
        let drawing = &self.block.drafted.arrangement;
        let join = self.seams.by_edge[edge]?;
        let stretch = drawing.segment(edge);
        let patch = drawing.edges[edge].left?;
        let [x, y] = stretch.vector().to_f64();
        // Out of the patch on the left hand, towards the right.
        let normal = [-y / x.hypot(y), x / x.hypot(y)];
        let across = normal[0] * along[0] + normal[1] * along[1];
        if across.abs() < 1e-9 {
            return None;
        }
        let mut out = self.toward(patch, normal);
        add(&mut out, &self.raw(patch, &stretch), 1.0);
        add(&mut out, &[(Cause::Allowance(join), 1.0)], -1.0);
        // Along the run the point lies where the seam's line meets it.
        let mut sum = Sum::new();
        add(&mut sum, &out, 1.0 / across);
        Some(sum)
    }

    /// How far the raw edges of the whole are apart in a direction, through its middle.
    fn extent(&self, way: [f64; 2], errors: &Errors) -> Spread {
        let (low, high) = self.block.drafted.outline.bounds();
        let middle = Point::midpoint(&low, &high);
        let end = |least: bool| {
            let level = way[0] != 0.0;
            self.block
                .drafted
                .arrangement
                .edges
                .iter()
                .enumerate()
                .find_map(|(index, edge)| {
                    let patch = match (edge.left, edge.right) {
                        (Some(patch), None) | (None, Some(patch)) => patch,
                        _ => return None,
                    };
                    let stretch = self.block.drafted.arrangement.segment(index);
                    let (at, a, b, want) = if level {
                        (
                            &stretch.a.x,
                            &stretch.a.y,
                            &stretch.b.y,
                            if least { &low.x } else { &high.x },
                        )
                    } else {
                        (
                            &stretch.a.y,
                            &stretch.a.x,
                            &stretch.b.x,
                            if least { &low.y } else { &high.y },
                        )
                    };
                    let through = if level { &middle.y } else { &middle.x };
                    let flat = if level {
                        stretch.a.x == stretch.b.x
                    } else {
                        stretch.a.y == stretch.b.y
                    };
                    let holds = a.min(b) <= through && through <= a.max(b);
                    if !(flat && at == want && holds) {
                        return None;
                    }
                    let mut sum = self.toward(patch, way);
                    let out = if least { -1.0 } else { 1.0 };
                    add(&mut sum, &self.raw(patch, &stretch), out);
                    Some(sum)
                })
        };
        let (Some(mut far), Some(near)) = (end(false), end(true)) else {
            return Spread::default();
        };
        add(&mut far, &near, -1.0);
        spread(&far, errors)
    }
}

/// Units that are cut with a reserve: two patches whose ruler size is rounded up, sewn to
/// a rectangle.
fn trims(plan: &Plan, block: &Block, sewn: &BlockSewing, errors: &Errors) -> Vec<Trim> {
    let reserve = |ingredient: Ingredient| match ingredient {
        Ingredient::Template(template) => {
            let rotary = block.templates[template].rotary.as_ref()?;
            let sizes = [&rotary.strip, &rotary.crosscut];
            let reserves = sizes.map(|cut| cut.size.to_f64() - cut.exact.to_f64());
            Some(reserves[0].min(reserves[1]))
        }
        Ingredient::Unit(_) => None,
    };
    let mark = plan.ruler.mark().to_f64();
    sewn.steps
        .iter()
        .enumerate()
        .filter_map(|(index, step)| {
            let over = reserve(step.left)?.min(reserve(step.right)?);
            let right_angled = sewn.joins[step.shown].outline.points().len() == 4;
            if !right_angled || over <= 1e-9 || over > mark {
                return None;
            }
            // Two cut edges and one seam across the unit.
            let sigma = (2.0 * errors.cut.powi(2) + 4.0 * errors.seam.powi(2)).sqrt();
            Some(Trim {
                step: index,
                reserve: over,
                chance: trimmed(over - 2.0 * errors.bias, sigma),
            })
        })
        .collect()
}

/// What seam to sew so that the finish is true, in words; `None` where strips were not
/// measured.
#[must_use]
pub fn advice(plan: &Plan, errors: &Errors) -> Option<String> {
    if !errors.measured {
        return None;
    }
    let measure = plan.measure;
    let say = |length: f64| {
        super::landing::Length {
            value: length,
            exact: None,
        }
        .say(measure)
    };
    let seam = plan.seam.to_f64();
    if errors.bias.abs() < 1.0 / 256.0 {
        return Some(format!(
            "Your strips say that your seam takes up {}: leave it as it is.",
            measure.say(&plan.seam)
        ));
    }
    let (way, sew) = if errors.bias > 0.0 {
        ("narrower", "scant")
    } else {
        ("wider", "full")
    };
    Some(format!(
        "Your strips say that each seam, fold and all, takes {:.3} in too {}: sew a {sew} {}, {:.3} in {way} ({}).",
        errors.bias.abs(),
        if errors.bias > 0.0 { "much" } else { "little" },
        measure.say(&plan.seam),
        errors.bias.abs(),
        say(seam - errors.bias),
    ))
}

/// The share of a normal distribution above z (Abramowitz and Stegun, *Handbook of
/// Mathematical Functions*, 7.1.26, good to 10⁻⁷).
fn tail(z: f64) -> f64 {
    if z < 0.0 {
        return 1.0 - tail(-z);
    }
    let x = z / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let sum = [
        1.061_405_429,
        -1.453_152_027,
        1.421_413_741,
        -0.284_496_736,
        0.254_829_592,
    ]
    .iter()
    .fold(0.0, |sum, factor| (sum + factor) * t);
    0.5 * sum * (-x * x).exp()
}
