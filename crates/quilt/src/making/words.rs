//! How units are made, in words.
//!
//! The sentences name what is cut and sewn in the maker's own cloths and on the maker's
//! ruler.

use geometry::Surd;

use super::{Batch, Grain, Recipe, Refusal};
use crate::cutting::Take;
use crate::plan::{ClothId, Plan, UnitKind, Way};

/// How a batch is made in one of its ways; empty for singly.
///
/// ```text
///   Draw both diagonals on the back of 5 squares 9 3/4 in of “Foam”. Lay each on a square …
/// ```
#[must_use]
pub fn words(plan: &Plan, batch: &Batch, recipe: &Recipe) -> String {
    let words = Words {
        plan,
        batch,
        recipe,
    };
    let making = match (batch.kind, recipe.way) {
        (_, Way::Singly) => return String::new(),
        (UnitKind::HalfSquare, way) => words.half_squares(way),
        (UnitKind::Hourglass, _) => words.hourglasses(),
        (UnitKind::Geese, Way::FourAtATime) => words.geese(),
        (UnitKind::Row, _) => words.strip_sets(),
        (UnitKind::Geese | UnitKind::Corners, _) => words.flipped(),
    };
    format!("{making} {}", words.result())
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

    /// How the pairs of squares are laid: `Pair 5 squares 9 3/4 in of “Foam” with 5 of
    /// “Ink”, right sides together`.
    fn pairs(&self) -> String {
        let (Some((first, cloth)), Some((_, other))) = (self.taken(0), self.taken(1)) else {
            return String::new();
        };
        let count = first.count;
        let pieces = self.pieces(first);
        if count == 1 {
            format!("Lay {pieces} of {cloth} on 1 of {other}, right sides together.")
        } else {
            format!(
                "Lay {pieces} of {cloth} on {count} of {other}, in pairs, right sides together."
            )
        }
    }

    fn half_squares(&self, way: Way) -> String {
        let (pairs, seam) = (self.pairs(), self.seam());
        match way {
            Way::FourAtATime => format!(
                "{pairs} Sew {seam} in from the edge round all four sides. Cut corner to corner, both ways."
            ),
            Way::EightAtATime => format!(
                "{pairs} Draw both diagonals on the back of the lighter square. Sew {seam} from each line on both sides. Without moving the pieces cut through the middle, across and up and down, then on both lines."
            ),
            _ => format!(
                "{pairs} Draw a line corner to corner on the back of the lighter square. Sew {seam} from the line on both sides. Cut on the line."
            ),
        }
    }

    fn hourglasses(&self) -> String {
        let seam = self.seam();
        format!(
            "{} Draw a line corner to corner on the back of the lighter square. Sew {seam} from the line on both sides. Cut on the line and press. Lay the two halves of each pair together again, right sides together, each cloth on the other and the seams meeting. Draw a line across the seam, corner to corner. Sew {seam} from it on both sides. Cut on the line.",
            self.pairs()
        )
    }

    fn geese(&self) -> String {
        let (Some((large, goose)), Some((small, sky))) = (self.taken(0), self.taken(1)) else {
            return String::new();
        };
        let seam = self.seam();
        format!(
            "Take {} of {goose} and {} of {sky}; draw a line corner to corner on the back of each small square. Lay two small squares in opposite corners of each large one, right sides together, so that their lines meet in one. Sew {seam} from the line on both sides. Cut on the line and press the small triangles up. Lay a small square in the corner that is left of each half, its line running to between the triangles. Sew {seam} from the line on both sides. Cut on the line.",
            self.pieces(large),
            self.pieces(small)
        )
    }

    fn flipped(&self) -> String {
        let Some((main, cloth)) = self.taken(0) else {
            return String::new();
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
        format!(
            "Take {} of {cloth} and {}; draw a line corner to corner on the back of each square. Lay a square in a corner as the drawing shows, right sides together. Sew on the line, trim {} outside it and fold the corner back. Do the same in the other corners.",
            self.pieces(main),
            squares.join(" and "),
            self.seam()
        )
    }

    fn strip_sets(&self) -> String {
        let parts = self.batch.cloths.len();
        let mut sets: Vec<String> = Vec::new();
        for set in self.recipe.takes.chunks(parts.max(1)) {
            let Some((_, first)) = set.first() else {
                continue;
            };
            let strips: Vec<String> = set
                .iter()
                .map(|(cloth, take)| {
                    format!("{} of {}", self.say(&take.height.size), self.name(*cloth))
                })
                .collect();
            let long = self.say(&first.width.size);
            if sets.is_empty() {
                let each = if first.count == 1 { "" } else { "each " };
                sets.push(format!(
                    "Sew {} {long} long, {each}from strips in this order: {}",
                    counted(first.count, "strip set"),
                    strips.join(", ")
                ));
            } else {
                sets.push(format!("and {} {long} long", counted(first.count, "more")));
            }
        }
        let crosscut = self
            .plan
            .ruler
            .cut(&self.batch.size[0] + &self.plan.seam.times(2));
        format!(
            "{}. Press the seams one way. Square the end of each set and cut across every {}.",
            sets.join(", "),
            self.say(&crosscut.size)
        )
    }

    /// What comes of it.
    fn result(&self) -> String {
        let two = self.plan.seam.times(2);
        let [short, long] = self.batch.size.clone().map(|side| side + &two);
        let size = if short == long {
            self.say(&short)
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
            format!("Press and trim to {size}. This gives {made}{spare}.")
        }
    }
}

/// `1 square`, `5 squares`; `2 more`.
fn counted(count: u32, noun: &str) -> String {
    match (count, noun) {
        (1, _) | (_, "more") => format!("{count} {noun}"),
        _ => format!("{count} {noun}s"),
    }
}
