//! How cloth is chosen: `[values]`, `[pool.name]` and `[ramp.name]`.
//!
//! A place says which pool fills it; see [`block`](super::block).

use geometry::Surd;
use quilt::plan::{
    BlockId, Choice, ChoosingPlan, Cloth, ClothId, Each, Outward, Pin, PoolPlan, RampPlan,
};

use super::cloth::VALUES;
use super::finishing::optional;
use super::record::number;
use crate::desk::{Body, Desk, Field, Section, join};
use crate::{defaults, near};

/// Most groups by value; a teacher's scale has seven.
const MOST_GROUPS: u32 = 9;

/// Most pools of a plan, cloths laid by hand in one, and copies of one cloth.
const MOST_POOLS: usize = 100;
const MOST_PINS: usize = 5000;
const MOST_COPIES: u32 = 100_000;

/// Most ramps of a plan, and arms of one.
const MOST_RAMPS: usize = 100;
const MOST_ARMS: usize = 12;

pub(crate) const OUTWARD: [(&str, Outward); 2] =
    [("paler", Outward::Paler), ("deeper", Outward::Deeper)];

pub(crate) const EACH: [(&str, Each); 2] = [("patch", Each::Patch), ("block", Each::Block)];

/// Tells the desk the names of the pools, so that places can name them.
pub(super) fn names(desk: &mut Desk, root: &Section) {
    if let Some(Body::Table(table)) = root.get("pool").map(|field| field.body) {
        desk.pools = table.iter().map(|(key, _)| key.to_owned()).collect();
    }
}

/// Reads how cloth is chosen.
pub(super) fn choosing(desk: &mut Desk, root: &Section, cloths: &[Cloth]) -> Option<ChoosingPlan> {
    let empty = toml_edit::Table::new();
    let values = optional(desk, root, "values", &empty)?;
    desk.only(&values, &["groups"]);
    let usual = ChoosingPlan::default();
    let groups = desk.or(&values, "groups", usual.groups, |d, f| {
        d.count(f, 2..=MOST_GROUPS)
    });
    let pools = pools(desk, root, cloths);
    let ramps = ramps(desk, root, cloths);
    Some(ChoosingPlan {
        groups: groups?,
        pools: pools?,
        ramps: ramps?,
    })
}

fn pools(desk: &mut Desk, root: &Section, cloths: &[Cloth]) -> Option<Vec<PoolPlan>> {
    let mend = "A pool begins with a heading: [pool.lights].";
    let Some(field) = root.get("pool") else {
        return Some(Vec::new());
    };
    let fields = desk.section(&field, mend)?.fields();
    if fields.len() > MOST_POOLS {
        let text = format!("There are more than {MOST_POOLS} pools.");
        return desk.fault(&field, text, "Let several places share a pool.");
    }
    let read: Vec<Option<PoolPlan>> = (0..)
        .zip(&fields)
        .map(|(index, (name, field))| pool(desk, index, name, field, cloths))
        .collect();
    read.into_iter().collect()
}

fn pool(
    desk: &mut Desk,
    index: usize,
    name: &str,
    field: &Field,
    cloths: &[Cloth],
) -> Option<PoolPlan> {
    let name = desk.good_key(field, name, "The name of this pool");
    let section = desk.section(field, "Give the pool its own heading: [pool.lights].")?;
    desk.only(
        &section,
        &["cloths", "value", "tag", "each", "counts", "pins", "seed"],
    );
    let from = choice(desk, &section, cloths);
    let each = desk.or(&section, "each", Each::Patch, |d, f| d.choice(f, &EACH));
    let counts = desk.or(&section, "counts", Vec::new(), counts);
    let pins = desk.or(&section, "pins", Vec::new(), pins);
    if let (Some(Choice::Cloths(list)), Some(counted), Some(field)) =
        (&from, &counts, section.get("counts"))
        && let Some((other, _)) = counted.iter().find(|(cloth, _)| !list.contains(cloth))
    {
        let key = cloths.get(other.0).map_or("", |cloth| cloth.key.as_str());
        let text = format!("“{key}” is counted but is not in this pool.");
        return desk.fault(&field, text, "Add it to cloths, or take its count out.");
    }
    let seed = desk.or(&section, "seed", 0, |d, f| d.count(f, 0..=999_999));
    let fills = desk.fills.iter().filter(|(pool, ..)| *pool == index);
    let fills = fills.map(|&(_, block, place)| (block, place)).collect();
    Some(PoolPlan {
        name: name?,
        from: from?,
        each: each?,
        counts: counts?,
        pins: pins?,
        seed: seed?,
        fills,
    })
}

