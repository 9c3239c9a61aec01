//! One thing a maker does to a plan, and the plan that comes of it.
//!
//! Every change goes through [`Plan::with`]: an [`Edit`] in, a changed plan out, or a
//! [`Refusal`] and nothing changed. What an edit reaches is part of it ([`Reach`]), so that
//! a screen can say how far it will go before it is made.
//!
//! **Refused** is only what makes no sense by itself: a row without blocks, a cloth taken
//! out while patches lie in it. A plan that cannot be built is not refused; the findings
//! say what is wrong with it.
//!
//! **Always holds.** Every [`ClothId`] and [`BlockId`] of the changed plan points at
//! something, names are still unique, and the repeat still has all its cells.

use std::fmt;

use geometry::Surd;

use super::{
    BlockId, BlockPlan, BorderKind, BorderPlan, Buying, CellPlan, Choice, ChoosingPlan, Cloth,
    ClothId, Corner, Draft, Ends, FinishingPlan, Kind, Paper, Pinned, Plan, Repeat, Sashing,
    SmallPlan, Target,
};
use crate::measure::{Measure, Ruler};

/// How far a change to one block of the setting goes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reach {
    /// This one block. Where the setting was a repeat, every cell is written out first.
    Here,
    /// Every block at the same place of the repeat.
    Repeat,
    /// Every block of the setting that is the same block in the same cloths.
    Alike,
}

/// Which of the main cells: row and column from 0 at the top left.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Spot {
    /// Row, from 0 at the top.
    pub row: u32,
    /// Column, from 0 at the left.
    pub column: u32,
}

/// One thing a maker can do to a plan.
#[derive(Clone, PartialEq, Debug)]
pub enum Edit {
    /// Call the quilt something else.
    SetTitle(String),
    /// Another sentence for the cover.
    SetNote(String),
    /// Inches or centimetres.
    SetMeasure(Measure),
    /// Another seam allowance, inches; zero or more.
    SetSeam(Surd),
    /// Another ruler.
    SetRuler(Ruler),
    /// Other paper for the booklet.
    SetPaper(Paper),
    /// So many blocks down and across.
    SetCount {
        /// Blocks down.
        rows: u32,
        /// Blocks across.
        columns: u32,
    },
    /// Turn a block clockwise by so many quarters.
    Turn {
        /// Which.
        at: Spot,
        /// Quarter turns clockwise.
        quarters: u8,
        /// How far it goes.
        reach: Reach,
    },
    /// Lay another block, or the same in other cloths.
    LayBlock {
        /// Where.
        at: Spot,
        /// What lies there then.
        cell: CellPlan,
        /// How far it goes.
        reach: Reach,
    },
    /// Exchange two blocks of the setting.
    Exchange(Spot, Spot),
    /// Keep what lies in this spot, whatever the repeat gives it later.
    Pin(Spot),
    /// Let the repeat say again what lies there.
    Unpin(Spot),
    /// The repeat that fills the setting.
    SetRepeat(Repeat),
    /// The bed or the size the top is made for, or none.
    SetTarget(Option<Target>),
    /// Straight or on point.
    SetKind(Kind),
    /// Sashing, or none.
    SetSashing(Option<Sashing>),
    /// A border more, outside all others.
    AddBorder(BorderPlan),
    /// Change a border, counted from the inside.
    SetBorder(usize, BorderPlan),
    /// Take a border away.
    RemoveBorder(usize),
    /// The small pieces of the same design.
    SetSmall(Vec<SmallPlan>),
    /// A cloth more.
    AddCloth(Cloth),
    /// Change what is on record of a cloth.
    SetCloth(ClothId, Cloth),
    /// Take a cloth away that nothing is cut from.
    RemoveCloth(ClothId),
    /// Cut a place of a block from these cloths.
    LayCloth {
        /// Which block.
        block: BlockId,
        /// Index into its places.
        place: usize,
        /// Its cloths, taken in turn.
        cloths: Vec<ClothId>,
    },
    /// Wherever the first cloth lies, take the second.
    Replace(ClothId, ClothId),
    /// A block more.
    AddBlock(BlockPlan),
    /// Draft a block anew, or rename it.
    SetBlock(BlockId, BlockPlan),
    /// Piece a block on printed foundations, or by templates again.
    SetFoundation(BlockId, bool),
    /// Backing, batting, binding, sleeve.
    SetFinishing(FinishingPlan),
    /// How cloth is bought.
    SetBuying(Buying),
    /// How cloth is sorted, laid in ramps and scattered.
    SetChoosing(ChoosingPlan),
}

