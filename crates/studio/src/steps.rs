//! The work as a list: what is done at the cutting table and at the machine, line by line.
//!
//! A line is ticked off by its own words, not by its number: when the plan changes, what
//! still reads the same stays done, and what reads otherwise is to do again.

mod places;

use std::collections::{BTreeMap, BTreeSet};

use picture::Drawing;
use quilt::block::Block;
use quilt::cutting::{self, ClothCutting, CutStep, Use};
use quilt::making::{self, Batch};
use quilt::plan::{BlockId, ClothId, Plan};
use quilt::results::Results;
use quilt::sewing::{BlockSewing, Ingredient, Join, Press, Step};

pub(crate) use places::{comes_from, places};

use crate::look::{Look, Owner};

/// Which of the two lists.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum List {
    /// At the cutting table.
    Cut,
    /// At the machine.
    Sew,
}

impl List {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Sew => "sew",
        }
    }

    /// What the history calls its steps.
    pub(crate) fn work(self) -> &'static str {
        match self {
            Self::Cut => "cutting",
            Self::Sew => "sewing",
        }
    }

    /// All of them together.
    pub(crate) fn all(self) -> &'static str {
        match self {
            Self::Cut => "the cutting",
            Self::Sew => "the sewing",
        }
    }

    pub(crate) fn named(word: &str) -> Option<Self> {
        match word {
            "cut" => Some(Self::Cut),
            "sew" => Some(Self::Sew),
            _ => None,
        }
    }
}

/// One line of the work.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Line {
    /// Under which it stands: the cloths that are cut, the block that is sewn.
    pub(crate) under: String,
    /// What is done, a sentence or two.
    pub(crate) text: String,
    /// What else helps: sizes, pressing, where the needle passes.
    pub(crate) notes: Vec<String>,
    /// How many times.
    pub(crate) times: u32,
    /// How many pieces or units are there when it is done once.
    pub(crate) makes: u32,
    /// By which it is ticked off.
    pub(crate) key: String,
    /// Pieces that are ready after it, and their cloths.
    ready: Vec<(Use, ClothId)>,
    shows: Shows,
}

/// What a line's drawing shows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Shows {
    Nothing,
    Sheet(usize, usize),
    /// A seam of a block, by its step.
    Join(BlockId, usize),
    /// Units made several at a time: the batch, the block and its step.
    Together(usize, BlockId, usize),
    Top(usize),
}

/// The lines of a list; empty while the top is not there.
pub(crate) fn lines(list: List, plan: &Plan, results: &Results) -> Vec<Line> {
    let mut lines = match list {
        List::Cut => cut_lines(plan, results),
        List::Sew => sew_lines(plan, results),
    };
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for line in &mut lines {
        let count = seen.entry(line.key.clone()).or_default();
        *count += 1;
        if *count > 1 {
            line.key = format!("{} ({count})", line.key);
        }
    }
    lines
}

/// How many lines are done, of how many.
pub(crate) fn done(lines: &[Line], ticks: &BTreeMap<String, u32>) -> (usize, usize) {
    let finished = lines.iter().filter(|line| line.is_done(ticks)).count();
    (finished, lines.len())
}

impl Line {
    pub(crate) fn done(&self, ticks: &BTreeMap<String, u32>) -> u32 {
        ticks.get(&self.key).copied().unwrap_or(0).min(self.times)
    }

    pub(crate) fn is_done(&self, ticks: &BTreeMap<String, u32>) -> bool {
        self.done(ticks) >= self.times
    }

    /// The unit it makes: its block and its step there.
    pub(crate) fn unit(&self) -> Option<(BlockId, usize)> {
        match self.shows {
            Shows::Join(block, step) | Shows::Together(_, block, step) => Some((block, step)),
            _ => None,
        }
    }

    /// Whether it is one seam of a block.
    pub(crate) fn is_seam(&self) -> bool {
        matches!(self.shows, Shows::Join(..))
    }

    /// The pieces that are ready after it, each of its cloth.
    pub(crate) fn ready(&self) -> &[(Use, ClothId)] {
        &self.ready
    }

