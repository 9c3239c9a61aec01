//! Simple polygons with exact corners.
//!
//! **Always holds.** A [`Polygon`] has at least three corners, no two of them equal, its sides meet
//! nowhere but at shared corners, and its corners follow one another so that the area is positive in
//! the frame of [`crate::plane`] (y down): clockwise to the eye, the inside on the right hand of
//! someone walking along it. A corner may be straight (180°).
//!
//! **Knows nothing of** holes and of curved sides.

use std::cmp::Ordering;
use std::fmt;

use crate::motion::Motion;
use crate::plane::{Meet, Point, Segment, turn_of};
use crate::surd::Surd;

/// A simple polygon; see the module for what always holds.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Polygon {
    points: Vec<Point>,
}

/// Why a list of points is not a polygon.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum PolygonFault {
    /// Fewer than three points.
    TooFewCorners {
        /// How many there are.
        corners: usize,
    },
    /// The same point twice.
    RepeatedPoint {
        /// That point.
        at: Point,
    },
    /// Two sides meet where they should not (or one folds back on the other).
    CrossesItself {
        /// A point they share.
        at: Point,
    },
    /// All the points lie on one line.
    NoArea,
}

impl fmt::Display for PolygonFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PolygonFault::TooFewCorners { corners } => {
                write!(f, "has {corners} corners; at least three are needed")
            }
            PolygonFault::RepeatedPoint { at } => {
                write!(f, "comes twice to the point ({}, {})", at.x, at.y)
            }
            PolygonFault::CrossesItself { at } => {
                write!(f, "crosses or touches itself at ({}, {})", at.x, at.y)
            }
            PolygonFault::NoArea => f.write_str("has all its corners on one line"),
        }
    }
}

impl std::error::Error for PolygonFault {}

/// Where a point lies in relation to a polygon.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Place {
    /// Strictly inside.
    Inside,
    /// On a side or a corner.
    Edge,
    /// Strictly outside.
    Outside,
}

impl Polygon {
    /// The polygon with these corners, in either direction round; turned round if the area would be
    /// negative (the first corner stays first).
    ///
    /// # Errors
    ///
    /// See [`PolygonFault`]; the first one found is given.
    pub fn new(points: Vec<Point>) -> Result<Polygon, PolygonFault> {
        let corners = points.len();
        if corners < 3 {
            return Err(PolygonFault::TooFewCorners { corners });
        }
        let mut sorted: Vec<&Point> = points.iter().collect();
        sorted.sort();
        if let Some(pair) = sorted.windows(2).find(|pair| pair[0] == pair[1]) {
            return Err(PolygonFault::RepeatedPoint {
                at: pair[0].clone(),
            });
        }
        if points
            .windows(3)
            .all(|w| turn_of(&w[0], &w[1], &w[2]) == Ordering::Equal)
        {
            return Err(PolygonFault::NoArea);
        }
        let mut polygon = Polygon { points };
        if let Some(at) = polygon.self_crossing() {
            return Err(PolygonFault::CrossesItself { at });
        }
        if polygon.area().sign() == Ordering::Less {
            polygon.points[1..].reverse();
        }
        Ok(polygon)
    }

    /// A ring already known to keep the promises of this type.
    pub(crate) fn trusted(points: Vec<Point>) -> Polygon {
        debug_assert!(points.len() >= 3);
        Polygon { points }
    }

    /// The upright rectangle with its top-left corner at the origin, or `None` unless both sides are
    /// positive.
    pub fn rectangle(width: Surd, height: Surd) -> Option<Polygon> {
        (width.is_positive() && height.is_positive()).then(|| Polygon {
            points: vec![
                Point::ORIGIN,
                Point::new(width.clone(), Surd::ZERO),
                Point::new(width, height.clone()),
                Point::new(Surd::ZERO, height),
            ],
        })
    }

