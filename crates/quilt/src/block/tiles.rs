//! The constructions of the trade, as tiles that cover the block.
//!
//! Each function returns outlines with their spot names in block coordinates (inches,
//! y down). Names and their order are promised in [`Draft`](crate::plan::Draft).

use geometry::{Point, Polygon, Surd};

use super::DraftFault;
use crate::plan::{Arm, Cell, Centre, HexagonParts, LogStyle, Pointing};

/// One patch of a construction.
pub(super) struct Tile {
    /// The name places claim it by.
    pub(super) spot: String,
    /// Where it lies.
    pub(super) outline: Polygon,
}

impl Tile {
    /// A tile on these corners. Constructions only ever name corners of real shapes.
    fn new(spot: impl Into<String>, corners: Vec<Point>) -> Self {
        let outline = Polygon::new(corners).expect("constructions give simple outlines");
        Self {
            spot: spot.into(),
            outline,
        }
    }
}

fn at(x: &Surd, y: &Surd) -> Point {
    Point::new(x.clone(), y.clone())
}

/// Where the divisions of a side lie, from 0 to `length`, for these shares.
fn divisions(length: &Surd, shares: &[Surd]) -> Vec<Surd> {
    let whole: Surd = shares.iter().cloned().sum();
    let mut marks = vec![Surd::ZERO];
    let mut sum = Surd::ZERO;
    for share in shares {
        sum += share;
        let part = sum
            .checked_div(&whole)
            .expect("shares are greater than zero");
        marks.push(length * &part);
    }
    marks
}

/// A grid of cells, see [`Draft::Grid`](crate::plan::Draft::Grid).
pub(super) fn grid(
    width: &Surd,
    height: &Surd,
    columns: &[Surd],
    rows: &[Surd],
    cells: &[Cell],
) -> Result<Vec<Tile>, Vec<DraftFault>> {
    let (xs, ys) = (divisions(width, columns), divisions(height, rows));
    let owners = owners(rows.len(), columns.len(), cells)?;
    let mut tiles = Vec::new();
    let mut faults = Vec::new();
    for (index, cell) in cells.iter().enumerate() {
        if owners[index] != index {
            continue;
        }
        let (row, column) = (index / columns.len(), index % columns.len());
        let owned = (0..cells.len()).filter(|&i| owners[i] == index);
        let (down, across) = owned.fold((row, column), |(r, c), i| {
            (r.max(i / columns.len()), c.max(i % columns.len()))
        });
        let full =
            (row..=down).all(|r| (column..=across).all(|c| owners[r * columns.len() + c] == index));
        if full {
            cell_tiles(
                cell,
                [&xs[column], &ys[row], &xs[across + 1], &ys[down + 1]],
                &mut tiles,
            );
        } else {
            faults.push(DraftFault::RaggedJoin {
                row: row + 1,
                column: column + 1,
            });
        }
    }
    if faults.is_empty() {
        Ok(tiles)
    } else {
        Err(faults)
    }
}

/// For each cell the cell it is part of.
fn owners(rows: usize, columns: usize, cells: &[Cell]) -> Result<Vec<usize>, Vec<DraftFault>> {
    let mut owners: Vec<usize> = Vec::with_capacity(cells.len());
    let mut faults = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let index = row * columns + column;
            let owner = match cells[index] {
                Cell::JoinedLeft if column > 0 => owners[index - 1],
                Cell::JoinedUp if row > 0 => owners[index - columns],
                Cell::JoinedLeft | Cell::JoinedUp => {
                    faults.push(DraftFault::JoinedToNothing {
                        row: row + 1,
                        column: column + 1,
                    });
                    index
                }
                _ => index,
            };
            owners.push(owner);
        }
    }
    if faults.is_empty() {
        Ok(owners)
    } else {
        Err(faults)
    }
}

