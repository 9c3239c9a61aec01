//! What a drawing is: a flat list of inked shapes, cloth, labels and arrows.
//!
//! ```text
//!    ┌ margin, points ──────────────┐
//!    │   ┌ the figure, inches ──┐   │     figure: scales with the drawing
//!    │ 1 │                      │   │     line widths, text, arrow heads, margins:
//!    │   └──────────────────────┘   │     points on paper, whatever the scale
//!    └──────────────────────────────┘
//! ```
//!
//! **Units.** Positions are inches of the figure, x right and y down, so that a drawing
//! written at scale 1 is true size. Whatever the eye must be able to read however much
//! the figure is reduced (lines, text, arrow heads, marks, margins) is in points, 1⁄72 in,
//! on the paper.
//!
//! **Knows nothing of** quilts, or of any file format.

use crate::colour::Rgb;

/// A drawing: items in painting order inside a figure of this size.
#[derive(Clone, PartialEq, Debug)]
pub struct Drawing {
    /// What the drawing shows, in one sentence, for a reader who cannot see it.
    pub says: String,
    /// Width of the figure, inches.
    pub width: f64,
    /// Height of the figure, inches.
    pub height: f64,
    /// Room kept around the figure for labels: top, right, bottom, left, in points.
    pub margin: [f64; 4],
    /// Whether whatever lies outside the figure and its margin is cut off.
    pub clipped: bool,
    /// What is drawn, the undermost first.
    pub items: Vec<Item>,
}

/// One thing drawn.
#[derive(Clone, PartialEq, Debug)]
pub enum Item {
    /// Cloth, drawn with its print.
    Cloth(ClothShape),
    /// Filled or drawn lines.
    Shape(Shape),
    /// A round mark of the same size at any scale.
    Dot(Dot),
    /// An arrow.
    Arrow(Arrow),
    /// Words.
    Label(Label),
}

/// A closed outline filled with a cloth.
#[derive(Clone, PartialEq, Debug)]
pub struct ClothShape {
    /// The outline, inches.
    pub outline: Vec<[f64; 2]>,
    /// Index of the cloth in the palette.
    pub cloth: usize,
    /// How the cloth lies under the outline.
    pub lay: Lay,
}

/// How cloth lies in the drawing: a motion from the cloth to the figure.
///
/// On the cloth y runs along its length (the way stripes run) and x across it.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Lay {
    /// How far the cloth is turned, degrees clockwise; at 0 its length runs down the page.
    pub turn: f64,
    /// Where the corner of one repeat of the print falls, inches.
    pub at: [f64; 2],
}

/// One line of a shape, closed or open.
#[derive(Clone, PartialEq, Debug)]
pub struct Path {
    /// Its points, inches.
    pub points: Vec<[f64; 2]>,
    /// Whether the last point is joined to the first.
    pub closed: bool,
}

/// Paths that share a fill and a stroke.
#[derive(Clone, PartialEq, Debug)]
pub struct Shape {
    /// The lines. A fill covers what an odd number of closed ones enclose.
    pub paths: Vec<Path>,
    /// The fill.
    pub fill: Option<Ink>,
    /// The line.
    pub stroke: Option<Stroke>,
}

/// How a line is drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stroke {
    /// Its ink.
    pub ink: Ink,
    /// Its width, points.
    pub width: f64,
    /// A bound on its width in inches of the figure, so that the seams of a much reduced
    /// quilt do not cover its cloth.
    pub at_most: Option<f64>,
    /// How it is broken.
    pub dash: Dash,
}

/// How a line is broken.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// Stitches: dashes about as long as the gaps are wide.
    Stitches,
    /// A row of dots.
    Dots,
    /// Long dashes and dots: a fold.
    Fold,
}

/// The inks of a drawing; only cloth is strongly coloured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Ink {
    /// The ink of words and outlines.
    Ink,
    /// A lighter ink for what stands back.
    Quiet,
    /// A pale line for what is only there to place the rest.
    Pale,
    /// The colour of the paper, to cover what lies beneath.
    Paper,
    /// A faint tint of the paper.
    Tint,
    /// One flat colour, for what is measured from cloth.
    Flat(Rgb),
}

