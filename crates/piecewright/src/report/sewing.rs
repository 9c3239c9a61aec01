//! The sewing of the whole top in the report: pressing, chains, minutes, the steps.

use quilt::plan::Plan;
use quilt::sewing::press::{Group, Tally, TopPress};
use quilt::sewing::{Ingredient, Sewing};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Work {
    pressing: Pressing,
    errors: Errors,
    chains: Vec<Chain>,
    block_minutes: f64,
    top_minutes: f64,
    top: Vec<Step>,
    forecast: Option<Forecast>,
    layers: Layers,
}

/// Where the top is thick between and around its blocks.
#[derive(Serialize)]
struct Layers {
    most: usize,
    /// The thickest points, inches from the top left corner of the top.
    thickest: Vec<[f64; 2]>,
    /// The most at the first of them with the last seam over it pressed apart.
    apart: Option<usize>,
    text: Option<String>,
}

/// How seams of the top outside its blocks that are pressed as one are pressed.
#[derive(Serialize)]
struct Outside {
    seams: &'static str,
    /// Row, piece or border, from 0.
    number: usize,
    /// See docs/report.md; null where they are pressed apart.
    yes: Option<bool>,
    reason: &'static str,
}

/// What the errors add up to in the top: means and standard deviations, inches.
#[derive(Serialize)]
struct Forecast {
    width_off: [f64; 2],
    height_off: [f64; 2],
    width_off_squared: [f64; 2],
    height_off_squared: [f64; 2],
    points: u32,
    points_showing: f64,
    points_showing_squared: f64,
    eased: f64,
    text: String,
}

#[derive(Serialize)]
struct Pressing {
    variants: u32,
    /// The variant of each placed block, in the order of the setting's cells.
    of_block: Vec<u8>,
    rows_along: Vec<bool>,
    outside: Vec<Outside>,
    with_one: Crossings,
    half_turned: Option<Crossings>,
    with_two: Crossings,
    /// With seams pressed apart and twirled where that pays.
    as_pressed: Crossings,
    /// How many patches meet on the seams between rows, where these are pressed apart.
    between_rows_apart: Option<usize>,
}

#[derive(Serialize)]
struct Crossings {
    inside: [u32; 2],
    between: [u32; 2],
    rows: [u32; 2],
    proved: bool,
}

#[derive(Serialize)]
struct Errors {
    measured: bool,
    cut: f64,
    seam: f64,
    too_wide_by: f64,
}

#[derive(Serialize)]
struct Chain {
    level: usize,
    thread_cuts: u32,
    minutes: f64,
    runs: Vec<Run>,
}

#[derive(Serialize)]
struct Run {
    block: String,
    step: usize,
    units: u32,
    piles: Vec<Pile>,
    seam: f64,
    minutes: f64,
}

#[derive(Serialize)]
struct Pile {
    /// The number of the step that makes it; none for a patch.
    unit: Option<usize>,
    count: u32,
}

#[derive(Serialize)]
struct Step {
    text: String,
    press: String,
    times: u32,
    seams: u32,
    /// How long one of them is, the longest.
    seam: f64,
    width: f64,
    height: f64,
}

fn crossings(tally: &Tally) -> Crossings {
    Crossings {
        inside: [tally.inside, tally.inside_failing],
        between: [tally.between, tally.between_failing],
        rows: [tally.rows, tally.rows_failing],
        proved: tally.cost == tally.at_least,
    }
}

fn layers(sewing: &Sewing) -> Layers {
    let found = &sewing.layers;
    Layers {
        most: found.most(),
        thickest: found
            .thickest()
            .iter()
            .map(|thick| thick.at.to_f64())
            .collect(),
        apart: found.thickest_apart,
        text: found.in_words.clone(),
    }
}

fn outside(press: &TopPress) -> Outside {
    let (seams, number) = match press.group {
        Group::Row(row) => ("within row", row),
        Group::Between(row) => ("after row", row),
        Group::Outside(number) => ("sewn to the rows", number),
        Group::Strips(ring, true) => ("within the sides of border", ring),
        Group::Strips(ring, false) => ("within the top and bottom of border", ring),
        Group::Sides(ring) => ("sides of border", ring),
        Group::Squares(ring) => ("corners of border", ring),
        Group::Ends(ring) => ("top and bottom of border", ring),
    };
    Outside {
        seams,
        number,
        yes: (!press.apart).then_some(press.yes),
        reason: press.reason,
    }
}

fn forecast(plan: &Plan, sewing: &Sewing) -> Option<Forecast> {
    let found = sewing.forecast.as_ref()?;
    let off = |spread: quilt::sewing::tolerance::Spread| [spread.mean, spread.sigma];
    Some(Forecast {
        width_off: off(found.size[0]),
        height_off: off(found.size[1]),
        width_off_squared: off(found.squared[0]),
        height_off_squared: off(found.squared[1]),
        points: found.points,
        points_showing: found.showing,
        points_showing_squared: found.showing_squared,
        eased: found.eased,
        text: quilt::sewing::notes::top_accuracy(plan, sewing).unwrap_or_default(),
    })
}

pub(super) fn work(plan: &Plan, sewing: &Sewing) -> Work {
    let press = &sewing.pressing;
    Work {
        pressing: Pressing {
            variants: press.variants,
            of_block: press.variant.clone(),
            rows_along: press.rows.clone(),
            outside: press.top.iter().map(outside).collect(),
            with_one: crossings(&press.with_one),
            half_turned: press.half_turned.as_ref().map(crossings),
            with_two: crossings(&press.with_two),
            as_pressed: crossings(&press.as_pressed),
            between_rows_apart: press.between_rows_apart,
        },
        errors: Errors {
            measured: sewing.errors.measured,
            cut: sewing.errors.cut,
            seam: sewing.errors.seam,
            too_wide_by: sewing.errors.bias,
        },
        chains: sewing
            .batches
            .chains
            .iter()
            .map(|chain| self::chain(plan, chain))
            .collect(),
        block_minutes: sewing.batches.block_minutes,
        top_minutes: sewing.batches.top_minutes,
        top: sewing
            .top
            .iter()
            .map(|step| Step {
                text: step.text.clone(),
                press: step.press.clone(),
                times: step.times,
                seams: step.seams,
                seam: step.seam.to_f64(),
                width: step.width.to_f64(),
                height: step.height.to_f64(),
            })
            .collect(),
        forecast: forecast(plan, sewing),
        layers: layers(sewing),
    }
}

fn chain(plan: &Plan, chain: &quilt::sewing::batches::Chain) -> Chain {
    let pile = |&(ingredient, count): &(Ingredient, u32)| Pile {
        unit: match ingredient {
            Ingredient::Unit(step) => Some(step + 1),
            Ingredient::Template(_) => None,
        },
        count,
    };
    Chain {
        level: chain.level,
        thread_cuts: chain.thread_cuts,
        minutes: chain.minutes,
        runs: chain
            .runs
            .iter()
            .map(|run| Run {
                block: plan.block(run.block).name.clone(),
                step: run.step + 1,
                units: run.units,
                piles: run.piles.iter().map(pile).collect(),
                seam: run.seam,
                minutes: run.minutes,
            })
            .collect(),
    }
}