fn cell_tiles(cell: &Cell, [x0, y0, x1, y1]: [&Surd; 4], tiles: &mut Vec<Tile>) {
    let (nw, ne, se, sw) = (at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1));
    match cell {
        Cell::Whole(name) => tiles.push(Tile::new(name, vec![nw, ne, se, sw])),
        Cell::Rising(upper, lower) => {
            tiles.push(Tile::new(upper, vec![nw, ne.clone(), sw.clone()]));
            tiles.push(Tile::new(lower, vec![ne, se, sw]));
        }
        Cell::Falling(lower, upper) => {
            tiles.push(Tile::new(lower, vec![nw.clone(), se.clone(), sw]));
            tiles.push(Tile::new(upper, vec![nw, ne, se]));
        }
        Cell::Hourglass(names) => {
            let c = Point::midpoint(&nw, &se);
            let corners = [nw, ne, se, sw];
            for (k, name) in names.iter().enumerate() {
                let (a, b) = (corners[k].clone(), corners[(k + 1) % 4].clone());
                tiles.push(Tile::new(name, vec![a, b, c.clone()]));
            }
        }
        Cell::Goose {
            pointing,
            goose,
            sky,
        } => {
            // Turn the corners so that the point is always in the middle of the first side.
            let mut corners = [nw, ne, se, sw];
            corners.rotate_left(match pointing {
                Pointing::Up => 0,
                Pointing::Right => 1,
                Pointing::Down => 2,
                Pointing::Left => 3,
            });
            let [a, b, c, d] = corners;
            let tip = Point::midpoint(&a, &b);
            tiles.push(Tile::new(sky, vec![a, tip.clone(), d.clone()]));
            tiles.push(Tile::new(goose, vec![tip.clone(), c.clone(), d]));
            tiles.push(Tile::new(sky, vec![tip, b, c]));
        }
        Cell::JoinedLeft | Cell::JoinedUp => {}
    }
}

/// Nested squares, see [`Draft::Nested`](crate::plan::Draft::Nested).
pub(super) fn nested(side: &Surd, rounds: u32, centre: Centre, twist: Arm) -> Vec<Tile> {
    let zero = Surd::ZERO;
    let mut square = [
        at(&zero, &zero),
        at(side, &zero),
        at(side, side),
        at(&zero, side),
    ];
    let mut tiles = Vec::new();
    for inward in 0..rounds {
        // `middles[k]` lies between corners k and k + 1, an eighth of a turn on from
        // corner k: keeping k turns inward clockwise, k − 1 against the clock.
        let middles: [Point; 4] =
            std::array::from_fn(|k| Point::midpoint(&square[k], &square[(k + 1) % 4]));
        for k in 0..4_usize {
            let arm = match twist {
                Arm::Clockwise => (k + inward as usize) % 4,
                Arm::Counterclockwise => k,
            };
            let corners = vec![
                middles[(k + 3) % 4].clone(),
                square[k].clone(),
                middles[k].clone(),
            ];
            tiles.push(Tile::new(
                format!("arm {} round {}", arm + 1, rounds - inward),
                corners,
            ));
        }
        square = middles;
    }
    match centre {
        Centre::Plain => tiles.push(Tile::new("centre", square.to_vec())),
        Centre::FourPatch => {
            let c = Point::midpoint(&square[0], &square[2]);
            for k in 0..4 {
                let before = Point::midpoint(&square[(k + 3) % 4], &square[k]);
                let after = Point::midpoint(&square[k], &square[(k + 1) % 4]);
                let corners = vec![before, square[k].clone(), after, c.clone()];
                tiles.push(Tile::new(format!("centre {}", k + 1), corners));
            }
        }
    }
    tiles
}

/// Strips round a centre, see [`Draft::Log`](crate::plan::Draft::Log).
pub(super) fn log(
    width: &Surd,
    height: &Surd,
    rounds: u32,
    centre: &Surd,
    style: LogStyle,
) -> Vec<Tile> {
    let strip = |side: &Surd| (side * &(Surd::ONE - centre)).over(2 * i64::from(rounds.max(1)));
    let (tx, ty) = (strip(width), strip(height));
    let inset = i64::from(rounds);
    let (mut x0, mut y0) = (tx.times(inset), ty.times(inset));
    let (mut x1, mut y1) = (width - &x0, height - &y0);
    let rect = |spot: String, a: &Surd, b: &Surd, c: &Surd, d: &Surd| {
        Tile::new(spot, vec![at(a, b), at(c, b), at(c, d), at(a, d)])
    };
    let mut tiles = vec![rect("centre".into(), &x0, &y0, &x1, &y1)];
    for round in 1..=rounds {
        let name = |side: u32| format!("side {side} round {round}");
        let (left, top, right, bottom) = (&x0 - &tx, &y0 - &ty, &x1 + &tx, &y1 + &ty);
        match style {
            LogStyle::Around => {
                tiles.push(rect(name(1), &left, &y0, &x0, &y1));
                tiles.push(rect(name(2), &left, &top, &x1, &y0));
                tiles.push(rect(name(3), &x1, &top, &right, &y1));
                tiles.push(rect(name(4), &left, &y1, &right, &bottom));
            }
            LogStyle::Pairs => {
                tiles.push(rect(name(1), &left, &y0, &x0, &y1));
                tiles.push(rect(name(2), &x1, &y0, &right, &y1));
                tiles.push(rect(name(3), &left, &top, &right, &y0));
                tiles.push(rect(name(4), &left, &y1, &right, &bottom));
            }
        }
        (x0, y0, x1, y1) = (left, top, right, bottom);
    }
    tiles
}

