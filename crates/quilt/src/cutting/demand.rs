//! What each cloth must give: the patches of the blocks, the parts of the top, the edge
//! and the back, gathered by cloth and by way of cutting.
//!
//! Patches are counted, not listed: copies of one block in one colourway differ in cloth
//! only by the running number of the copy ([`setting::cloth_of`]), and that repeats with
//! the number of cloths in the place's list. So one look at a patch serves all copies that
//! take the same turn in the list, and a top of many thousand patches costs no more than
//! its blocks.
//!
//! **Units.** Finished sizes are exact inches; a size meets the ruler once, as it is cut.

use std::collections::BTreeMap;

use geometry::Surd;

use super::kinds::{self, Key, Lay, Lie, Split};
use super::{Method, Served, Use};
use crate::block::{Block, Founded, Rotary, RotaryShape};
use crate::finishing::Finishing;
use crate::measure::Cut;
use crate::plan::{BlockId, ClothId, CutAlong, Direction, Plan};
use crate::results::Blocks;
use crate::setting::cut_sizes::{self, PartCut};
use crate::setting::{self, Part, PartKind, PlacedBlock, Top};

/// What is cut alike from one cloth.
#[derive(Clone)]
pub(super) struct Group {
    /// How it is cut.
    pub(super) method: Method,
    /// For each sort of piece ([`Split::sort`]) what it serves.
    pub(super) sorts: BTreeMap<u32, BTreeMap<Use, u32>>,
    /// For strips joined or cut along the selvage: the lengths needed.
    pub(super) lengths: Vec<Cut>,
}

impl Group {
    /// Everything it serves, with counts.
    pub(super) fn serves(&self) -> Vec<Served> {
        let mut all: BTreeMap<&Use, u32> = BTreeMap::new();
        for (usage, count) in self.sorts.values().flatten() {
            *all.entry(usage).or_default() += count;
        }
        all.into_iter()
            .map(|(&usage, count)| Served { usage, count })
            .collect()
    }

    /// How many squares or rectangles, cut further like `split`, give all of it.
    pub(super) fn slabs(&self, split: Split, direction: Direction) -> u32 {
        let needed = |sort: u32| {
            let wanted: u32 = self.sorts.get(&sort).map_or(0, |uses| uses.values().sum());
            let each = (0..split.yields())
                .filter(|&i| split.sort(i, direction) == sort)
                .count();
            wanted.div_ceil(u32::try_from(each).unwrap_or(1).max(1))
        };
        self.sorts
            .keys()
            .map(|&sort| needed(sort))
            .max()
            .unwrap_or_default()
    }
}

/// For each cloth what is cut from it.
pub(super) type Demands = BTreeMap<ClothId, BTreeMap<Key, Group>>;

/// Everything the plan needs, by cloth.
pub(super) fn gathered(plan: &Plan, blocks: &Blocks, top: &Top, finishing: &Finishing) -> Demands {
    let mut gathering = Gathering {
        plan,
        demands: Demands::new(),
    };
    for ((cloth, want), count) in patch_counts(plan, blocks, top) {
        match want {
            Want::Lay(lay) => {
                if let Some(block) = blocks.get(lay.block.0).and_then(Option::as_ref) {
                    let direction = plan.cloth(cloth).direction;
                    let (key, sort, method) = kinds::kind_of(block, lay, direction);
                    let usage = Use::Patch(lay.block, lay.template);
                    gathering.add(cloth, key, method, (sort, usage, count));
                }
            }
            Want::Rough(rough) => {
                let founded = blocks.get(rough.block.0).and_then(Option::as_ref);
                let founded = founded.and_then(|block| block.foundation.as_ref());
                if let Some(founded) = founded {
                    gathering.rough(cloth, founded, rough, count);
                }
            }
        }
    }
    for part in &top.parts {
        gathering.part(part);
    }
    gathering.finishing(finishing);
    gathering.demands
}

/// How a patch is cut.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Want {
    /// By its template or a ruler recipe.
    Lay(Lay),
    /// As a rectangle for a foundation.
    Rough(RoughLay),
}

/// A rectangle for a foundation as it lies on a cloth.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct RoughLay {
    block: BlockId,
    section: usize,
    number: usize,
    /// Of a cloth whose print has a direction: the side along its seam lies across the
    /// cloth, so that the print stands as upright in the block as the seam allows. `None`
    /// where it may lie any way.
    level: Option<bool>,
}

