//! Blocks laid out as fields.

use geometry::{Point, Surd};
use quilt::plan::{BlockPlan, Cell, Claim, ClothId, Draft, PlacePlan};
use toml_edit::{Array, InlineTable, Item, Table, Value};

use super::figures::{number, tight};
use super::pen::{Pen, spread, texts, word};
use super::unseen;
use crate::read;

impl Pen<'_> {
    /// One block with its places and colourways.
    pub(super) fn block(&self, block: &BlockPlan) -> Table {
        let mut table = Table::new();
        let (size, usual) = (self.size(&block.width, &block.height), keeps_size(block));
        self.put(&mut table, "size", size, usual);
        self.draft(block, &mut table);
        self.put(
            &mut table,
            "foundation",
            block.foundation,
            !block.foundation,
        );
        if block.draft.taken().is_some_and(|taken| !taken.own_cloths) {
            return table;
        }
        if !block.places.is_empty() {
            let mut places = Table::new();
            for place in &block.places {
                places.insert(&place.name, Item::Value(self.place(block, place)));
            }
            table.insert("places", Item::Table(places));
        }
        if !block.colourways.is_empty() {
            let mut ways = unseen();
            for way in &block.colourways {
                let mut changes = Table::new();
                for (place, cloths) in &way.places {
                    let name = block.places.get(*place).map_or("", |p| p.name.as_str());
                    changes.insert(name, Item::Value(self.cloths(cloths)));
                }
                ways.insert(&way.name, Item::Table(changes));
            }
            table.insert("colourway", Item::Table(ways));
        }
        table
    }

    fn draft(&self, block: &BlockPlan, table: &mut Table) {
        let text = |table: &mut Table, key: &str, value: Value| {
            table.insert(key, Item::Value(value));
        };
        let draft = match &block.draft {
            Draft::Grid { .. } => "grid",
            Draft::Nested { .. } => "nested",
            Draft::Log { .. } => "log",
            Draft::Star { .. } => "star",
            Draft::Hexagon { .. } => "hexagon",
            Draft::Triangles { .. } => "triangles",
            Draft::Hexagons { .. } => "hexagons",
            Draft::Lines { .. } => "lines",
            Draft::Pieces { .. } => "pieces",
            Draft::Taken(_) => "taken",
        };
        text(table, "draft", draft.into());
        match &block.draft {
            Draft::Grid {
                columns,
                rows,
                cells,
            } => {
                let row = |row: &[Cell]| row.iter().map(cell).collect::<Vec<_>>().join(" ");
                text(
                    table,
                    "cells",
                    texts(cells.chunks(columns.len().max(1)).map(row)),
                );
                self.put(table, "columns", shares(columns), equal(columns));
                self.put(table, "rows", shares(rows), equal(rows));
            }
            Draft::Nested {
                rounds,
                centre,
                twist,
            } => {
                text(table, "rounds", i64::from(*rounds).into());
                let centre = word(&read::CENTRES, *centre);
                self.put(table, "centre", centre, centre == "plain");
                let twist = word(&read::TWISTS, *twist);
                self.put(table, "twist", twist, twist == "clockwise");
            }
            Draft::Log {
                rounds,
                centre,
                style,
            } => {
                text(table, "rounds", i64::from(*rounds).into());
                text(table, "centre", number(centre, false).into());
                let style = word(&read::STYLES, *style);
                self.put(table, "style", style, style == "around");
            }
            Draft::Star { split } => self.put(table, "split", *split, !split),
            Draft::Hexagon { parts } => {
                let parts = word(&read::PARTS, *parts);
                self.put(table, "parts", parts, parts == "whole");
            }
            Draft::Triangles { rows, across } | Draft::Hexagons { rows, across } => {
                text(table, "rows", i64::from(*rows).into());
                text(table, "across", i64::from(*across).into());
            }
            Draft::Lines { lines } => {
                self.divided(block, table);
                let line = |line: &geometry::Segment| {
                    format!(
                        "{} - {}",
                        self.point(block, &line.a),
                        self.point(block, &line.b)
                    )
                };
                text(table, "lines", texts(lines.iter().map(line)));
            }
            Draft::Pieces { pieces } => {
                self.divided(block, table);
                let mut list = Array::new();
                for (name, outline) in pieces {
                    let mut piece = InlineTable::new();
                    piece.insert("place", name.as_str().into());
                    let corners = outline.points().iter().map(|p| self.point(block, p));
                    piece.insert("corners", Value::Array(corners.collect()));
                    list.push(piece);
                }
                spread(&mut list);
                text(table, "pieces", Value::Array(list));
            }
            Draft::Taken(taken) => {
                text(table, "from", taken.from().into());
                if let Some(part) = &taken.part {
                    let size = Point::new(part.width.clone(), part.height.clone());
                    let corners = [part.corner.clone(), &part.corner + &size];
                    let corners = corners.iter().map(|corner| self.point(block, corner));
                    text(table, "part", Value::Array(corners.collect()));
                }
                self.put(table, "mirrored", taken.mirrored, !taken.mirrored);
            }
        }
    }

    /// The divisions the maker counts points in, where there are any.
    fn divided(&self, block: &BlockPlan, table: &mut Table) {
        if let Some((across, down)) = self.divide(&block.name) {
            table.insert("divide", Item::Value(format!("{across} x {down}").into()));
        }
    }

    /// A point in the maker's divisions, or in the file's unit.
    fn point(&self, block: &BlockPlan, point: &Point) -> String {
        let drawn = matches!(block.draft, Draft::Lines { .. } | Draft::Pieces { .. });
        let unit = self.plan.measure.in_inches();
        let (across, down) = match self.divide(&block.name).filter(|_| drawn) {
            Some((across, down)) if across > 0 && down > 0 => {
                (block.width.over(across), block.height.over(down))
            }
            _ => (unit.clone(), unit),
        };
        let count = |length: &Surd, one: &Surd| match length.checked_div(one) {
            Some(count) => tight(&count),
            None => String::new(),
        };
        format!("{} {}", count(&point.x, &across), count(&point.y, &down))
    }

    /// A place: its cloth alone if it claims the patches of its own name.
    fn place(&self, block: &BlockPlan, place: &PlacePlan) -> Value {
        let own = [Claim::Spot(place.name.clone())];
        let pool = self.pool_of(block, place);
        if place.claims == own && !place.centred {
            return match pool {
                None => self.cloths(&place.cloths),
                Some(pool) => Value::InlineTable([("pool", pool)].into_iter().collect()),
            };
        }
        let (mut of, mut at) = (Array::new(), Array::new());
        for claim in &place.claims {
            match claim {
                Claim::Spot(name) => of.push(name.as_str()),
                Claim::At(point) => at.push(self.point(block, point)),
            }
        }
        let mut table = InlineTable::new();
        match pool {
            None => table.insert("cloth", self.cloths(&place.cloths)),
            Some(pool) => table.insert("pool", pool.into()),
        };
        let named = place.claims != own;
        if named && (!of.is_empty() || at.is_empty()) {
            table.insert("of", Value::Array(of));
        }
        if !at.is_empty() {
            table.insert("at", Value::Array(at));
        }
        if place.centred {
            table.insert("centred", true.into());
        }
        Value::InlineTable(table)
    }

    /// One cloth by its key, or a list of several.
    fn cloths(&self, cloths: &[ClothId]) -> Value {
        match cloths {
            [one] => self.cloth_key(*one).into(),
            many => Value::Array(many.iter().map(|id| self.cloth_key(*id)).collect()),
        }
    }
}

/// Whether a taken block is as large as what it is taken from.
fn keeps_size(block: &BlockPlan) -> bool {
    let Some(taken) = block.draft.taken() else {
        return false;
    };
    let part = taken.part.as_ref();
    let (width, height) = part.map_or((&taken.source.width, &taken.source.height), |part| {
        (&part.width, &part.height)
    });
    (&block.width, &block.height) == (width, height)
}

fn equal(shares: &[Surd]) -> bool {
    shares.iter().all(|share| *share == Surd::ONE)
}

fn shares(shares: &[Surd]) -> Value {
    Value::Array(shares.iter().map(|share| number(share, false)).collect())
}

/// One cell of a grid.
fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Whole(name) => name.clone(),
        Cell::Rising(a, b) => format!("{a}/{b}"),
        Cell::Falling(a, b) => format!("{a}\\{b}"),
        Cell::Hourglass(names) => names.join("|"),
        Cell::Goose {
            pointing,
            goose,
            sky,
        } => {
            let mark = read::goose_marks().into_iter().find(|(_, p)| p == pointing);
            format!("{goose}{}{sky}", mark.map_or('^', |(mark, _)| mark))
        }
        Cell::JoinedLeft => "<".into(),
        Cell::JoinedUp => "^".into(),
    }
}
