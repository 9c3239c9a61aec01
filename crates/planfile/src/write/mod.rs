//! From a plan to a file: fresh, or as a change to the maker's own text.
//!
//! A plan is first laid out as a table of fields in one fixed way ([`Pen`]); a fresh
//! file is that table without the fields that are at their defaults. A change compares
//! two such tables and carries only the differences into the maker's text ([`merge`]),
//! so that remarks, order and the maker's own ways of writing numbers stay.
//!
//! **What always holds.** [`write_change`] reads its own result back and compares it
//! with the plan it should hold before it gives it away.

mod block;
mod choosing;
mod figures;
mod merge;
mod pen;
mod record;
mod supply;

use quilt::plan::{Claim, Plan};
use toml_edit::{Document, DocumentMut, Table};

use crate::read::read;
use crate::trouble::Trouble;
use pen::{Hints, Pen};

/// How often the result of a change is looked at again. A change can shift a default
/// (another colour gives another second colour), which the next pass writes out.
const PASSES: usize = 4;

/// Writes a plan as the text of a fresh plan file.
///
/// Fields at their defaults are left out. Reading the text gives the plan back, as long
/// as the plan keeps to what the format can say (see `docs/plan-format.md`).
#[must_use]
pub fn write(plan: &Plan) -> String {
    let table = Pen::brief(plan, &Hints::default()).plan();
    DocumentMut::from(table).to_string()
}

/// Carries a change of plan into the maker's text.
///
/// - `text`: the file as it stands; it must hold `old`.
/// - `old`, `new`: the plan before and after.
///
/// Only the fields that differ are rewritten; remarks, blank lines and the order of
/// everything else stay as the maker left them. Reading the result gives `new`.
///
/// # Errors
///
/// A [`Trouble`] if the text cannot be read, if it does not hold `old` (someone else
/// changed the file), or if `new` has something in it that a plan file cannot say.
#[expect(
    clippy::result_large_err,
    reason = "asked once an edit; a trouble is plain data"
)]
pub fn write_change(text: &str, old: &Plan, new: &Plan) -> Result<String, Trouble> {
    let file = "the plan file";
    let whole = || Trouble::at(file, text, 0..0, "");
    let held = read(file, text).map_err(|mut troubles| match troubles.is_empty() {
        true => whole(),
        false => troubles.swap_remove(0),
    })?;
    if !same(&held, old) {
        let mend = "Open it again, and make the change to what it holds now.";
        return Err(whole().saying("The file has been changed since it was opened.", mend));
    }
    let result = merged(text, held, new).or_else(|| rewritten(text, new));
    result.ok_or_else(|| {
        let mend = "Use plain names, and lengths within the limits of the plan format.";
        whole().saying(
            "This plan has something in it that a plan file cannot say.",
            mend,
        )
    })
}

/// The maker's text with the differences carried in; `None` if that does not lead to
/// the new plan.
fn merged(text: &str, mut held: Plan, new: &Plan) -> Option<String> {
    let mut text = text.to_owned();
    for _ in 0..PASSES {
        let mut document = Document::parse(text).ok()?.into_mut();
        let hints = Hints::of(document.as_table());
        let before = Pen::full(&held, &hints).plan();
        let hints = hints.carried(&held, new);
        let after = Pen::full(new, &hints).plan();
        let brief = Pen::brief(new, &hints).plan();
        let all = held.measure != new.measure;
        merge::merge(document.as_table_mut(), &before, &after, &brief, all);
        text = document.to_string();
        held = read("", &text).ok()?;
        if same(&held, new) {
            return Some(text);
        }
    }
    None
}

/// A fresh file under the remarks the maker's file begins with; `None` if even that
/// does not hold the plan.
fn rewritten(text: &str, new: &Plan) -> Option<String> {
    let remark = |line: &&str| line.trim().is_empty() || line.trim_start().starts_with('#');
    let head: String = text
        .lines()
        .take_while(remark)
        .flat_map(|l| [l, "\n"])
        .collect();
    let text = head + &write(new);
    read("", &text)
        .is_ok_and(|held| same(&held, new))
        .then_some(text)
}

/// Whether two plans say the same. A file lists the patches of a place first by name,
/// then by point; their order says nothing.
fn same(a: &Plan, b: &Plan) -> bool {
    let sorted = |plan: &Plan| {
        let mut plan = plan.clone();
        for place in plan.blocks.iter_mut().flat_map(|block| &mut block.places) {
            place
                .claims
                .sort_by_key(|claim| matches!(claim, Claim::At(_)));
        }
        plan
    };
    sorted(a) == sorted(b)
}

/// An empty table that shows no heading of its own.
fn unseen() -> Table {
    let mut table = Table::new();
    table.set_implicit(true);
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fields that a full layout of these plans writes must stand in the page about the
    /// format; names the maker gives are passed over.
    #[test]
    fn every_field_written_is_explained() {
        let page = include_str!("../../../../docs/plan-format.md");
        let mut seen = 0;
        for text in [
            include_str!("../../tests/odd.toml"),
            include_str!("../starter.toml"),
            include_str!("../../../../examples/harbour-lights.toml"),
            include_str!("../../../../examples/orchard-at-dusk.toml"),
            include_str!("../../../../examples/night-ferry.toml"),
            include_str!("../../../../examples/saltmarsh.toml"),
            include_str!("../../../../examples/whirligig-pier.toml"),
            include_str!("../../../../examples/honeycomb-steps.toml"),
        ] {
            let plan = read("a plan", text).unwrap();
            let table = Pen::full(&plan, &Hints::default()).plan();
            let mut paths = Vec::new();
            fields(&table, &mut Vec::new(), &mut paths);
            for path in paths {
                let free = ["places", "colourway", "key"]
                    .iter()
                    .any(|f| path.contains(&(*f).into()));
                if let Some(field) = path.last().filter(|_| !free) {
                    assert!(page.contains(&format!("`{field}`")), "{path:?}");
                    seen += 1;
                }
            }
        }
        assert!(seen > 200, "{seen}");
    }

    fn fields(table: &Table, path: &mut Vec<String>, paths: &mut Vec<Vec<String>>) {
        for (key, item) in table {
            path.push(key.to_owned());
            match item {
                toml_edit::Item::Table(table) => fields(table, path, paths),
                toml_edit::Item::ArrayOfTables(tables) => {
                    tables.iter().for_each(|table| fields(table, path, paths));
                }
                _ => paths.push(path.clone()),
            }
            path.pop();
        }
    }
}
