//! A small plan made by hand, for looking at and checking drawings.

use std::sync::Arc;

use geometry::{Motion, Point, Polygon, Segment, Surd};
use quilt::block::{self, Block, JoinNode};
use quilt::finishing::{Backing, BackingWay, Batting, Binding, Finishing, SeamsRun, Thread};
use quilt::measure::{Measure, Ruler};
use quilt::plan::{
    Arm, BackingPlan, BattingPlan, BindingPlan, BindingRun, BlockId, BlockPlan, BorderPlan, Buying,
    Cell, CellPlan, Centre, Claim, Cloth, ClothId, Colour, Colourway, Corner, CutAlong, Direction,
    Draft, FinishingPlan, HexagonParts, Kind, LogStyle, Paper, PlacePlan, Plan, Pointing, Print,
    Repeat, SettingPlan,
};
use quilt::setting::{Part, PartKind, PartShape, PlacedBlock, Top};
use quilt::sewing::{BlockSewing, Ingredient, Join, Press, SeamKind, Step};

/// A whole number of inches.
pub fn inches(n: i64) -> Surd {
    Surd::int(n)
}

fn cloth(key: &str, colour: u32, second: u32, print: Print, scale: (i64, i64)) -> Cloth {
    let rgb = |c: u32| {
        let [_, red, green, blue] = c.to_be_bytes();
        Colour { red, green, blue }
    };
    Cloth {
        key: key.into(),
        name: key.into(),
        colour: rgb(colour),
        second: rgb(second),
        print,
        scale: Surd::ratio(scale.0, scale.1),
        direction: Direction::Free,
        width: inches(40),
        value: None,
        motif: None,
        supply: quilt::plan::Supply::default(),
        record: quilt::plan::Record::default(),
    }
}

/// One cloth of each print, deep and pale.
pub fn cloths() -> Vec<Cloth> {
    vec![
        cloth("cream", 0xf1e8d6, 0xe3d5b8, Print::Tonal, (3, 1)),
        cloth("rust check", 0x8f3b24, 0xc98a5e, Print::Plaid, (3, 4)),
        cloth("sea stripe", 0x2f5d6b, 0xa9c4c4, Print::Stripe, (1, 2)),
        cloth("straw dot", 0xd9b566, 0xf6ecd0, Print::Dot, (1, 2)),
        cloth("kelp leaf", 0x44563a, 0x8a9c6a, Print::Leafy, (2, 1)),
        cloth("night", 0x1f2a3d, 0x1f2a3d, Print::Plain, (1, 1)),
        cloth("heather", 0x7b6a8c, 0xb9aac4, Print::Tonal, (2, 1)),
        cloth("clay", 0xc47a52, 0xe7b48f, Print::Leafy, (3, 2)),
    ]
}

fn place(name: &str, cloths: &[usize]) -> PlacePlan {
    PlacePlan {
        name: name.into(),
        cloths: cloths.iter().map(|&c| ClothId(c)).collect(),
        claims: vec![Claim::Spot(name.into())],
        centred: false,
    }
}

fn square(name: &str, side: i64, draft: Draft, places: Vec<PlacePlan>) -> BlockPlan {
    BlockPlan {
        name: name.into(),
        width: inches(side),
        height: inches(side),
        draft,
        places,
        colourways: vec![],
        foundation: false,
    }
}

/// Nested squares with four arms, four rounds.
pub fn nested() -> BlockPlan {
    let mut places = vec![place("centre", &[0])];
    for (arm, cloths) in [[1, 7, 3, 0], [2, 2, 0, 0], [4, 4, 3, 0], [5, 6, 6, 0]]
        .iter()
        .enumerate()
    {
        for (round, &c) in cloths.iter().enumerate() {
            places.push(place(&format!("arm {} round {}", arm + 1, round + 1), &[c]));
        }
    }
    let draft = Draft::Nested {
        rounds: 4,
        centre: Centre::FourPatch,
        twist: Arm::Clockwise,
    };
    let mut block = square("Harbour Lights", 10, draft, places);
    block.colourways = vec![Colourway {
        name: "dusk".into(),
        places: vec![(1, vec![ClothId(5)]), (2, vec![ClothId(6)])],
    }];
    block
}

