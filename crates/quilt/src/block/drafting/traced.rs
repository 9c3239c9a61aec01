//! A drawing measured elsewhere, put on true points.
//!
//! Lines come in as floating numbers in whatever unit they were drawn in. The bounds of all
//! of them are laid on the block; then every end goes to the nearest true point, if one is
//! near enough:
//!
//! 1. a point of the divided square, for the coarsest division that takes nearly all that
//!    any takes;
//! 2. a crossing of lines that have found their place;
//! 3. a point where two rays at the multiples of 15° or 22½° cross, from the corners, the
//!    middles of the sides, the centre or a true point found before.
//!
//! A line with an end that finds nothing is left out and told, never guessed.

use geometry::{Meet, Point, Segment, Surd};

use super::joined;
use super::points::{edges, rays};
use crate::plan::BlockPlan;

/// An end may lie this share of the side from a point of the divided square. Half a pixel
/// of a drawing a hundred wide; a quarter of the finest division.
const REACH: f64 = 0.01;
/// Nor may it lie more than this share of a square away, or fine divisions would take
/// whatever there is.
const OF_SQUARE: f64 = 0.025;
/// It may lie this share of the side from a ray. Rays are many, so that a wider reach would
/// find one near any point.
const RAY_REACH: f64 = 0.002;
/// The finest division looked for.
const FINEST: i64 = 24;
/// A division is taken if it has this share of the ends that the best one has.
const ENOUGH: f64 = 0.95;
/// Points found that rays are drawn from, besides the nine of the bare square.
const SOURCES: usize = 60;
/// How far the drawing's proportion may be from the block's, or from a simple one.
const PROPORTION: f64 = 0.02;

/// Two ends in the drawing's own unit, y down.
pub type Measured = [[f64; 2]; 2];

/// What became of a drawing.
#[derive(Clone, PartialEq, Debug)]
pub struct Traced {
    /// The seams, those on one line made one.
    pub seams: Vec<Segment>,
    /// The finished height the block takes for it, inches; its width stays.
    pub height: Surd,
    /// Squares across that the ends lie on.
    pub division: u32,
    /// Lines with both ends on the divided square.
    pub on_grid: usize,
    /// Lines with an end at a crossing or on the rays.
    pub on_rays: usize,
    /// Lines that found no place: their ends in the block, inches.
    pub left_out: Vec<Measured>,
}

impl Traced {
    /// Lines of the drawing besides the edges.
    #[must_use]
    pub fn lines(&self) -> usize {
        self.on_grid + self.on_rays + self.left_out.len()
    }
}

/// Why nothing came of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Untraced {
    /// No lines, or all on one line.
    Flat,
    /// Neither as wide and high as the block, nor in a simple proportion.
    Proportion,
}

/// Lays the lines on the block.
///
/// # Errors
///
/// [`Untraced`].
pub fn traced(block: &BlockPlan, lines: &[Measured]) -> Result<Traced, Untraced> {
    let (low, high) = bounds(lines).ok_or(Untraced::Flat)?;
    let size = [high[0] - low[0], high[1] - low[1]];
    let largest = size[0].max(size[1]);
    if size.iter().any(|side| *side <= 1e-6 * largest) {
        return Err(Untraced::Flat);
    }
    let height = height(block, size[1] / size[0])?;
    let (wide, tall) = (block.width.to_f64(), height.to_f64());
    let place = |p: [f64; 2]| {
        [
            (p[0] - low[0]) / size[0] * wide,
            (p[1] - low[1]) / size[1] * tall,
        ]
    };
    let side = wide.min(tall);
    let lines: Vec<Measured> = lines
        .iter()
        .map(|line| line.map(place))
        .filter(|[a, b]| apart(*a, *b) > REACH * side)
        .filter(|line| !on_an_edge(line, [wide, tall], REACH * side))
        .collect();
    let mut work = Work {
        width: block.width.clone(),
        height: height.clone(),
        side,
        ends: Vec::new(),
    };
    let division = work.division(&lines);
    let grid: Vec<[Option<Point>; 2]> = lines
        .iter()
        .map(|line| line.map(|end| work.on_grid(end, division)))
        .collect();
    let on_grid = grid.iter().filter(|[a, b]| a.is_some() && b.is_some());
    let on_grid = on_grid.count();
    let found = work.rest(&lines, grid);
    let mut seams = Vec::new();
    let mut left_out = Vec::new();
    for (line, ends) in lines.iter().zip(found) {
        match ends {
            [Some(a), Some(b)] => {
                if let Some(seam) = Segment::new(a, b) {
                    seams = joined(seams, seam);
                }
            }
            _ => left_out.push(*line),
        }
    }
    seams.sort();
    Ok(Traced {
        seams,
        height,
        division: u32::try_from(division).unwrap_or(1),
        on_grid,
        on_rays: lines.len() - on_grid - left_out.len(),
        left_out,
    })
}

