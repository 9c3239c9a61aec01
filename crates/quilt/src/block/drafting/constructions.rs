//! The constructions of the trade, to lay down and pull.
//!
//! A [`Construction`] with its two or three numbers, its *pulls*, gives a whole block:
//! its draft, and places so that every patch has its part in it. Cloth stays where a place
//! of the same name was there before; a place that is new takes the cloth of the plan that
//! is as light or dark as its part asks.

use geometry::Surd;

use super::super::draft::drafted;
use super::super::templates::place_of;
use super::keep_places;
use crate::colour::lightness;
use crate::plan::{
    Arm, BlockPlan, Cell, Centre, Claim, ClothId, Draft, HexagonParts, LogStyle, PlacePlan, Plan,
    Pointing,
};

/// What can be laid down.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Construction {
    /// Squares side by side.
    Squares,
    /// Squares cut by one diagonal.
    HalfSquares,
    /// Squares cut by both diagonals.
    Hourglasses,
    /// Flying geese.
    Geese,
    /// A square in a frame.
    Framed,
    /// Squares nested by joining the middles of the sides.
    Nested,
    /// Strips laid round a centre.
    Log,
    /// An eight-pointed star.
    Star,
    /// A hexagon.
    Hexagon,
    /// Rows of 60° triangles.
    Triangles,
    /// Rows of hexagons, each sewn as two halves.
    Hexagons,
}

/// One number of a construction that can be pulled.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Pull {
    /// What it counts or chooses, in the maker's words.
    pub name: &'static str,
    /// The least it can be.
    pub least: u32,
    /// The most.
    pub most: u32,
    /// What it is at first.
    pub usual: u32,
    /// What each value means, from `least` on, where it is a choice and no count.
    pub words: &'static [&'static str],
}

impl Pull {
    const fn count(name: &'static str, most: u32, usual: u32) -> Self {
        Self {
            name,
            least: 1,
            most,
            usual,
            words: &[],
        }
    }

    const fn choice(name: &'static str, words: &'static [&'static str]) -> Self {
        let most = words.len() as u32 - 1;
        Self {
            name,
            least: 0,
            most,
            usual: 0,
            words,
        }
    }

    /// A value as the maker reads it.
    #[must_use]
    pub fn says(&self, value: u32) -> String {
        let at = value
            .checked_sub(self.least)
            .and_then(|i| usize::try_from(i).ok());
        match at.and_then(|at| self.words.get(at)) {
            Some(words) => (*words).to_owned(),
            None => value.to_string(),
        }
    }
}

const HEXAGON: [HexagonParts; 5] = [
    HexagonParts::Whole,
    HexagonParts::Halves,
    HexagonParts::Diamonds,
    HexagonParts::Triangles,
    HexagonParts::Star,
];
const POINTING: [Pointing; 4] = [
    Pointing::Up,
    Pointing::Right,
    Pointing::Down,
    Pointing::Left,
];

/// A place a construction makes: its name, what it claims, and how light its cloth should
/// be, from 0 (the darkest of the plan) to 1.
type Part = (String, Vec<String>, f64);

impl Construction {
    /// All of them, plainest first.
    pub const ALL: [Self; 11] = [
        Self::Squares,
        Self::HalfSquares,
        Self::Hourglasses,
        Self::Geese,
        Self::Framed,
        Self::Log,
        Self::Nested,
        Self::Star,
        Self::Triangles,
        Self::Hexagon,
        Self::Hexagons,
    ];