/// Strips round a centre.
pub fn log() -> BlockPlan {
    let draft = Draft::Log {
        rounds: 4,
        centre: Surd::ratio(1, 9),
        style: LogStyle::Around,
    };
    let places = vec![
        place("centre", &[1]),
        place("side 1", &[4, 2]),
        place("side 2", &[5, 4]),
        place("side 3", &[3, 0]),
        place("side 4", &[0, 3]),
    ];
    square("Orchard", 9, draft, places)
}

/// An eight-pointed star.
pub fn star(split: bool) -> BlockPlan {
    let mut places = vec![place("corner", &[5]), place("side", &[5])];
    for i in 1..=8 {
        places.push(place(
            &format!("point {i}"),
            &[if i % 2 == 0 { 3 } else { 1 }],
        ));
    }
    square("Night Ferry", 12, Draft::Star { split }, places)
}

/// A grid with squares, triangles and geese.
pub fn grid() -> BlockPlan {
    let goose = |pointing| Cell::Goose {
        pointing,
        goose: "goose".into(),
        sky: "sky".into(),
    };
    let corner = || Cell::Whole("corner".into());
    let half = |rising: bool| {
        let names = ("goose".to_string(), "sky".to_string());
        if rising {
            Cell::Rising(names.0, names.1)
        } else {
            Cell::Falling(names.1, names.0)
        }
    };
    let cells = vec![
        half(true),
        goose(Pointing::Up),
        half(false),
        goose(Pointing::Left),
        Cell::Hourglass(["goose", "sky", "goose", "sky"].map(String::from)),
        goose(Pointing::Right),
        corner(),
        goose(Pointing::Down),
        corner(),
    ];
    let ones = || vec![Surd::ONE; 3];
    let draft = Draft::Grid {
        columns: ones(),
        rows: ones(),
        cells,
    };
    square(
        "Saltmarsh Geese",
        9,
        draft,
        vec![
            place("corner", &[4]),
            place("goose", &[2, 7]),
            place("sky", &[0]),
        ],
    )
}

/// A framed square that needs a partial seam.
pub fn whirl() -> BlockPlan {
    let at = |x: i64, y: i64| Point::ints(x, y);
    let line = |a: (i64, i64), b: (i64, i64)| {
        Segment::new(at(a.0, a.1), at(b.0, b.1)).expect("two different points")
    };
    let lines = vec![
        line((0, 3), (6, 3)),
        line((6, 0), (6, 6)),
        line((3, 6), (9, 6)),
        line((3, 3), (3, 9)),
    ];
    let claim = |name: &str, c: usize, x, y| PlacePlan {
        name: name.into(),
        cloths: vec![ClothId(c)],
        claims: vec![Claim::At(at(x, y))],
        centred: false,
    };
    let places = vec![
        claim("top", 2, 1, 1),
        claim("right", 3, 8, 1),
        claim("bottom", 4, 8, 8),
        claim("left", 6, 1, 8),
        claim("middle", 0, 4, 4),
    ];
    square("Whirligig Pier", 9, Draft::Lines { lines }, places)
}

/// A hexagon of three diamonds: set-in seams.
pub fn hexagon() -> BlockPlan {
    let width = inches(8);
    let height = Surd::int(4) * Surd::root3();
    BlockPlan {
        name: "Honeycomb Steps".into(),
        width,
        height,
        draft: Draft::Hexagon {
            parts: HexagonParts::Diamonds,
        },
        places: vec![
            place("hexagon 1", &[3]),
            place("hexagon 2", &[2]),
            place("hexagon 3", &[5]),
            place("corner", &[0]),
        ],
        colourways: vec![],
        foundation: false,
    }
}

