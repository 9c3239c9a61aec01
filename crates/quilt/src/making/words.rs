//! How units are made, in words.
//!
//! The sentences name what is cut and sewn in the maker's own cloths and on the maker's
//! ruler.

use geometry::Surd;

use super::{Batch, Grain, Recipe, Refusal};
use crate::colour::lightness;
use crate::cutting::Take;
use crate::plan::{ClothId, Plan, UnitKind, Way};

/// How a batch is made in one of its ways, a sentence a deed; empty for singly.
///
/// ```text
///   Lay 3 squares 7 3/4 in of “Foam” on 3 of “Ink”, in pairs, right sides together.
///   Draw both diagonals on the back of each square of “Foam”. …
/// ```
#[must_use]
pub fn sentences(plan: &Plan, batch: &Batch, recipe: &Recipe) -> Vec<String> {
    let words = Words {
        plan,
        batch,
        recipe,
    };
    let mut deeds = match (batch.kind, recipe.way) {
        (_, Way::Singly) => return Vec::new(),
        (UnitKind::HalfSquare, way) => words.half_squares(way),
        (UnitKind::Hourglass, _) => words.hourglasses(),
        (UnitKind::Geese, Way::FourAtATime) => words.geese(),
        (UnitKind::Row, _) => words.strip_sets(),
        (UnitKind::Geese | UnitKind::Corners, _) => words.flipped(),
    };
    deeds.push(words.result());
    deeds
}

/// A caution that belongs beside the words, where the threads lie otherwise than planned.
#[must_use]
pub fn caution(recipe: &Recipe) -> Option<&'static str> {
    match recipe.grain {
        Grain::AsPlanned => None,
        Grain::BiasOutside => Some(
            "All four outer edges of these units are on the bias and stretch: press by lifting the iron, handle them little, and trim only when they lie flat.",
        ),
        Grain::Turned => Some(
            "The threads of these units run otherwise than the templates show; edges the templates keep straight may stretch.",
        ),
    }
}

/// Why a way is not offered, in a sentence.
#[must_use]
pub fn refusal(plan: &Plan, refusal: Refusal) -> String {
    match refusal {
        Refusal::Direction(cloth) => format!(
            "The print of “{}” has a direction: made several at a time, half of the pieces would lie sideways, so each is cut singly.",
            plan.cloth(cloth).name
        ),
        Refusal::Width(way, cloth) => format!(
            "Made {} they need pieces wider than “{}”, which is {} wide.",
            way.name(),
            plan.cloth(cloth).name,
            plan.measure.say(&plan.cloth(cloth).width)
        ),
    }
}

struct Words<'a> {
    plan: &'a Plan,
    batch: &'a Batch,
    recipe: &'a Recipe,
}

