//! What the maker should know before sewing a block, in sentences.
//!
//! **Knows nothing of** where the sentences are printed. Units are called by the number
//! of the step that makes them, as everywhere.

use super::tolerance::{SHOWS, advice};
use super::{BlockSewing, Errors, Handling, Ingredient, PressPlan, Sewing, foundations};
use crate::block::Block;
use crate::plan::Plan;

impl Ingredient {
    /// What it is called: a template's letter, or `unit 3`.
    #[must_use]
    pub fn name(self, block: &Block) -> String {
        match self {
            Self::Template(template) => block
                .templates
                .get(template)
                .map_or_else(String::new, |t| t.letter.clone()),
            Self::Unit(step) => format!("unit {}", step + 1),
        }
    }
}

/// Where the needle passes in a step: how the two units are laid, which points are met,
/// where the stitching leaves the cloth. Empty where two square corners lie on each other.
#[must_use]
pub fn landing(
    plan: &Plan,
    block: &Block,
    sewn: &BlockSewing,
    handling: &Handling,
    step: usize,
) -> String {
    let Some(shown) = sewn.steps.get(step) else {
        return String::new();
    };
    let join = &sewn.joins[shown.shown];
    let names = if join.closes {
        // Both sides are one unit; the patches along the seam tell them apart.
        [&join.left, &join.right].map(|patches| letters(block, patches))
    } else {
        [shown.left, shown.right].map(|unit| match block.foundation {
            Some(_) => foundations::called(block, sewn, unit),
            None => unit.name(block),
        })
    };
    handling
        .landings
        .get(shown.shown)
        .map(|landing| landing.say([&names[0], &names[1]], plan.measure))
        .unwrap_or_default()
}

/// The templates of some patches, each once: `A`, `A and C`.
fn letters(block: &Block, patches: &[usize]) -> String {
    let mut templates: Vec<usize> = patches
        .iter()
        .map(|&patch| block.patches[patch].template)
        .collect();
    templates.sort_unstable();
    templates.dedup();
    let letters = templates.into_iter();
    let letters: Vec<String> = letters
        .map(|template| block.templates[template].letter.clone())
        .collect();
    super::top::list(&letters)
}

/// What to know about a block's pressing, bulk and accuracy, a sentence or two each.
#[must_use]
pub fn block_notes(plan: &Plan, block: &Block, sewing: &Sewing, index: usize) -> Vec<String> {
    let (Some(sewn), Some(handling)) = (sewing.blocks.get(index), sewing.handling.get(index))
    else {
        return Vec::new();
    };
    if sewn.joins.is_empty() {
        return Vec::new();
    }
    let mut notes = pressing(&sewing.pressing, sewn, index);
    notes.extend(handling.layers.say(block));
    notes.extend(trimming(plan, handling));
    notes.push(accuracy(plan, &sewing.errors, handling));
    notes
}

/// Variants, rounds and twirls.
fn pressing(press: &PressPlan, sewn: &BlockSewing, index: usize) -> Vec<String> {
    let Some(block) = press.blocks.get(index) else {
        return Vec::new();
    };
    let mut notes = Vec::new();
    if block.from_the_centre {
        notes.push(
            "Pressing is simple here: every seam away from the centre, one after another.".into(),
        );
    }
    let differing = block.differing();
    let [first, second] = block.copies;
    if first > 0 && second > 0 && !differing.is_empty() {
        let which = if differing.len() == sewn.joins.len() {
            "every seam the other way".to_owned()
        } else {
            let steps = numbers(sewn, &differing);
            format!("the seams of {} the other way", units(&steps))
        };
        notes.push(format!(
            "Press {first} copies as the arrows show and {second} with {which}, and lay them in turn like the squares of a chequerboard: then seams nest where blocks meet. Pressed all alike, {} of the {} places where seams of two blocks meet would not nest.",
            press.with_one.between_failing, press.with_one.between
        ));
        if press
            .half_turned
            .is_some_and(|tally| tally.failing() == press.with_two.failing())
        {
            notes.push(
                "Or press all alike and turn every second block half round; it looks the same and nests as well.".into(),
            );
        }
    }
    if !block.twirled.is_empty() {
        notes.push(format!(
            "Twirl {} in every copy, since otherwise seams would not nest where blocks meet: undo the few stitches in the allowance above the crossing and press the two halves opposite ways round, as the arrows show; the middle then lies flat like a tiny four-patch.",
            units(&numbers(sewn, &block.twirled))
        ));
    }
    if !block.opened.is_empty() {
        notes.push(format!(
            "The seam of {} is pressed open, because its crossings cannot all nest.",
            units(&numbers(sewn, &block.opened))
        ));
    }
    if let ([join], true) = (&block.twirl[..], block.twirled.is_empty()) {
        notes.push(format!(
            "Unit {} may be twirled: undo the few stitches in the allowance above the crossing and press its two halves opposite ways round; the middle then lies flat like a tiny four-patch.",
            sewn.joins[*join].step + 1
        ));
    }
    notes
}