/// The eight-pointed star, see [`Draft::Star`](crate::plan::Draft::Star).
///
/// With diamonds of side `s` in a block of side `B`, `B = s·(2 + √2)`: from the centre a
/// point reaches `s·(1 + √2⁄2)` towards the edge.
pub(super) fn star(side: &Surd, split: bool) -> Vec<Tile> {
    let s = side
        .checked_div(&(Surd::TWO + Surd::root2()))
        .expect("2 + √2 is not zero");
    let centre = at(&side.half(), &side.half());
    let h = Surd::root2().half();
    // Eight directions clockwise from twelve o'clock.
    let (o, i) = (Surd::ZERO, Surd::ONE);
    let rays = [
        at(&o, &-&i),
        at(&h, &-&h),
        at(&i, &o),
        at(&h, &h),
        at(&o, &i),
        at(&-&h, &h),
        at(&-&i, &o),
        at(&-&h, &-&h),
    ];
    let notch = |k: usize| &centre + &rays[k % 8].scaled(&s);
    let tip = |k: usize| &notch(k) + &rays[(k + 1) % 8].scaled(&s);
    let mut tiles: Vec<Tile> = (0..8)
        .map(|k| {
            Tile::new(
                format!("point {}", k + 1),
                vec![centre.clone(), notch(k), tip(k), notch(k + 1)],
            )
        })
        .collect();
    let zero = Surd::ZERO;
    let corners = [
        at(side, &zero),
        at(side, side),
        at(&zero, side),
        at(&zero, &zero),
    ];
    let half = side.half();
    let middles = [
        at(side, &half),
        at(&half, side),
        at(&zero, &half),
        at(&half, &zero),
    ];
    for (k, outer) in corners.into_iter().enumerate() {
        // Corner k lies behind the notch between points 2k + 1 and 2k + 2.
        let (before, after) = (tip(2 * k), tip(2 * k + 1));
        let inner = notch(2 * k + 1);
        let name = format!("corner {}", k + 1);
        if split {
            tiles.push(Tile::new(
                format!("{name} half 1"),
                vec![before, outer.clone(), inner.clone()],
            ));
            tiles.push(Tile::new(
                format!("{name} half 2"),
                vec![outer, after, inner],
            ));
        } else {
            tiles.push(Tile::new(name, vec![before, outer, after, inner]));
        }
    }
    for (k, middle) in middles.into_iter().enumerate() {
        let (before, after) = (tip(2 * k + 1), tip((2 * k + 2) % 8));
        let inner = notch(2 * k + 2);
        let name = format!("side {}", k + 1);
        if split {
            tiles.push(Tile::new(
                format!("{name} half 1"),
                vec![before, middle.clone(), inner.clone()],
            ));
            tiles.push(Tile::new(
                format!("{name} half 2"),
                vec![middle, after, inner],
            ));
        } else {
            tiles.push(Tile::new(name, vec![before, after, inner]));
        }
    }
    tiles
}

/// A hexagon in a rectangle, see [`Draft::Hexagon`](crate::plan::Draft::Hexagon).
pub(super) fn hexagon(width: &Surd, height: &Surd, parts: HexagonParts) -> Vec<Tile> {
    let (zero, quarter, three, mid) = (
        Surd::ZERO,
        width.over(4),
        width.over(4).times(3),
        height.half(),
    );
    let v = [
        at(&quarter, &zero),
        at(&three, &zero),
        at(width, &mid),
        at(&three, height),
        at(&quarter, height),
        at(&zero, &mid),
    ];
    let c = at(&width.half(), &mid);
    let ring = |from: usize, many: usize| (from..from + many).map(|k| v[k % 6].clone());
    let numbered = |n: usize| format!("hexagon {n}");
    let mut tiles = match parts {
        HexagonParts::Whole => vec![Tile::new("hexagon", v.to_vec())],
        HexagonParts::Halves => vec![
            Tile::new(numbered(1), ring(5, 4).collect()),
            Tile::new(numbered(2), ring(2, 4).collect()),
        ],
        HexagonParts::Diamonds => (0..3)
            .map(|k| {
                Tile::new(
                    numbered(k + 1),
                    ring(2 * k + 5, 3).chain([c.clone()]).collect(),
                )
            })
            .collect(),
        HexagonParts::Triangles => (0..6)
            .map(|k| Tile::new(numbered(k + 1), ring(k, 2).chain([c.clone()]).collect()))
            .collect(),
        HexagonParts::Star => {
            let notch = |k: usize| Point::midpoint(&c, &v[k % 6]);
            let tip = |k: usize| Point::midpoint(&v[k % 6], &v[(k + 1) % 6]);
            let points = (0..6).map(|k| {
                let corners = vec![c.clone(), notch(k), tip(k), notch(k + 1)];
                Tile::new(format!("hexagon point {}", k + 1), corners)
            });
            let notches = (0..6).map(|k| {
                let corners = vec![notch(k), tip(k + 5), v[k].clone(), tip(k)];
                Tile::new(format!("hexagon notch {}", k + 1), corners)
            });
            points.chain(notches).collect()
        }
    };
    let corners = [
        (at(&zero, &zero), 5, 0),
        (at(width, &zero), 1, 2),
        (at(width, height), 2, 3),
        (at(&zero, height), 4, 5),
    ];
    for (k, (corner, a, b)) in corners.into_iter().enumerate() {
        tiles.push(Tile::new(
            format!("corner {}", k + 1),
            vec![corner, v[a].clone(), v[b].clone()],
        ));
    }
    tiles
}

