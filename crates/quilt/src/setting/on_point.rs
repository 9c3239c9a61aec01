//! Blocks standing on a corner.
//!
//! With the lattice pitch p = block + sash and D = p·√2, main block (row r, column c) has
//! its centre at ((c + ½)·D, (r + ½)·D), and the block between main rows and columns lies at
//! the corners of those cells. A diagonal row holds the blocks whose centres share x + y;
//! along it x − y grows by D from block to block. So everything is bounded by lines of
//! constant x + y and of constant x − y:
//!
//! ```text
//!         x − y ──▶                      x + y of row k      (k + 1)·D,  ± β
//!      ╱╲                                x + y of the sashing
//!     ╱  ╲╱╲    half a block's side,     before it           (k + ½)·D,  ± h
//!     ╲  ╱╲ ╲   in these coordinates,
//!      ╲╱  ╲╱   is β = B⁄√2, half a      D = 2β + 2h
//!  x + y        sash h = s⁄√2
//!    ▼
//! ```
//!
//! Sashing runs along all four sides of every block. The edge of the top goes through
//! the middles of the outermost posts, so that those are halves and the side triangles
//! have the long side B·√2 with and without sashing.
//!
//! Blocks may float inside the edge. Then each seam between diagonal rows runs on to the edge,
//! the triangles are cut that much larger, and the four corners, sewn last, reach a
//! little over the ends of the rows next to them.

use geometry::{Motion, Point, Polygon, Surd};

use super::region::{Keep, Region};
use super::{Inner, Part, PartKind, PartShape, PlacedBlock, fit, sums};
use crate::findings::Finding;
use crate::plan::{CellPlan, ClothId, Plan, Repeat, Sashing};

/// Lays the blocks, the sashing and the triangles out.
pub(super) fn laid_out(
    plan: &Plan,
    between: &Repeat,
    edge: ClothId,
    float: &Surd,
) -> Result<Inner, Vec<Finding>> {
    let mut findings = Vec::new();
    let sashing = plan.setting.sashing.as_ref();
    if sashing.is_some_and(|s| !s.outside) {
        findings.push(Finding::stop(
            "The sashing runs only between the blocks: on point it has to run round all four sides of every block, \
             or the diagonal rows do not join in straight seams. Let it run outside too, or leave it out.",
        ));
    }
    let block = match fit::on_point(plan, between) {
        Ok(side) => side,
        Err(misfits) => {
            findings.extend(misfits);
            return Err(findings);
        }
    };
    if !findings.is_empty() {
        return Err(findings);
    }
    let lattice = Lattice::new(plan, block, sashing, float);
    let blocks = blocks(plan, between, &lattice);
    let parts = Filling {
        lattice: &lattice,
        sashing,
        edge,
    }
    .parts();
    Ok(Inner {
        width: lattice.width,
        height: lattice.height,
        blocks,
        parts,
    })
}

/// The measures of the setting. x + y and x − y are taken with the inner top's corner at
/// the origin.
struct Lattice {
    across: i64,
    down: i64,
    block: Surd,
    sash: Surd,
    /// How far the blocks float inside the edge.
    float: Surd,
    /// D, see the module.
    diagonal: Surd,
    /// β, see the module.
    half_block: Surd,
    /// h, see the module; zero without sashing.
    half_sash: Surd,
    width: Surd,
    height: Surd,
}

impl Lattice {
    fn new(plan: &Plan, block: Surd, sashing: Option<&Sashing>, float: &Surd) -> Self {
        let sash = sashing.map_or(Surd::ZERO, |s| s.width.clone());
        let diagonal = sums::diagonal(&block, &sash);
        let (across, down) = (
            i64::from(plan.setting.columns),
            i64::from(plan.setting.rows),
        );
        let band = float.times(2);
        let over_root2 = Surd::root2().half();
        Self {
            across,
            down,
            half_block: &block * &over_root2,
            half_sash: &sash * &over_root2,
            width: diagonal.times(across) + &band,
            height: diagonal.times(down) + &band,
            block,
            sash,
            float: float.clone(),
            diagonal,
        }
    }

    /// How many diagonal rows there are.
    fn rows(&self) -> i64 {
        self.across + self.down - 1
    }

    /// x + y of the centres of diagonal row `k`, in half diagonals counted double: the row
    /// itself at an even count, the sashing before it at the odd count below.
    fn sum(&self, halves: i64) -> Surd {
        self.diagonal.times(halves).half() + self.float.times(2)
    }

    /// The first and last block of diagonal row `k`, as multiples of D in x − y.
    fn ends(&self, k: i64) -> (i64, i64) {
        let first = if k < self.down {
            -k
        } else {
            k - 2 * (self.down - 1)
        };
        let last = if k < self.across {
            k
        } else {
            2 * (self.across - 1) - k
        };
        (first, last)
    }

    /// The first and last sash along the line before diagonal row `k` (0 to the number
    /// of rows), as multiples of D in x − y.
    fn sash_ends(&self, k: i64) -> (i64, i64) {
        let rows = [k - 1, k]
            .into_iter()
            .filter(|row| (0..self.rows()).contains(row));
        let ends: Vec<(i64, i64)> = rows.map(|row| self.ends(row)).collect();
        (
            ends.iter().map(|e| e.0).min().unwrap_or(0),
            ends.iter().map(|e| e.1).max().unwrap_or(0),
        )
    }

