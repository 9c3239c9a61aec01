//! Prints of every sort, with what is true of them.

use quilt::plan::{Direction, Print as Kind};

use super::{Bands, Dice, Drawn, Figure, Print, Shape};

/// A print and what is true of it.
pub struct Made {
    pub name: &'static str,
    pub print: Print,
    /// The usual distance from one figure or line to the next, inches: of strewn figures
    /// the side of the square that holds one of them on average. `None` for a plain cloth.
    pub scale: Option<f64>,
    /// The shortest moves onto itself: one for stripes, two for figures.
    pub steps: Vec<[f64; 2]>,
    pub direction: Direction,
    pub kind: Kind,
}

/// The sorts there are.
pub const SORTS: usize = 16;

fn grey(light: f64) -> [f64; 3] {
    [light; 3]
}

/// Ground and two figure colours that stand out from it.
fn colours(dice: &mut Dice) -> Vec<[f64; 3]> {
    let mut colour = |least: f64, most: f64| {
        let base = dice.between(least, most);
        [0, 1, 2].map(|_| (base * dice.between(0.6, 1.4)).min(0.9))
    };
    let mut all = vec![colour(0.4, 0.6), colour(0.05, 0.15), colour(0.08, 0.2)];
    if dice.below(2) == 0 {
        all.swap(0, 1);
    }
    all
}

/// One of each sort for every seed.
pub fn made(sort: usize, seed: u64) -> Made {
    let dice = &mut Dice::new(seed * 31 + sort as u64 + 1);
    let colours = colours(dice);
    let scale = dice.between(0.4, 1.6);
    match sort {
        0 => Made {
            name: "plain",
            print: Print::new(vec![grey(dice.between(0.05, 0.7))], Drawn::Plain),
            scale: None,
            steps: Vec::new(),
            direction: Direction::Free,
            kind: Kind::Plain,
        },
        1 => repeated(
            "dots in a square",
            colours,
            scale,
            false,
            |_| (Shape::Disc, 0.0),
            dice,
        ),
        2 => repeated(
            "dots in a half-drop",
            colours,
            scale,
            true,
            |_| (Shape::Disc, 0.0),
            dice,
        ),
        3 => stripes(colours, scale, false, dice),
        4 => stripes(colours, scale, true, dice),
        5 => plaid(colours, scale, true, dice),
        6 => plaid(colours, scale, false, dice),
        7 => repeated(
            "tulips upright",
            colours,
            scale,
            false,
            |_| (Shape::Tulip, 0.0),
            dice,
        ),
        8 => repeated(
            "firs in a half-drop",
            colours,
            scale,
            true,
            |_| (Shape::Fir, 0.0),
            dice,
        ),
        9 => {
            let turn = |i: usize| (Shape::Tulip, std::f64::consts::PI * i as f64);
            repeated("tulips up and down", colours, scale, true, turn, dice)
        }
        10 => repeated(
            "leaves one way",
            colours,
            scale,
            true,
            |_| (Shape::Leaf, 0.0),
            dice,
        ),
        11 => strewn("dots strewn", colours, scale, Shape::Disc, None, dice),
        12 => strewn("leaves strewn", colours, scale, Shape::Leaf, None, dice),
        13 => strewn(
            "tulips strewn all ways",
            colours,
            scale,
            Shape::Tulip,
            None,
            dice,
        ),
        14 => {
            let shape = [Shape::Tulip, Shape::Fir, Shape::Heart][dice.below(3)];
            strewn("strewn upright", colours, scale, shape, Some(1), dice)
        }
        _ => strewn(
            "tulips strewn up and down",
            colours,
            scale,
            Shape::Tulip,
            Some(2),
            dice,
        ),
    }
}

/// Figures on a grid; in a half-drop every other column is set half a step down.
fn repeated(
    name: &'static str,
    colours: Vec<[f64; 3]>,
    scale: f64,
    half_drop: bool,
    shape: impl Fn(usize) -> (Shape, f64),
    dice: &mut Dice,
) -> Made {
    let size = scale * dice.between(0.55, 0.75);
    let figure = |i: usize, at: [f64; 2]| {
        let (shape, turn) = shape(i);
        // Round figures are drawn smaller: a disc fills its square.
        let size = if shape == Shape::Disc {
            size * 0.8
        } else {
            size
        };
        Figure {
            at,
            size,
            turn,
            shape,
            colour: 1,
        }
    };
    let (cell, figures, mut steps) = if half_drop {
        // Two figures in a square on its corner: as dense as one in a square of `scale`.
        let side = scale * std::f64::consts::SQRT_2;
        let figures = vec![
            figure(0, [side * 0.25, side * 0.25]),
            figure(1, [side * 0.75, side * 0.75]),
        ];
        let half = side / 2.0;
        ([side, side], figures, vec![[half, half], [-half, half]])
    } else {
        let figures = vec![figure(0, [scale / 2.0, scale / 2.0])];
        ([scale, scale], figures, vec![[scale, 0.0], [0.0, scale]])
    };
    let (one, other) = (shape(0), shape(1));
    if half_drop && one.1 != other.1 {
        steps = vec![[cell[0], 0.0], [0.0, cell[1]]];
    }
    let direction = match (one.0, half_drop && one.1 != other.1) {
        (Shape::Disc, _) => Direction::Free,
        (Shape::Leaf, _) | (_, true) => Direction::TwoWay,
        _ => Direction::OneWay,
    };
    let kind = if one.0 == Shape::Disc {
        Kind::Dot
    } else {
        Kind::Leafy
    };
    Made {
        name,
        print: Print::new(colours, Drawn::Repeated { cell, figures }),
        scale: Some(scale),
        steps,
        direction,
        kind,
    }
}