/// Why an edit was not made. The plan is untouched.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Refusal {
    /// A setting needs at least one row and one column.
    NoBlocks,
    /// There is no such block in the setting.
    NoSuchSpot(Spot),
    /// There is no such border, place, cloth or block.
    NoSuchThing(&'static str),
    /// The name is taken.
    NameTaken(String),
    /// A name with nothing in it.
    NoName,
    /// A place needs at least one cloth.
    NoCloth,
    /// The cloth still lies somewhere.
    ClothInUse {
        /// The cloth's name.
        cloth: String,
        /// Where, in the maker's words.
        lies: String,
    },
    /// A length that must be greater than zero is not.
    NoLength(&'static str),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoBlocks => write!(f, "A setting needs at least one block down and one across."),
            Self::NoSuchSpot(at) => write!(
                f,
                "There is no block {} in row {}.",
                at.column + 1,
                at.row + 1
            ),
            Self::NoSuchThing(what) => write!(f, "There is no such {what} in the plan."),
            Self::NameTaken(name) => write!(f, "“{name}” is taken; choose another name."),
            Self::NoName => write!(f, "A name needs at least one letter."),
            Self::NoCloth => write!(f, "A place needs at least one cloth."),
            Self::ClothInUse { cloth, lies } => write!(
                f,
                "“{cloth}” still lies in {lies}; lay another cloth there first."
            ),
            Self::NoLength(what) => write!(f, "{what} must be more than nothing."),
        }
    }
}

impl std::error::Error for Refusal {}

impl Plan {
    /// This plan with `edit` made to it.
    ///
    /// # Errors
    ///
    /// A [`Refusal`] when the edit makes no sense by itself. An edit that leaves the quilt
    /// unbuildable is made, and the results carry a finding about it.
    pub fn with(&self, edit: &Edit) -> Result<Self, Refusal> {
        let mut next = self.clone();
        // What the setting asks for is made anew when the edit is done.
        next.without_made();
        match edit {
            Edit::SetTitle(title) => next.title = named(title)?,
            Edit::SetNote(note) => next.note.clone_from(note),
            Edit::SetMeasure(measure) => next.measure = *measure,
            Edit::SetSeam(seam) => next.seam = not_negative(seam, "A seam allowance")?,
            Edit::SetRuler(ruler) => next.ruler = ruler.clone(),
            Edit::SetPaper(paper) => next.paper = *paper,
            Edit::SetFinishing(finishing) => {
                let cloths = [finishing.backing.cloth, finishing.binding.cloth];
                for cloth in cloths.into_iter().flatten() {
                    next.known(cloth)?;
                }
                next.finishing = finishing.clone();
            }
            Edit::SetSmall(pieces) => {
                for (index, piece) in pieces.iter().enumerate() {
                    named(&piece.name)?;
                    if pieces[..index].iter().any(|other| other.name == piece.name) {
                        return Err(Refusal::NameTaken(piece.name.clone()));
                    }
                    positive(&piece.width, "A small piece’s width")?;
                    positive(&piece.height, "A small piece’s height")?;
                    not_negative(&piece.border, "A border")?;
                    next.known(piece.cloth)?;
                }
                next.small.clone_from(pieces);
            }
            Edit::SetBuying(buying) => {
                positive(&buying.step, "The step cloth is sold in")?;
                positive(&buying.width, "The width of the cloth")?;
                next.buying = buying.clone();
            }
            Edit::SetChoosing(choosing) => {
                next.sound_choosing(choosing)?;
                next.choosing = choosing.clone();
            }
            Edit::AddCloth(_)
            | Edit::SetCloth(..)
            | Edit::RemoveCloth(_)
            | Edit::LayCloth { .. }
            | Edit::Replace(..) => next.edit_cloth(edit)?,
            Edit::AddBlock(_) | Edit::SetBlock(..) => next.edit_block(edit)?,
            Edit::SetFoundation(id, on) => {
                let block = next.blocks.get_mut(id.0);
                block.ok_or(Refusal::NoSuchThing("block"))?.foundation = *on;
            }
            Edit::AddBorder(_) | Edit::SetBorder(..) | Edit::RemoveBorder(_) => {
                next.edit_border(edit)?;
            }
            _ => next.edit_setting(edit)?,
        }
        next.refill();
        next.refresh();
        Ok(next)
    }

