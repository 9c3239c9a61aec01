//! True points for the other end of a seam.
//!
//! ```text
//!        22½°   45°  67½°         from a dot, rays at the multiples of 15° and of 22½°;
//!    ·─────┬─────┬───┬──·         where one meets an edge or a seam, a seam may end, and
//!    │    ╱   ╱  ╱    │          so it may at the foot of the shortest way to a seam, and
//!    │  ╱  ╱  ╱       │          in a seam's middle
//!    ◉╱╱╱─────────────·
//! ```
//!
//! Tangents of these angles lie in the field of the coordinates (tan 15° = 2 − √3,
//! tan 22½° = √2 − 1, tan 30° = √3⁄3), so every point offered is exact.

use std::collections::BTreeMap;

use geometry::{Point, Segment, Surd};

use crate::measure::Measure;

/// A point a seam may end at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Offer {
    /// Where.
    pub point: Point,
    /// Why there.
    pub why: Why,
    /// On what it lies.
    pub on: On,
}

/// What makes a point a true one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Why {
    /// A ray meets an edge or a seam there: its angle to the level in half degrees, 0 to 180.
    Ray(u32),
    /// The shortest way to the line ends there, square to it.
    Square,
    /// Halfway along a seam.
    Middle,
}

/// An edge of the block, or a seam of the drawing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum On {
    /// The edge at the top.
    Top,
    /// On the right.
    Right,
    /// At the bottom.
    Bottom,
    /// On the left.
    Left,
    /// A seam, counted from 0.
    Seam(usize),
}

impl Offer {
    /// `22 1/2° to the level, on the right edge, 2 1/2 in down`.
    #[must_use]
    pub fn says(&self, measure: Measure) -> String {
        let on = match self.on {
            On::Top => format!("on the top edge, {} across", measure.say(&self.point.x)),
            On::Bottom => format!("on the bottom edge, {} across", measure.say(&self.point.x)),
            On::Left => format!("on the left edge, {} down", measure.say(&self.point.y)),
            On::Right => format!("on the right edge, {} down", measure.say(&self.point.y)),
            On::Seam(seam) => format!(
                "on seam {}, {} across and {} down",
                seam + 1,
                measure.say(&self.point.x),
                measure.say(&self.point.y)
            ),
        };
        match self.why {
            Why::Ray(0) => format!("straight across, {on}"),
            Why::Ray(180) => format!("straight up or down, {on}"),
            Why::Ray(half) if half % 2 == 1 => format!("{} 1/2° to the level, {on}", half / 2),
            Why::Ray(half) => format!("{}° to the level, {on}", half / 2),
            Why::Square => format!("square to the line, {on}"),
            Why::Middle => format!("in the middle, {on}"),
        }
    }
}

/// The angles to the level, in half degrees, with their tangents.
fn tangents() -> [(u32, Surd); 7] {
    let (one, two) = (Surd::ONE, Surd::TWO);
    let (r2, r3) = (Surd::root2(), Surd::root3());
    [
        (30, &two - &r3),
        (45, &r2 - &one),
        (60, r3.over(3)),
        (90, one.clone()),
        (120, r3.clone()),
        (135, &r2 + &one),
        (150, &two + &r3),
    ]
}

/// The directions of all rays, each with its angle to the level in half degrees.
#[must_use]
pub fn rays() -> Vec<(u32, Point)> {
    let mut rays = vec![
        (0, Point::ints(1, 0)),
        (0, Point::ints(-1, 0)),
        (180, Point::ints(0, 1)),
        (180, Point::ints(0, -1)),
    ];
    for (half, tangent) in tangents() {
        for x in [1, -1] {
            for down in [true, false] {
                let y = if down { tangent.clone() } else { -&tangent };
                rays.push((half, Point::new(Surd::int(x), y)));
            }
        }
    }
    rays
}

/// The edges of a block: top, right, bottom, left.
#[must_use]
pub fn edges(width: &Surd, height: &Surd) -> Vec<(On, Segment)> {
    let zero = Surd::ZERO;
    let at = |x: &Surd, y: &Surd| Point::new(x.clone(), y.clone());
    let corners = [
        at(&zero, &zero),
        at(width, &zero),
        at(width, height),
        at(&zero, height),
    ];
    let sides = [On::Top, On::Right, On::Bottom, On::Left];
    let edge = |(i, on): (usize, On)| {
        let (a, b) = (corners[i].clone(), corners[(i + 1) % 4].clone());
        Segment::new(a, b).map(|edge| (on, edge))
    };
    sides.into_iter().enumerate().filter_map(edge).collect()
}

