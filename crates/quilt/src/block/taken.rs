//! Parts and mirror images of other blocks.
//!
//! The lines of the source are cut off at the part's edge, mirrored and drawn to size;
//! the patches are then found anew. A patch the edge runs through becomes a smaller patch
//! with a seam allowance of its own along that edge, as it must be when a half block is
//! pieced: half of a finished block would have no allowance there.
//!
//! Each patch is named after the place that claims the patch it was cut from, so that the
//! cloths of the source fit without another word.

use std::cmp::Ordering;

use geometry::{Arrangement, Point, Polygon, Segment, Surd};

use super::draft::{self, DraftFault};
use super::{Drafted, templates};
use crate::plan::{BlockPlan, Taken};

/// Drafts a block taken from another; `outline` is its own.
pub(super) fn drafted(
    plan: &BlockPlan,
    taken: &Taken,
    outline: Polygon,
) -> Result<Drafted, Vec<DraftFault>> {
    let source = &taken.source;
    let from = draft::drafted(source).map_err(|_| {
        let from = source.name.clone();
        vec![DraftFault::Source { from }]
    })?;
    let window = Window::of(plan, taken).ok_or_else(|| {
        vec![DraftFault::PartBeyond {
            from: source.name.clone(),
            width: source.width.clone(),
            height: source.height.clone(),
        }]
    })?;
    let edges = 0..from.arrangement.edges.len();
    let lines: Vec<Segment> = edges
        .filter_map(|edge| window.within(&from.arrangement.segment(edge)))
        .filter_map(|line| Segment::new(window.laid(&line.a), window.laid(&line.b)))
        .collect();
    let arrangement = Arrangement::of(&outline, &lines).map_err(|faults| {
        faults
            .into_iter()
            .map(DraftFault::Drawing)
            .collect::<Vec<_>>()
    })?;
    let name = |polygon: &Polygon| {
        let at = window.back(&polygon.inner_point());
        let patch = from.arrangement.locate(&at)?;
        let of = from.arrangement.faces[patch]
            .polygon
            .without_straight_corners();
        let spot = &from.spots[patch];
        let place = templates::place_of(&source.places, spot, &of);
        Some(place.map_or_else(|| spot.clone(), |place| source.places[place].name.clone()))
    };
    let spots = arrangement
        .faces
        .iter()
        .map(|face| name(&face.polygon).unwrap_or_default())
        .collect();
    Ok(Drafted {
        outline,
        arrangement,
        spots,
    })
}

/// The part that is kept and how it is laid out anew.
struct Window {
    low: Point,
    high: Point,
    /// New size over old, across and down.
    scale: (Surd, Surd),
    mirrored: bool,
}

impl Window {
    /// `None` if the part has no size or reaches beyond the source.
    fn of(plan: &BlockPlan, taken: &Taken) -> Option<Self> {
        let source = &taken.source;
        let (low, width, height) = match &taken.part {
            Some(part) => (part.corner.clone(), &part.width, &part.height),
            None => (Point::ORIGIN, &source.width, &source.height),
        };
        let high = &low + &Point::new(width.clone(), height.clone());
        let inside = low.x >= Surd::ZERO
            && low.y >= Surd::ZERO
            && high.x <= source.width
            && high.y <= source.height;
        if !inside || !width.is_positive() || !height.is_positive() {
            return None;
        }
        Some(Self {
            scale: (
                plan.width.checked_div(width)?,
                plan.height.checked_div(height)?,
            ),
            low,
            high,
            mirrored: taken.mirrored,
        })
    }

    /// Where a point of the source lies in the new block.
    fn laid(&self, point: &Point) -> Point {
        let across = if self.mirrored {
            &self.high.x - &point.x
        } else {
            &point.x - &self.low.x
        };
        Point::new(
            &across * &self.scale.0,
            &(&point.y - &self.low.y) * &self.scale.1,
        )
    }

    /// Where a point of the new block lies in the source.
    fn back(&self, point: &Point) -> Point {
        let over = |length: &Surd, scale: &Surd| length.checked_div(scale).unwrap_or(Surd::ZERO);
        let across = over(&point.x, &self.scale.0);
        let x = if self.mirrored {
            &self.high.x - &across
        } else {
            &self.low.x + &across
        };
        Point::new(x, &self.low.y + &over(&point.y, &self.scale.1))
    }

    /// The stretch of a line inside the part; `None` if it has none, or lies on the edge,
    /// which is drawn anyway.
    fn within(&self, line: &Segment) -> Option<Segment> {
        let step = line.vector();
        let (mut enter, mut leave) = (Surd::ZERO, Surd::ONE);
        // For each side: how fast the line runs out over it, and the room there is.
        let sides = [
            (-&step.x, &line.a.x - &self.low.x),
            (step.x.clone(), &self.high.x - &line.a.x),
            (-&step.y, &line.a.y - &self.low.y),
            (step.y.clone(), &self.high.y - &line.a.y),
        ];
        for (pace, room) in sides {
            match pace.sign() {
                // Along the side: on the edge or beyond it there is nothing to draw.
                Ordering::Equal if !room.is_positive() => return None,
                Ordering::Equal => {}
                Ordering::Less => enter = enter.max(room.checked_div(&pace)?),
                Ordering::Greater => leave = leave.min(room.checked_div(&pace)?),
            }
        }
        if enter >= leave {
            return None;
        }
        let at = |share: &Surd| &line.a + &step.scaled(share);
        Segment::new(at(&enter), at(&leave))
    }
}
