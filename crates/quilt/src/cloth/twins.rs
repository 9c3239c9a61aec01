//! Cloths that are probably the same one, written down twice.

use crate::colour::{difference, lab, seen};
use crate::plan::{Cloth, ClothId, Plan};

/// Colours nearer than this are one colour, photographed or typed twice (CIEDE2000). Our
/// choice: from 1 to 2 only a trained eye sees a difference (limits as given in a survey of
/// print-quality measures).
const ALIKE: f64 = 2.0;

/// Sizes of prints that differ by less than this share are one size.
const SIZES: f64 = 0.15;

/// Two cloths that look alike.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Twins {
    /// Which, in the plan's order.
    pub cloths: [ClothId; 2],
    /// How far their colours are apart, CIEDE2000.
    pub difference: f64,
}

/// Lightness further apart than this is never one colour: the difference counts a step of
/// L\* for at least 1/1.75.
const FAR: f64 = 1.75 * ALIKE;

/// Every pair that looks alike: in colour, in its figure, in the kind and size of its print.
#[must_use]
pub fn twins(plan: &Plan) -> Vec<Twins> {
    let looks: Vec<[[f64; 3]; 2]> = plan
        .cloths
        .iter()
        .map(|cloth| [seen(cloth), lab(cloth.second)])
        .collect();
    let mut found = Vec::new();
    for (i, one) in plan.cloths.iter().enumerate() {
        for (j, other) in plan.cloths[..i].iter().enumerate() {
            if (looks[i][0][0] - looks[j][0][0]).abs() > FAR || !same_print(one, other) {
                continue;
            }
            let far = difference(looks[i][0], looks[j][0]);
            // A photograph says more of a print than the colour typed for its figure.
            let measured = [one, other].iter().all(|c| c.record.measured.is_some());
            let figure = || difference(looks[i][1], looks[j][1]) < ALIKE;
            if far < ALIKE && (measured || figure()) {
                found.push(Twins {
                    cloths: [ClothId(j), ClothId(i)],
                    difference: far,
                });
            }
        }
    }
    found.sort_by_key(|twins| twins.cloths);
    found
}

fn same_print(one: &Cloth, other: &Cloth) -> bool {
    let sizes = [one, other].map(|cloth| cloth.figure_size().to_f64());
    let same_size = (sizes[0] - sizes[1]).abs() <= SIZES * sizes[0].max(sizes[1]);
    one.print == other.print && (!super::prints::has_figures(one) || same_size)
}