    fn self_crossing(&self) -> Option<Point> {
        let edges: Vec<Segment> = self.edges().collect();
        for (i, first) in edges.iter().enumerate() {
            for (j, second) in edges.iter().enumerate().skip(i + 1) {
                let shared = if j == i + 1 {
                    Some(&second.a)
                } else if i == 0 && j + 1 == edges.len() {
                    Some(&first.a)
                } else {
                    None
                };
                match first.meets(second) {
                    Meet::None => {}
                    Meet::At(at) if Some(&at) == shared => {}
                    Meet::At(at) => return Some(at),
                    Meet::Along(stretch) => return Some(stretch.middle()),
                }
            }
        }
        None
    }

    /// The corners in order.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The sides in order; side i goes from corner i to the next.
    pub fn edges(&self) -> impl Iterator<Item = Segment> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(|(a, b)| Segment {
            a: a.clone(),
            b: b.clone(),
        })
    }

    /// Corner `i`, counted round and round.
    fn at(&self, i: usize) -> &Point {
        &self.points[i % self.points.len()]
    }

    /// The area, positive.
    pub fn area(&self) -> Surd {
        let first = &self.points[0];
        let from_first: Vec<Point> = self.points[1..].iter().map(|p| p - first).collect();
        from_first
            .windows(2)
            .map(|w| w[0].cross(&w[1]))
            .sum::<Surd>()
            .half()
    }

    /// The sum of the sides' lengths.
    pub fn perimeter_f64(&self) -> f64 {
        self.edges().map(|edge| edge.length_f64()).sum()
    }

    /// The turn at corner `i`: `Less` where the polygon is dented.
    fn turn_at(&self, i: usize) -> Ordering {
        let n = self.points.len();
        turn_of(self.at(i + n - 1), self.at(i), self.at(i + 1))
    }

    /// Whether no corner is dented. Straight corners are allowed.
    pub fn is_convex(&self) -> bool {
        (0..self.points.len()).all(|i| self.turn_at(i) != Ordering::Less)
    }

    /// Where `point` lies.
    pub fn locate(&self, point: &Point) -> Place {
        let mut inside = false;
        for i in 0..self.points.len() {
            let (a, b) = (self.at(i), self.at(i + 1));
            let (above_a, above_b) = (a.y.cmp(&point.y), b.y.cmp(&point.y));
            if above_a == above_b {
                if above_a == Ordering::Equal {
                    let (low, high) = (a.x.cmp(&point.x), b.x.cmp(&point.x));
                    if low != high || low == Ordering::Equal {
                        return Place::Edge;
                    }
                }
                continue;
            }
            // A side counts from its upper end (included) to its lower end (excluded); one that only
            // touches the level of the point is still looked at for lying on the point.
            let turn = turn_of(a, b, point);
            let spans = above_a != Ordering::Greater && above_b != Ordering::Less
                || above_b != Ordering::Greater && above_a != Ordering::Less;
            if turn == Ordering::Equal && spans {
                return Place::Edge;
            }
            let down = above_a != Ordering::Greater && above_b == Ordering::Greater;
            let up = above_b != Ordering::Greater && above_a == Ordering::Greater;
            if (down && turn == Ordering::Greater) || (up && turn == Ordering::Less) {
                inside = !inside;
            }
        }
        if inside {
            Place::Inside
        } else {
            Place::Outside
        }
    }

    /// The corners of the upright rectangle just around it: least x and y, greatest x and y.
    pub fn bounds(&self) -> (Point, Point) {
        let (mut low, mut high) = (self.points[0].clone(), self.points[0].clone());
        for point in &self.points[1..] {
            for (value, low, high) in [
                (&point.x, &mut low.x, &mut high.x),
                (&point.y, &mut low.y, &mut high.y),
            ] {
                if value < low {
                    *low = value.clone();
                } else if value > high {
                    *high = value.clone();
                }
            }
        }
        (low, high)
    }

    /// It moved by `motion`; a mirrored one is walked the other way, so that the area stays positive
    /// (the first corner stays first).
    pub fn moved(&self, motion: &Motion) -> Polygon {
        let mut points: Vec<Point> = self.points.iter().map(|p| motion.apply(p)).collect();
        if motion.is_mirrored() {
            points[1..].reverse();
        }
        Polygon { points }
    }

    /// The same shape without its straight corners. Starts at the first true corner.
    pub fn without_straight_corners(&self) -> Polygon {
        let keep = |i: &usize| self.turn_at(*i) != Ordering::Equal;
        let points = (0..self.points.len())
            .filter(keep)
            .map(|i| self.at(i).clone())
            .collect();
        Polygon { points }
    }

    /// The centre of mass; outside the polygon only if it is dented.
    pub fn centroid(&self) -> Point {
        let first = &self.points[0];
        let mut weighted = Point::ORIGIN;
        let mut double_area = Surd::ZERO;
        for i in 1..self.points.len() - 1 {
            let (u, v) = (self.at(i) - first, self.at(i + 1) - first);
            let weight = u.cross(&v);
            weighted = &weighted + &(&u + &v).scaled(&weight);
            double_area += weight;
        }
        // A polygon has an area; `vertex_average` is never used.
        match double_area.times(3).recip() {
            Some(part) => first + &weighted.scaled(&part),
            None => self.vertex_average(),
        }
    }

    fn vertex_average(&self) -> Point {
        let n = self.points.len() as i64;
        let x: Surd = self.points.iter().map(|p| &p.x).sum();
        let y: Surd = self.points.iter().map(|p| &p.y).sum();
        Point::new(x.over(n), y.over(n))
    }

    /// A point strictly inside, near the middle: the average of the corners if it is convex, else
    /// the middle of the largest triangle met when cutting off one corner after another.
    pub fn inner_point(&self) -> Point {
        if self.is_convex() {
            return self.vertex_average();
        }
        let area = |t: &[&Point; 3]| {
            let [a, b, c] = t.map(|p| [p.x.approx().0, p.y.approx().0]);
            (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        };
        let mut best: Option<(f64, [&Point; 3])> = None;
        for triangle in self.ears() {
            let size = area(&triangle);
            if best.is_none_or(|(most, _)| size > most * 1.000_001) {
                best = Some((size, triangle));
            }
        }
        match best {
            Some((_, [a, b, c])) => Polygon {
                points: vec![a.clone(), b.clone(), c.clone()],
            }
            .vertex_average(),
            None => self.vertex_average(),
        }
    }

    /// Triangles that together make up the polygon, by cutting off ears (a simple polygon with more
    /// than three corners always has two: Meisters, "Polygons have ears", Amer. Math. Monthly 1975).
    fn ears(&self) -> Vec<[&Point; 3]> {
        let mut left: Vec<&Point> = self.points.iter().collect();
        let mut ears = Vec::new();
        while left.len() >= 3 {
            let n = left.len();
            let corner = |i: usize| [left[(i + n - 1) % n], left[i], left[(i + 1) % n]];
            let found = (0..n).find(|&i| {
                let [a, b, c] = corner(i);
                turn_of(a, b, c) == Ordering::Greater
                    && !left.iter().any(|p| {
                        *p != a && *p != b && *p != c && {
                            let side = |u, v| turn_of(u, v, p) != Ordering::Less;
                            side(a, b) && side(b, c) && side(c, a)
                        }
                    })
            });
            // With straight corners left over there may be no ear, but a straight corner to drop.
            let Some(i) = found else {
                let straight = |&i: &usize| {
                    let [a, b, c] = corner(i);
                    turn_of(a, b, c) == Ordering::Equal
                };
                match (0..n).find(straight) {
                    Some(i) => left.remove(i),
                    None => break,
                };
                continue;
            };
            ears.push(corner(i));
            left.remove(i);
        }
        ears
    }

    /// The inner angle at corner `i` (counted round and round), in degrees, above 0 and below 360.
    pub fn corner_angle_degrees(&self, i: usize) -> f64 {
        let n = self.points.len();
        let at = self.at(i);
        let (next, before) = (self.at(i + 1) - at, self.at(i + n - 1) - at);
        let angle = next
            .cross(&before)
            .to_f64()
            .atan2(next.dot(&before).to_f64())
            .to_degrees();
        if angle < 0.0 { angle + 360.0 } else { angle }
    }
}
