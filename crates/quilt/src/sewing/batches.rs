//! Chain piecing: what is fed through the machine in one go, and how long it takes.
//!
//! All units of one step are the same work: laid out in two piles, fed one after another
//! without cutting the thread. Steps of one level need nothing that is made on the same
//! level, so their runs follow each other in one chain; a scrap leads in and one follows
//! out, and the thread is cut once at the end of the level. Then everything of the level
//! is cut apart and pressed.
//!
//! ```text
//!   leader ─▢─▢─▢─▢─ run 1 ─▢─▢─ run 2 ─▢─▢─▢─ ender ✂      press, next level
//! ```
//!
//! **Units.** Inches of seam; minutes from the plan's rates, which are assumptions until
//! the maker sets them.
//!
//! **Knows nothing of** cutting, pauses and unpicking.
//!
//! **Always holds.** The units of all runs are the joins of all blocks, and everything a
//! level needs was made on an earlier one.

use super::{BlockSewing, Handling, Ingredient, TopStep};
use crate::plan::{BlockId, Rates};

/// Everything sewn before the top, in order.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Batches {
    /// One chain a level, from single patches up.
    pub chains: Vec<Chain>,
    /// Minutes of piecing the blocks.
    pub block_minutes: f64,
    /// Minutes of joining blocks and borders to the top.
    pub top_minutes: f64,
}

/// The runs of one level, sewn without cutting the thread.
#[derive(Clone, PartialEq, Debug)]
pub struct Chain {
    /// 1 for units made of single patches, and so on.
    pub level: usize,
    /// In the order they are fed.
    pub runs: Vec<Run>,
    /// How often the thread is cut: once, after the ender.
    pub thread_cuts: u32,
    /// How often it would be cut if each unit were taken out by itself.
    pub cuts_one_by_one: u32,
    /// Sewing, cutting apart, pressing, pinning and trimming.
    pub minutes: f64,
}

/// All units of one step.
#[derive(Clone, PartialEq, Debug)]
pub struct Run {
    /// Which block.
    pub block: BlockId,
    /// Which of its steps.
    pub step: usize,
    /// How many units.
    pub units: u32,
    /// What lies in each pile, and how many.
    pub piles: Vec<(Ingredient, u32)>,
    /// Inches of seam in all.
    pub seam: f64,
    /// Minutes of this run, pressing and all.
    pub minutes: f64,
}

/// The chains of all blocks the setting uses, and the minutes.
pub(super) fn batches(
    blocks: &[BlockSewing],
    handling: &[Handling],
    top: &[TopStep],
    rates: &Rates,
) -> Batches {
    let mut chains: Vec<Chain> = Vec::new();
    for (sewn, handling) in blocks
        .iter()
        .zip(handling)
        .filter(|(sewn, _)| sewn.copies > 0)
    {
        let levels = levels(sewn);
        for (step, &level) in levels.iter().enumerate() {
            while chains.len() < level {
                chains.push(Chain {
                    level: chains.len() + 1,
                    runs: Vec::new(),
                    thread_cuts: 1,
                    cuts_one_by_one: 0,
                    minutes: 0.0,
                });
            }
            let run = run(sewn, handling, step, rates);
            let chain = &mut chains[level - 1];
            chain.cuts_one_by_one += run.units;
            chain.minutes += run.minutes;
            chain.runs.push(run);
        }
    }
    Batches {
        block_minutes: chains.iter().map(|chain| chain.minutes).sum(),
        top_minutes: top.iter().map(|step| top_minutes(step, rates)).sum(),
        chains,
    }
}

/// The level of each step: one more than the highest of what it joins.
fn levels(sewn: &BlockSewing) -> Vec<usize> {
    let mut levels: Vec<usize> = Vec::new();
    for step in &sewn.steps {
        let of = |ingredient: Ingredient| match ingredient {
            Ingredient::Template(_) => 0,
            Ingredient::Unit(earlier) => levels.get(earlier).copied().unwrap_or(0),
        };
        let level = 1 + of(step.left).max(of(step.right));
        levels.push(level);
    }
    levels
}

fn run(sewn: &BlockSewing, handling: &Handling, index: usize, rates: &Rates) -> Run {
    let step = &sewn.steps[index];
    let piles = if step.left == step.right {
        vec![(step.left, 2 * step.in_all)]
    } else {
        vec![(step.left, step.in_all), (step.right, step.in_all)]
    };
    let one = sewn.joins[step.shown].seam.length_f64();
    let meets = handling.landings[step.shown].passes.len();
    let trimmed = handling
        .forecast
        .trims
        .iter()
        .any(|trim| trim.step == index);
    let seconds = f64::from(rates.lay + rates.press)
        + one / rates.sew.to_f64() * 60.0
        + f64::from(rates.pin) * meets as f64
        + if trimmed { f64::from(rates.trim) } else { 0.0 };
    Run {
        block: sewn.block,
        step: index,
        units: step.in_all,
        piles,
        seam: one * f64::from(step.in_all),
        minutes: seconds * f64::from(step.in_all) / 60.0,
    }
}

/// The minutes of a step of the top. A pin every eight inches.
fn top_minutes(step: &TopStep, rates: &Rates) -> f64 {
    let one = step.seam.to_f64();
    let seconds = f64::from(rates.lay + rates.press)
        + one / rates.sew.to_f64() * 60.0
        + f64::from(rates.pin) * (one / 8.0).ceil();
    seconds * f64::from(step.seams) / 60.0
}