/// Bands; `lopsided` ones come in another order from left to right than from right to
/// left.
fn bands(scale: f64, lopsided: bool, dice: &mut Dice) -> Bands {
    let wide = dice.between(0.3, 0.45) * scale;
    if lopsided {
        vec![(0.0, wide, 1), (wide, wide * 1.5, 2)]
    } else {
        let thin = 0.12 * scale;
        let middle = wide + (scale - wide) / 2.0;
        vec![
            (0.0, wide, 1),
            (middle - thin / 2.0, middle + thin / 2.0, 2),
        ]
    }
}

fn stripes(mut colours: Vec<[f64; 3]>, scale: f64, lopsided: bool, dice: &mut Dice) -> Made {
    if lopsided {
        // Three clearly different levels, so that the order shows.
        let levels = [0.6, 0.05, 0.25];
        for (colour, level) in colours.iter_mut().zip(levels) {
            let most = colour.iter().copied().fold(0.0, f64::max);
            *colour = colour.map(|part| part / most * level);
        }
    }
    let bands = bands(scale, lopsided, dice);
    Made {
        name: if lopsided {
            "lopsided stripes"
        } else {
            "stripes"
        },
        print: Print::new(
            colours,
            Drawn::Woven {
                along: (scale, bands),
                across: None,
            },
        ),
        scale: Some(scale),
        steps: vec![[scale, 0.0]],
        direction: if lopsided {
            Direction::OneWay
        } else {
            Direction::TwoWay
        },
        kind: Kind::Stripe,
    }
}

fn plaid(colours: Vec<[f64; 3]>, scale: f64, balanced: bool, dice: &mut Dice) -> Made {
    let along = bands(scale, false, dice);
    let high = if balanced { scale } else { scale * 1.6 };
    let across = if balanced {
        along.clone()
    } else {
        vec![(0.0, 0.2 * high, 1)]
    };
    Made {
        name: if balanced {
            "plaid"
        } else {
            "plaid, unlike both ways"
        },
        print: Print::new(
            colours,
            Drawn::Woven {
                along: (scale, along),
                across: Some((high, across)),
            },
        ),
        scale: Some((scale * high).sqrt()),
        steps: vec![[scale, 0.0], [0.0, high]],
        direction: if balanced {
            Direction::Free
        } else {
            Direction::TwoWay
        },
        kind: Kind::Plaid,
    }
}

/// The size of the cloth figures are strewn over, inches.
pub const STREWN: [f64; 2] = [26.0, 26.0];

/// Figures thrown one by one, none nearer to another than a distance (dart throwing);
/// `ways`: turned to one of so many ways, `None` any way.
fn strewn(
    name: &'static str,
    colours: Vec<[f64; 3]>,
    scale: f64,
    shape: Shape,
    ways: Option<usize>,
    dice: &mut Dice,
) -> Made {
    let apart = scale * 0.85;
    let mut figures: Vec<Figure> = Vec::new();
    let wide = (STREWN[0] / apart).ceil() as usize + 1;
    let mut buckets: Vec<Vec<usize>> = vec![Vec::new(); wide * wide];
    let mut misses = 0;
    while misses < 4_000 {
        let at = STREWN.map(|side| dice.part() * side);
        let [bx, by] = at.map(|v| (v / apart) as usize);
        let near = (by.saturating_sub(1)..=by + 1)
            .flat_map(|j| (bx.saturating_sub(1)..=bx + 1).map(move |i| (i, j)))
            .filter_map(|(i, j)| buckets.get(j * wide + i).filter(|_| i < wide))
            .flatten()
            .any(|&other| {
                let o = figures[other].at;
                (o[0] - at[0]).hypot(o[1] - at[1]) < apart
            });
        if near {
            misses += 1;
            continue;
        }
        misses = 0;
        buckets[by * wide + bx].push(figures.len());
        let turn = match ways {
            Some(many) => dice.below(many) as f64 * std::f64::consts::TAU / many as f64,
            None => dice.between(0.0, std::f64::consts::TAU),
        };
        let size = if shape == Shape::Disc { 0.55 } else { 0.8 };
        figures.push(Figure {
            at,
            size: apart * size,
            turn,
            shape,
            colour: 1 + dice.below(2),
        });
    }
    let density = figures.len() as f64 / (STREWN[0] * STREWN[1]);
    let direction = match (shape, ways) {
        (Shape::Disc, _) | (_, None) => Direction::Free,
        (_, Some(1)) => Direction::OneWay,
        _ => Direction::TwoWay,
    };
    Made {
        name,
        print: Print::new(
            colours,
            Drawn::Strewn {
                size: STREWN,
                figures,
                reach: apart,
            },
        ),
        scale: Some(1.0 / density.sqrt()),
        steps: Vec::new(),
        direction,
        kind: if shape == Shape::Disc {
            Kind::Dot
        } else {
            Kind::Leafy
        },
    }
}