/// The block's own height, or a simple share of its width.
fn height(block: &BlockPlan, ratio: f64) -> Result<Surd, Untraced> {
    let near = |share: f64| (ratio / share - 1.0).abs() < PROPORTION;
    if near(block.height.to_f64() / block.width.to_f64()) {
        return Ok(block.height.clone());
    }
    for parts in 1..=8_i32 {
        for many in 1..=8 * parts {
            if near(f64::from(many) / f64::from(parts)) {
                let height = block.width.times(i64::from(many)).over(i64::from(parts));
                return Ok(height);
            }
        }
    }
    Err(Untraced::Proportion)
}

fn bounds(lines: &[Measured]) -> Option<([f64; 2], [f64; 2])> {
    let points = || lines.iter().flatten();
    if lines.is_empty() || points().flatten().any(|x| !x.is_finite()) {
        return None;
    }
    let fold =
        |axis: usize, of: fn(f64, f64) -> f64, from: f64| points().map(|p| p[axis]).fold(from, of);
    let low = [0, 1].map(|axis| fold(axis, f64::min, f64::INFINITY));
    let high = [0, 1].map(|axis| fold(axis, f64::max, f64::NEG_INFINITY));
    Some((low, high))
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn on_an_edge(line: &Measured, size: [f64; 2], reach: f64) -> bool {
    [0, 1].into_iter().any(|axis| {
        [0.0, size[axis]]
            .into_iter()
            .any(|edge| line.iter().all(|end| (end[axis] - edge).abs() < reach))
    })
}

/// A line without ends that a point may lie on.
struct Ray {
    from: Point,
    way: Point,
    at: [f64; 2],
    unit: [f64; 2],
}

impl Ray {
    fn new(from: &Point, way: &Point) -> Self {
        let (at, to) = (from.to_f64(), way.to_f64());
        let long = to[0].hypot(to[1]);
        Self {
            from: from.clone(),
            way: way.clone(),
            at,
            unit: [to[0] / long, to[1] / long],
        }
    }

    fn off(&self, p: [f64; 2]) -> f64 {
        ((p[0] - self.at[0]) * self.unit[1] - (p[1] - self.at[1]) * self.unit[0]).abs()
    }

    fn crosses(&self, other: &Ray) -> Option<Point> {
        let across = self.way.cross(&other.way);
        let far = (&other.from - &self.from)
            .cross(&other.way)
            .checked_div(&across)?;
        Some(&self.from + &self.way.scaled(&far))
    }
}

struct Work {
    width: Surd,
    height: Surd,
    side: f64,
    /// Ends that found their place, where they were and where they are.
    ends: Vec<([f64; 2], Point)>,
}

impl Work {
    /// The coarsest division on which nearly as many ends lie as on any.
    fn division(&self, lines: &[Measured]) -> i64 {
        let count = |parts: i64| {
            let ends = lines.iter().flatten();
            ends.filter(|end| self.on_grid(**end, parts).is_some())
                .count()
        };
        let counts: Vec<(i64, usize)> = (2..=FINEST).map(|parts| (parts, count(parts))).collect();
        let most = counts.iter().map(|(_, count)| *count).max().unwrap_or(0);
        #[expect(
            clippy::cast_precision_loss,
            reason = "a drawing has some hundred lines"
        )]
        let enough = |count: usize| count as f64 >= ENOUGH * most as f64;
        let coarsest = counts.iter().find(|(_, count)| enough(*count));
        coarsest.map_or(2, |(parts, _)| *parts)
    }

    /// The point of the divided square near this one.
    fn on_grid(&self, end: [f64; 2], parts: i64) -> Option<Point> {
        let at = |x: f64, side: &Surd| {
            let whole = side.to_f64();
            #[expect(clippy::cast_precision_loss, reason = "at most 24")]
            let parts_f = parts as f64;
            #[expect(
                clippy::cast_possible_truncation,
                reason = "within the block, so at most 24"
            )]
            let near = (x / whole * parts_f).round() as i64;
            let mark = side.times(near).over(parts);
            let reach = REACH.min(OF_SQUARE / parts_f) * self.side;
            ((0..=parts).contains(&near) && (mark.to_f64() - x).abs() < reach).then_some(mark)
        };
        Some(Point::new(
            at(end[0], &self.width)?,
            at(end[1], &self.height)?,
        ))
    }

    /// Places for the ends that do not lie on the divided square, as far as there are.
    fn rest(
        &mut self,
        lines: &[Measured],
        mut found: Vec<[Option<Point>; 2]>,
    ) -> Vec<[Option<Point>; 2]> {
        for (line, ends) in lines.iter().zip(&found) {
            for (at, end) in line.iter().zip(ends) {
                if let Some(end) = end {
                    self.keep(*at, end.clone());
                }
            }
        }
        loop {
            let crossings = self.crossings(&found);
            let rays = self.rays(&found);
            let mut more = false;
            for (line, ends) in lines.iter().zip(&mut found) {
                for (at, end) in line.iter().zip(ends) {
                    if end.is_none() {
                        *end = self
                            .known(*at)
                            .or_else(|| self.nearest(*at, &crossings))
                            .or_else(|| self.on_rays(*at, &rays));
                        if let Some(end) = end {
                            self.keep(*at, end.clone());
                            more = true;
                        }
                    }
                }
            }
            if !more {
                return found;
            }
        }
    }

    fn keep(&mut self, at: [f64; 2], point: Point) {
        if !self.ends.iter().any(|(_, known)| *known == point) {
            self.ends.push((at, point));
        }
    }

    /// Where an end that lay here before has gone.
    fn known(&self, at: [f64; 2]) -> Option<Point> {
        let near = |(was, _): &&([f64; 2], Point)| apart(*was, at) < RAY_REACH * self.side;
        self.ends.iter().find(near).map(|(_, point)| point.clone())
    }

    fn nearest(&self, at: [f64; 2], points: &[Point]) -> Option<Point> {
        let far = |p: &Point| apart(p.to_f64(), at);
        let best = points.iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        (far(best) < RAY_REACH * 2.0 * self.side).then(|| best.clone())
    }

    /// Crossings of lines whose ends both have their place.
    fn crossings(&self, found: &[[Option<Point>; 2]]) -> Vec<Point> {
        let whole = placed(found);
        let edges = edges(&self.width, &self.height);
        let all: Vec<&Segment> = whole.iter().chain(edges.iter().map(|(_, e)| e)).collect();
        let mut points = Vec::new();
        for (index, line) in all.iter().enumerate() {
            for other in &all[index + 1..] {
                if let Meet::At(point) = line.meets(other) {
                    points.push(point);
                }
            }
        }
        points.sort();
        points.dedup();
        points
    }

    fn rays(&self, found: &[[Option<Point>; 2]]) -> Vec<Ray> {
        let marks = |side: &Surd| [Surd::ZERO, side.half(), side.clone()];
        let (xs, ys) = (marks(&self.width), marks(&self.height));
        let mut from: Vec<Point> = xs
            .iter()
            .flat_map(|x| ys.iter().map(|y| Point::new(x.clone(), y.clone())))
            .collect();
        for (_, point) in self.ends.iter().take(SOURCES) {
            if !from.contains(point) {
                from.push(point.clone());
            }
        }
        // Opposite directions are one line here.
        let ways: Vec<Point> = rays()
            .into_iter()
            .map(|(_, way)| way)
            .filter(|way| way.x.is_positive() || (way.x.is_zero() && way.y.is_positive()))
            .collect();
        let of_lines = placed(found);
        let lines = of_lines
            .iter()
            .map(|line| Ray::new(&line.a, &line.vector()));
        let rays = from
            .iter()
            .flat_map(|from| ways.iter().map(move |way| Ray::new(from, way)));
        lines.chain(rays).collect()
    }

    /// The crossing of the two rays that pass nearest, if both pass near enough.
    fn on_rays(&self, at: [f64; 2], rays: &[Ray]) -> Option<Point> {
        let reach = RAY_REACH * self.side;
        let near = rays.iter().map(|ray| (ray.off(at), ray));
        let mut near: Vec<(f64, &Ray)> = near.filter(|(off, _)| *off < reach).collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (_, first) = near.first()?;
        let points = near
            .iter()
            .skip(1)
            .filter_map(|(_, ray)| first.crosses(ray));
        let zero = Surd::ZERO;
        let inside =
            |p: &Point| p.x >= zero && p.y >= zero && p.x <= self.width && p.y <= self.height;
        points
            .filter(inside)
            .find(|point| apart(point.to_f64(), at) < 2.0 * reach)
    }
}