    /// How many units doing it once gives.
    pub(crate) fn units(&self) -> u32 {
        self.makes.max(1)
    }

    /// The unit from its wrong side, with the way its seam is pressed.
    pub(crate) fn back(&self, plan: &Plan, results: &Results) -> Option<Drawing> {
        let Shows::Join(id, step) = self.shows else {
            return None;
        };
        let sewing = results.sewing.as_deref()?;
        let block = results.blocks.get(id.0)?.as_deref()?;
        let sewn = sewing.blocks.iter().find(|sewn| sewn.block == id)?;
        let handling = sewing.handling.iter().find(|own| own.block == id)?;
        picture::back(plan, block, sewn, handling, step)
    }

    /// The drawing of the line.
    pub(crate) fn drawing(&self, plan: &Plan, results: &Results) -> Option<Drawing> {
        let block = |id: BlockId| results.blocks.get(id.0)?.as_deref();
        let sewn = |id: BlockId| {
            results
                .sewing
                .as_ref()?
                .blocks
                .iter()
                .find(|s| s.block == id)
        };
        match self.shows {
            Shows::Nothing => None,
            Shows::Sheet(cloth, sheet) => {
                let cut = results.cutting.as_ref()?.get(cloth)?;
                let sheet = cut.sheets.get(sheet)?;
                Some(picture::cloth_layout(plan, &results.blocks, cut, sheet))
            }
            Shows::Join(id, step) => picture::step(plan, block(id)?, sewn(id)?, step, None),
            Shows::Together(index, ..) => {
                let batch = results.making.as_ref()?.batches.get(index)?;
                let id = batch.block;
                let top = results.top.as_deref()?;
                picture::together(plan, block(id)?, top, sewn(id)?, batch)
            }
            Shows::Top(index) => {
                let top = results.top.as_deref()?;
                let step = results.sewing.as_ref()?.top.get(index)?;
                Some(picture::top_step(plan, &results.blocks, top, step))
            }
        }
    }
}

fn cut_lines(plan: &Plan, results: &Results) -> Vec<Line> {
    let (Some(table), Some(all)) = (&results.table, &results.cutting) else {
        return Vec::new();
    };
    let stations = table.0.stations.iter();
    stations
        .flat_map(|station| {
            let under = cutting::station_cloths(plan, all, station).join(" · ");
            let steps = station.steps.iter();
            steps.map(move |step| Line {
                key: format!("{under}: {}", step.text),
                under: under.clone(),
                text: step.text.clone(),
                notes: Vec::new(),
                times: 1,
                makes: step.pieces.iter().map(|(_, count)| count).sum(),
                ready: ready(step, all),
                shows: step.from.first().map_or_else(
                    || {
                        let sheet = station.sheets.first();
                        sheet.map_or(Shows::Nothing, |s| Shows::Sheet(s.0, s.1))
                    },
                    |from| Shows::Sheet(from.sheet.0, from.sheet.1),
                ),
            })
        })
        .collect()
}

/// The pieces a step finishes, of every cloth that lies under the blade and is cut into them.
fn ready(step: &CutStep, all: &[ClothCutting]) -> Vec<(Use, ClothId)> {
    let mut ready: Vec<(Use, ClothId)> = Vec::new();
    for from in &step.from {
        let cutting = &all[from.sheet.0];
        let served = cutting.demands.iter().flat_map(|demand| &demand.serves);
        let uses: Vec<Use> = served.map(|served| served.usage).collect();
        for (usage, _) in step.pieces.iter().filter(|(usage, _)| uses.contains(usage)) {
            let one = (*usage, cutting.cloth);
            if !ready.contains(&one) {
                ready.push(one);
            }
        }
    }
    ready
}

