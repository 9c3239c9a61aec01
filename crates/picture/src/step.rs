//! Drawings of the work: one seam of a block, one step towards the top.
//!
//! ```text
//!    ┌────┐ ┌────┐       ┌────┬────┐
//!    │ A  ┆ ┆ B  │   =   │    ├──▶ │    the seam stitched (dashes), and the way
//!    └────┘ └────┘       └────┴────┘    its allowances are pressed (arrow)
//!      A      B            unit 1
//! ```

use quilt::block::{Block, SeamEnd};
use quilt::plan::{BlockId, Plan};
use quilt::results::Blocks;
use quilt::setting::Top;
use quilt::sewing::foundations::called;
use quilt::sewing::{BlockSewing, Ingredient, Join, Press, TopStep};

use crate::block::unit;
use crate::drawing::{Anchor, Arrow, Dash, Dot, Drawing, Ink, Item, Label, Path, Shape, Stroke};
use crate::flat::{self, P};
use crate::letters;
use crate::patches::{self, Dressed, Lines, Moved, strokes};

/// Size of the words under units, points.
const WORDS: f64 = 7.5;

/// One step of a block's sewing: the two units a little apart with the edges to be sewn
/// marked, and the unit they make with the way its seam is pressed. Drawn about 2 in
/// wide.
///
/// The units lie as they lie in the block, in the cloth of this colourway's first copy.
/// `None` if the block has no such step.
#[must_use]
pub fn step(
    plan: &Plan,
    block: &Block,
    sewing: &BlockSewing,
    step: usize,
    colourway: Option<usize>,
) -> Option<Drawing> {
    let shown = sewing.steps.get(step)?;
    let join = sewing.joins.get(shown.shown)?;
    let dressed = Dressed::alone(plan, sewing.block, block, colourway, 0);
    let last = sewing.joins.len() == shown.shown + 1;
    let made = if last {
        "block".to_owned()
    } else {
        format!("unit {}", step + 1)
    };
    let names = [
        name(block, sewing, shown.left),
        name(block, sewing, shown.right),
        made,
    ];
    if join.closes {
        let says = format!(
            "Step {} of “{}”: the open seam in {} is closed.",
            step + 1,
            plan.block(sewing.block).name,
            names[0],
        );
        return Some(closing(block, &dressed, join, &names, says));
    }
    let says = format!(
        "Step {} of “{}”: {} and {} are sewn together.",
        step + 1,
        plan.block(sewing.block).name,
        names[0],
        names[1]
    );
    Some(pair_and_result(block, &dressed, join, &names, says))
}

/// The unit a step makes, alone, in the cloth of this colourway's first copy: to be set
/// small beside the drawing of the step. `None` if the block has no such step.
#[must_use]
pub fn made(
    plan: &Plan,
    block: &Block,
    sewing: &BlockSewing,
    step: usize,
    colourway: Option<usize>,
) -> Option<Drawing> {
    let shown = sewing.steps.get(step)?;
    let join = sewing.joins.get(shown.shown)?;
    let dressed = Dressed::alone(plan, sewing.block, block, colourway, 0);
    let (low, high) = join.outline.bounds();
    let (low, high) = (low.to_f64(), high.to_f64());
    let of = plan.block(sewing.block);
    let way = colourway.and_then(|way| of.colourways.get(way));
    let way = way.map_or("its own cloths", |way| way.name.as_str());
    let says = format!("Step {} of “{}” in {way}.", step + 1, of.name);
    let mut drawing = Drawing::new(says, high[0] - low[0], high[1] - low[1]).with_margin([1.0; 4]);
    unit(
        &mut drawing,
        &dressed,
        &join.unit,
        &Moved::shifted([-low[0], -low[1]]),
    );
    Some(drawing)
}

/// What a unit is called: its template's letter, or its step.
fn name(block: &Block, sewing: &BlockSewing, of: Ingredient) -> String {
    if block.foundation.is_some() {
        return called(block, sewing, of);
    }
    match of {
        Ingredient::Template(t) => block
            .templates
            .get(t)
            .map_or_else(String::new, |t| t.letter.clone()),
        Ingredient::Unit(i) => format!("unit {}", i + 1),
    }
}

/// How the two units of a pair lie to one another.
#[derive(Clone, Copy, PartialEq)]
enum Lie {
    /// Left and right.
    Beside,
    /// One above the other.
    Above,
    /// On the slant.
    Aslant,
}