    /// As the maker calls it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Squares => "squares",
            Self::HalfSquares => "half-square triangles",
            Self::Hourglasses => "hourglasses",
            Self::Geese => "flying geese",
            Self::Framed => "framed square",
            Self::Nested => "nested squares",
            Self::Log => "log strips",
            Self::Star => "eight-pointed star",
            Self::Hexagon => "hexagon",
            Self::Triangles => "60° triangles",
            Self::Hexagons => "rows of hexagons",
        }
    }

    /// A word for it that does not change.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Squares => "squares",
            Self::HalfSquares => "half-squares",
            Self::Hourglasses => "hourglasses",
            Self::Geese => "geese",
            Self::Framed => "framed",
            Self::Nested => "nested",
            Self::Log => "log",
            Self::Star => "star",
            Self::Hexagon => "hexagon",
            Self::Triangles => "triangles",
            Self::Hexagons => "hexagons",
        }
    }

    /// The construction with this key.
    #[must_use]
    pub fn named(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// Its pulls, in the order their values are given.
    #[must_use]
    pub fn pulls(self) -> &'static [Pull] {
        const ACROSS: Pull = Pull::count("squares across", 12, 4);
        match self {
            Self::Squares => const { &[ACROSS, Pull::count("squares down", 12, 4)] },
            Self::HalfSquares => {
                const {
                    &[
                        Pull::count("squares across", 8, 2),
                        Pull::choice("they lie", &["in pinwheels", "round a square", "all alike"]),
                    ]
                }
            }
            Self::Hourglasses => {
                const {
                    &[
                        Pull::count("squares across", 8, 3),
                        Pull::choice("they lie", &["in every other square", "in every square"]),
                    ]
                }
            }
            Self::Geese => {
                const {
                    &[
                        Pull::count("geese across", 6, 2),
                        Pull::count("geese down", 12, 4),
                        Pull::choice("they point", &["up", "right", "down", "left"]),
                    ]
                }
            }
            Self::Framed => {
                const {
                    &[
                        Pull::count("centre as wide as so many frames", 8, 2),
                        Pull::choice("the corners are", &["squares", "the ends of long strips"]),
                    ]
                }
            }
            Self::Nested => {
                const {
                    &[
                        Pull::count("rounds", 12, 4),
                        Pull::choice("the centre is", &["one square", "a four-patch"]),
                        Pull::choice("the arms turn", &["with the clock", "against the clock"]),
                    ]
                }
            }
            Self::Log => {
                const {
                    &[
                        Pull::count("rounds", 12, 3),
                        Pull::count("centre as wide as so many strips", 8, 1),
                        Pull::choice(
                            "strips are laid",
                            &["round and round", "on opposite sides in pairs"],
                        ),
                    ]
                }
            }
            Self::Star => {
                const {
                    &[Pull::choice(
                        "corners and sides are",
                        &["in halves, all seams straight", "whole, and set in"],
                    )]
                }
            }
            Self::Hexagon => {
                const {
                    &[Pull::choice(
                        "the hexagon is",
                        &[
                            "one patch",
                            "two halves",
                            "three diamonds",
                            "six triangles",
                            "a six-pointed star",
                        ],
                    )]
                }
            }
            Self::Triangles => {
                const {
                    &[
                        Pull::count("sides across", 12, 4),
                        Pull::count("rows", 12, 4),
                    ]
                }
            }
            Self::Hexagons => {
                const {
                    &[
                        Pull::count("columns", 8, 2),
                        Pull::count("rows of halves", 12, 4),
                    ]
                }
            }
        }
    }

    /// Its pulls as they are at first.
    #[must_use]
    pub fn usual(self) -> Vec<u32> {
        self.pulls().iter().map(|pull| pull.usual).collect()
    }

    /// These values brought within its pulls; what is missing is as it is at first.
    #[must_use]
    pub fn within(self, values: &[u32]) -> Vec<u32> {
        let pulls = self.pulls().iter().enumerate();
        pulls
            .map(|(i, pull)| {
                let value = values.get(i).copied().unwrap_or(pull.usual);
                value.clamp(pull.least, pull.most)
            })
            .collect()
    }

    /// The construction and the values that draw this, if one does.
    #[must_use]
    pub fn of(draft: &Draft) -> Option<(Self, Vec<u32>)> {
        let tries = Self::ALL.into_iter().flat_map(|kind| {
            let guesses = kind.guesses(draft);
            guesses.into_iter().map(move |values| (kind, values))
        });
        tries
            .filter(|(kind, values)| kind.within(values) == *values)
            .find(|(kind, values)| kind.draft(values) == *draft)
    }

    /// Values with which it might draw this.
    fn guesses(self, draft: &Draft) -> Vec<Vec<u32>> {
        let short = |n: usize| u32::try_from(n).unwrap_or(0);
        match (self, draft) {
            (Self::Squares, Draft::Grid { columns, rows, .. }) => {
                vec![vec![short(columns.len()), short(rows.len())]]
            }
            (Self::HalfSquares | Self::Hourglasses, Draft::Grid { columns, .. }) => {
                (0..3).map(|lie| vec![short(columns.len()), lie]).collect()
            }
            (Self::Geese, Draft::Grid { columns, rows, .. }) => (0..4)
                .map(|way| vec![short(columns.len()), short(rows.len()), way])
                .collect(),
            (Self::Framed, Draft::Grid { columns, .. }) if columns.len() == 3 => {
                let wide = columns[1]
                    .as_ratio()
                    .and_then(|(n, _)| u32::try_from(n).ok());
                (0..2).map(|ends| vec![wide.unwrap_or(0), ends]).collect()
            }
            (
                Self::Nested,
                Draft::Nested {
                    rounds,
                    centre,
                    twist,
                },
            ) => vec![vec![
                *rounds,
                u32::from(*centre == Centre::FourPatch),
                u32::from(*twist == Arm::Counterclockwise),
            ]],
            (Self::Log, Draft::Log { rounds, style, .. }) => (1..=8)
                .map(|wide| vec![*rounds, wide, u32::from(*style == LogStyle::Pairs)])
                .collect(),
            (Self::Star, Draft::Star { split }) => vec![vec![u32::from(!split)]],
            (Self::Hexagon, Draft::Hexagon { .. }) => (0..5).map(|parts| vec![parts]).collect(),
            (Self::Triangles, Draft::Triangles { rows, across })
            | (Self::Hexagons, Draft::Hexagons { rows, across }) => vec![vec![*across, *rows]],
            _ => Vec::new(),
        }
    }

    /// The line drawing with these values (brought within the pulls).
    #[must_use]
    pub fn draft(self, values: &[u32]) -> Draft {
        let values = self.within(values);
        let value = |i: usize| values.get(i).copied().unwrap_or(0);
        match self {
            Self::Squares => checked(value(0), value(1), |odd| Cell::Whole(shade(odd).to_owned())),
            Self::HalfSquares => half_squares(value(0), value(1)),
            Self::Hourglasses => checked(value(0), value(0), |odd| {
                if odd && value(1) == 0 {
                    return Cell::Whole("ground".to_owned());
                }
                let (a, b) = (shade(odd).to_owned(), shade(!odd).to_owned());
                Cell::Hourglass([a.clone(), b.clone(), a, b])
            }),
            Self::Geese => checked(value(0), value(1), |_| Cell::Goose {
                pointing: POINTING[value(2) as usize % 4],
                goose: "goose".to_owned(),
                sky: "sky".to_owned(),
            }),
            Self::Framed => framed(value(0), value(1) == 1),
            Self::Nested => Draft::Nested {
                rounds: value(0),
                centre: if value(1) == 1 {
                    Centre::FourPatch
                } else {
                    Centre::Plain
                },
                twist: if value(2) == 1 {
                    Arm::Counterclockwise
                } else {
                    Arm::Clockwise
                },
            },
            Self::Log => {
                let (rounds, wide) = (i64::from(value(0)), i64::from(value(1)));
                Draft::Log {
                    rounds: value(0),
                    centre: Surd::ratio(wide, wide + 2 * rounds),
                    style: if value(2) == 1 {
                        LogStyle::Pairs
                    } else {
                        LogStyle::Around
                    },
                }
            }
            Self::Star => Draft::Star {
                split: value(0) == 0,
            },
            Self::Hexagon => Draft::Hexagon {
                parts: HEXAGON[value(0) as usize % 5],
            },
            Self::Triangles => Draft::Triangles {
                across: value(0),
                rows: value(1),
            },
            Self::Hexagons => Draft::Hexagons {
                across: value(0),
                rows: value(1),
            },
        }
    }

    /// How high a block of this width must be, inches; `None` where any height will do.
    #[must_use]
    pub fn height(self, values: &[u32], width: &Surd) -> Option<Surd> {
        let values = self.within(values);
        let share = |root: Surd, part: i64| {
            let (across, rows) = (i64::from(values[0]), i64::from(values[1]));
            (width * &root).times(rows).over(part * across)
        };
        match self {
            Self::Nested | Self::Star => Some(width.clone()),
            Self::Hexagon => Some(width * &Surd::root3().half()),
            Self::Triangles => Some(share(Surd::root3(), 2)),
            Self::Hexagons => Some(share(Surd::root3(), 3)),
            _ => None,
        }
    }

    /// `old` drawn anew by this construction, with places for every patch.
    ///
    /// Its width stays; its height stays where the construction allows it. Places of the
    /// same construction stay with all they claim by name; of another one those of the
    /// same name, with their cloth.
    #[must_use]
    pub fn laid(self, values: &[u32], plan: &Plan, old: &BlockPlan) -> BlockPlan {
        let mut block = BlockPlan {
            draft: self.draft(values),
            height: match self.height(values, &old.width) {
                Some(height) => height,
                // A height that came with 60° shapes goes with them.
                None if old.height.is_rational() => old.height.clone(),
                None => old.width.clone(),
            },
            ..old.clone()
        };
        let same = std::mem::discriminant(&block.draft) == std::mem::discriminant(&old.draft);
        let parts = self.parts(values);
        for place in &mut block.places {
            let part = parts.iter().find(|(name, ..)| *name == place.name);
            if same {
                place.claims.retain(|claim| matches!(claim, Claim::Spot(_)));
            } else {
                place.claims = part.map_or_else(Vec::new, |(_, spots, _)| claims(spots));
            }
        }
        for (name, spots, light) in &parts {
            let known = block.places.iter_mut().find(|place| place.name == *name);
            match known {
                Some(place) if place.claims.is_empty() => place.claims = claims(spots),
                Some(_) => {}
                None => block.places.push(PlacePlan {
                    name: name.clone(),
                    cloths: vec![as_light(plan, *light)],
                    claims: claims(spots),
                    centred: false,
                }),
            }
        }
        if let Ok(drawn) = drafted(&block) {
            let faces = drawn.arrangement.faces.iter().zip(&drawn.spots);
            let mut used = vec![false; block.places.len()];
            for (face, spot) in faces {
                if let Some(place) = place_of(&block.places, spot, &face.polygon) {
                    used[place] = true;
                }
            }
            keep_places(&mut block, &used);
        }
        block
    }

    /// The places it makes.
    fn parts(self, values: &[u32]) -> Vec<Part> {
        let values = self.within(values);
        let own = |name: &str, light: f64| (name.to_owned(), vec![name.to_owned()], light);
        let part = |name: &str, spots: &[&str], light: f64| {
            let spots = spots.iter().map(|spot| (*spot).to_owned()).collect();
            (name.to_owned(), spots, light)
        };
        let two = || vec![own("dark", 0.0), own("light", 1.0)];
        match self {
            Self::Squares | Self::HalfSquares => two(),
            Self::Hourglasses => [two(), vec![own("ground", 1.0)]].concat(),
            Self::Geese => vec![own("goose", 0.0), own("sky", 1.0)],
            Self::Framed => vec![own("centre", 0.5), own("frame", 0.0), own("corner", 1.0)],
            // Every round of every arm is a place of its own, so that a ramp can run along
            // the arms: deep beside the centre, paling on the way out.
            Self::Nested => {
                let rounds = values[0];
                let arms = (1..=4).flat_map(|arm| (1..=rounds).map(move |round| (arm, round)));
                let mut all = vec![own("centre", 1.0)];
                all.extend(arms.map(|(arm, round)| {
                    let out = f64::from(round - 1) / f64::from(rounds.max(2) - 1);
                    // Two arms beside one another are told apart.
                    let beside = if arm % 2 == 0 { 0.2 } else { 0.0 };
                    own(
                        &format!("arm {arm} round {round}"),
                        0.8f64.mul_add(out, beside),
                    )
                }));
                all
            }
            Self::Log => vec![
                own("centre", 0.5),
                part("light side", &["side 1", "side 2"], 1.0),
                part("dark side", &["side 3", "side 4"], 0.0),
            ],
            Self::Star => vec![
                part("points", &["point"], 0.0),
                part("corners", &["corner"], 1.0),
                part("sides", &["side"], 1.0),
            ],
            Self::Hexagon => {
                let corners = part("corners", &["corner"], 1.0);
                let mut all = match HEXAGON[values[0] as usize % 5] {
                    HexagonParts::Whole => vec![own("hexagon", 0.0)],
                    HexagonParts::Halves => vec![
                        part("upper half", &["hexagon 1"], 0.0),
                        part("lower half", &["hexagon 2"], 0.5),
                    ],
                    HexagonParts::Diamonds => vec![
                        part("diamond 1", &["hexagon 1"], 0.0),
                        part("diamond 2", &["hexagon 2"], 0.5),
                        part("diamond 3", &["hexagon 3"], 0.75),
                    ],
                    HexagonParts::Triangles => vec![
                        part("dark", &["hexagon 1", "hexagon 3", "hexagon 5"], 0.0),
                        part("middle", &["hexagon 2", "hexagon 4", "hexagon 6"], 0.5),
                    ],
                    HexagonParts::Star => vec![
                        part("points", &["hexagon point"], 0.0),
                        part("notches", &["hexagon notch"], 0.5),
                    ],
                };
                all.push(corners);
                all
            }
            Self::Triangles => vec![
                part("pointing up", &["up"], 0.0),
                part("pointing down", &["down"], 1.0),
                part("ends", &["end"], 0.5),
            ],
            Self::Hexagons => {
                let columns = |odd: bool| {
                    // The halves at both edges are columns of their own.
                    let all = (1..=values[0] + 1).filter(|n| (n % 2 == 1) == odd);
                    all.map(|n| format!("column {n}")).collect::<Vec<_>>()
                };
                vec![
                    ("odd columns".to_owned(), columns(true), 0.0),
                    ("even columns".to_owned(), columns(false), 1.0),
                ]
            }
        }
    }
}

