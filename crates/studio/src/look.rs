//! The picture as the page draws it: outlines, cloths, and the words for each block.
//!
//! Only the blocks and the setting are worked out for it, so that it follows the hand; the
//! rest of the results come after. A change of cloth is told patch by patch, any other as
//! a whole new picture.
//!
//! **Frame.** Inches of the top, x right, y down. Patches are numbered as
//! [`picture::top_patches`] lists them: the parts of the top first, then block by block.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use geometry::Segment;
use picture::Item;
use quilt::block::Block;
use quilt::block::drafting::sound;
use quilt::plan::{BlockId, Cloth, ClothId, Edit, Plan};
use quilt::results::{self, Results};
use quilt::setting::{self, PlacedBlock, Top};
use serde_json::json;

use crate::store::PhotoLine;

/// One patch or part as it lies in the top.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Laid {
    pub(crate) ring: Vec<[f64; 2]>,
    pub(crate) cloth: Option<usize>,
    /// How far its cloth is turned, degrees.
    turn: f64,
}

/// What the picture shows.
#[derive(Clone, Debug)]
pub(crate) struct Look {
    pub(crate) laid: Results,
    pub(crate) items: Vec<Laid>,
    /// For each block of the top its first patch.
    firsts: Vec<usize>,
    /// Seams of half-drawn blocks that stop in the open, as they lie in the top.
    loose: Vec<[[f64; 2]; 2]>,
}

/// To what a patch of the picture belongs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Owner {
    /// A part between or around the blocks: index into `Top::parts`.
    Part(usize),
    /// A patch of a block: indices into `Top::blocks` and the block's patches.
    Patch(usize, usize),
}

impl Look {
    pub(crate) fn of(plan: &Plan, before: Option<&Results>) -> Self {
        let laid = results::laid_out(plan, before);
        let half = half_drawn(plan, &laid);
        let (laid, loose_of) = match &half {
            None => (laid, BTreeMap::new()),
            Some((whole, loose)) => (results::laid_out(whole, Some(&laid)), loose.clone()),
        };
        let mut loose = Vec::new();
        let mut items = Vec::new();
        let mut firsts = Vec::new();
        if let Some(top) = laid.top.as_deref() {
            items = picture::top_patches(plan, &laid.blocks, top)
                .into_iter()
                .filter_map(patch)
                .collect();
            let mut first = top.parts.len();
            for placed in &top.blocks {
                firsts.push(first);
                let block = laid.blocks.get(placed.block.0).and_then(Option::as_ref);
                first += block.map_or(0, |block| block.patches.len());
                let own = loose_of.get(&placed.block.0).into_iter().flatten();
                let lies = |p: &geometry::Point| placed.motion.apply(p).to_f64();
                loose.extend(own.map(|seam| [lies(&seam.a), lies(&seam.b)]));
            }
        }
        Self {
            laid,
            items,
            firsts,
            loose,
        }
    }

    /// Whether a block is half drawn, and the picture shows the patches there are.
    pub(crate) fn is_half_drawn(&self) -> bool {
        !self.loose.is_empty()
    }

    pub(crate) fn top(&self) -> Option<&Top> {
        self.laid.top.as_deref()
    }

    pub(crate) fn block(&self, placed: &PlacedBlock) -> Option<&Block> {
        self.laid.blocks.get(placed.block.0)?.as_deref()
    }

    /// To what this patch belongs.
    pub(crate) fn owner(&self, patch: usize) -> Option<Owner> {
        let parts = self.top()?.parts.len();
        if patch >= self.items.len() {
            None
        } else if patch < parts {
            Some(Owner::Part(patch))
        } else {
            let block = self.firsts.partition_point(|&first| first <= patch) - 1;
            Some(Owner::Patch(block, patch - self.firsts[block]))
        }
    }

    /// The patches of one block of the top.
    pub(crate) fn patches_of(&self, block: usize) -> std::ops::Range<usize> {
        let first = self.firsts.get(block).copied().unwrap_or(0);
        let next = self.firsts.get(block + 1).copied();
        first..next.unwrap_or(self.items.len())
    }

