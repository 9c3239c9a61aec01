//! Which units of a block the trade makes in more than one way.
//!
//! A unit is known by its finished shape alone: where its patches lie in its outline.
//!
//! **Units.** Finished sizes, exact inches.
//!
//! **Knows nothing of** cloth; whether the cloths allow a way, `batches` and `recipes` say.

use geometry::{Point, Polygon, Surd};

use crate::block::Block;
use crate::block::lengths::length;
use crate::plan::UnitKind;
use crate::sewing::Join;

/// Directions closer than this are the same, degrees; two exact ones never come so close.
const SAME_ANGLE: f64 = 1e-6;

/// A unit as one of the kinds, its patches by their part in it.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Known {
    pub(super) shape: Shape,
    /// How the threads of its patches are planned to run.
    pub(super) threads: Threads,
}

/// How the threads of a unit's patches run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Threads {
    /// All along or across the unit's sides.
    Square,
    /// All along or across its diagonals.
    Diagonal,
    /// Some one way, some another.
    Mixed,
}

/// What a unit is made of.
#[derive(Clone, PartialEq, Debug)]
pub(super) enum Shape {
    /// A square of this side, of two triangles.
    HalfSquare { side: Surd, parts: [usize; 2] },
    /// A square of this side, of four triangles, opposite ones together.
    Hourglass { side: Surd, pairs: [[usize; 2]; 2] },
    /// A rectangle of this height, twice as wide.
    Geese {
        height: Surd,
        goose: usize,
        sky: [usize; 2],
    },
    /// Rectangles of one height side by side, each with its width.
    Row {
        height: Surd,
        parts: Vec<(usize, Surd)>,
    },
    /// A rectangle of this size of one patch and triangles in its corners, each with its
    /// short side.
    Corners {
        size: [Surd; 2],
        main: usize,
        corners: Vec<(usize, Surd)>,
    },
}

impl Shape {
    /// What kind of unit it is.
    pub(super) fn kind(&self) -> UnitKind {
        match self {
            Self::HalfSquare { .. } => UnitKind::HalfSquare,
            Self::Hourglass { .. } => UnitKind::Hourglass,
            Self::Geese { .. } => UnitKind::Geese,
            Self::Row { .. } => UnitKind::Row,
            Self::Corners { .. } => UnitKind::Corners,
        }
    }
}

/// What the unit this join makes is, if it is one of the kinds.
pub(super) fn known(block: &Block, join: &Join) -> Option<Known> {
    let outline = Rectangle::of(&join.outline)?;
    let patches: Vec<usize> = join.left.iter().chain(&join.right).copied().collect();
    let unit = Unit {
        block,
        outline,
        patches,
    };
    let shape = unit
        .half_square()
        .or_else(|| unit.hourglass())
        .or_else(|| unit.geese())
        .or_else(|| unit.row())
        .or_else(|| unit.corners())?;
    Some(Known {
        shape,
        threads: unit.threads(),
    })
}

/// A rectangle by its corners.
struct Rectangle {
    corners: Vec<Point>,
    /// The first side, and the one that leaves its start.
    along: Point,
    across: Point,
}

impl Rectangle {
    fn of(outline: &Polygon) -> Option<Self> {
        let outline = outline.without_straight_corners();
        let corners = outline.points().to_vec();
        if corners.len() != 4 {
            return None;
        }
        let (along, across) = (&corners[1] - &corners[0], &corners[3] - &corners[0]);
        let other = &corners[2] - &corners[1];
        let square = along.dot(&across).is_zero() && other == across;
        square.then_some(Self {
            corners,
            along,
            across,
        })
    }

    fn is_square(&self) -> bool {
        self.along.length_squared() == self.across.length_squared()
    }

    /// The shorter side and the longer.
    fn sides(&self) -> [Surd; 2] {
        let (a, b) = (length(&self.along), length(&self.across));
        if a < b { [a, b] } else { [b, a] }
    }
}

/// A right triangle with two equal sides.
struct HalfSquare {
    /// Where the equal sides meet.
    corner: Point,
    leg: Point,
    long: Point,
}

impl HalfSquare {
    fn of(outline: &Polygon) -> Option<Self> {
        let points = outline.points();
        if points.len() != 3 {
            return None;
        }
        (0..3).find_map(|i| {
            let [a, b, c] = [&points[i], &points[(i + 1) % 3], &points[(i + 2) % 3]];
            let (leg, other) = (b - a, c - a);
            let right = leg.dot(&other).is_zero() && leg.length_squared() == other.length_squared();
            right.then(|| Self {
                corner: a.clone(),
                leg,
                long: c - b,
            })
        })
    }
}