/// Which cloths are meant: by `cloths`, `value` or `tag`; all without any of them.
pub(super) fn choice(desk: &mut Desk, section: &Section, cloths: &[Cloth]) -> Option<Choice> {
    let ways = ["cloths", "value", "tag"];
    let given: Vec<Field> = ways.iter().filter_map(|key| section.get(key)).collect();
    if let [_, second, ..] = given.as_slice() {
        let text = "The cloths are told in two ways.";
        return desk.fault(second, text, "Keep one of cloths, value and tag.");
    }
    let Some(field) = given.first() else {
        return Some(Choice::All);
    };
    if section.get("cloths").is_some() {
        return Some(Choice::Cloths(named(desk, field)?));
    }
    if section.get("value").is_some() {
        return Some(Choice::Value(desk.choice(field, &VALUES)?));
    }
    tag(desk, field, cloths)
}

/// The cloths that carry a tag.
pub(super) fn tag(desk: &mut Desk, field: &Field, cloths: &[Cloth]) -> Option<Choice> {
    let tag = desk.name(field, "A tag")?;
    if cloths.iter().any(|cloth| cloth.record.tags.contains(&tag)) {
        return Some(Choice::Tag(tag));
    }
    let mend = format!("Give the cloths you mean tags = [\"{tag}\"].");
    desk.fault(field, format!("No cloth carries the tag “{tag}”."), mend)
}

/// A list of cloths, each once.
pub(super) fn named(desk: &mut Desk, field: &Field) -> Option<Vec<ClothId>> {
    let mut cloths = Vec::new();
    for entry in &desk.list(field) {
        let cloth = desk.cloth(entry)?;
        if cloths.contains(&cloth) {
            return desk.fault(entry, "This cloth is in the list already.", "Take one out.");
        }
        cloths.push(cloth);
    }
    if cloths.is_empty() {
        return desk.fault(
            field,
            "This list of cloths is empty.",
            "Name at least one cloth.",
        );
    }
    Some(cloths)
}

/// `counts = { navy = 12, rust = 9 }`.
fn counts(desk: &mut Desk, field: &Field) -> Option<Vec<(ClothId, u32)>> {
    let section = desk.section(field, "Write it like { navy = 12, rust = 9 }.")?;
    let mut counts = Vec::new();
    for (key, field) in section.fields() {
        let cloth = desk.cloth_called(&field, key);
        let count = desk.count(&field, 0..=MOST_COPIES);
        counts.push((cloth?, count?));
    }
    Some(counts)
}

/// `pins = [{ row = 2, column = 5, cloth = "navy" }]`.
fn pins(desk: &mut Desk, field: &Field) -> Option<Vec<Pin>> {
    let entries = desk.list(field);
    if entries.len() > MOST_PINS {
        let text = format!("There are more than {MOST_PINS} pins.");
        return desk.fault(field, text, "Give such places their own cloth.");
    }
    let mend = "Write it like { row = 2, column = 5, cloth = \"navy\" }.";
    let read: Vec<Option<Pin>> = entries
        .iter()
        .map(|entry| {
            let section = desk.section(entry, mend)?;
            desk.only(&section, &["row", "column", "between", "patch", "cloth"]);
            let place = |desk: &mut Desk, key| {
                let field = desk.need(&section, key, mend)?;
                Some(desk.count(&field, 1..=10_000)? - 1)
            };
            let (row, column) = (place(desk, "row"), place(desk, "column"));
            let between = desk.or(&section, "between", false, Desk::flag);
            let patch = desk.maybe(&section, "patch", |d, f| d.count(f, 1..=10_000));
            let cloth = desk.need(&section, "cloth", mend);
            let cloth = cloth.and_then(|field| desk.cloth(&field));
            Some(Pin {
                row: row?,
                column: column?,
                between: between?,
                patch: patch?.map(|patch| patch - 1),
                cloth: cloth?,
            })
        })
        .collect();
    read.into_iter().collect()
}

fn ramps(desk: &mut Desk, root: &Section, cloths: &[Cloth]) -> Option<Vec<RampPlan>> {
    let mend = "A ramp begins with a heading: [ramp.arms].";
    let Some(field) = root.get("ramp") else {
        return Some(Vec::new());
    };
    let fields = desk.section(&field, mend)?.fields();
    if fields.len() > MOST_RAMPS {
        let text = format!("There are more than {MOST_RAMPS} ramps.");
        return desk.fault(&field, text, "Take out those that are not used.");
    }
    let read: Vec<Option<RampPlan>> = fields
        .iter()
        .map(|(name, field)| ramp(desk, name, field, cloths))
        .collect();
    read.into_iter().collect()
}

