//! Rows of blocks, rows of sashing, and joining them.

use std::collections::{BTreeMap, BTreeSet};

use geometry::{Point, Polygon, Segment, Surd};

use super::super::press::{Group, PressPlan, TopPress, TopSeam};
use super::super::{TopStep, size};
use super::seams::across_words;
use super::{Alike, Piece, Run, Work, middle, say};
use crate::plan::{Kind, Role};
use crate::setting::PartKind;

/// Pieces sewn into one row.
pub(super) struct Row {
    /// Whether it has blocks; otherwise it is a row of sashing.
    pub(super) of_blocks: bool,
    /// From left to right.
    pub(super) pieces: Vec<Piece>,
    /// Its number from 0 among all rows.
    pub(super) index: usize,
    /// Its running number from 1 among the rows of its sort.
    number: usize,
    /// Whether its seams are pressed along the row: to the right, down a column, or up on
    /// point.
    along: bool,
}

/// The seams between the pieces of each row, row by row from the top.
pub(super) fn row_seams(work: &Work<'_>, sorted: &Sorted) -> Vec<TopSeam> {
    let along = work.run().along();
    let sash = |piece: Piece| match piece {
        Piece::Part(index) => {
            matches!(
                work.top.parts[index].kind,
                PartKind::Sash | PartKind::LongSash
            )
        }
        Piece::Block(_) => false,
    };
    let mut seams = Vec::new();
    for (row, pieces) in sorted.rows.iter().map(|row| &row.pieces).enumerate() {
        for pair in pieces.windows(2) {
            let outlines = [work.outline(pair[0]), work.outline(pair[1])];
            let Some(seam) = shared(outlines[0], outlines[1]) else {
                continue;
            };
            let (towards, sash) = match (sash(pair[0]), sash(pair[1])) {
                (true, false) => (-&along, Some(true)),
                (false, true) => (along.clone(), Some(true)),
                _ => (along.clone(), None),
            };
            seams.push(TopSeam {
                group: Group::Row(row),
                seam,
                towards,
                sash,
            });
        }
    }
    seams
}

/// The stretch on which two outlines lie side by side.
pub(super) fn shared(one: &Polygon, other: &Polygon) -> Option<Segment> {
    one.edges().find_map(|a| {
        other.edges().find_map(|b| {
            if !a.is_parallel(&b) {
                return None;
            }
            if a.contains(&b.a) && a.contains(&b.b) {
                return Some(b);
            }
            (b.contains(&a.a) && b.contains(&a.b)).then(|| a.clone())
        })
    })
}

/// All rows from the top (or the top left corner), and what lies outside them.
pub(super) struct Sorted {
    pub(super) rows: Vec<Row>,
    pub(super) outside: Vec<Piece>,
}

/// The steps from blocks to the top without borders.
///
/// Rows are pressed as was decided, one entry a row in the order of [`row_seams`].
pub(super) fn steps(work: &Work<'_>, pressing: &PressPlan) -> Vec<TopStep> {
    let mut sorted = sorted(work);
    for (row, &way) in sorted.rows.iter_mut().zip(&pressing.rows) {
        row.along = way;
    }
    let mut steps = Vec::new();
    for of_blocks in [true, false] {
        let rows: Vec<&Row> = sorted
            .rows
            .iter()
            .filter(|r| r.of_blocks == of_blocks)
            .collect();
        steps.extend(row_steps(work, &rows, pressing));
    }
    steps.extend(joined(work, &sorted, pressing));
    steps.extend(finished(work, &sorted, pressing));
    steps
}

/// How far across the rows a point lies: down the page, to the right, or away from the top
/// left corner.
fn depth(work: &Work<'_>, at: &Point) -> Surd {
    work.run().across().dot(at)
}

/// How far along its row a point lies: from left to right, or from the top down.
fn along(work: &Work<'_>, at: &Point) -> Surd {
    work.run().along().dot(at)
}

