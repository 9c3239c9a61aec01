//! The craft of piecing a quilt, as pure functions.
//!
//! A [`Plan`](plan::Plan) holds what the maker decided. [`work_out`](results::work_out)
//! turns it into everything that follows. Nothing here reads a file, a clock or the
//! network, and nothing here is a file format.
//!
//! In the order a quilt is made:
//!
//! 1. [`block`] drafts each block into finished patches, groups them into templates,
//!    chooses their grain and says how to cut them with a ruler.
//! 2. [`setting`] places blocks, sashing, setting triangles and borders to make the top.
//! 3. [`cloth`] sorts the cloths by value, lays them in ramps and scatters them.
//! 4. [`arranging`] sees what figures and what symmetry the turns of the blocks make.
//! 5. [`sewing`] finds the order of seams in each block and from the blocks to the top.
//! 6. [`finishing`] adds backing, batting, binding and the hanging sleeve.
//! 7. [`cutting`] turns all of that into pieces of cloth, cuts, and what to buy.
//! 8. [`making`] chooses among the ways in which the same unit can be made, and has the
//!    cloth cut accordingly.
//!
//! A stage may use the ones above it, never the ones below; the tidy test checks.
//! [`findings`] say what the maker should look at, and the way out. [`measure`] holds
//! rulers, rounding and how a length is spoken; [`colour`] how light a colour is.
//!
//! **Frame.** Lengths are inches, exact ([`geometry::Surd`]), whatever unit the plan
//! is written in. x runs right, y runs down the page; a positive turn is clockwise.

pub mod arranging;
pub mod block;
pub mod cloth;
pub mod colour;
pub mod cutting;

pub mod findings;
pub mod finishing;
pub mod making;
pub mod measure;
pub mod plan;

pub mod results;
pub mod setting;
pub mod sewing;
