//! Whole plans built by hand, for tests of the setting and the finishing.
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses its own part of this"
)]

use geometry::Surd;
use quilt::measure::{Measure, Ruler};
use quilt::plan::{
    BackingPlan, BattingPlan, BindingPlan, BindingRun, BlockId, BlockPlan, BorderPlan, Buying,
    Cell, CellPlan, Cloth, ClothId, Colour, Corner, CutAlong, Direction, Draft, FinishingPlan,
    Kind, Paper, PlacePlan, Plan, Print, Repeat, Sashing, SettingPlan, SewingPlan,
};

/// A cloth of this usable width.
pub fn cloth(key: &str, width: Surd) -> Cloth {
    let colour = Colour {
        red: 30,
        green: 60,
        blue: 90,
    };
    Cloth {
        key: key.into(),
        name: key.into(),
        colour,
        second: colour,
        print: Print::Plain,
        scale: Surd::ONE,
        direction: Direction::Free,
        width,
        value: None,
        motif: None,
        supply: quilt::plan::Supply::default(),
        record: quilt::plan::Record::default(),
    }
}

/// A four-patch of this size.
pub fn four_patch(name: &str, width: Surd, height: Surd) -> BlockPlan {
    let spot = |name: &str| Cell::Whole(name.into());
    BlockPlan {
        name: name.into(),
        width,
        height,
        draft: Draft::Grid {
            columns: vec![Surd::ONE; 2],
            rows: vec![Surd::ONE; 2],
            cells: vec![spot("A"), spot("B"), spot("B"), spot("A")],
        },
        places: vec![PlacePlan {
            name: "all".into(),
            cloths: vec![ClothId(0)],
            claims: Vec::new(),
            centred: false,
        }],
        colourways: Vec::new(),
        foundation: false,
    }
}

/// A cell with this block and turn.
pub fn cell(block: usize, turn: u8) -> CellPlan {
    CellPlan {
        block: BlockId(block),
        colourway: None,
        turn,
        mirrored: false,
    }
}

/// A repeat of one block.
pub fn one(block: usize) -> Repeat {
    repeat(1, 1, vec![cell(block, 0)])
}

/// A repeat of several.
pub fn repeat(rows: usize, columns: usize, cells: Vec<CellPlan>) -> Repeat {
    Repeat {
        rows,
        columns,
        cells,
    }
}

/// Sashing of this width; posts in cloth 2 if wanted.
pub fn sashing(width: Surd, posts: bool, outside: bool) -> Sashing {
    Sashing {
        width,
        cloth: ClothId(1),
        posts: posts.then_some(ClothId(2)),
        outside,
    }
}

/// A border of this width.
pub fn border(width: Surd, corner: Corner) -> BorderPlan {
    BorderPlan {
        kind: quilt::plan::BorderKind::Plain,
        width,
        cloth: ClothId(1),
        corner,
        cut: CutAlong::Across,
    }
}

/// On point with setting triangles of cloth 3 and the first block between.
pub fn on_point(float: Surd) -> Kind {
    Kind::OnPoint {
        between: one(0),
        edge: ClothId(3),
        float,
    }
}

/// Blocks of one size, `columns` across and `rows` down, straight and without anything
/// else; four cloths of 40 in.
pub fn plain(block: Surd, columns: u32, rows: u32) -> Plan {
    let in_fours = |n: i64| Surd::ratio(n, 4);
    Plan {
        title: "Test".into(),
        note: String::new(),
        measure: Measure::Inch,
        seam: in_fours(1),
        ruler: Ruler::eighths(),
        paper: Paper::Letter,
        cloths: ["ground", "sash", "post", "edge"]
            .map(|key| cloth(key, Surd::int(40)))
            .into(),
        blocks: vec![four_patch("Four patch", block.clone(), block)],
        setting: SettingPlan {
            kind: Kind::Straight,
            rows,
            columns,
            cells: one(0),
            pinned: Vec::new(),
            sashing: None,
            target: None,
        },
        borders: Vec::new(),
        small: Vec::new(),
        finishing: FinishingPlan {
            backing: BackingPlan {
                cloth: None,
                overage: Surd::int(4),
                seam: in_fours(2),
            },
            batting: BattingPlan {
                overage: Surd::int(3),
            },
            binding: BindingPlan {
                cloth: None,
                width: in_fours(10),
                run: BindingRun::Straight,
                extra: Surd::int(10),
            },
            sleeve: None,
        },
        cutting: quilt::plan::CuttingPlan::default(),
        buying: Buying {
            step: in_fours(18),
            shrinkage: Surd::ZERO,
            squaring: Surd::ZERO,
            spare: Surd::ZERO,
            width: Surd::int(40),
        },
        making: quilt::plan::MakingPlan::default(),
        sewing: SewingPlan::default(),
        choosing: quilt::plan::ChoosingPlan::default(),
    }
}
