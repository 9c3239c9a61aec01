//! From patches to the fewest templates.
//!
//! Two patches share a template when one is the other moved and turned, and the threads
//! of both run the same way through the shape (along or across, it makes no difference).
//! A patch that only a turned-over template would cut gets a template of its own, which
//! knows its partner: plain cloth could be turned over, printed cloth cannot.
//!
//! Letters go by first use from the centre out.

use geometry::{
    Arrangement, Motion, Point, Polygon, Surd, all_fits, offset_outline, shape_keys, trim_ears,
};

use super::{Block, Drafted, Joining, Patch, Template, foundation, grain, joining, rotary};
use crate::measure::Ruler;
use crate::plan::{BlockPlan, Claim, PlacePlan};

/// Works out everything that follows from a drafted block.
#[must_use]
pub fn worked(plan: &BlockPlan, drafted: Drafted, seam: &Surd, ruler: &Ruler) -> Block {
    let outlines: Vec<Polygon> = drafted
        .arrangement
        .faces
        .iter()
        .map(|face| face.polygon.without_straight_corners())
        .collect();
    let places: Vec<Option<usize>> = outlines
        .iter()
        .zip(&drafted.spots)
        .map(|(outline, spot)| place_of(&plan.places, spot, outline))
        .collect();
    let foundation = plan
        .foundation
        .then(|| foundation::founded(&drafted, &places, seam, ruler))
        .flatten();
    let on_foundations = foundation
        .as_ref()
        .and_then(|founded| founded.division.tree(&drafted));
    let joining = match on_foundations {
        Some(tree) => Joining {
            tree,
            obstructions: Vec::new(),
            at_least: 0,
        },
        None => joining::joining(&drafted),
    };
    let directions = grain::directions(&outlines, &drafted.arrangement, &joining);
    let mut kinds: Vec<Kind> = Vec::new();
    let mut assigned: Vec<Option<(usize, Motion)>> = vec![None; outlines.len()];
    for patch in from_the_centre(&outlines, &drafted.outline) {
        assigned[patch] = Some(assign(
            &mut kinds,
            patch,
            &outlines[patch],
            &directions[patch],
        ));
    }
    let corners = NeighbourAngles::of(&drafted.arrangement);
    let templates = kinds
        .iter()
        .enumerate()
        .map(|(index, kind)| {
            let count = assigned
                .iter()
                .flatten()
                .filter(|(kind, _)| *kind == index)
                .count();
            template(
                index,
                kind,
                count,
                &outlines[kind.first],
                &corners,
                seam,
                ruler,
            )
        })
        .collect();
    let mut patches: Vec<Patch> = assigned
        .into_iter()
        .enumerate()
        .map(|(index, assigned)| {
            let (template, from_template) = assigned.expect("every patch was assigned");
            let outline = outlines[index].clone();
            let direction = from_template.apply_vector(&kinds[template].direction);
            Patch {
                bias: bias_edges(&outline, &direction),
                place: places[index],
                template,
                from_template,
                grain: angle_of(&direction),
                outline,
            }
        })
        .collect();
    if let Some(founded) = &foundation {
        foundation::turn_grain(founded, &drafted, &mut patches);
    }
    Block {
        repair: joining::repair(&drafted, &joining.obstructions),
        drafted,
        joining,
        foundation,
        patches,
        templates,
    }
}

/// A template in the making.
struct Kind {
    /// The patch it was first used for.
    first: usize,
    finished: Polygon,
    direction: Point,
    mirror_of: Option<usize>,
    /// Takes `finished` to the first patch.
    to_first: Motion,
}

/// The template for this patch, made if there is none yet, and the motion onto the patch.
fn assign(
    kinds: &mut Vec<Kind>,
    patch: usize,
    outline: &Polygon,
    direction: &Point,
) -> (usize, Motion) {
    let mut partner = None;
    for (index, kind) in kinds.iter().enumerate() {
        let fits = all_fits(&kind.finished, outline);
        let fitting = fits
            .into_iter()
            .filter(|fit| grain::agree(&fit.apply_vector(&kind.direction), direction))
            // Of several, the one that carries the arrow itself along, not its cross thread.
            .min_by_key(|fit| {
                let carried = fit.apply_vector(&kind.direction);
                (fit.is_mirrored(), !carried.cross(direction).is_zero())
            });
        match fitting {
            Some(fit) if !fit.is_mirrored() => return (index, fit),
            Some(_) if partner.is_none() => partner = Some(index),
            _ => {}
        }
    }
    let kind = new_kind(patch, outline, direction, partner);
    let to_first = kind.to_first.clone();
    kinds.push(kind);
    let index = kinds.len() - 1;
    if let Some(partner) = partner {
        kinds[partner].mirror_of = Some(index);
    }
    (index, to_first)
}