/// Where the three units of a step's drawing go.
struct Places {
    left: Moved,
    right: Moved,
    made: Moved,
    equals: P,
    size: P,
    lie: Lie,
    /// The box of the pair.
    pair: [P; 2],
}

fn pair_and_result(
    block: &Block,
    dressed: &Dressed,
    join: &Join,
    names: &[String; 3],
    says: String,
) -> Drawing {
    let places = places(block, join);
    let named = names[..2]
        .iter()
        .map(|name| letters::extent(name, WORDS, false)[0]);
    let (top, left) = match places.lie {
        Lie::Beside => (3.0, 3.0),
        Lie::Above => (3.0, named.fold(34.0_f64, |most, wide| most.max(wide + 6.0))),
        Lie::Aslant => (14.0, 3.0),
    };
    let mut drawing =
        Drawing::new(says, places.size[0], places.size[1]).with_margin([top, 3.0, 14.0, left]);
    let mut both: Vec<usize> = join.left.iter().chain(&join.right).copied().collect();
    both.sort_unstable();
    for (of, moved) in [
        (&join.left, places.left),
        (&join.right, places.right),
        (&both, places.made),
    ] {
        unit(&mut drawing, dressed, of, &moved);
    }
    let ends = [join.seam.a.to_f64(), join.seam.b.to_f64()];
    for moved in [places.left, places.right] {
        stitches(&mut drawing, join, &moved);
    }
    press_arrows(&mut drawing, block, join, ends, &places.made);
    drawing.push(Label::new("=", places.equals, 12.0));
    unit_names(&mut drawing, block, join, names, &places, &both);
    drawing
}

/// The stitching of a join on one of its sides, with a dot where it stops or begins inside.
/// A partial seam is stitched half-way.
fn stitches(drawing: &mut Drawing, join: &Join, moved: &Moved) {
    let ends = [&join.seam.a, &join.seam.b].map(|end| moved.point(end.to_f64()));
    let middle = flat::middle(ends[0], ends[1]);
    let sewn = [0, 1].map(|i| {
        let open = join.ends[i] == SeamEnd::PartWay && !join.closes;
        if open {
            flat::middle(ends[i], middle)
        } else {
            ends[i]
        }
    });
    let sewn = match (join.ends, join.closes) {
        ([SeamEnd::PartWay, SeamEnd::PartWay], false) => sewn,
        ([SeamEnd::PartWay, _], false) => [middle, sewn[1]],
        ([_, SeamEnd::PartWay], false) => [sewn[0], middle],
        _ => sewn,
    };
    let line = |ends: [P; 2]| vec![Path::line(ends[0], ends[1])];
    drawing.push(Shape::drawn(line(ends), Stroke::new(Ink::Paper, 2.4)));
    drawing.push(Shape::drawn(
        line(sewn),
        Stroke::new(Ink::Ink, 1.3).dashed(Dash::Stitches),
    ));
    for (at, _) in join.stops() {
        drawing.push(Dot {
            at: moved.point(at.to_f64()),
            radius: 2.6,
            fill: Some(Ink::Ink),
            stroke: Some(Stroke::new(Ink::Paper, 0.8)),
        });
    }
}

/// A seam that closes: the unit with the open seam, and the unit when it is sewn.
fn closing(
    block: &Block,
    dressed: &Dressed,
    join: &Join,
    names: &[String; 3],
    says: String,
) -> Drawing {
    let [low, high] = flat::bounds(&reach(block, &join.unit, &Moved::still()));
    let size = flat::sub(high, low);
    let beside = 1.34 * size[0].max(0.6 * size[1]);
    let before = Moved::shifted(flat::scaled(low, -1.0));
    let after = Moved::shifted(flat::sub([beside, 0.0], low));
    let mut drawing =
        Drawing::new(says, beside + size[0], size[1]).with_margin([4.0, 3.0, 14.0, 4.0]);
    unit(&mut drawing, dressed, &join.unit, &before);
    unit(&mut drawing, dressed, &join.unit, &after);
    stitches(&mut drawing, join, &before);
    let ends = [join.seam.a.to_f64(), join.seam.b.to_f64()];
    press_arrows(&mut drawing, block, join, ends, &after);
    let equals = [f64::midpoint(size[0], beside), size[1] / 2.0];
    drawing.push(Label::new("=", equals, 12.0));
    let under = |x: f64| [x + size[0] / 2.0, size[1]];
    let name =
        |text: &str, x: f64| Label::new(text, under(x), WORDS).shifted([0.0, 8.0], Anchor::Middle);
    drawing.push(name(&names[0], 0.0));
    drawing.push(name(&names[2], beside).bold());
    drawing
}