/// Rows of 60° triangles, see [`Draft::Triangles`](crate::plan::Draft::Triangles).
pub(super) fn triangles(width: &Surd, height: &Surd, rows: u32, across: u32) -> Vec<Tile> {
    let half = width.over(2 * i64::from(across.max(1)));
    let row_height = height.over(i64::from(rows.max(1)));
    let mut tiles = Vec::new();
    for row in 0..rows {
        let (top, bottom) = (
            row_height.times(i64::from(row)),
            row_height.times(i64::from(row + 1)),
        );
        // Whole triangles stand on one side of the row and hang from the other, turn about.
        let (base, tip, whole, hanging) = if row % 2 == 0 {
            (&bottom, &top, "up", "down")
        } else {
            (&top, &bottom, "down", "up")
        };
        let x = |n: u32| half.times(i64::from(n));
        let last = 2 * across;
        let name = row + 1;
        tiles.push(Tile::new(
            format!("end row {name} left"),
            vec![at(&x(0), tip), at(&x(1), tip), at(&x(0), base)],
        ));
        for n in 0..(2 * across - 1) {
            let (way, edge, point) = if n % 2 == 0 {
                (whole, base, tip)
            } else {
                (hanging, tip, base)
            };
            tiles.push(Tile::new(
                format!("{way} row {name} number {}", n + 1),
                vec![at(&x(n), edge), at(&x(n + 2), edge), at(&x(n + 1), point)],
            ));
        }
        tiles.push(Tile::new(
            format!("end row {name} right"),
            vec![at(&x(last - 1), tip), at(&x(last), tip), at(&x(last), base)],
        ));
    }
    tiles
}

/// A field of half hexagons in rows, see [`Draft::Hexagons`](crate::plan::Draft::Hexagons).
///
/// ```text
///   ╲_____╱‾‾‾‾‾╲_____╱      With side s the columns stand 3⁄2·s apart; every second
///   ╱‾‾‾‾‾╲_____╱‾‾‾‾‾╲      half has its long side, 2s, at the bottom.
/// ```
pub(super) fn hexagons(width: &Surd, height: &Surd, rows: u32, across: u32) -> Vec<Tile> {
    let pitch = width.over(i64::from(across.max(1)));
    let side = pitch.times(2).over(3);
    let row_height = height.over(i64::from(rows.max(1)));
    let mut tiles = Vec::new();
    for row in 0..rows {
        let top = row_height.times(i64::from(row));
        let bottom = row_height.times(i64::from(row + 1));
        for column in 0..=across {
            let middle = pitch.times(i64::from(column));
            let upper = (row + column) % 2 == 0;
            let (above, below) = if upper {
                (side.half(), side.clone())
            } else {
                (side.clone(), side.half())
            };
            // At the edges only the half towards the middle of the block is there.
            let left = |reach: &Surd| (&middle - reach).max(Surd::ZERO);
            let right = |reach: &Surd| (&middle + reach).min(width.clone());
            let number = (row + column % 2) / 2 + 1;
            let half = if upper { "upper" } else { "lower" };
            tiles.push(Tile::new(
                format!("column {} hexagon {number} {half}", column + 1),
                vec![
                    at(&left(&above), &top),
                    at(&right(&above), &top),
                    at(&right(&below), &bottom),
                    at(&left(&below), &bottom),
                ],
            ));
        }
    }
    tiles
}