/// The point that tells which row a piece belongs to. A triangle or half post is half of
/// a square whose middle is the middle of the long side.
fn anchor(work: &Work<'_>, piece: Piece) -> Point {
    let outline = work.outline(piece);
    let half = |kind| matches!(kind, PartKind::SideTriangle | PartKind::EdgePost);
    match piece {
        Piece::Part(index) if half(work.top.parts[index].kind) => outline
            .edges()
            .max_by_key(|edge| edge.vector().length_squared())
            .map_or_else(|| middle(outline), |edge| edge.middle()),
        _ => middle(outline),
    }
}

pub(super) fn sorted(work: &Work<'_>) -> Sorted {
    let mut block_rows: BTreeMap<Surd, Vec<Piece>> = BTreeMap::new();
    let key = |piece| depth(work, &anchor(work, piece));
    // The rows the setting gives, each at the depth of its first block.
    let mut of_row: BTreeMap<u32, Surd> = BTreeMap::new();
    for index in work.inner_blocks() {
        let placed = &work.top.blocks[index];
        let piece = Piece::Block(index);
        let row = match (work.run(), placed.diagonal) {
            (_, Some((row, _))) => row,
            (Run::Upright, None) => placed.column,
            (_, None) => placed.row,
        };
        let depth = of_row.entry(row).or_insert_with(|| key(piece)).clone();
        block_rows.entry(depth).or_default().push(piece);
    }
    let mut sash_rows: BTreeMap<Surd, Vec<Piece>> = BTreeMap::new();
    let (mut late, mut outside) = (Vec::new(), Vec::new());
    for (index, part) in work.inner_parts() {
        let piece = Piece::Part(index);
        let at = key(piece);
        match part.kind {
            PartKind::CornerTriangle => outside.push(piece),
            PartKind::LongSash if is_upright(&part.outline) && !work.on_point() => {
                outside.push(piece);
            }
            PartKind::SideTriangle | PartKind::EdgePost => late.push((piece, at)),
            _ => match block_rows.get_mut(&at) {
                Some(row) => row.push(piece),
                None => sash_rows.entry(at).or_default().push(piece),
            },
        }
    }
    for (piece, at) in late {
        let rows = match piece {
            Piece::Part(i) if work.top.parts[i].kind == PartKind::EdgePost => &mut sash_rows,
            _ => &mut block_rows,
        };
        // Floating shifts triangles along with the edge, so the nearest row is meant.
        let nearest = rows
            .iter_mut()
            .min_by_key(|(depth, _)| (*depth - &at).abs());
        match nearest {
            Some((_, row)) => row.push(piece),
            None => outside.push(piece),
        }
    }
    let blocks = block_rows
        .into_iter()
        .map(|(depth, pieces)| (depth, true, pieces));
    let sashes = sash_rows
        .into_iter()
        .map(|(depth, pieces)| (depth, false, pieces));
    let mut all: Vec<(Surd, bool, Vec<Piece>)> = blocks.chain(sashes).collect();
    all.sort();
    let mut counts = [0, 0];
    let rows = all.into_iter().enumerate();
    let rows = rows.map(|(index, (_, of_blocks, mut pieces))| {
        pieces.sort_by_cached_key(|&piece| along(work, &middle(work.outline(piece))));
        let count = &mut counts[usize::from(of_blocks)];
        *count += 1;
        Row {
            of_blocks,
            pieces,
            index,
            number: *count,
            along: false,
        }
    });
    Sorted {
        rows: rows.collect(),
        outside,
    }
}

/// The pieces of each row, from the top or the top left corner, and whether it has blocks.
pub(super) fn pieces(work: &Work<'_>) -> Vec<(bool, Vec<Piece>)> {
    let rows = sorted(work).rows.into_iter();
    rows.map(|row| (row.of_blocks, row.pieces)).collect()
}

fn is_upright(outline: &Polygon) -> bool {
    let (low, high) = outline.bounds();
    let size = &high - &low;
    size.y > size.x
}

