//! Segments cut at all their common points, and the walks round the regions between them.
//!
//! Holds for any set of segments, connected or not; whether they make sense is for others to say.

use std::cmp::Ordering;
use std::collections::HashMap;

use crate::plane::{Point, Segment, cross_sign};

/// A value with a bound on its error, for x and y.
type Approx = [(f64, f64); 2];

/// The cut segments.
pub(super) struct Mesh {
    /// The segments as given.
    pub(super) lines: Vec<Segment>,
    /// All ends and common points, each once.
    pub(super) points: Vec<Point>,
    /// Stretches between neighbouring points, each once even if several segments cover it.
    pub(super) edges: Vec<Stretch>,
    /// For each segment, its stretches from start to end.
    pub(super) chains: Vec<Vec<Half>>,
}

/// A stretch between neighbouring points, in the direction of the first segment that covers it.
pub(super) struct Stretch {
    pub(super) from: usize,
    pub(super) to: usize,
    /// The first segment that covers it.
    pub(super) line: usize,
}

/// A stretch walked in one direction: `half / 2` is the edge, and `half` is odd if it is walked
/// against its own direction.
#[derive(Clone, Copy)]
pub(super) struct Half {
    pub(super) half: usize,
    /// The point it starts from.
    pub(super) from: usize,
}

/// The walks that keep one region on the right hand.
pub(super) struct Cycles {
    /// The halves of each walk in order.
    pub(super) rings: Vec<Vec<Half>>,
    /// The walk each half belongs to.
    pub(super) of_half: Vec<usize>,
}

/// Finds the common points of segments.
struct Cutter<'a> {
    lines: &'a [Segment],
    points: Vec<Point>,
    approx: Vec<Approx>,
    /// Where each point is in `points`; looked up only, never walked.
    index: HashMap<Point, usize>,
    /// The points on each segment, in no order.
    on: Vec<Vec<usize>>,
}

impl Mesh {
    /// Cuts `lines`. The first `apart` of them are known to meet only at their ends.
    pub(super) fn of(lines: Vec<Segment>, apart: usize) -> Mesh {
        let mut cutter = Cutter {
            lines: &lines,
            points: Vec::with_capacity(lines.len() * 2),
            approx: Vec::with_capacity(lines.len() * 2),
            index: HashMap::with_capacity(lines.len() * 2),
            on: Vec::with_capacity(lines.len()),
        };
        for line in &lines {
            let ends = vec![cutter.intern(&line.a), cutter.intern(&line.b)];
            cutter.on.push(ends);
        }
        cutter.cut(apart);
        let Cutter { points, on, .. } = cutter;
        let mut mesh = Mesh {
            lines,
            points,
            edges: Vec::new(),
            chains: Vec::new(),
        };
        mesh.link(on);
        mesh
    }

    /// Sorts the points along each segment and makes the stretches between them.
    fn link(&mut self, on: Vec<Vec<usize>>) {
        let mut known: HashMap<(usize, usize), usize> = HashMap::with_capacity(on.len() * 4);
        for (line, mut ids) in on.into_iter().enumerate() {
            let start = ids[0];
            ids.sort_unstable();
            ids.dedup();
            ids.sort_by(|&p, &q| self.points[p].cmp(&self.points[q]));
            if ids[0] != start {
                ids.reverse();
            }
            let mut chain = Vec::with_capacity(ids.len() - 1);
            for pair in ids.windows(2) {
                let (from, to) = (pair[0], pair[1]);
                let edge = *known
                    .entry((from.min(to), from.max(to)))
                    .or_insert_with(|| {
                        self.edges.push(Stretch { from, to, line });
                        self.edges.len() - 1
                    });
                let against = usize::from(self.edges[edge].from != from);
                chain.push(Half {
                    half: 2 * edge + against,
                    from,
                });
            }
            self.chains.push(chain);
        }
    }

    /// The point a half ends at.
    pub(super) fn target(&self, half: usize) -> usize {
        let edge = &self.edges[half / 2];
        if half.is_multiple_of(2) {
            edge.to
        } else {
            edge.from
        }
    }

    /// The point a half starts from.
    pub(super) fn source(&self, half: usize) -> usize {
        self.target(half ^ 1)
    }

