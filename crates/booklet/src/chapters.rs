//! The chapters of the booklet, in the order of the work.
//!
//! Each turns what was worked out into the data one template of `pages` sets:
//! strings written for the ruler, counts, and drawings hung in the gallery. A chapter
//! whose part of the work is not there is `null`, and its template sets nothing.

mod blocks;
mod choosing;
mod cloths;
mod colouring;
mod cover;
mod cutting;
mod finishing;
mod foundations;
mod setting;
mod sewing;
mod templates;
mod turns;

use std::ops::ControlFlow;
use std::sync::Arc;

use quilt::block::Block;
use quilt::plan::{BlockId, Plan};
use quilt::results::Results;
use serde_json::{Map, Value};

use crate::gallery::Gallery;
use crate::parts::{Part, Parts};
use crate::room::Room;

/// What every chapter is written from, and where its drawings go.
pub(crate) struct Desk<'a> {
    /// What the maker decided.
    pub(crate) plan: &'a Plan,
    /// What follows from it.
    pub(crate) results: &'a Results,
    /// The drawings.
    pub(crate) gallery: Gallery,
    /// The page.
    pub(crate) room: Room,
}

/// Writes one chapter.
type Write = fn(&mut Desk) -> Value;

/// Every chapter in the order of the work: its name, the part it belongs to, how it is
/// written. The cover belongs to none and is always there.
const CHAPTERS: [(&str, Option<Part>, Write); 12] = [
    ("cover", None, cover::data),
    ("cloths", Some(Part::Cloth), cloths::data),
    ("choosing", Some(Part::Choosing), choosing::data),
    ("cutting", Some(Part::Cutting), cutting::data),
    ("blocks", Some(Part::Blocks), blocks::data),
    ("sewing", Some(Part::Sewing), sewing::data),
    ("setting", Some(Part::Setting), setting::data),
    ("turns", Some(Part::Turns), turns::data),
    ("finishing", Some(Part::Finishing), finishing::data),
    ("colouring", Some(Part::Colouring), colouring::data),
    ("templates", Some(Part::Templates), templates::data),
    ("foundations", Some(Part::Templates), foundations::data),
];

/// The data of every chapter the maker wants, by name; `None` if `watch` says stop.
/// `watch` is told how many chapters of how many are written.
pub(crate) fn data(
    desk: &mut Desk,
    parts: &Parts,
    watch: &dyn Fn(usize, usize) -> ControlFlow<()>,
) -> Option<Value> {
    let mut data = Map::new();
    data.insert("title".into(), desk.plan.title.clone().into());
    data.insert("lang".into(), "en".into());
    data.insert("paper".into(), desk.room.paper.into());
    for (done, (name, part, write)) in CHAPTERS.into_iter().enumerate() {
        if watch(done, CHAPTERS.len()).is_break() {
            return None;
        }
        let wanted = part.is_none_or(|part| parts.has(part));
        let chapter = if wanted { write(desk) } else { Value::Null };
        data.insert(name.into(), chapter);
    }
    Some(data.into())
}

/// A block the quilt uses.
pub(crate) struct Used {
    /// Which.
    pub(crate) id: BlockId,
    /// What was worked out for it.
    pub(crate) block: Arc<Block>,
    /// How many of it the setting lays.
    pub(crate) copies: usize,
}

impl Desk<'_> {
    /// The blocks the setting uses, in the plan's order; every block while there is no
    /// setting.
    pub(crate) fn blocks(&self) -> Vec<Used> {
        let top = self.results.top.as_deref();
        let copies = |id: BlockId| {
            top.map_or(1, |top| {
                top.blocks
                    .iter()
                    .filter(|placed| placed.block == id)
                    .count()
            })
        };
        let blocks = self.results.blocks.iter().enumerate();
        blocks
            .filter_map(|(i, block)| {
                let id = BlockId(i);
                let used = Used {
                    id,
                    block: Arc::clone(block.as_ref()?),
                    copies: copies(id),
                };
                (used.copies > 0).then_some(used)
            })
            .collect()
    }
}