/// How many patches lie in each way on each cloth.
fn patch_counts(plan: &Plan, blocks: &Blocks, top: &Top) -> BTreeMap<(ClothId, Want), u32> {
    let mut copies: BTreeMap<(BlockId, Option<usize>), Vec<&PlacedBlock>> = BTreeMap::new();
    for placed in &top.blocks {
        copies
            .entry((placed.block, placed.colourway))
            .or_default()
            .push(placed);
    }
    let mut counts = BTreeMap::new();
    for ((id, colourway), copies) in copies {
        if let Some(block) = blocks.get(id.0).and_then(Option::as_ref) {
            let turns = Turns::of(&copies);
            count_block(plan, id, colourway, block, turns, &mut counts);
        }
    }
    counts
}

/// The copies of one block in one colourway, told apart by their turn in a list of cloths.
struct Turns<'a> {
    copies: &'a [&'a PlacedBlock],
    /// By length of list: one copy for each turn, and how many take that turn.
    by_length: BTreeMap<usize, Vec<(&'a PlacedBlock, u32)>>,
}

impl<'a> Turns<'a> {
    fn of(copies: &'a [&'a PlacedBlock]) -> Self {
        Self {
            copies,
            by_length: BTreeMap::new(),
        }
    }

    fn through(&mut self, length: usize) -> &[(&'a PlacedBlock, u32)] {
        let copies = self.copies;
        self.by_length.entry(length).or_insert_with(|| {
            let mut turns: BTreeMap<usize, (&PlacedBlock, u32)> = BTreeMap::new();
            for &placed in copies {
                turns
                    .entry(placed.copy as usize % length.max(1))
                    .or_insert((placed, 0))
                    .1 += 1;
            }
            turns.into_values().collect()
        })
    }
}

fn count_block(
    plan: &Plan,
    id: BlockId,
    colourway: Option<usize>,
    block: &Block,
    mut turns: Turns<'_>,
    counts: &mut BTreeMap<(ClothId, Want), u32>,
) {
    let block_plan = plan.block(id);
    for (index, patch) in block.patches.iter().enumerate() {
        let Some(place) = patch.place else { continue };
        let changed = colourway
            .and_then(|way| block_plan.colourways.get(way))
            .and_then(|way| {
                way.places
                    .iter()
                    .find(|(changed, _)| *changed == place)
                    .map(|(_, cloths)| cloths)
            });
        let scattered = turns
            .copies
            .iter()
            .any(|copy| copy.scraps.contains_key(&index));
        let length = match scattered {
            // Every copy its own.
            true => usize::MAX,
            false => changed.unwrap_or(&block_plan.places[place].cloths).len(),
        };
        for &(placed, many) in turns.through(length) {
            let cloth = setting::cloth_of(plan, placed, place, index);
            let direction = plan.cloth(cloth).direction;
            let founded = block.foundation.as_ref();
            let want = match founded.and_then(|f| Some((f, f.piece(index)?))) {
                Some((founded, (section, number))) => Want::Rough(RoughLay {
                    block: id,
                    section,
                    number,
                    level: (direction != Direction::Free)
                        .then(|| founded.level(&block.drafted, index)),
                }),
                None => Want::Lay(Lay {
                    block: id,
                    template: patch.template,
                    mirrored: patch.from_template.is_mirrored(),
                    lie: Lie::of(patch, direction),
                    centred: plan.is_centred(id, place, cloth),
                }),
            };
            *counts.entry((cloth, want)).or_default() += many;
        }
    }
}

struct Gathering<'a> {
    plan: &'a Plan,
    demands: Demands,
}

