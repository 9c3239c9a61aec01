//! The cutting of one cloth in words, with the numbers beside them.
//!
//! Strips of one height are cut in one go, so they make one step; what is cut from them
//! follows. Strips to be joined end to end are joined in a step of their own at the end.

use std::collections::BTreeMap;

use super::{ClothCutting, Demand, Laid, Method, Strip, Use};
use crate::block::RotaryShape;
use crate::measure::Cut;
use crate::plan::Plan;
use crate::results::Blocks;
use crate::setting::PartKind;

/// One step at the cutting table.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CutStep {
    /// The step in words.
    pub text: String,
    /// How many strips are cut; 0 where strips are only joined.
    pub strips: u32,
    /// Height of each along the cloth, marks.
    pub height: i64,
    /// Length of each across the cloth, marks.
    pub width: i64,
    /// Whether they are cut along the selvage.
    pub lengthwise: bool,
    /// What is cut from them.
    pub crosscuts: Vec<Crosscut>,
}

/// Equal cuts from the strips of one step.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Crosscut {
    /// Index into [`ClothCutting::demands`].
    pub demand: usize,
    /// Height of each, marks.
    pub height: i64,
    /// Width of each along the strip, marks; 0 where runs of several lengths are cut.
    pub width: i64,
    /// How many rectangles or runs.
    pub count: u32,
    /// The pieces that come out of them, by what they are for.
    pub pieces: Vec<(Use, u32)>,
}

/// What the maker calls a piece that belongs to no block: `side triangle`, `binding`.
#[must_use]
pub fn use_name(usage: &Use) -> String {
    named(usage, 1)
}

/// The same for so many of them.
fn named(usage: &Use, count: u32) -> String {
    let part = match usage {
        Use::Patch(..) => "patch",
        Use::Binding => return "binding".into(),
        Use::Backing => return "backing".into(),
        Use::Sleeve => return "hanging sleeve".into(),
        Use::Unit(_, step) => return format!("unit {}", step + 1),
        Use::Part(kind) => match kind {
            PartKind::BorderSide(border) => return format!("border {}, sides", border + 1),
            PartKind::BorderEnd(border) => {
                return format!("border {}, top and bottom", border + 1);
            }
            PartKind::BorderSquare(border) => {
                return format!("border {}, corner squares", border + 1);
            }
            PartKind::Sash if count != 1 => return "sashes".into(),
            PartKind::LongSash if count != 1 => return "long sashes".into(),
            PartKind::Sash => "sash",
            PartKind::LongSash => "long sash",
            PartKind::Post => "post",
            PartKind::EdgePost => "half post for the edge",
            PartKind::SideTriangle => "side triangle",
            PartKind::CornerTriangle => "corner triangle",
        },
    };
    match (count, part) {
        (1, _) => part.into(),
        (_, "patch") => "patches".into(),
        (_, "half post for the edge") => "half posts for the edge".into(),
        _ => format!("{part}s"),
    }
}

/// The steps of cutting one cloth, in order.
#[must_use]
pub fn steps(plan: &Plan, blocks: &Blocks, cutting: &ClothCutting) -> Vec<CutStep> {
    let words = Words {
        plan,
        blocks,
        cutting,
    };
    let mut steps: Vec<CutStep> = Vec::new();
    let mut pieces = cutting.pieces.iter();
    for strip in &cutting.strips {
        let same = |step: &&mut CutStep| {
            step.height == strip.height
                && step.width == strip.width
                && step.lengthwise == strip.lengthwise
        };
        if steps.last_mut().filter(same).is_none() {
            steps.push(CutStep {
                text: String::new(),
                strips: 0,
                height: strip.height,
                width: strip.width,
                lengthwise: strip.lengthwise,
                crosscuts: Vec::new(),
            });
        }
        if let Some(step) = steps.last_mut() {
            step.strips += 1;
            words.crosscuts(strip, &mut pieces, &mut step.crosscuts);
        }
    }
    for step in &mut steps {
        step.text = words.step(step);
    }
    steps.extend(
        cutting
            .demands
            .iter()
            .filter_map(|demand| words.joining(demand)),
    );
    steps
}

struct Words<'a> {
    plan: &'a Plan,
    blocks: &'a Blocks,
    cutting: &'a ClothCutting,
}

