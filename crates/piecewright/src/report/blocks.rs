//! Blocks in the report: patches, templates, sewing.

use geometry::{Motion, Surd};
use quilt::block::rotary::{square_for_eight_units, square_for_four_units};
use quilt::block::{self, Rotary, RotaryShape, SeamEnd};
use quilt::plan::Plan;
use quilt::results::Results;
use quilt::sewing::{BlockSewing, Handling, Landing, Press, SeamKind, Side, notes};
use serde::Serialize;

use super::foundation::{Foundation, foundation};
use super::{Spot, making, ring};

#[derive(Serialize)]
pub(super) struct Block {
    name: String,
    width: f64,
    height: f64,
    patches: Vec<Patch>,
    templates: Vec<Template>,
    sewing: Option<Sewing>,
    foundation: Option<Foundation>,
}

#[derive(Serialize)]
struct Patch {
    id: usize,
    outline: Vec<Spot>,
    place: Option<String>,
    spot: String,
    template: String,
    turn: f64,
    mirrored: bool,
    grain: f64,
}

#[derive(Serialize)]
struct Template {
    id: String,
    finished: Vec<Spot>,
    /// Full corners: the exact cut size.
    cut: Vec<Spot>,
    /// As printed, with the ears trimmed.
    trimmed: Vec<Spot>,
    mirror_of: Option<String>,
    grain: f64,
    count: usize,
    rotary: Option<Recipe>,
}

#[derive(Serialize)]
struct Recipe {
    shape: &'static str,
    strip: f64,
    crosscut: f64,
    then: &'static str,
    yields: u32,
    strip_exact: f64,
    crosscut_exact: f64,
    advance: Option<f64>,
    blunted_strip: Option<f64>,
    /// Half-square triangles only: the exact squares for four and for eight sewn units of
    /// two cloths at once.
    square_for_four_units: Option<f64>,
    square_for_eight_units: Option<f64>,
}

#[derive(Serialize)]
struct Sewing {
    straight: bool,
    partial: u32,
    set_in: u32,
    at_least: u32,
    steps_at_least: usize,
    /// What the order costs beside that; less is better, first things first.
    weight: Weight,
    course: Option<String>,
    obstruction: Option<String>,
    /// What would make it sew in straight seams alone.
    repair: Option<Repair>,
    joins: Vec<Join>,
    /// Units that can be made in several ways.
    making: Vec<making::Unit>,
    made: Option<Made>,
}

#[derive(Serialize)]
struct Weight {
    batches: usize,
    seams_outside_strip_sets: usize,
    /// Inches of edge on the bias round waiting units.
    open_bias: f64,
    crossings: usize,
    settled: bool,
}

#[derive(Serialize)]
struct Repair {
    at_least: usize,
    cuts: Vec<RepairCut>,
    /// Square inches more in one block, for seam allowances.
    cloth_in_block: f64,
    /// Square inches more in the quilt, by cloth.
    cloth_in_all: Vec<MoreCloth>,
    text: String,
}

#[derive(Serialize)]
struct RepairCut {
    patch: usize,
    seam: [Spot; 2],
}

#[derive(Serialize)]
struct MoreCloth {
    cloth: String,
    area: f64,
}

#[derive(Serialize)]
struct Join {
    id: usize,
    kind: &'static str,
    /// Whether it closes a seam left open inside one unit.
    closes: bool,
    /// Points at which the stitching stops or begins inside.
    stops: Vec<Spot>,
    how: Option<String>,
    left: Vec<usize>,
    right: Vec<usize>,
    seam: [Spot; 2],
    press: &'static str,
    /// Whether the half at the seam's second point goes the other way.
    twirled: bool,
    why: String,
    landing: Vec<Land>,
    passes: Vec<Pass>,
    under: Option<&'static str>,
    trim_over: Option<f64>,
    unit: Size,
    batch: u32,
    /// Number of the unit it makes.
    step: usize,
}

#[derive(Serialize)]
struct Land {
    at: Spot,
    /// `through`, or how the stitching stops: `part-way`, `corner`.
    stops: &'static str,
    runs_onto: Option<usize>,
    by: f64,
    notch: bool,
    ear: f64,
    ear_on: Option<&'static str>,
    trimmed_ear: f64,
}

#[derive(Serialize)]
struct Pass {
    at: Spot,
    left: usize,
    right: usize,
    over: Option<&'static str>,
    miss: Option<f64>,
}