/// Where a ray meets a segment in one point beyond its start: how far along the ray, in its
/// own lengths, and where.
#[must_use]
pub fn meets(from: &Point, way: &Point, segment: &Segment) -> Option<(Surd, Point)> {
    let along = segment.vector();
    let across = way.cross(&along);
    let to = &segment.a - from;
    let far = to.cross(&along).checked_div(&across)?;
    let share = to.cross(way).checked_div(&across)?;
    (far.is_positive() && share >= Surd::ZERO && share <= Surd::ONE)
        .then(|| (far.clone(), from + &way.scaled(&far)))
}

/// The exact points a seam from `from` may end at, besides those in `known`.
///
/// Of each ray the first seam or edge it meets and the edge it ends on; each point once,
/// with its plainest reason. From the top down, then from the left.
#[must_use]
pub fn offers(
    width: &Surd,
    height: &Surd,
    seams: &[Segment],
    from: &Point,
    known: &[Point],
) -> Vec<Offer> {
    let edges = edges(width, height);
    let numbered = seams.iter().enumerate();
    let seams = numbered.map(|(index, seam)| (On::Seam(index), seam.clone()));
    let all: Vec<(On, Segment)> = edges.iter().cloned().chain(seams).collect();
    let mut found: BTreeMap<[Surd; 2], Offer> = BTreeMap::new();
    let mut add = |point: Point, why: Why, on: On| {
        if point != *from && !known.contains(&point) {
            let key = [point.y.clone(), point.x.clone()];
            found.entry(key).or_insert(Offer { point, why, on });
        }
    };
    for (on, line) in &all[edges.len()..] {
        add(line.middle(), Why::Middle, *on);
    }
    for (half, way) in rays() {
        let met = all
            .iter()
            .filter_map(|(on, line)| meets(from, &way, line).map(|(far, at)| (far, *on, at)));
        let mut met: Vec<_> = met.collect();
        met.sort_by(|a, b| a.0.cmp(&b.0));
        let last = met.last().cloned();
        for (_, on, at) in met.into_iter().take(1).chain(last) {
            add(at, Why::Ray(half), on);
        }
    }
    for (on, line) in &all[edges.len()..] {
        let along = line.vector();
        let share = (from - &line.a)
            .dot(&along)
            .checked_div(&along.length_squared());
        if let Some(share) = share.filter(|s| s.is_positive() && *s < Surd::ONE) {
            add(&line.a + &along.scaled(&share), Why::Square, *on);
        }
    }
    found.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tangents worked by hand: tan 15° = 2 − √3, tan 22½° = √2 − 1 and so on.
    #[test]
    fn rays_from_a_corner_meet_the_far_edges_at_their_tangents() {
        let side = Surd::int(6);
        let all = offers(&side, &side, &[], &Point::ORIGIN, &[]);
        let find = |half: u32| {
            let offer = all.iter().find(|o| o.why == Why::Ray(half)).unwrap();
            (offer.point.clone(), offer.on)
        };
        let right = |y: Surd| (Point::new(Surd::int(6), y), On::Right);
        assert_eq!(find(30), right((Surd::TWO - Surd::root3()).times(6)));
        assert_eq!(find(45), right((Surd::root2() - Surd::ONE).times(6)));
        assert_eq!(find(60), right(Surd::root3().times(2)));
        let (at, on) = find(135);
        assert_eq!((at.y, on), (Surd::int(6), On::Bottom));
        assert_eq!(at.x, (Surd::root2() - Surd::ONE).times(6));
    }

    #[test]
    fn known_dots_are_not_offered_again_and_every_reason_is_told() {
        let side = Surd::int(6);
        let seam = Segment::new(Point::ints(0, 6), Point::ints(6, 0)).unwrap();
        let known = [Point::ints(6, 6)];
        let all = offers(
            &side,
            &side,
            std::slice::from_ref(&seam),
            &Point::ORIGIN,
            &known,
        );
        assert!(all.iter().all(|offer| offer.point != known[0]));
        let middle = all.iter().find(|o| o.why == Why::Middle).unwrap();
        assert_eq!(middle.point, Point::ints(3, 3));
        assert_eq!(
            middle.says(Measure::Inch),
            "in the middle, on seam 1, 3 in across and 3 in down"
        );
        // The foot of the perpendicular from a point beside the seam.
        let from = Point::ints(3, 0);
        let all = offers(&side, &side, std::slice::from_ref(&seam), &from, &[]);
        let foot = &from + &Point::new(Surd::ratio(3, 2), Surd::ratio(3, 2));
        let foot = all.iter().find(|o| o.point == foot).unwrap();
        assert!(seam.contains(&foot.point));
        // A ray at 45° says the same, and comes first.
        assert_eq!(foot.why, Why::Ray(90));
        for offer in &all {
            let on_seam = seam.contains(&offer.point);
            let on_edge = edges(&side, &side)
                .iter()
                .any(|(_, edge)| edge.contains(&offer.point));
            assert!(on_seam || on_edge, "{offer:?}");
        }
    }
}
