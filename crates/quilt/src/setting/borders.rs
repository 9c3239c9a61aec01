//! Rings of borders round the inner top.
//!
//! Butted: both sides over the height so far, then top and bottom over the whole width.
//! Mitred: four strips whose ends meet on the diagonal. With squares: four strips as long
//! as the sides and a square in each corner.

use geometry::{Point, Polygon, Surd};

use super::{Part, PartKind, PartShape, upright};
use crate::plan::{BorderPlan, Corner};

/// The sum of the widths of all borders on one side.
pub(super) fn depth(borders: &[BorderPlan]) -> Surd {
    borders.iter().map(|border| border.width.clone()).sum()
}

/// The parts of all rings round an inner top of this size, from the inside out: left,
/// right, top, bottom, then the squares clockwise from the top left.
pub(super) fn parts(borders: &[BorderPlan], inner: (&Surd, &Surd)) -> Vec<Part> {
    let mut inset = depth(borders);
    let (mut width, mut height) = (inner.0.clone(), inner.1.clone());
    let mut parts = Vec::new();
    for (index, border) in borders.iter().enumerate() {
        inset -= &border.width;
        let ring = Ring {
            index,
            border,
            at: &inset,
            inner: (&width, &height),
        };
        match border.corner {
            Corner::Butted => ring.butted(&mut parts),
            Corner::Mitred => ring.mitred(&mut parts),
            Corner::Squares(_) => ring.with_squares(&mut parts),
        }
        width += border.width.times(2);
        height += border.width.times(2);
    }
    parts
}

/// One ring: its outer corner lies at (`at`, `at`).
struct Ring<'a> {
    index: usize,
    border: &'a BorderPlan,
    at: &'a Surd,
    inner: (&'a Surd, &'a Surd),
}

impl Ring<'_> {
    /// Far sides of the ring's hole: the x and y where the right and bottom strips begin.
    fn far(&self) -> (Surd, Surd) {
        let near = self.at + &self.border.width;
        (&near + self.inner.0, &near + self.inner.1)
    }

    fn strip(&self, kind: PartKind, corner: (&Surd, &Surd), size: (&Surd, &Surd)) -> Option<Part> {
        let cloth = match (kind, self.border.corner) {
            (PartKind::BorderSquare(_), Corner::Squares(cloth)) => cloth,
            _ => self.border.cloth,
        };
        upright(kind, cloth, corner, size)
    }

    fn butted(&self, parts: &mut Vec<Part>) {
        let wide = &self.border.width;
        let near = self.at + wide;
        let (right, bottom) = self.far();
        let whole = self.inner.0 + &wide.times(2);
        let side = PartKind::BorderSide(self.index);
        let end = PartKind::BorderEnd(self.index);
        parts.extend(self.strip(side, (self.at, &near), (wide, self.inner.1)));
        parts.extend(self.strip(side, (&right, &near), (wide, self.inner.1)));
        parts.extend(self.strip(end, (self.at, self.at), (&whole, wide)));
        parts.extend(self.strip(end, (self.at, &bottom), (&whole, wide)));
    }

    fn with_squares(&self, parts: &mut Vec<Part>) {
        let wide = &self.border.width;
        let near = self.at + wide;
        let (right, bottom) = self.far();
        let side = PartKind::BorderSide(self.index);
        let end = PartKind::BorderEnd(self.index);
        let square = PartKind::BorderSquare(self.index);
        parts.extend(self.strip(side, (self.at, &near), (wide, self.inner.1)));
        parts.extend(self.strip(side, (&right, &near), (wide, self.inner.1)));
        parts.extend(self.strip(end, (&near, self.at), (self.inner.0, wide)));
        parts.extend(self.strip(end, (&near, &bottom), (self.inner.0, wide)));
        for corner in [
            (self.at, self.at),
            (&right, self.at),
            (&right, &bottom),
            (self.at, &bottom),
        ] {
            parts.extend(self.strip(square, corner, (wide, wide)));
        }
    }

    fn mitred(&self, parts: &mut Vec<Part>) {
        let wide = &self.border.width;
        let near = self.at + wide;
        let (right, bottom) = self.far();
        let (end_x, end_y) = (&right + wide, &bottom + wide);
        let point = |x: &Surd, y: &Surd| Point::new(x.clone(), y.clone());
        let outer = [
            point(self.at, self.at),
            point(&end_x, self.at),
            point(&end_x, &end_y),
            point(self.at, &end_y),
        ];
        let hole = [
            point(&near, &near),
            point(&right, &near),
            point(&right, &bottom),
            point(&near, &bottom),
        ];
        let side = PartKind::BorderSide(self.index);
        let end = PartKind::BorderEnd(self.index);
        // Each strip by the two corners of its long side, clockwise.
        for (kind, from, to) in [(side, 3, 0), (side, 1, 2), (end, 0, 1), (end, 2, 3)] {
            let corners = vec![
                outer[from].clone(),
                outer[to].clone(),
                hole[to].clone(),
                hole[from].clone(),
            ];
            let inner = if kind == side {
                self.inner.1
            } else {
                self.inner.0
            };
            parts.extend(Polygon::new(corners).ok().map(|outline| Part {
                kind,
                cloth: self.border.cloth,
                shape: PartShape::MitredStrip,
                outline,
                length: inner + &wide.times(2),
                width: wide.clone(),
            }));
        }
    }
}