/// Lays the shape with its grain upright where a turn by a multiple of 15° does that.
fn new_kind(patch: usize, outline: &Polygon, direction: &Point, partner: Option<usize>) -> Kind {
    let upright = (0..12)
        .filter_map(|k| Motion::turn_degrees(15 * k))
        .find(|turn| turn.apply_vector(direction).x.is_zero())
        .unwrap_or_else(Motion::identity);
    let turned = outline.moved(&upright);
    let (least, _) = turned.bounds();
    let laid = upright.then(&Motion::shift(-least));
    Kind {
        first: patch,
        finished: outline.moved(&laid),
        direction: laid.apply_vector(direction),
        mirror_of: partner,
        to_first: laid.inverse(),
    }
}

/// Patches from the centre out: by how near they come to the block's middle, of equally
/// near ones the smaller first, then by angle from twelve o'clock.
///
/// The nearest point counts, not the middle of the patch, so that the strips of one
/// round come before those of the next however long they are.
fn from_the_centre(outlines: &[Polygon], block: &Polygon) -> Vec<usize> {
    let centre = block.centroid();
    let [cx, cy] = centre.to_f64();
    // Rounded so that patches alike compare equal whatever the float.
    let rounded = |x: f64| (x * 1e6).round() as i64;
    let mut order: Vec<(i64, i64, i64, usize)> = outlines
        .iter()
        .enumerate()
        .map(|(index, outline)| {
            let inside = outline.locate(&centre) != geometry::Place::Outside;
            let near = if inside {
                0.0
            } else {
                distance([cx, cy], outline)
            };
            let [x, y] = outline.centroid().to_f64();
            let angle = (x - cx).atan2(cy - y).rem_euclid(std::f64::consts::TAU);
            (
                rounded(near),
                rounded(outline.area().to_f64()),
                rounded(angle),
                index,
            )
        })
        .collect();
    order.sort_unstable();
    order.into_iter().map(|(.., index)| index).collect()
}

/// How far a point outside an outline is from it.
fn distance([px, py]: [f64; 2], outline: &Polygon) -> f64 {
    outline
        .edges()
        .map(|edge| {
            let ([ax, ay], [dx, dy]) = (edge.a.to_f64(), edge.vector().to_f64());
            let along = ((px - ax) * dx + (py - ay) * dy) / (dx * dx + dy * dy);
            let along = along.clamp(0.0, 1.0);
            (px - ax - along * dx).hypot(py - ay - along * dy)
        })
        .fold(f64::INFINITY, f64::min)
}

/// A, B, … Z, AA, AB, …
pub(super) fn letter(index: usize) -> String {
    let last = char::from(b'A' + u8::try_from(index % 26).unwrap_or_default());
    match index / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}

fn template(
    index: usize,
    kind: &Kind,
    count: usize,
    first_outline: &Polygon,
    corners: &NeighbourAngles,
    seam: &Surd,
    ruler: &Ruler,
) -> Template {
    let points: Vec<[f64; 2]> = kind.finished.points().iter().map(Point::to_f64).collect();
    let by = seam.to_f64();
    // The template's corners in the order of `finished`, seen where it is first used.
    let neighbours: Vec<[Option<f64>; 2]> = kind
        .finished
        .points()
        .iter()
        .map(|corner| corners.beside(kind.first, first_outline, &kind.to_first.apply(corner)))
        .collect();
    Template {
        letter: letter(index),
        mirror_of: kind.mirror_of,
        one_handed: !shape_keys(&kind.finished).is_achiral(),
        grain: angle_of(&kind.direction),
        count,
        cut: offset_outline(&points, &vec![by; points.len()]),
        trimmed: trim_ears(&points, by, &neighbours),
        rotary: rotary::recipe(&kind.finished, &kind.direction, seam, ruler),
        finished: kind.finished.clone(),
    }
}

