//! Blocks taken from other blocks: parts, halves, mirror images.
//!
//! A half block at the end of a dropped column, the mirror image of a block, a border of
//! the block's own units: each is pieced from other pieces than the whole block, with its
//! own seam allowances, so each is a block of its own in the plan. Its lines are not drawn
//! again; they are taken from the block it comes from, and follow when that changes.
//!
//! A plan has two sorts. Some the maker asks for by name. Others the setting needs:
//! halves for its ends, mirror images for cells that say so. Those stand after all the
//! maker's blocks, and [`Plan::refresh`] makes them anew.
//!
//! **Always holds** after [`Plan::refresh`]: every taken block carries the block it comes
//! from as that stands now, and every block the setting needs is there.

use geometry::{Point, Surd};

use super::{
    BlockId, BlockPlan, BorderKind, CellPlan, Claim, ClothId, Draft, Ends, Kind, PlacePlan, Plan,
};

/// How a block is taken from another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Taken {
    /// The block it comes from, without its cloths and colourways.
    pub source: BlockPlan,
    /// The part that is kept; `None` for all of it.
    pub part: Option<Part>,
    /// Whether it is mirrored left to right, after the part is cut out.
    pub mirrored: bool,
    /// Whether its places have cloths of their own; otherwise it takes those of the block
    /// it comes from, colourways too.
    pub own_cloths: bool,
    /// Who asks for it.
    pub role: Role,
}

/// A rectangle of a block, in that block's coordinates (inches, y down).
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Part {
    /// Its upper left corner.
    pub corner: Point,
    /// Width; greater than zero.
    pub width: Surd,
    /// Height; greater than zero.
    pub height: Surd,
}

/// Who asks for a taken block.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Role {
    /// The maker, by name.
    Own,
    /// The setting: the mirror image of a block.
    Mirror,
    /// The setting: one half of a block.
    Half(Side),
}

/// A side of a block as drafted.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Side {
    /// Towards the top of the page.
    Upper,
    /// Towards the right.
    Right,
    /// Towards the bottom.
    Lower,
    /// Towards the left.
    Left,
}

impl Side {
    const ROUND: [Side; 4] = [Side::Upper, Side::Right, Side::Lower, Side::Left];

    /// The side of the block that lies on this side of its cell after so many quarter
    /// turns clockwise.
    #[must_use]
    pub fn before_turning(self, turn: u8) -> Side {
        let here = match self {
            Side::Upper => 0,
            Side::Right => 1,
            Side::Lower => 2,
            Side::Left => 3,
        };
        Self::ROUND[(here + 4 - usize::from(turn % 4)) % 4]
    }

    fn word(self) -> &'static str {
        match self {
            Side::Upper => "upper",
            Side::Right => "right",
            Side::Lower => "lower",
            Side::Left => "left",
        }
    }

    /// The half of a block on this side.
    fn half(self, width: &Surd, height: &Surd) -> Part {
        let (x, y) = (width.half(), height.half());
        let (corner, size) = match self {
            Side::Upper => ((Surd::ZERO, Surd::ZERO), (width.clone(), y)),
            Side::Lower => ((Surd::ZERO, y.clone()), (width.clone(), y)),
            Side::Left => ((Surd::ZERO, Surd::ZERO), (x, height.clone())),
            Side::Right => ((x.clone(), Surd::ZERO), (x, height.clone())),
        };
        Part {
            corner: Point::new(corner.0, corner.1),
            width: size.0,
            height: size.1,
        }
    }
}

impl Taken {
    /// The name of the block it comes from.
    #[must_use]
    pub fn from(&self) -> &str {
        &self.source.name
    }
}

impl Draft {
    /// How it is taken from another block, if it is.
    #[must_use]
    pub fn taken(&self) -> Option<&Taken> {
        match self {
            Draft::Taken(taken) => Some(taken),
            _ => None,
        }
    }
}

impl BlockPlan {
    /// Whether the setting asks for it and not the maker.
    #[must_use]
    pub fn made_by_setting(&self) -> bool {
        self.draft
            .taken()
            .is_some_and(|taken| taken.role != Role::Own)
    }

