//! What the maker owns of a cloth, written as it is read.

use geometry::Surd;
use quilt::measure::Measure;
use quilt::plan::{Owned, OwnedKind, Supply};
use toml_edit::{Array, Item, Table};

use super::figures;
use super::pen::Pen;
use crate::read::usual_size;

impl Pen<'_> {
    /// Adds the fields that tell what there is of a cloth.
    pub(super) fn supply(&self, table: &mut Table, supply: &Supply) {
        if !supply.owned.is_empty() {
            let owned: Array = supply.owned.iter().map(|owned| self.owned(owned)).collect();
            table.insert("owned", Item::Value(owned.into()));
        }
        self.put(table, "sold", supply.sold, supply.sold);
        if let Some(price) = &supply.price {
            table.insert("price", Item::Value(figures::number(price, true).into()));
        }
        if !supply.widths.is_empty() {
            let widths = supply.widths.iter().map(|sold| match &sold.price {
                Some(price) => format!(
                    "{} at {}",
                    self.length(&sold.width),
                    figures::number(price, true)
                ),
                None => self.length(&sold.width),
            });
            let widths: Array = widths.collect();
            table.insert("widths", Item::Value(widths.into()));
        }
    }

    fn owned(&self, owned: &Owned) -> String {
        let across = owned.across.as_ref();
        let size = match (owned.kind, across) {
            (OwnedKind::Length, _) => self.owned_length(&owned.along),
            _ if usual_size(self.plan.measure, owned.kind)
                .is_some_and(|usual| usual == (owned.across.clone(), owned.along.clone())) =>
            {
                String::new()
            }
            (_, None) => self.length(&owned.along),
            (OwnedKind::Squares, Some(across)) if *across == owned.along => {
                self.length(&owned.along)
            }
            (OwnedKind::FatQuarter | OwnedKind::FatEighth | OwnedKind::Strips, Some(across)) => {
                self.both(&owned.along, across)
            }
            (_, Some(across)) => self.both(across, &owned.along),
        };
        let many = owned.count > 1;
        let word = match owned.kind {
            OwnedKind::FatQuarter if many => "fat quarters",
            OwnedKind::FatQuarter => "fat quarter",
            OwnedKind::FatEighth if many => "fat eighths",
            OwnedKind::FatEighth => "fat eighth",
            OwnedKind::Strips if many => "strips",
            OwnedKind::Strips => "strip",
            OwnedKind::Squares if many => "squares",
            OwnedKind::Squares => "square",
            OwnedKind::Piece if many => "pieces",
            OwnedKind::Length if many => "lengths",
            OwnedKind::Piece | OwnedKind::Length => "",
        };
        let count = if many {
            owned.count.to_string()
        } else {
            String::new()
        };
        let words = [count.as_str(), word, size.as_str()];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        words.join(" ")
    }

    fn both(&self, first: &Surd, second: &Surd) -> String {
        format!("{} x {}", self.length(first), self.length(second))
    }

    /// A length of cloth, in yards where it is a neat share of one.
    fn owned_length(&self, along: &Surd) -> String {
        let yards = along.over(36);
        match yards.as_ratio() {
            Some((_, d)) if self.plan.measure == Measure::Inch && d <= 8 => {
                format!("{} yd", figures::number(&yards, false))
            }
            _ => self.length(along),
        }
    }
}
