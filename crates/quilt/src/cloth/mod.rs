//! Which cloth where: sorted by value, laid in ramps, told apart, scattered.
//!
//! 1. [`values`]: how light each cloth reads among the others, in any number of groups;
//! 2. [`contacts`](mod@contacts): which pieces of the top lie side by side;
//! 3. [`scatter`](mod@scatter): places filled from a pool, no like beside like.
//!
//! Colour is measured in floating point: nothing here decides a size.
//!
//! **Knows nothing of** photographs: what was measured of a cloth stands in the plan.

pub mod contacts;
pub mod scatter;
pub mod values;

pub use contacts::{Contact, Contacts, Lies, Piece, contacts};
pub use scatter::{Lot, Scattered, Short, scatter};
pub use values::{Either, Group, Valued, Values};