/// A direction as an angle in degrees clockwise from +x, 0 ≤ angle < 180.
pub(super) fn angle_of(direction: &Point) -> f64 {
    let [x, y] = direction.to_f64();
    let degrees = y.atan2(x).to_degrees().rem_euclid(180.0);
    if 180.0 - degrees < 1e-9 { 0.0 } else { degrees }
}

pub(super) fn bias_edges(outline: &Polygon, direction: &Point) -> Vec<usize> {
    outline
        .edges()
        .enumerate()
        .filter(|(_, edge)| !grain::agree(&edge.vector(), direction))
        .map(|(index, _)| index)
        .collect()
}

/// The place that claims a patch: a point before a name, a longer name before a shorter.
pub(super) fn place_of(places: &[PlacePlan], spot: &str, outline: &Polygon) -> Option<usize> {
    let strength = |claim: &Claim| match claim {
        Claim::At(point) => {
            (outline.locate(point) == geometry::Place::Inside).then_some(usize::MAX)
        }
        Claim::Spot(name) => begins_with_words(spot, name).then_some(name.len() + 1),
    };
    let strongest = |place: &PlacePlan| place.claims.iter().filter_map(strength).max();
    let mut best: Option<(usize, usize)> = None;
    for (index, place) in places.iter().enumerate() {
        if let Some(strength) = strongest(place)
            && best.is_none_or(|(most, _)| strength > most)
        {
            best = Some((strength, index));
        }
    }
    best.map(|(_, index)| index)
}

/// Whether `spot` is `name`, or goes on after it with a new word.
fn begins_with_words(spot: &str, name: &str) -> bool {
    spot.strip_prefix(name)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
}

/// For every face corner, the inner angles of the neighbours' corners at the same vertex.
struct NeighbourAngles {
    /// For each face: position of the vertex, and the neighbour's angle across the edge
    /// before and after it.
    faces: Vec<Vec<(Point, [Option<f64>; 2])>>,
}

impl NeighbourAngles {
    fn of(arrangement: &Arrangement) -> Self {
        // Each directed stretch belongs to the face on its right hand.
        let mut owner = std::collections::BTreeMap::new();
        for edge in &arrangement.edges {
            if let Some(face) = edge.right {
                owner.insert((edge.from, edge.to), face);
            }
            if let Some(face) = edge.left {
                owner.insert((edge.to, edge.from), face);
            }
        }
        let angle_at = |face: usize, vertex: usize| {
            let ring = &arrangement.faces[face].ring;
            let i = ring.iter().position(|&v| v == vertex)?;
            let n = ring.len();
            let spot = |k: usize| arrangement.vertices[ring[k % n]].to_f64();
            let (before, here, after) = (spot(i + n - 1), spot(i), spot(i + 1));
            let angle = inner_angle(before, here, after);
            // A neighbour that goes straight on has no corner to line up with.
            ((angle - 180.0).abs() > 1e-9).then_some(angle)
        };
        let faces = arrangement
            .faces
            .iter()
            .map(|face| {
                let ring = &face.ring;
                let n = ring.len();
                (0..n)
                    .map(|i| {
                        let (before, here, after) =
                            (ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
                        let across = |a, b| owner.get(&(b, a)).and_then(|&f| angle_at(f, here));
                        let position = arrangement.vertices[here].clone();
                        (position, [across(before, here), across(here, after)])
                    })
                    .collect()
            })
            .collect();
        Self { faces }
    }

    /// The angles beside a corner of a patch; none for a corner the drawing lacks.
    fn beside(&self, patch: usize, outline: &Polygon, corner: &Point) -> [Option<f64>; 2] {
        debug_assert!(
            outline.points().contains(corner),
            "a template corner is a patch corner"
        );
        self.faces[patch]
            .iter()
            .find(|(position, _)| position == corner)
            .map_or([None, None], |(_, angles)| *angles)
    }
}

/// The angle inside a ring of positive area at `here`, degrees.
fn inner_angle(before: [f64; 2], here: [f64; 2], after: [f64; 2]) -> f64 {
    let to = |p: [f64; 2]| (p[1] - here[1]).atan2(p[0] - here[0]).to_degrees();
    (to(before) - to(after)).rem_euclid(360.0)
}
