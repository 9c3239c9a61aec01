//! Pieces moved along their strips so that they can be cut as the steps say.
//!
//! ```text
//!   folded    │ 1 │ 2 │ 3 │ odd │   left   │ 3 │ 2 │ 1 │     pairs from both ends
//!                               fold
//!   open      │ 1 │ 2 │ 3 │ 4 ╱ run ╱ ╱ ╱ │     left   │     all from one end
//! ```
//!
//! Of two runs that are mirror images one is laid from the right end: turned over, its
//! strip lies on the other's, and one cut gives both hands.
//!
//! **Always holds.** Nothing is added, taken away, turned or put in another strip.

use super::super::{ClothCutting, Laid, LaidSlab, Sheet, Strip};
use super::groups::{Group, Mode, Reader};
use crate::plan::Plan;

/// The cutting with the pieces of every strip in the order they are cut.
pub(in super::super) fn arranged(plan: &Plan, mut cutting: ClothCutting) -> ClothCutting {
    let mark = plan.ruler.mark().to_f64();
    let mut sheets = std::mem::take(&mut cutting.sheets);
    for index in 0..sheets.len() {
        // The hands of pieces are looked for among all of the cloth's.
        cutting.sheets.clone_from(&sheets);
        let reader = Reader::new(plan, &cutting);
        let groups = reader.groups(&cutting.sheets[index]);
        arrange(&reader, &groups, &mut sheets[index], mark);
    }
    cutting.sheets = sheets;
    cutting
}

fn arrange(reader: &Reader<'_>, groups: &[Group], sheet: &mut Sheet, mark: f64) {
    let mut pieces = std::mem::take(&mut sheet.pieces).into_iter();
    let mut rows: Vec<Vec<Slab>> = Vec::new();
    for (index, strip) in sheet.strips.iter_mut().enumerate() {
        let mut slabs: Vec<(LaidSlab, Vec<Laid>)> = std::mem::take(&mut strip.slabs)
            .into_iter()
            .map(|slab| {
                let here = pieces.by_ref().take(slab.pieces as usize).collect();
                (slab, here)
            })
            .collect();
        let group = groups.iter().find(|group| group.strips.contains(&index));
        if let Some(group) = group.filter(|_| !strip.lengthwise && strip.centred.is_none()) {
            let order =
                |(slab, here): &(LaidSlab, Vec<Laid>)| reader.order(group, slab, here.first());
            slabs.sort_by_key(order);
            slabs = match group.mode {
                Mode::Whole => slabs,
                Mode::Open => open(group, order, strip, slabs, mark),
                Mode::Folded(_) => folded(order, strip, slabs, mark),
            };
        }
        rows.push(slabs);
    }
    let mut from = 0;
    while from < rows.len() {
        let size = |s: &Strip| (s.x, s.height, s.width, s.lengthwise, s.centred);
        let first = size(&sheet.strips[from]);
        let more = sheet.strips[from..]
            .iter()
            .take_while(|&strip| size(strip) == first);
        let to = from + more.count();
        if !sheet.strips[from].lengthwise && sheet.strips[from].centred.is_none() {
            alike_together(&sheet.strips[from..to], &mut rows[from..to], mark);
        }
        from = to;
    }
    for (strip, slabs) in sheet.strips.iter_mut().zip(rows) {
        for (slab, here) in slabs {
            strip.slabs.push(slab);
            sheet.pieces.extend(here);
        }
    }
}

/// Strips of one size in such an order that those cut alike lie below each other, the
/// fullest first: then a step can say "strips 1 to 4".
fn alike_together(strips: &[Strip], rows: &mut [Vec<Slab>], mark: f64) {
    let look = |row: &Vec<Slab>| -> Vec<(usize, i64, i64, i64, u32)> {
        row.iter()
            .map(|(slab, _)| (slab.demand, slab.x, slab.width, slab.height, slab.pieces))
            .collect()
    };
    let used = |row: &Vec<Slab>| row.iter().map(|(slab, _)| slab.width).sum::<i64>();
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|&row| (-used(&rows[row]), look(&rows[row]), row));
    let mut sorted: Vec<Vec<Slab>> = Vec::new();
    for (to, &from) in order.iter().enumerate() {
        let by = (strips[to].y - strips[from].y) as f64 * mark;
        let mut row = std::mem::take(&mut rows[from]);
        let pieces = row.iter_mut().flat_map(|(_, pieces)| pieces);
        for point in pieces.flat_map(|piece| &mut piece.outline) {
            point[1] += by;
        }
        sorted.push(row);
    }
    rows.clone_from_slice(&sorted);
}