/// The lines whose ends both have their place.
fn placed(found: &[[Option<Point>; 2]]) -> Vec<Segment> {
    let seam = |ends: &[Option<Point>; 2]| match ends {
        [Some(a), Some(b)] => Segment::new(a.clone(), b.clone()),
        _ => None,
    };
    found.iter().filter_map(seam).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::draft::drafted;
    use crate::plan::Draft;

    fn square(draft: Draft) -> BlockPlan {
        BlockPlan {
            name: "Test".into(),
            width: Surd::int(8),
            height: Surd::int(8),
            draft,
            places: Vec::new(),
            colourways: Vec::new(),
            foundation: false,
        }
    }

    /// Every patch's outline as an SVG would give it: in pixels, to two decimals.
    fn exported(block: &BlockPlan) -> Vec<Measured> {
        let drawn = drafted(block).unwrap();
        let pixel = |x: f64| (x * 45.0 * 100.0).round() / 100.0 + 17.0;
        let faces = drawn.arrangement.faces.iter();
        faces
            .flat_map(|face| face.polygon.edges().collect::<Vec<_>>())
            .map(|edge| [edge.a.to_f64().map(pixel), edge.b.to_f64().map(pixel)])
            .collect()
    }

    fn patches(block: &BlockPlan, seams: &[Segment]) -> usize {
        let lines = seams.to_vec();
        let drawn = drafted(&BlockPlan {
            draft: Draft::Lines { lines },
            ..block.clone()
        });
        drawn.map_or(0, |drawn| drawn.arrangement.faces.len())
    }

    #[test]
    fn drawings_on_a_grid_and_on_rays_come_back_exactly() {
        use crate::block::drafting::constructions::Construction;
        for (kind, values, division) in [
            (Construction::Nested, vec![3, 0, 0], Some(4)),
            (Construction::Log, vec![2, 2, 0], Some(6)),
            (Construction::Geese, vec![2, 4, 1], Some(8)),
            (Construction::Star, vec![0], None),
        ] {
            let block = square(kind.draft(&values));
            let found = traced(&block, &exported(&block)).unwrap();
            assert!(found.left_out.is_empty(), "{kind:?}: {found:?}");
            let wanted = drafted(&block).unwrap().arrangement.faces.len();
            assert_eq!(patches(&block, &found.seams), wanted, "{kind:?}");
            if let Some(division) = division {
                assert_eq!(found.division, division, "{kind:?}");
            }
        }
    }

    #[test]
    fn what_lies_on_nothing_is_left_out() {
        let frame = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];
        let mut lines: Vec<Measured> = (0..4).map(|i| [frame[i], frame[(i + 1) % 4]]).collect();
        lines.push([[50.0, 0.0], [50.0, 100.0]]);
        lines.push([[0.0, 50.3], [100.0, 49.8]]);
        lines.push([[13.7, 21.9], [61.3, 83.1]]);
        let block = square(Draft::Lines { lines: Vec::new() });
        let found = traced(&block, &lines).unwrap();
        assert_eq!((found.division, found.on_grid), (2, 2));
        assert_eq!(found.left_out.len(), 1);
        assert_eq!(patches(&block, &found.seams), 4);
    }

    #[test]
    fn a_drawing_of_another_proportion_changes_the_height_or_is_refused() {
        let block = square(Draft::Lines { lines: Vec::new() });
        let lines = |high: f64| {
            vec![
                [[0.0, 0.0], [40.0, 0.0]],
                [[0.0, high], [40.0, high]],
                [[0.0, 0.0], [40.0, high]],
            ]
        };
        assert_eq!(traced(&block, &lines(20.0)).unwrap().height, Surd::int(4));
        assert_eq!(traced(&block, &[]), Err(Untraced::Flat));
        assert_eq!(traced(&block, &lines(0.0)), Err(Untraced::Flat));
        assert_eq!(traced(&block, &lines(900.0)), Err(Untraced::Proportion));
    }
}
