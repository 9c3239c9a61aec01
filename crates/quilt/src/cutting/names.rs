//! What the maker calls the pieces of a cutting. Pieces for foundations are called *rough*:
//! they are trimmed after sewing.

use super::{Demand, Use};
use crate::block::foundation::section_letter;
use crate::plan::Plan;
use crate::results::Blocks;
use crate::setting::PartKind;

/// What the maker calls a piece that belongs to no block: `side triangle`, `binding`.
#[must_use]
pub fn use_name(usage: &Use) -> String {
    named(usage, 1)
}

/// The same for so many of them.
pub(super) fn named(usage: &Use, count: u32) -> String {
    let part = match usage {
        Use::Patch(..) => "patch",
        Use::Binding => return "binding".into(),
        Use::Backing => return "backing".into(),
        Use::Sleeve => return "hanging sleeve".into(),
        Use::Unit(_, step) => return format!("unit {}", step + 1),
        Use::Rough(_, section, number) => {
            return format!("{}{number}", section_letter(*section));
        }
        Use::Part(kind) => match kind {
            PartKind::BorderSide(border) => return format!("border {}, sides", border + 1),
            PartKind::BorderEnd(border) => {
                return format!("border {}, top and bottom", border + 1);
            }
            PartKind::BorderSquare(border) => {
                return format!("border {}, corner squares", border + 1);
            }
            PartKind::Sash if count != 1 => return "sashes".into(),
            PartKind::LongSash if count != 1 => return "long sashes".into(),
            PartKind::Sash => "sash",
            PartKind::LongSash => "long sash",
            PartKind::Strip => "column strip",
            PartKind::PlainEnd => "plain end",
            PartKind::Post => "post",
            PartKind::EdgePost => "half post for the edge",
            PartKind::SideTriangle => "side triangle",
            PartKind::CornerTriangle => "corner triangle",
        },
    };
    match (count, part) {
        (1, _) => part.into(),
        (_, "patch") => "patches".into(),
        (_, "half post for the edge") => "half posts for the edge".into(),
        _ => format!("{part}s"),
    }
}

/// What one piece is called in the maker's words: `A`, `side triangle`, `A of Kitchen Star`.
#[must_use]
pub fn piece_name(plan: &Plan, blocks: &Blocks, usage: &Use) -> String {
    let label = labels(plan, blocks, &[(*usage, 1)]);
    let name = label.strip_prefix("1 ").unwrap_or(&label);
    let name = name.strip_prefix("for ").unwrap_or(name);
    name.strip_suffix(TRIMMED).unwrap_or(name).to_owned()
}

/// What becomes of rough pieces, whatever shape they are cut in.
const TRIMMED: &str = " (trimmed as they are sewn)";

/// `80 A`, `12 side triangles`, `40 A of Kitchen Star and 8 posts`.
pub(super) fn labels(plan: &Plan, blocks: &Blocks, pieces: &[(Use, u32)]) -> String {
    let label = |&(usage, count): &(Use, u32)| match usage {
        Use::Patch(id, template) => {
            let block = blocks.get(id.0).and_then(Option::as_ref);
            let letter = block
                .and_then(|block| block.templates.get(template))
                .map_or("", |template| template.letter.as_str());
            if plan.blocks.len() > 1 {
                format!("{count} {letter} of {}", plan.block(id).name)
            } else {
                format!("{count} {letter}")
            }
        }
        Use::Unit(id, step) if plan.blocks.len() > 1 => {
            format!("for unit {} of {}", step + 1, plan.block(id).name)
        }
        Use::Unit(..) => format!("for {}", named(&usage, count)),
        Use::Rough(id, ..) if plan.blocks.len() > 1 => {
            format!(
                "{count} rough {} of {}{TRIMMED}",
                named(&usage, count),
                plan.block(id).name
            )
        }
        Use::Rough(..) => format!("{count} rough {}{TRIMMED}", named(&usage, count)),
        _ => match named(&usage, count) {
            name if name.contains(',') => format!("{count} for {name}"),
            name if matches!(usage, Use::Part(_)) => format!("{count} {name}"),
            name => name,
        },
    };
    listed(&pieces.iter().map(label).collect::<Vec<_>>())
}

/// What the joined strips of a demand become: sides and ends make the border.
pub(super) fn made_of(demand: &Demand) -> String {
    let name = |usage: &Use, count| match usage {
        Use::Part(PartKind::BorderSide(border) | PartKind::BorderEnd(border)) => {
            format!("border {}", border + 1)
        }
        usage => named(usage, count),
    };
    let mut names: Vec<String> = demand
        .serves
        .iter()
        .map(|served| name(&served.usage, served.count))
        .collect();
    names.dedup();
    listed(&names)
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
