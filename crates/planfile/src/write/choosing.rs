//! How cloth is chosen, laid out as fields.

use quilt::plan::{BlockPlan, Choice, ChoosingPlan, ClothId, Each, Pin, PlacePlan, PoolPlan};
use toml_edit::{Array, InlineTable, Item, Table, Value};

use super::pen::{Pen, word};
use super::unseen;
use crate::read;

impl Pen<'_> {
    /// The groups by value.
    pub(super) fn values(&self) -> Table {
        let mut table = Table::new();
        let groups = self.plan.choosing.groups;
        let usual = groups == ChoosingPlan::default().groups;
        self.put(&mut table, "groups", i64::from(groups), usual);
        table
    }

    /// The pools.
    pub(super) fn pools(&self) -> Table {
        let mut pools = unseen();
        for pool in &self.plan.choosing.pools {
            pools.insert(&pool.name, Item::Table(self.pool(pool)));
        }
        pools
    }

    fn pool(&self, pool: &PoolPlan) -> Table {
        let mut table = Table::new();
        if let Some((key, value)) = self.choice(&pool.from) {
            table.insert(key, Item::Value(value));
        }
        let each = word(&read::EACH, pool.each);
        self.put(&mut table, "each", each, pool.each == Each::Patch);
        if !pool.counts.is_empty() {
            let counts = pool.counts.iter();
            let counts: InlineTable = counts
                .map(|&(cloth, count)| (self.cloth_key(cloth), Value::from(i64::from(count))))
                .collect();
            table.insert("counts", Item::Value(Value::InlineTable(counts)));
        }
        if !pool.pins.is_empty() {
            let pins: Array = pool.pins.iter().map(|pin| self.pin(pin)).collect();
            table.insert("pins", Item::Value(Value::Array(pins)));
        }
        self.put(&mut table, "seed", i64::from(pool.seed), pool.seed == 0);
        table
    }

    fn pin(&self, pin: &Pin) -> Value {
        let mut table = InlineTable::new();
        table.insert("row", (i64::from(pin.row) + 1).into());
        table.insert("column", (i64::from(pin.column) + 1).into());
        if pin.between {
            table.insert("between", true.into());
        }
        if let Some(patch) = pin.patch {
            table.insert("patch", (i64::from(patch) + 1).into());
        }
        table.insert("cloth", self.cloth_key(pin.cloth).into());
        Value::InlineTable(table)
    }

    /// Which cloths are meant: the field that says so, or none for all.
    pub(super) fn choice(&self, choice: &Choice) -> Option<(&'static str, Value)> {
        match choice {
            Choice::All => None,
            Choice::Cloths(cloths) => Some(("cloths", self.cloth_list(cloths))),
            Choice::Value(value) => Some(("value", word(&read::VALUES, *value).into())),
            Choice::Tag(tag) => Some(("tag", tag.as_str().into())),
        }
    }

    pub(super) fn cloth_list(&self, cloths: &[ClothId]) -> Value {
        Value::Array(cloths.iter().map(|id| self.cloth_key(*id)).collect())
    }

    /// The name of the pool that fills a place.
    pub(super) fn pool_of(&self, block: &BlockPlan, place: &PlacePlan) -> Option<&str> {
        let at = |name: &str| self.plan.blocks.iter().position(|b| b.name == name);
        let (id, index) = (
            at(&block.name)?,
            block.places.iter().position(|p| p.name == place.name)?,
        );
        let mut pools = self.plan.choosing.pools.iter();
        let pool = pools.find(|pool| pool.fills.iter().any(|f| (f.0.0, f.1) == (id, index)))?;
        Some(pool.name.as_str())
    }
}
