//! What a maker needs to piece a block on printed foundations.
//!
//! The sections come from [`super::joining::foundation`]; here those
//! that are alike are given one letter, their patches their numbers, and each patch the
//! rectangle it is cut as.
//!
//! ```text
//!    ┌───────────────┐     the patch, the allowance its section needs there,
//!    │   ┌───────╲   │     and MARGIN on every side: a rectangle that lies
//!    │   │  A2    ╲  │     along the seam by which the patch is sewn on
//!    ╞═══╧═════════╧═╡ ← seam
//!    └───────────────┘
//! ```
//!
//! **What must be covered.** Everything nearer to the patch than the seam allowance, and the
//! corners of the section's own cut line that lie beside it. Along any direction that
//! reaches an allowance beyond the patch, or to such a corner.
//!
//! **Units.** Inches. A rectangle at a slant leaves the exact numbers; its size is taken up
//! to the next thousandth and then up to the ruler, whatever the plan's rounding: a piece
//! too small for its foundation is lost.
//!
//! **Knows nothing of** cloth, pages and how many blocks there are.

use geometry::{Point, Polygon, Segment, Surd, offset_outline};

use super::joining::{self, Foundation, Frame, least_frames, outline_of};
use super::{Drafted, Patch};
use crate::measure::{Cut, Ruler};

/// What is added to each side of the rectangle beyond the seam allowance, as a share of an
/// inch: a quarter (*common practice*: half an inch on every side of the finished patch
/// with the usual allowance).
const MARGIN: (i64, i64) = (1, 4);

/// Lengths that differ by less are the same; far below a thousandth.
const SAME: f64 = 1e-7;

/// How a block is pieced on foundations.
#[derive(Clone, PartialEq, Debug)]
pub struct Founded {
    /// The sections, the order within each and how they are joined.
    pub division: Foundation,
    /// Sections that are alike, turned or not, with the same places: one entry each,
    /// lettered in the order they are met.
    pub kinds: Vec<SectionKind>,
    /// For each section of the division its kind.
    pub of_section: Vec<usize>,
    /// For each patch the section it lies in and its number there, from 1.
    pub of_patch: Vec<(usize, usize)>,
}

/// One kind of section: what is printed once.
#[derive(Clone, PartialEq, Debug)]
pub struct SectionKind {
    /// A, B, … Z, AA, …
    pub letter: String,
    /// The section drawn for all: index into the sections of the division.
    pub shown: usize,
    /// How many of them one block takes.
    pub count: usize,
    /// The finished outline of the one shown, in block coordinates.
    pub outline: Polygon,
    /// The same with the seam allowance: the line it is cut along when it is sewn.
    pub cut: Vec<[f64; 2]>,
    /// Its pieces by number. Empty for a section of a single patch: that needs no
    /// foundation and is cut by its template.
    pub pieces: Vec<Rough>,
}

/// The rectangle one patch is cut as.
#[derive(Clone, PartialEq, Debug)]
pub struct Rough {
    /// The patch of the section shown.
    pub patch: usize,
    /// Along the seam it is sewn by; the threads run so. Of the first patch, along its
    /// longest side on the block's outside; where it has none, along the side on which its
    /// rectangle is smallest.
    pub along: Cut,
    /// Square to that.
    pub across: Cut,
    /// The rectangle where it lies under the patch, its margins even.
    pub lies: [[f64; 2]; 4],
    /// Whether it leaves a side of the block's outside on the bias.
    pub bias_outside: bool,
}

impl Founded {
    /// The margin beyond the seam allowance, on every side.
    #[must_use]
    pub fn margin() -> Surd {
        Surd::ratio(MARGIN.0, MARGIN.1)
    }

    /// The kind of section and the number of a patch, from 1; `None` for one that is cut by
    /// its template.
    #[must_use]
    pub fn piece(&self, patch: usize) -> Option<(usize, usize)> {
        let &(section, number) = self.of_patch.get(patch)?;
        let kind = *self.of_section.get(section)?;
        (!self.kinds.get(kind)?.pieces.is_empty()).then_some((kind, number))
    }

    /// Whether two patches lie in one section.
    #[must_use]
    pub fn together(&self, one: usize, other: usize) -> bool {
        self.of_patch[one].0 == self.of_patch[other].0
    }