fn ramp(desk: &mut Desk, name: &str, field: &Field, cloths: &[Cloth]) -> Option<RampPlan> {
    let name = desk.good_key(field, name, "The name of this ramp");
    let section = desk.section(field, "Give the ramp its own heading: [ramp.arms].")?;
    let known = [
        "block", "arms", "cloths", "value", "tag", "tags", "outward", "ends", "step", "owned",
    ];
    desk.only(&section, &known);
    let block = desk
        .need(&section, "block", "Name the block: block = \"Harbour\".")
        .and_then(|f| block(desk, &f));
    let arms = desk
        .need(
            &section,
            "arms",
            "Name the arms: arms = [\"arm 1\", \"arm 2\"].",
        )
        .and_then(|f| arms(desk, &f));
    let from = from(desk, &section, cloths, arms.as_ref().map(Vec::len));
    let outward = desk.or(&section, "outward", Outward::Paler, |d, f| {
        d.choice(f, &OUTWARD)
    });
    let ends = desk.maybe(&section, "ends", ends);
    let step = desk.or(&section, "step", defaults::ramp_step(), |d, f| {
        number(d, f, 0, 100)
    });
    let owned = desk.or(&section, "owned", false, Desk::flag);
    Some(RampPlan {
        name: name?,
        block: block?,
        arms: arms?,
        from: from?,
        outward: outward?,
        ends: ends?,
        step: step?,
        owned: owned?,
    })
}

fn block(desk: &mut Desk, field: &Field) -> Option<BlockId> {
    let name = desk.text(field)?;
    let names: Vec<String> = desk.blocks.iter().map(|block| block.name.clone()).collect();
    if let Some(index) = names.iter().position(|known| known == name) {
        return Some(BlockId(index));
    }
    let mend = match near::nearest(name, &names) {
        Some(near) => format!("Did you mean “{near}”?"),
        None => format!("The blocks are: {}.", near::list(&names)),
    };
    desk.fault(field, "There is no block of this name in the plan.", mend)
}

fn arms(desk: &mut Desk, field: &Field) -> Option<Vec<String>> {
    let entries = desk.list(field);
    if entries.is_empty() || entries.len() > MOST_ARMS {
        let text = format!("A ramp has from 1 to {MOST_ARMS} arms.");
        return desk.fault(field, text, "Write their names: [\"arm 1\", \"arm 2\"].");
    }
    let mut arms: Vec<String> = Vec::new();
    for entry in &entries {
        let arm = desk.name(entry, "The name of an arm")?;
        if arms.contains(&arm) {
            return desk.fault(entry, format!("“{arm}” is here twice."), "Take one out.");
        }
        arms.push(arm);
    }
    Some(arms)
}

/// The cloths of a ramp: one list for all arms, or a list or a tag for each.
fn from(
    desk: &mut Desk,
    section: &Section,
    cloths: &[Cloth],
    arms: Option<usize>,
) -> Option<Vec<Choice>> {
    let each = |desk: &mut Desk, field: &Field, found: Vec<Choice>| match arms {
        Some(arms) if arms != found.len() => {
            let text = format!(
                "There are {arms} arms, and cloths for {} here.",
                found.len()
            );
            desk.fault(field, text, "Give each arm its own, or one for all.")
        }
        _ => Some(found),
    };
    if let Some(field) = section.get("tags") {
        if let Some(other) = ["cloths", "value", "tag"]
            .iter()
            .find_map(|k| section.get(k))
        {
            let text = "The cloths are told in two ways.";
            return desk.fault(&other, text, "Keep one of them.");
        }
        let entries = desk.list(&field);
        let found: Vec<Option<Choice>> = entries.iter().map(|e| tag(desk, e, cloths)).collect();
        let found: Option<Vec<Choice>> = found.into_iter().collect();
        return each(desk, &field, found?);
    }
    let lists = section.get("cloths").filter(|field| {
        let entries = desk.list(field);
        entries
            .iter()
            .any(|entry| matches!(entry.body, Body::List(_)))
    });
    if let Some(field) = lists {
        let entries = desk.list(&field);
        let found: Vec<Option<Choice>> = entries
            .iter()
            .map(|entry| Some(Choice::Cloths(named(desk, entry)?)))
            .collect();
        let found: Option<Vec<Choice>> = found.into_iter().collect();
        return each(desk, &field, found?);
    }
    Some(vec![choice(desk, section, cloths)?])
}

/// `ends = [20, 85]`: the darkest first.
fn ends(desk: &mut Desk, field: &Field) -> Option<(Surd, Surd)> {
    let entries = desk.list(field);
    let [dark, pale] = entries.as_slice() else {
        let mend = "Write L* of the darkest and of the palest: ends = [20, 85].";
        return desk.fault(field, "Two numbers are wanted here.", mend);
    };
    let (dark, pale) = (number(desk, dark, 0, 100), number(desk, pale, 0, 100));
    let (dark, pale) = (dark?, pale?);
    if dark > pale {
        let mend = "Write the darkest first; which way it runs is told by outward.";
        return desk.fault(field, "The first end is lighter than the second.", mend);
    }
    Some((dark, pale))
}

/// The path of a field of a pool, for troubles told from elsewhere.
pub(super) fn path(name: &str) -> String {
    join("pool", name)
}
