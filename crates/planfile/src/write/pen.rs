//! A plan laid out as a table of fields, in one fixed way.

use std::collections::BTreeMap;

use geometry::Surd;
use quilt::measure::{Measure, Rounding};
use quilt::plan::{
    BlockId, BorderKind, BorderPlan, CellPlan, Cloth, ClothId, Colour, Corner, CutAlong,
    CuttingPlan, Kind, Motif, Paper, Pieced, Pinned, Plan, Rates, Repeat, Sashing, Target, Wish,
};
use toml_edit::{Array, ArrayOfTables, InlineTable, Item, Table, Value};

use super::{figures, unseen};
use crate::read::{self, letters, mate};
use crate::{beds, defaults};

/// What the maker's own file says that a plan does not hold: which letters stand for
/// which blocks, and which blocks count their points in divisions.
#[derive(Default)]
pub(super) struct Hints {
    /// Letter, block, colourway, in the file's order.
    letters: Vec<(String, String, Option<String>)>,
    /// Divisions across and down by the block's name.
    divides: BTreeMap<String, (i64, i64)>,
}

impl Hints {
    /// Gathers them from a file.
    pub(super) fn of(root: &Table) -> Self {
        let blocks = root.get("block").and_then(Item::as_table_like);
        let divides = blocks.into_iter().flat_map(|table| table.iter());
        let divides = divides.filter_map(|(name, item)| {
            let text = item.as_table_like()?.get("divide")?.as_str()?;
            let (across, down) = text.split_once(['x', 'X', '×'])?;
            Some((
                name.to_owned(),
                (across.trim().parse().ok()?, down.trim().parse().ok()?),
            ))
        });
        Self {
            letters: letters(root),
            divides: divides.collect(),
        }
    }

    /// The same after a change: blocks and colourways that were only renamed keep their
    /// letters and divisions, what is gone loses them.
    pub(super) fn carried(&self, old: &Plan, new: &Plan) -> Self {
        let block = |name: &str| carried(&old.blocks, &new.blocks, name, |b| &b.name);
        let letter = |(letter, name, way): &(String, String, Option<String>)| {
            let index = block(name)?;
            let before = old.blocks.iter().find(|b| b.name == *name)?;
            let after = new.blocks.get(index)?;
            let way = match way {
                None => None,
                Some(way) => {
                    let ways = (&before.colourways, &after.colourways);
                    let index = carried(ways.0, ways.1, way, |c| &c.name)?;
                    Some(after.colourways.get(index)?.name.clone())
                }
            };
            Some((letter.clone(), after.name.clone(), way))
        };
        let divide = |(name, divide): (&String, &(i64, i64))| {
            Some((new.blocks.get(block(name)?)?.name.clone(), *divide))
        };
        Self {
            letters: self.letters.iter().filter_map(letter).collect(),
            divides: self.divides.iter().filter_map(divide).collect(),
        }
    }
}

/// Where the thing of this name is after a change: under its name, or at its place in
/// the list if the name there is new.
fn carried<T>(old: &[T], new: &[T], name: &str, named: impl Fn(&T) -> &String) -> Option<usize> {
    if let Some(index) = new.iter().position(|thing| named(thing) == name) {
        return Some(index);
    }
    let index = old.iter().position(|thing| named(thing) == name)?;
    let fresh = named(new.get(index)?);
    let renamed = old.len() == new.len() && old.iter().all(|thing| named(thing) != fresh);
    renamed.then_some(index)
}

/// Lays out a plan.
pub(super) struct Pen<'p> {
    pub(super) plan: &'p Plan,
    hints: &'p Hints,
    /// Whether fields at their defaults are written too.
    full: bool,
}

impl<'p> Pen<'p> {
    /// Leaves out fields at their defaults.
    pub(super) fn brief(plan: &'p Plan, hints: &'p Hints) -> Self {
        Self {
            plan,
            hints,
            full: false,
        }
    }

    /// Writes every field.
    pub(super) fn full(plan: &'p Plan, hints: &'p Hints) -> Self {
        Self {
            plan,
            hints,
            full: true,
        }
    }

    /// The divisions the maker counts this block's points in.
    pub(super) fn divide(&self, block: &str) -> Option<(i64, i64)> {
        self.hints.divides.get(block).copied()
    }