/// The plan: every block above, the setting of the first.
pub fn plan() -> Plan {
    let cell = CellPlan {
        block: BlockId(0),
        colourway: None,
        turn: 0,
        mirrored: false,
    };
    Plan {
        title: "Harbour Lights".into(),
        note: String::new(),
        measure: Measure::Inch,
        seam: Surd::ratio(1, 4),
        ruler: Ruler::eighths(),
        paper: Paper::Letter,
        cloths: cloths(),
        blocks: vec![
            nested(),
            log(),
            star(true),
            grid(),
            whirl(),
            hexagon(),
            star(false),
        ],
        setting: SettingPlan {
            kind: Kind::Straight,
            rows: 6,
            columns: 5,
            cells: Repeat {
                rows: 1,
                columns: 1,
                cells: vec![cell],
            },
            pinned: Vec::new(),
            sashing: None,
            target: None,
        },
        borders: vec![
            BorderPlan {
                kind: quilt::plan::BorderKind::Plain,
                width: inches(2),
                cloth: ClothId(5),
                corner: Corner::Butted,
                cut: CutAlong::Across,
            },
            BorderPlan {
                kind: quilt::plan::BorderKind::Plain,
                width: inches(4),
                cloth: ClothId(2),
                corner: Corner::Mitred,
                cut: CutAlong::Length,
            },
        ],
        small: Vec::new(),
        finishing: FinishingPlan {
            backing: BackingPlan {
                cloth: None,
                overage: inches(4),
                seam: Surd::ratio(1, 2),
            },
            batting: BattingPlan { overage: inches(3) },
            binding: BindingPlan {
                cloth: Some(ClothId(1)),
                width: Surd::ratio(5, 2),
                run: BindingRun::Straight,
                extra: inches(10),
            },
            sleeve: None,
        },
        cutting: quilt::plan::CuttingPlan::default(),
        buying: Buying {
            step: Surd::ratio(9, 2),
            shrinkage: Surd::ratio(6, 100),
            squaring: inches(1),
            spare: Surd::ZERO,
            width: inches(40),
        },
        making: quilt::plan::MakingPlan::default(),
        sewing: quilt::plan::SewingPlan::default(),
        choosing: quilt::plan::ChoosingPlan::default(),
    }
}

/// The plan's blocks, worked out.
pub fn blocks(plan: &Plan) -> Vec<Option<Arc<Block>>> {
    plan.blocks
        .iter()
        .map(|b| {
            Some(Arc::new(
                block::work_out(b, &plan.seam, &plan.ruler).expect("the kit's drafts are sound"),
            ))
        })
        .collect()
}

/// Blocks of the first kind in rows, turned by turns, with the two borders.
pub fn top(plan: &Plan, blocks: &[Option<Arc<Block>>]) -> Top {
    let (rows, columns) = (
        i64::from(plan.setting.rows),
        i64::from(plan.setting.columns),
    );
    let (rim, side) = (6, 10);
    let mut placed = Vec::new();
    for i in 0..rows * columns {
        let (row, column) = (i / columns, i % columns);
        let turn = (row * 2 + column) % 4;
        // A quarter turn about the block's middle, then to its cell.
        let middle = Point::ints(side / 2, side / 2);
        let to = Point::ints(rim + column * side + side / 2, rim + row * side + side / 2);
        let motion = Motion::shift(-middle)
            .then(&Motion::quarter_turns(turn))
            .then(&Motion::shift(to));
        placed.push(PlacedBlock {
            row: u32::try_from(row).expect("few rows"),
            column: u32::try_from(column).expect("few columns"),
            between: false,
            diagonal: None,
            border: None,
            block: BlockId(0),
            colourway: (i % 7 == 3).then_some(0),
            turn: u8::try_from(turn).expect("0 to 3"),
            copy: u32::try_from(i).expect("few blocks"),
            motion,
            scraps: std::collections::BTreeMap::new(),
        });
    }
    let (w, h) = (columns * side + 2 * rim, rows * side + 2 * rim);
    let mut parts = frame(0, [4, 4, w - 4, h - 4], 2, false, ClothId(5));
    parts.extend(frame(1, [0, 0, w, h], 4, true, ClothId(2)));
    let per_block = blocks[0].as_ref().expect("worked out").patches.len();
    Top {
        inner_width: inches(columns * side),
        inner_height: inches(rows * side),
        width: inches(w),
        height: inches(h),
        patches: placed.len() * per_block + parts.len(),
        blocks: placed,
        rings: Vec::new(),
        parts,
    }
}

