//! Figures counted, and the sentences that tell them.

use std::collections::{BTreeMap, BTreeSet};

use geometry::Surd;

use super::figures::{Figure, Figures};
use super::joined::Reach;
use super::likeness::Likeness;
use crate::plan::{BlockId, Plan};

/// Figures of one class, made of the same places and of one shape where they are whole.
#[derive(Clone, PartialEq, Debug)]
pub struct Tally {
    /// What counted as like.
    pub like: Likeness,
    /// The class: a cloth, a family of colour, a value, or a place.
    pub name: String,
    /// The places of the block (or blocks) it is made of, by the maker's names.
    pub places: Vec<String>,
    /// The number of its shape; of figures that are all clipped, of the largest rest.
    pub shape: usize,
    /// How far it reaches if the setting goes on.
    pub reach: Reach,
    /// How many are whole.
    pub whole: usize,
    /// How many the edge clips.
    pub clipped: usize,
    /// The area of a whole one; of figures that are all clipped, of the largest rest.
    pub area: Surd,
    /// Of the blocks in reading order, the first each whole figure lies in.
    pub first_blocks: Vec<usize>,
}

/// Counts the figures: in the order of classes, the largest shape first.
///
/// A clipped figure counts with the whole ones of its class that are made of its places;
/// of several shapes with the largest.
#[must_use]
pub fn tallies(plan: &Plan, found: &Figures) -> Vec<Tally> {
    type Places = BTreeSet<(BlockId, usize)>;
    let mut whole: BTreeMap<(usize, usize, &Places), Vec<&Figure>> = BTreeMap::new();
    let mut rest: BTreeMap<(usize, &Places), Vec<&Figure>> = BTreeMap::new();
    for figure in &found.figures {
        if figure.clipped {
            let key = (figure.class, &figure.places);
            rest.entry(key).or_default().push(figure);
        } else {
            let key = (figure.class, figure.shape, &figure.places);
            whole.entry(key).or_default().push(figure);
        }
    }
    let mut out: Vec<(usize, &Places, Tally)> = whole
        .iter()
        .map(|((class, _, places), figures)| (*class, *places, tally(plan, found, figures)))
        .collect();
    out.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.2.area.cmp(&a.2.area)));
    for ((class, places), figures) in rest {
        let like = out
            .iter_mut()
            .find(|(c, p, _)| *c == class && places.is_subset(p));
        if let Some((.., tally)) = like {
            tally.clipped += figures.len();
        } else {
            out.push((class, places, tally(plan, found, &figures)));
        }
    }
    out.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.2.area.cmp(&a.2.area)));
    out.into_iter().map(|(.., tally)| tally).collect()
}

fn tally(plan: &Plan, found: &Figures, figures: &[&Figure]) -> Tally {
    let largest = figures
        .iter()
        .copied()
        .max_by(|a, b| a.area.cmp(&b.area))
        .unwrap_or(figures[0]);
    let named = |&(block, place): &(BlockId, usize)| plan.block(block).places[place].name.clone();
    let (clipped, whole): (Vec<&Figure>, Vec<&Figure>) = figures.iter().partition(|f| f.clipped);
    Tally {
        like: found.classes.like,
        name: found.classes.names[largest.class].clone(),
        places: largest.places.iter().map(named).collect(),
        shape: largest.shape,
        reach: figures
            .iter()
            .map(|f| f.reach)
            .max()
            .unwrap_or(Reach::Figure),
        whole: whole.len(),
        clipped: clipped.len(),
        area: largest.area.clone(),
        first_blocks: whole
            .iter()
            .filter_map(|f| f.blocks.first())
            .copied()
            .collect(),
    }
}

/// “Nine whole rust figures, twelve clipped; four whole teal.”
///
/// Only figures that reach over more than one block are worth telling; `tallies` may
/// hold any.
#[must_use]
pub fn sentence(tallies: &[Tally]) -> String {
    let mut parts: Vec<String> = Vec::new();
    for tally in tallies {
        let mut part = if tally.whole > 0 {
            format!(
                "{} whole {} {}",
                number(tally.whole),
                tally.name,
                plural(tally.reach, tally.whole)
            )
        } else {
            format!("no whole {} {}", tally.name, plural(tally.reach, 1))
        };
        if tally.clipped > 0 {
            part.push_str(&format!(", {} clipped", number(tally.clipped)));
        }
        parts.push(part);
    }
    let mut text = parts.join("; ");
    if let Some(first) = text.get(..1).map(str::to_uppercase) {
        text.replace_range(..1, &first);
        text.push('.');
    }
    text
}

fn plural(reach: Reach, count: usize) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{}{ending}", reach.word())
}

/// A small number in words.
#[must_use]
pub fn number(count: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(count)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
// x
