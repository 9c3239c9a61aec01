//! Which part of its cloth each patch of the top shows, by the cutting plan.
//!
//! Pieces that are cut alike can stand in for one another; here they are dealt out in the
//! order they lie on the cloth to the patches in the order they lie in the top, so that
//! every patch has a piece of its own and the same plan always gives the same picture.
//!
//! **Frame.** On the cloth x runs from the left selvage and y along the length from the
//! squared end, inches; pieces that are owned lie before what is bought, end to end.

use std::collections::BTreeMap;

use geometry::{Motion, Point, Polygon};
use quilt::cutting::{ClothCutting, Laid, Use};
use quilt::plan::{BlockId, ClothId, Plan};
use quilt::results::Blocks;
use quilt::setting::{Part, Top, cloth_of};

use super::fitting::{Fit, Lay, P, fitted};

/// One patch or part of the top and the cloth under it.
#[derive(Clone, PartialEq, Debug)]
pub struct Shown {
    /// Its cloth.
    pub cloth: ClothId,
    /// Its finished outline in the top, inches.
    pub outline: Vec<P>,
    /// Takes a place in the top to the place on the cloth it was cut from.
    pub to_cloth: Lay,
    /// How it was found.
    pub from: From,
}

/// How the place of a patch on its cloth was found.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum From {
    /// From the piece the cutting plan lays for it.
    Piece,
    /// Within the square or strip its unit is made from: which part becomes this patch
    /// depends on how the unit is sewn and cut open.
    Unit,
    /// Not cut by the plan (there is too little cloth): wherever the top happens to lie.
    Nowhere,
}

/// Fits that miss by more are not the piece of that patch, inches.
const TOO_FAR: f64 = 0.4;

/// Every patch and part of the top, in the order they are drawn: parts, then blocks.
#[must_use]
pub fn shown(plan: &Plan, blocks: &Blocks, top: &Top, cuttings: &[ClothCutting]) -> Vec<Shown> {
    let mut tables: BTreeMap<ClothId, Table> = cuttings
        .iter()
        .map(|cutting| (cutting.cloth, Table::of(plan, cutting)))
        .collect();
    let mut deal = |cloth: ClothId, usage: Use, outline: &[P], to_top: &Lay| {
        let seam = plan.seam.to_f64();
        let table = tables.get_mut(&cloth);
        let (lay, from) = table.map_or((Lay::STILL, From::Nowhere), |table| {
            table.deal(usage, outline, seam)
        });
        Shown {
            cloth,
            outline: outline.iter().map(|&p| to_top.point(p)).collect(),
            to_cloth: to_top.undone().then(&lay),
            from,
        }
    };
    let mut all: Vec<Shown> = top
        .parts
        .iter()
        .map(|part| of_part(part, &mut deal))
        .collect();
    for placed in &top.blocks {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let to_top = lay_of(&placed.motion);
        // Cloth is never turned over: in a mirrored block the patches are mirrored, not
        // the print.
        let over = to_top.mirrors().then_some(Lay::MIRRORED);
        let to_top = over.map_or(to_top, |over| over.then(&to_top));
        for (index, patch) in block.patches.iter().enumerate() {
            let Some(place) = patch.place else { continue };
            let cloth = cloth_of(plan, placed, place, index);
            let usage = Use::Patch(placed.block, patch.template);
            let mut outline = corners(&patch.outline);
            if let Some(over) = over {
                outline.iter_mut().for_each(|p| *p = over.point(*p));
            }
            all.push(deal(cloth, usage, &outline, &to_top));
        }
    }
    all
}

fn of_part(part: &Part, deal: &mut impl FnMut(ClothId, Use, &[P], &Lay) -> Shown) -> Shown {
    deal(
        part.cloth,
        Use::Part(part.kind),
        &corners(&part.outline),
        &Lay::STILL,
    )
}

fn corners(outline: &Polygon) -> Vec<P> {
    outline.points().iter().map(Point::to_f64).collect()
}

fn lay_of(motion: &Motion) -> Lay {
    Lay {
        at: motion.apply(&Point::ORIGIN).to_f64(),
        x: motion.apply_vector(&Point::ints(1, 0)).to_f64(),
        y: motion.apply_vector(&Point::ints(0, 1)).to_f64(),
    }
}

/// A piece on the cloth.
struct Piece {
    outline: Vec<P>,
    /// Pieces of the same form, turned and handed alike, have the same number.
    form: usize,
}

/// A patch by its outline, thousandths of an inch.
type Name = Vec<[i64; 2]>;

/// The pieces of one cloth that are not dealt out yet.
struct Table {
    /// By use; the next to be dealt last.
    waiting: BTreeMap<Use, Vec<Piece>>,
    /// The outline of each form, and of the forms that serve a use the best fit of a patch
    /// met already, by use and patch (its outline in thousandths of an inch).
    forms: Vec<Vec<P>>,
    known: BTreeMap<(Use, Name), Vec<(usize, Fit)>>,
    /// Squares and strips that units are made from, by block; where each begins and ends.
    units: BTreeMap<BlockId, Vec<[P; 2]>>,
    dealt: BTreeMap<BlockId, usize>,
}

