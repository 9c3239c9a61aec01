//! The symmetry of a setting, taken as if it went on without end.
//!
//! Square blocks allow twelve of the seventeen wallpaper groups. The names are those of
//! the International Tables for Crystallography in their short form; [`Wallpaper::says`]
//! puts them in plain words. Colour counts: a turn that would exchange two cloths is no
//! symmetry.

use super::pose::Pose;

/// The symmetry of an endless setting of square or oblong blocks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[expect(missing_docs, reason = "the international names; `says` explains each")]
pub enum Wallpaper {
    P1,
    P2,
    Pm,
    Pg,
    Cm,
    Pmm,
    Pmg,
    Pgg,
    Cmm,
    P4,
    P4m,
    P4g,
}

impl Wallpaper {
    /// The international name: `p4`, `cmm`, …
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::P1 => "p1",
            Self::P2 => "p2",
            Self::Pm => "pm",
            Self::Pg => "pg",
            Self::Cm => "cm",
            Self::Pmm => "pmm",
            Self::Pmg => "pmg",
            Self::Pgg => "pgg",
            Self::Cmm => "cmm",
            Self::P4 => "p4",
            Self::P4m => "p4m",
            Self::P4g => "p4g",
        }
    }

    /// What that means, for someone looking at a quilt.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::P1 => "repeats by shifting only",
            Self::P2 => "looks the same upside down: half turns about a point",
            Self::Pm => "mirror lines, all one way",
            Self::Pg => "glides: mirrored and shifted along a line",
            Self::Cm => "mirror lines one way with glides between them",
            Self::Pmm => "mirror lines both ways, half turns where they cross",
            Self::Pmg => "mirror lines one way, glides the other, half turns about points between",
            Self::Pgg => "glides both ways and half turns about a point",
            Self::Cmm => "mirror lines both ways, glides and more half turns between them",
            Self::P4 => "quarter turns about a point, alike from all four sides",
            Self::P4m => "quarter turns and mirror lines four ways, like a star",
            Self::P4g => "quarter turns about a point, mirror lines between the turning points",
        }
    }

    /// How many turns about a point leave it the same: 1, 2 or 4.
    #[must_use]
    pub fn turns(self) -> u32 {
        match self {
            Self::P1 | Self::Pm | Self::Pg | Self::Cm => 1,
            Self::P2 | Self::Pmm | Self::Pmg | Self::Pgg | Self::Cmm => 2,
            Self::P4 | Self::P4m | Self::P4g => 4,
        }
    }
}

/// The symmetry of a square lattice of `side × side` cells that repeats.
///
/// `cells` are row by row; `turned` says what a pose of the whole makes of a cell's
/// content. With `oblong` cells quarter turns and slanting mirrors are out of question.
/// An oblong repeat is first laid out to a square one ([`squared`]).
pub fn symmetry<C: PartialEq>(
    side: usize,
    cells: &[C],
    oblong: bool,
    turned: impl Fn(Pose, &C) -> C,
) -> Wallpaper {
    let side = i64::try_from(side).unwrap_or(1).max(1);
    let at = |x: i64, y: i64| {
        let (x, y) = (x.rem_euclid(side), y.rem_euclid(side));
        &cells[usize::try_from(y * side + x).unwrap_or(0)]
    };
    let lies_alike = |pose: Pose, (u, v): (i64, i64)| {
        (0..side).all(|y| {
            (0..side).all(|x| {
                // Cell corners turn about the origin; a cell is known by its middle.
                let (tx, ty) = pose.vector((2 * x + 1, 2 * y + 1));
                *at((tx - 1) / 2 + u, (ty - 1) / 2 + v) == turned(pose, at(x, y))
            })
        })
    };
    let shifts = |pose: Pose| -> Vec<(i64, i64)> {
        (0..side)
            .flat_map(|v| (0..side).map(move |u| (u, v)))
            .filter(|&shift| lies_alike(pose, shift))
            .collect()
    };
    let stays = shifts(Pose::UPRIGHT);
    let turns = if !oblong && !shifts(Pose::new(1, false)).is_empty() {
        4
    } else if shifts(Pose::new(2, false)).is_empty() {
        1
    } else {
        2
    };
    let axes: Vec<Axis> = Pose::ALL
        .into_iter()
        .filter(|p| p.mirrored() && (!oblong || p.keeps_oblongs()))
        .filter_map(|p| Axis::of(p, &shifts(p), &stays, side))
        .collect();
    named(turns, &axes, &stays, side)
}

/// A direction in which the setting can be mirrored, with or without gliding.
struct Axis {
    /// Along the axis.
    along: (i64, i64),
    /// Whether some line mirrors it without gliding.
    mirror: bool,
}

impl Axis {
    fn of(pose: Pose, shifts: &[(i64, i64)], stays: &[(i64, i64)], side: i64) -> Option<Self> {
        let along = [(1, 0), (0, 1), (1, 1), (1, -1)]
            .into_iter()
            .find(|&d| pose.vector(d) == d)?;
        let &(u, v) = shifts.first()?;
        // Where a shift of the setting takes up the glide, a mirror line is left.
        let mirror = stays
            .iter()
            .any(|&(x, y)| ((u + x) * along.0 + (v + y) * along.1).rem_euclid(side) == 0);
        Some(Self { along, mirror })
    }

    /// Whether every shift of the setting is one along the axis and one across it.
    fn splits(&self, stays: &[(i64, i64)], side: i64) -> bool {
        let mut makers = stays.to_vec();
        makers.extend([(side, 0), (0, side)]);
        makers.iter().all(|&(x, y)| {
            let (dx, dy) = self.along;
            let (dot, long) = (x * dx + y * dy, dx * dx + dy * dy);
            let foot = (dot * dx / long, dot * dy / long);
            let round = (foot.0.rem_euclid(side), foot.1.rem_euclid(side));
            dot % long == 0 && stays.contains(&round)
        })
    }
}

fn named(turns: u32, axes: &[Axis], stays: &[(i64, i64)], side: i64) -> Wallpaper {
    let mirrors: Vec<&Axis> = axes.iter().filter(|a| a.mirror).collect();
    let splits = mirrors.first().is_some_and(|a| a.splits(stays, side));
    match (turns, axes.len(), mirrors.len()) {
        (4, 0, _) => Wallpaper::P4,
        (4, _, 4) => Wallpaper::P4m,
        (4, ..) => Wallpaper::P4g,
        (2, 0, _) => Wallpaper::P2,
        (2, _, 0) => Wallpaper::Pgg,
        (2, _, 1) => Wallpaper::Pmg,
        (2, ..) if splits => Wallpaper::Pmm,
        (2, ..) => Wallpaper::Cmm,
        (_, 0, _) => Wallpaper::P1,
        (_, _, 0) => Wallpaper::Pg,
        _ if splits => Wallpaper::Pm,
        _ => Wallpaper::Cm,
    }
}

/// An oblong repeat laid out to the least square one; its side and cells.
#[must_use]
pub fn squared<C: Clone>(rows: usize, columns: usize, cells: &[C]) -> (usize, Vec<C>) {
    let (mut a, mut b) = (rows.max(1), columns.max(1));
    while b != 0 {
        (a, b) = (b, a % b);
    }
    let side = rows / a * columns;
    let out = (0..side * side)
        .map(|i| cells[(i / side % rows) * columns + i % side % columns].clone())
        .collect();
    (side, out)
}
