//! The cloths by value: as a list to read, and the top seen in other ways.

use std::fmt::Write as _;

use picture::{Palette, View};
use quilt::cloth::Values;
use quilt::colour;
use quilt::plan::{ClothId, Plan};
use quilt::results::Results;

/// A way of looking at the top.
#[derive(Clone, Copy, PartialEq, Eq, Debug, clap::ValueEnum)]
pub(crate) enum Look {
    /// In its cloth
    Cloth,
    /// In greys: value alone
    Grey,
    /// With half-shut eyes
    Squint,
    /// In greys, with half-shut eyes
    GreySquint,
    /// Each cloth flat in the grey of its group
    Groups,
    /// Through red glass (red cloth reads too light)
    RedGlass,
    /// Through green glass (green cloth reads too light)
    GreenGlass,
    /// As seen without the eye's cones for long waves
    NoLong,
    /// As seen without the cones for middle waves
    NoMiddle,
    /// As seen without the cones for short waves
    NoShort,
}

impl Look {
    fn view(self) -> View {
        match self {
            Self::Cloth => View::Cloth,
            Self::Grey => View::Grey,
            Self::Squint => View::Squint,
            Self::GreySquint => View::GreySquint,
            Self::Groups => View::Groups,
            Self::RedGlass => View::RedGlass,
            Self::GreenGlass => View::GreenGlass,
            Self::NoLong => View::NoLong,
            Self::NoMiddle => View::NoMiddle,
            Self::NoShort => View::NoShort,
        }
    }
}

/// How wide the top is drawn, inches.
const WIDE: f64 = 7.0;

/// The top in this view, as an SVG document; `None` while it cannot be laid out.
pub(crate) fn picture(
    plan: &Plan,
    results: &Results,
    values: &Values,
    look: Look,
) -> Option<String> {
    let top = results.top.as_deref()?;
    let drawing = picture::quilt(plan, &results.blocks, top);
    let palette = Palette::of(plan, "sans-serif").seen(look.view(), values);
    Some(picture::svg(&drawing, &palette, WIDE))
}

/// The groups, each with its cloths from dark to light.
pub(crate) fn text(plan: &Plan, values: &Values) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "{} in {} groups by value. {:.0} % of all differences in lightness lie between the groups.\n\
         L* runs from 0 (black) to 100 (white); a Munsell value is about a tenth of it.",
        counted(plan.cloths.len()),
        values.groups.len(),
        100.0 * values.told_apart(),
    );
    for group in &values.groups {
        let _ = writeln!(out, "\n{}", group.name);
        if group.cloths.is_empty() {
            let _ = writeln!(out, "  no cloth");
        }
        for &cloth in &group.cloths {
            let _ = writeln!(out, "  {}", line(plan, values, cloth));
        }
    }
    let near: Vec<String> = (0..plan.cloths.len())
        .filter_map(|index| borderline(plan, values, ClothId(index)))
        .collect();
    if !near.is_empty() {
        let _ = writeln!(out, "\nborderline");
        for line in near {
            let _ = writeln!(out, "  {line}");
        }
    }
    out
}

fn counted(cloths: usize) -> String {
    match cloths {
        1 => "1 cloth".into(),
        n => format!("{n} cloths"),
    }
}

fn line(plan: &Plan, values: &Values, cloth: ClothId) -> String {
    let valued = &values.of[cloth.0];
    let munsell = colour::munsell(colour::luminance(valued.lightness));
    let by_hand = if valued.moved {
        "  (your own word)"
    } else if values.borderline(cloth).is_some() {
        "  (borderline)"
    } else {
        ""
    };
    format!(
        "L* {:5.1}  Munsell {munsell:4.1}  {}{by_hand}",
        valued.lightness,
        plan.cloth(cloth).name
    )
}

/// What it would cost to count a borderline cloth to the next group.
fn borderline(plan: &Plan, values: &Values, cloth: ClothId) -> Option<String> {
    let either = values.borderline(cloth)?;
    let (own, other) = (values.name(cloth), &values.groups[either.group].name);
    let cost = 100.0 * either.cost / values.total.max(f64::MIN_POSITIVE);
    let why = if either.straddles {
        format!("its print has both in it, and {cost:.1} % of the differences would be lost")
    } else {
        format!(
            "{:.1} steps of L* decide, and {cost:.1} % of the differences would be lost",
            either.steps
        )
    };
    Some(format!(
        "“{}” is {own} and may as well be {other}: {why}.",
        plan.cloth(cloth).name
    ))
}
