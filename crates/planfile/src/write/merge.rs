//! Carrying the differences of two laid-out plans into the maker's text.
//!
//! `before` and `after` are laid out alike, field for field. Where they agree, the
//! maker's text is not touched; where they differ, the value alone is exchanged and the
//! remark behind it stays.
//!
//! **Knows nothing of** what the fields mean, but for which groups are kept in order.

use toml_edit::{Array, ArrayOfTables, Item, Key, Table, TableLike, Value};

/// The two layouts, and the one without defaults that new groups are taken from.
struct Change<'c> {
    before: &'c dyn TableLike,
    after: &'c dyn TableLike,
    brief: Option<&'c dyn TableLike>,
    /// Whether values that agree are carried over too, because the unit has changed.
    all: bool,
}

/// Brings `maker` from `before` to `after`.
pub(super) fn merge(maker: &mut Table, before: &Table, after: &Table, brief: &Table, all: bool) {
    let change = Change {
        before,
        after,
        brief: Some(brief),
        all,
    };
    merge_table(maker, &change, &mut Vec::new());
}

/// Groups whose order is part of the plan, by the path of headings that leads to them;
/// `*` stands for any name.
const ORDERED: [&[&str]; 6] = [
    &["small"],
    &["cloth"],
    &["block"],
    &["block", "*", "places"],
    &["block", "*", "colourway"],
    &["block", "*", "colourway", "*"],
];

fn is_ordered(path: &[String]) -> bool {
    ORDERED.iter().any(|pattern| {
        let fits = |(want, have): (&&str, &String)| *want == "*" || want == have;
        pattern.len() == path.len() && pattern.iter().zip(path).all(fits)
    })
}

fn merge_table(maker: &mut Table, change: &Change, path: &mut Vec<String>) {
    let renamed = if is_ordered(path) {
        rename(maker, change)
    } else {
        Vec::new()
    };
    merge_fields(maker, change, &renamed, path);
    if is_ordered(path) {
        reorder(maker, change.after);
    }
}

fn merge_fields(
    maker: &mut dyn TableLike,
    change: &Change,
    renamed: &[(String, String)],
    path: &mut Vec<String>,
) {
    for key in keys(change.before) {
        if change.after.get(&key).is_none() {
            maker.remove(&key);
        }
    }
    for key in keys(change.after) {
        let Some(after) = change.after.get(&key) else {
            continue;
        };
        let old = renamed
            .iter()
            .find(|(_, new)| *new == key)
            .map_or(&key, |(old, _)| old);
        let before = change.before.get(old);
        if !change.all && before.is_some_and(|before| alike(before, after)) {
            continue;
        }
        let brief = change.brief.and_then(|brief| brief.get(&key));
        path.push(key.clone());
        merge_field(maker, &key, (before, after, brief), change, path);
        path.pop();
    }
}

/// One field that differs: its value before (if it was there), after, and as it would
/// be written afresh (if it would be written at all).
fn merge_field(
    maker: &mut dyn TableLike,
    key: &str,
    (before, after, brief): (Option<&Item>, &Item, Option<&Item>),
    change: &Change,
    path: &mut Vec<String>,
) {
    let group = after.as_table_like();
    let Some(own) = maker.get_mut(key).filter(|item| !item.is_none()) else {
        // Not in the maker's file. What would be left out of a fresh one is at its
        // default, and reads so.
        if let Some(item) = brief {
            maker.insert(key, item.clone());
        }
        return;
    };
    if let (Some(before), Some(after)) = (before.and_then(Item::as_table_like), group) {
        let brief = brief.and_then(Item::as_table_like);
        let change = Change {
            before,
            after,
            brief,
            all: change.all,
        };
        match own {
            Item::Table(table) => return merge_table(table, &change, path),
            Item::Value(Value::InlineTable(table)) => {
                return merge_fields(table, &change, &[], path);
            }
            _ => {}
        }
    }
    match (own, before, after) {
        (
            Item::ArrayOfTables(own),
            Some(Item::ArrayOfTables(before)),
            Item::ArrayOfTables(after),
        ) => {
            let brief = brief.and_then(Item::as_array_of_tables);
            merge_tables(own, (before, after, brief), change.all, path);
        }
        (Item::Value(Value::Array(own)), Some(before), Item::Value(Value::Array(after)))
            if before
                .as_array()
                .is_some_and(|before| before.len() == own.len()) =>
        {
            if let Some(before) = before.as_array() {
                merge_array(own, before, after);
            }
        }
        (Item::Value(own), _, Item::Value(after)) => replace(own, after),
        (own, _, after) => *own = brief.unwrap_or(after).clone(),
    }
}

/// Exchanges a value; the blanks before it and the remark behind it stay.
fn replace(own: &mut Value, after: &Value) {
    if own.as_str().is_some() && own.as_str() == after.as_str() {
        return;
    }
    let decor = own.decor().clone();
    *own = after.clone();
    *own.decor_mut() = decor;
}

/// How many entries two lists have in common at their beginnings and at their ends.
fn common(lengths: (usize, usize), alike: impl Fn(usize, usize) -> bool) -> (usize, usize) {
    let (a, b) = lengths;
    let head = (0..a.min(b)).take_while(|&i| alike(i, i)).count();
    let tail = (1..=a.min(b) - head)
        .take_while(|&i| alike(a - i, b - i))
        .count();
    (head, tail)
}

