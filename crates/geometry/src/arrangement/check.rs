//! What is wrong with a drawing, found before its faces are walked.

use crate::plane::{Point, Segment};
use crate::polygon::{Place, Polygon};
use crate::surd::Surd;

use super::Fault;
use super::mesh::Mesh;

/// An end that misses a line by less than this part of the outline's smaller side was probably meant
/// to reach it. Larger, and ends far from anything get a misleading hint; smaller, and careless
/// freehand ends get none.
const NEARLY: f64 = 1.0 / 16.0;

/// Everything wrong with segments `sides..` of the mesh; the first `sides` are the outline.
pub(super) fn faults(mesh: &Mesh, outline: &Polygon, sides: usize) -> Vec<Fault> {
    let outside = lines_outside(mesh, outline, sides);
    let is_outside = |line: usize| line >= sides && outside[line - sides];
    let mut faults: Vec<Fault> = (0..outside.len())
        .filter(|&segment| outside[segment])
        .map(|segment| Fault::Outside { segment })
        .collect();
    let degrees = mesh.degrees();
    let near = nearly(outline);
    let mut seen = vec![false; mesh.points.len()];
    for line in (sides..mesh.chains.len()).filter(|&line| !is_outside(line)) {
        for end in ends(mesh, line) {
            if degrees[end.vertex] == 1 && !seen[end.vertex] {
                seen[end.vertex] = true;
                let past = degrees[end.before] > 2;
                faults.push(loose_end(mesh, line - sides, &end, past, near));
            }
        }
    }
    faults.extend(islands(mesh, is_outside));
    faults
}

/// One end of a segment and the next vertex on it.
struct End {
    vertex: usize,
    before: usize,
}

fn ends(mesh: &Mesh, line: usize) -> Vec<End> {
    let chain = &mesh.chains[line];
    let (Some(first), Some(last)) = (chain.first(), chain.last()) else {
        return Vec::new();
    };
    vec![
        End {
            vertex: first.from,
            before: mesh.target(first.half),
        },
        End {
            vertex: mesh.target(last.half),
            before: last.from,
        },
    ]
}

/// The fault of an end in the open; `past` tells whether the vertex before it is on another line.
fn loose_end(mesh: &Mesh, segment: usize, end: &End, past: bool, near: f64) -> Fault {
    let at = mesh.points[end.vertex].clone();
    let spot = at.to_f64();
    let past_by = distance(spot, mesh.points[end.before].to_f64());
    if past && past_by < near {
        return Fault::Overrun {
            segment,
            at,
            past_by,
        };
    }
    // Lines that carry the loose stretch itself are no aim.
    let aims = mesh
        .lines
        .iter()
        .filter(|line| distance_to(spot, line) < near && !line.contains(&at));
    let short_by = aims
        .map(|line| distance_to(spot, line))
        .min_by(f64::total_cmp);
    Fault::Dangling {
        segment,
        at,
        short_by,
    }
}

/// Which of the drawn segments leave the outline.
fn lines_outside(mesh: &Mesh, outline: &Polygon, sides: usize) -> Vec<bool> {
    let out = |point: &Point| outline.locate(point) == Place::Outside;
    let drawn = sides..mesh.lines.len();
    if outline.is_convex() {
        // Each end belongs to several segments; look at every vertex once.
        let mut known: Vec<Option<bool>> = vec![None; mesh.points.len()];
        let mut end_out = |v: usize| *known[v].get_or_insert_with(|| out(&mesh.points[v]));
        return drawn
            .map(|line| ends(mesh, line).into_iter().any(|end| end_out(end.vertex)))
            .collect();
    }
    // A stretch between neighbouring vertices lies on one side of the outline.
    let stretch_out = |half: usize| {
        let [a, b] = [mesh.source(half), mesh.target(half)].map(|v| &mesh.points[v]);
        out(&Point::midpoint(a, b))
    };
    drawn
        .map(|line| mesh.chains[line].iter().any(|half| stretch_out(half.half)))
        .collect()
}

/// Closed figures that nothing connects with the outline.
fn islands(mesh: &Mesh, is_outside: impl Fn(usize) -> bool) -> Vec<Fault> {
    let mut root: Vec<usize> = (0..mesh.points.len()).collect();
    for edge in &mesh.edges {
        let (a, b) = (find(&mut root, edge.from), find(&mut root, edge.to));
        root[a.max(b)] = a.min(b);
    }
    let home = find(&mut root, mesh.edges[0].from);
    // Vertices less edges: a group without a closed figure has one more vertex than edges, and its
    // loose ends have been reported.
    let mut closed = vec![0_i64; root.len()];
    let mut reported = vec![false; root.len()];
    for edge in &mesh.edges {
        let group = find(&mut root, edge.from);
        closed[group] += 1;
        reported[group] |= is_outside(edge.line);
    }
    let groups: Vec<usize> = (0..root.len()).map(|v| find(&mut root, v)).collect();
    for &group in &groups {
        closed[group] -= 1;
    }
    (0..root.len())
        .filter(|&v| groups[v] == v && v != home && closed[v] >= 0 && !reported[v])
        .map(|group| {
            let members = (0..groups.len()).filter(|&v| groups[v] == group);
            Fault::Island {
                around: middle(members.map(|v| &mesh.points[v])),
            }
        })
        .collect()
}

fn find(root: &mut [usize], mut v: usize) -> usize {
    while root[v] != v {
        root[v] = root[root[v]];
        v = root[v];
    }
    v
}

/// The middle of the bounds of some points.
fn middle<'a>(points: impl Iterator<Item = &'a Point> + Clone) -> Point {
    let low = |axis: fn(&Point) -> &Surd| points.clone().map(axis).min();
    let high = |axis: fn(&Point) -> &Surd| points.clone().map(axis).max();
    let mean = |axis: fn(&Point) -> &Surd| match (low(axis), high(axis)) {
        (Some(low), Some(high)) => (low + high).half(),
        _ => Surd::ZERO,
    };
    Point::new(mean(|p| &p.x), mean(|p| &p.y))
}

fn nearly(outline: &Polygon) -> f64 {
    let (low, high) = outline.bounds();
    let [width, height] = (high - low).to_f64();
    width.min(height) * NEARLY
}

fn distance(p: [f64; 2], q: [f64; 2]) -> f64 {
    (p[0] - q[0]).hypot(p[1] - q[1])
}

/// Distance from a point to a segment.
fn distance_to(p: [f64; 2], line: &Segment) -> f64 {
    let (a, b) = (line.a.to_f64(), line.b.to_f64());
    let (x, y) = (b[0] - a[0], b[1] - a[1]);
    let part = ((p[0] - a[0]) * x + (p[1] - a[1]) * y) / (x * x + y * y);
    let part = part.clamp(0.0, 1.0);
    distance(p, [a[0] + part * x, a[1] + part * y])
}
