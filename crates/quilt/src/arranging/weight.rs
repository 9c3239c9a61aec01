//! Which colour the eye takes as figure.
//!
//! Four things make a colour stand out: how much of the top it covers, how strongly it
//! differs from what it meets (CIEDE2000, averaged over the length of its seams), how
//! large its largest piece is, and how much of it comes out whole. Each is given as a
//! share; the weight is their plain mean. How the four are mixed is our choice: no
//! published rule was found.

use geometry::Surd;

use super::figures::Figures;
use super::likeness::Likeness;
use crate::colour::{difference, lab};
use crate::plan::Plan;

/// What makes one class stand out, each from 0 to 1.
#[derive(Clone, PartialEq, Debug)]
pub struct Weight {
    /// The class.
    pub class: usize,
    /// Its name.
    pub name: String,
    /// Its share of the field.
    pub area: f64,
    /// Its mean colour difference along its seams, as a share of the greatest.
    pub contrast: f64,
    /// Its largest figure as a share of the largest of all.
    pub largest: f64,
    /// The share of its area in whole figures.
    pub whole: f64,
}

impl Weight {
    /// All four together, 0 to 1.
    #[must_use]
    pub fn total(&self) -> f64 {
        (self.area + self.contrast + self.largest + self.whole) / 4.0
    }
}

/// The classes by weight, the heaviest first. Empty by place, where there is no colour.
#[must_use]
pub fn weights(plan: &Plan, found: &Figures) -> Vec<Weight> {
    if found.classes.like == Likeness::Place {
        return Vec::new();
    }
    let count = found.classes.names.len();
    let colours = class_colours(plan, found);
    let mut area = vec![0.0; count];
    let mut largest = vec![0.0_f64; count];
    let mut whole = vec![0.0; count];
    for figure in &found.figures {
        let size = Surd::to_f64(&figure.area);
        area[figure.class] += size;
        largest[figure.class] = largest[figure.class].max(size);
        if !figure.clipped {
            whole[figure.class] += size;
        }
    }
    let mut contrast = vec![(0.0, 0.0); count];
    for (&(a, b), length) in &found.seams {
        let away = difference(colours[a], colours[b]);
        for class in [a, b] {
            contrast[class].0 += away * length;
            contrast[class].1 += length;
        }
    }
    let mean: Vec<f64> = contrast
        .iter()
        .map(|(sum, length)| share(*sum, *length))
        .collect();
    let most = |list: &[f64]| list.iter().copied().fold(0.0, f64::max);
    let all: f64 = area.iter().sum();
    let mut out: Vec<Weight> = (0..count)
        .filter(|&class| area[class] > 0.0)
        .map(|class| Weight {
            class,
            name: found.classes.names[class].clone(),
            area: share(area[class], all),
            contrast: share(mean[class], most(&mean)),
            largest: share(largest[class], most(&largest)),
            whole: share(whole[class], area[class]),
        })
        .collect();
    out.sort_by(|a, b| b.total().total_cmp(&a.total()).then(a.class.cmp(&b.class)));
    out
}

fn share(part: f64, of: f64) -> f64 {
    if of > 0.0 { part / of } else { 0.0 }
}

/// The colour of each class: the mean of its cloths.
fn class_colours(plan: &Plan, found: &Figures) -> Vec<[f64; 3]> {
    let mut sums = vec![([0.0; 3], 0.0); found.classes.names.len()];
    for (index, cloth) in plan.cloths.iter().enumerate() {
        if let Some(class) = found.classes.of_part(crate::plan::ClothId(index)) {
            let colour = lab(cloth.colour);
            for (sum, part) in sums[class].0.iter_mut().zip(colour) {
                *sum += part;
            }
            sums[class].1 += 1.0;
        }
    }
    sums.into_iter()
        .map(|(sum, count): ([f64; 3], f64)| sum.map(|part| part / count.max(1.0)))
        .collect()
}

/// One line that says which class stands out and why.
#[must_use]
pub fn reason(weights: &[Weight]) -> String {
    let Some(first) = weights.first() else {
        return String::new();
    };
    let says = |best: &dyn Fn(&Weight) -> f64, words: &str| {
        let most = weights.iter().map(best).fold(0.0, f64::max);
        (best(first) >= most && most > 0.0).then(|| words.to_owned())
    };
    let why: Vec<String> = [
        says(&|w| w.area, "it covers most of the top"),
        says(&|w| w.contrast, "it differs most from what it meets"),
        says(&|w| w.largest, "it makes the largest piece"),
        says(&|w| w.whole, "more of it comes out whole than of any other"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let why = if why.is_empty() {
        "it is strong in everything, first in nothing".to_owned()
    } else {
        why.join(" and ")
    };
    format!("The eye takes {} as figure: {why}.", first.name)
}