type Slab = (LaidSlab, Vec<Laid>);

/// One after another from the left end; from the right end if the strip is to be turned
/// over onto those it mirrors.
fn open(
    group: &Group,
    order: impl Fn(&Slab) -> usize,
    strip: &Strip,
    mut slabs: Vec<Slab>,
    mark: f64,
) -> Vec<Slab> {
    let lots: Vec<usize> = slabs.iter().map(&order).collect();
    let turned = turned_over(group, &lots);
    let mut used = 0;
    for slab in &mut slabs {
        let x = if turned {
            strip.x + strip.width - used - slab.0.width
        } else {
            strip.x + used
        };
        used += slab.0.width;
        moved(slab, x, mark, turned);
    }
    if turned {
        slabs.reverse();
    }
    slabs
}

/// For each strip of a sheet of this cutting, whether it stays folded, its pieces in pairs
/// from both ends (or itself a pair, when nothing is cut from it); else it lies in a single
/// layer.
#[must_use]
pub fn folded_strips(plan: &Plan, cutting: &ClothCutting, sheet: &Sheet) -> Vec<bool> {
    let layers = plan.cutting.layers;
    let groups = Reader::new(plan, cutting).groups(sheet);
    let folded = |index: usize| {
        groups
            .iter()
            .any(|group| group.strips.contains(&index) && layers > 1 && group.mode != Mode::Open)
    };
    let strips = sheet.strips.iter().enumerate();
    strips
        .map(|(index, strip)| !strip.lengthwise && folded(index))
        .collect()
}

/// Whether a strip with these lots is laid face down on those it mirrors: it has the
/// later of two mirrored runs, and not the other.
pub(super) fn turned_over(group: &Group, lots: &[usize]) -> bool {
    lots.iter().any(|&lot| {
        group
            .lots
            .get(lot)
            .and_then(|lot| lot.partner)
            .is_some_and(|partner| partner < lot && !lots.contains(&partner))
    })
}

fn folded(order: impl Fn(&Slab) -> usize, strip: &Strip, slabs: Vec<Slab>, mark: f64) -> Vec<Slab> {
    let (mut left, mut right): (Vec<Slab>, Vec<Slab>) = (Vec::new(), Vec::new());
    let mut middle: Vec<Slab> = Vec::new();
    let mut slabs = slabs.into_iter().peekable();
    while let Some(slab) = slabs.next() {
        let here = order(&slab);
        match slabs.next_if(|next| order(next) == here) {
            Some(other) => {
                left.push(slab);
                right.push(other);
            }
            None => middle.push(slab),
        }
    }
    let mut used = 0;
    for (a, b) in left.iter_mut().zip(&mut right) {
        moved(a, strip.x + used, mark, false);
        used += a.0.width;
        moved(b, strip.x + strip.width - used, mark, false);
    }
    for slab in &mut middle {
        moved(slab, strip.x + used, mark, false);
        used += slab.0.width;
    }
    left.extend(middle);
    left.extend(right.into_iter().rev());
    left
}

/// Moves a slab to `x`; a run that is laid from the right ends where its slab ends.
fn moved((slab, pieces): &mut Slab, x: i64, mark: f64, from_right: bool) {
    let mut by = (x - slab.x) as f64 * mark;
    slab.x = x;
    if from_right {
        let reach = pieces.iter().flat_map(|piece| &piece.outline).map(|p| p[0]);
        let reach = reach.fold(f64::NEG_INFINITY, f64::max) + by;
        if reach.is_finite() {
            by += (x + slab.width) as f64 * mark - reach;
        }
    }
    for point in pieces.iter_mut().flat_map(|piece| &mut piece.outline) {
        point[0] += by;
    }
}
