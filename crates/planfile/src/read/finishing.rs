//! Buying, backing, batting, binding and the sleeve: `[buying]`, `[finishing]`.
//!
//! **Units.** Exact inches; shrinkage is a share.

use geometry::Surd;
use quilt::plan::{BackingPlan, BattingPlan, BindingPlan, BindingRun, Buying, FinishingPlan};

use crate::defaults;
use crate::desk::{Desk, Limits, Section};

pub(crate) const RUNS: [(&str, BindingRun); 2] = [
    ("straight", BindingRun::Straight),
    ("bias", BindingRun::Bias),
];

/// A heading that may be left out: an empty one stands for it.
pub(super) fn optional<'a>(
    desk: &mut Desk,
    parent: &Section<'a>,
    key: &str,
    empty: &'a toml_edit::Table,
) -> Option<Section<'a>> {
    match parent.get(key) {
        None => Some(Section {
            path: key.into(),
            span: parent.span.clone(),
            table: empty,
        }),
        Some(field) => {
            let mend = format!("Give it under a heading: [{}].", field.path);
            desk.section(&field, &mend)
        }
    }
}

/// Reads how cloth is bought.
pub(super) fn buying(desk: &mut Desk, root: &Section) -> Option<Buying> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, root, "buying", &empty)?;
    desk.only(&section, &["step", "shrinkage", "squaring", "width"]);
    let unit = desk.measure;
    let step = desk.or(&section, "step", defaults::step(unit), |d, f| {
        d.length(f, &Limits::above_nought(400))
    });
    let shrinkage = desk.or(&section, "shrinkage", defaults::shrinkage(), |d, f| {
        d.share(f, true, &Surd::ratio(1, 2))
    });
    let squaring = desk.or(&section, "squaring", defaults::squaring(unit), |d, f| {
        d.length(f, &Limits::from_nought(20))
    });
    let width = desk.or(&section, "width", defaults::width(unit), |d, f| {
        d.length(f, &Limits::above_nought(200))
    });
    Some(Buying {
        step: step?,
        shrinkage: shrinkage?,
        squaring: squaring?,
        width: width?,
    })
}

/// Reads everything after the top.
pub(super) fn finishing(desk: &mut Desk, root: &Section) -> Option<FinishingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, root, "finishing", &empty)?;
    desk.only(&section, &["backing", "batting", "binding", "sleeve"]);
    let backing = backing(desk, &section);
    let batting = batting(desk, &section);
    let binding = binding(desk, &section);
    let sleeve = desk.maybe(&section, "sleeve", |d, f| {
        d.length(f, &Limits::above_nought(40))
    });
    Some(FinishingPlan {
        backing: backing?,
        batting: batting?,
        binding: binding?,
        sleeve: sleeve?,
    })
}

fn backing(desk: &mut Desk, finishing: &Section) -> Option<BackingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, finishing, "backing", &empty)?;
    desk.only(&section, &["cloth", "overage", "seam"]);
    let unit = desk.measure;
    let cloth = desk.maybe(&section, "cloth", |d, f| d.cloth(f));
    let overage = desk.or(
        &section,
        "overage",
        defaults::backing_overage(unit),
        |d, f| d.length(f, &Limits::from_nought(40)),
    );
    let seam = desk.or(&section, "seam", defaults::backing_seam(unit), |d, f| {
        d.length(f, &Limits::from_nought(4))
    });
    Some(BackingPlan {
        cloth: cloth?,
        overage: overage?,
        seam: seam?,
    })
}

fn batting(desk: &mut Desk, finishing: &Section) -> Option<BattingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, finishing, "batting", &empty)?;
    desk.only(&section, &["overage"]);
    let unit = desk.measure;
    let overage = desk.or(
        &section,
        "overage",
        defaults::batting_overage(unit),
        |d, f| d.length(f, &Limits::from_nought(40)),
    );
    Some(BattingPlan { overage: overage? })
}

fn binding(desk: &mut Desk, finishing: &Section) -> Option<BindingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, finishing, "binding", &empty)?;
    desk.only(&section, &["cloth", "width", "run", "extra"]);
    let unit = desk.measure;
    let cloth = desk.maybe(&section, "cloth", |d, f| d.cloth(f));
    let width = desk.or(&section, "width", defaults::binding_width(unit), |d, f| {
        d.length(f, &Limits::above_nought(20))
    });
    let run = desk.or(&section, "run", BindingRun::Straight, |d, f| {
        d.choice(f, &RUNS)
    });
    let extra = desk.or(&section, "extra", defaults::binding_extra(unit), |d, f| {
        d.length(f, &Limits::from_nought(200))
    });
    Some(BindingPlan {
        cloth: cloth?,
        width: width?,
        run: run?,
        extra: extra?,
    })
}