    fn edit_setting(&mut self, edit: &Edit) -> Result<(), Refusal> {
        match edit {
            Edit::SetCount { rows: 0, .. } | Edit::SetCount { columns: 0, .. } => {
                return Err(Refusal::NoBlocks);
            }
            Edit::SetCount { rows, columns } => {
                (self.setting.rows, self.setting.columns) = (*rows, *columns);
            }
            Edit::Turn {
                at,
                quarters,
                reach,
            } => self.change(*at, *reach, |cell| {
                cell.turn = (cell.turn + quarters % 4) % 4;
            })?,
            Edit::LayBlock { at, cell, reach } => {
                self.sound_cell(cell)?;
                self.change(*at, *reach, |old| *old = *cell)?;
            }
            Edit::Exchange(a, b) => {
                self.in_setting(*a)?;
                self.in_setting(*b)?;
                self.write_out();
                let (one, other) = (
                    *self.setting.cell(a.row, a.column),
                    *self.setting.cell(b.row, b.column),
                );
                *self.cell_mut(*a)? = other;
                *self.cell_mut(*b)? = one;
            }
            Edit::Pin(at) => {
                self.in_setting(*at)?;
                let (row, column) = (at.row, at.column);
                let cell = *self.setting.cell(row, column);
                self.unpin(*at);
                self.setting.pinned.push(Pinned { row, column, cell });
            }
            Edit::Unpin(at) => {
                self.in_setting(*at)?;
                self.unpin(*at);
            }
            Edit::SetTarget(target) => {
                match target {
                    Some(Target::Bed { bed, drop, tuck }) => {
                        positive(&bed.width, "A bed’s width")?;
                        positive(&bed.length, "A bed’s length")?;
                        not_negative(drop, "A drop")?;
                        not_negative(tuck, "A tuck")?;
                    }
                    Some(Target::Size { width, height }) => {
                        positive(width, "A width")?;
                        positive(height, "A length")?;
                    }
                    None => {}
                }
                self.setting.target.clone_from(target);
            }
            Edit::SetRepeat(repeat) => {
                self.sound_repeat(repeat)?;
                self.setting.cells = repeat.clone();
            }
            Edit::SetKind(kind) => {
                self.sound_kind(kind)?;
                self.setting.kind = kind.clone();
            }
            Edit::SetSashing(sashing) => {
                if let Some(sashing) = sashing {
                    positive(&sashing.width, "Sashing")?;
                    self.known(sashing.cloth)?;
                    sashing.posts.map_or(Ok(()), |cloth| self.known(cloth))?;
                }
                self.setting.sashing.clone_from(sashing);
            }
            _ => {}
        }
        Ok(())
    }

    fn edit_border(&mut self, edit: &Edit) -> Result<(), Refusal> {
        const WHAT: Refusal = Refusal::NoSuchThing("border");
        if let Edit::AddBorder(border) | Edit::SetBorder(_, border) = edit {
            self.sound_border(border)?;
            self.known(border.cloth)?;
            if let Corner::Squares(cloth) = border.corner {
                self.known(cloth)?;
            }
        }
        match edit {
            Edit::AddBorder(border) => self.borders.push(border.clone()),
            Edit::SetBorder(index, border) => {
                *self.borders.get_mut(*index).ok_or(WHAT)? = border.clone();
            }
            Edit::RemoveBorder(index) if *index < self.borders.len() => {
                self.borders.remove(*index);
            }
            _ => return Err(WHAT),
        }
        Ok(())
    }

