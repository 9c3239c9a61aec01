//! What must hold at the cutting table, looked at from outside: the steps are walked with
//! real strips, and the blade's passes are counted one by one.

use std::collections::BTreeMap;

use quilt::cutting::{Action, ClothCutting, CutStep, CuttingTable, Effort, Laid, Use};
use quilt::plan::Plan;

/// A ruler's length, inches.
const RULER: f64 = 24.0;

/// Everything that must hold of the steps of a whole quilt.
pub fn table_sound(plan: &Plan, all: &[ClothCutting], table: &CuttingTable) {
    let mut made: BTreeMap<Use, u32> = BTreeMap::new();
    let mut whole = Effort::default();
    let mut sheets = Vec::new();
    for station in &table.stations {
        sheets.extend(station.sheets.iter().copied());
        let mut settings = 0;
        let mut reading = None;
        let mut passes = 0;
        for (at, step) in station.steps.iter().enumerate() {
            assert!(step.layers <= plan.cutting.layers, "{step:?}");
            assert!(!step.text.is_empty(), "{step:?}");
            if step.ruler.is_some() && step.ruler != reading {
                (settings, reading) = (settings + 1, step.ruler);
            }
            for &(usage, count) in &step.pieces {
                *made.entry(usage).or_default() += count;
            }
            let walked = walked(plan, all, &station.steps, at);
            assert_eq!(step.passes, walked, "passes of {step:#?}");
            passes += walked;
        }
        assert_eq!(station.effort, Effort { settings, passes });
        whole = whole + station.effort;
        strips_once(all, station);
    }
    assert_eq!(table.effort, whole);
    let before = sheets.len();
    sheets.sort_unstable();
    sheets.dedup();
    assert_eq!(before, sheets.len(), "no sheet is cut twice");
    let mut laid: BTreeMap<Use, u32> = BTreeMap::new();
    for piece in all.iter().flat_map(ClothCutting::pieces) {
        *laid.entry(piece.usage).or_default() += 1;
    }
    assert_eq!(made, laid, "the steps make what is needed");
    hands(all, table);
}

/// Every strip of the station's sheets is cut in exactly one step, and whatever is
/// cross-cut was cut before.
fn strips_once(all: &[ClothCutting], station: &quilt::cutting::Station) {
    let mut cut: Vec<((usize, usize), usize)> = Vec::new();
    for step in &station.steps {
        let strips = step
            .from
            .iter()
            .flat_map(|from| from.strips.iter().map(|strip| (from.sheet, strip.strip)));
        if matches!(step.action, Action::Strips { .. } | Action::Along) {
            cut.extend(strips);
        } else {
            assert!(
                strips.into_iter().all(|strip| cut.contains(&strip)),
                "{step:?}"
            );
        }
    }
    let count: usize = station
        .sheets
        .iter()
        .map(|&(cloth, sheet)| all[cloth].sheets[sheet].strips.len())
        .sum();
    assert_eq!(cut.len(), count);
    cut.sort_unstable();
    cut.dedup();
    assert_eq!(cut.len(), count);
}

/// The passes of one step, each strip taken in hand.
fn walked(plan: &Plan, all: &[ClothCutting], steps: &[CutStep], at: usize) -> u32 {
    let step = &steps[at];
    let mark = plan.ruler.mark().to_f64();
    let layers = plan.cutting.layers;
    let each: Vec<u32> = step
        .from
        .iter()
        .flat_map(|from| from.strips.iter().map(|strip| strip.count))
        .filter(|&count| count > 0)
        .collect();
    let sheet_width = || {
        let (cloth, sheet) = step.from[0].sheet;
        all[cloth].sheets[sheet].width as f64 * mark
    };
    let moves = |length: f64| {
        let mut moves = 0;
        let mut left = length;
        while left > 1e-9 {
            left -= RULER;
            moves += 1;
        }
        moves
    };
    match step.action {
        Action::Square { fold } => {
            let per = layers / fold;
            stacks(step.from.len() as u32, per) * moves(sheet_width() / f64::from(fold))
        }
        Action::Strips { fold, .. } => {
            let mut left: Vec<u32> = step.from.iter().map(|f| f.strips.len() as u32).collect();
            taken(&mut left, layers / fold) * moves(step.size[1] as f64 * mark / f64::from(fold))
        }
        Action::Keep => 0,
        Action::Ends { folded } => {
            // Those that give a pair stay folded in two; the others lie open.
            let paired = if folded { with_pairs(steps, at) } else { 0 };
            let open = each.len() as u32 - paired;
            stacks(paired, layers / 2) + stacks(open, layers)
        }
        Action::Crosscut { .. } => {
            let folded = steps[..at]
                .iter()
                .rev()
                .find_map(|s| match s.action {
                    Action::Ends { folded } => Some(folded),
                    _ => None,
                })
                .unwrap();
            if folded {
                let mut pairs: Vec<u32> = each.iter().map(|n| n / 2).collect();
                let mut single: Vec<u32> = each.iter().map(|n| n % 2).collect();
                taken(&mut pairs, layers / 2) + taken(&mut single, layers)
            } else {
                taken(&mut each.clone(), layers)
            }
        }
        Action::Slanted { shape, .. } => {
            // One cut sets the angle, one frees each piece.
            let mut cuts: Vec<u32> = each.iter().map(|n| n + 1).collect();
            let points = if shape == quilt::block::RotaryShape::Hexagon60 {
                2 * stacks(step.count, layers)
            } else {
                0
            };
            taken(&mut cuts, layers) + points
        }
        Action::Once { .. } => stacks(steps_count(steps, at), layers),
        Action::Twice => 2 * stacks(steps_count(steps, at), layers),
        Action::Trim if step.size[1] > 0 => {
            stacks(step.count, layers) * moves(step.size[1] as f64 * mark)
        }
        // These are counted as they are; no two of them lie on each other.
        Action::Trim
        | Action::Panel { .. }
        | Action::Along
        | Action::Template { .. }
        | Action::Join => step.passes,
        Action::Spread | Action::CutOff => moves(sheet_width()),
        Action::Centred { by_template: false } => 4 * step.count,
        Action::Centred { by_template: true } => step.passes,
    }
}