    /// The line along which the rectangle of a patch lies.
    pub(super) fn line(&self, drafted: &Drafted, patch: usize) -> Option<Segment> {
        let &(section, number) = self.of_patch.get(patch)?;
        line(drafted, self.division.sections.get(section)?, number)
    }

    /// Whether the rectangle of a patch lies rather level than upright in the block.
    pub(crate) fn level(&self, drafted: &Drafted, patch: usize) -> bool {
        self.line(drafted, patch).is_none_or(|line| {
            let way = line.vector();
            way.x.abs() >= way.y.abs()
        })
    }
}

/// The letter of a kind of section.
#[must_use]
pub fn section_letter(kind: usize) -> String {
    super::templates::letter(kind)
}

/// Works out the sections of a block; `None` if straight seams alone do not put it together.
pub(super) fn founded(
    drafted: &Drafted,
    places: &[Option<usize>],
    seam: &Surd,
    ruler: &Ruler,
) -> Option<Founded> {
    let division = joining::foundation(drafted)?;
    let mut of_patch = vec![(0, 0); places.len()];
    for (section, of) in division.sections.iter().enumerate() {
        for (number, &patch) in of.patches.iter().enumerate() {
            of_patch[patch] = (section, number + 1);
        }
    }
    let mut looks: Vec<Look> = Vec::new();
    let mut kinds: Vec<SectionKind> = Vec::new();
    let mut of_section = Vec::new();
    for (index, section) in division.sections.iter().enumerate() {
        let outline = outline_of(&drafted.arrangement, &section.patches)?;
        let look = look(drafted, &section.patches, &outline, places)?;
        let kind = looks.iter().position(|known| *known == look);
        let kind = kind.unwrap_or_else(|| {
            looks.push(look);
            kinds.push(SectionKind {
                letter: section_letter(kinds.len()),
                shown: index,
                count: 0,
                cut: widened(&outline, seam),
                outline,
                pieces: Vec::new(),
            });
            kinds.len() - 1
        });
        kinds[kind].count += 1;
        of_section.push(kind);
    }
    for kind in &mut kinds {
        let section = &division.sections[kind.shown];
        if section.patches.len() > 1 {
            let pieces = section.patches.iter().enumerate().map(|(at, &patch)| {
                let line = line(drafted, section, at + 1)?;
                Some(rough(drafted, kind, patch, &line, seam, ruler))
            });
            kind.pieces = pieces.collect::<Option<_>>()?;
        }
    }
    Some(Founded {
        division,
        kinds,
        of_section,
        of_patch,
    })
}

/// How a section looks from its own outline: its patches by number with their places.
type Look = Vec<(Vec<Point>, Option<usize>)>;

fn look(
    drafted: &Drafted,
    patches: &[usize],
    outline: &Polygon,
    places: &[Option<usize>],
) -> Option<Look> {
    let seen = |frame: &Frame| -> Look {
        let one = |&patch: &usize| {
            let face = &drafted.arrangement.faces[patch].polygon;
            let face = face.without_straight_corners();
            let mut corners: Vec<Point> = face.points().iter().map(|p| frame.of(p)).collect();
            corners.sort();
            (corners, places[patch])
        };
        patches.iter().map(one).collect()
    };
    let frames = least_frames(outline.points());
    frames.iter().map(seen).min()
}

/// The line along which the rectangle of the patch of this number lies.
fn line(drafted: &Drafted, section: &joining::Section, number: usize) -> Option<Segment> {
    if number > 1 {
        return section.seams.get(number - 2).cloned();
    }
    let drawing = &drafted.arrangement;
    let patch = *section.patches.first()?;
    let outside = drawing.edges.iter().enumerate().filter(|(_, edge)| {
        matches!((edge.left, edge.right), (Some(only), None) | (None, Some(only)) if only == patch)
    });
    let longest = outside
        .map(|(index, _)| drawing.segment(index))
        .max_by_key(|edge| edge.vector().length_squared());
    longest.or_else(|| snuggest(&drawing.faces[patch].polygon))
}