    fn edit_block(&mut self, edit: &Edit) -> Result<(), Refusal> {
        let (at, block) = match edit {
            Edit::SetBlock(id, block) if id.0 < self.blocks.len() => (Some(id.0), block),
            Edit::AddBlock(block) => (None, block),
            _ => return Err(Refusal::NoSuchThing("block")),
        };
        named(&block.name)?;
        positive(&block.width, "A block’s width")?;
        positive(&block.height, "A block’s height")?;
        let mut others = self.blocks.iter().enumerate();
        if others.any(|(i, other)| Some(i) != at && other.name == block.name) {
            return Err(Refusal::NameTaken(block.name.clone()));
        }
        let ways = block.colourways.iter().flat_map(|way| &way.places);
        let sets = block.places.iter().map(|place| &place.cloths);
        for cloths in sets.chain(ways.clone().map(|(_, cloths)| cloths)) {
            self.known_all(cloths)?;
        }
        if ways
            .into_iter()
            .any(|(place, _)| *place >= block.places.len())
        {
            return Err(Refusal::NoSuchThing("place"));
        }
        match at {
            Some(at) => {
                // Blocks taken from it stay with it under its new name.
                let before = self.blocks[at].name.clone();
                for other in &mut self.blocks {
                    match &mut other.draft {
                        Draft::Taken(taken) if taken.source.name == before => {
                            taken.source = block.bare();
                        }
                        _ => {}
                    }
                }
                // Cells that lie in a colourway the new draft does not have go back to
                // the block's own cloths.
                let ways = block.colourways.len();
                let before = std::mem::replace(&mut self.blocks[at], block.clone());
                self.follow_places(BlockId(at), &before);
                let undress = |cell: &mut CellPlan| {
                    if cell.block.0 == at && cell.colourway.is_some_and(|way| way >= ways) {
                        cell.colourway = None;
                    }
                };
                self.each_cell(undress);
                self.each_border_cell(undress);
            }
            None => self.blocks.push(block.clone()),
        }
        Ok(())
    }

    fn edit_cloth(&mut self, edit: &Edit) -> Result<(), Refusal> {
        match edit {
            Edit::AddCloth(cloth) => {
                self.sound_cloth(cloth, None)?;
                self.cloths.push(cloth.clone());
            }
            Edit::SetCloth(id, cloth) => {
                self.known(*id)?;
                self.sound_cloth(cloth, Some(*id))?;
                self.cloths[id.0] = cloth.clone();
            }
            Edit::RemoveCloth(id) => {
                self.known(*id)?;
                if let Some(lies) = self.where_it_lies(*id) {
                    let cloth = self.cloths[id.0].name.clone();
                    return Err(Refusal::ClothInUse { cloth, lies });
                }
                self.cloths.remove(id.0);
                self.each_cloth(|cloth| {
                    if cloth.0 > id.0 {
                        cloth.0 -= 1;
                    }
                });
            }
            Edit::LayCloth {
                block,
                place,
                cloths,
            } => {
                self.known_all(cloths)?;
                let of = self.blocks.get_mut(block.0);
                let of = of.ok_or(Refusal::NoSuchThing("block"))?;
                let laid = of.places.get_mut(*place);
                laid.ok_or(Refusal::NoSuchThing("place"))?.cloths = cloths.clone();
                // What is laid by hand is no longer filled from a pool.
                for pool in &mut self.choosing.pools {
                    pool.fills.retain(|fill| *fill != (*block, *place));
                }
                self.owns_cloths(*block);
            }
            Edit::Replace(from, to) => {
                self.known(*from)?;
                self.known(*to)?;
                self.each_cloth(|cloth| {
                    if cloth == from {
                        *cloth = *to;
                    }
                });
            }
            _ => {}
        }
        Ok(())
    }

    /// Changes one cell, or as many as `reach` says.
    fn change(
        &mut self,
        at: Spot,
        reach: Reach,
        make: impl Fn(&mut CellPlan),
    ) -> Result<(), Refusal> {
        self.in_setting(at)?;
        match reach {
            Reach::Here => {
                self.write_out();
                make(self.cell_mut(at)?);
            }
            Reach::Repeat => {
                let index = self.index(at)?;
                make(&mut self.setting.cells.cells[index]);
            }
            Reach::Alike => {
                let like = *self.setting.cell(at.row, at.column);
                let dress = |cell: &CellPlan| (cell.block, cell.colourway, cell.mirrored);
                self.each_cell(|cell| {
                    if dress(cell) == dress(&like) {
                        make(cell);
                    }
                });
            }
        }
        Ok(())
    }

    fn unpin(&mut self, at: Spot) {
        let pinned = &mut self.setting.pinned;
        pinned.retain(|pin| (pin.row, pin.column) != (at.row, at.column));
    }

    /// What lies at a spot: what is pinned there, else the cell of the repeat.
    fn cell_mut(&mut self, at: Spot) -> Result<&mut CellPlan, Refusal> {
        let index = self.index(at)?;
        let setting = &mut self.setting;
        let mut pins = setting.pinned.iter_mut().rev();
        let pin = pins.find(|pin| (pin.row, pin.column) == (at.row, at.column));
        Ok(match pin {
            Some(pin) => &mut pin.cell,
            None => &mut setting.cells.cells[index],
        })
    }

