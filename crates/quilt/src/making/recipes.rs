//! For each way of making a unit: what to cut, how many come of it, and at what work.
//!
//! With a seam of s, and F the finished side:
//!
//! ```text
//!   half-squares  two at a time     squares F + s(2 + √2)          2 from a pair
//!                 four at a time    squares √2(F + 2s) + 2s        4 from a pair
//!                 eight at a time   squares 2(F + s(2 + √2))       8 from a pair
//!   hourglasses   two at a time     squares F + 2s(1 + √2)         2 from a pair
//!   geese W × H   four at a time    one W + 2s(1 + √2), four H + s(2 + √2)
//!                 stitch and flip   (W + 2s) × (H + 2s), two squares H + 2s    1
//!   rows          strip set         strips of each width + 2s, crosscut at H + 2s
//!   corners       stitch and flip   the whole rectangle, squares of the leg + 2s
//! ```
//!
//! The check values beside the tests come from published charts; the geometry is checked
//! by cutting the sewn squares apart.
//!
//! **Units.** Exact inches; each size meets the ruler once.
//!
//! **Hands.** Half-square units, hourglasses of two cloths, geese under one sky and rows
//! are their own mirror image or turn into it, so a quick way never makes the wrong hand.
//! A unit with a left and a right hand would come out in equal numbers of both; none is
//! offered.

use geometry::Surd;

use super::batches::Wanted;
use super::units::{Shape, Threads};
use super::{Grain, Recipe, Refusal, Work};
use crate::block::rotary::{square_for_eight_units, square_for_four_units};
use crate::block::{Block, RotaryShape, Template};
use crate::cutting::{Take, Use};
use crate::measure::Cut;
use crate::plan::{ClothId, Direction, Plan, Way};

/// Length kept to square both ends of a strip set that does not take the whole width,
/// inches (common practice).
const SQUARING: (i64, i64) = (1, 2);

/// Every way the unit can be made, singly first; and why no other, if so.
pub(super) fn ways(plan: &Plan, block: &Block, wanted: &Wanted) -> (Vec<Recipe>, Vec<Refusal>) {
    let mut ways = vec![singly(block, wanted)];
    let mut refused = Vec::new();
    let turned = |cloth: &&ClothId| plan.cloth(**cloth).direction != Direction::Free;
    if let Some(&cloth) = wanted.cloths.iter().find(turned) {
        refused.push(Refusal::Direction(cloth));
        return (ways, refused);
    }
    let bench = Bench { plan, wanted };
    for &way in wanted.known.shape.kind().ways() {
        let Some(recipe) = bench.recipe(way) else {
            continue;
        };
        let wide = |(cloth, take): &(ClothId, Take)| {
            let across = plan.ruler.down(&plan.cloth(*cloth).width);
            (take.width.marks.min(take.height.marks) > across
                || (!take.turnable && take.width.marks > across))
                .then_some(*cloth)
        };
        match recipe.takes.iter().find_map(wide) {
            Some(cloth) => refused.push(Refusal::Width(way, cloth)),
            None => ways.push(recipe),
        }
    }
    (ways, refused)
}

/// Every patch on its own.
fn singly(block: &Block, wanted: &Wanted) -> Recipe {
    let (mut work, mut area) = (Work::default(), 0.0);
    for ((_, same), &count) in &wanted.patches {
        let template = &block.templates[same.template];
        work.add(cutting_of(template, count));
        area += f64::from(count) * area_of(template);
    }
    let per_unit = wanted.known.shape.seams();
    let seams = u32::try_from(per_unit.len()).unwrap_or(u32::MAX);
    work.seams = seams * wanted.needed;
    Recipe {
        way: Way::Singly,
        takes: Vec::new(),
        goes: wanted.needed,
        made: wanted.needed,
        work,
        seam_length: per_unit.iter().sum::<f64>() * f64::from(wanted.needed),
        area,
        grain: Grain::AsPlanned,
    }
}

