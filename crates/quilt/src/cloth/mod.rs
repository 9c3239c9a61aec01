//! Which cloth where: sorted by value, laid in ramps, told apart, scattered.
//!
//! 1. [`values`]: how light each cloth reads among the others, in any number of groups;
//! 2. [`contacts`](mod@contacts): which pieces of the top lie side by side;
//! 3. [`scatter`](mod@scatter): places filled from a pool, no like beside like;
//! 4. [`ramps`](mod@ramps): even runs along the arms of a block, matched round by round;
//! 5. [`contrast`]: seams along which neighbours blur;
//! 6. [`prints`]: the scale of prints, among themselves and in their patches;
//! 7. [`twins`](mod@twins): cloths that are probably on record twice.
//!
//! Colour is measured in floating point: nothing here decides a size.
//!
//! **Knows nothing of** photographs: what was measured of a cloth stands in the plan.

pub mod contacts;
pub mod contrast;
pub mod prints;
pub mod ramps;
pub mod scatter;
pub mod twins;
pub mod values;

pub use contacts::{Contact, Contacts, Lies, Piece, contacts};
pub use contrast::{Seam, seams};
pub use prints::Scale;
pub use ramps::{Ramped, Slot, Wanted, ramps};
pub use scatter::{Lot, Scattered, Short, scatter};
pub use twins::{Twins, twins};
pub use values::{Either, Group, Valued, Values};
