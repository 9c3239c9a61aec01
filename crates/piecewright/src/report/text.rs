//! The report for people to read, in the order of the work.

use std::fmt::Write as _;

use quilt::block::Founded;
use quilt::cutting;
use quilt::finishing::{Finishing, SeamsRun};
use quilt::making::{self, Batch};
use quilt::plan::{Kind, Plan};
use quilt::results::Results;
use quilt::setting::{Top, small_size};
use quilt::sewing::foundations::divided;

/// Two or three lines that say what the plan makes.
#[must_use]
pub fn summary(plan: &Plan, results: &Results) -> String {
    let mut out = format!("{}\n", plan.title);
    if let Some(top) = &results.top {
        let say = |a, b| plan.measure.size(a, b);
        let set = match plan.setting.kind {
            Kind::Straight => "set straight",
            Kind::Strips { .. } => "set in columns with strips",
            Kind::HalfDrop { .. } => "set in a half-drop",
            Kind::Brick { .. } => "set like bricks",
            Kind::OnPoint { .. } => "set on point",
        };
        let blocks = top.blocks.iter().filter(|b| b.border.is_none()).count();
        let border = match top.blocks.len() - blocks {
            0 => String::new(),
            units => format!(" and {}", plural(units, "border unit")),
        };
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "{} finished, {} {set} ({} down, {} across){border}, {} patches.",
            say(&top.width, &top.height),
            plural(blocks, "block"),
            plan.setting.rows,
            plan.setting.columns,
            top.patches,
        );
    }
    out
}

/// `1 block`, `3 blocks`.
fn plural(count: usize, noun: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{ending}")
}

/// Everything, to read.
#[must_use]
pub fn text(plan: &Plan, results: &Results) -> String {
    let mut out = summary(plan, results);
    blocks(plan, results, &mut out);
    if let Some(top) = &results.top {
        if let Some(seen) = &results.arranging {
            section(&mut out, "What the setting shows");
            let _ = writeln!(
                out,
                "Symmetry: {} ({}).",
                seen.symmetry.says(),
                seen.symmetry.name()
            );
            for line in [&seen.says, &seen.reason]
                .into_iter()
                .filter(|l| !l.is_empty())
            {
                let _ = writeln!(out, "{line}");
            }
        }
        sewing(plan, results, top, &mut out);
    }
    let small = plan.small.iter();
    let small: Vec<_> = small
        .filter_map(|piece| small_size(plan, piece)?.ok())
        .collect();
    if !small.is_empty() {
        section(&mut out, "Small pieces of the same design");
        for piece in small {
            let _ = writeln!(out, "{}", piece.words);
        }
    }
    cloth(plan, results, &mut out);
    if let Some(made) = &results.finishing {
        finishing(plan, made, &mut out);
    }
    section(&mut out, "Worth a look");
    for finding in &results.findings {
        let _ = writeln!(out, "{}: {}", super::weight(finding.weight), finding.text);
    }
    for caution in booklet::cautions(plan, results) {
        let _ = writeln!(out, "care: {caution}");
    }
    out
}

fn section(out: &mut String, title: &str) {
    let _ = writeln!(out, "\n{title}\n{}", "-".repeat(title.chars().count()));
}

fn blocks(plan: &Plan, results: &Results, out: &mut String) {
    for (block_plan, block) in plan.blocks.iter().zip(&results.blocks) {
        let Some(block) = block else { continue };
        let size = plan.measure.size(&block_plan.width, &block_plan.height);
        section(
            out,
            &format!("Block “{}”, {size} finished", block_plan.name),
        );
        let _ = writeln!(
            out,
            "{} patches from {} templates.",
            block.patches.len(),
            block.templates.len()
        );
        if let Some(founded) = &block.foundation {
            foundation(plan, founded, out);
        }
        for (_, template) in block.cutting_templates() {
            let _ = write!(out, "  {}  × {}  ", template.letter, template.count);
            let _ = match &template.rotary {
                Some(recipe) => {
                    let unit = plan.measure.in_inches().to_f64();
                    let then = recipe.shape.then();
                    let comma = if then.is_empty() { "" } else { ", " };
                    writeln!(
                        out,
                        "{}: strip {}, cross-cut {}{comma}{then} (exactly {:.4} and {:.4} {})",
                        recipe.shape.name(),
                        plan.measure.say(&recipe.strip.size),
                        plan.measure.say(&recipe.crosscut.size),
                        recipe.strip.exact.to_f64() / unit,
                        recipe.crosscut.exact.to_f64() / unit,
                        plan.measure.sign(),
                    )
                }
                None => writeln!(out, "cut by the printed template"),
            };
        }
    }
}

/// Sections and the rectangles their pieces are cut as.
fn foundation(plan: &Plan, founded: &Founded, out: &mut String) {
    let _ = writeln!(out, "{}", divided(founded));
    for kind in &founded.kinds {
        let pieces = kind.pieces.iter().enumerate();
        let sizes: Vec<String> = pieces
            .map(|(at, piece)| {
                let size = plan.measure.size(&piece.along.size, &piece.across.size);
                format!("{}{} {size}", kind.letter, at + 1)
            })
            .collect();
        if !sizes.is_empty() {
            let letter = &kind.letter;
            let _ = writeln!(
                out,
                "  section {letter}  × {}  rough, along the seam × across: {}",
                kind.count,
                sizes.join(", ")
            );
        }
    }
}