/// What cutting so many pieces of a template takes.
fn cutting_of(template: &Template, count: u32) -> Work {
    let edges = u32::try_from(template.finished.points().len()).unwrap_or(u32::MAX);
    let (cuts, lines) = match template.rotary.as_ref().map(|rotary| rotary.shape) {
        Some(RotaryShape::HalfSquareTriangle | RotaryShape::HalfRectangleTriangle) => {
            (2 * count.div_ceil(2), 0)
        }
        Some(RotaryShape::QuarterSquareTriangle) => (3 * count.div_ceil(4), 0),
        Some(RotaryShape::Hexagon60) => (3 * count, 0),
        Some(_) => (count, 0),
        // A template is drawn round and cut on every side.
        None => (edges * count, edges * count),
    };
    Work {
        cuts,
        lines,
        seams: 0,
    }
}

/// Cloth one piece of a template takes, square inches.
fn area_of(template: &Template) -> f64 {
    match &template.rotary {
        Some(rotary) if rotary.advance.is_none() && rotary.shape != RotaryShape::Triangle60 => {
            let rectangle = rotary.strip.size.to_f64() * rotary.crosscut.size.to_f64();
            rectangle / f64::from(rotary.yields)
        }
        _ => geometry::area(&template.cut).abs(),
    }
}

impl Shape {
    /// Lengths of the seams of one unit sewn from single patches, inches, finished.
    fn seams(&self) -> Vec<f64> {
        let root2 = std::f64::consts::SQRT_2;
        match self {
            Self::HalfSquare { side, .. } => vec![side.to_f64() * root2],
            Self::Hourglass { side, .. } => {
                let short = side.to_f64() / root2;
                vec![short, short, 2.0 * short]
            }
            Self::Geese { height, .. } => vec![height.to_f64() * root2; 2],
            Self::Row { height, parts } => {
                vec![height.to_f64(); parts.len().saturating_sub(1)]
            }
            Self::Corners { corners, .. } => corners
                .iter()
                .map(|(_, leg)| leg.to_f64() * root2)
                .collect(),
        }
    }
}

impl Work {
    fn add(&mut self, other: Self) {
        self.cuts += other.cuts;
        self.lines += other.lines;
        self.seams += other.seams;
    }
}

/// Recipes for one batch of units.
struct Bench<'a> {
    plan: &'a Plan,
    wanted: &'a Wanted,
}

