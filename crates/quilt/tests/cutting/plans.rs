//! Small plans to cut: blocks worked out for real, tops laid by hand.

use std::sync::Arc;

use geometry::{Motion, Polygon, Surd};
use quilt::block::{self, Block};
use quilt::cutting::{self, ClothCutting};
use quilt::finishing::{Backing, BackingWay, Batting, Binding, Finishing, SeamsRun, Thread};
use quilt::measure::{Measure, Ruler};
use quilt::plan::{
    BackingPlan, BattingPlan, BindingPlan, BindingRun, BlockId, BlockPlan, BorderPlan, Buying,
    Cell, CellPlan, Claim, Cloth, ClothId, Colour, Corner, CutAlong, Direction, Draft,
    FinishingPlan, Kind, Paper, PlacePlan, Plan, Print, Repeat, SettingPlan,
};
use quilt::setting::{Part, PartKind, PartShape, PlacedBlock, Top};

/// A plan with its blocks and top, ready to be cut.
pub struct Bench {
    pub plan: Plan,
    pub blocks: Vec<Option<Arc<Block>>>,
    pub top: Top,
    pub finishing: Finishing,
}

impl std::fmt::Debug for Bench {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let cloth = &self.plan.cloths[0];
        write!(f, "{} in, {:?}:", cloth.width, cloth.direction)?;
        for (index, block) in self.plan.blocks.iter().enumerate() {
            let copies = self
                .top
                .blocks
                .iter()
                .filter(|p| p.block.0 == index)
                .count();
            write!(
                f,
                " {copies} × {} {} × {};",
                block.name, block.width, block.height
            )?;
        }
        Ok(())
    }
}

impl Bench {
    pub fn cut(&self) -> Vec<ClothCutting> {
        cutting::work_out(&self.plan, &self.blocks, &self.top, &self.finishing)
    }

    /// The cutting of the only cloth.
    pub fn only(&self) -> ClothCutting {
        let mut all = self.cut();
        assert_eq!(all.len(), 1, "one cloth is used");
        all.remove(0)
    }

    pub fn part(&mut self, kind: PartKind, shape: PartShape, outline: &[(i64, i64)]) {
        let points = outline
            .iter()
            .map(|&(x, y)| geometry::Point::ints(x, y))
            .collect();
        let outline = Polygon::new(points).unwrap();
        let (least, most) = outline.bounds();
        let (w, h) = (&most.x - &least.x, &most.y - &least.y);
        let (length, width) = match shape {
            PartShape::HalfSquare => (&w * &Surd::root2(), &w * &Surd::root2().half()),
            _ if w < h => (h, w),
            _ => (w, h),
        };
        self.top.parts.push(Part {
            kind,
            cloth: ClothId(0),
            shape,
            outline,
            length,
            width,
        });
        self.top.patches += 1;
    }
}

pub fn inches(text: &str) -> Surd {
    let mut total = Surd::ZERO;
    for word in text.split_whitespace() {
        total += match word.split_once('/') {
            Some((n, d)) => Surd::ratio(n.parse().unwrap(), d.parse().unwrap()),
            None => Surd::int(word.parse().unwrap()),
        };
    }
    total
}

pub fn cloth(width: Surd, direction: Direction) -> Cloth {
    let grey = Colour {
        red: 128,
        green: 128,
        blue: 128,
    };
    Cloth {
        key: "sand".into(),
        name: "Sand".into(),
        colour: grey,
        second: grey,
        print: Print::Plain,
        scale: Surd::ONE,
        direction,
        width,
        value: None,
        motif: None,
        supply: quilt::plan::Supply::default(),
        record: quilt::plan::Record::default(),
    }
}

/// A block whose patches all take the given cloths.
pub fn block(name: &str, width: Surd, height: Surd, draft: Draft, spots: &[&str]) -> BlockPlan {
    let places = spots
        .iter()
        .map(|spot| PlacePlan {
            name: (*spot).into(),
            cloths: vec![ClothId(0)],
            claims: vec![Claim::Spot((*spot).into())],
            centred: false,
        })
        .collect();
    BlockPlan {
        name: name.into(),
        width,
        height,
        draft,
        places,
        colourways: Vec::new(),
        foundation: false,
    }
}

/// A block of one patch.
pub fn plain(name: &str, width: Surd, height: Surd) -> BlockPlan {
    block(
        name,
        width,
        height,
        one_cell(Cell::Whole("all".into())),
        &["all"],
    )
}

pub fn one_cell(cell: Cell) -> Draft {
    Draft::Grid {
        columns: vec![Surd::ONE],
        rows: vec![Surd::ONE],
        cells: vec![cell],
    }
}

