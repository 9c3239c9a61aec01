//! Seams copied into the other parts of the block by turning and mirroring.

use geometry::{Point, Segment};

use crate::plan::BlockPlan;

/// How seams are copied.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Repeat {
    /// Into every quarter, turned.
    QuarterTurned,
    /// Into every quarter, mirrored.
    QuarterMirrored,
    /// Into the other half, mirrored left to right.
    Across,
    /// Into the other half, mirrored top to bottom.
    Down,
    /// Into every eighth, mirrored on the diagonals and the middle lines.
    Eighth,
}

impl Repeat {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::QuarterTurned,
        Self::QuarterMirrored,
        Self::Across,
        Self::Down,
        Self::Eighth,
    ];

    /// Whether only a square block can be repeated so.
    #[must_use]
    pub fn needs_square(self) -> bool {
        matches!(self, Self::QuarterTurned | Self::Eighth)
    }
}

/// These seams with their copies; stretches that are there already are not drawn twice.
/// `None` for a block that is not square where that is needed.
#[must_use]
pub fn repeated(block: &BlockPlan, seams: &[Segment], how: Repeat) -> Option<Vec<Segment>> {
    if how.needs_square() && block.width != block.height {
        return None;
    }
    let (w, h) = (&block.width, &block.height);
    let across = |p: &Point| Point::new(w - &p.x, p.y.clone());
    let down = |p: &Point| Point::new(p.x.clone(), h - &p.y);
    let turned = |p: &Point| Point::new(w - &p.y, p.x.clone());
    let slant = |p: &Point| Point::new(p.y.clone(), p.x.clone());
    let copies = |p: &Point| -> Vec<Point> {
        match how {
            Repeat::QuarterTurned => {
                let (once, twice) = (turned(p), turned(&turned(p)));
                let thrice = turned(&twice);
                vec![p.clone(), once, twice, thrice]
            }
            Repeat::QuarterMirrored => vec![p.clone(), across(p), down(p), across(&down(p))],
            Repeat::Across => vec![p.clone(), across(p)],
            Repeat::Down => vec![p.clone(), down(p)],
            Repeat::Eighth => {
                let of = |q: &Point| vec![q.clone(), across(q), down(q), across(&down(q))];
                [of(p), of(&slant(p))].concat()
            }
        }
    };
    let mut lines: Vec<Segment> = Vec::new();
    for seam in seams {
        for (a, b) in copies(&seam.a).into_iter().zip(copies(&seam.b)) {
            let Some(moved) = Segment::new(a, b) else {
                continue;
            };
            let there = |other: &Segment| other.contains(&moved.a) && other.contains(&moved.b);
            if !lines.iter().any(there) {
                lines.push(moved);
            }
        }
    }
    Some(lines)
}
