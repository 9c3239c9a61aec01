//! What a row or a column more or less, or another start, makes of a colour's figures.

use super::choice::Setting;
use super::joined::Reach;
use super::likeness::Classes;
use super::motif::{Motif, Score, Trying};

/// A size of top, and what it does to one class.
#[derive(Clone, PartialEq, Debug)]
pub struct Size {
    /// Blocks down.
    pub rows: usize,
    /// Blocks across.
    pub columns: usize,
    /// The row and column of the repeat that lies in the corner of the top.
    pub start: (usize, usize),
    /// What the top shows of the class.
    pub score: Score,
    /// Area of the whole figure of the class about the middle; zero without one.
    pub middle: f64,
}

/// What one row or column more or less, and every other start, make of a class: sizes
/// from one less to one more both ways.
#[must_use]
pub fn around(motif: &Motif, setting: &Setting, size: (usize, usize), class: usize) -> Vec<Size> {
    let mut trying = Trying::new(motif);
    let mut out = Vec::new();
    for rows in size.0.saturating_sub(1).max(1)..=size.0 + 1 {
        for columns in size.1.saturating_sub(1).max(1)..=size.1 + 1 {
            for start in starts(setting) {
                let at = |r: usize, c: usize| setting.at(r + start.0, c + start.1);
                let score = trying.top(rows, columns, at).get(class).copied();
                let middle = trying.middle(columns);
                if let (Some(score), Some(&middle)) = (score, middle.get(class)) {
                    out.push(Size {
                        rows,
                        columns,
                        start,
                        score,
                        middle,
                    });
                }
            }
        }
    }
    out
}

fn starts(setting: &Setting) -> impl Iterator<Item = (usize, usize)> + use<> {
    let (rows, columns) = setting.repeat;
    (0..rows).flat_map(move |r| (0..columns).map(move |c| (r, c)))
}

fn nearest(sizes: &[Size], size: (usize, usize), fits: impl Fn(&Size) -> bool) -> Option<&Size> {
    let away = |s: &&Size| {
        let blocks = s.rows.abs_diff(size.0) + s.columns.abs_diff(size.1);
        (blocks, s.start)
    };
    sizes.iter().filter(|s| fits(s)).min_by_key(away)
}

/// Of [`around`], the nearest size and start in which every figure of the class is whole.
#[must_use]
pub fn whole_everywhere(sizes: &[Size], size: (usize, usize)) -> Option<&Size> {
    nearest(sizes, size, |s| s.score.clipped == 0 && s.score.whole > 0)
}

/// Of [`around`], the nearest size and start that put a whole figure about the middle.
#[must_use]
pub fn in_the_middle(sizes: &[Size], size: (usize, usize)) -> Option<&Size> {
    nearest(sizes, size, |s| s.middle > 0.0)
}

/// What would make this class whole everywhere, or put it in the middle, in sentences;
/// none if both are so already, or if nothing near does.
#[must_use]
pub fn advice(
    motif: &Motif,
    setting: &Setting,
    size: (usize, usize),
    classes: &Classes,
    class: usize,
) -> Vec<String> {
    let mut out = Vec::new();
    let (Some(score), Some(Some(Reach::Figure))) =
        (setting.scores.get(class), setting.reach.get(class))
    else {
        return out;
    };
    let name = &classes.names[class];
    let sizes = around(motif, setting, size, class);
    let all = whole_everywhere(&sizes, size).filter(|_| score.clipped > 0);
    let has_one = setting.middle.get(class).is_some_and(|m| *m > 0.0);
    let one = in_the_middle(&sizes, size).filter(|_| !has_one);
    let there = |found: &Size| (found.rows, found.columns, found.start);
    let together = one.is_some_and(|one| all.is_some_and(|all| there(all) == there(one)));
    if let Some(found) = all {
        out.push(format!(
            "{} every {name} figure is whole{}.",
            begins(setting, size, found),
            if together {
                " and one lies in the middle"
            } else {
                ""
            },
        ));
    }
    if let Some(found) = one.filter(|_| !together) {
        out.push(format!(
            "{} a whole {name} figure lies in the middle.",
            begins(setting, size, found)
        ));
    }
    out
}

/// “With 7 rows of 6 blocks, begun one column further on,”
fn begins(setting: &Setting, size: (usize, usize), found: &Size) -> String {
    let further = |by: usize, what: &str| match by {
        0 => None,
        1 => Some(format!("one {what} further on")),
        _ => Some(format!("{by} {what}s further on")),
    };
    let start: Vec<String> = [
        further(found.start.0 % setting.repeat.0, "row"),
        further(found.start.1 % setting.repeat.1, "column"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let begun = format!("begun {}", start.join(" and "));
    match ((found.rows, found.columns) == size, start.is_empty()) {
        (true, true) => "As it is".to_owned(),
        (true, false) => format!("B{},", &begun[1..]),
        (false, true) => format!("With {} rows of {} blocks", found.rows, found.columns),
        (false, false) => format!(
            "With {} rows of {} blocks, {begun},",
            found.rows, found.columns
        ),
    }
}