    /// The lines and places of this block, without its cloths.
    #[must_use]
    pub fn bare(&self) -> BlockPlan {
        let mut bare = self.clone();
        bare.colourways.clear();
        for place in &mut bare.places {
            place.cloths.clear();
        }
        bare
    }

    /// The places a block taken from this one has unless it has its own: of the same
    /// names, in the same cloths.
    #[must_use]
    pub fn handed_on(&self) -> Vec<PlacePlan> {
        let place = |place: &PlacePlan| PlacePlan {
            claims: vec![Claim::Spot(place.name.clone())],
            ..place.clone()
        };
        self.places.iter().map(place).collect()
    }

    fn taken_for(&self, role: Role) -> BlockPlan {
        let (part, mirrored, what) = match role {
            Role::Half(side) => {
                let part = side.half(&self.width, &self.height);
                (Some(part), false, format!("{} half", side.word()))
            }
            Role::Mirror | Role::Own => (None, true, "mirrored".into()),
        };
        let size = part.as_ref().map(|part| (&part.width, &part.height));
        let (width, height) = size.unwrap_or((&self.width, &self.height));
        BlockPlan {
            name: format!("{}, {what}", self.name),
            width: width.clone(),
            height: height.clone(),
            places: self.handed_on(),
            colourways: self.colourways.clone(),
            foundation: self.foundation,
            draft: Draft::Taken(Box::new(Taken {
                source: self.bare(),
                part,
                mirrored,
                own_cloths: false,
                role,
            })),
        }
    }
}

impl Plan {
    /// Brings the blocks taken from others up to date, and makes those the setting needs.
    ///
    /// Whoever changes a plan's blocks or setting by hand calls it afterwards; reading a
    /// file and [`Plan::with`] do.
    pub fn refresh(&mut self) {
        self.without_made();
        for index in 0..self.blocks.len() {
            self.take_again(index);
        }
        self.make_for_setting();
    }

    /// Takes away what the setting asked for.
    pub(super) fn without_made(&mut self) {
        self.blocks.retain(|block| !block.made_by_setting());
    }

    fn take_again(&mut self, index: usize) {
        let Some(from) = self.blocks[index]
            .draft
            .taken()
            .map(|t| t.from().to_owned())
        else {
            return;
        };
        // Only from a block above: two blocks cannot be taken from each other.
        let above = &self.blocks[..index];
        let source = above.iter().find(|block| block.name == from).cloned();
        let (Some(source), block) = (source, &mut self.blocks[index]) else {
            return;
        };
        let Draft::Taken(taken) = &mut block.draft else {
            return;
        };
        taken.source = source.bare();
        if !taken.own_cloths {
            block.places = source.handed_on();
            block.colourways = source.colourways;
        }
    }

    fn make_for_setting(&mut self) {
        let mut mirrored: Vec<BlockId> = Vec::new();
        self.visit_cells(|cell| {
            if cell.mirrored && !mirrored.contains(&cell.block) {
                mirrored.push(cell.block);
            }
        });
        for id in mirrored {
            self.make(id, Role::Mirror);
        }
        for (cell, side) in self.ends() {
            if let Some(id) = self.laid(&cell) {
                let side = side.before_turning(cell.turn);
                if self.made(id, Role::Half(side)).is_none() {
                    self.make(id, Role::Half(side));
                }
            }
        }
    }

    /// The cells whose halves fill the ends of shifted columns or rows, with the side of
    /// the cell each half comes from.
    fn ends(&self) -> Vec<(CellPlan, Side)> {
        let setting = &self.setting;
        let [before, after] = match &setting.kind {
            Kind::HalfDrop { ends: Ends::Halves } => [Side::Lower, Side::Upper],
            Kind::Brick { ends: Ends::Halves } => [Side::Right, Side::Left],
            _ => return Vec::new(),
        };
        let drop = matches!(setting.kind, Kind::HalfDrop { .. });
        let (lines, along) = if drop {
            (setting.columns, setting.rows)
        } else {
            (setting.rows, setting.columns)
        };
        (1..lines)
            .step_by(2)
            .flat_map(|line| {
                let last = if drop {
                    setting.cell(along - 1, line)
                } else {
                    setting.cell(line, along - 1)
                };
                [(*self.cell_before(line), before), (*last, after)]
            })
            .collect()
    }