/// Of a patch's sides the one along which it takes the smallest rectangle; the first of
/// equal ones.
fn snuggest(patch: &Polygon) -> Option<Segment> {
    let patch = patch.without_straight_corners();
    let area = |side: &Segment| {
        let way = side.vector();
        let square = Point::new(-&way.y, way.x.clone());
        let reach = |along: &Point| {
            let mut at: Vec<Surd> = patch.points().iter().map(|p| p.dot(along)).collect();
            at.sort();
            at.last().zip(at.first()).map(|(most, least)| most - least)
        };
        // Both reaches are stretched by the side's length, so the area by its square.
        let area = &reach(&way)? * &reach(&square)?;
        area.checked_div(&way.length_squared())
    };
    let sides: Vec<Segment> = patch.edges().collect();
    sides
        .into_iter()
        .min_by_key(|side| area(side).unwrap_or_default())
}

/// An outline with the seam allowance on every side.
fn widened(outline: &Polygon, seam: &Surd) -> Vec<[f64; 2]> {
    let corners: Vec<[f64; 2]> = outline.points().iter().map(Point::to_f64).collect();
    offset_outline(&corners, &vec![seam.to_f64(); corners.len()])
}

/// The rectangle of one patch.
fn rough(
    drafted: &Drafted,
    kind: &SectionKind,
    patch: usize,
    line: &Segment,
    seam: &Surd,
    ruler: &Ruler,
) -> Rough {
    let face = drafted.arrangement.faces[patch]
        .polygon
        .without_straight_corners();
    let [dx, dy] = line.vector().to_f64();
    let long = (dx * dx + dy * dy).sqrt();
    let (way, square) = ([dx / long, dy / long], [-dy / long, dx / long]);
    let corners = kind.outline.points().iter().zip(&kind.cut);
    let own = |corner: &Point| face.points().contains(corner);
    let beside: Vec<[f64; 2]> = corners
        .filter(|(corner, _)| own(corner))
        .map(|(_, cut)| *cut)
        .collect();
    let allowance = seam.to_f64();
    let margin = Founded::margin();
    let spread = |along: [f64; 2]| {
        let on = |p: [f64; 2]| p[0] * along[0] + p[1] * along[1];
        let patch = face.points().iter().map(|p| on(p.to_f64()));
        let patch = patch.flat_map(|at| [at - allowance, at + allowance]);
        let all = patch.chain(beside.iter().map(|&p| on(p)));
        all.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
            [low.min(at), high.max(at)]
        })
    };
    let cut = |[low, high]: [f64; 2]| {
        let exact = thousandths_up(high - low) + margin.times(2);
        let marks = ruler.up(&exact);
        Cut {
            size: ruler.length(marks),
            marks,
            exact,
        }
    };
    let (u, v) = (spread(way), spread(square));
    let (along, across) = (cut(u), cut(v));
    let half = [along.size.to_f64() / 2.0, across.size.to_f64() / 2.0];
    let middle = [f64::midpoint(u[0], u[1]), f64::midpoint(v[0], v[1])];
    let corner = |a: f64, b: f64| {
        let (s, t) = (middle[0] + a * half[0], middle[1] + b * half[1]);
        [s * way[0] + t * square[0], s * way[1] + t * square[1]]
    };
    Rough {
        patch,
        along,
        across,
        lies: [
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ],
        bias_outside: outside_on_bias(drafted, patch, line),
    }
}

fn outside_on_bias(drafted: &Drafted, patch: usize, line: &Segment) -> bool {
    let (drawing, way) = (&drafted.arrangement, line.vector());
    drawing.edges.iter().enumerate().any(|(index, edge)| {
        let here =
            matches!((edge.left, edge.right), (Some(only), None) | (None, Some(only)) if only == patch);
        let side = drawing.segment(index).vector();
        here && !side.cross(&way).is_zero() && !side.dot(&way).is_zero()
    })
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "sizes of blocks in thousandths of an inch fit"
)]
fn thousandths_up(size: f64) -> Surd {
    Surd::ratio(((size - SAME) * 1000.0).ceil() as i64, 1000)
}

/// The threads of a patch cut as a rectangle run along its line.
pub(super) fn turn_grain(founded: &Founded, drafted: &Drafted, patches: &mut [Patch]) {
    for (index, patch) in patches.iter_mut().enumerate() {
        let line = founded.piece(index).and(founded.line(drafted, index));
        if let Some(line) = line {
            let way = line.vector();
            patch.grain = super::templates::angle_of(&way);
            patch.bias = super::templates::bias_edges(&patch.outline, &way);
        }
    }
}