impl Gathering<'_> {
    fn group(&mut self, cloth: ClothId, key: Key, method: Method) -> &mut Group {
        self.demands
            .entry(cloth)
            .or_default()
            .entry(key)
            .or_insert_with(|| Group {
                method,
                sorts: BTreeMap::new(),
                lengths: Vec::new(),
            })
    }

    /// So many pieces of one sort for one use.
    fn add(&mut self, cloth: ClothId, key: Key, method: Method, want: (u32, Use, u32)) {
        let (sort, usage, count) = want;
        let uses = self
            .group(cloth, key, method)
            .sorts
            .entry(sort)
            .or_default();
        *uses.entry(usage).or_default() += count;
    }

    /// Rectangles for foundations.
    fn rough(&mut self, cloth: ClothId, founded: &Founded, lay: RoughLay, count: u32) {
        let pieces = founded.kinds.get(lay.section).map(|kind| &kind.pieces);
        let Some(piece) = pieces.and_then(|pieces| pieces.get(lay.number - 1)) else {
            return;
        };
        let (along, across) = (piece.along.clone(), piece.across.clone());
        // Of a piece that may be turned the shorter side comes first.
        let (height, width) = match lay.level {
            Some(true) => (across, along),
            Some(false) => (along, across),
            None if along.marks < across.marks => (along, across),
            None => (across, along),
        };
        let key = kinds::slab(height.marks, width.marks, lay.level.is_none(), Split::Whole);
        let usage = Use::Rough(lay.block, lay.section, lay.number);
        let method = Method::Rectangle { height, width };
        self.add(cloth, key, method, (0, usage, count));
    }

    fn cut(&self, exact: Surd) -> Cut {
        self.plan.ruler.cut(exact)
    }

    fn across(&self, cloth: ClothId) -> i64 {
        self.plan.ruler.down(&self.plan.cloth(cloth).width)
    }

    fn part(&mut self, part: &Part) {
        match cut_sizes::part_cut(part, &self.plan.seam) {
            PartCut::Rectangle { length, width } => self.strip(part, length, width),
            PartCut::Strip {
                length,
                width,
                spare,
            } => self.strip(part, length + spare, width),
            PartCut::SquareCutOnce { side } => self.half_square(part, side),
            PartCut::SquareCutTwice { side } => self.quarter_square(part, side),
        }
    }

    /// A rectangle; a long one is joined from strips or cut along the selvage.
    fn strip(&mut self, part: &Part, length: Surd, width: Surd) {
        let (long, short) = (self.cut(length), self.cut(width));
        let usage = Use::Part(part.kind);
        let border = match part.kind {
            PartKind::BorderSide(border) | PartKind::BorderEnd(border) => Some(border),
            _ => None,
        };
        let along = border
            .and_then(|b| self.plan.borders.get(b))
            .map(|plan| plan.cut);
        if let (Some(border), Some(CutAlong::Length)) = (border, along) {
            let key = Key::Lengthwise {
                border,
                strip: short.marks,
            };
            let method = Method::Lengthwise {
                strip: short,
                lengths: Vec::new(),
            };
            self.add(part.cloth, key, method.clone(), (0, usage, 1));
            self.group(part.cloth, key, method).lengths.push(long);
            return;
        }
        let free = self.plan.cloth(part.cloth).direction == Direction::Free;
        // A border is cut across because the maker says so, whatever the print.
        let upright = border.is_none() && !free && Place::of(part).upright;
        if !upright && long.marks > self.across(part.cloth) {
            let kind = match part.kind {
                PartKind::BorderEnd(border) => PartKind::BorderSide(border),
                other => other,
            };
            self.joined(part.cloth, Some(kind), short, long, usage);
        } else {
            let (height, width) = if upright {
                (long, short)
            } else {
                (short, long)
            };
            let turnable = free && border.is_none();
            let key = kinds::slab(height.marks, width.marks, turnable, Split::Whole);
            self.add(
                part.cloth,
                key,
                Method::Rectangle { height, width },
                (0, usage, 1),
            );
        }
    }

    fn joined(
        &mut self,
        cloth: ClothId,
        part: Option<PartKind>,
        strip: Cut,
        length: Cut,
        usage: Use,
    ) {
        let key = Key::Joined {
            part,
            strip: strip.marks,
        };
        let method = Method::JoinedStrips {
            strip,
            lengths: Vec::new(),
        };
        self.add(cloth, key, method.clone(), (0, usage, 1));
        self.group(cloth, key, method).lengths.push(length);
    }

    /// Half of a square.
    fn half_square(&mut self, part: &Part, side: Surd) {
        let free = self.plan.cloth(part.cloth).direction == Direction::Free;
        let place = Place::of(part);
        let (rising, index) = kinds::half_of(place.corner_upper, place.corner_left);
        let split = Split::Once {
            rising: free || rising,
        };
        self.square(part, side, (RotaryShape::HalfSquareTriangle, split, index));
    }

    /// A quarter of a square.
    fn quarter_square(&mut self, part: &Part, side: Surd) {
        let index = Place::of(part).long_side;
        self.square(
            part,
            side,
            (RotaryShape::QuarterSquareTriangle, Split::Twice, index),
        );
    }

    /// The `index`th piece of a square of this exact side, split.
    fn square(&mut self, part: &Part, side: Surd, piece: (RotaryShape, Split, u32)) {
        let (shape, split, index) = piece;
        let side = self.cut(side);
        let key = kinds::slab(side.marks, side.marks, false, split);
        let sort = split.sort(index, self.plan.cloth(part.cloth).direction);
        let rotary = Rotary {
            shape,
            strip: side.clone(),
            crosscut: side,
            advance: None,
            yields: split.yields(),
            blunted: None,
        };
        let want = (sort, Use::Part(part.kind), 1);
        self.add(part.cloth, key, Method::Ruler(Box::new(rotary)), want);
    }

    fn finishing(&mut self, finishing: &Finishing) {
        if let Some(cloth) = finishing.backing.cloth {
            let way = &finishing.backing.chosen;
            let length = self.cut(way.length.clone());
            let method = Method::Rectangle {
                height: length.clone(),
                width: self.cut_marks(self.across(cloth)),
            };
            let key = Key::Backing {
                length: length.marks,
            };
            self.add(cloth, key, method, (0, Use::Backing, way.lengths));
        }
        if let (Some(cloth), Some(sleeve)) = (finishing.backing.cloth, &finishing.sleeve) {
            self.sleeve(cloth, &sleeve.cut_depth, &sleeve.cut_length);
        }
        if let Some(cloth) = finishing.binding.cloth {
            self.binding(cloth, finishing);
        }
    }

    fn sleeve(&mut self, cloth: ClothId, depth: &Surd, length: &Surd) {
        let (depth, length) = (self.cut(depth.clone()), self.cut(length.clone()));
        if length.marks > self.across(cloth) {
            self.joined(cloth, None, depth, length, Use::Sleeve);
        } else {
            let free = self.plan.cloth(cloth).direction == Direction::Free;
            // As everywhere, of a piece that may be turned the shorter side comes first.
            let (height, width) = if free && depth.marks > length.marks {
                (length, depth)
            } else {
                (depth, length)
            };
            let key = kinds::slab(height.marks, width.marks, free, Split::Whole);
            self.add(
                cloth,
                key,
                Method::Rectangle { height, width },
                (0, Use::Sleeve, 1),
            );
        }
    }

    fn binding(&mut self, cloth: ClothId, finishing: &Finishing) {
        let binding = &finishing.binding;
        if let Some(side) = &binding.bias_square {
            let (count, side) = self.bias_squares(cloth, side);
            let key = Key::BiasSquare { side: side.marks };
            self.add(
                cloth,
                key,
                Method::BiasSquare { side },
                (0, Use::Binding, count),
            );
        } else if binding.strips > 0 {
            let strip = self.cut(binding.strip.clone());
            let key = Key::Binding { strip: strip.marks };
            let method = Method::Rectangle {
                height: strip,
                width: self.cut_marks(self.across(cloth)),
            };
            self.add(cloth, key, method, (0, Use::Binding, binding.strips));
        }
    }

    /// The square, or where the cloth is too narrow for it the fewest squares of the same
    /// area together, to the inch.
    fn bias_squares(&self, cloth: ClothId, side: &Surd) -> (u32, Cut) {
        let across = self.across(cloth);
        let area = (side * side).to_f64();
        (1..=16)
            .map(|count| {
                let whole = (area / f64::from(count)).sqrt() - 1e-9;
                let side = if count == 1 {
                    side.clone()
                } else {
                    Surd::int(whole.ceil() as i64)
                };
                (count, self.cut(side))
            })
            .find(|(_, side)| side.marks <= across)
            .unwrap_or_else(|| (1, self.cut(side.clone())))
    }

    fn cut_marks(&self, marks: i64) -> Cut {
        let size = self.plan.ruler.length(marks);
        Cut {
            marks,
            exact: size.clone(),
            size,
        }
    }
}