    /// Puts a field into a table, unless it is at its default and need not be there.
    pub(super) fn put(&self, table: &mut Table, key: &str, value: impl Into<Value>, default: bool) {
        if self.full || !default {
            table.insert(key, Item::Value(value.into()));
        }
    }

    pub(super) fn length(&self, inches: &Surd) -> String {
        figures::length(self.plan.measure, inches)
    }

    fn put_length(&self, table: &mut Table, key: &str, inches: &Surd, default: &Surd) {
        self.put(table, key, self.length(inches), inches == default);
    }

    pub(super) fn size(&self, width: &Surd, height: &Surd) -> String {
        if width == height {
            self.length(width)
        } else {
            format!("{} x {}", self.length(width), self.length(height))
        }
    }

    pub(super) fn cloth_key(&self, id: ClothId) -> &'p str {
        self.plan
            .cloths
            .get(id.0)
            .map_or("", |cloth| cloth.key.as_str())
    }

    /// The whole plan.
    pub(super) fn plan(&self) -> Table {
        let plan = self.plan;
        let measure = plan.measure;
        let mut root = Table::new();
        root.insert("piecewright", Item::Value(i64::from(read::VERSION).into()));
        root.insert("title", Item::Value(plan.title.as_str().into()));
        self.put(&mut root, "note", plan.note.as_str(), plan.note.is_empty());
        let units = match measure {
            Measure::Inch => "inch",
            Measure::Centimetre => "cm",
        };
        root.insert("units", Item::Value(units.into()));
        root.insert("seam", Item::Value(self.length(&plan.seam).into()));
        root.insert("ruler", Item::Value(self.length(plan.ruler.mark()).into()));
        let nearest = plan.ruler.rounding == Rounding::Nearest;
        self.put(
            &mut root,
            "rounding",
            if nearest { "nearest" } else { "up" },
            !nearest,
        );
        let paper = match plan.paper {
            Paper::Letter => "letter",
            Paper::A4 => "a4",
        };
        root.insert("paper", Item::Value(paper.into()));
        self.put_table(&mut root, "buying", self.buying());
        let mut cloths = unseen();
        for cloth in &plan.cloths {
            cloths.insert(&cloth.key, Item::Table(self.cloth(cloth)));
        }
        root.insert("cloth", Item::Table(cloths));
        let mut blocks = unseen();
        for block in plan.blocks.iter().filter(|block| !block.made_by_setting()) {
            blocks.insert(&block.name, Item::Table(self.block(block)));
        }
        root.insert("block", Item::Table(blocks));
        root.insert("setting", Item::Table(self.setting()));
        if !plan.borders.is_empty() {
            let mut borders = ArrayOfTables::new();
            for border in &plan.borders {
                borders.push(self.border(border));
            }
            root.insert("border", Item::ArrayOfTables(borders));
        }
        let mut small = unseen();
        for piece in &plan.small {
            let mut table = Table::new();
            let size = self.size(&piece.width, &piece.height);
            table.insert("size", Item::Value(size.into()));
            table.insert("cloth", Item::Value(self.cloth_key(piece.cloth).into()));
            self.put_length(&mut table, "border", &piece.border, &Surd::ZERO);
            small.insert(&piece.name, Item::Table(table));
        }
        self.put_table(&mut root, "small", small);
        self.put_table(&mut root, "finishing", self.finishing());
        self.put_table(&mut root, "cutting", self.cutting());
        self.put_table(&mut root, "sewing", self.sewing());
        self.put_table(&mut root, "values", self.values());
        self.put_table(&mut root, "pool", self.pools());
        self.put_table(&mut root, "ramp", self.ramps());
        root
    }

    fn sewing(&self) -> Table {
        let (sewing, measure) = (&self.plan.sewing, self.plan.measure);
        let (rates, usual) = (&sewing.rates, Rates::default());
        let making = &self.plan.making;
        let mut table = Table::new();
        let wish = word(&read::WISHES, making.wish);
        self.put(&mut table, "make", wish, making.wish == Wish::default());
        for &(kind, way) in &making.settled {
            let way = Item::Value(read::way_name(way).into());
            table.insert(read::field(kind), way);
        }
        let errors = [
            ("cut_error", &sewing.cut_error, defaults::cut_error(measure)),
            (
                "seam_error",
                &sewing.seam_error,
                defaults::seam_error(measure),
            ),
        ];
        for (key, error, usual) in errors {
            self.put_length(&mut table, key, error, &usual);
        }
        let strips: Array = sewing.three_strips.iter().map(|s| self.length(s)).collect();
        self.put(
            &mut table,
            "three_strips",
            strips,
            sewing.three_strips.is_empty(),
        );
        self.put_length(&mut table, "sew", &rates.sew, &defaults::sew(measure));
        let seconds = [
            ("lay", rates.lay, usual.lay),
            ("press", rates.press, usual.press),
            ("pin", rates.pin, usual.pin),
            ("trim", rates.trim, usual.trim),
        ];
        for (key, rate, usual) in seconds {
            self.put(&mut table, key, i64::from(rate), rate == usual);
        }
        table
    }

    /// Puts a table that may turn out to be empty.
    pub(super) fn put_table(&self, parent: &mut Table, key: &str, table: Table) {
        if !table.is_empty() {
            parent.insert(key, Item::Table(table));
        }
    }

    fn buying(&self) -> Table {
        let (buying, measure) = (&self.plan.buying, self.plan.measure);
        let mut table = Table::new();
        self.put(
            &mut table,
            "step",
            self.step(),
            buying.step == defaults::step(measure),
        );
        let share = figures::number(&buying.shrinkage.times(100), true) + "%";
        self.put(
            &mut table,
            "shrinkage",
            share,
            buying.shrinkage == defaults::shrinkage(),
        );
        self.put_length(
            &mut table,
            "squaring",
            &buying.squaring,
            &defaults::squaring(measure),
        );
        self.put_length(&mut table, "spare", &buying.spare, &Surd::ZERO);
        self.put_length(
            &mut table,
            "width",
            &buying.width,
            &defaults::width(measure),
        );
        table
    }

    fn cutting(&self) -> Table {
        let (cutting, usual) = (&self.plan.cutting, CuttingPlan::default());
        let mut table = Table::new();
        self.put(
            &mut table,
            "layers",
            i64::from(cutting.layers),
            cutting.layers == usual.layers,
        );
        let hand = word(&read::HANDS, cutting.hand);
        self.put(&mut table, "hand", hand, cutting.hand == usual.hand);
        table
    }

    /// The step of buying, in yards where the shop counts them.
    fn step(&self) -> String {
        let step = &self.plan.buying.step;
        let yards = step.over(36);
        match yards.as_ratio() {
            Some((_, d)) if self.plan.measure == Measure::Inch && d <= 8 => {
                format!("{} yd", figures::number(&yards, false))
            }
            _ => self.length(step),
        }
    }

    fn cloth(&self, cloth: &Cloth) -> Table {
        let mut table = Table::new();
        self.put(
            &mut table,
            "name",
            cloth.name.as_str(),
            cloth.name == cloth.key,
        );
        table.insert("colour", Item::Value(colour(cloth.colour).into()));
        let plain = cloth.second == mate(cloth.colour, cloth.print);
        self.put(&mut table, "second", colour(cloth.second), plain);
        let print = word(&read::PRINTS, cloth.print);
        self.put(&mut table, "print", print, print == "plain");
        self.put_length(
            &mut table,
            "scale",
            &cloth.scale,
            &defaults::scale(self.plan.measure),
        );
        let usual = cloth.direction == defaults::direction(cloth.print);
        self.put(
            &mut table,
            "direction",
            word(&read::DIRECTIONS, cloth.direction),
            usual,
        );
        self.put_length(&mut table, "width", &cloth.width, &self.plan.buying.width);
        if let Some(value) = cloth.value {
            table.insert("value", Item::Value(word(&read::VALUES, value).into()));
        }
        if let Some(motif) = &cloth.motif {
            table.insert("motif", Item::Value(Value::InlineTable(self.motif(motif))));
        }
        self.supply(&mut table, &cloth.supply);
        self.record(&mut table, &cloth.record);
        table
    }

    fn motif(&self, motif: &Motif) -> InlineTable {
        let mut table = InlineTable::new();
        let mut put = |key: &str, length: &Surd| {
            table.insert(key, self.length(length).into());
        };
        put("across", &motif.across);
        put("along", &motif.along);
        if !motif.offset.is_zero() {
            put("offset", &motif.offset);
        }
        if let Some(edge) = &motif.from_edge {
            put("from_edge", edge);
        }
        if let Some(end) = &motif.from_end {
            put("from_end", end);
        }
        table
    }

    fn setting(&self) -> Table {
        let setting = &self.plan.setting;
        let letters = self.letters();
        let mut table = Table::new();
        let kind = match setting.kind {
            Kind::Straight => "straight",
            Kind::Strips { .. } => "strips",
            Kind::HalfDrop { .. } => "half-drop",
            Kind::Brick { .. } => "brick",
            Kind::OnPoint { .. } => "on point",
        };
        table.insert("kind", Item::Value(kind.into()));
        table.insert("rows", Item::Value(i64::from(setting.rows).into()));
        table.insert("columns", Item::Value(i64::from(setting.columns).into()));
        table.insert("cells", Item::Value(repeat(&setting.cells, &letters)));
        if !setting.pinned.is_empty() {
            let pins = setting.pinned.iter();
            table.insert(
                "pinned",
                Item::Value(texts(pins.map(|pin| pinned(pin, &letters)))),
            );
        }
        match &setting.kind {
            Kind::OnPoint {
                between,
                edge,
                float,
            } => {
                table.insert("between", Item::Value(repeat(between, &letters)));
                table.insert("edge", Item::Value(self.cloth_key(*edge).into()));
                self.put_length(&mut table, "float", float, &Surd::ZERO);
            }
            Kind::HalfDrop { ends } | Kind::Brick { ends } => {
                if let Some(cloth) = ends.cloth() {
                    table.insert("ends", Item::Value(self.cloth_key(cloth).into()));
                }
            }
            Kind::Straight | Kind::Strips { .. } => {}
        }
        let mut key = Table::new();
        for (letter, (block, colourway)) in &letters {
            key.insert(letter, Item::Value(self.named(*block, *colourway).into()));
        }
        table.insert("key", Item::Table(key));
        if let Kind::Strips {
            width,
            cloth,
            outside,
        } = &setting.kind
        {
            let mut strips = Table::new();
            strips.insert("width", Item::Value(self.length(width).into()));
            strips.insert("cloth", Item::Value(self.cloth_key(*cloth).into()));
            self.put(&mut strips, "outside", *outside, *outside);
            table.insert("strips", Item::Table(strips));
        }
        if let Some(sashing) = &setting.sashing {
            table.insert("sashing", Item::Table(self.sashing(sashing)));
        }
        if let Some(target) = &setting.target {
            table.insert("target", Item::Table(self.target(target)));
        }
        table
    }

    /// A block and its colourway as the key names them.
    fn named(&self, block: BlockId, colourway: Option<usize>) -> String {
        let Some(plan) = self.plan.blocks.get(block.0) else {
            return String::new();
        };
        match colourway.and_then(|index| plan.colourways.get(index)) {
            Some(colourway) => format!("{} / {}", plan.name, colourway.name),
            None => plan.name.clone(),
        }
    }

    /// Letters for everything the setting uses: the maker's own first, then new ones.
    fn letters(&self) -> Letters {
        let plan = self.plan;
        let mut letters: Letters = Vec::new();
        for (letter, name, colourway) in &self.hints.letters {
            let Some(id) = plan.blocks.iter().position(|b| b.name == *name) else {
                continue;
            };
            let ways = &plan.blocks[id].colourways;
            let way = colourway
                .as_ref()
                .and_then(|c| ways.iter().position(|w| w.name == *c));
            if way.is_some() == colourway.is_some() {
                letters.push((letter.clone(), (BlockId(id), way)));
            }
        }
        let between: &[CellPlan] = match &plan.setting.kind {
            Kind::OnPoint { between, .. } => &between.cells,
            _ => &[],
        };
        let pins = plan.setting.pinned.iter().map(|pin| &pin.cell);
        let pieced = plan.borders.iter().filter_map(|border| match &border.kind {
            BorderKind::Pieced(pieced) => Some(pieced.units.iter().chain(&pieced.corner)),
            _ => None,
        });
        let cells = plan.setting.cells.cells.iter().chain(between).chain(pins);
        for cell in cells.chain(pieced.flatten()) {
            let meant = (cell.block, cell.colourway);
            if letters.iter().all(|(_, known)| *known != meant) {
                let letter = fresh(&letters, &self.named(meant.0, meant.1));
                letters.push((letter, meant));
            }
        }
        letters
    }

    fn sashing(&self, sashing: &Sashing) -> Table {
        let mut table = Table::new();
        table.insert("width", Item::Value(self.length(&sashing.width).into()));
        table.insert("cloth", Item::Value(self.cloth_key(sashing.cloth).into()));
        if let Some(posts) = sashing.posts {
            table.insert("posts", Item::Value(self.cloth_key(posts).into()));
        }
        self.put(&mut table, "outside", sashing.outside, sashing.outside);
        table
    }

    fn target(&self, target: &Target) -> Table {
        let mut table = Table::new();
        match target {
            Target::Size { width, height } => {
                table.insert("size", Item::Value(self.size(width, height).into()));
            }
            Target::Bed { bed, drop, tuck } => {
                let standard = beds::bed(&bed.name).is_some_and(|known| known == *bed);
                let value = if standard {
                    bed.name.as_str().into()
                } else {
                    let mut own = InlineTable::new();
                    own.insert("name", bed.name.as_str().into());
                    own.insert("size", self.size(&bed.width, &bed.length).into());
                    Value::InlineTable(own)
                };
                table.insert("bed", Item::Value(value));
                self.put_length(&mut table, "drop", drop, &defaults::drop(self.plan.measure));
                self.put_length(&mut table, "tuck", tuck, &Surd::ZERO);
            }
        }
        table
    }

    fn border(&self, border: &BorderPlan) -> Table {
        let mut table = Table::new();
        match &border.kind {
            BorderKind::Pieced(pieced) => return self.pieced(border, pieced),
            BorderKind::Spacer => {
                table.insert("spacer", Item::Value(true.into()));
                self.put_length(&mut table, "width", &border.width, &Surd::ZERO);
            }
            BorderKind::UpTo { width, height } => {
                table.insert("up_to", Item::Value(self.size(width, height).into()));
            }
            BorderKind::Plain => {
                table.insert("width", Item::Value(self.length(&border.width).into()));
            }
        }
        table.insert("cloth", Item::Value(self.cloth_key(border.cloth).into()));
        let corner = match border.corner {
            Corner::Butted => "butted",
            Corner::Mitred => "mitred",
            Corner::Squares(_) => "squares",
        };
        self.put(
            &mut table,
            "corner",
            corner,
            border.corner == Corner::Butted,
        );
        if let Corner::Squares(cloth) = border.corner {
            table.insert("squares", Item::Value(self.cloth_key(cloth).into()));
        }
        let across = border.cut == CutAlong::Across;
        self.put(&mut table, "cut", word(&read::CUTS, border.cut), across);
        table
    }

    fn pieced(&self, border: &BorderPlan, pieced: &Pieced) -> Table {
        let letters = self.letters();
        let turned = |cells: &[CellPlan]| cells.iter().any(|cell| cell.turn != 0);
        let named = |cells: &[CellPlan]| {
            let turned = turned(cells);
            let names = cells.iter().map(|one| cell(one, &letters, turned));
            names.collect::<Vec<_>>().join(" ")
        };
        let mut table = Table::new();
        table.insert("units", Item::Value(named(&pieced.units).into()));
        match &pieced.corner {
            Some(corner) => {
                table.insert("corner_block", Item::Value(named(&[*corner]).into()));
            }
            None => {
                table.insert("cloth", Item::Value(self.cloth_key(border.cloth).into()));
            }
        }
        let middle = pieced.from_middle;
        self.put(&mut table, "from_middle", middle, !middle);
        table
    }

    fn finishing(&self) -> Table {
        let (finishing, measure) = (&self.plan.finishing, self.plan.measure);
        let cloth = |table: &mut Table, id: Option<ClothId>| {
            if let Some(id) = id {
                table.insert("cloth", Item::Value(self.cloth_key(id).into()));
            }
        };
        let mut table = unseen();
        if let Some(sleeve) = &finishing.sleeve {
            table.insert("sleeve", Item::Value(self.length(sleeve).into()));
        }
        let (plan, mut backing) = (&finishing.backing, Table::new());
        cloth(&mut backing, plan.cloth);
        let usual = defaults::backing_overage(measure);
        self.put_length(&mut backing, "overage", &plan.overage, &usual);
        self.put_length(
            &mut backing,
            "seam",
            &plan.seam,
            &defaults::backing_seam(measure),
        );
        self.put_table(&mut table, "backing", backing);
        let mut batting = Table::new();
        let usual = defaults::batting_overage(measure);
        self.put_length(&mut batting, "overage", &finishing.batting.overage, &usual);
        self.put_table(&mut table, "batting", batting);
        let (plan, mut binding) = (&finishing.binding, Table::new());
        cloth(&mut binding, plan.cloth);
        self.put_length(
            &mut binding,
            "width",
            &plan.width,
            &defaults::binding_width(measure),
        );
        let run = word(&read::RUNS, plan.run);
        self.put(&mut binding, "run", run, run == "straight");
        self.put_length(
            &mut binding,
            "extra",
            &plan.extra,
            &defaults::binding_extra(measure),
        );
        self.put_table(&mut table, "binding", binding);
        table
    }
}