/// A round mark.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Dot {
    /// Its middle, inches.
    pub at: [f64; 2],
    /// Its radius, points.
    pub radius: f64,
    /// The fill.
    pub fill: Option<Ink>,
    /// The ring.
    pub stroke: Option<Stroke>,
}

/// An arrow, drawn over a halo of paper so that it reads on any cloth.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Arrow {
    /// Where it starts, inches.
    pub from: [f64; 2],
    /// Where its point is, inches.
    pub to: [f64; 2],
    /// Whether it has a head at its start as well.
    pub both: bool,
    /// Length of a head, points.
    pub head: f64,
}

/// Words in a drawing; always upright unless turned on purpose.
#[derive(Clone, PartialEq, Debug)]
pub struct Label {
    /// The words; a line feed begins a new line.
    pub text: String,
    /// Smaller lines under them, set at [`Label::under_size`].
    pub under: String,
    /// Where they stand, inches.
    pub at: [f64; 2],
    /// Moved on paper from there, points.
    pub shift: [f64; 2],
    /// Size wished for, points. Never drawn smaller than [`SMALLEST`].
    pub size: f64,
    /// Which part of the words stands at `at`; up and down they are centred on it.
    pub anchor: Anchor,
    /// Whether they are bold.
    pub bold: bool,
    /// Whether a plate of paper lies under them, for words on cloth.
    pub plate: bool,
    /// Quarter turn: whether they read upwards.
    pub upwards: bool,
    /// Their ink.
    pub ink: Ink,
    /// Where they must stay.
    pub room: Room,
}

/// The smallest text drawn, points.
pub const SMALLEST: f64 = 6.5;

/// Where a label must stay.
#[derive(Clone, PartialEq, Debug)]
pub enum Room {
    /// Just where it is put.
    Fixed,
    /// Within this outline (inches), wherever there is most room. Too large for it, the
    /// label moves to the margin with a line leading to its place.
    Within(Vec<[f64; 2]>),
    /// Within this outline, or not at all: another label says the same.
    IfFits(Vec<[f64; 2]>),
    /// Within this outline if it fits. Of all labels of the drawing with this number at
    /// least one is drawn, in the margin if none fits.
    Once(Vec<[f64; 2]>, usize),
}

/// Which part of a label stands at its place.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

impl Drawing {
    /// An empty drawing of this size, without a margin.
    #[must_use]
    pub fn new(says: impl Into<String>, width: f64, height: f64) -> Self {
        Self {
            says: says.into(),
            width,
            height,
            margin: [0.0; 4],
            clipped: false,
            items: Vec::new(),
        }
    }

    /// The same with this margin: top, right, bottom, left, points.
    #[must_use]
    pub fn with_margin(mut self, margin: [f64; 4]) -> Self {
        self.margin = margin;
        self
    }

    /// Its width on paper when drawn at true size, margin included; inches.
    #[must_use]
    pub fn true_width(&self) -> f64 {
        self.width + (self.margin[1] + self.margin[3]) / 72.0
    }

    /// Its scale when it is drawn so wide on paper, margin included; 1 is true size.
    #[must_use]
    pub fn scale_at(&self, width_in: f64) -> f64 {
        let room = width_in - (self.margin[1] + self.margin[3]) / 72.0;
        // A drawing squeezed into less than its margins still has to be some size.
        (room / self.width.max(1e-9)).max(1e-6)
    }

    /// Its height on paper when it is drawn so wide, inches.
    #[must_use]
    pub fn height_at(&self, width_in: f64) -> f64 {
        self.height * self.scale_at(width_in) + (self.margin[0] + self.margin[2]) / 72.0
    }

