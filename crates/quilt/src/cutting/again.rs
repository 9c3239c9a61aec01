//! A piece came out wrong: from where it is cut again.
//!
//! ```text
//!   strip   ▭▭▭▭▭▭ ······   what is left of a strip that is high enough, nearest fit first
//!   below   ═══════════════  else a strip more from the cloth below the last one
//!   short   else it says how much is missing, and what there is to buy
//! ```
//!
//! The piece lies as it lay in the layout, so its grain and its hand stay true; the room it
//! takes is the box round it.
//!
//! **Units.** Whole ruler marks on the cloth, inches where lengths leave for the maker.
//!
//! **Always holds.** No two pieces cut again take the same room, and none takes room of the
//! layout.

use geometry::Surd;

use super::sheets::Sale;
use super::{ClothCutting, Sheet, Source, Strip, Use, names};
use crate::plan::Plan;
use crate::results::Blocks;

/// From where one piece is cut again.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Room {
    /// From what is left of a strip: the sheet, the strip's number in it from 1, and how
    /// long that was before, inches.
    Strip {
        /// Index of [`ClothCutting::sheets`].
        sheet: usize,
        /// Number of the strip, from 1.
        strip: usize,
        /// The longest stretch without a piece, inches.
        left: Surd,
    },
    /// From a strip of its own below the last one: the sheet, how high the strip is, and
    /// what was left there before, inches.
    Below {
        /// Index of [`ClothCutting::sheets`].
        sheet: usize,
        /// Height of the strip, inches.
        strip: Surd,
        /// What is left below the last strip, inches.
        left: Surd,
    },
    /// There is none.
    Short {
        /// By how much the cloth is too short, inches.
        by: Surd,
        /// What to buy more, inches; `None` for a cloth that is not sold any more.
        buy: Option<Surd>,
    },
    /// The layout has no such piece.
    Unknown,
}

/// A piece that is cut again.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Again {
    /// What it is for.
    pub usage: Use,
    /// Height and width it takes on the cloth, inches.
    pub size: [Surd; 2],
    /// From where.
    pub room: Room,
    /// The same in words: `1 A, 2 1/2 × 2 1/2 in: from what is left of strip 3, 12 in of
    /// “rust”.`
    pub says: String,
}

/// What would be bought besides for pieces before.
#[derive(Default)]
struct More {
    /// Length along the cloth, marks.
    length: i64,
    /// Its strips: height and what is left of each.
    strips: Vec<(i64, i64)>,
}

/// What is free of one sheet.
struct Free {
    sheet: usize,
    /// For each strip its number, height and the longest stretch without a piece.
    ends: Vec<(usize, i64, i64)>,
    /// Below the last strip: how wide and how long.
    below: [i64; 2],
    /// The strips that were cut below for pieces before: height and what is left of each.
    cut: Vec<(i64, i64)>,
}

/// From where pieces of one cloth are cut again, each laid where the ones before left room.
#[must_use]
pub fn again(
    plan: &Plan,
    blocks: &Blocks,
    cutting: &ClothCutting,
    wrong: &[(Use, u32)],
) -> Vec<Again> {
    let mut free: Vec<Free> = (0..cutting.sheets.len())
        .map(|sheet| free(plan, cutting, sheet))
        .collect();
    let mut more = More::default();
    let each = wrong
        .iter()
        .flat_map(|&(usage, count)| std::iter::repeat_n(usage, count as usize));
    each.map(|usage| {
        let (size, room) = match extent(plan, cutting, &usage) {
            None => ([0, 0], Room::Unknown),
            Some(size) => (size, lay(plan, cutting, &mut free, &mut more, size)),
        };
        let size = size.map(|marks| plan.ruler.length(marks));
        let name = names::labels(plan, blocks, &[(usage, 1)]);
        Again {
            says: say(plan, cutting, &name, &size, &room),
            usage,
            size,
            room,
        }
    })
    .collect()
}

/// Height and width of a piece as it lies, in marks.
fn extent(plan: &Plan, cutting: &ClothCutting, usage: &Use) -> Option<[i64; 2]> {
    // Strips that are joined lie there under the first of the uses they serve.
    let serves = |demand: usize| {
        let mut served = cutting.demands[demand].serves.iter();
        served.any(|served| served.usage == *usage)
    };
    let piece = cutting
        .pieces()
        .find(|piece| piece.usage == *usage)
        .or_else(|| cutting.pieces().find(|piece| serves(piece.demand)))?;
    let mark = plan.ruler.mark().to_f64();
    let span = |axis: usize| {
        let at = piece.outline.iter().map(|p| p[axis]);
        let (low, high) = at.fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(x), h.max(x)));
        #[expect(clippy::cast_possible_truncation, reason = "a cloth has few marks")]
        let marks = ((high - low) / mark - 1e-6).ceil() as i64;
        marks
    };
    Some([span(1), span(0)])
}

fn free(plan: &Plan, cutting: &ClothCutting, index: usize) -> Free {
    let sheet = &cutting.sheets[index];
    let ends = sheet
        .strips
        .iter()
        .enumerate()
        .filter(|(_, strip)| !strip.lengthwise && strip.centred.is_none())
        .map(|(number, strip)| (number + 1, strip.height, widest_gap(strip)))
        .collect();
    Free {
        sheet: index,
        ends,
        below: [sheet.width, below(plan, cutting, sheet)],
        cut: Vec::new(),
    }
}