    /// Every main cell of the setting on its own, the same picture as before.
    fn write_out(&mut self) {
        let setting = &mut self.setting;
        let (rows, columns) = (setting.rows, setting.columns);
        if setting.cells.rows == rows as usize && setting.cells.columns == columns as usize {
            return;
        }
        let spots = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
        let cells = spots.map(|(row, column)| *setting.cells.at(row, column));
        setting.cells = Repeat {
            cells: cells.collect(),
            rows: rows as usize,
            columns: columns as usize,
        };
    }

    fn in_setting(&self, at: Spot) -> Result<(), Refusal> {
        let inside = at.row < self.setting.rows && at.column < self.setting.columns;
        inside.then_some(()).ok_or(Refusal::NoSuchSpot(at))
    }

    /// Which cell of the repeat lies there.
    fn index(&self, at: Spot) -> Result<usize, Refusal> {
        self.in_setting(at)?;
        let repeat = &self.setting.cells;
        Ok(at.row as usize % repeat.rows * repeat.columns + at.column as usize % repeat.columns)
    }

    fn each_cell(&mut self, mut change: impl FnMut(&mut CellPlan)) {
        self.setting.cells.cells.iter_mut().for_each(&mut change);
        if let Kind::OnPoint { between, .. } = &mut self.setting.kind {
            between.cells.iter_mut().for_each(&mut change);
        }
        let pins = self.setting.pinned.iter_mut();
        pins.for_each(|pin| change(&mut pin.cell));
    }

    /// Every unit and corner block of the borders.
    fn each_border_cell(&mut self, mut change: impl FnMut(&mut CellPlan)) {
        for border in &mut self.borders {
            if let BorderKind::Pieced(pieced) = &mut border.kind {
                pieced.units.iter_mut().for_each(&mut change);
                pieced.corner.iter_mut().for_each(&mut change);
            }
        }
    }

    /// After a block is drafted anew: pools go on filling the places of the same names.
    fn follow_places(&mut self, id: BlockId, before: &BlockPlan) {
        let places = &self.blocks[id.0].places;
        for pool in &mut self.choosing.pools {
            pool.fills.retain_mut(|(block, place)| {
                if *block != id {
                    return true;
                }
                let name = before.places.get(*place).map(|place| &place.name);
                let now = places.iter().position(|place| Some(&place.name) == name);
                *place = now.unwrap_or(*place);
                now.is_some()
            });
        }
    }

    /// Every mention of a cloth, whatever it is for.
    fn each_cloth(&mut self, mut change: impl FnMut(&mut ClothId)) {
        for block in &mut self.blocks {
            let places = block.places.iter_mut().flat_map(|p| p.cloths.iter_mut());
            places.for_each(&mut change);
            let ways = block.colourways.iter_mut().flat_map(|w| &mut w.places);
            ways.flat_map(|(_, cloths)| cloths).for_each(&mut change);
        }
        match &mut self.setting.kind {
            Kind::OnPoint { edge: cloth, .. }
            | Kind::Strips { cloth, .. }
            | Kind::HalfDrop {
                ends: Ends::Plain(cloth),
            }
            | Kind::Brick {
                ends: Ends::Plain(cloth),
            } => change(cloth),
            Kind::Straight | Kind::HalfDrop { .. } | Kind::Brick { .. } => {}
        }
        if let Some(sashing) = &mut self.setting.sashing {
            change(&mut sashing.cloth);
            sashing.posts.iter_mut().for_each(&mut change);
        }
        for border in &mut self.borders {
            if border.own_cloth().is_some() {
                change(&mut border.cloth);
            }
            if let Corner::Squares(cloth) = &mut border.corner {
                change(cloth);
            }
        }
        let pieces = self.small.iter_mut();
        pieces.for_each(|piece| change(&mut piece.cloth));
        self.finishing
            .backing
            .cloth
            .iter_mut()
            .for_each(&mut change);
        self.finishing
            .binding
            .cloth
            .iter_mut()
            .for_each(&mut change);
        let choosing = &mut self.choosing;
        for pool in &mut choosing.pools {
            pool.counts.iter_mut().for_each(|(cloth, _)| change(cloth));
            pool.pins.iter_mut().for_each(|pin| change(&mut pin.cloth));
        }
        let pools = choosing.pools.iter_mut().map(|pool| &mut pool.from);
        let ramps = choosing.ramps.iter_mut().flat_map(|ramp| &mut ramp.from);
        for choice in pools.chain(ramps) {
            if let Choice::Cloths(cloths) = choice {
                cloths.iter_mut().for_each(&mut change);
            }
        }
    }