fn sew_lines(plan: &Plan, results: &Results) -> Vec<Line> {
    let Some(sewing) = &results.sewing else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    for sewn in sewing.blocks.iter().filter(|sewn| sewn.copies > 0) {
        let block = results.blocks.get(sewn.block.0).and_then(Option::as_deref);
        if let Some(block) = block {
            block_lines(plan, results, sewn, block, &mut lines);
        }
    }
    for (index, step) in sewing.top.iter().enumerate() {
        let size = plan.measure.near_size(&step.width, &step.height);
        let mut notes = vec![format!("It measures {size} before more is sewn to it.")];
        if !step.press.is_empty() {
            notes.push(step.press.clone());
        }
        lines.push(Line {
            under: "The top".into(),
            key: format!("top: {}", step.text),
            text: step.text.clone(),
            notes,
            times: step.times.max(1),
            makes: 1,
            ready: Vec::new(),
            shows: Shows::Top(index),
        });
    }
    lines
}

fn block_lines(
    plan: &Plan,
    results: &Results,
    sewn: &BlockSewing,
    block: &Block,
    lines: &mut Vec<Line>,
) {
    let making = results.making.as_deref();
    let left = making.map_or_else(
        || sewn.steps.iter().map(|step| step.in_all).collect(),
        |making| making.still_sewn(sewn),
    );
    let under = format!("Block “{}”", plan.block(sewn.block).name);
    for (index, left) in left.into_iter().enumerate() {
        let batches = making.iter().flat_map(|m| m.batches.iter().enumerate());
        for (number, batch) in
            batches.filter(|(_, b)| b.block == sewn.block && b.step == index && b.together())
        {
            lines.push(together(plan, &under, number, batch));
        }
        if left > 0 {
            lines.push(seam(plan, &under, sewn, block, (index, left)));
        }
    }
}

fn together(plan: &Plan, under: &str, number: usize, batch: &Batch) -> Line {
    let recipe = batch.recipe();
    let mut notes = making::sentences(plan, batch, recipe);
    notes.extend(making::caution(recipe).map(|caution| format!("Mind: {caution}")));
    let cloths: Vec<String> = batch
        .cloths
        .iter()
        .map(|id| plan.cloth(*id).name.clone())
        .collect();
    let text = format!(
        "Unit {}, {}, in {}: make {}.",
        batch.step + 1,
        recipe.way.name(),
        cloths.join(" and "),
        batch.needed
    );
    Line {
        key: format!("{under}: {text}"),
        under: under.to_owned(),
        text,
        notes,
        times: 1,
        makes: batch.needed,
        ready: Vec::new(),
        shows: Shows::Together(number, batch.block, batch.step),
    }
}

fn seam(
    plan: &Plan,
    under: &str,
    sewn: &BlockSewing,
    block: &Block,
    (index, left): (usize, u32),
) -> Line {
    let step = &sewn.steps[index];
    let join = &sewn.joins[step.shown];
    let last = index + 1 == sewn.steps.len();
    let makes = if last {
        "the block".to_owned()
    } else {
        format!("unit {}", index + 1)
    };
    let text = format!("{}: that is {makes}.", what(block, step, join));
    let size = plan.measure.near_size(&join.unit_width, &join.unit_height);
    let mut notes = vec![
        press(block, step, join),
        format!("It measures {size}, seams included."),
    ];
    notes.extend(step.how.clone());
    Line {
        key: format!("{under}: {text}"),
        under: under.to_owned(),
        text,
        notes,
        times: left,
        makes: 1,
        ready: Vec::new(),
        shows: Shows::Join(sewn.block, index),
    }
}

fn what(block: &Block, step: &Step, join: &Join) -> String {
    let (left, right) = (name(block, step.left), name(block, step.right));
    if join.closes {
        format!("Close the open seam in {left}")
    } else if step.left == step.right {
        format!("Join two of {left}")
    } else {
        format!("Join {left} to {right}")
    }
}

fn press(block: &Block, step: &Step, join: &Join) -> String {
    let towards = match join.press {
        Press::Open => "Press open".to_owned(),
        Press::Left | Press::Right if join.closes || step.left == step.right => {
            "Press as the arrow shows".into()
        }
        Press::Left => format!("Press towards {}", name(block, step.left)),
        Press::Right => format!("Press towards {}", name(block, step.right)),
    };
    if join.press_reason.is_empty() {
        format!("{towards}.")
    } else {
        format!("{towards}: {}.", join.press_reason.trim_end_matches('.'))
    }
}