    /// The patches that look otherwise than in `other`, with their cloth; `None` where the
    /// outlines themselves differ.
    pub(crate) fn changed_since(&self, other: &Self) -> Option<Vec<(usize, Option<usize>)>> {
        let same_shape = self.items.len() == other.items.len()
            && self.loose == other.loose
            && self.firsts == other.firsts
            && self
                .items
                .iter()
                .zip(&other.items)
                .all(|(a, b)| a.ring == b.ring && a.turn == b.turn);
        let numbered = self.items.iter().zip(&other.items).enumerate();
        same_shape.then(|| {
            numbered
                .filter(|(_, (now, then))| now.cloth != then.cloth)
                .map(|(number, (now, _))| (number, now.cloth))
                .collect()
        })
    }

    /// The whole picture for the page: a length, that much JSON, then the patches.
    ///
    /// Little endian: `u32` bytes of JSON (padded with spaces to a multiple of four), the
    /// JSON, then for each patch `u16` cloth (65535: none), `u16` corners, `f32` turn and
    /// the corners as pairs of `f32` inches.
    pub(crate) fn bytes(&self, plan: &Plan, photos: &BTreeSet<i64>, turned: i64) -> Vec<u8> {
        let mut head = self.head(plan, photos, turned).to_string();
        while !head.len().is_multiple_of(4) {
            head.push(' ');
        }
        let mut out = Vec::with_capacity(head.len() + self.items.len() * 48);
        let length = u32::try_from(head.len()).unwrap_or(0);
        out.extend(length.to_le_bytes());
        out.extend(head.as_bytes());
        for item in &self.items {
            let cloth = item.cloth.and_then(|cloth| u16::try_from(cloth).ok());
            let corners = u16::try_from(item.ring.len()).unwrap_or(0);
            out.extend(cloth.unwrap_or(u16::MAX).to_le_bytes());
            out.extend(corners.to_le_bytes());
            out.extend(short(item.turn).to_le_bytes());
            for point in item.ring.iter().take(corners.into()) {
                for at in point {
                    out.extend(short(*at).to_le_bytes());
                }
            }
        }
        out
    }

    fn head(&self, plan: &Plan, photos: &BTreeSet<i64>, turned: i64) -> serde_json::Value {
        let cloths: Vec<_> = plan
            .cloths
            .iter()
            .map(|cloth| {
                json!({
                    "name": cloth.name,
                    "colour": hex(cloth.colour),
                    "second": hex(cloth.second),
                    "print": print_word(cloth.print),
                    "scale": cloth.scale.to_f64(),
                    "light": quilt::colour::lightness(cloth),
                    "photo": shown_by(cloth, photos),
                })
            })
            .collect();
        let top = self.top();
        let cells: Vec<_> = top.map_or_else(Vec::new, |top| {
            let places = top.blocks.iter().enumerate();
            places
                .map(|(index, placed)| {
                    let of = self.patches_of(index);
                    json!({
                        "says": self.says(plan, top, index),
                        "row": placed.row, "column": placed.column,
                        "between": placed.between,
                        "first": of.start, "count": of.len(),
                    })
                })
                .collect()
        });
        json!({
            "turned": turned,
            "width": top.map_or(1.0, |top| top.width.to_f64()),
            "height": top.map_or(1.0, |top| top.height.to_f64()),
            "patches": self.items.len(),
            "parts": top.map_or(0, |top| top.parts.len()),
            "cloths": cloths,
            "cells": cells,
            "loose": self.loose,
            "under": top.and_then(|top| under(plan, top)),
            "grow": setting::one_more(plan).map(|step| json!({
                "rows": plan.setting.rows, "columns": plan.setting.columns,
                "across": step[0].to_f64(), "down": step[1].to_f64(),
            })),
        })
    }