impl Words<'_> {
    fn say(&self, marks: i64) -> String {
        self.plan.measure.say(&self.plan.ruler.length(marks))
    }

    fn size(&self, height: i64, width: i64) -> String {
        let length = |marks| self.plan.ruler.length(marks);
        self.plan.measure.size(&length(height), &length(width))
    }

    /// Adds a strip's slabs; its pieces are the next of the cloth's pieces.
    fn crosscuts<'p>(
        &self,
        strip: &Strip,
        pieces: &mut impl Iterator<Item = &'p Laid>,
        crosscuts: &mut Vec<Crosscut>,
    ) {
        for slab in &strip.slabs {
            let run = self.is_run(slab.demand);
            let width = if run { 0 } else { slab.width };
            let (demand, height) = (slab.demand, slab.height);
            let same = |c: &Crosscut| (c.demand, c.height, c.width) == (demand, height, width);
            let at = crosscuts.iter().position(same).unwrap_or_else(|| {
                crosscuts.push(Crosscut {
                    demand,
                    height,
                    width,
                    count: 0,
                    pieces: Vec::new(),
                });
                crosscuts.len() - 1
            });
            let crosscut = &mut crosscuts[at];
            crosscut.count += 1;
            let mut uses: BTreeMap<Use, u32> = crosscut.pieces.iter().copied().collect();
            for piece in pieces.by_ref().take(slab.pieces as usize) {
                *uses.entry(piece.usage).or_default() += 1;
            }
            crosscut.pieces = uses.into_iter().collect();
        }
    }

    /// What a demand's strips become when they are joined, if they are.
    fn joined(&self, demand: usize) -> Option<String> {
        let demand = &self.cutting.demands[demand];
        matches!(demand.method, Method::JoinedStrips { .. }).then(|| made_of(demand))
    }

    fn is_run(&self, demand: usize) -> bool {
        match &self.cutting.demands[demand].method {
            Method::Template => true,
            Method::Ruler(rotary) => !matches!(
                rotary.shape,
                RotaryShape::Square
                    | RotaryShape::Rectangle
                    | RotaryShape::HalfSquareTriangle
                    | RotaryShape::HalfRectangleTriangle
                    | RotaryShape::QuarterSquareTriangle
            ),
            _ => false,
        }
    }

    fn step(&self, step: &CutStep) -> String {
        let strips = if step.strips == 1 { "strip" } else { "strips" };
        let them = if step.strips == 1 { "it" } else { "them" };
        if step.lengthwise {
            let made: Vec<String> = step
                .crosscuts
                .iter()
                .map(|crosscut| self.labels(crosscut))
                .collect();
            return format!(
                "Cut {} {strips} {} wide and {} long along the selvage: {}.",
                step.strips,
                self.say(step.width),
                self.say(step.height),
                made.join("; ")
            );
        }
        let whole = step.width == self.cutting.width;
        let beside = if whole {
            ""
        } else {
            ", beside the long strips"
        };
        let head = format!(
            "Cut {} {strips} {} wide{beside}",
            step.strips,
            self.say(step.height)
        );
        // Strips that stay whole need no second sentence.
        if let [only] = step.crosscuts.as_slice()
            && (only.width, only.height) == (step.width, step.height)
        {
            let demand = &self.cutting.demands[only.demand];
            if demand.usage == Use::Backing {
                let lengths = if step.strips == 1 {
                    "length"
                } else {
                    "lengths"
                };
                let long = self.say(step.height);
                return format!(
                    "Cut {} {lengths} of {long}, the whole width: backing.",
                    step.strips
                );
            }
            return match self.joined(only.demand) {
                Some(joined) => format!("{head}, the whole width, to be joined for {joined}."),
                None => format!("{head}, the whole width: {}.", self.labels(only)),
            };
        }
        let cuts: Vec<String> = step
            .crosscuts
            .iter()
            .map(|crosscut| self.crosscut(crosscut, step))
            .collect();
        format!("{head}. From {them} cut {}.", cuts.join("; "))
    }

    fn crosscut(&self, crosscut: &Crosscut, step: &CutStep) -> String {
        let demand = &self.cutting.demands[crosscut.demand];
        let count = crosscut.count;
        let labels = self.labels(crosscut);
        let trimmed = if crosscut.height < step.height {
            format!(", the strip first trimmed to {}", self.say(crosscut.height))
        } else {
            String::new()
        };
        let plain = self.rectangles(crosscut);
        match &demand.method {
            Method::Template => {
                let half = if self.turned(demand) {
                    ", every other one turned half round"
                } else {
                    ""
                };
                format!("by template, head to tail{half}{trimmed}: {labels}")
            }
            Method::Ruler(rotary) => match rotary.shape {
                RotaryShape::HalfSquareTriangle => {
                    format!("{plain}, each once on the diagonal: {labels}")
                }
                RotaryShape::HalfRectangleTriangle => {
                    format!("{plain}, each once on the diagonal, all the same way: {labels}")
                }
                RotaryShape::QuarterSquareTriangle => {
                    format!("{plain}, each twice on the diagonals: {labels}")
                }
                shape => {
                    let apart = match &rotary.advance {
                        Some(advance) if !is_trapezoid(shape) => {
                            format!(", the cuts {} apart", self.say(advance.marks))
                        }
                        Some(_) => {
                            format!(", the long side {}", self.say(rotary.crosscut.marks))
                        }
                        None => String::new(),
                    };
                    let then = self.then(demand, shape);
                    format!("{} ({then}{apart}{trimmed}): {labels}", plural(shape))
                }
            },
            Method::JoinedStrips { .. } => {
                let s = if count == 1 { "" } else { "s" };
                let strips = if crosscut.width == self.cutting.width {
                    format!("{count} whole strip{s}")
                } else {
                    format!("{count} length{s} of {}", self.say(crosscut.width))
                };
                let joined = self.joined(crosscut.demand).unwrap_or_default();
                format!("{strips} to be joined for {joined}{trimmed}")
            }
            Method::BiasSquare { .. } => format!("{plain}, to be cut on the bias: {labels}"),
            Method::Rectangle { .. } | Method::Lengthwise { .. } => format!("{plain}: {labels}"),
        }
    }

    /// How the blade goes, given that a one-way print must not be turned.
    fn then(&self, demand: &Demand, shape: RotaryShape) -> String {
        let alternate = is_trapezoid(shape) || shape == RotaryShape::Triangle60;
        if alternate && !self.turned(demand) {
            return "all the same way up".into();
        }
        shape.then().into()
    }

    /// Whether every other piece of a run is turned half round.
    fn turned(&self, _demand: &Demand) -> bool {
        self.plan.cloth(self.cutting.cloth).direction != crate::plan::Direction::OneWay
    }

    fn rectangles(&self, crosscut: &Crosscut) -> String {
        let (count, height, width) = (crosscut.count, crosscut.height, crosscut.width);
        if width == self.cutting.width {
            let s = if count == 1 { "" } else { "s" };
            return format!("{count} whole strip{s}");
        }
        let (name, size) = if height == width {
            ("square", self.say(height))
        } else {
            ("rectangle", self.size(height, width))
        };
        let s = if count == 1 { "" } else { "s" };
        format!("{count} {name}{s} {size}")
    }

    /// `80 A`, `12 side triangles`, `40 A of Kitchen Star and 8 posts`.
    fn labels(&self, crosscut: &Crosscut) -> String {
        let label = |&(usage, count): &(Use, u32)| match usage {
            Use::Patch(id, template) => {
                let block = self.blocks.get(id.0).and_then(Option::as_ref);
                let letter = block
                    .and_then(|block| block.templates.get(template))
                    .map_or("", |template| template.letter.as_str());
                if self.plan.blocks.len() > 1 {
                    format!("{count} {letter} of {}", self.plan.block(id).name)
                } else {
                    format!("{count} {letter}")
                }
            }
            Use::Unit(id, step) if self.plan.blocks.len() > 1 => {
                format!("for unit {} of {}", step + 1, self.plan.block(id).name)
            }
            Use::Unit(..) => format!("for {}", named(&usage, count)),
            _ => match named(&usage, count) {
                name if name.contains(',') => format!("{count} for {name}"),
                name if matches!(usage, Use::Part(_)) => format!("{count} {name}"),
                name => name,
            },
        };
        listed(&crosscut.pieces.iter().map(label).collect::<Vec<_>>())
    }

    /// How joined strips become the lengths that are needed.
    fn joining(&self, demand: &Demand) -> Option<CutStep> {
        let Method::JoinedStrips { strip, lengths } = &demand.method else {
            return None;
        };
        let mut by_length: BTreeMap<std::cmp::Reverse<&Cut>, u32> = BTreeMap::new();
        for length in lengths {
            *by_length.entry(std::cmp::Reverse(length)).or_default() += 1;
        }
        let cuts: Vec<String> = by_length
            .into_iter()
            .map(|(length, count)| format!("{count} of {}", self.say(length.0.marks)))
            .collect();
        let made = made_of(demand);
        let join = if demand.count == 1 {
            format!("From the {} strip", self.say(strip.marks))
        } else {
            format!(
                "Join the {} strips {} wide end to end; from the long strip",
                demand.count,
                self.say(strip.marks)
            )
        };
        Some(CutStep {
            text: format!("{join} cut {}: {}.", listed(&cuts), made),
            strips: 0,
            height: strip.marks,
            width: 0,
            lengthwise: false,
            crosscuts: Vec::new(),
        })
    }
}

/// What the joined strips of a demand become: sides and ends make the border.
fn made_of(demand: &Demand) -> String {
    let name = |usage: &Use, count| match usage {
        Use::Part(PartKind::BorderSide(border) | PartKind::BorderEnd(border)) => {
            format!("border {}", border + 1)
        }
        usage => named(usage, count),
    };
    let mut names: Vec<String> = demand
        .serves
        .iter()
        .map(|served| name(&served.usage, served.count))
        .collect();
    names.dedup();
    listed(&names)
}

fn is_trapezoid(shape: RotaryShape) -> bool {
    matches!(shape, RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60)
}

fn plural(shape: RotaryShape) -> String {
    format!("{}s", shape.name())
}

/// `a`, `a and b`, `a, b and c`.
fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
