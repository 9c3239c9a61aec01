//! What a page paints.

use super::{Point, Rect};

/// One piece of a path, in page points.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Segment {
    /// Starts a new run of lines.
    Move(Point),
    /// A straight line to a point.
    Line(Point),
    /// A cubic curve: two controls and where it ends.
    Curve(Point, Point, Point),
    /// Back to where the run started.
    Close,
}

impl Segment {
    fn points(self) -> Vec<Point> {
        match self {
            Self::Move(p) | Self::Line(p) => vec![p],
            Self::Curve(a, b, p) => vec![a, b, p],
            Self::Close => vec![],
        }
    }
}

/// How a path was stroked.
#[derive(Clone, PartialEq, Debug)]
pub struct Stroke {
    /// In points on the page.
    pub width: f64,
    /// Lengths of dashes and gaps in points on the page; empty for a solid line.
    pub dash: Vec<f64>,
    /// The colour's components as the file gives them.
    pub color: Vec<f64>,
}

/// A path that was stroked, filled, or both.
#[derive(Clone, PartialEq, Debug)]
pub struct Painted {
    /// The path itself, without the width of its line.
    pub path: Vec<Segment>,
    /// How it was stroked, if it was.
    pub stroke: Option<Stroke>,
    /// The components of the colour it was filled with, if it was.
    pub fill: Option<Vec<f64>>,
    /// The box outside which nothing of it shows, if there is one.
    pub clip: Option<Rect>,
    /// The description in words of the drawing it belongs to, if any.
    pub drawing: Option<String>,
}

impl Painted {
    /// The box around the path. Around a curve's controls too, which may be
    /// larger than the curve.
    pub fn bounds(&self) -> Rect {
        Rect::around(self.path.iter().flat_map(|segment| segment.points()))
    }

    /// The corners and ends of the path, run by run, each run's first point
    /// first and not repeated at its end.
    pub fn runs(&self) -> Vec<Vec<Point>> {
        let mut runs: Vec<Vec<Point>> = Vec::new();
        for segment in &self.path {
            match *segment {
                Segment::Move(p) => runs.push(vec![p]),
                Segment::Line(p) | Segment::Curve(_, _, p) => {
                    runs.last_mut().expect("a path starts with a move").push(p);
                }
                Segment::Close => {}
            }
        }
        for run in &mut runs {
            while run.len() > 1 && run[0].distance(run[run.len() - 1]) < 1e-4 {
                run.pop();
            }
        }
        runs
    }

    /// Whether all of the path's box shows.
    pub fn shows_whole(&self) -> bool {
        self.clip.is_none_or(|clip| clip.holds(self.bounds(), 0.01))
    }
}

/// A piece of text written in one go.
#[derive(Clone, PartialEq, Debug)]
pub struct Word {
    /// What it says, by the font's own account.
    pub text: String,
    /// Where its first glyph starts, on the baseline.
    pub at: Point,
    /// The height of the type in points on the page.
    pub size: f64,
    /// The description in words of the drawing it belongs to, if any.
    pub drawing: Option<String>,
}