/// How a block is pressed in the whole top, how thick it gets, how true it comes out.
#[derive(Serialize)]
struct Made {
    press_variants: u32,
    copies: [u32; 2],
    second_variant: Vec<&'static str>,
    from_the_centre: bool,
    twirl: Vec<usize>,
    twirled: Vec<usize>,
    opened: Vec<usize>,
    most_layers: usize,
    thickest: Vec<Spot>,
    width_off: [f64; 2],
    height_off: [f64; 2],
    points_showing: f64,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct Size {
    width: f64,
    height: f64,
}

pub(super) fn blocks(plan: &Plan, results: &Results) -> Vec<Block> {
    plan.blocks
        .iter()
        .enumerate()
        .zip(&results.blocks)
        .map(|((index, drafted), block)| {
            let places: Vec<&str> = drafted.places.iter().map(|p| p.name.as_str()).collect();
            let sewn = results
                .sewing
                .as_ref()
                .and_then(|all| all.blocks.iter().find(|sewn| sewn.block.0 == index));
            Block {
                name: drafted.name.clone(),
                width: drafted.width.to_f64(),
                height: drafted.height.to_f64(),
                patches: block
                    .iter()
                    .flat_map(|block| patches(block, &places))
                    .collect(),
                templates: block
                    .iter()
                    .flat_map(|block| templates(plan, block))
                    .collect(),
                sewing: sewn.map(|sewn| sewing(plan, results, sewn)),
                foundation: block.as_deref().and_then(foundation),
            }
        })
        .collect()
}

fn patches(block: &block::Block, places: &[&str]) -> Vec<Patch> {
    let patches = block.patches.iter().enumerate().zip(&block.drafted.spots);
    patches
        .map(|((id, patch), spot)| Patch {
            id,
            outline: ring(&patch.outline),
            place: patch.place.map(|place| places[place].to_string()),
            spot: spot.clone(),
            template: block.templates[patch.template].letter.clone(),
            turn: turn(&patch.from_template),
            mirrored: patch.from_template.is_mirrored(),
            grain: patch.grain,
        })
        .collect()
}

/// A motion's turn in degrees, 0 ≤ turn < 360.
fn turn(motion: &Motion) -> f64 {
    let degrees = motion.angle_degrees().rem_euclid(360.0);
    if 360.0 - degrees < 1e-9 { 0.0 } else { degrees }
}

fn templates(plan: &Plan, block: &block::Block) -> Vec<Template> {
    block
        .templates
        .iter()
        .map(|template| Template {
            id: template.letter.clone(),
            finished: ring(&template.finished),
            cut: template.cut.clone(),
            trimmed: template.trimmed.clone(),
            mirror_of: template
                .mirror_of
                .map(|other| block.templates[other].letter.clone()),
            grain: template.grain,
            count: template.count,
            rotary: template
                .rotary
                .as_ref()
                .map(|rotary| recipe(rotary, &plan.seam)),
        })
        .collect()
}

fn recipe(rotary: &Rotary, seam: &Surd) -> Recipe {
    // The square a half-square triangle is cut from is s·(2 + √2) larger than its short side.
    let finished = (rotary.shape == RotaryShape::HalfSquareTriangle)
        .then(|| &rotary.strip.exact - &(seam * &(Surd::TWO + Surd::root2())));
    let start = |square: fn(&Surd, &Surd) -> Surd| {
        finished
            .as_ref()
            .map(|finished| square(finished, seam).to_f64())
    };
    Recipe {
        square_for_four_units: start(square_for_four_units),
        square_for_eight_units: start(square_for_eight_units),
        shape: rotary.shape.name(),
        strip: rotary.strip.size.to_f64(),
        crosscut: rotary.crosscut.size.to_f64(),
        then: rotary.shape.then(),
        yields: rotary.yields,
        strip_exact: rotary.strip.exact.to_f64(),
        crosscut_exact: rotary.crosscut.exact.to_f64(),
        advance: rotary.advance.as_ref().map(|cut| cut.size.to_f64()),
        blunted_strip: rotary.blunted.as_ref().map(|cut| cut.size.to_f64()),
    }
}

fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn press(press: Press) -> &'static str {
    match press {
        Press::Left => "left",
        Press::Right => "right",
        Press::Open => "open",
    }
}

fn lands(landing: &Landing) -> Vec<Land> {
    let land = |end: &quilt::sewing::landing::End| Land {
        at: end.at.to_f64(),
        stops: match end.stops {
            SeamEnd::Through => "through",
            SeamEnd::PartWay => "part-way",
            SeamEnd::Corner => "corner",
        },
        runs_onto: end.runs_onto,
        by: end.by.value,
        notch: end.notch,
        ear: end.ear_by.value,
        ear_on: end.ear.map(side),
        trimmed_ear: end.trimmed_ear,
    };
    landing.ends.iter().map(land).collect()
}

fn passes(handling: &Handling, join: usize) -> Vec<Pass> {
    let misses = &handling.forecast.misses[join];
    let pass = |pass: &quilt::sewing::landing::Pass| Pass {
        at: pass.at.to_f64(),
        left: pass.seams[0],
        right: pass.seams[1],
        over: pass.over().map(side),
        miss: misses
            .iter()
            .find(|(at, _)| *at == pass.at)
            .map(|(_, miss)| miss.sigma),
    };
    handling.landings[join].passes.iter().map(pass).collect()
}

