//! Which way of cutting serves a template in a given cloth, and which needs share it.
//!
//! Two needs of one cloth share a way of cutting when the maker would set the ruler alike
//! for both: then they share strips, squares and spare halves. A [`Key`] says exactly
//! that, in whole marks.
//!
//! **How a piece lies.** On a cloth that may lie any way the grain arrow runs along or
//! across the length, whichever saves cloth. A print with a direction runs up the block:
//! the piece lies on the cloth as it lies in the block ([`Lie::Up`]). Where the grain is
//! neither upright nor level in the block the print follows the arrow ([`Lie::Arrow`]).
//!
//! **Knows nothing of** counts or of where anything lies on the cloth.

use geometry::Point;

use super::{Method, motifs};
use crate::block::{Block, Patch, Rotary, RotaryShape, Template};
use crate::plan::{BlockId, Direction};
use crate::setting::PartKind;

/// Angles closer than this are the same, degrees; two exact directions never come so close.
const SAME_ANGLE: f64 = 1e-6;

/// Coordinates closer than this are the same, inches.
const SAME_PLACE: f64 = 1e-7;

/// How a piece is to lie on its cloth.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Lie {
    /// Grain arrow along or across the cloth.
    Free,
    /// The template turned clockwise by so many quarters, as the patch has it in the block.
    Up(u8),
    /// The grain arrow along the cloth.
    Arrow,
}

/// One template as patches of it lie on one cloth.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Lay {
    pub(super) block: BlockId,
    pub(super) template: usize,
    /// Whether the template is turned over.
    pub(super) mirrored: bool,
    pub(super) lie: Lie,
    /// Whether each piece shows a motif in its middle.
    pub(super) centred: bool,
}

/// What is done with a rectangle once it is cut.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Split {
    /// Nothing.
    Whole,
    /// Cut once, on the diagonal that rises to the right or the one that falls.
    Once { rising: bool },
    /// Cut on both diagonals.
    Twice,
}

impl Split {
    /// How many pieces it makes.
    pub(super) fn yields(self) -> u32 {
        match self {
            Self::Whole => 1,
            Self::Once { .. } => 2,
            Self::Twice => 4,
        }
    }

    /// Which sort of piece the `index`th is: pieces of one sort may stand in for one
    /// another in a cloth of this direction. Upper before lower; top, right, bottom, left.
    pub(super) fn sort(self, index: u32, direction: Direction) -> u32 {
        match (self, direction) {
            (Self::Whole, _) | (_, Direction::Free) | (Self::Once { .. }, Direction::TwoWay) => 0,
            (Self::Twice, Direction::TwoWay) => index % 2,
            (_, Direction::OneWay) => index,
        }
    }
}

/// How the pieces of a run follow one another along the strip.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Facing {
    /// Each turned half round against the one before.
    Alternate,
    /// All with the long side at the bottom.
    Up,
    /// All with the long side at the top.
    Down,
}

/// A way of cutting. Equal keys on one cloth are cut together. Sizes in marks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Key {
    /// Lengths of backing, full width: cut first.
    Backing { length: i64 },
    /// Strips along the selvage for a border.
    Lengthwise { border: usize, strip: i64 },
    /// Rectangles, perhaps cut further. With `turnable` the height is the shorter side.
    Slab {
        height: i64,
        width: i64,
        turnable: bool,
        split: Split,
    },
    /// Runs of slanted pieces along a strip of this height.
    Run {
        shape: RotaryShape,
        strip: i64,
        step: i64,
        leans_right: bool,
        facing: Facing,
    },
    /// Pieces centred on motifs, cut before everything else.
    Centred(Lay),
    /// The printed template, head to tail.
    Template(Lay),
    /// Strips joined end to end for a part, or (`None`) for the sleeve.
    Joined { part: Option<PartKind>, strip: i64 },
    /// Binding strips, full width.
    Binding { strip: i64 },
    /// The square bias binding is cut from.
    BiasSquare { side: i64 },
}

impl Lie {
    /// How this patch is to lie on a cloth of this direction.
    pub(super) fn of(patch: &Patch, direction: Direction) -> Self {
        if direction == Direction::Free {
            return Self::Free;
        }
        let upright = near_multiple(patch.grain).is_some();
        match near_multiple(patch.from_template.angle_degrees()) {
            Some(quarter) if upright => Self::Up(quarter),
            _ => Self::Arrow,
        }
    }
}

impl Lay {
    /// The angle the template is turned by on the cloth, clockwise, degrees; a free piece
    /// has its arrow along the cloth.
    pub(super) fn turn(self, template: &Template) -> f64 {
        // Turning over (x to -x) turns a direction g into 180° - g.
        let grain = if self.mirrored {
            180.0 - template.grain
        } else {
            template.grain
        };
        match self.lie {
            Lie::Up(quarter) => 90.0 * f64::from(quarter),
            Lie::Free | Lie::Arrow => 90.0 - grain,
        }
    }