    /// The segment a half is part of.
    pub(super) fn line(&self, half: &Half) -> usize {
        self.edges[half.half / 2].line
    }

    /// How many stretches end at each point.
    pub(super) fn degrees(&self) -> Vec<usize> {
        let mut degrees = vec![0; self.points.len()];
        for edge in &self.edges {
            degrees[edge.from] += 1;
            degrees[edge.to] += 1;
        }
        degrees
    }

    /// The walks round all regions, each keeping its region on the right hand.
    pub(super) fn cycles(&self) -> Cycles {
        let next = self.next_halves();
        let mut of_half = vec![usize::MAX; next.len()];
        let mut rings = Vec::new();
        for start in 0..next.len() {
            if of_half[start] != usize::MAX {
                continue;
            }
            let mut ring = Vec::new();
            let mut half = start;
            while of_half[half] == usize::MAX {
                of_half[half] = rings.len();
                ring.push(Half {
                    half,
                    from: self.source(half),
                });
                half = next[half];
            }
            rings.push(ring);
        }
        Cycles { rings, of_half }
    }

    /// For each half, the one that follows it round the region on its right: at its end, turn back
    /// and take the next stretch towards negative turns.
    fn next_halves(&self) -> Vec<usize> {
        let mut leaving: Vec<Vec<usize>> = vec![Vec::new(); self.points.len()];
        for half in 0..2 * self.edges.len() {
            leaving[self.source(half)].push(half);
        }
        let compass = Compass::of(&self.lines);
        let mut next = vec![0; 2 * self.edges.len()];
        for halves in &mut leaving {
            if halves.len() > 2 {
                halves.sort_by(|&p, &q| self.by_direction(&compass, p, q));
            }
            for (k, &half) in halves.iter().enumerate() {
                let before = halves[(k + halves.len() - 1) % halves.len()];
                next[half ^ 1] = before;
            }
        }
        next
    }

    /// Order by direction: from +x through +y, −x and −y.
    fn by_direction(&self, compass: &Compass<'_>, p: usize, q: usize) -> Ordering {
        let bearing = |half: usize| (self.edges[half / 2].line, half % 2 == 1);
        compass.compare(bearing(p), bearing(q))
    }
}

/// The directions of segments, walked along (`false`) or against (`true`).
struct Compass<'a> {
    lines: &'a [Segment],
    /// Floating direction, and whether it lies in the half-turn from −x (included) to +x.
    arrows: Vec<(Approx, bool)>,
}

impl<'a> Compass<'a> {
    fn of(lines: &'a [Segment]) -> Compass<'a> {
        let arrow = |line: &Segment| {
            let (a, b) = (approximate(&line.a), approximate(&line.b));
            let down = line.b.y.cmp(&line.a.y);
            let second = match down {
                Ordering::Greater => false,
                Ordering::Less => true,
                Ordering::Equal => line.b.x < line.a.x,
            };
            (difference(b, a), second)
        };
        Compass {
            lines,
            arrows: lines.iter().map(arrow).collect(),
        }
    }

    fn compare(&self, p: (usize, bool), q: (usize, bool)) -> Ordering {
        let second = |(line, against): (usize, bool)| self.arrows[line].1 != against;
        second(p).cmp(&second(q)).then_with(|| {
            let cross = cross_sign(self.arrows[p.0].0, self.arrows[q.0].0).unwrap_or_else(|| {
                self.lines[p.0]
                    .vector()
                    .cross(&self.lines[q.0].vector())
                    .sign()
            });
            // Turning both round leaves the cross product alone; turning one flips it.
            let cross = if p.1 == q.1 { cross } else { cross.reverse() };
            // A positive turn from p to q means that p comes first.
            cross.reverse()
        })
    }
}

impl Cutter<'_> {
    fn intern(&mut self, point: &Point) -> usize {
        if let Some(&id) = self.index.get(point) {
            return id;
        }
        let id = self.points.len();
        self.points.push(point.clone());
        self.approx.push(approximate(point));
        self.index.insert(point.clone(), id);
        id
    }

