//! What a small piece of the design takes: how many blocks, how wide a border.
//!
//! The setting stays as it is, sashing, strips and shifts too; rows and columns are counted
//! up while they fit, the plan's own borders are left off, and one border makes up the rest
//! exactly: half of it on each side.

use geometry::Surd;

use super::propose::growths;
use crate::findings::Finding;
use crate::plan::{BorderKind, BorderPlan, Corner, CutAlong, Plan, SmallPlan};

/// A small piece as it comes out.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SmallSize {
    /// Blocks down (on point: main blocks).
    pub rows: u32,
    /// Blocks across.
    pub columns: u32,
    /// Finished width of the border at the sides, inches; may be zero.
    pub side: Surd,
    /// Finished width of the border at top and bottom, inches; may be zero.
    pub end: Surd,
    /// The same in words.
    pub words: String,
}

/// What a small piece takes. `None` if the blocks of the plan do not fit one another.
///
/// # Errors
///
/// A finding if not even one block goes in.
#[must_use]
pub fn small_size(plan: &Plan, piece: &SmallPlan) -> Option<Result<SmallSize, Finding>> {
    let mut bare = plan.clone();
    bare.borders.clear();
    let (across, down) = growths(&bare)?;
    let say = |length: &Surd| plan.measure.say(length);
    let size = plan.measure.size(&piece.width, &piece.height);
    let room = |whole: &Surd| whole - &piece.border.times(2);
    let columns = across.most_within(&room(&piece.width));
    let rows = down.most_within(&room(&piece.height));
    if columns == 0 || rows == 0 {
        let (width, height) = (across.length(1), down.length(1));
        let rim = piece.border.times(2);
        return Some(Err(Finding::mind(format!(
            "“{}” is {size}, and not even one block goes in: that takes {}{}. Make it that large, or draft the block smaller.",
            piece.name,
            plan.measure.size(&(&width + &rim), &(&height + &rim)),
            if rim.is_zero() {
                ""
            } else {
                " with its border"
            },
        ))));
    }
    let (width, height) = (across.length(columns), down.length(rows));
    let (side, end) = (
        (&piece.width - &width).half(),
        (&piece.height - &height).half(),
    );
    let rest = match (side.is_zero(), end.is_zero()) {
        (true, true) => "they fill it, without a border".into(),
        _ if side == end => format!("a border of {} all round makes up the rest", say(&side)),
        _ => format!(
            "a border of {} at the sides and {} at top and bottom makes up the rest",
            say(&side),
            say(&end)
        ),
    };
    let blocks = if columns * rows == 1 {
        "one block finishes".into()
    } else {
        format!("{columns} across and {rows} down finish")
    };
    Some(Ok(SmallSize {
        words: format!(
            "{}, {size}: {blocks} at {}; {rest}.",
            piece.name,
            plan.measure.size(&width, &height)
        ),
        rows,
        columns,
        side,
        end,
    }))
}

/// The plan of a small piece by itself: same blocks, same setting, its own size. `None` if
/// it cannot be made.
#[must_use]
pub fn small_plan(plan: &Plan, piece: &SmallPlan) -> Option<Plan> {
    let size = small_size(plan, piece)?.ok()?;
    let mut small = plan.clone();
    small.title = format!("{}: {}", plan.title, piece.name);
    (small.setting.rows, small.setting.columns) = (size.rows, size.columns);
    small.setting.target = None;
    small
        .setting
        .pinned
        .retain(|pin| pin.row < size.rows && pin.column < size.columns);
    for pool in &mut small.choosing.pools {
        // How often a cloth is to lie is told for the whole quilt.
        pool.counts.clear();
        pool.pins
            .retain(|pin| pin.row < size.rows && pin.column < size.columns);
    }
    small.small.clear();
    small.finishing.sleeve = None;
    small.borders.clear();
    if !size.side.is_zero() || !size.end.is_zero() {
        small.borders.push(BorderPlan {
            kind: BorderKind::UpTo {
                width: piece.width.clone(),
                height: piece.height.clone(),
            },
            width: Surd::ZERO,
            cloth: piece.cloth,
            corner: Corner::Butted,
            cut: CutAlong::Across,
        });
    }
    small.refresh();
    Some(small)
}