/// Letters and what they stand for, in the order they were given.
type Letters = Vec<(String, (BlockId, Option<usize>))>;

/// A letter for a block that has none: from its name if it is free, else the next in
/// the alphabet, else two letters.
fn fresh(taken: &Letters, name: &str) -> String {
    let free = |letter: &String| taken.iter().all(|(known, _)| known != letter);
    let own = name
        .chars()
        .filter(char::is_ascii_alphabetic)
        .map(|c| c.to_ascii_uppercase().into());
    let single = ('A'..='Z').map(String::from);
    let double = ('A'..='Z').flat_map(|a| ('a'..='z').map(move |b| format!("{a}{b}")));
    let triple = (0..).map(|n| format!("A{}", "a".repeat(n + 2)));
    own.chain(single)
        .chain(double)
        .chain(triple)
        .find(free)
        .unwrap_or_default()
}

/// A repeat, one text a row; turns are written unless there are none.
fn repeat(repeat: &Repeat, letters: &Letters) -> Value {
    let turned = repeat.cells.iter().any(|cell| cell.turn != 0);
    let name = |cell: &CellPlan| self::cell(cell, letters, turned);
    let row = |cells: &[CellPlan]| cells.iter().map(name).collect::<Vec<_>>().join(" ");
    texts(repeat.cells.chunks(repeat.columns.max(1)).map(row))
}