/// Four strips just inside this box: left, top, right, bottom.
fn frame(
    index: usize,
    [l, t, r, b]: [i64; 4],
    wide: i64,
    mitred: bool,
    cloth: ClothId,
) -> Vec<Part> {
    let inset = if mitred { wide } else { 0 };
    let strips = [
        (
            PartKind::BorderSide(index),
            vec![
                (l, t + wide - inset),
                (l + wide, t + wide),
                (l + wide, b - wide),
                (l, b - wide + inset),
            ],
        ),
        (
            PartKind::BorderSide(index),
            vec![
                (r - wide, t + wide),
                (r, t + wide - inset),
                (r, b - wide + inset),
                (r - wide, b - wide),
            ],
        ),
        (
            PartKind::BorderEnd(index),
            vec![(l, t), (r, t), (r - inset, t + wide), (l + inset, t + wide)],
        ),
        (
            PartKind::BorderEnd(index),
            vec![(l + inset, b - wide), (r - inset, b - wide), (r, b), (l, b)],
        ),
    ];
    strips
        .into_iter()
        .map(|(kind, ring)| {
            let outline = Polygon::new(ring.iter().map(|&(x, y)| Point::ints(x, y)).collect())
                .expect("a strip");
            let long = if matches!(kind, PartKind::BorderSide(_)) {
                b - t
            } else {
                r - l
            };
            let shape = if mitred {
                PartShape::MitredStrip
            } else {
                PartShape::Rectangle
            };
            Part {
                kind,
                cloth,
                shape,
                outline,
                length: inches(long),
                width: inches(wide),
            }
        })
        .collect()
}

/// The sewing of a block, every join its own step, pressed left and right by turns.
pub fn sewing(id: BlockId, block: &Block) -> BlockSewing {
    let mut sewing = BlockSewing {
        block: id,
        copies: 1,
        tree: block.joining.tree.clone(),
        joins: vec![],
        steps: vec![],
        obstructions: vec![],
        partial: 0,
        set_in: 0,
        at_least: 0,
        in_words: None,
        course: None,
        steps_at_least: 0,
        straight: None,
        weight: quilt::block::joining::Weight::default(),
        settled: false,
    };
    sew(&block.joining.tree, block, &mut sewing);
    sewing
}

fn sew(node: &JoinNode, block: &Block, sewing: &mut BlockSewing) -> (Vec<usize>, Ingredient) {
    match node {
        JoinNode::Patch(i) => (vec![*i], Ingredient::Template(block.patches[*i].template)),
        JoinNode::Close { unit, .. } => sew(unit, block, sewing),
        JoinNode::Join {
            seam,
            ends,
            left,
            right,
            patches,
        } => {
            let (l, left) = sew(left, block, sewing);
            let (r, right) = sew(right, block, sewing);
            let step = sewing.steps.len();
            let press = [Press::Left, Press::Right, Press::Open][step % 3];
            sewing.joins.push(Join {
                left: l,
                right: r,
                seam: seam.clone(),
                kind: SeamKind::Straight,
                ends: *ends,
                closes: false,
                unit: patches.clone(),
                press,
                press_reason: "by turns",
                twirled: false,
                outline: block.drafted.outline.clone(),
                unit_width: inches(1),
                unit_height: inches(1),
                step,
            });
            sewing.steps.push(Step {
                shown: step,
                in_block: 1,
                in_all: 1,
                left,
                right,
                how: None,
            });
            (patches.clone(), Ingredient::Unit(step))
        }
    }
}

/// Just enough finishing for the cutting: binding round the top.
pub fn finishing(plan: &Plan, top: &Top) -> Finishing {
    let way = BackingWay {
        seams: SeamsRun::None,
        lengths: 1,
        length: inches(1),
        total: inches(1),
    };
    let round = (&top.width + &top.height).times(2) + &plan.finishing.binding.extra;
    Finishing {
        backing: Backing {
            cloth: None,
            width: top.width.clone(),
            height: top.height.clone(),
            cloth_width: inches(40),
            chosen: way.clone(),
            other: way,
            buy: inches(1),
        },
        batting: Batting {
            width: top.width.clone(),
            height: top.height.clone(),
            package: None,
        },
        binding: Binding {
            cloth: plan.finishing.binding.cloth,
            strips: u32::try_from(round.over(40).ceil()).expect("a few strips"),
            length: round,
            strip: plan.finishing.binding.width.clone(),
            bias_square: None,
        },
        sleeve: None,
        thread: Thread {
            seam_length: 0.0,
            piecing: 0.0,
        },
    }
}

/// How many blocks across and down make a top of more than 5,000 patches.
pub const MANY: u32 = 17;