/// Brings a list entry by entry to its new state; entries that stay keep their remarks.
fn merge_array(own: &mut Array, before: &Array, after: &Array) {
    let same = |i: usize, j: usize| match (before.get(i), after.get(j)) {
        (Some(a), Some(b)) => alike_values(a, b),
        _ => false,
    };
    let (head, tail) = common((before.len(), after.len()), same);
    let (old_end, new_end) = (before.len() - tail, after.len() - tail);
    for i in head..new_end.max(old_end) {
        match (i < old_end, i < new_end) {
            (true, true) => {
                if let (Some(own), Some(after)) = (own.get_mut(i), after.get(i)) {
                    replace(own, after);
                }
            }
            // What is left over lies at `new_end` again and again.
            (true, false) => drop(own.remove(new_end)),
            (false, _) => {
                if let Some(after) = after.get(i) {
                    let mut value = after.clone();
                    if let Some(like) = own.get(i.saturating_sub(1)) {
                        let blanks = like.decor().prefix().cloned().unwrap_or_default();
                        value.decor_mut().set_prefix(blanks);
                    }
                    own.insert_formatted(i, value);
                }
            }
        }
    }
}

/// Brings borders one by one to their new state.
fn merge_tables(
    own: &mut ArrayOfTables,
    (before, after, brief): (&ArrayOfTables, &ArrayOfTables, Option<&ArrayOfTables>),
    all: bool,
    path: &mut Vec<String>,
) {
    let same = |i: usize, j: usize| match (before.get(i), after.get(j)) {
        (Some(a), Some(b)) => !all && alike_tables(a, b),
        _ => false,
    };
    let (head, tail) = common((before.len(), after.len()), same);
    let (old_end, new_end) = (before.len() - tail, after.len() - tail);
    for i in head..new_end.max(old_end) {
        let short = brief.and_then(|brief| brief.get(i));
        match (i < old_end, i < new_end) {
            (true, true) => {
                let (Some(own), Some(before), Some(after)) =
                    (own.get_mut(i), before.get(i), after.get(i))
                else {
                    continue;
                };
                let brief = short.map(|table| table as &dyn TableLike);
                merge_table(
                    own,
                    &Change {
                        before,
                        after,
                        brief,
                        all,
                    },
                    path,
                );
            }
            (true, false) => drop(own.remove(new_end)),
            (false, _) => {
                if let Some(table) = short.or_else(|| after.get(i)) {
                    own.insert(i, table.clone());
                }
            }
        }
    }
}

/// A group whose name alone has changed, at the same place in the order, is renamed
/// rather than written anew, so that its remarks stay. Gives old and new names.
fn rename(maker: &mut Table, change: &Change) -> Vec<(String, String)> {
    let (before, after) = (keys(change.before), keys(change.after));
    let mut renames = Vec::new();
    if before.len() != after.len() {
        return renames;
    }
    for (old, new) in before.iter().zip(&after) {
        let gone = change.after.get(old).is_none();
        let fresh = change.before.get(new).is_none() && !maker.contains_key(new);
        if old != new && gone && fresh && maker.contains_key(old) {
            for key in keys(maker) {
                let Some((name, item)) = maker.remove_entry(&key) else {
                    continue;
                };
                let name = if key == *old {
                    renamed(&name, new)
                } else {
                    name
                };
                maker.insert_formatted(&name, item);
            }
            renames.push((old.clone(), new.clone()));
        }
    }
    renames
}

fn renamed(old: &Key, new: &str) -> Key {
    Key::new(new)
        .with_leaf_decor(old.leaf_decor().clone())
        .with_dotted_decor(old.dotted_decor().clone())
}

/// Puts the fields of a group into the order of the plan, if they are not. Headings go
/// with the remarks above them.
fn reorder(maker: &mut Table, after: &dyn TableLike) {
    let wanted = keys(after);
    let place = |key: &str| wanted.iter().position(|w| w == key).unwrap_or(usize::MAX);
    let mut found = keys(maker);
    if found.is_sorted_by_key(|key| place(key)) {
        return;
    }
    found.sort_by_key(|key| place(key));
    for key in found {
        let Some((name, mut item)) = maker.remove_entry(&key) else {
            continue;
        };
        unplace(&mut item);
        maker.insert_formatted(&name, item);
    }
}

/// Forgets where in the file these headings stood, so that they follow one another.
fn unplace(item: &mut Item) {
    let Item::Table(table) = item else { return };
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        unplace(item);
    }
}

fn keys(table: &dyn TableLike) -> Vec<String> {
    table.iter().map(|(key, _)| key.to_owned()).collect()
}

fn alike(a: &Item, b: &Item) -> bool {
    match (a, b) {
        (Item::Value(a), Item::Value(b)) => alike_values(a, b),
        (Item::ArrayOfTables(a), Item::ArrayOfTables(b)) => {
            a.len() == b.len() && a.iter().zip(b.iter()).all(|(a, b)| alike_tables(a, b))
        }
        (Item::Table(a), Item::Table(b)) => alike_tables(a, b),
        _ => false,
    }
}

/// The same fields in the same order.
fn alike_tables(a: &dyn TableLike, b: &dyn TableLike) -> bool {
    let pairs = a.iter().zip(b.iter());
    a.len() == b.len() && { pairs }.all(|((k, a), (l, b))| k == l && alike(a, b))
}

fn alike_values(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b.iter()).all(|(a, b)| alike_values(a, b))
        }
        (Value::InlineTable(a), Value::InlineTable(b)) => alike_tables(a, b),
        (Value::String(a), Value::String(b)) => a.value() == b.value(),
        (Value::Integer(a), Value::Integer(b)) => a.value() == b.value(),
        (Value::Boolean(a), Value::Boolean(b)) => a.value() == b.value(),
        _ => false,
    }
}