/// One cell: its letter, its turn if `turned`, and `m` where it is mirrored.
fn cell(cell: &CellPlan, letters: &Letters, turned: bool) -> String {
    let meant = (cell.block, cell.colourway);
    let letter = letters.iter().find(|(_, known)| *known == meant);
    let letter = letter.map_or("", |(letter, _)| letter.as_str());
    match (cell.mirrored, turned) {
        (true, _) => format!("{letter}{}m", cell.turn),
        (false, true) => format!("{letter}{}", cell.turn),
        (false, false) => letter.to_owned(),
    }
}

/// Row, column and what lies there.
fn pinned(pin: &Pinned, letters: &Letters) -> String {
    let turned = pin.cell.turn != 0;
    format!(
        "{} {} {}",
        pin.row + 1,
        pin.column + 1,
        cell(&pin.cell, letters, turned)
    )
}

/// A list of texts, one a line if there are several.
pub(super) fn texts(lines: impl Iterator<Item = String>) -> Value {
    let mut array: Array = lines.collect();
    if array.len() > 1 {
        spread(&mut array);
    }
    Value::Array(array)
}

/// Lays a list out with one entry a line.
pub(super) fn spread(array: &mut Array) {
    for entry in array.iter_mut() {
        entry.decor_mut().set_prefix("\n  ");
    }
    array.set_trailing("\n");
    array.set_trailing_comma(true);
}

pub(super) fn word<T: PartialEq + Copy>(known: &[(&'static str, T)], value: T) -> &'static str {
    known
        .iter()
        .find(|(_, v)| *v == value)
        .map_or("", |(word, _)| word)
}

fn colour(Colour { red, green, blue }: Colour) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}
