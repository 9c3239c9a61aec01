//! The chapters of the booklet, in the order of the work.
//!
//! Each turns what was worked out into the data one template of `pages` sets:
//! strings written for the ruler, counts, and drawings hung in the gallery. A chapter
//! whose part of the work is not there is `null`, and its template sets nothing.

mod blocks;
mod cloths;
mod colouring;
mod cover;
mod cutting;
mod finishing;
mod setting;
mod sewing;
mod templates;
mod turns;

use std::sync::Arc;

use quilt::block::Block;
use quilt::plan::{BlockId, Plan};
use quilt::results::Results;
use serde_json::{Value, json};

use crate::gallery::Gallery;
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

/// The data of every chapter, by name.
pub(crate) fn data(desk: &mut Desk) -> Value {
    json!({
        "title": desk.plan.title,
        "lang": "en",
        "paper": desk.room.paper,
        "cover": cover::data(desk),
        "cloths": cloths::data(desk),
        "cutting": cutting::data(desk),
        "blocks": blocks::data(desk),
        "sewing": sewing::data(desk),
        "setting": setting::data(desk),
        "turns": turns::data(desk),
        "finishing": finishing::data(desk),
        "colouring": colouring::data(desk),
        "templates": templates::data(desk),
    })
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
