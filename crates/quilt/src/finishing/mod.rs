//! Backing, batting, binding, sleeve and thread: the sums after the top.
//!
//! **Units.** Inches, exact, but for thread, which is a forecast. Sizes a maker cuts are
//! left exact here; the ruler comes in `cutting`.
//!
//! **Knows nothing of** how the pieces lie on the cloth, or of quilting lines.

pub mod backing;
pub mod batting;
pub mod binding;
pub mod sleeve;
pub mod thread;

use geometry::Surd;

use crate::plan::{ClothId, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// Everything after the top.
#[derive(Clone, PartialEq, Debug)]
pub struct Finishing {
    /// The back.
    pub backing: Backing,
    /// The middle.
    pub batting: Batting,
    /// The edge.
    pub binding: Binding,
    /// The hanging sleeve, if wanted.
    pub sleeve: Option<Sleeve>,
    /// Thread.
    pub thread: Thread,
}

/// Which way the seams of a backing run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SeamsRun {
    /// One width is enough.
    None,
    /// Along the quilt's length.
    Upright,
    /// Across the quilt.
    Across,
}

/// One way to make a backing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BackingWay {
    /// Which way its seams run.
    pub seams: SeamsRun,
    /// How many lengths of cloth are joined.
    pub lengths: u32,
    /// How long each is, inches.
    pub length: Surd,
    /// Cloth used in all, inches: `lengths × length`.
    pub total: Surd,
}

/// The backing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Backing {
    /// Its cloth, when the plan says.
    pub cloth: Option<ClothId>,
    /// Width it must have, overage included, inches.
    pub width: Surd,
    /// Length it must have.
    pub height: Surd,
    /// Usable width of its cloth.
    pub cloth_width: Surd,
    /// The way that buys less.
    pub chosen: BackingWay,
    /// The other way.
    pub other: BackingWay,
    /// Length to buy, rounded up to the selling step, when the backing is bought by itself.
    pub buy: Surd,
}

/// The batting.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Batting {
    /// Width it must have, overage included, inches.
    pub width: Surd,
    /// Length it must have.
    pub height: Surd,
    /// The smallest usual package that holds it, turned if need be: trade name, width,
    /// length.
    pub package: Option<(&'static str, Surd, Surd)>,
}

/// The binding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Binding {
    /// Its cloth, when the plan says.
    pub cloth: Option<ClothId>,
    /// Length needed round the quilt with the plan's extra, inches.
    pub length: Surd,
    /// Cut width of the strips, inches.
    pub strip: Surd,
    /// Strips across the cloth for a straight binding, joins counted in; 0 for a bias one.
    pub strips: u32,
    /// Side of the square a bias binding is cut from, rounded up to the inch (in a plan
    /// in centimetres, to the centimetre); `None` for a straight one.
    pub bias_square: Option<Surd>,
}

/// A hanging sleeve.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sleeve {
    /// Cut depth of the strip.
    pub cut_depth: Surd,
    /// Cut length of the strip.
    pub cut_length: Surd,
}

/// Thread, a rough sum.
#[derive(Clone, PartialEq, Debug)]
pub struct Thread {
    /// Length of all piecing seams, inches.
    pub seam_length: f64,
    /// Thread for them, needle and bobbin together, inches, waste included.
    pub piecing: f64,
}

/// Works out everything after `top`.
#[must_use]
pub fn work_out(plan: &Plan, blocks: &Blocks, top: &Top) -> Finishing {
    Finishing {
        backing: backing::work_out(plan, top),
        batting: batting::work_out(plan, top),
        binding: binding::work_out(plan, top),
        sleeve: sleeve::work_out(plan, top),
        thread: thread::work_out(plan, blocks, top),
    }
}

/// Usable width of a cloth, or the plan's usual width where none is named.
fn cloth_width(plan: &Plan, cloth: Option<ClothId>) -> Surd {
    cloth
        .map_or(&plan.buying.width, |id| &plan.cloth(id).width)
        .clone()
}

/// The least n, at least 1, with n·`piece` − (n − 1)·`join` ≥ `needed`. A join that takes
/// a whole piece or more is counted as nought.
fn pieces_needed(needed: &Surd, piece: &Surd, join: &Surd) -> u32 {
    let join = if join < piece { join } else { &Surd::ZERO };
    let count = (needed - join)
        .checked_div(&(piece - join))
        .map_or(1, |n| n.ceil());
    u32::try_from(count.max(1)).unwrap_or(u32::MAX)
}