/// A unit to be known.
struct Unit<'a> {
    block: &'a Block,
    outline: Rectangle,
    patches: Vec<usize>,
}

impl Unit<'_> {
    fn patch(&self, patch: usize) -> &Polygon {
        &self.block.patches[patch].outline
    }

    /// All patches as right triangles with two equal sides.
    fn triangles(&self) -> Option<Vec<(usize, HalfSquare)>> {
        let patches = self.patches.iter();
        patches
            .map(|&patch| Some((patch, HalfSquare::of(self.patch(patch))?)))
            .collect()
    }

    fn half_square(&self) -> Option<Shape> {
        let &[a, b] = self.patches.as_slice() else {
            return None;
        };
        // Two right triangles with equal sides fill a square only as its halves.
        (self.outline.is_square() && self.triangles().is_some()).then(|| Shape::HalfSquare {
            side: length(&self.outline.along),
            parts: [a, b],
        })
    }

    fn hourglass(&self) -> Option<Shape> {
        if self.patches.len() != 4 || !self.outline.is_square() {
            return None;
        }
        let triangles = self.triangles()?;
        let side = self.outline.along.length_squared();
        let along = |t: &HalfSquare| t.long.cross(&self.outline.along).is_zero();
        let quarters = triangles
            .iter()
            .all(|(_, t)| t.long.length_squared() == side);
        let of = |wanted: bool| -> Option<[usize; 2]> {
            let found = triangles.iter().filter(|(_, t)| along(t) == wanted);
            found
                .map(|(patch, _)| *patch)
                .collect::<Vec<_>>()
                .try_into()
                .ok()
        };
        quarters.then_some(())?;
        Some(Shape::Hourglass {
            side: length(&self.outline.along),
            pairs: [of(true)?, of(false)?],
        })
    }

    fn geese(&self) -> Option<Shape> {
        let mut triangles = self.triangles().filter(|all| all.len() == 3)?;
        let [short, long] = self.outline.sides();
        triangles.sort_by_key(|(_, t)| t.long.length_squared());
        let [(a, left), (b, right), (goose, large)] = triangles.as_slice() else {
            return None;
        };
        let small = |t: &HalfSquare| t.leg.length_squared() == &short * &short;
        let shaped = long == short.times(2) && large.long.length_squared() == &long * &long;
        (shaped && small(left) && small(right)).then_some(Shape::Geese {
            height: short,
            goose: *goose,
            sky: [*a, *b],
        })
    }

    fn row(&self) -> Option<Shape> {
        let (along, across) = (&self.outline.along, &self.outline.across);
        self.row_along(along, across)
            .or_else(|| self.row_along(across, along))
    }

    /// Rectangles side by side in this direction, each as high as the unit.
    fn row_along(&self, along: &Point, across: &Point) -> Option<Shape> {
        let mut parts: Vec<(Surd, usize, Surd)> = Vec::new();
        for &patch in &self.patches {
            let rectangle = Rectangle::of(self.patch(patch))?;
            let sides = [&rectangle.along, &rectangle.across];
            let high = sides.iter().find(|side| side.cross(across).is_zero())?;
            let wide = sides.iter().find(|side| side.cross(along).is_zero())?;
            if high.length_squared() != across.length_squared() {
                return None;
            }
            let start = rectangle.corners.iter().map(|corner| corner.dot(along));
            parts.push((start.min()?, patch, length(wide)));
        }
        parts.sort();
        Some(Shape::Row {
            height: length(across),
            parts: parts.into_iter().map(|(_, patch, w)| (patch, w)).collect(),
        })
    }

    fn corners(&self) -> Option<Shape> {
        let mut main = None;
        let mut corners = Vec::new();
        for &patch in &self.patches {
            match HalfSquare::of(self.patch(patch)) {
                Some(t) if self.outline.corners.contains(&t.corner) => {
                    corners.push((patch, length(&t.leg)));
                }
                _ => {
                    if main.replace(patch).is_some() {
                        return None;
                    }
                }
            }
        }
        let main = main?;
        (!corners.is_empty()).then(|| Shape::Corners {
            size: self.outline.sides(),
            main,
            corners,
        })
    }

    fn threads(&self) -> Threads {
        let [x, y] = self.outline.along.to_f64();
        let side = y.atan2(x).to_degrees();
        let off = |patch: &usize| {
            let off = (self.block.patches[*patch].grain - side).rem_euclid(90.0);
            off.min(90.0 - off)
        };
        if self.patches.iter().all(|patch| off(patch) < SAME_ANGLE) {
            Threads::Square
        } else if self
            .patches
            .iter()
            .all(|patch| (off(patch) - 45.0).abs() < SAME_ANGLE)
        {
            Threads::Diagonal
        } else {
            Threads::Mixed
        }
    }
}
