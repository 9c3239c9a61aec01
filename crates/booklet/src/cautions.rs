//! Cautions: where the work can hurt someone, said beside the work.
//!
//! Short and careful, and always giving way to local rules. The advice on beds and
//! labels is information of a general kind; bodies that publish it are named at the
//! sentence.

use geometry::Surd;
use quilt::colour::lab;
use quilt::plan::{Cloth, Plan};
use quilt::results::Results;

/// A quilt that fits within these sides (inches, either way round) can be taken for
/// a cot quilt: the usual crib batting is packed so large (*common practice*).
const COT: (i64, i64) = (45, 60);

/// A cloth darker than this L* may give off dye in the first wash (*common practice*;
/// the figure is ours).
const DEEP: f64 = 35.0;

/// A cloth lighter than this L* shows it.
const PALE: f64 = 75.0;

/// What to take care of in making and using this quilt, in the order of the work.
///
/// Depends on the plan (a deep cloth beside a pale one, a quilt small enough for a cot)
/// and on the finished size where it is known; never empty.
#[must_use]
pub fn cautions(plan: &Plan, results: &Results) -> Vec<String> {
    let mut said = Vec::new();
    said.extend(dye(plan));
    // Common practice; "sharper is safer" and "close the blade" as guilds and cutter
    // makers teach it.
    said.push(
        "Rotary cutter: close the blade every time you put it down, cut away from yourself, \
         keep fingers clear of the ruler’s edge, and keep it out of children’s reach. \
         A sharp blade is safer than a dull one."
            .into(),
    );
    said.push(
        "Needles, pins and used blades: collect them in a lidded container, and count \
         pins back before anyone sits on the quilt."
            .into(),
    );
    said.push(
        "Iron: mind the tip and the cord, let steam out away from your hands, and switch \
         it off when you leave the room."
            .into(),
    );
    if is_cot_sized(results) {
        // US Consumer Product Safety Commission and American Academy of Pediatrics:
        // nothing soft in the crib.
        said.push(
            "This quilt is small enough to be taken for a cot quilt. Safety bodies advise \
             that nothing soft, quilts included, lies in the bed of a sleeping infant: \
             it is for play or display with someone watching."
                .into(),
        );
    }
    // US Textile Act labels (Federal Trade Commission); Regulation (EU) No 1007/2011.
    said.push(
        "To sell it or give it as a prize, look up what its label must say where you live: \
         in many places fibre content, origin and maker."
            .into(),
    );
    said.push("This is information only. Follow your local rules and the makers’ instructions.".into());
    said
}

/// Pre-washing, when a deep cloth meets a pale one.
fn dye(plan: &Plan) -> Option<String> {
    let light = |cloth: &Cloth| lab(cloth.colour)[0];
    let deepest = plan.cloths.iter().min_by(|a, b| light(a).total_cmp(&light(b)))?;
    let meets_pale = light(deepest) < DEEP && plan.cloths.iter().any(|cloth| light(cloth) > PALE);
    meets_pale.then(|| {
        format!(
            "Deep cloths beside pale ones can give off dye. Wash a scrap of each ({}, first of all) with \
             something white, and wash any that bleeds before cutting.",
            deepest.name
        )
    })
}

/// Whether the finished top could be taken for a cot quilt.
fn is_cot_sized(results: &Results) -> bool {
    let Some(top) = &results.top else { return false };
    let (short, long) = if top.width <= top.height {
        (&top.width, &top.height)
    } else {
        (&top.height, &top.width)
    };
    *short <= Surd::int(COT.0) && *long <= Surd::int(COT.1)
}