impl Table {
    fn of(plan: &Plan, cutting: &ClothCutting) -> Self {
        let mut table = Self {
            waiting: BTreeMap::new(),
            forms: Vec::new(),
            known: BTreeMap::new(),
            units: BTreeMap::new(),
            dealt: BTreeMap::new(),
        };
        let mark = plan.ruler.mark().to_f64();
        let mut end = 0.0;
        for sheet in &cutting.sheets {
            let (width, length) = (sheet.width as f64 * mark, sheet.length as f64 * mark);
            let to_cloth = if sheet.turned {
                // x runs along the cloth, y from the right selvage to the left.
                Lay {
                    at: [length, end],
                    x: [0.0, 1.0],
                    y: [-1.0, 0.0],
                }
            } else {
                Lay {
                    at: [0.0, end],
                    ..Lay::STILL
                }
            };
            for laid in &sheet.pieces {
                table.put(laid, &to_cloth);
            }
            end += if sheet.turned { width } else { length };
        }
        table
            .waiting
            .values_mut()
            .for_each(|pieces| pieces.reverse());
        table
    }

    fn put(&mut self, laid: &Laid, to_cloth: &Lay) {
        let outline: Vec<P> = laid.outline.iter().map(|&p| to_cloth.point(p)).collect();
        let edge = |i: usize, pick: fn(f64, f64) -> f64, from: f64| {
            outline.iter().map(|p| p[i]).fold(from, pick)
        };
        let least = [0, 1].map(|i| edge(i, f64::min, f64::INFINITY));
        if let Use::Unit(block, _) = laid.usage {
            let most = [0, 1].map(|i| edge(i, f64::max, f64::NEG_INFINITY));
            self.units.entry(block).or_default().push([least, most]);
            return;
        }
        let shape: Vec<P> = outline
            .iter()
            .map(|p| [p[0] - least[0], p[1] - least[1]])
            .collect();
        let alike = |other: &Vec<P>| {
            other.len() == shape.len()
                && other
                    .iter()
                    .zip(&shape)
                    .all(|(a, b)| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-3)
        };
        let form = self.forms.iter().position(alike).unwrap_or_else(|| {
            self.forms.push(shape);
            self.forms.len() - 1
        });
        self.waiting
            .entry(laid.usage)
            .or_default()
            .push(Piece { outline, form });
    }

    /// The next piece for a patch, and how the patch lies in it.
    fn deal(&mut self, usage: Use, patch: &[P], seam: f64) -> (Lay, From) {
        for (form, fit) in self.ranked(usage, patch, seam) {
            let Some(pieces) = self.waiting.get_mut(&usage) else {
                break;
            };
            let Some(next) = pieces.iter().rposition(|piece| piece.form == form) else {
                continue;
            };
            let piece = pieces.remove(next);
            // The fit is that of the form at its corner.
            let corner = [0, 1].map(|i| {
                piece
                    .outline
                    .iter()
                    .map(|p| p[i])
                    .fold(f64::INFINITY, f64::min)
            });
            let at = [fit.lay.at[0] + corner[0], fit.lay.at[1] + corner[1]];
            return (Lay { at, ..fit.lay }, From::Piece);
        }
        match usage {
            Use::Patch(block, _) => self.within_unit(block, patch),
            _ => (Lay::STILL, From::Nowhere),
        }
    }

    /// The forms that serve a patch, the best fitting first.
    fn ranked(&mut self, usage: Use, patch: &[P], seam: f64) -> Vec<(usize, Fit)> {
        // Turned and moved alike in every copy of the block, so its outline is its name.
        let name: Name = patch
            .iter()
            .map(|p| p.map(|v| (v * 1000.0).round() as i64))
            .collect();
        let key = (usage, name);
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let mut forms: Vec<usize> = self
            .waiting
            .get(&usage)
            .into_iter()
            .flatten()
            .map(|piece| piece.form)
            .collect();
        forms.sort_unstable();
        forms.dedup();
        let limit = match usage {
            // Joined strips are longer or shorter than the border they become.
            Use::Part(_) => f64::INFINITY,
            _ => TOO_FAR,
        };
        let mut ranked: Vec<(usize, Fit)> = forms
            .into_iter()
            .filter_map(|form| Some((form, fitted(patch, &self.forms[form], seam)?)))
            .filter(|(_, fit)| fit.miss < limit)
            .collect();
        ranked.sort_by(|(_, a), (_, b)| {
            if a.before(b) {
                std::cmp::Ordering::Less
            } else if b.before(a) {
                std::cmp::Ordering::Greater
            } else {
                std::cmp::Ordering::Equal
            }
        });
        self.known.insert(key, ranked.clone());
        ranked
    }

    /// Somewhere within the next square or strip its units are made from.
    fn within_unit(&mut self, block: BlockId, patch: &[P]) -> (Lay, From) {
        let Some(units) = self.units.get(&block).filter(|units| !units.is_empty()) else {
            return (Lay::STILL, From::Nowhere);
        };
        let dealt = self.dealt.entry(block).or_default();
        let [least, most] = units[*dealt % units.len()];
        // The golden ratio spreads repeated visits evenly over the square.
        let share = (*dealt / units.len()) as f64 * 0.618_033_988_75 % 1.0;
        *dealt += 1;
        let bounds = |i: usize| {
            let all = || patch.iter().map(|p| p[i]);
            (
                all().fold(f64::INFINITY, f64::min),
                all().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let at = [0, 1].map(|i| {
            let (from, to) = bounds(i);
            let room = (most[i] - least[i] - (to - from)).max(0.0);
            least[i] + room * share - from
        });
        (Lay { at, ..Lay::STILL }, From::Unit)
    }
}