/// The longest stretch of a strip that no piece takes. Folded strips are cut from both
/// ends, so that it lies in the middle, over the fold.
fn widest_gap(strip: &Strip) -> i64 {
    let mut taken: Vec<(i64, i64)> = strip
        .slabs
        .iter()
        .map(|slab| (slab.x, slab.x + slab.width))
        .collect();
    taken.sort_unstable();
    let (mut from, mut widest) = (strip.x, 0);
    for (start, end) in taken {
        widest = widest.max(start - from);
        from = from.max(end);
    }
    widest.max(strip.x + strip.width - from)
}

/// What is left below the last strip, marks: of bought cloth whatever was bought beyond
/// the need, the spare length too, as it comes from the wash.
fn below(plan: &Plan, cutting: &ClothCutting, sheet: &Sheet) -> i64 {
    let used = sheet.strips.iter().map(|s| s.y + s.height).max();
    let used = used.unwrap_or(0).max(match sheet.source {
        Source::Bought => cutting.needs,
        Source::Owned(_) => 0,
    });
    let there = match sheet.source {
        Source::Owned(_) => sheet.length,
        Source::Bought => {
            let washed = cutting
                .buy
                .checked_div(&(Surd::ONE + &plan.buying.shrinkage));
            washed.map_or(0, |dry| plan.ruler.down(&(dry - &plan.buying.squaring)))
        }
    };
    (there - used).max(0)
}

fn lay(
    plan: &Plan,
    cutting: &ClothCutting,
    free: &mut [Free],
    more: &mut More,
    [height, width]: [i64; 2],
) -> Room {
    let length = |marks: i64| plan.ruler.length(marks);
    // Where the least is left over, in height first.
    let ends = free.iter_mut().flat_map(|free| {
        let sheet = free.sheet;
        free.ends.iter_mut().map(move |end| (sheet, end))
    });
    let fits = ends.filter(|(_, end)| end.1 >= height && end.2 >= width);
    if let Some((sheet, end)) = fits.min_by_key(|(_, end)| (end.1, end.2)) {
        let left = length(end.2);
        end.2 -= width;
        return Room::Strip {
            sheet,
            strip: end.0,
            left,
        };
    }
    for free in free.iter_mut() {
        let left = length(free.below[1]);
        let cut = free
            .cut
            .iter_mut()
            .find(|cut| cut.0 >= height && cut.1 >= width);
        if let Some(cut) = cut {
            cut.1 -= width;
            return Room::Below {
                sheet: free.sheet,
                strip: length(cut.0),
                left,
            };
        }
        if free.below[1] >= height && free.below[0] >= width {
            free.below[1] -= height;
            free.cut.push((height, free.below[0] - width));
            return Room::Below {
                sheet: free.sheet,
                strip: length(height),
                left,
            };
        }
    }
    let most = free.iter().map(|free| free.below[1]).max().unwrap_or(0);
    let wide = cutting.sheets.iter().map(|sheet| sheet.width).max();
    let fits = |strip: &&mut (i64, i64)| strip.0 >= height && strip.1 >= width;
    match more.strips.iter_mut().find(fits) {
        Some(strip) => strip.1 -= width,
        None => {
            more.length += height;
            more.strips.push((height, wide.unwrap_or(width) - width));
        }
    }
    let buy = cutting.missing.is_none().then(|| {
        let needs = cutting.needs + more.length;
        let buy = Sale::to_buy(&plan.buying, &plan.ruler, needs) - &cutting.buy;
        if buy.is_positive() {
            buy
        } else {
            plan.buying.step.clone()
        }
    });
    Room::Short {
        by: length((height - most).max(1)),
        buy,
    }
}

fn say(plan: &Plan, cutting: &ClothCutting, name: &str, size: &[Surd; 2], room: &Room) -> String {
    let measure = plan.measure;
    let cloth = &plan.cloth(cutting.cloth).name;
    let several = cutting.sheets.len() > 1;
    let of = |sheet: usize| match cutting.sheets[sheet].source {
        _ if !several => String::new(),
        Source::Bought => " of the cloth you buy".into(),
        Source::Owned(_) => format!(" of piece {} of the cloth you own", sheet + 1),
    };
    let taken = measure.size(&size[0], &size[1]);
    match room {
        Room::Strip { sheet, strip, left } => format!(
            "{name}, {taken}: from what is left of strip {strip}{}, {} of “{cloth}”.",
            of(*sheet),
            measure.say(left)
        ),
        Room::Below { sheet, strip, left } => format!(
            "{name}, {taken}: from a strip {} high below the last one{}; {} of “{cloth}” are left there.",
            measure.say(strip),
            of(*sheet),
            measure.say(left)
        ),
        Room::Short { by, buy: Some(buy) } => format!(
            "{name}, {taken}: “{cloth}” is {} short of it. Buy {} more, or cut it from another cloth.",
            measure.say(by),
            measure.shop(buy)
        ),
        Room::Short { by, buy: None } => format!(
            "{name}, {taken}: “{cloth}” is {} short of it and is not sold any more. Cut it from another cloth.",
            measure.say(by)
        ),
        Room::Unknown => format!("{name}: the layout of “{cloth}” has no such piece any more."),
    }
}