/// How many squares or rectangles lie ready for the cut corner to corner.
fn steps_count(steps: &[CutStep], at: usize) -> u32 {
    steps[at - 1].count
}

/// Of the strips whose ends are squared in this step, how many give two or more of a size.
fn with_pairs(steps: &[CutStep], at: usize) -> u32 {
    let mut strips = std::collections::BTreeSet::new();
    for step in steps[at + 1..]
        .iter()
        .take_while(|step| !matches!(step.action, Action::Ends { .. }))
    {
        if let Action::Crosscut { .. } = step.action {
            for from in &step.from {
                let pairs = from.strips.iter().filter(|strip| strip.count > 1);
                strips.extend(pairs.map(|strip| (from.sheet, strip.strip)));
            }
        }
    }
    strips.len() as u32
}

fn stacks(mut count: u32, per: u32) -> u32 {
    let mut stacks = 0;
    while count > 0 {
        count -= count.min(per.max(1));
        stacks += 1;
    }
    stacks
}

/// Cuts one from each of as many as may lie on each other, those with the most left
/// first, until nothing is left.
fn taken(left: &mut [u32], per: u32) -> u32 {
    let mut passes = 0;
    let most = left.iter().copied().max().unwrap_or(0);
    for round in 0..most {
        let mut waiting: Vec<usize> = (0..left.len()).filter(|&i| left[i] > 0).collect();
        let _ = round;
        while !waiting.is_empty() {
            let now = waiting.len().min(per.max(1) as usize);
            for strip in waiting.drain(..now) {
                left[strip] -= 1;
            }
            passes += 1;
        }
    }
    assert!(left.iter().all(|&left| left == 0));
    passes
}

/// Cuts the slanted pieces as the steps say, strips face up or face down, and counts the
/// hands that come out against those on the layout.
fn hands(all: &[ClothCutting], table: &CuttingTable) {
    for station in &table.stations {
        for step in &station.steps {
            let Action::Slanted { .. } = step.action else {
                continue;
            };
            // Under the blade every layer is cut to the outline of the strips that lie
            // right side up.
            let pattern = step
                .from
                .iter()
                .flat_map(|from| from.strips.iter().map(move |strip| (from.sheet, strip)))
                .find(|(_, strip)| !strip.face_down)
                .map(|(sheet, strip)| lean(first_slanted(all, sheet, strip.strip, step)));
            for from in &step.from {
                for strip in &from.strips {
                    let cut = pattern.unwrap() * if strip.face_down { -1.0 } else { 1.0 };
                    let laid = lean(first_slanted(all, from.sheet, strip.strip, step));
                    assert!(
                        (cut - laid).abs() < 1e-6 || pattern_is_even(step),
                        "{cut} cut, {laid} needed in {step:?}"
                    );
                }
            }
        }
    }
}

fn pattern_is_even(step: &CutStep) -> bool {
    matches!(
        step.action,
        Action::Slanted {
            one_hand: false,
            ..
        }
    )
}

/// The first piece of the step's run on a strip; runs of other pieces may lie there too.
fn first_slanted<'a>(
    all: &'a [ClothCutting],
    (cloth, sheet): (usize, usize),
    strip: usize,
    step: &CutStep,
) -> &'a Laid {
    let height = step.size[0];
    let made = |piece: &Laid| step.pieces.iter().any(|(usage, _)| *usage == piece.usage);
    let sheet = &all[cloth].sheets[sheet];
    let mut from = 0;
    for (index, at) in sheet.strips.iter().enumerate() {
        for slab in &at.slabs {
            let piece = &sheet.pieces[from];
            let slanted = piece.outline.iter().any(|p| {
                let corner = piece.outline[0];
                (p[0] - corner[0]).abs() > 1e-6 && (p[1] - corner[1]).abs() > 1e-6
            }) && piece.outline.len() == 4
                && lean(piece).abs() > 1e-6;
            if index == strip && slab.height == height && slanted && made(piece) {
                return piece;
            }
            from += slab.pieces as usize;
        }
    }
    // Even shapes: any piece will do.
    &sheet.pieces[0]
}

/// How far the middle of a piece moves to the right from its top to its bottom, inches.
fn lean(piece: &Laid) -> f64 {
    let y = |pick: fn(f64, f64) -> f64, start: f64| {
        piece.outline.iter().map(|p| p[1]).fold(start, pick)
    };
    let (top, bottom) = (y(f64::min, f64::INFINITY), y(f64::max, f64::NEG_INFINITY));
    let middle = |y: f64| {
        let on: Vec<f64> = piece
            .outline
            .iter()
            .filter(|p| (p[1] - y).abs() < 1e-6)
            .map(|p| p[0])
            .collect();
        on.iter().sum::<f64>() / on.len() as f64
    };
    middle(bottom) - middle(top)
}
