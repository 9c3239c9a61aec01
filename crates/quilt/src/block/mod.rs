//! A block from its draft to the pieces one can cut.
//!
//! ```text
//!   draft ─▶ outline and patches ─▶ joining tree ─▶ grain ─▶ templates ─▶ ruler recipes
//! ```
//!
//! `draft` turns what the maker drew into exact patches; [`joining`] finds how
//! straight seams take the block apart (pure geometry, used here to choose the grain and
//! later by `sewing` for the steps); `grain` lays the threads; `templates` groups
//! patches that are cut alike and letters them; [`rotary`] finds the ruler recipe;
//! [`foundation`] has the sections and rough sizes of a block pieced on foundations;
//! [`drafting`] helps a maker to draw one.
//!
//! **Knows nothing of** cloth, the setting or how many blocks there are.

mod draft;
pub mod drafting;
pub mod foundation;
mod grain;
pub mod joining;
pub(crate) mod lengths;
pub mod rotary;
mod taken;
mod templates;
mod tiles;

use geometry::{Arrangement, Motion, Polygon, Surd};

pub use draft::{DraftFault, drafted};
pub use foundation::{Founded, Rough, SectionKind};
pub use joining::{JoinNode, Joining, Obstruction, Repair, RepairCut, SeamEnd};
pub use rotary::{Rotary, RotaryShape};
pub use templates::worked;

use crate::measure::Ruler;
use crate::plan::BlockPlan;

/// A drafted block: exact patches on an exact outline.
#[derive(Clone, PartialEq, Debug)]
pub struct Drafted {
    /// The block's finished outline.
    pub outline: Polygon,
    /// Vertices, edges and faces; face `i` is patch `i`.
    pub arrangement: Arrangement,
    /// For each patch, the name its draft gives it.
    pub spots: Vec<String>,
}

/// A block with everything that follows from its draft.
#[derive(Clone, PartialEq, Debug)]
pub struct Block {
    /// The line drawing.
    pub drafted: Drafted,
    /// How straight seams put it together, or what stands in the way; of a block pieced on
    /// foundations, section by section.
    pub joining: Joining,
    /// The fewest seams to draw in addition so that straight seams alone sew it; `None`
    /// where they do already, and where it was not looked for.
    pub repair: Option<Repair>,
    /// Its foundations, if the maker asks for them and straight seams put it together.
    pub foundation: Option<Founded>,
    /// One entry a patch, in the order of the drafted faces.
    pub patches: Vec<Patch>,
    /// The distinct templates, lettered A, B, C… from the centre out.
    pub templates: Vec<Template>,
}

impl Block {
    /// Whether any patch is cut by this template (an index): of a block pieced on
    /// foundations only a section of a single patch is.
    #[must_use]
    pub fn cuts_by(&self, template: usize) -> bool {
        let founded = self.foundation.as_ref();
        let rough = |patch: usize| founded.is_some_and(|f| f.piece(patch).is_some());
        let mut patches = self.patches.iter().enumerate();
        patches.any(|(index, patch)| patch.template == template && !rough(index))
    }

    /// What a patch is called: its piece on a foundation, `A2`, else its template's letter.
    #[must_use]
    pub fn called(&self, patch: usize) -> String {
        let founded = self.foundation.as_ref();
        match founded.and_then(|founded| Some((founded, founded.piece(patch)?))) {
            Some((founded, (kind, number))) => {
                format!("{}{number}", founded.kinds[kind].letter)
            }
            None => self.templates[self.patches[patch].template].letter.clone(),
        }
    }

    /// The templates patches are cut by, with their indices.
    pub fn cutting_templates(&self) -> impl Iterator<Item = (usize, &Template)> {
        let templates = self.templates.iter().enumerate();
        templates.filter(|(index, _)| self.cuts_by(*index))
    }
}

/// One patch of a block.
#[derive(Clone, PartialEq, Debug)]
pub struct Patch {
    /// Its finished outline in block coordinates, without straight corners.
    pub outline: Polygon,
    /// Index into the plan's places of this block; `None` while no place claims it.
    pub place: Option<usize>,
    /// Index into [`Block::templates`].
    pub template: usize,
    /// Takes the template's finished shape to this patch.
    pub from_template: Motion,
    /// Direction of the grain in the block, degrees clockwise from +x, 0 ≤ g < 180.
    pub grain: f64,
    /// Finished edges of this patch that lie on the bias (neither along nor across the
    /// grain), as indices of its outline's edges.
    pub bias: Vec<usize>,
}

/// One distinct shape to cut.
#[derive(Clone, PartialEq, Debug)]
pub struct Template {
    /// A, B, … Z, AA, AB, …; a mirrored partner has its own letter.
    pub letter: String,
    /// The finished shape, laid with its grain along the y axis where that is exact and
    /// its bounds starting at (0, 0).
    pub finished: Polygon,
    /// The template that is this one's mirror image, if both are used.
    pub mirror_of: Option<usize>,
    /// Whether the shape differs from its mirror image.
    pub one_handed: bool,
    /// Direction of the grain arrow on the template, degrees clockwise from +x.
    pub grain: f64,
    /// How many patches of one block it cuts.
    pub count: usize,
    /// The cut outline: seam allowance on every side, corners full. Inches, float; in
    /// the frame of `finished` (so it starts at negative coordinates).
    pub cut: Vec<[f64; 2]>,
    /// The cut outline with its ears trimmed to match the neighbours.
    pub trimmed: Vec<[f64; 2]>,
    /// The ruler recipe, where there is one.
    pub rotary: Option<Rotary>,
}

/// Drafts `plan` and works out everything that follows, with this seam allowance.
///
/// # Errors
///
/// Every [`DraftFault`] of the drawing, not only the first.
pub fn work_out(plan: &BlockPlan, seam: &Surd, ruler: &Ruler) -> Result<Block, Vec<DraftFault>> {
    let drafted = drafted(plan)?;
    Ok(worked(plan, drafted, seam, ruler))
}