/// So many copies of each block, one cloth of this width and direction.
pub fn bench(width: Surd, direction: Direction, blocks: Vec<(BlockPlan, u32)>) -> Bench {
    bench_of(vec![cloth(width, direction)], blocks)
}

pub fn bench_of(cloths: Vec<Cloth>, blocks: Vec<(BlockPlan, u32)>) -> Bench {
    let seam = Surd::ratio(1, 4);
    let ruler = Ruler::eighths();
    let (plans, counts): (Vec<BlockPlan>, Vec<u32>) = blocks.into_iter().unzip();
    let worked: Vec<Option<Arc<Block>>> = plans
        .iter()
        .map(|plan| Some(Arc::new(block::work_out(plan, &seam, &ruler).unwrap())))
        .collect();
    let placed = counts.iter().enumerate().flat_map(|(block, &count)| {
        (0..count).map(move |copy| PlacedBlock {
            row: 0,
            column: copy,
            between: false,
            diagonal: None,
            border: None,
            block: BlockId(block),
            colourway: None,
            turn: 0,
            copy,
            motion: Motion::identity(),
            scraps: std::collections::BTreeMap::new(),
        })
    });
    let placed: Vec<PlacedBlock> = placed.collect();
    let patches = placed
        .iter()
        .map(|p| worked[p.block.0].as_ref().unwrap().patches.len())
        .sum();
    let top = Top {
        inner_width: Surd::int(60),
        inner_height: Surd::int(72),
        width: Surd::int(60),
        height: Surd::int(72),
        blocks: placed,
        rings: Vec::new(),
        parts: Vec::new(),
        patches,
    };
    Bench {
        plan: plan(cloths, plans, seam, ruler),
        blocks: worked,
        top,
        finishing: finishing(),
    }
}

fn plan(cloths: Vec<Cloth>, blocks: Vec<BlockPlan>, seam: Surd, ruler: Ruler) -> Plan {
    let cell = CellPlan {
        block: BlockId(0),
        colourway: None,
        turn: 0,
        mirrored: false,
    };
    let border = |cut| BorderPlan {
        kind: quilt::plan::BorderKind::Plain,
        width: Surd::int(6),
        cloth: ClothId(0),
        corner: Corner::Butted,
        cut,
    };
    Plan {
        title: "A test".into(),
        note: String::new(),
        measure: Measure::Inch,
        seam: seam.clone(),
        ruler,
        paper: Paper::Letter,
        cloths,
        blocks,
        setting: SettingPlan {
            kind: Kind::Straight,
            rows: 1,
            columns: 1,
            cells: Repeat {
                rows: 1,
                columns: 1,
                cells: vec![cell],
            },
            pinned: Vec::new(),
            sashing: None,
            target: None,
        },
        // The first is cut across, the second along the cloth.
        borders: vec![border(CutAlong::Across), border(CutAlong::Length)],
        small: Vec::new(),
        finishing: FinishingPlan {
            backing: BackingPlan {
                cloth: None,
                overage: Surd::int(4),
                seam: seam.clone(),
            },
            batting: BattingPlan {
                overage: Surd::int(4),
            },
            binding: BindingPlan {
                cloth: None,
                width: Surd::ratio(5, 2),
                run: BindingRun::Straight,
                extra: Surd::int(12),
            },
            sleeve: None,
        },
        cutting: quilt::plan::CuttingPlan::default(),
        // By the mark: then the plan that is chosen is the shortest that was found.
        buying: Buying {
            step: Surd::ratio(1, 8),
            shrinkage: Surd::ZERO,
            squaring: Surd::ZERO,
            spare: Surd::ZERO,
            width: Surd::int(40),
        },
        making: quilt::plan::MakingPlan::default(),
        sewing: quilt::plan::SewingPlan::default(),
        choosing: quilt::plan::ChoosingPlan::default(),
    }
}

fn finishing() -> Finishing {
    let way = BackingWay {
        seams: SeamsRun::None,
        lengths: 2,
        length: Surd::int(68),
        total: Surd::int(136),
    };
    Finishing {
        backing: Backing {
            cloth: None,
            width: Surd::int(68),
            height: Surd::int(80),
            cloth_width: Surd::int(40),
            chosen: way.clone(),
            other: way,
            buy: Surd::int(136),
        },
        batting: Batting {
            width: Surd::int(68),
            height: Surd::int(80),
            package: None,
        },
        binding: Binding {
            cloth: None,
            length: Surd::int(276),
            strip: Surd::ratio(5, 2),
            strips: 7,
            bias_square: None,
        },
        sleeve: None,
        thread: Thread {
            seam_length: 0.0,
            piecing: 0.0,
        },
    }
}