impl Bench<'_> {
    /// The recipe, if this kind of unit is made this way.
    fn recipe(&self, way: Way) -> Option<Recipe> {
        let cloths = self.wanted.cloths.as_slice();
        match (&self.wanted.known.shape, way, cloths) {
            (Shape::HalfSquare { side, .. }, _, &[a, b]) => self.half_squares(side, way, [a, b]),
            (Shape::Hourglass { side, .. }, Way::TwoAtATime, &[a, b]) => {
                Some(self.hourglasses(side, [a, b]))
            }
            (Shape::Geese { height, .. }, Way::FourAtATime, &[goose, sky]) => {
                Some(self.geese(height, goose, sky))
            }
            (Shape::Geese { height, .. }, Way::StitchAndFlip, &[goose, sky]) => {
                let size = [height.clone(), height.times(2)];
                let flips = [(sky, height.clone()), (sky, height.clone())];
                Some(self.flipped(goose, &size, &flips))
            }
            (Shape::Row { height, parts }, Way::StripSet, _) => {
                let widths: Vec<&Surd> = parts.iter().map(|(_, width)| width).collect();
                self.strip_set(height, &widths)
            }
            (
                Shape::Corners { size, corners, .. },
                Way::StitchAndFlip,
                &[main, ref others @ ..],
            ) => {
                let legs = corners.iter().map(|(_, leg)| leg.clone());
                let flips: Vec<(ClothId, Surd)> = others.iter().copied().zip(legs).collect();
                Some(self.flipped(main, size, &flips))
            }
            _ => None,
        }
    }

    fn seam(&self) -> &Surd {
        &self.plan.seam
    }

    fn cut(&self, exact: Surd) -> Cut {
        self.plan.ruler.cut(exact)
    }

    fn take(&self, size: [Cut; 2], turnable: bool, count: u32) -> Take {
        let [height, width] = size;
        Take {
            height,
            width,
            turnable,
            usage: Use::Unit(self.wanted.block, self.wanted.step),
            count,
        }
    }

    fn squares(&self, side: &Surd, count: u32) -> Take {
        let side = self.cut(side.clone());
        self.take([side.clone(), side], false, count)
    }

    /// How the threads lie when the unit's own sides come out straight.
    fn straight_outside(&self) -> Grain {
        match self.wanted.known.threads {
            Threads::Square => Grain::AsPlanned,
            Threads::Diagonal | Threads::Mixed => Grain::Turned,
        }
    }

    fn half_squares(&self, side: &Surd, way: Way, cloths: [ClothId; 2]) -> Option<Recipe> {
        // The square that is cut once into two of the triangles.
        let pair = square_for_eight_units(side, self.seam()).half();
        let (start, each, grain) = match way {
            Way::TwoAtATime => (pair, 2, self.straight_outside()),
            Way::EightAtATime => (pair.times(2), 8, self.straight_outside()),
            Way::FourAtATime => {
                let grain = match self.wanted.known.threads {
                    Threads::Square => Grain::BiasOutside,
                    Threads::Diagonal => Grain::AsPlanned,
                    Threads::Mixed => Grain::Turned,
                };
                (square_for_four_units(side, self.seam()), 4, grain)
            }
            _ => return None,
        };
        let goes = self.wanted.needed.div_ceil(each);
        let diagonal = start.to_f64() * std::f64::consts::SQRT_2;
        // Cuts with the first two squares; lines; runs of stitching and their length.
        let (cuts, lines, seams, length) = match way {
            Way::TwoAtATime => (2 + 1, 1, 2, 2.0 * diagonal),
            Way::FourAtATime => (2 + 2, 0, 4, 4.0 * start.to_f64()),
            _ => (2 + 4, 2, 4, 4.0 * diagonal),
        };
        let work = Work { cuts, lines, seams };
        let takes = cloths.map(|cloth| (cloth, self.squares(&start, goes)));
        Some(self.done(way, takes.into(), (goes, each), work, length, grain))
    }

    fn hourglasses(&self, side: &Surd, cloths: [ClothId; 2]) -> Recipe {
        let start = side + &(self.seam() * &(Surd::TWO + Surd::root2().times(2)));
        let goes = self.wanted.needed.div_ceil(2);
        let takes = cloths.map(|cloth| (cloth, self.squares(&start, goes)));
        let work = Work {
            cuts: 2 + 2,
            lines: 2,
            seams: 4,
        };
        let first = start.to_f64() * std::f64::consts::SQRT_2;
        // The first pass takes a seam off the diagonal.
        let second = first - 2.0 * self.seam().to_f64();
        let length = 2.0 * first + 2.0 * second;
        let grain = self.straight_outside();
        let way = Way::TwoAtATime;
        self.done(way, takes.into(), (goes, 2), work, length, grain)
    }

    fn geese(&self, height: &Surd, goose: ClothId, sky: ClothId) -> Recipe {
        let seam = self.seam();
        let large = height.times(2) + seam * &(Surd::TWO + Surd::root2().times(2));
        let small = height + &(seam * &(Surd::TWO + Surd::root2()));
        let goes = self.wanted.needed.div_ceil(4);
        let takes = vec![
            (goose, self.squares(&large, goes)),
            (sky, self.squares(&small, 4 * goes)),
        ];
        let work = Work {
            cuts: 5 + 3,
            lines: 4,
            seams: 6,
        };
        let root2 = std::f64::consts::SQRT_2;
        let length = root2 * (2.0 * large.to_f64() + 4.0 * small.to_f64());
        let grain = self.straight_outside();
        self.done(Way::FourAtATime, takes, (goes, 4), work, length, grain)
    }

    /// A rectangle with squares sewn over its corners.
    fn flipped(&self, main: ClothId, size: &[Surd; 2], flips: &[(ClothId, Surd)]) -> Recipe {
        let two = self.seam().times(2);
        let whole = size.clone().map(|side| self.cut(side + &two));
        let needed = self.wanted.needed;
        let turnable = whole[0] != whole[1];
        let mut takes = vec![(main, self.take(whole, turnable, needed))];
        let mut length = 0.0;
        for (cloth, leg) in flips {
            let square = leg + &two;
            length += square.to_f64() * std::f64::consts::SQRT_2;
            takes.push((*cloth, self.squares(&square, needed)));
        }
        let corners = u32::try_from(flips.len()).unwrap_or(u32::MAX);
        let work = Work {
            cuts: 1 + 2 * corners,
            lines: corners,
            seams: corners,
        };
        let grain = self.straight_outside();
        self.done(Way::StitchAndFlip, takes, (needed, 1), work, length, grain)
    }

    /// Strips as long as whole crosscuts fill, sewn side by side.
    fn strip_set(&self, height: &Surd, widths: &[&Surd]) -> Option<Recipe> {
        let two = self.seam().times(2);
        let crosscut = self.cut(height + &two);
        let across = self.across();
        let needed = i64::from(self.wanted.needed);
        let most = across / crosscut.marks.max(1);
        if most < 2 || needed < 2 {
            return None;
        }
        let (whole, rest) = (needed / most, needed % most);
        let (n, d) = SQUARING;
        let squared = |count: i64| {
            let length = crosscut.size.times(count) + Surd::ratio(n, d);
            self.plan.ruler.up(&length).min(across)
        };
        let mut takes = Vec::new();
        let mut length = 0.0;
        for (sets, long) in [(whole, squared(most)), (i64::from(rest > 0), squared(rest))] {
            let sets = u32::try_from(sets).unwrap_or_default();
            if sets == 0 {
                continue;
            }
            let long = self.cut(self.plan.ruler.length(long));
            let seams = f64::from(sets) * (widths.len() as f64 - 1.0);
            length += long.size.to_f64() * seams;
            for (cloth, width) in self.wanted.cloths.iter().zip(widths) {
                let strip = self.cut(*width + &two);
                takes.push((*cloth, self.take([strip, long.clone()], false, sets)));
            }
        }
        let sets = u32::try_from(whole + i64::from(rest > 0)).unwrap_or(u32::MAX);
        let strips = u32::try_from(widths.len()).unwrap_or(u32::MAX);
        Some(Recipe {
            way: Way::StripSet,
            area: area(&takes),
            takes,
            goes: sets,
            made: self.wanted.needed,
            work: Work {
                cuts: sets * strips + self.wanted.needed,
                lines: 0,
                seams: sets * (strips - 1),
            },
            seam_length: length,
            grain: self.straight_outside(),
        })
    }

    /// Marks across the narrowest of the cloths.
    fn across(&self) -> i64 {
        let cloths = self.wanted.cloths.iter();
        let across = cloths.map(|cloth| self.plan.ruler.down(&self.plan.cloth(*cloth).width));
        across.min().unwrap_or_default()
    }

    /// A recipe from what one go of it takes.
    fn done(
        &self,
        way: Way,
        takes: Vec<(ClothId, Take)>,
        (goes, each): (u32, u32),
        work: Work,
        length: f64,
        grain: Grain,
    ) -> Recipe {
        Recipe {
            way,
            area: area(&takes),
            takes,
            goes,
            made: goes * each,
            work: Work {
                cuts: work.cuts * goes,
                lines: work.lines * goes,
                seams: work.seams * goes,
            },
            seam_length: length * f64::from(goes),
            grain,
        }
    }
}

/// Cloth of everything taken, square inches.
fn area(takes: &[(ClothId, Take)]) -> f64 {
    let one =
        |take: &Take| take.height.size.to_f64() * take.width.size.to_f64() * f64::from(take.count);
    takes.iter().map(|(_, take)| one(take)).sum()
}