    /// An outline of the template as it lies on the cloth, corners still running clockwise.
    pub(super) fn laid(self, template: &Template, outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
        let turned = turned_by(outline, self.mirrored, self.turn(template));
        if self.mirrored {
            turned.into_iter().rev().collect()
        } else {
            turned
        }
    }
}

/// Turned over (x to -x) if asked, then turned clockwise by so many degrees.
pub(super) fn turned_by(outline: &[[f64; 2]], mirrored: bool, degrees: f64) -> Vec<[f64; 2]> {
    let (sine, cosine) = match near_multiple(degrees) {
        Some(0) => (0.0, 1.0),
        Some(1) => (1.0, 0.0),
        Some(2) => (0.0, -1.0),
        Some(_) => (-1.0, 0.0),
        None => degrees.to_radians().sin_cos(),
    };
    let side = if mirrored { -1.0 } else { 1.0 };
    outline
        .iter()
        .map(|&[x, y]| [side * x * cosine - y * sine, side * x * sine + y * cosine])
        .collect()
}

/// Which multiple of a right angle this is, 0 to 3, if it is one.
fn near_multiple(degrees: f64) -> Option<u8> {
    let quarters = (degrees / 90.0).round();
    ((degrees - 90.0 * quarters).abs() < SAME_ANGLE).then(|| quarters.rem_euclid(4.0) as u8)
}

/// How the pieces of `lay` are cut: the key, which sort of piece of it they are
/// ([`Split::sort`]), and the method in words and sizes.
pub(super) fn kind_of(block: &Block, lay: Lay, direction: Direction) -> (Key, u32, Method) {
    let template = &block.templates[lay.template];
    if lay.centred {
        return motifs::kind_of(template, lay);
    }
    let by_template = (Key::Template(lay), 0, Method::Template);
    let Some(rotary) = &template.rotary else {
        return by_template;
    };
    let finished: Vec<[f64; 2]> = template
        .finished
        .points()
        .iter()
        .map(Point::to_f64)
        .collect();
    let outline = Outline(lay.laid(template, &finished));
    let free = direction == Direction::Free;
    let method = Method::Ruler(Box::new(rotary.clone()));
    match rotary.shape {
        RotaryShape::Square | RotaryShape::Rectangle => {
            let (height, width) = outline.sides(rotary, free);
            let method = Method::Rectangle {
                height: height.clone(),
                width: width.clone(),
            };
            (
                slab(height.marks, width.marks, free, Split::Whole),
                0,
                method,
            )
        }
        RotaryShape::HalfSquareTriangle | RotaryShape::HalfRectangleTriangle => {
            let (key, sort) = outline.half(rotary, direction);
            (key, sort, method)
        }
        RotaryShape::QuarterSquareTriangle => {
            let side = rotary.strip.marks;
            let sort = Split::Twice.sort(outline.long_side(), direction);
            (slab(side, side, false, Split::Twice), sort, method)
        }
        _ => match outline.run(rotary, direction) {
            Some(key) => (key, 0, method),
            None => by_template,
        },
    }
}

/// A rectangle; a square needs no turning.
pub(super) fn slab(height: i64, width: i64, turnable: bool, split: Split) -> Key {
    Key::Slab {
        height,
        width,
        turnable: turnable && height != width,
        split,
    }
}

/// Where a right triangle's square corner lies: `(rising, place)` of the rectangle it is
/// half of, by whether the corner is upper and left.
pub(super) fn half_of(upper: bool, left: bool) -> (bool, u32) {
    (upper == left, u32::from(!upper))
}

/// A finished outline as it lies on the cloth, corners running clockwise to the eye.
struct Outline(Vec<[f64; 2]>);

impl Outline {
    fn bounds(&self) -> ([f64; 2], [f64; 2]) {
        bounds(&self.0)
    }

    fn wide(&self) -> bool {
        let (least, most) = self.bounds();
        most[0] - least[0] >= most[1] - least[1]
    }

    fn edges(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
        let n = self.0.len();
        (0..n).map(move |i| (self.0[i], self.0[(i + 1) % n]))
    }