/// One step for all rows that are alike; none for a row of one piece.
fn row_steps(work: &Work<'_>, rows: &[&Row], pressing: &PressPlan) -> Vec<TopStep> {
    let mut groups: Vec<(Vec<Alike>, Vec<&Row>)> = Vec::new();
    for row in rows.iter().filter(|row| row.pieces.len() > 1) {
        let mut alike: Vec<Alike> = row.pieces.iter().map(|&piece| work.alike(piece)).collect();
        if !row.of_blocks || work.on_point() {
            // A row turned end for end is the same work here.
            let back: Vec<Alike> = alike.iter().rev().cloned().collect();
            alike = alike.min(back);
        }
        match groups.iter_mut().find(|(known, _)| *known == alike) {
            Some((_, group)) => group.push(row),
            None => groups.push((alike, vec![row])),
        }
    }
    let groups = groups.into_iter().map(|(_, group)| group);
    groups
        .map(|group| row_step(work, &group, rows.len(), pressing))
        .collect()
}

fn row_step(work: &Work<'_>, group: &[&Row], of: usize, pressing: &PressPlan) -> TopStep {
    let pieces: Vec<Piece> = group
        .iter()
        .flat_map(|row| row.pieces.iter().copied())
        .collect();
    let seams = group.iter().map(|row| row.pieces.len() - 1).sum();
    let mut step = work.step(&pieces, seams, extents(work, &group[0].pieces));
    step.times = u32::try_from(group.len()).unwrap_or(u32::MAX);
    // Seams within a row are as long as the row is high.
    step.seam = step.height.clone();
    let numbers: Vec<usize> = group.iter().map(|row| row.number).collect();
    step.text = if group[0].of_blocks {
        block_row_text(work, group[0], &numbers, of)
    } else {
        let posts = work.setting_has_posts();
        let what = contents(work, group[0], true);
        let end = if posts {
            "in turn, end to end"
        } else {
            "end to end"
        };
        format!("{}: join {what} {end}.", named("sash row", &numbers, of))
    };
    step.press = row_press(work, group, of, pressing);
    step
}

/// `Each of the 4 rows`, `Rows 1 and 3`, `The row`.
fn named(what: &str, numbers: &[usize], of: usize) -> String {
    match (numbers.len(), of) {
        (1, 1) => format!("The {what}"),
        (n, of) if n == of && of > 2 => format!("Each of the {}", say::several(of, what)),
        _ => say::rows(what, numbers),
    }
}

fn block_row_text(work: &Work<'_>, row: &Row, numbers: &[usize], of: usize) -> String {
    let rows = named(work.run().word(), numbers, of);
    let place = match (work.on_point(), numbers) {
        (true, [1]) if of > 1 => ", at the top left corner",
        (true, [n]) if of > 1 && *n == of => ", at the bottom right corner",
        (true, [1, n]) if *n == of => ", at the corners",
        _ => "",
    };
    let from = match work.run() {
        Run::Upright => "from top to bottom",
        Run::Level | Run::Diagonal => "from left to right",
    };
    format!("{rows}{place}: join {} {from}.", contents(work, row, false))
}

/// `the 3 blocks, 2 sashes and 2 setting triangles`; of sashing without `the`.
fn contents(work: &Work<'_>, row: &Row, sashing: bool) -> String {
    let name = |piece: Piece| match piece {
        Piece::Block(index) if work.is_half(index) => "half block",
        Piece::Block(_) => "block",
        Piece::Part(index) => match work.top.parts[index].kind {
            PartKind::Sash => "sash",
            PartKind::LongSash => "long sash",
            PartKind::Post => "post",
            PartKind::EdgePost => "half post",
            PartKind::SideTriangle => "setting triangle",
            PartKind::PlainEnd => "plain end",
            _ => "piece",
        },
    };
    let order = [
        "block",
        "half block",
        "plain end",
        "sash",
        "long sash",
        "post",
        "half post",
        "setting triangle",
        "piece",
    ];
    let counts: Vec<String> = order
        .iter()
        .filter_map(|kind| {
            let count = row
                .pieces
                .iter()
                .filter(|&&piece| name(piece) == *kind)
                .count();
            (count > 0).then(|| say::several(count, kind))
        })
        .collect();
    let listed = say::list(&counts);
    match listed.strip_prefix("1 block") {
        _ if sashing => listed,
        Some(rest) => format!("the block{rest}"),
        None => format!("the {listed}"),
    }
}

