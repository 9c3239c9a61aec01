//! The eight ways a square lies on a square, and how a block's own symmetry folds them.
//!
//! **Frame.** A pose mirrors left and right first, if it mirrors, and then turns
//! clockwise by quarters; y runs down.
//!
//! **Always holds.** Poses form a group under [`Pose::after`].

use std::collections::BTreeMap;

use geometry::{Motion, Point, Polygon};

use crate::block::Block;

/// One of the eight ways a square lies on a square.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Pose(u8);

impl Pose {
    /// As drafted.
    pub const UPRIGHT: Pose = Pose(0);

    /// All eight: the four turns, then the same of the mirrored square.
    pub const ALL: [Pose; 8] = [
        Pose(0),
        Pose(1),
        Pose(2),
        Pose(3),
        Pose(4),
        Pose(5),
        Pose(6),
        Pose(7),
    ];

    /// So many quarter turns clockwise, of the square or of its mirror image.
    #[must_use]
    pub fn new(turn: u8, mirrored: bool) -> Self {
        Self(turn % 4 + if mirrored { 4 } else { 0 })
    }

    /// Quarter turns clockwise, 0 to 3.
    #[must_use]
    pub fn turn(self) -> u8 {
        self.0 % 4
    }

    /// Whether left and right are exchanged before the turn.
    #[must_use]
    pub fn mirrored(self) -> bool {
        self.0 >= 4
    }

    /// Its place in [`Pose::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        self.0.into()
    }

    /// What comes of `first` and then this.
    #[must_use]
    pub fn after(self, first: Pose) -> Pose {
        // A mirror after a turn is the opposite turn after the mirror.
        let turn = if self.mirrored() {
            self.turn() + 4 - first.turn()
        } else {
            self.turn() + first.turn()
        };
        Pose::new(turn, self.mirrored() != first.mirrored())
    }

    /// The pose that undoes this one.
    #[must_use]
    pub fn undone(self) -> Pose {
        if self.mirrored() {
            self
        } else {
            Pose::new(4 - self.turn(), false)
        }
    }

    /// What becomes of a vector, x right and y down.
    #[must_use]
    pub fn vector(self, (x, y): (i64, i64)) -> (i64, i64) {
        let x = if self.mirrored() { -x } else { x };
        match self.turn() {
            0 => (x, y),
            1 => (-y, x),
            2 => (-x, -y),
            _ => (y, -x),
        }
    }

    /// The same as an exact motion about the origin.
    #[must_use]
    pub fn motion(self) -> Motion {
        let turn = Motion::quarter_turns(self.turn().into());
        if self.mirrored() {
            Motion::mirror_x().then(&turn)
        } else {
            turn
        }
    }

    /// Whether it keeps the sides of an oblong where they were: no quarter turn.
    #[must_use]
    pub fn keeps_oblongs(self) -> bool {
        self.turn().is_multiple_of(2)
    }
}

/// A patch by its corners, wherever its ring begins and whichever way it runs.
fn corners(polygon: &Polygon) -> Vec<Point> {
    let mut points = polygon.without_straight_corners().points().to_vec();
    points.sort();
    points
}

/// The motion of a block onto its own outline in this pose: about the block's middle.
pub(crate) fn about_middle(pose: Pose, block: &Block) -> Motion {
    let (low, high) = block.drafted.outline.bounds();
    let middle = Point::midpoint(&low, &high);
    Motion::shift(-&middle)
        .then(&pose.motion())
        .then(&Motion::shift(middle))
}

/// The poses in which the block looks the same: every patch falls on one of the same
/// class. `class` has one entry a patch (a cloth, a family, a value…).
#[must_use]
pub fn own_symmetry<C: PartialEq>(block: &Block, class: &[C]) -> Vec<Pose> {
    let at: BTreeMap<Vec<Point>, usize> = block
        .patches
        .iter()
        .enumerate()
        .map(|(i, p)| (corners(&p.outline), i))
        .collect();
    let fits = |pose: &Pose| {
        let motion = about_middle(*pose, block);
        block.patches.iter().enumerate().all(|(i, patch)| {
            at.get(&corners(&patch.outline.moved(&motion)))
                .is_some_and(|&other| class[other] == class[i])
        })
    };
    Pose::ALL.into_iter().filter(fits).collect()
}