    /// Height and width as it lies; of a free piece the shorter is the height.
    fn sides<'a>(
        &self,
        rotary: &'a Rotary,
        free: bool,
    ) -> (&'a crate::measure::Cut, &'a crate::measure::Cut) {
        if free || self.wide() {
            (&rotary.strip, &rotary.crosscut)
        } else {
            (&rotary.crosscut, &rotary.strip)
        }
    }

    /// Half of a square or rectangle.
    fn half(&self, rotary: &Rotary, direction: Direction) -> (Key, u32) {
        let free = direction == Direction::Free;
        let (least, most) = self.bounds();
        let middle = [(least[0] + most[0]) / 2.0, (least[1] + most[1]) / 2.0];
        let corner = self.square_corner();
        let (rising, place) = half_of(corner[1] < middle[1], corner[0] < middle[0]);
        let square = rotary.shape == RotaryShape::HalfSquareTriangle;
        let rising = match (free, square) {
            // Plain halves of a square are all alike.
            (true, true) => true,
            // Laid wide: a quarter turn swaps the diagonals.
            (true, false) => rising == self.wide(),
            (false, _) => rising,
        };
        let split = Split::Once { rising };
        let (height, width) = self.sides(rotary, free);
        (
            slab(height.marks, width.marks, free, split),
            split.sort(place, direction),
        )
    }

    /// The corner where two edges meet square: the one nearest a right angle.
    fn square_corner(&self) -> [f64; 2] {
        let n = self.0.len();
        let off_square = |i: usize| {
            let (a, b, c) = (self.0[(i + n - 1) % n], self.0[i], self.0[(i + 1) % n]);
            let (u, v) = ([a[0] - b[0], a[1] - b[1]], [c[0] - b[0], c[1] - b[1]]);
            (u[0] * v[0] + u[1] * v[1]).abs() / (u[0].hypot(u[1]) * v[0].hypot(v[1]))
        };
        let nearest = (0..n).min_by(|&i, &j| off_square(i).total_cmp(&off_square(j)));
        self.0[nearest.unwrap_or_default()]
    }

    /// On which side of its square the long side of a quarter lies: top, right, bottom, left.
    fn long_side(&self) -> u32 {
        let corner = self.square_corner();
        let (least, most) = self.bounds();
        let (across, down) = (corner[0] - least[0], corner[1] - least[1]);
        let (width, height) = (most[0] - least[0], most[1] - least[1]);
        if width >= height {
            if down > height / 2.0 { 0 } else { 2 }
        } else if across < width / 2.0 {
            1
        } else {
            3
        }
    }

    /// A piece of a run along the strip; `None` when no long edge lies across the cloth.
    fn run(&self, rotary: &Rotary, direction: Direction) -> Option<Key> {
        let free = direction == Direction::Free;
        let level = |&(a, b): &([f64; 2], [f64; 2])| (a[1] - b[1]).abs() < SAME_PLACE;
        let steep = |&(a, b): &([f64; 2], [f64; 2])| (a[0] - b[0]).abs() < SAME_PLACE;
        // A free piece may be turned until its straight edge lies across the cloth.
        let on_end = free && !self.edges().any(|edge| level(&edge));
        let base = self
            .edges()
            .filter(|edge| if on_end { steep(edge) } else { level(edge) })
            .max_by(|a, b| length(*a).total_cmp(&length(*b)))?;
        let leans_right = self.leans_right(base);
        let run = |step: i64, leans_right: bool, facing: Facing| Key::Run {
            shape: rotary.shape,
            strip: rotary.strip.marks,
            step,
            leans_right,
            facing,
        };
        let slanted = rotary.advance.as_ref().unwrap_or(&rotary.crosscut).marks;
        Some(match rotary.shape {
            // Running clockwise, a lower edge goes left.
            RotaryShape::Triangle60 | RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60 => {
                let facing = match (direction, base.1[0] < base.0[0]) {
                    (Direction::OneWay, true) => Facing::Up,
                    (Direction::OneWay, false) => Facing::Down,
                    _ => Facing::Alternate,
                };
                run(rotary.crosscut.marks, true, facing)
            }
            RotaryShape::Parallelogram45 | RotaryShape::Parallelogram60 => {
                run(slanted, leans_right, Facing::Alternate)
            }
            // An equal-sided one is its own mirror image; only a print tells left from right.
            RotaryShape::Hexagon60 => run(slanted, true, Facing::Alternate),
            _ => run(slanted, free || leans_right, Facing::Alternate),
        })
    }

    /// Whether the edge after this one goes on in its direction: on the cloth, with the
    /// edge as the top of a strip, whether going down means going right.
    fn leans_right(&self, base: ([f64; 2], [f64; 2])) -> bool {
        let along = [base.1[0] - base.0[0], base.1[1] - base.0[1]];
        self.edges()
            .find(|edge| edge.0 == base.1)
            .is_some_and(|(a, b)| along[0] * (b[0] - a[0]) + along[1] * (b[1] - a[1]) > 0.0)
    }
}

fn length((a, b): ([f64; 2], [f64; 2])) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Least and greatest coordinates.
pub(super) fn bounds(points: &[[f64; 2]]) -> ([f64; 2], [f64; 2]) {
    let start = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    points.iter().fold(start, |(least, most), p| {
        (
            [least[0].min(p[0]), least[1].min(p[1])],
            [most[0].max(p[0]), most[1].max(p[1])],
        )
    })
}
