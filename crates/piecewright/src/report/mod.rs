//! The open report: everything worked out from a plan, for other programs and for people.
//!
//! [`json`] follows `docs/report.md`: a public promise, versioned by `report`, additive
//! from release to release. [`text`] says the same for people to read.
//!
//! **Frame.** Inches as decimal numbers whatever the plan's unit, areas in square inches,
//! angles in degrees; x right, y down; outlines are open rings.

mod blocks;
mod choosing;
mod cloths;
mod finishing;
mod foundation;
mod making;
mod setting;
mod sewing;
mod text;

use quilt::findings::Weight;
use quilt::plan::Plan;
use quilt::results::Results;
use serde::Serialize;

pub use text::{summary, text};

/// Parts of the contract this version does not work out; listed in the report itself so
/// that an empty field is not taken for an answer.
const NOT_YET: [&str; 0] = [];

/// A point in inches.
type Spot = [f64; 2];

#[derive(Serialize)]
struct Report {
    report: u32,
    plan: PlanHead,
    top: Option<TopSize>,
    blocks: Vec<blocks::Block>,
    setting: Option<setting::Setting>,
    small: Vec<setting::Small>,
    cloths: Vec<cloths::Cloth>,
    choosing: choosing::Choosing,
    cutting: Option<cloths::AtTable>,
    finishing: Option<finishing::Finishing>,
    sewing: Option<sewing::Work>,
    cautions: Vec<String>,
    findings: Vec<Found>,
    not_yet: [&'static str; 0],
}

#[derive(Serialize)]
struct PlanHead {
    title: String,
    units: &'static str,
    seam: f64,
}

#[derive(Serialize)]
struct TopSize {
    width: f64,
    height: f64,
    patches: usize,
    blocks: usize,
}

#[derive(Serialize)]
struct Found {
    weight: &'static str,
    text: String,
}

/// The report as one JSON object, indented, ending in a line break.
///
/// # Errors
///
/// Never in practice: the report holds only numbers, texts and lists.
pub fn json(plan: &Plan, results: &Results) -> Result<String, serde_json::Error> {
    let report = Report {
        report: 1,
        plan: PlanHead {
            title: plan.title.clone(),
            units: match plan.measure {
                quilt::measure::Measure::Inch => "inch",
                quilt::measure::Measure::Centimetre => "cm",
            },
            seam: plan.seam.to_f64(),
        },
        top: results.top.as_ref().map(|top| TopSize {
            width: top.width.to_f64(),
            height: top.height.to_f64(),
            patches: top.patches,
            blocks: top.blocks.len(),
        }),
        blocks: blocks::blocks(plan, results),
        setting: results
            .top
            .as_ref()
            .map(|top| setting::setting(plan, top, results.arranging.as_deref())),
        small: setting::small(plan),
        cloths: results
            .cutting
            .as_ref()
            .map_or_else(Vec::new, |all| cloths::cloths(plan, results, all)),
        choosing: choosing::choosing(plan, results),
        cutting: results
            .table
            .as_ref()
            .map(|table| cloths::at_table(plan, results, &table.0, &table.1)),
        finishing: match (&results.top, &results.finishing) {
            (Some(top), Some(made)) => Some(finishing::finishing(plan, top, made)),
            _ => None,
        },
        sewing: results.sewing.as_ref().map(|all| sewing::work(plan, all)),
        cautions: booklet::cautions(plan, results),
        findings: results
            .findings
            .iter()
            .map(|finding| Found {
                weight: weight(finding.weight),
                text: finding.text.clone(),
            })
            .collect(),
        not_yet: NOT_YET,
    };
    serde_json::to_string_pretty(&report).map(|text| text + "\n")
}

/// A finding's weight in one word.
#[must_use]
pub fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "stop",
        Weight::Mind => "mind",
        Weight::Note => "note",
    }
}

/// An exact outline as an open ring.
fn ring(polygon: &geometry::Polygon) -> Vec<Spot> {
    polygon
        .points()
        .iter()
        .map(geometry::Point::to_f64)
        .collect()
}