/// How a part lies in the top.
struct Place {
    /// Its long side runs down rather than across; of slanting ones, down to the left.
    upright: bool,
    /// Of a right triangle: its square corner is in the upper half.
    corner_upper: bool,
    /// Its square corner is in the left half.
    corner_left: bool,
    /// The side of its square on which its long side lies: top, right, bottom, left.
    long_side: u32,
}

impl Place {
    fn of(part: &Part) -> Self {
        let points: Vec<[f64; 2]> = part
            .outline
            .points()
            .iter()
            .map(geometry::Point::to_f64)
            .collect();
        let n = points.len();
        let length = |i: usize| {
            let (a, b) = (points[i], points[(i + 1) % n]);
            (a[0] - b[0]).hypot(a[1] - b[1])
        };
        let longest = (0..n)
            .max_by(|&i, &j| length(i).total_cmp(&length(j)).then(j.cmp(&i)))
            .unwrap_or(0);
        let (a, b) = (points[longest], points[(longest + 1) % n]);
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        // The outline runs clockwise, so its body lies on the right of its long side; the
        // square corner lies away from it.
        let body = [-dy, dx];
        let flatter = dx.abs() - dy.abs();
        let upright = if flatter.abs() < 1e-9 {
            dx * dy < 0.0
        } else {
            flatter < 0.0
        };
        Self {
            upright,
            corner_upper: body[1] < 0.0,
            corner_left: body[0] < 0.0,
            long_side: match (upright, body) {
                (false, [_, down]) if down > 0.0 => 0,
                (false, _) => 2,
                (true, [right, _]) if right < 0.0 => 1,
                (true, _) => 3,
            },
        }
    }
}