/// The pair side by side with its result, or above it when they are long and low.
fn places(block: &Block, join: &Join) -> Places {
    let ends = [join.seam.a.to_f64(), join.seam.b.to_f64()];
    // `right` lies a quarter turn clockwise from the seam's run.
    let across = flat::quarter(flat::unit(flat::sub(ends[1], ends[0])));
    let whole = reach(block, &join.left, &Moved::still())
        .into_iter()
        .chain(reach(block, &join.right, &Moved::still()));
    let [low, high] = flat::bounds(&whole.collect::<Vec<_>>());
    let size = flat::sub(high, low);
    let apart = flat::scaled(across, 0.09 * size[0].max(size[1]));
    let (left, right) = (
        Moved::shifted(flat::scaled(apart, -1.0)),
        Moved::shifted(apart),
    );
    let both = [
        reach(block, &join.left, &left),
        reach(block, &join.right, &right),
    ]
    .concat();
    let [from, to] = flat::bounds(&both);
    let pair = flat::sub(to, from);
    let low_and_long = pair[0] > 2.7 * pair[1];
    let scale = pair[0].max(pair[1]);
    let (made_at, equals, total) = if low_and_long {
        let y = pair[1] + 0.26 * scale;
        let x = (pair[0] - size[0]) / 2.0;
        (
            [x, y],
            [pair[0] / 2.0, pair[1] + 0.17 * scale],
            [pair[0], y + size[1]],
        )
    } else {
        let x = pair[0] + 0.34 * scale;
        let tall = pair[1].max(size[1]);
        (
            [x, (tall - size[1]) / 2.0],
            [pair[0] + 0.17 * scale, tall / 2.0],
            [x + size[0], tall],
        )
    };
    let to_corner = |m: Moved| m.then_by(flat::scaled(from, -1.0));
    Places {
        left: to_corner(left),
        right: to_corner(right),
        made: Moved::shifted(flat::sub(made_at, low)),
        equals,
        size: total,
        lie: match across.map(f64::abs) {
            [x, y] if x.min(y) > 0.25 => Lie::Aslant,
            [x, y] if y > x => Lie::Above,
            _ => Lie::Beside,
        },
        pair: [[0.0; 2], pair],
    }
}

/// All corners of some patches.
fn reach(block: &Block, of: &[usize], moved: &Moved) -> Vec<P> {
    of.iter()
        .flat_map(|&i| moved.points(&patches::corners(&block.patches[i].outline)))
        .collect()
}

/// Arrows from the middle of the seam into the side, or sides, it is pressed to.
fn press_arrows(drawing: &mut Drawing, block: &Block, join: &Join, ends: [P; 2], made: &Moved) {
    let middle = flat::middle(ends[0], ends[1]);
    let across = flat::quarter(flat::unit(flat::sub(ends[1], ends[0])));
    let all = [
        reach(block, &join.left, &Moved::still()),
        reach(block, &join.right, &Moved::still()),
    ]
    .concat();
    let [low, high] = flat::bounds(&all);
    let size = (high[0] - low[0]).max(high[1] - low[1]);
    let (left, right) = ((-1.0, &join.left), (1.0, &join.right));
    let quarter = |part: f64| flat::add(ends[0], flat::scaled(flat::sub(ends[1], ends[0]), part));
    // Twirled, the half at the seam's first end goes as decided, the other half opposite.
    let sides: &[((f64, &Vec<usize>), P)] = match join.press {
        Press::Left if join.twirled => &[(left, quarter(0.25)), (right, quarter(0.75))],
        Press::Right if join.twirled => &[(right, quarter(0.25)), (left, quarter(0.75))],
        Press::Left => &[(left, middle)],
        Press::Right => &[(right, middle)],
        Press::Open => &[(left, middle), (right, middle)],
    };
    for &((way, of), middle) in sides {
        let out = flat::scaled(across, way);
        let depth = reach(block, of, &Moved::still())
            .iter()
            .map(|&p| flat::dot(flat::sub(p, middle), out))
            .fold(0.0, f64::max);
        let long = (0.6 * depth).min(0.24 * size);
        let start = if sides.len() == 1 || join.twirled {
            -0.05 * size
        } else {
            0.02 * size
        };
        let at = |way_on: f64| made.point(flat::add(middle, flat::scaled(out, way_on)));
        drawing.push(Arrow {
            from: at(start),
            to: at(long),
            both: false,
            head: 5.0,
        });
    }
}