    /// Finds the common points of all pairs whose boxes touch, sweeping the boxes from left to right.
    fn cut(&mut self, apart: usize) {
        let boxes: Vec<[f64; 4]> = (0..self.lines.len()).map(|i| self.bounds(i)).collect();
        let mut order: Vec<usize> = (0..self.lines.len()).collect();
        order.sort_by(|&i, &j| boxes[i][0].total_cmp(&boxes[j][0]).then(i.cmp(&j)));
        for (k, &i) in order.iter().enumerate() {
            for &j in &order[k + 1..] {
                if boxes[j][0] > boxes[i][2] {
                    break;
                }
                let level = boxes[j][1] <= boxes[i][3] && boxes[i][1] <= boxes[j][3];
                if level && (i >= apart || j >= apart) {
                    self.meet(i, j);
                }
            }
        }
    }

    /// Least x and y, greatest x and y, widened by the rounding.
    fn bounds(&self, line: usize) -> [f64; 4] {
        let [p, q] = [self.on[line][0], self.on[line][1]].map(|id| self.approx[id]);
        let low = |axis: usize| (p[axis].0 - p[axis].1).min(q[axis].0 - q[axis].1);
        let high = |axis: usize| (p[axis].0 + p[axis].1).max(q[axis].0 + q[axis].1);
        [low(0), low(1), high(0), high(1)]
    }

    /// Notes the common points of two segments on both.
    fn meet(&mut self, i: usize, j: usize) {
        let ([a, b], [c, d]) = (
            [self.on[i][0], self.on[i][1]],
            [self.on[j][0], self.on[j][1]],
        );
        if let Some((shared, p, q)) = [(a, b, c, d), (a, b, d, c), (b, a, c, d), (b, a, d, c)]
            .into_iter()
            .find(|(end, _, other, _)| end == other)
            .map(|(end, p, _, q)| (end, p, q))
        {
            if p != q && self.turn(shared, p, q) == Ordering::Equal {
                self.lay_over(i, j);
            }
            return;
        }
        let (side_c, side_d) = (self.turn(a, b, c), self.turn(a, b, d));
        if side_c == side_d {
            if side_c == Ordering::Equal {
                self.lay_over(i, j);
            }
            return;
        }
        let (side_a, side_b) = (self.turn(c, d, a), self.turn(c, d, b));
        if side_a == side_b {
            return;
        }
        let mut crossing = true;
        for (side, end, line) in [
            (side_c, c, i),
            (side_d, d, i),
            (side_a, a, j),
            (side_b, b, j),
        ] {
            if side == Ordering::Equal {
                self.on[line].push(end);
                crossing = false;
            }
        }
        if crossing {
            self.cross(i, j);
        }
    }

    /// Notes the proper crossing of two segments.
    fn cross(&mut self, i: usize, j: usize) {
        let (first, second) = (&self.lines[i], &self.lines[j]);
        let (along, across) = (first.vector(), second.vector());
        let start = &second.a - &first.a;
        if let Some(part) = start.cross(&across).checked_div(&along.cross(&across)) {
            let id = self.intern(&(&first.a + &along.scaled(&part)));
            self.on[i].push(id);
            self.on[j].push(id);
        }
    }

    /// Notes, for two segments on one line, the ends of each that lie on the other.
    fn lay_over(&mut self, i: usize, j: usize) {
        for (line, other) in [(i, j), (j, i)] {
            let Segment { a, b } = &self.lines[line];
            let (low, high) = if a < b { (a, b) } else { (b, a) };
            for end in [self.on[other][0], self.on[other][1]] {
                let point = &self.points[end];
                if low <= point && point <= high {
                    self.on[line].push(end);
                }
            }
        }
    }

    /// [`crate::turn_of`] for interned points.
    fn turn(&self, a: usize, b: usize, c: usize) -> Ordering {
        let u = difference(self.approx[b], self.approx[a]);
        let v = difference(self.approx[c], self.approx[a]);
        cross_sign(u, v).unwrap_or_else(|| {
            let a = &self.points[a];
            (&self.points[b] - a).cross(&(&self.points[c] - a)).sign()
        })
    }
}

fn approximate(point: &Point) -> Approx {
    [point.x.approx(), point.y.approx()]
}

fn difference(p: Approx, from: Approx) -> Approx {
    [0, 1].map(|axis| {
        let gap = p[axis].0 - from[axis].0;
        (gap, p[axis].1 + from[axis].1 + gap.abs() * f64::EPSILON)
    })
}