fn row_press(work: &Work<'_>, group: &[&Row], of: usize, pressing: &PressPlan) -> String {
    let sash = |piece: &Piece| match piece {
        Piece::Part(index) => work.top.parts[*index].kind == PartKind::Sash,
        Piece::Block(_) => false,
    };
    let other = |row: &&Row| row.pieces.iter().any(|piece| !sash(piece));
    if work.plan.setting.sashing.is_some()
        && group[0].pieces.iter().any(sash)
        && group.iter().all(other)
    {
        return sash_press(work, group, pressing);
    }
    let strips = matches!(work.plan.setting.kind, Kind::Strips { .. });
    if of == 1 || strips {
        return "Press the seams all the same way.".into();
    }
    let [right, left] = work.run().ways();
    let along = group.iter().filter(|row| row.along).count();
    let way = match along {
        0 => left,
        n if n == group.len() => right,
        _ => return turn_about(work, group),
    };
    let row = work.run().word();
    if work.shifted() {
        return format!(
            "Press the seams {way}; they meet the middles of the blocks beside them, so nothing has to nest."
        );
    }
    format!("Press the seams {way}; the next {row} goes the other way, so that {row}s nest.")
}

/// Towards the sashes or away from them, and why.
fn sash_press(work: &Work<'_>, group: &[&Row], pressing: &PressPlan) -> String {
    let (to, away): (Vec<&Row>, Vec<&Row>) = group.iter().partition(|row| row.along);
    let why = |rows: &[&Row]| {
        let row = rows.first().map(|row| Group::Row(row.index));
        let press = row.and_then(|row| pressing.of(row));
        press.map_or_else(String::new, |press| format!(": {}", press.reason))
    };
    match (to.as_slice(), away.as_slice()) {
        (_, []) => format!("Press the seams towards the sashes{}.", why(&to)),
        ([], _) => format!("Press the seams away from the sashes{}.", why(&away)),
        _ => {
            let numbers = |rows: &[&Row]| rows.iter().map(|row| row.number).collect::<Vec<_>>();
            let word = work.run().word();
            format!(
                "{}: press the seams towards the sashes. {}: away from them, so that seams nest.",
                say::rows(word, &numbers(&to)),
                say::rows(word, &numbers(&away)),
            )
        }
    }
}

/// The long seams between rows: which way, and why. `sashing` is what the rows of sashing
/// are called.
fn between_press(
    work: &Work<'_>,
    sorted: &Sorted,
    pressing: &PressPlan,
    sashing: Option<&str>,
) -> String {
    let decided: Vec<&TopPress> = (0..sorted.rows.len())
        .filter_map(|row| pressing.of(Group::Between(row)))
        .collect();
    let Some(first) = decided.first() else {
        return "Press all these seams the same way.".into();
    };
    let reasoned = decided.iter().find(|press| !press.is_free());
    let why = reasoned.map_or(first.reason, |press| press.reason);
    if let Some(sashing) = sashing {
        // Yes is towards the next row: from a row of blocks that is the sashing.
        let to_sash = |press: &&TopPress| match press.group {
            Group::Between(row) => sorted.rows[row].of_blocks == press.yes,
            _ => false,
        };
        let count = decided
            .iter()
            .copied()
            .filter(|press| to_sash(press))
            .count();
        if count == decided.len() {
            return format!("Press towards the {sashing}: {why}.");
        }
        if count == 0 {
            return format!("Press away from the {sashing}: {why}.");
        }
    }
    let [yes, no] = across_words(work.run());
    let towards = |wanted: bool| {
        let after = decided.iter().enumerate();
        let after = after.filter(|(_, press)| press.yes == wanted);
        after.map(|(number, _)| number + 1).collect::<Vec<_>>()
    };
    match (towards(true).as_slice(), towards(false).as_slice()) {
        (_, []) | ([], _) if reasoned.is_none() => {
            "Press all these seams the same way; either would do.".into()
        }
        (_, []) => format!("Press all these seams {yes}: {why}."),
        ([], _) => format!("Press all these seams {no}: {why}."),
        (to, _) => {
            let numbers: Vec<String> = to.iter().map(ToString::to_string).collect();
            format!(
                "Press the long {} {} {yes}, the others {no}, counted in the order they are sewn: {why}.",
                if to.len() == 1 { "seam" } else { "seams" },
                say::list(&numbers)
            )
        }
    }
}