/// The names of the three units: under them, beside them where one lies above the other,
/// over and under them where they lie on the slant.
fn unit_names(
    drawing: &mut Drawing,
    block: &Block,
    join: &Join,
    names: &[String; 3],
    places: &Places,
    both: &[usize],
) {
    let spread = |of: &[usize], moved: &Moved| flat::bounds(&reach(block, of, moved));
    let pair = [
        (&names[0], &join.left, &places.left),
        (&names[1], &join.right, &places.right),
    ];
    let middles = pair.map(|(_, of, moved)| mass(block, of, moved));
    for (i, (text, ..)) in pair.iter().enumerate() {
        let (at, other) = (middles[i], middles[1 - i]);
        let label = Label::new(text.as_str(), at, WORDS);
        let [low, high] = places.pair;
        drawing.push(match places.lie {
            Lie::Above => Label {
                at: [low[0], at[1]],
                ..label
            }
            .shifted([-4.0, 0.0], Anchor::End),
            Lie::Aslant if at[1] < other[1] => Label {
                at: [at[0], low[1]],
                ..label
            }
            .shifted([0.0, -8.0], Anchor::Middle),
            _ => Label {
                at: [at[0], high[1]],
                ..label
            }
            .shifted([0.0, 8.0], Anchor::Middle),
        });
    }
    let [low, high] = spread(both, &places.made);
    let at = [f64::midpoint(low[0], high[0]), high[1]];
    drawing.push(
        Label::new(names[2].clone(), at, WORDS)
            .bold()
            .shifted([0.0, 8.0], Anchor::Middle),
    );
}

/// The middle of the area of some patches.
fn mass(block: &Block, of: &[usize], moved: &Moved) -> P {
    let (sum, whole) = of.iter().fold(([0.0; 2], 0.0), |(sum, whole), &i| {
        let ring = patches::corners(&block.patches[i].outline);
        let area = flat::area(&ring).abs();
        (
            flat::add(sum, flat::scaled(flat::centroid(&ring), area)),
            whole + area,
        )
    });
    moved.point(flat::scaled(sum, 1.0 / whole.max(1e-12)))
}

/// One step from blocks to the top: what it joins in cloth, in its place among the pale
/// outlines of everything else.
#[must_use]
pub fn top_step(plan: &Plan, blocks: &Blocks, top: &Top, step: &TopStep) -> Drawing {
    let mut drawing = Drawing::new(step.text.clone(), top.width.to_f64(), top.height.to_f64())
        .with_margin([1.0; 4]);
    let block_at = |id: BlockId| blocks.get(id.0).and_then(Option::as_deref);
    let still = Moved::still();
    let mut rest: Vec<Path> = Vec::new();
    for placed in &top.blocks {
        if let Some(block) = block_at(placed.block) {
            rest.push(Path::ring(
                Moved::of(&placed.motion).points(&patches::corners(&block.drafted.outline)),
            ));
        }
    }
    rest.extend(
        top.parts
            .iter()
            .map(|p| Path::ring(patches::corners(&p.outline))),
    );
    drawing.push(Shape::drawn(rest, strokes::pale()));

    let parts: Vec<_> = step
        .parts
        .iter()
        .filter_map(|&i| top.parts.get(i))
        .collect();
    let shown: Vec<_> = step
        .blocks
        .iter()
        .filter_map(|&i| top.blocks.get(i))
        .filter_map(|placed| Some((placed, block_at(placed.block)?)))
        .collect();
    drawing
        .items
        .extend(parts.iter().map(|p| patches::part_shape(plan, p)));
    for &(placed, block) in &shown {
        drawing
            .items
            .extend(patches::placed_patches(plan, block, placed).collect::<Vec<Item>>());
    }
    let (mut fine, mut bold) = (Vec::new(), Vec::new());
    for (placed, block) in shown {
        let lines = Lines::of_all(block, &Moved::of(&placed.motion));
        fine.extend(lines.seams);
        bold.extend(lines.outline);
    }
    bold.extend(
        parts
            .iter()
            .map(|p| Path::ring(still.points(&patches::corners(&p.outline)))),
    );
    drawing.push(Shape::drawn(fine, Stroke::new(Ink::Quiet, 0.25)));
    drawing.push(Shape::drawn(bold, Stroke::new(Ink::Ink, 0.6)));
    drawing
}