fn name(block: &Block, ingredient: Ingredient) -> String {
    match ingredient {
        Ingredient::Template(i) => block.templates[i].letter.clone(),
        Ingredient::Unit(i) => format!("unit {}", i + 1),
    }
}

/// How far the work has come, patch by patch of the picture: 0 not yet, 1 partly, 2 done.
pub(crate) fn so_far(
    list: List,
    plan: &Plan,
    results: &Results,
    look: &Look,
    ticks: &BTreeMap<String, u32>,
) -> Vec<u8> {
    let lines = lines(list, plan, results);
    match list {
        List::Cut => cut_so_far(results, look, &lines, ticks),
        List::Sew => sewn_so_far(results, look, &lines, ticks),
    }
}

fn cut_so_far(
    results: &Results,
    look: &Look,
    lines: &[Line],
    ticks: &BTreeMap<String, u32>,
) -> Vec<u8> {
    let (Some(table), Some(all), Some(top)) = (&results.table, &results.cutting, look.top()) else {
        return vec![0; look.items.len()];
    };
    // By use and cloth: how many of the steps it comes out of are done, and how many there are.
    let mut of: BTreeMap<(Use, usize), (u32, u32)> = BTreeMap::new();
    let steps = table.0.stations.iter().flat_map(|station| &station.steps);
    for (step, line) in steps.zip(lines) {
        let cloths: BTreeSet<usize> = step.from.iter().map(|f| all[f.sheet.0].cloth.0).collect();
        for (usage, _) in &step.pieces {
            for &cloth in &cloths {
                let entry = of.entry((*usage, cloth)).or_default();
                entry.0 += u32::from(line.is_done(ticks));
                entry.1 += 1;
            }
        }
    }
    let state = |usage: Use, cloth: Option<usize>| match cloth.and_then(|c| of.get(&(usage, c))) {
        Some((done, all)) if done == all => 2,
        Some((done, _)) if *done > 0 => 1,
        _ => 0,
    };
    let items = look.items.iter().enumerate();
    items
        .map(|(index, item)| match look.owner(index) {
            Some(Owner::Part(part)) => state(Use::Part(top.parts[part].kind), item.cloth),
            Some(Owner::Patch(placed, patch)) => {
                let placed = &top.blocks[placed];
                look.block(placed).map_or(0, |block| {
                    let template = block.patches[patch].template;
                    state(Use::Patch(placed.block, template), item.cloth)
                })
            }
            None => 0,
        })
        .collect()
}

fn sewn_so_far(
    results: &Results,
    look: &Look,
    lines: &[Line],
    ticks: &BTreeMap<String, u32>,
) -> Vec<u8> {
    let (Some(sewing), Some(top)) = (&results.sewing, look.top()) else {
        return vec![0; look.items.len()];
    };
    let mut joined: BTreeSet<(BlockId, usize)> = BTreeSet::new();
    let mut whole: BTreeSet<BlockId> = BTreeSet::new();
    for line in lines.iter().filter(|line| line.is_done(ticks)) {
        let step = match line.shows {
            Shows::Join(block, step) => Some((block, step)),
            Shows::Together(_, block, step) => Some((block, step)),
            _ => None,
        };
        let Some((id, step)) = step else { continue };
        let Some(sewn) = sewing.blocks.iter().find(|sewn| sewn.block == id) else {
            continue;
        };
        if step + 1 == sewn.steps.len() {
            whole.insert(id);
        }
        for join in sewn.joins.iter().filter(|join| join.step == step) {
            joined.extend(join.unit.iter().map(|&patch| (id, patch)));
        }
    }
    (0..look.items.len())
        .map(|index| match look.owner(index) {
            Some(Owner::Patch(placed, patch)) => {
                let id = top.blocks[placed].block;
                if whole.contains(&id) {
                    2
                } else {
                    u8::from(joined.contains(&(id, patch)))
                }
            }
            _ => 0,
        })
        .collect()
}