/// Units made several at a time.
fn together(plan: &Plan, batch: &Batch, out: &mut String) {
    let recipe = batch.recipe();
    let _ = writeln!(
        out,
        "  unit {}, {}: make {}. {}",
        batch.step + 1,
        recipe.way.name(),
        batch.needed,
        making::sentences(plan, batch, recipe).join(" ")
    );
    if let Some(caution) = making::caution(recipe) {
        let _ = writeln!(out, "    Mind: {caution}");
    }
}

fn sewing(plan: &Plan, results: &Results, top: &Top, out: &mut String) {
    let Some(sewing) = &results.sewing else {
        return;
    };
    section(out, "Sewing");
    for sewn in &sewing.blocks {
        let name = &plan.block(sewn.block).name;
        if let Some(words) = &sewn.in_words {
            let _ = writeln!(out, "“{name}”: {words}");
        }
        let _ = writeln!(
            out,
            "“{name}”: {} joins in {} kinds of unit, {} copies.",
            sewn.joins.len(),
            sewn.steps.len(),
            sewn.copies
        );
        let left = results.making.as_ref().map_or_else(
            || sewn.steps.iter().map(|step| step.in_all).collect(),
            |making| making.still_sewn(sewn),
        );
        for (index, (step, left)) in sewn.steps.iter().zip(left).enumerate() {
            let join = &sewn.joins[step.shown];
            let size = plan.measure.size(&join.unit_width, &join.unit_height);
            if left > 0 || sewn.copies == 0 {
                let _ = writeln!(out, "  unit {}: make {left}, {size}", index + 1);
                if let Some(how) = &step.how {
                    let _ = writeln!(out, "    {how}");
                }
            }
            let batches = results.making.iter().flat_map(|making| &making.batches);
            let here = batches.filter(|b| b.block == sewn.block && b.step == index);
            for batch in here.filter(|batch| batch.together()) {
                together(plan, batch, out);
            }
        }
    }
    let _ = writeln!(
        out,
        "The top, {} blocks and {} other pieces:",
        top.blocks.len(),
        top.parts.len()
    );
    for (index, step) in sewing.top.iter().enumerate() {
        let size = plan.measure.size(&step.width, &step.height);
        let _ = writeln!(out, "  {}. {} ({size})", index + 1, step.text);
    }
}

fn cloth(plan: &Plan, results: &Results, out: &mut String) {
    let Some(all) = &results.cutting else { return };
    section(out, "Cloth to buy and how to cut it");
    for cut in all.iter() {
        let cloth = plan.cloth(cut.cloth);
        let needs = plan.ruler.length(cut.needs);
        let _ = writeln!(
            out,
            "{}: buy {} (uses {}, no plan of strips can use less than {}).",
            cloth.name,
            plan.measure.shop(&cut.buy),
            plan.measure.say(&needs),
            plan.measure
                .about(cut.at_least * plan.ruler.mark().to_f64()),
        );
        for line in cutting::supply_lines(plan, cut) {
            let _ = writeln!(out, "  {line}");
        }
    }
    let Some(table) = &results.table else { return };
    let (table, beside) = table.as_ref();
    let _ = writeln!(out, "{}", beside.in_words(plan));
    for station in &table.stations {
        let cloths = cutting::station_cloths(plan, all, station);
        section(out, &format!("Cut {}", cloths.join(" · ")));
        for (index, step) in station.steps.iter().enumerate() {
            let _ = writeln!(out, "  {}. {}", index + 1, step.text);
        }
    }
}

fn finishing(plan: &Plan, made: &Finishing, out: &mut String) {
    section(out, "Finishing");
    let say = |length| plan.measure.say(length);
    let backing = &made.backing;
    let seams = match backing.chosen.seams {
        SeamsRun::None => "one width",
        SeamsRun::Upright => "seams upright",
        SeamsRun::Across => "seams across",
    };
    let _ = writeln!(
        out,
        "Backing {}: {} of {} ({seams}), {} in all; the other way {}.",
        plan.measure.size(&backing.width, &backing.height),
        backing.chosen.lengths,
        say(&backing.chosen.length),
        plan.measure.shop(&backing.buy),
        say(&backing.other.total),
    );
    let batting = &made.batting;
    let package = batting.package.as_ref().map_or_else(
        || "no single package is large enough".to_string(),
        |(name, w, h)| format!("a {name} package, {}", plan.measure.size(w, h)),
    );
    let _ = writeln!(
        out,
        "Batting {}: {package}.",
        plan.measure.size(&batting.width, &batting.height)
    );
    let _ = writeln!(
        out,
        "Binding {} long, strips {} wide: {} across the cloth.",
        say(&made.binding.length),
        say(&made.binding.strip),
        made.binding.strips
    );
    if let Some(sleeve) = &made.sleeve {
        let _ = writeln!(
            out,
            "Sleeve: {}.",
            plan.measure.size(&sleeve.cut_length, &sleeve.cut_depth)
        );
    }
    let _ = writeln!(
        out,
        "Thread for the piecing: about {:.0} yd for {:.0} yd of seams.",
        made.thread.piecing / 36.0,
        made.thread.seam_length / 36.0
    );
}
