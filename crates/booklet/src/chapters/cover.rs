//! The cover: the quilt in its cloth, what it is called, and what it is.

use quilt::plan::{BindingRun, BorderKind, Corner, Kind};
use serde_json::{Value, json};

use super::Desk;
use crate::lengths;
use crate::words::{capital, count, list};

/// The most the quilt's picture may take of the page, inches: the title, the note and
/// the facts need the rest.
const PICTURE_HEIGHT: f64 = 6.1;

pub(super) fn data(desk: &mut Desk) -> Value {
    let picture = desk.results.top.as_deref().map(|top| {
        let drawing = picture::quilt(desk.plan, &desk.results.blocks, top);
        desk.gallery
            .hang_within(&drawing, desk.room.width, PICTURE_HEIGHT)
    });
    json!({
        "title": desk.plan.title,
        "note": desk.plan.note,
        "picture": picture,
        "facts": facts(desk),
        "skills": capital(&list(&skills(desk))),
    })
}

fn facts(desk: &Desk) -> Value {
    let plan = desk.plan;
    let mut facts = Vec::new();
    if let Some(top) = &desk.results.top {
        facts.push(json!({ "name": "Finished size", "value": lengths::size(plan.measure, &top.width, &top.height) }));
    }
    for used in desk.blocks() {
        let of = plan.block(used.id);
        let size = lengths::size(plan.measure, &of.width, &of.height);
        facts.push(json!({
            "name": format!("Block “{}”", of.name),
            "value": format!("{}, {size} finished", count(used.copies, "block", "blocks")),
        }));
    }
    if let Some(top) = &desk.results.top {
        facts.push(json!({ "name": "Setting", "value": capital(&how_set(desk)) }));
        let cloths = super::cloths::uses(desk).len();
        facts.push(json!({
            "name": "In all",
            "value": format!("{} from {}", count(top.patches, "piece", "pieces"), count(cloths, "cloth", "cloths")),
        }));
    }
    facts.into()
}

fn how_set(desk: &Desk) -> String {
    let setting = &desk.plan.setting;
    let way = match setting.kind {
        Kind::Straight => "straight",
        Kind::Strips { .. } => "columns parted by strips",
        Kind::HalfDrop { .. } => "half-drop",
        Kind::Brick { .. } => "brick",
        Kind::OnPoint { .. } => "on point",
    };
    let sashed = if setting.sashing.is_some() {
        ", with sashing"
    } else {
        ""
    };
    format!(
        "{way}, {} down and {} across{sashed}",
        setting.rows, setting.columns
    )
}

/// The skills the quilt asks for, by name.
fn skills(desk: &Desk) -> Vec<String> {
    let plan = desk.plan;
    let mut skills = Vec::new();
    let mut add = |skill: &str| {
        if !skills.iter().any(|s| s == skill) {
            skills.push(skill.to_owned());
        }
    };
    for used in desk.blocks() {
        for template in &used.block.templates {
            match &template.rotary {
                Some(recipe) => add(&format!("{}s", recipe.shape.name())),
                None => add("cutting by printed template"),
            }
        }
        if !used.block.joining.obstructions.is_empty() {
            add("partial or set-in seams");
        }
    }
    if let Kind::OnPoint { .. } = plan.setting.kind {
        add("setting triangles on the straight grain");
    }
    if let Some(sashing) = &plan.setting.sashing {
        add(if sashing.posts.is_some() {
            "sashing with posts"
        } else {
            "sashing"
        });
    }
    for border in &plan.borders {
        add(match border.corner {
            _ if matches!(border.kind, BorderKind::Pieced(_)) => "a pieced border",
            Corner::Butted => "borders",
            Corner::Mitred => "a mitred border",
            Corner::Squares(_) => "borders with corner squares",
        });
    }
    if plan.finishing.binding.cloth.is_some() {
        add(match plan.finishing.binding.run {
            BindingRun::Straight => "double-fold binding",
            BindingRun::Bias => "bias binding",
        });
    }
    if plan.finishing.sleeve.is_some() {
        add("a hanging sleeve");
    }
    skills
}