    /// Where a cloth lies, in the maker's words; `None` if nothing is cut from it.
    fn where_it_lies(&self, id: ClothId) -> Option<String> {
        for block in &self.blocks {
            let places = block.places.iter();
            let own = places.filter(|place| place.cloths.contains(&id));
            let ways = block.colourways.iter().flat_map(|way| &way.places);
            let changed = ways
                .filter(|(_, cloths)| cloths.contains(&id))
                .filter_map(|(place, _)| block.places.get(*place));
            if let Some(place) = own.chain(changed).next() {
                return Some(format!("“{}” of “{}”", place.name, block.name));
            }
        }
        let sashing = self.setting.sashing.as_ref();
        let on_edge = matches!(self.setting.kind, Kind::OnPoint { edge, .. } if edge == id);
        let border = self.borders.iter().position(|border| {
            border.own_cloth() == Some(id)
                || matches!(border.corner, Corner::Squares(cloth) if cloth == id)
        });
        if on_edge {
            return Some("the setting triangles".into());
        }
        match self.setting.kind {
            Kind::Strips { cloth, .. } if cloth == id => return Some("the strips".into()),
            Kind::HalfDrop { ends } | Kind::Brick { ends } if ends.cloth() == Some(id) => {
                return Some("the ends of the shifted lines".into());
            }
            _ => {}
        }
        if sashing.is_some_and(|s| s.cloth == id || s.posts == Some(id)) {
            return Some("the sashing".into());
        }
        if let Some(border) = border {
            return Some(format!("border {}", border + 1));
        }
        if let Some(piece) = self.small.iter().find(|piece| piece.cloth == id) {
            return Some(format!("the border of “{}”", piece.name));
        }
        if self.finishing.backing.cloth == Some(id) {
            return Some("the backing".into());
        }
        if self.finishing.binding.cloth == Some(id) {
            return Some("the binding".into());
        }
        let choosing = &self.choosing;
        let pool = choosing.pools.iter().find(|pool| {
            named_in(&pool.from, id)
                || pool.counts.iter().any(|(cloth, _)| *cloth == id)
                || pool.pins.iter().any(|pin| pin.cloth == id)
        });
        if let Some(pool) = pool {
            return Some(format!("the pool “{}”", pool.name));
        }
        let mut ramps = choosing.ramps.iter();
        let ramp = ramps.find(|ramp| ramp.from.iter().any(|from| named_in(from, id)));
        ramp.map(|ramp| format!("the ramp “{}”", ramp.name))
    }

    fn known(&self, cloth: ClothId) -> Result<(), Refusal> {
        let there = cloth.0 < self.cloths.len();
        there.then_some(()).ok_or(Refusal::NoSuchThing("cloth"))
    }

    fn known_all(&self, cloths: &[ClothId]) -> Result<(), Refusal> {
        if cloths.is_empty() {
            return Err(Refusal::NoCloth);
        }
        cloths.iter().try_for_each(|cloth| self.known(*cloth))
    }

    fn sound_cell(&self, cell: &CellPlan) -> Result<(), Refusal> {
        let block = self.blocks.get(cell.block.0);
        let block = block.ok_or(Refusal::NoSuchThing("block"))?;
        match cell.colourway {
            Some(way) if way >= block.colourways.len() => Err(Refusal::NoSuchThing("colourway")),
            _ => Ok(()),
        }
    }

    fn sound_repeat(&self, repeat: &Repeat) -> Result<(), Refusal> {
        let full = repeat.rows.checked_mul(repeat.columns) == Some(repeat.cells.len());
        if repeat.cells.is_empty() || !full {
            return Err(Refusal::NoBlocks);
        }
        repeat
            .cells
            .iter()
            .try_for_each(|cell| self.sound_cell(cell))
    }

