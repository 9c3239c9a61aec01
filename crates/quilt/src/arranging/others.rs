//! What the other turns of the plan's blocks would have shown: the plan's own setting
//! beside the best answers to the questions makers ask first.

use super::choice::{Question, Setting, in_plan, own_setting, tried};
use super::joined::Reach;
use super::likeness::Classes;
use super::motif::Motif;
use super::says::number;
use super::sizes::advice;
use super::weight::Weight;
use crate::plan::{Plan, Repeat};
use crate::results::Blocks;
use crate::setting::{self, Top};

/// Side of the repeats tried.
const SIDE: usize = 2;

/// So many families are asked for: those that stand out most.
const FAMILIES: usize = 4;

/// So many settings are shown where there are as many, the plan's own among them.
const SHOWN: usize = 6;

/// The plan's own setting and others to compare.
#[derive(Clone, PartialEq, Debug)]
pub struct Others {
    /// How many distinct settings were tried.
    pub tried: usize,
    /// Rows and columns of the repeats tried.
    pub side: usize,
    /// The plan's own.
    pub own: Other,
    /// Others, each the best answer to some question; none twice.
    pub others: Vec<Other>,
    /// What a row, a column or another start would change.
    pub advice: Vec<String>,
}

/// One setting to compare.
#[derive(Clone, PartialEq, Debug)]
pub struct Other {
    /// What it is best at, in a maker's words; empty if in nothing that was asked.
    pub best_at: Vec<String>,
    /// The trade's name for it, if it has one.
    pub name: Option<&'static str>,
    /// Its symmetry in plain words.
    pub symmetry: &'static str,
    /// What it shows of each family: the most striking first.
    pub shows: Vec<String>,
    /// The cells that make it.
    pub repeat: Repeat,
}

impl Other {
    /// The plan with this setting, without borders, and its top; `None` if it cannot be
    /// laid out.
    #[must_use]
    pub fn laid_out(&self, plan: &Plan, blocks: &Blocks) -> Option<(Plan, Top)> {
        let mut other = plan.clone();
        other.borders.clear();
        other.setting.cells = self.repeat.clone();
        let counts: Vec<usize> = blocks
            .iter()
            .map(|b| b.as_ref().map_or(0, |b| b.patches.len()))
            .collect();
        let top = setting::work_out(&other, &counts).ok()?;
        Some((other, top))
    }
}

/// Tries the other settings of a straight set without sashing. `None` for other
/// settings, for blocks that look alike in every turn, and with a single block.
#[must_use]
pub fn work_out(
    plan: &Plan,
    blocks: &Blocks,
    weights: &[Weight],
    classes: &Classes,
) -> Option<Others> {
    if plan.setting.sashing.is_some() {
        return None;
    }
    let motif = Motif::of(plan, blocks, classes, false)?;
    let own = own_setting(plan, &motif)?;
    let size = (plan.setting.rows as usize, plan.setting.columns as usize);
    if motif.turns.len() < 2 || size.0 * size.1 < 2 {
        return None;
    }
    let all = tried(&motif, SIDE, size);
    let questions = questions(weights, classes);
    let mut found: Vec<(Setting, Vec<String>)> = vec![(own.clone(), Vec::new())];
    for (question, words) in questions {
        let Some(best) = all.best(question) else {
            continue;
        };
        // The own setting comes first, so that it answers where it does as well.
        let same = |s: &Setting| match question {
            Question::MostWhole(class) => {
                let score = |s: &Setting| {
                    s.scores
                        .get(class)
                        .map(|s| (s.whole, s.clipped, s.whole_area))
                };
                score(s) == score(best)
            }
            Question::InMiddle(class) => s.middle.get(class) == best.middle.get(class),
            Question::AboutCentre => s.centred == best.centred,
            Question::MostAlike => s.symmetry == best.symmetry,
            _ => shapes(s) == shapes(best),
        };
        if !answers(best, question) {
            continue;
        }
        match found.iter().position(|(s, _)| same(s)) {
            Some(at) => found[at].1.push(words),
            None => found.push((best.clone(), vec![words])),
        }
    }
    for named in all.named() {
        if !found.iter().any(|(s, _)| s.name == named.name) {
            found.push((named.clone(), Vec::new()));
        }
    }
    let count = all.len();
    for more in all.in_order(Question::MostAlike) {
        let same = |s: &Setting| (s.symmetry, &s.scores) == (more.symmetry, &more.scores);
        if found.len() < SHOWN && !found.iter().any(|(s, _)| same(s)) {
            found.push((more, Vec::new()));
        }
    }
    let told = |(setting, best_at): (Setting, Vec<String>)| -> Option<Other> {
        Some(Other {
            best_at,
            name: setting.name,
            symmetry: setting.symmetry.says(),
            shows: shows(&setting, classes),
            repeat: in_plan(plan, &motif, &setting)?.setting.cells,
        })
    };
    let mut advised: Vec<usize> = weights.iter().map(|w| w.class).collect();
    advised.truncate(FAMILIES);
    let advice = advised
        .into_iter()
        .filter(|&class| wide(&motif, &own, class))
        .flat_map(|class| advice(&motif, &own, size, classes, class))
        .collect();
    let mut told = found.into_iter().filter_map(told);
    Some(Others {
        tried: count,
        side: SIDE,
        own: told.next()?,
        others: told.collect(),
        advice,
    })
}