    /// The width at which it is so high on paper, inches; the width it can have when its
    /// height is bounded.
    #[must_use]
    pub fn width_for_height(&self, height_in: f64) -> f64 {
        let room = height_in - (self.margin[0] + self.margin[2]) / 72.0;
        let scale = (room / self.height.max(1e-9)).max(1e-6);
        self.width * scale + (self.margin[1] + self.margin[3]) / 72.0
    }

    pub(crate) fn push(&mut self, item: impl Into<Item>) {
        self.items.push(item.into());
    }
}

impl Path {
    /// A closed path.
    #[must_use]
    pub fn ring(points: Vec<[f64; 2]>) -> Self {
        Self {
            points,
            closed: true,
        }
    }

    /// A straight line.
    #[must_use]
    pub fn line(a: [f64; 2], b: [f64; 2]) -> Self {
        Self {
            points: vec![a, b],
            closed: false,
        }
    }
}

impl Shape {
    /// Paths drawn with this stroke.
    #[must_use]
    pub fn drawn(paths: Vec<Path>, stroke: Stroke) -> Self {
        Self {
            paths,
            fill: None,
            stroke: Some(stroke),
        }
    }

    /// Closed paths filled with this ink.
    #[must_use]
    pub fn filled(paths: Vec<Path>, fill: Ink) -> Self {
        Self {
            paths,
            fill: Some(fill),
            stroke: None,
        }
    }
}

impl Stroke {
    /// A solid line of this width, points.
    #[must_use]
    pub fn new(ink: Ink, width: f64) -> Self {
        Self {
            ink,
            width,
            at_most: None,
            dash: Dash::Solid,
        }
    }

    /// The same, broken.
    #[must_use]
    pub fn dashed(mut self, dash: Dash) -> Self {
        self.dash = dash;
        self
    }

    /// The same, never wider than so many inches of the figure.
    #[must_use]
    pub fn at_most(mut self, inches: f64) -> Self {
        self.at_most = Some(inches);
        self
    }

    /// Its width on paper at this scale, points.
    #[must_use]
    pub fn width_at(&self, scale: f64) -> f64 {
        self.at_most.map_or(self.width, |bound| {
            self.width.min(bound * scale * 72.0).max(0.05)
        })
    }
}

impl Label {
    /// Upright words in the middle of `at`.
    #[must_use]
    pub fn new(text: impl Into<String>, at: [f64; 2], size: f64) -> Self {
        Self {
            text: text.into(),
            under: String::new(),
            at,
            shift: [0.0; 2],
            size,
            anchor: Anchor::Middle,
            bold: false,
            plate: false,
            upwards: false,
            ink: Ink::Ink,
            room: Room::Fixed,
        }
    }

    /// Size of the lines under words of this size, points.
    #[must_use]
    pub fn under_size(size: f64) -> f64 {
        (0.36 * size).max(7.0)
    }

    /// The same, bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The same in this ink.
    #[must_use]
    pub fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }

    /// The same on a plate of paper.
    #[must_use]
    pub fn on_plate(mut self) -> Self {
        self.plate = true;
        self
    }

    /// The same, moved on paper, with this part at its place.
    #[must_use]
    pub fn shifted(mut self, shift: [f64; 2], anchor: Anchor) -> Self {
        self.shift = shift;
        self.anchor = anchor;
        self
    }

    /// The same, bound to this room.
    #[must_use]
    pub fn within(mut self, room: Room) -> Self {
        self.room = room;
        self
    }
}

impl From<ClothShape> for Item {
    fn from(shape: ClothShape) -> Self {
        Self::Cloth(shape)
    }
}

impl From<Shape> for Item {
    fn from(shape: Shape) -> Self {
        Self::Shape(shape)
    }
}

impl From<Dot> for Item {
    fn from(dot: Dot) -> Self {
        Self::Dot(dot)
    }
}

impl From<Arrow> for Item {
    fn from(arrow: Arrow) -> Self {
        Self::Arrow(arrow)
    }
}

impl From<Label> for Item {
    fn from(label: Label) -> Self {
        Self::Label(label)
    }
}