    /// x − y at a multiple of D given in halves.
    fn difference(&self, halves: i64) -> Surd {
        self.diagonal.times(halves).half()
    }

    /// The point with this x + y and x − y.
    fn point(sum: &Surd, difference: &Surd) -> Point {
        Point::new((sum + difference).half(), (sum - difference).half())
    }

    /// Takes a shape drawn round the origin to the place with this x + y and x − y.
    fn placed(shape: &Polygon, sum: &Surd, difference: &Surd) -> Polygon {
        shape.moved(&Motion::shift(Self::point(sum, difference)))
    }

    /// A rectangle round the origin with sides along the diagonals, by half its extent in
    /// x + y and in x − y.
    fn slanting(&self, sum: &Surd, difference: &Surd) -> Option<Polygon> {
        let corner = |s: Surd, d: Surd| Point::new((&s + &d).half(), (&s - &d).half());
        let corners = vec![
            corner(-sum, -difference),
            corner(-sum, difference.clone()),
            corner(sum.clone(), difference.clone()),
            corner(sum.clone(), -difference),
        ];
        Polygon::new(corners).ok()
    }
}

fn blocks(plan: &Plan, between: &Repeat, lattice: &Lattice) -> Vec<PlacedBlock> {
    let middle = lattice.block.half();
    // Turned about its middle and set on its corner: upright when the row is held level.
    let standing: Vec<Motion> = (0..4)
        .map(|turn| {
            Motion::shift(Point::new(-&middle, -&middle))
                .then(&Motion::quarter_turns(turn))
                .then(&Motion::eighth_turns(-1))
        })
        .collect();
    let place = |(row, column): (i64, i64), between: bool, cell: &CellPlan| {
        let block = plan.laid(cell)?;
        let k = row + column + i64::from(between);
        let along = column - row;
        let centre = Lattice::point(&lattice.sum(2 * (k + 1)), &lattice.difference(2 * along));
        let turn = cell.turn % 4;
        Some(PlacedBlock {
            row: row as u32,
            column: column as u32,
            between,
            diagonal: Some((k as u32, (along - lattice.ends(k).0) as u32)),
            border: None,
            block,
            colourway: cell.colourway,
            turn,
            copy: 0,
            motion: standing[usize::from(turn)].then(&Motion::shift(centre)),
            scraps: std::collections::BTreeMap::new(),
        })
    };
    let mut placed = Vec::new();
    for row in 0..lattice.down {
        for column in 0..lattice.across {
            let cell = plan.setting.cell(row as u32, column as u32);
            placed.extend(place((row, column), false, cell));
        }
        if row + 1 < lattice.down {
            for column in 0..lattice.across - 1 {
                let cell = between.at(row as u32, column as u32);
                placed.extend(place((row, column), true, cell));
            }
        }
    }
    placed
}

/// What lies between and around the blocks.
struct Filling<'a> {
    lattice: &'a Lattice,
    sashing: Option<&'a Sashing>,
    edge: ClothId,
}

/// The shapes that recur, drawn round the origin.
struct Shapes {
    /// Between two blocks of a row.
    across: Option<Polygon>,
    /// Between two rows.
    along: Option<Polygon>,
    post: Option<Polygon>,
}