    /// A block of the top in words: where, what, how many patches, which cloths.
    pub(crate) fn says(&self, plan: &Plan, top: &Top, index: usize) -> String {
        let placed = &top.blocks[index];
        let of = plan.block(placed.block);
        let way = placed.colourway.and_then(|way| of.colourways.get(way));
        let range = self.patches_of(index);
        let count = range.len();
        let mut cloths: Vec<usize> = range.filter_map(|i| self.items[i].cloth).collect();
        cloths.sort_unstable();
        cloths.dedup();
        let mut says = format!(
            "Row {}, block {}{}: {}",
            placed.row + 1,
            placed.column + 1,
            if placed.between { ", between" } else { "" },
            of.name
        );
        // Writing to a String cannot fail.
        if let Some(way) = way {
            let _ = write!(says, " ({})", way.name);
        }
        let _ = write!(says, ", {count} patches, cloths");
        for cloth in cloths {
            let _ = write!(says, " {}", cloth + 1);
        }
        says + turned_words(placed.turn)
    }
}

/// The photograph that stands for a cloth: its number, how much cloth it shows from left to
/// right, and the repeat of its print across and down where that is known, inches. Without
/// a true size it cannot be drawn true.
fn shown_by(cloth: &Cloth, photos: &BTreeSet<i64>) -> Option<serde_json::Value> {
    let number = PhotoLine::number_in(cloth.record.photo.as_deref()?)?;
    let shows = cloth.record.shows.as_ref()?.to_f64();
    let measured = cloth.record.measured.as_ref();
    let repeat = measured
        .and_then(|found| found.repeat.as_ref())
        .map(|(across, down)| [across.to_f64(), down.to_f64()]);
    photos
        .contains(&number)
        .then(|| json!({ "number": number, "shows": shows, "repeat": repeat }))
}

/// The plan with every half-drawn block reduced to the patches it has already, and the
/// seams that are still loose; `None` where no block is half drawn.
fn half_drawn(plan: &Plan, laid: &Results) -> Option<(Plan, BTreeMap<usize, Vec<Segment>>)> {
    let mut whole = None;
    let mut loose = BTreeMap::new();
    for (index, block) in plan.blocks.iter().enumerate() {
        if laid.blocks.get(index).is_some_and(Option::is_some) {
            continue;
        }
        let Some(found) = sound::sound(block) else {
            continue;
        };
        let edit = Edit::SetBlock(BlockId(index), found.block);
        if let Ok(next) = whole.as_ref().unwrap_or(plan).with(&edit) {
            whole = Some(next);
            loose.insert(index, found.loose);
        }
    }
    Some((whole?, loose))
}

/// `, turned once` and so on; nothing for a block as drafted.
pub(crate) fn turned_words(turn: u8) -> &'static str {
    match turn % 4 {
        1 => ", turned a quarter to the right",
        2 => ", turned upside down",
        3 => ", turned a quarter to the left",
        _ => "",
    }
}

/// What lies under the top: left, top, width, height, inches.
fn under(plan: &Plan, top: &Top) -> Option<[f64; 4]> {
    let on = setting::on_bed(plan, top)?;
    Some(on.under.map(|length| length.to_f64()))
}

fn patch(item: Item) -> Option<Laid> {
    match item {
        Item::Cloth(shape) => Some(Laid {
            ring: shape.outline,
            cloth: Some(shape.cloth),
            turn: shape.lay.turn,
        }),
        // Bare paper.
        Item::Shape(mut shape) => Some(Laid {
            ring: shape.paths.pop()?.points,
            cloth: None,
            turn: 0.0,
        }),
        _ => None,
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more")]
fn short(x: f64) -> f32 {
    x as f32
}

pub(crate) fn hex(colour: quilt::plan::Colour) -> String {
    format!("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue)
}

pub(crate) fn print_word(print: quilt::plan::Print) -> &'static str {
    use quilt::plan::Print;
    match print {
        Print::Plain => "plain",
        Print::Stripe => "stripe",
        Print::Plaid => "plaid",
        Print::Dot => "dot",
        Print::Tonal => "tonal",
        Print::Leafy => "leafy",
    }
}

/// A cloth as it is called everywhere: its number and its name.
pub(crate) fn cloth_name(plan: &Plan, id: ClothId) -> String {
    format!("{} {}", id.0 + 1, plan.cloth(id).name)
}