/// Rows of one group that are pressed in turn one way and the other.
fn turn_about(work: &Work<'_>, group: &[&Row]) -> String {
    let odd_left = group
        .iter()
        .all(|row| row.along == row.number.is_multiple_of(2));
    let [right, left] = work.run().ways();
    let (odd, even) = if odd_left {
        (left, right)
    } else {
        (right, left)
    };
    let row = work.run().word();
    let nest = if work.shifted() {
        String::new()
    } else {
        format!(", so that {row}s nest")
    };
    format!("Press the seams of the odd {row}s {odd} and of the even {row}s {even}{nest}.")
}

/// Finished extent along the row and across it, with two seams.
fn extents(work: &Work<'_>, pieces: &[Piece]) -> (Surd, Surd) {
    let points: Vec<Point> = pieces
        .iter()
        .flat_map(|&piece| work.outline(piece).points().iter().cloned())
        .collect();
    let (along, across) = (work.run().along(), work.run().across());
    let extent = |way: &Point| work.unfinished(&size::extent(&points, way));
    (extent(&along), extent(&across))
}

/// Size on the page with two seams.
fn page_size(work: &Work<'_>, pieces: &[Piece]) -> (Surd, Surd) {
    let bounds = pieces.iter().map(|&piece| work.outline(piece).bounds());
    let (lows, highs): (Vec<Point>, Vec<Point>) = bounds.unzip();
    let extent = |axis: fn(&Point) -> &Surd| {
        let (low, high) = (lows.iter().map(axis).min(), highs.iter().map(axis).max());
        match (low, high) {
            (Some(low), Some(high)) => work.unfinished(&(high - low)),
            _ => Surd::ZERO,
        }
    };
    (extent(|p| &p.x), extent(|p| &p.y))
}

/// Joining the rows.
fn joined(work: &Work<'_>, sorted: &Sorted, pressing: &PressPlan) -> Option<TopStep> {
    if sorted.rows.len() < 2 {
        return None;
    }
    let pieces: Vec<Piece> = sorted
        .rows
        .iter()
        .flat_map(|r| r.pieces.iter().copied())
        .collect();
    let mut step = work.step(&pieces, sorted.rows.len() - 1, page_size(work, &pieces));
    let (of_blocks, sashing): (Vec<&Row>, Vec<&Row>) =
        sorted.rows.iter().partition(|row| row.of_blocks);
    let row = work.run().word();
    let from = match work.run() {
        Run::Diagonal => "starting at the top left corner",
        Run::Level => "from top to bottom",
        Run::Upright => "from left to right",
    };
    if !work.on_point() {
        step.seam = step.width.clone();
    }
    let rows = say::several(of_blocks.len(), row);
    (step.text, step.press) = if work.shifted() {
        let text = format!(
            "Join the {rows}, {from}. Pin the seams of each {row} to the middles of the blocks of the next, and the ends."
        );
        (text, between_press(work, sorted, pressing, None))
    } else if sashing.is_empty() {
        (
            format!("Join the {rows}, {from}, matching the seams."),
            match pressing.between_rows_apart {
                Some(patches) => format!(
                    "Press these seams open: {patches} patches meet on them, too many layers for one side."
                ),
                None => between_press(work, sorted, pressing, None),
            },
        )
    } else if work.run() == Run::Upright {
        (
            with_strips(work, &sashing, &rows),
            between_press(work, sorted, pressing, Some("strips")),
        )
    } else {
        let long = sashing.iter().any(|row| row.pieces.len() == 1);
        let sash_row = if long { "long sash" } else { "sash row" };
        let between = say::several(sashing.len(), sash_row);
        (
            format!("Join the {rows} and the {between} in turn, {from}."),
            between_press(work, sorted, pressing, Some(&say::plural(sash_row))),
        )
    };
    Some(step)
}