/// The numbers of the units some joins make, each once.
fn numbers(sewn: &BlockSewing, joins: &[usize]) -> Vec<usize> {
    let steps = joins.iter().map(|&join| sewn.joins[join].step + 1);
    let mut steps: Vec<usize> = steps.collect();
    steps.sort_unstable();
    steps.dedup();
    steps
}

/// `unit 3`, `units 1, 2 and 4`.
fn units(numbers: &[usize]) -> String {
    let words: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => format!("unit {one}"),
        [first @ .., last] => format!("units {} and {last}", first.join(", ")),
    }
}

fn trimming(plan: &Plan, handling: &Handling) -> Option<String> {
    let trims = &handling.forecast.trims;
    let first = trims.first()?;
    let steps: Vec<usize> = trims.iter().map(|trim| trim.step + 1).collect();
    let it = if steps.len() == 1 { "its" } else { "their" };
    let reserve = super::landing::Length {
        value: first.reserve,
        exact: None,
    };
    let reserve = if first.reserve < 1.0 / 64.0 {
        "hardly anything".to_owned()
    } else {
        reserve.say(plan.measure)
    };
    Some(format!(
        "Trim {} to {it} size: the cut sizes are rounded up and leave {reserve} for it. With {} about {} in 100 come out too small to trim.",
        units(&steps),
        assumed(plan),
        (100.0 * first.chance.short).round(),
    ))
}

fn assumed(plan: &Plan) -> &'static str {
    if plan.sewing.three_strips.is_empty() {
        "the errors assumed here"
    } else {
        "your own seams"
    }
}

/// What the maker's errors add up to in the whole top, in a sentence or two; `None` where
/// there is no forecast.
#[must_use]
pub fn top_accuracy(plan: &Plan, sewing: &Sewing) -> Option<String> {
    let forecast = sewing.forecast.as_ref()?;
    let say = |length: f64| {
        super::landing::Length {
            value: length,
            exact: None,
        }
        .say(plan.measure)
    };
    let worst = |size: &[super::tolerance::Spread; 2]| {
        let [width, height] = *size;
        if height.sigma > width.sigma {
            height
        } else {
            width
        }
    };
    let (as_sewn, squared) = (worst(&forecast.size), worst(&forecast.squared));
    let source = if sewing.errors.measured {
        "From your own strips"
    } else {
        "With the errors assumed"
    };
    let off = match as_sewn.mean {
        mean if mean.abs() < 1.0 / 128.0 => String::new(),
        mean if mean < 0.0 => format!("{} too small on average, ", say(-mean)),
        mean => format!("{} too large on average, ", say(mean)),
    };
    let square = if as_sewn.sigma > 1.05 * squared.sigma || as_sewn.mean != squared.mean {
        let off = if squared.mean.abs() < 1.0 / 128.0 {
            String::new()
        } else {
            format!("{} off on average, ", say(squared.mean.abs()))
        };
        format!(
            " With every block squared up to its size before it is joined: {off}within {}.",
            say(squared.sigma)
        )
    } else {
        String::new()
    };
    let points = match forecast.points {
        0 => String::new(),
        all => format!(
            " Unpinned, {:.0} of the {all} places where seams of two rows meet would miss by more than {} ({:.0} with squared blocks); pinned at each, a block is eased by {}.",
            forecast.showing,
            say(SHOWS),
            forecast.showing_squared,
            say(forecast.eased)
        ),
    };
    Some(format!(
        "{source} the finished top comes out {off}within {} either way for two of three.{square}{points}",
        say(as_sewn.sigma)
    ))
}

/// The forecast of size and points.
fn accuracy(plan: &Plan, errors: &Errors, handling: &Handling) -> String {
    let forecast = &handling.forecast;
    let say = |length: f64| {
        super::landing::Length {
            value: length,
            exact: None,
        }
        .say(plan.measure)
    };
    let off = |mean: f64| {
        if mean.abs() < 1.0 / 128.0 {
            String::new()
        } else if mean < 0.0 {
            format!(" {} too small on average,", say(-mean))
        } else {
            format!(" {} too large on average,", say(mean))
        }
    };
    let source = if errors.measured {
        "From your own strips"
    } else {
        "With the errors assumed until you measure your own (three strips sewn side by side)"
    };
    let widest = if forecast.width.sigma >= forecast.height.sigma {
        forecast.width
    } else {
        forecast.height
    };
    let points: usize = forecast.misses.iter().map(Vec::len).sum();
    let missing = if points == 0 || forecast.showing < 0.05 {
        String::new()
    } else if points == 1 {
        format!(
            " Unpinned, its one matched point would miss by more than {} in {:.0} blocks of 100; pin it.",
            say(SHOWS),
            forecast.showing * 100.0
        )
    } else {
        format!(
            " Unpinned, {:.1} of its {points} matched points would miss by more than {}; pin them all.",
            forecast.showing,
            say(SHOWS)
        )
    };
    let seam = advice(plan, errors).map_or_else(String::new, |advice| format!(" {advice}"));
    format!(
        "{source}, the finished block comes out{} within {} either way for two of three.{missing}{seam}",
        off(widest.mean),
        say(widest.sigma)
    )
}
