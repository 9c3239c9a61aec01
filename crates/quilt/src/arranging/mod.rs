//! Which arrangements of the blocks there are, and what the eye makes of each.
//!
//! With a block that has a right way up the turns *are* the design: where like colours
//! meet across the seams, figures appear that are larger than a block. Here are
//!
//! 1. [`pose`]: the turns and mirrorings of a block, and its own symmetry;
//! 2. [`catalogue`]: every distinct repeat of a block, none missed and none twice, and
//!    how many there must be by a formula that knows nothing of the list;
//! 3. [`wallpaper`]: the symmetry of a repeat, in plain words;
//! 4. [`motif`]: a block made ready so that a top is scored with whole numbers only;
//! 5. [`figures`]: connected shapes of like cloth on the top itself, whole and clipped;
//! 6. [`weight`]: which of them the eye takes as figure;
//! 7. [`choice`]: the settings in the order of the maker's question, by the trade's
//!    [names](named) where it has one;
//! 8. [`sizes`]: what a row more or another start would change;
//! 9. [`others`]: the plan's own setting beside the others.
//!
//! **Always holds.** Two patches belong together only if they share an edge: a point is
//! not enough. All counts are exact; floats measure only colour, and lengths for it.
//!
//! **Knows nothing of** sewing, cutting or buying.

pub mod catalogue;
pub mod choice;
mod edges;
pub mod figures;
mod joined;
pub mod likeness;
mod middle;
pub mod motif;
pub mod named;
pub mod others;
pub mod pose;
pub mod repeat;
pub mod says;
mod shape;
pub mod sizes;
mod stage;
pub mod wallpaper;
pub mod weight;

pub use joined::Reach;
pub use stage::{Arranging, plan_symmetry, work_out};