fn claims(spots: &[String]) -> Vec<Claim> {
    spots.iter().cloned().map(Claim::Spot).collect()
}

fn shade(light: bool) -> &'static str {
    if light { "light" } else { "dark" }
}

/// The cloth of the plan that is as light as this share of the way from its darkest to its
/// lightest, counted by cloths.
fn as_light(plan: &Plan, share: f64) -> ClothId {
    let mut all: Vec<(f64, usize)> = plan
        .cloths
        .iter()
        .enumerate()
        .map(|(index, cloth)| (lightness(cloth), index))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a plan has some dozens of cloths, and shares are from 0 to 1"
    )]
    let at = (share.clamp(0.0, 1.0) * all.len().saturating_sub(1) as f64).round() as usize;
    ClothId(all.get(at).map_or(0, |(_, index)| *index))
}

/// A grid of equal cells, told whether they are the light ones of a chequer.
fn checked(across: u32, down: u32, cell: impl Fn(bool) -> Cell) -> Draft {
    let cells = (0..down).flat_map(|y| (0..across).map(move |x| (x + y) % 2 == 1));
    Draft::Grid {
        columns: vec![Surd::ONE; across as usize],
        rows: vec![Surd::ONE; down as usize],
        cells: cells.map(cell).collect(),
    }
}

