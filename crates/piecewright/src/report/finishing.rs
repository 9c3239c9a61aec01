//! Borders, backing, batting and binding in the report.

use quilt::finishing::{self, BackingWay, SeamsRun};
use quilt::plan::{BorderKind, ClothId, Corner, CutAlong, Plan};
use quilt::setting::{PartKind, Top};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Finishing {
    borders: Vec<Border>,
    backing: Backing,
    batting: Batting,
    binding: Binding,
    sleeve: Option<Size>,
    thread: Thread,
}

#[derive(Serialize)]
struct Border {
    /// `plain`, `spacer` or `pieced`.
    kind: &'static str,
    /// Finished width of the strips at the sides.
    width: f64,
    /// Finished width of those at top and bottom.
    end_width: f64,
    /// Pieced: units along the top and along a side.
    units: Option<[u32; 2]>,
    /// How a spacer's width or the number of units comes about.
    sum: Option<String>,
    /// `None` where units and corner blocks make it all.
    cloth: Option<String>,
    corner: &'static str,
    cut: &'static str,
    /// Finished lengths, sides then ends.
    lengths: Vec<f64>,
}

#[derive(Serialize)]
struct Backing {
    cloth: Option<String>,
    width: f64,
    height: f64,
    cloth_width: f64,
    chosen: Way,
    other: Way,
    buy: f64,
}

#[derive(Serialize)]
struct Way {
    seams: &'static str,
    lengths: u32,
    length: f64,
    total: f64,
}

#[derive(Serialize)]
struct Batting {
    width: f64,
    height: f64,
    package: Option<&'static str>,
}

#[derive(Serialize)]
struct Binding {
    cloth: Option<String>,
    length: f64,
    strip: f64,
    strips: u32,
    bias_square: Option<f64>,
}

#[derive(Serialize)]
struct Size {
    width: f64,
    height: f64,
}

#[derive(Serialize)]
struct Thread {
    seam_length: f64,
    piecing: f64,
}

pub(super) fn finishing(plan: &Plan, top: &Top, made: &finishing::Finishing) -> Finishing {
    let key = |cloth: Option<ClothId>| cloth.map(|id| plan.cloth(id).key.clone());
    let (backing, binding) = (&made.backing, &made.binding);
    Finishing {
        borders: borders(plan, top),
        backing: Backing {
            cloth: key(backing.cloth),
            width: backing.width.to_f64(),
            height: backing.height.to_f64(),
            cloth_width: backing.cloth_width.to_f64(),
            chosen: way(&backing.chosen),
            other: way(&backing.other),
            buy: backing.buy.to_f64(),
        },
        batting: Batting {
            width: made.batting.width.to_f64(),
            height: made.batting.height.to_f64(),
            package: made.batting.package.as_ref().map(|(name, ..)| *name),
        },
        binding: Binding {
            cloth: key(binding.cloth),
            length: binding.length.to_f64(),
            strip: binding.strip.to_f64(),
            strips: binding.strips,
            bias_square: binding.bias_square.as_ref().map(geometry::Surd::to_f64),
        },
        sleeve: made.sleeve.as_ref().map(|sleeve| Size {
            width: sleeve.cut_length.to_f64(),
            height: sleeve.cut_depth.to_f64(),
        }),
        thread: Thread {
            seam_length: made.thread.seam_length,
            piecing: made.thread.piecing,
        },
    }
}

fn way(way: &BackingWay) -> Way {
    Way {
        seams: match way.seams {
            SeamsRun::None => "none",
            SeamsRun::Upright => "upright",
            SeamsRun::Across => "across",
        },
        lengths: way.lengths,
        length: way.length.to_f64(),
        total: way.total.to_f64(),
    }
}

fn borders(plan: &Plan, top: &Top) -> Vec<Border> {
    plan.borders
        .iter()
        .zip(&top.rings)
        .enumerate()
        .map(|(index, (border, ring))| Border {
            kind: match &border.kind {
                BorderKind::Plain => "plain",
                BorderKind::Spacer => "spacer",
                BorderKind::UpTo { .. } => "up to",
                BorderKind::Pieced(_) => "pieced",
            },
            width: ring.side.to_f64(),
            end_width: ring.end.to_f64(),
            units: ring.units.map(<[u32; 2]>::from),
            sum: ring.sum.clone(),
            cloth: border.own_cloth().map(|id| plan.cloth(id).key.clone()),
            corner: match border.corner {
                Corner::Butted => "butted",
                Corner::Mitred => "mitred",
                Corner::Squares(_) => "squares",
            },
            cut: match border.cut {
                CutAlong::Across => "across",
                CutAlong::Length => "length",
            },
            lengths: top
                .parts
                .iter()
                .filter(|part| {
                    [PartKind::BorderSide(index), PartKind::BorderEnd(index)].contains(&part.kind)
                })
                .map(|part| part.length.to_f64())
                .collect(),
        })
        .collect()
}