impl Words<'_> {
    fn say(&self, length: &Surd) -> String {
        self.plan.measure.say(length)
    }

    fn name(&self, cloth: ClothId) -> String {
        format!("“{}”", self.plan.cloth(cloth).name)
    }

    /// `5 squares 9 3/4 in`.
    fn pieces(&self, take: &Take) -> String {
        let (height, width) = (&take.height.size, &take.width.size);
        let (name, size) = if height == width {
            ("square", self.say(height))
        } else {
            ("rectangle", self.plan.measure.size(height, width))
        };
        format!("{} {size}", counted(take.count, name))
    }

    /// The take at this place, and its cloth's name.
    fn taken(&self, index: usize) -> Option<(&Take, String)> {
        let (cloth, take) = self.recipe.takes.get(index)?;
        Some((take, self.name(*cloth)))
    }

    fn seam(&self) -> String {
        self.say(&self.plan.seam)
    }

    /// How the pairs of squares are laid, the lighter cloth on top, and the name of that
    /// cloth: lines are drawn where they show.
    fn pairs(&self) -> (String, String) {
        let [(one, take), (other, _)] = self.recipe.takes.as_slice() else {
            return (String::new(), String::new());
        };
        let light = |cloth: ClothId| lightness(self.plan.cloth(cloth));
        let (upper, lower) = if light(*one) < light(*other) {
            (self.name(*other), self.name(*one))
        } else {
            (self.name(*one), self.name(*other))
        };
        let pieces = self.pieces(take);
        let pairs = if take.count == 1 { "" } else { ", in pairs" };
        let count = take.count;
        let laid =
            format!("Lay {pieces} of {upper} on {count} of {lower}{pairs}, right sides together.");
        (laid, upper)
    }

    /// Stitching beside a line, and the cut on it.
    fn beside(&self, line: &str) -> String {
        format!("Sew {} from {line} on both sides.", self.seam())
    }

    fn half_squares(&self, way: Way) -> Vec<String> {
        let (pairs, upper) = self.pairs();
        let back = format!("on the back of each square of {upper}");
        match way {
            Way::FourAtATime => vec![
                pairs,
                format!(
                    "Sew {} in from the edge, round all four sides.",
                    self.seam()
                ),
                "Cut corner to corner, both ways.".into(),
            ],
            Way::EightAtATime => vec![
                pairs,
                format!("Draw both diagonals {back}."),
                self.beside("each line"),
                "Without moving the pieces, cut through the middle, across and up and down.".into(),
                "Then cut on both lines.".into(),
            ],
            _ => vec![
                pairs,
                format!("Draw a line corner to corner {back}."),
                self.beside("the line"),
                "Cut on the line.".into(),
            ],
        }
    }

    fn hourglasses(&self) -> Vec<String> {
        let (pairs, upper) = self.pairs();
        vec![
            pairs,
            format!("Draw a line corner to corner on the back of each square of {upper}."),
            self.beside("the line"),
            "Cut on the line and press.".into(),
            "Lay the two squares of each pair together again, right sides together, seam on seam, each cloth on the other.".into(),
            "Draw a line corner to corner across the seam.".into(),
            self.beside("the line"),
            "Cut on the line.".into(),
        ]
    }

    fn geese(&self) -> Vec<String> {
        let (Some((large, goose)), Some((small, sky))) = (self.taken(0), self.taken(1)) else {
            return Vec::new();
        };
        vec![
            format!(
                "Take {} of {goose} and {} of {sky}.",
                self.pieces(large),
                self.pieces(small)
            ),
            "Draw a line corner to corner on the back of each small square.".into(),
            "Lay two small squares in opposite corners of each large one, right sides together, so that their lines make one.".into(),
            self.beside("the line"),
            "Cut on the line, and press the small triangles out.".into(),
            "Lay a small square in the square corner of each half, its line running in between the small triangles.".into(),
            self.beside("the line"),
            "Cut on the line.".into(),
        ]
    }

    fn flipped(&self) -> Vec<String> {
        let Some((main, cloth)) = self.taken(0) else {
            return Vec::new();
        };
        let mut squares: Vec<(String, u32)> = Vec::new();
        for index in 1..self.recipe.takes.len() {
            let Some((take, cloth)) = self.taken(index) else {
                continue;
            };
            let one = format!("{} of {cloth}", self.say(&take.height.size));
            match squares.iter_mut().find(|(known, _)| *known == one) {
                Some((_, count)) => *count += take.count,
                None => squares.push((one, take.count)),
            }
        }
        let squares: Vec<String> = squares
            .into_iter()
            .map(|(size, count)| format!("{} {size}", counted(count, "square")))
            .collect();
        vec![
            format!("Take {} of {cloth} and {}.", self.pieces(main), squares.join(" and ")),
            "Draw a line corner to corner on the back of each square.".into(),
            "Lay a square in a corner as the drawing shows, right sides together, and sew on the line.".into(),
            format!("Trim {} outside the stitching and fold the corner back.", self.seam()),
            "Do the same in every other corner that has a triangle.".into(),
        ]
    }

    fn strip_sets(&self) -> Vec<String> {
        let parts = self.batch.cloths.len().max(1);
        let sets: Vec<String> = self
            .recipe
            .takes
            .chunks(parts)
            .filter_map(|set| {
                let (_, first) = set.first()?;
                let long = self.say(&first.width.size);
                Some(format!("{} {long} long", counted(first.count, "strip set")))
            })
            .collect();
        let strips: Vec<String> = self
            .recipe
            .takes
            .iter()
            .take(parts)
            .map(|(cloth, take)| {
                format!("{} of {}", self.say(&take.height.size), self.name(*cloth))
            })
            .collect();
        let crosscut = self
            .plan
            .ruler
            .cut(&self.batch.size[0] + &self.plan.seam.times(2));
        vec![
            format!(
                "Sew {} from strips side by side: {}.",
                sets.join(" and "),
                strips.join(", ")
            ),
            "Press the seams one way.".into(),
            format!(
                "Square one end of each set, and from there cut across every {}.",
                self.say(&crosscut.size)
            ),
        ]
    }

    /// What comes of it.
    fn result(&self) -> String {
        let two = self.plan.seam.times(2);
        let [short, long] = self.batch.size.clone().map(|side| side + &two);
        let size = if short == long {
            format!("{} square", self.say(&short))
        } else {
            self.plan.measure.size(&short, &long)
        };
        let made = counted(self.recipe.made, "unit");
        let spare = match self.recipe.made - self.batch.needed {
            0 => String::new(),
            spare => format!(", {spare} more than needed"),
        };
        if self.recipe.way == Way::StripSet {
            format!("This gives {made} of {size}{spare}.")
        } else {
            format!("Press, and trim to {size}: {made}{spare}.")
        }
    }
}

/// `1 square`, `5 squares`.
fn counted(count: u32, noun: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{s}")
}
