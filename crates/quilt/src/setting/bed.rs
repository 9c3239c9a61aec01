//! The top on a bed, or against a size that is wanted: how far it reaches beyond it.
//!
//! ```text
//!        ┌── top ───────┐
//!        │  ┌ bed ──┐   │      the pillow end of both lies together, less the tuck;
//!    side│  │       │   │side  at the sides and the foot the top hangs down
//!        │  └───────┘   │
//!        └──── foot ────┘
//! ```
//!
//! **Units.** Inches, exact. What is short is negative.

use geometry::Surd;

use super::Top;
use crate::plan::{Plan, Target};

/// How a top lies over a bed or a wanted size.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OnBed {
    /// What lies under it: left, top, width and height in the top's frame.
    pub under: [Surd; 4],
    /// What it is called.
    pub name: String,
    /// How far the top hangs down or reaches beyond at each side; negative where it is short.
    pub side: Surd,
    /// The same at the foot, or at the lower edge of a size.
    pub foot: Surd,
    /// All of it in a sentence.
    pub says: String,
}

/// How the top lies on what the plan aims at; `None` if it aims at nothing.
#[must_use]
pub fn on_bed(plan: &Plan, top: &Top) -> Option<OnBed> {
    let target = plan.setting.target.as_ref()?;
    let measure = plan.measure;
    let hangs = |by: &Surd, hang: &str| {
        if by.is_zero() {
            "ends with it".to_owned()
        } else if by.is_positive() {
            format!("{hang} {}", measure.say(by))
        } else {
            format!("is {} short", measure.say(&by.abs()))
        }
    };
    Some(match target {
        Target::Bed { bed, drop, tuck } => {
            let side = (&top.width - &bed.width).over(2);
            let foot = &top.height - &bed.length - tuck;
            let tucked = if tuck.is_zero() {
                String::new()
            } else {
                format!(", {} tucked over the pillows", measure.say(tuck))
            };
            let says = format!(
                "On {} {} mattress, {}, the top {} at each side and {} at the foot{tucked}; you wish for {}.",
                if bed.name.starts_with(['A', 'E', 'a', 'e']) {
                    "an"
                } else {
                    "a"
                },
                bed.name,
                measure.size(&bed.width, &bed.length),
                hangs(&side, "hangs down"),
                hangs(&foot, "hangs down"),
                measure.say(drop),
            );
            OnBed {
                under: [
                    side.clone(),
                    tuck.clone(),
                    bed.width.clone(),
                    bed.length.clone(),
                ],
                name: bed.name.clone(),
                side,
                foot,
                says,
            }
        }
        Target::Size { width, height } => {
            let side = (&top.width - width).over(2);
            let foot = (&top.height - height).over(2);
            let says = format!(
                "Beside the size you aim at, {}, the top {} at each side and {} above and below.",
                measure.size(width, height),
                hangs(&side, "reaches beyond it by"),
                hangs(&foot, "reaches beyond it by"),
            );
            OnBed {
                under: [side.clone(), foot.clone(), width.clone(), height.clone()],
                name: "the size aimed at".into(),
                side,
                foot,
                says,
            }
        }
    })
}