fn half_squares(across: u32, lie: u32) -> Draft {
    let (dark, light) = (|| "dark".to_owned(), || "light".to_owned());
    let cell = |x: u32, y: u32| {
        // Clockwise from the top left of every four.
        match (lie, x % 2, y % 2) {
            (0, 0, 0) => Cell::Falling(dark(), light()),
            (0, 1, 0) => Cell::Rising(dark(), light()),
            (0, 1, _) => Cell::Falling(light(), dark()),
            (0, ..) => Cell::Rising(light(), dark()),
            (1, 0, 0) => Cell::Rising(light(), dark()),
            (1, 1, 0) => Cell::Falling(dark(), light()),
            (1, 1, _) => Cell::Rising(dark(), light()),
            (1, ..) => Cell::Falling(light(), dark()),
            _ => Cell::Rising(light(), dark()),
        }
    };
    Draft::Grid {
        columns: vec![Surd::ONE; across as usize],
        rows: vec![Surd::ONE; across as usize],
        cells: (0..across)
            .flat_map(|y| (0..across).map(move |x| (x, y)))
            .map(|(x, y)| cell(x, y))
            .collect(),
    }
}

fn framed(wide: u32, long: bool) -> Draft {
    let frame = || Cell::Whole("frame".to_owned());
    let corner = || Cell::Whole("corner".to_owned());
    let shares = vec![Surd::ONE, Surd::int(i64::from(wide)), Surd::ONE];
    let across = || {
        if long {
            [frame(), Cell::JoinedLeft, Cell::JoinedLeft]
        } else {
            [corner(), frame(), corner()]
        }
    };
    let middle = [frame(), Cell::Whole("centre".to_owned()), frame()];
    Draft::Grid {
        columns: shares.clone(),
        rows: shares,
        cells: [across(), middle, across()].concat(),
    }
}