    /// The cell of the repeat that would lie before the first of a shifted line.
    pub(crate) fn cell_before(&self, line: u32) -> &CellPlan {
        let cells = &self.setting.cells;
        let last = |count: usize| u32::try_from(count.max(1) - 1).unwrap_or(0);
        match self.setting.kind {
            Kind::HalfDrop { .. } => cells.at(last(cells.rows), line),
            _ => cells.at(line, last(cells.columns)),
        }
    }

    fn make(&mut self, id: BlockId, role: Role) {
        let mut made = self.block(id).taken_for(role);
        while self.blocks.iter().any(|block| block.name == made.name) {
            made.name.push('′');
        }
        self.blocks.push(made);
    }

    fn made(&self, of: BlockId, role: Role) -> Option<BlockId> {
        let name = &self.block(of).name;
        let is = |block: &BlockPlan| {
            let taken = block.draft.taken();
            taken.is_some_and(|taken| taken.role == role && taken.from() == name)
        };
        self.blocks.iter().position(is).map(BlockId)
    }

    /// The block that is laid in a cell: the one it names or its mirror image. `None` if
    /// the plan has not been refreshed since.
    #[must_use]
    pub fn laid(&self, cell: &CellPlan) -> Option<BlockId> {
        if cell.mirrored {
            self.made(cell.block, Role::Mirror)
        } else {
            Some(cell.block)
        }
    }

    /// The half block on one side of a cell, as it lies. `None` if the plan has not been
    /// refreshed since.
    #[must_use]
    pub fn half_of(&self, cell: &CellPlan, side: Side) -> Option<BlockId> {
        let side = side.before_turning(cell.turn);
        self.made(self.laid(cell)?, Role::Half(side))
    }

    /// The name of the first block whose mirror image or half the setting lacks, because
    /// the plan was changed by hand and not refreshed.
    pub(crate) fn lacking(&self) -> Option<String> {
        let mut lacking = None;
        self.visit_cells(|cell| {
            if self.laid(cell).is_none() {
                lacking.get_or_insert(cell.block);
            }
        });
        let ends = self.ends().into_iter();
        let mut ends = ends.filter(|(cell, side)| self.half_of(cell, *side).is_none());
        let block = lacking.or_else(|| ends.next().map(|(cell, _)| cell.block))?;
        Some(self.block(block).name.clone())
    }

    /// Every cell the setting and the borders name, in a fixed order.
    fn visit_cells(&self, mut visit: impl FnMut(&CellPlan)) {
        self.setting.cells.cells.iter().for_each(&mut visit);
        if let Kind::OnPoint { between, .. } = &self.setting.kind {
            between.cells.iter().for_each(&mut visit);
        }
        self.setting.pinned.iter().for_each(|pin| visit(&pin.cell));
        for border in &self.borders {
            let BorderKind::Pieced(pieced) = &border.kind else {
                continue;
            };
            for unit in &pieced.units {
                visit(unit);
                if pieced.from_middle {
                    visit(&unit.mirror_image());
                }
            }
            pieced.corner.iter().for_each(&mut visit);
        }
    }

    /// The cloths of a place of a taken block were given by the maker.
    pub(super) fn owns_cloths(&mut self, id: BlockId) {
        if let Some(Draft::Taken(taken)) = self.blocks.get_mut(id.0).map(|b| &mut b.draft) {
            taken.own_cloths = true;
        }
    }
}

impl Ends {
    /// The cloth of a plain end, where there is one.
    #[must_use]
    pub fn cloth(self) -> Option<ClothId> {
        match self {
            Ends::Plain(cloth) => Some(cloth),
            Ends::Halves => None,
        }
    }
}
