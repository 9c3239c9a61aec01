//! How cloth is chosen, laid out as fields.

use quilt::plan::{
    BlockPlan, Choice, ChoosingPlan, ClothId, Each, Outward, Pin, PlacePlan, PoolPlan, RampPlan,
};
use toml_edit::{Array, InlineTable, Item, Table, Value};

use super::pen::{Pen, word};
use super::{figures, unseen};
use crate::{defaults, read};

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

    /// The ramps.
    pub(super) fn ramps(&self) -> Table {
        let mut ramps = unseen();
        for ramp in &self.plan.choosing.ramps {
            ramps.insert(&ramp.name, Item::Table(self.ramp(ramp)));
        }
        ramps
    }

    fn ramp(&self, ramp: &RampPlan) -> Table {
        let mut table = Table::new();
        let block = self.plan.blocks.get(ramp.block.0);
        let block = block.map_or("", |block| block.name.as_str());
        table.insert("block", Item::Value(block.into()));
        let arms: Array = ramp.arms.iter().map(String::as_str).collect();
        table.insert("arms", Item::Value(arms.into()));
        match ramp.from.as_slice() {
            [one] => {
                if let Some((key, value)) = self.choice(one) {
                    table.insert(key, Item::Value(value));
                }
            }
            each => self.each(each, &mut table),
        }
        let outward = word(&read::OUTWARD, ramp.outward);
        let paler = ramp.outward == Outward::Paler;
        self.put(&mut table, "outward", outward, paler);
        if let Some((dark, pale)) = &ramp.ends {
            let ends: Array = [dark, pale]
                .iter()
                .map(|l| figures::number(l, true))
                .collect();
            table.insert("ends", Item::Value(ends.into()));
        }
        let usual = ramp.step == defaults::ramp_step();
        self.put(&mut table, "step", figures::number(&ramp.step, true), usual);
        self.put(&mut table, "owned", ramp.owned, !ramp.owned);
        table
    }

    /// Cloths arm by arm: as tags where all are tags, else as the lists they come to.
    fn each(&self, each: &[Choice], table: &mut Table) {
        let tag = |choice: &Choice| match choice {
            Choice::Tag(tag) => Some(tag.clone()),
            _ => None,
        };
        let tags: Option<Array> = each
            .iter()
            .map(tag)
            .collect::<Option<Vec<String>>>()
            .map(|t| t.iter().map(String::as_str).collect());
        let (key, value) = match tags {
            Some(tags) => ("tags", Value::Array(tags)),
            None => {
                let lists = each.iter().map(|choice| {
                    let cloths = self.plan.cloths_from(choice);
                    self.cloth_list(&cloths)
                });
                ("cloths", Value::Array(lists.collect()))
            }
        };
        table.insert(key, Item::Value(value));
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