fn shapes(setting: &Setting) -> usize {
    setting.scores.iter().map(|s| s.whole + s.clipped).sum()
}

/// Whether figures of the class reach over more than one block.
fn wide(motif: &Motif, setting: &Setting, class: usize) -> bool {
    setting
        .scores
        .get(class)
        .is_some_and(|score| score.largest > motif.largest_piece(class) + 1e-9)
}

/// Whether the best there is answers the question at all.
fn answers(best: &Setting, question: Question) -> bool {
    match question {
        Question::MostWhole(class) => best.scores.get(class).is_some_and(|s| s.whole > 0),
        Question::InMiddle(class) => best.middle.get(class).is_some_and(|m| *m > 0.0),
        Question::MostAlike => best.symmetry.turns() > 1,
        Question::AboutCentre => best.centred > 1,
        _ => true,
    }
}

fn questions(weights: &[Weight], classes: &Classes) -> Vec<(Question, String)> {
    let mut out = Vec::new();
    let name = |class: usize| &classes.names[class];
    for weight in weights.iter().take(FAMILIES) {
        let words = format!("the most {} in whole figures", name(weight.class));
        out.push((Question::MostWhole(weight.class), words));
    }
    if let Some(weight) = weights.first() {
        let words = format!("{} in the middle", name(weight.class));
        out.push((Question::InMiddle(weight.class), words));
    }
    out.push((Question::Calmest, "the fewest separate shapes".into()));
    out.push((
        Question::MostAlike,
        "most alike from all sides if it went on".into(),
    ));
    out.push((
        Question::AboutCentre,
        "most alike about the middle of the top".into(),
    ));
    out
}

/// What shows of each family, the most striking first: at most four lines.
#[must_use]
pub fn shows(one: &Setting, classes: &Classes) -> Vec<String> {
    let mut shown: Vec<usize> = (0..one.scores.len())
        .filter(|&c| one.scores[c].whole + one.scores[c].clipped > 0)
        .collect();
    shown.sort_by(|&a, &b| one.scores[b].largest.total_cmp(&one.scores[a].largest));
    shown
        .into_iter()
        .take(4)
        .map(|class| {
            let (score, name) = (one.scores[class], &classes.names[class]);
            let runs = match one.reach[class] {
                Some(Reach::Band) => " (bands)",
                Some(Reach::Net) => " (a net)",
                _ => "",
            };
            let clipped = if score.clipped > 0 {
                format!(", {} clipped", number(score.clipped))
            } else {
                String::new()
            };
            format!("{name}: {} whole{clipped}{runs}", number(score.whole))
        })
        .collect()
}