    fn sound_border(&self, border: &BorderPlan) -> Result<(), Refusal> {
        match &border.kind {
            BorderKind::Plain => positive(&border.width, "A border"),
            BorderKind::UpTo { width, height } => {
                positive(width, "The width to make up")?;
                positive(height, "The height to make up")
            }
            BorderKind::Spacer => not_negative(&border.width, "A spacer").map(|_| ()),
            BorderKind::Pieced(pieced) if pieced.units.is_empty() => Err(Refusal::NoBlocks),
            BorderKind::Pieced(pieced) => {
                let mut cells = pieced.units.iter().chain(&pieced.corner);
                cells.try_for_each(|cell| self.sound_cell(cell))
            }
        }
    }

    fn sound_kind(&self, kind: &Kind) -> Result<(), Refusal> {
        match kind {
            Kind::Straight => Ok(()),
            Kind::Strips { width, cloth, .. } => {
                positive(width, "A strip")?;
                self.known(*cloth)
            }
            Kind::HalfDrop { ends } | Kind::Brick { ends } => {
                ends.cloth().map_or(Ok(()), |cloth| self.known(cloth))
            }
            Kind::OnPoint {
                between,
                edge,
                float,
            } => {
                self.sound_repeat(between)?;
                self.known(*edge)?;
                not_negative(float, "The float").map(|_| ())
            }
        }
    }

    fn sound_choosing(&self, choosing: &ChoosingPlan) -> Result<(), Refusal> {
        if choosing.groups < 2 {
            return Err(Refusal::NoLength("The number of groups by value"));
        }
        let choice = |choice: &Choice| match choice {
            Choice::Cloths(cloths) => self.known_all(cloths),
            _ => Ok(()),
        };
        for (index, pool) in choosing.pools.iter().enumerate() {
            let name = named(&pool.name)?;
            if choosing.pools[..index]
                .iter()
                .any(|other| other.name == name)
            {
                return Err(Refusal::NameTaken(name));
            }
            choice(&pool.from)?;
            if self.cloths_from(&pool.from).is_empty() {
                return Err(Refusal::NoCloth);
            }
            let pinned = pool.pins.iter().map(|pin| pin.cloth);
            let counted = pool.counts.iter().map(|(cloth, _)| *cloth);
            pinned
                .chain(counted)
                .try_for_each(|cloth| self.known(cloth))?;
            for &(block, place) in &pool.fills {
                let block = self.blocks.get(block.0);
                let block = block.ok_or(Refusal::NoSuchThing("block"))?;
                let place = block.places.get(place);
                place.ok_or(Refusal::NoSuchThing("place"))?;
            }
        }
        for (index, ramp) in choosing.ramps.iter().enumerate() {
            let name = named(&ramp.name)?;
            if choosing.ramps[..index]
                .iter()
                .any(|other| other.name == name)
            {
                return Err(Refusal::NameTaken(name));
            }
            ramp.from.iter().try_for_each(choice)?;
            if ramp.block.0 >= self.blocks.len() {
                return Err(Refusal::NoSuchThing("block"));
            }
            if ramp.arms.is_empty() || ![1, ramp.arms.len()].contains(&ramp.from.len()) {
                return Err(Refusal::NoSuchThing("arm"));
            }
        }
        Ok(())
    }

    fn sound_cloth(&self, cloth: &Cloth, of: Option<ClothId>) -> Result<(), Refusal> {
        named(&cloth.key)?;
        named(&cloth.name)?;
        positive(&cloth.width, "A cloth’s width")?;
        positive(&cloth.scale, "The scale of a print")?;
        let mut others = self.cloths.iter().enumerate();
        if others.any(|(i, other)| Some(ClothId(i)) != of && other.key == cloth.key) {
            return Err(Refusal::NameTaken(cloth.key.clone()));
        }
        Ok(())
    }
}

/// Whether a choice names this cloth itself.
fn named_in(choice: &Choice, id: ClothId) -> bool {
    matches!(choice, Choice::Cloths(cloths) if cloths.contains(&id))
}

fn named(name: &str) -> Result<String, Refusal> {
    let name = name.trim();
    (!name.is_empty())
        .then(|| name.to_owned())
        .ok_or(Refusal::NoName)
}

fn positive(length: &Surd, what: &'static str) -> Result<(), Refusal> {
    (*length > Surd::ZERO)
        .then_some(())
        .ok_or(Refusal::NoLength(what))
}

fn not_negative(length: &Surd, what: &'static str) -> Result<Surd, Refusal> {
    if *length < Surd::ZERO {
        return Err(Refusal::NoLength(what));
    }
    Ok(length.clone())
}