/// Columns joined with the strips between them.
fn with_strips(work: &Work<'_>, strips: &[&Row], columns: &str) -> String {
    let length = work.say(&work.unfinished(&work.top.inner_height));
    format!(
        "Measure the columns through their middles; they should be {length}. Cut every strip to that length, pin ends, middles and quarters, and join the {columns} and the {} in turn, from left to right. Blocks lie level across the strips only if all strips are equally long.",
        say::several(strips.len(), "strip")
    )
}

/// What is sewn to the joined rows: corner triangles on point, long upright sashes.
fn finished(work: &Work<'_>, sorted: &Sorted, pressing: &PressPlan) -> Option<TopStep> {
    if sorted.outside.is_empty() {
        return None;
    }
    let rows = sorted.rows.iter().flat_map(|r| r.pieces.iter().copied());
    let pieces: Vec<Piece> = rows.chain(sorted.outside.iter().copied()).collect();
    let mut step = work.step(&pieces, sorted.outside.len(), page_size(work, &pieces));
    let kinds: BTreeSet<Alike> = sorted
        .outside
        .iter()
        .map(|&piece| work.alike(piece))
        .collect();
    let corners = kinds
        .iter()
        .all(|kind| matches!(kind, Alike::Part(PartKind::CornerTriangle, _)));
    let lengths = sorted.outside.iter().filter_map(|&piece| match piece {
        Piece::Part(index) => Some(&work.top.parts[index].length),
        Piece::Block(_) => None,
    });
    if let Some(longest) = lengths.max() {
        step.seam = longest.clone();
    }
    let count = sorted.outside.len();
    (step.text, step.press) = if corners {
        (
            format!(
                "Sew the {} on last, the middle of the long side to the middle of the corner. Square up the edges, leaving the seam allowance beyond the points of the blocks.",
                say::several(count, "corner triangle")
            ),
            outside_press(sorted, pressing, "triangles"),
        )
    } else {
        (
            format!("Sew the {} to the sides.", say::several(count, "long sash")),
            outside_press(sorted, pressing, "long sashes"),
        )
    };
    Some(step)
}

/// What is sewn to the joined rows: towards it or away from it, and why.
fn outside_press(sorted: &Sorted, pressing: &PressPlan, what: &str) -> String {
    let decided = (0..sorted.outside.len()).filter_map(|n| pressing.of(Group::Outside(n)));
    let decided: Vec<&TopPress> = decided.collect();
    let to = decided.iter().filter(|press| press.yes).count();
    match decided.first() {
        Some(first) if to == 0 => format!("Press away from the {what}: {}.", first.reason),
        Some(first) if to == decided.len() => {
            format!("Press towards the {what}: {}.", first.reason)
        }
        _ => format!(
            "Press towards the {what} where they are the darker cloth, else away from them."
        ),
    }
}

impl Work<'_> {
    /// Whether a placed block is half of one, at the end of a shifted row.
    fn is_half(&self, index: usize) -> bool {
        let draft = &self.plan.block(self.top.blocks[index].block).draft;
        let role = draft.taken().map(|taken| taken.role);
        matches!(role, Some(Role::Half(_)))
    }

    fn setting_has_posts(&self) -> bool {
        self.plan
            .setting
            .sashing
            .as_ref()
            .is_some_and(|sashing| sashing.posts.is_some())
    }
}
