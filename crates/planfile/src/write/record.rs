//! What else is on record of a cloth, written as it is read.

use geometry::Surd;
use quilt::plan::{Measured, Record};
use toml_edit::{Array, InlineTable, Item, Table, Value};

use super::figures;
use super::pen::{Pen, word};
use crate::read;

impl Pen<'_> {
    /// Adds the fields that tell what else is known of a cloth.
    pub(super) fn record(&self, table: &mut Table, record: &Record) {
        if let Some(photo) = &record.photo {
            table.insert("photo", Item::Value(photo.as_str().into()));
        }
        if let Some(shows) = &record.shows {
            table.insert("shows", Item::Value(self.length(shows).into()));
        }
        let empty = record.shop.is_empty();
        self.put(table, "shop", record.shop.as_str(), empty);
        if let Some(washed) = record.washed {
            table.insert("washed", Item::Value(washed.into()));
        }
        if !record.tags.is_empty() {
            let tags: Array = record.tags.iter().map(String::as_str).collect();
            table.insert("tags", Item::Value(tags.into()));
        }
        if let Some(measured) = &record.measured {
            let measured = self.measured(measured);
            table.insert("measured", Item::Value(Value::InlineTable(measured)));
        }
    }

    fn measured(&self, measured: &Measured) -> InlineTable {
        let mut table = InlineTable::new();
        let lab: Array = measured.lab.iter().map(plain).collect();
        table.insert("lab", lab.into());
        if let Some(spread) = &measured.spread {
            table.insert("spread", plain(spread));
        }
        if let Some(busy) = &measured.busy {
            table.insert("busy", plain(busy));
        }
        if let Some(scale) = &measured.scale {
            table.insert("scale", self.length(scale).into());
        }
        if let Some((across, along)) = &measured.repeat {
            table.insert("repeat", self.size(across, along).into());
        }
        if let Some(direction) = measured.direction {
            table.insert("direction", word(&read::DIRECTIONS, direction).into());
        }
        if let Some(print) = measured.print {
            table.insert("print", word(&read::PRINTS, print).into());
        }
        table
    }
}

/// A plain number as a text; exact whatever it is.
fn plain(value: &Surd) -> Value {
    figures::number(value, true).into()
}