fn made(plan: &Plan, results: &Results, index: usize) -> Option<Made> {
    let sewing = results.sewing.as_ref()?;
    let (pressed, handling) = (
        sewing.pressing.blocks.get(index)?,
        sewing.handling.get(index)?,
    );
    let block = results.blocks.get(pressed.block.0)?.as_deref()?;
    let off = |spread: quilt::sewing::tolerance::Spread| [spread.mean, spread.sigma];
    Some(Made {
        press_variants: if pressed.copies.contains(&0) { 1 } else { 2 },
        copies: pressed.copies,
        second_variant: pressed.ways.iter().map(|ways| press(ways[1])).collect(),
        from_the_centre: pressed.from_the_centre,
        twirl: pressed.twirl.clone(),
        twirled: pressed.twirled.clone(),
        opened: pressed.opened.clone(),
        most_layers: handling.layers.most,
        thickest: handling
            .layers
            .thickest()
            .iter()
            .map(|thick| thick.at.to_f64())
            .collect(),
        width_off: off(handling.forecast.width),
        height_off: off(handling.forecast.height),
        points_showing: handling.forecast.showing,
        notes: notes::block_notes(plan, block, sewing, index),
    })
}

/// The seams to draw for straight seams alone, and their price.
fn repair(plan: &Plan, results: &Results, sewn: &BlockSewing) -> Option<Repair> {
    let straight = sewn.straight.as_ref()?;
    let block = results.blocks.get(sewn.block.0)?.as_deref()?;
    let found = block.repair.as_ref()?;
    let cut = |cut: &block::RepairCut| RepairCut {
        patch: cut.patch,
        seam: [cut.seam.a.to_f64(), cut.seam.b.to_f64()],
    };
    let more = |&(cloth, area): &(quilt::plan::ClothId, f64)| MoreCloth {
        cloth: plan.cloth(cloth).key.clone(),
        area,
    };
    Some(Repair {
        at_least: found.at_least,
        cuts: found.cuts.iter().map(cut).collect(),
        cloth_in_block: straight.in_block,
        cloth_in_all: straight.in_all.iter().map(more).collect(),
        text: straight.in_words.clone(),
    })
}

fn sewing(plan: &Plan, results: &Results, sewn: &BlockSewing) -> Sewing {
    let all = results.sewing.as_deref();
    let index = all.and_then(|all| all.blocks.iter().position(|one| one.block == sewn.block));
    let handling = all.zip(index).map(|(all, index)| &all.handling[index]);
    let straight = sewn.in_words.is_none();
    let join = |(id, join): (usize, &quilt::sewing::Join)| Join {
        id,
        kind: match join.kind {
            SeamKind::Straight => "straight",
            SeamKind::Partial => "partial",
            SeamKind::SetIn => "set-in",
        },
        closes: join.closes,
        how: sewn.steps[join.step].how.clone(),
        stops: join.stops().map(|(at, _)| at.to_f64()).collect(),
        left: join.left.clone(),
        right: join.right.clone(),
        seam: [join.seam.a.to_f64(), join.seam.b.to_f64()],
        press: press(join.press),
        twirled: join.twirled,
        why: join.press_reason.to_string(),
        landing: handling.map_or_else(Vec::new, |h| lands(&h.landings[id])),
        passes: handling.map_or_else(Vec::new, |h| passes(h, id)),
        under: handling.and_then(|h| h.landings[id].under).map(side),
        trim_over: handling.and_then(|h| {
            let trims = &h.forecast.trims;
            trims
                .iter()
                .find(|t| t.step == join.step)
                .map(|t| t.reserve)
        }),
        unit: Size {
            width: join.unit_width.to_f64(),
            height: join.unit_height.to_f64(),
        },
        batch: sewn.steps[join.step].in_all,
        step: join.step + 1,
    };
    Sewing {
        straight,
        partial: sewn.partial,
        set_in: sewn.set_in,
        at_least: sewn.at_least,
        steps_at_least: sewn.steps_at_least,
        weight: Weight {
            batches: sewn.weight.batches,
            seams_outside_strip_sets: sewn.weight.outside_strips,
            open_bias: sewn.weight.open_bias as f64 / 1024.0,
            crossings: sewn.weight.crossings,
            settled: sewn.settled,
        },
        course: sewn.course.clone(),
        obstruction: sewn.in_words.clone(),
        repair: repair(plan, results, sewn),
        joins: sewn.joins.iter().enumerate().map(join).collect(),
        making: making::units(plan, results, sewn.block),
        made: index.and_then(|index| made(plan, results, index)),
    }
}