impl Filling<'_> {
    fn parts(&self) -> Vec<Part> {
        let l = self.lattice;
        let shapes = Shapes {
            across: l.slanting(&l.half_block, &l.half_sash),
            along: l.slanting(&l.half_sash, &l.half_block),
            post: l.slanting(&l.half_sash, &l.half_sash),
        };
        // The corners reach this far; between them lie the rows.
        let far = l.difference(2 * l.across - 1) + &l.half_sash;
        let near = -(l.difference(2 * l.down - 1) + &l.half_sash);
        let whole = Region::rectangle(&l.width, &l.height);
        let middle = whole
            .difference(Keep::AtMost, &far)
            .difference(Keep::AtLeast, &near);
        let mut parts = Vec::new();
        for k in 0..l.rows() {
            self.sash_line(k, &middle, &shapes, &mut parts);
            self.row(k, &middle, &shapes, &mut parts);
        }
        self.sash_line(l.rows(), &middle, &shapes, &mut parts);
        let first = l.sum(1) - &l.half_sash;
        let last = l.sum(2 * l.rows() + 1) + &l.half_sash;
        parts.extend(self.corner(middle.sum(Keep::AtMost, &first)));
        parts.extend(self.corner(whole.difference(Keep::AtLeast, &far)));
        parts.extend(self.corner(middle.sum(Keep::AtLeast, &last)));
        parts.extend(self.corner(whole.difference(Keep::AtMost, &near)));
        parts
    }

    /// The triangles at the ends of diagonal row `k` and the sashes along it.
    fn row(&self, k: i64, middle: &Region, shapes: &Shapes, parts: &mut Vec<Part>) {
        let l = self.lattice;
        let centre = l.sum(2 * (k + 1));
        let (first, last) = l.ends(k);
        let band = middle
            .sum(Keep::AtLeast, &(&centre - &l.half_block))
            .sum(Keep::AtMost, &(&centre + &l.half_block));
        let left = l.difference(2 * first - 1) - &l.half_sash;
        let right = l.difference(2 * last + 1) + &l.half_sash;
        parts.extend(self.side(band.difference(Keep::AtMost, &left)));
        if let (Some(sashing), Some(shape)) = (self.sashing, &shapes.across) {
            parts.extend((first..=last + 1).map(|t| {
                let outline = Lattice::placed(shape, &centre, &l.difference(2 * t - 1));
                self.sash(sashing, outline)
            }));
        }
        parts.extend(self.side(band.difference(Keep::AtLeast, &right)));
    }

    /// The sashing before diagonal row `k`: posts and sashes in turn, or one long sash.
    fn sash_line(&self, k: i64, middle: &Region, shapes: &Shapes, parts: &mut Vec<Part>) {
        let l = self.lattice;
        let Some(sashing) = self.sashing else { return };
        let centre = l.sum(2 * k + 1);
        let (first, last) = l.sash_ends(k);
        let line = middle
            .sum(Keep::AtLeast, &(&centre - &l.half_sash))
            .sum(Keep::AtMost, &(&centre + &l.half_sash));
        let Some(posts) = sashing.posts else {
            parts.extend(self.long_sash(sashing, line, last - first + 1));
            return;
        };
        let left = l.difference(2 * first - 1) + &l.half_sash;
        let right = l.difference(2 * last + 1) - &l.half_sash;
        parts.extend(self.edge_post(posts, line.difference(Keep::AtMost, &left)));
        for t in first..=last {
            if let Some(post) = shapes.post.as_ref().filter(|_| t > first) {
                parts.push(Part {
                    kind: PartKind::Post,
                    cloth: posts,
                    shape: PartShape::Rectangle,
                    outline: Lattice::placed(post, &centre, &l.difference(2 * t - 1)),
                    length: sashing.width.clone(),
                    width: sashing.width.clone(),
                });
            }
            parts.extend(shapes.along.as_ref().map(|shape| {
                let outline = Lattice::placed(shape, &centre, &l.difference(2 * t));
                self.sash(sashing, outline)
            }));
        }
        parts.extend(self.edge_post(posts, line.difference(Keep::AtLeast, &right)));
    }

    fn sash(&self, sashing: &Sashing, outline: Polygon) -> Part {
        let (block, sash) = (&self.lattice.block, &sashing.width);
        let (length, width) = if block < sash {
            (sash, block)
        } else {
            (block, sash)
        };
        Part {
            kind: PartKind::Sash,
            cloth: sashing.cloth,
            shape: PartShape::Rectangle,
            outline,
            length: length.clone(),
            width: width.clone(),
        }
    }

    /// A strip as long as `blocks` blocks with their sashes, from edge to edge.
    fn long_sash(&self, sashing: &Sashing, line: Region, blocks: i64) -> Option<Part> {
        let l = self.lattice;
        let between_edges = (&l.block + &l.sash).times(blocks);
        Some(Part {
            kind: PartKind::LongSash,
            cloth: sashing.cloth,
            shape: PartShape::MitredStrip,
            outline: line.polygon()?,
            // Half its width more at each tip, and the way across the floating band.
            length: between_edges + &sashing.width + l.float.times(2) * Surd::root2(),
            width: sashing.width.clone(),
        })
    }

    /// A post cut by the edge: half a square, or where the blocks float a strip that
    /// reaches to the edge.
    fn edge_post(&self, cloth: ClothId, region: Region) -> Option<Part> {
        let l = self.lattice;
        let (shape, length, width) = if l.float.is_zero() {
            (
                PartShape::QuarterSquare,
                l.half_sash.times(2),
                l.half_sash.clone(),
            )
        } else {
            let reach = &l.sash + &(&l.float * &Surd::root2());
            (PartShape::MitredStrip, reach, l.sash.clone())
        };
        Some(Part {
            kind: PartKind::EdgePost,
            cloth,
            shape,
            outline: region.polygon()?,
            length,
            width,
        })
    }

    fn side(&self, region: Region) -> Option<Part> {
        let long = sums::side_triangle_long_side(&self.lattice.block, &self.lattice.float);
        self.triangle(
            (PartKind::SideTriangle, PartShape::QuarterSquare),
            long,
            region,
        )
    }

    fn corner(&self, region: Region) -> Option<Part> {
        let leg = sums::corner_triangle_leg(&self.lattice.block, &self.lattice.float);
        let kind = (PartKind::CornerTriangle, PartShape::HalfSquare);
        self.triangle(kind, leg * Surd::root2(), region)
    }

    fn triangle(
        &self,
        (kind, shape): (PartKind, PartShape),
        long: Surd,
        region: Region,
    ) -> Option<Part> {
        Some(Part {
            kind,
            cloth: self.edge,
            shape,
            outline: region.polygon()?,
            width: long.half(),
            length: long,
        })
    }
}
