//! What counts as like: the same cloth, the same family of colour, the same value, or
//! the same place of the block.

use std::collections::BTreeMap;

use crate::cloth::Values;
use crate::colour::{hue_word, lab};
use crate::plan::{BlockId, Cloth, ClothId, Plan};

/// What counts as like.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Likeness {
    /// The same cloth.
    Cloth,
    /// The same family of colour: cloths the maker numbers alike (`rust-1`, `rust-2`), a
    /// single cloth by its hue.
    Family,
    /// In the same group by value: what is left from a few steps away.
    Value,
    /// Places named alike but for their round (`arm 1 round 1`, `arm 1 round 2`).
    Place,
}

impl Likeness {
    /// `cloth`, `family`, `value` or `place`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Cloth => "cloth",
            Self::Family => "family",
            Self::Value => "value",
            Self::Place => "place",
        }
    }
}

/// The classes a likeness makes of a plan.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Classes {
    /// What counts as like.
    pub like: Likeness,
    /// The name of each class, as it is said in a sentence.
    pub names: Vec<String>,
    /// For each cloth of the plan its class.
    of_cloth: Vec<usize>,
    /// For each block and place its class; only by place.
    of_place: Vec<Vec<usize>>,
}

impl Classes {
    /// The classes of a plan.
    #[must_use]
    pub fn of(plan: &Plan, like: Likeness) -> Self {
        let mut names = Names::default();
        let values = Values::of(&plan.cloths, plan.choosing.groups);
        let of_cloth = plan
            .cloths
            .iter()
            .enumerate()
            .map(|(index, cloth)| match like {
                Likeness::Cloth => names.number(&cloth.name),
                Likeness::Family => names.number(&family(plan, cloth)),
                Likeness::Value => names.number(values.name(ClothId(index))),
                Likeness::Place => 0,
            })
            .collect();
        let of_place = match like {
            Likeness::Place => plan
                .blocks
                .iter()
                .map(|block| {
                    let stems = block.places.iter().map(|place| stem(&place.name));
                    stems.map(|stem| names.number(stem)).collect()
                })
                .collect(),
            _ => Vec::new(),
        };
        Self {
            like,
            names: names.list,
            of_cloth,
            of_place,
        }
    }

    /// The class of a patch: by its cloth, or by its place in its block.
    #[must_use]
    pub fn class(&self, block: BlockId, place: usize, cloth: ClothId) -> usize {
        if self.like == Likeness::Place {
            self.of_place[block.0][place]
        } else {
            self.of_cloth[cloth.0]
        }
    }

    /// The class of a part of the top that belongs to no block; by place it has none.
    #[must_use]
    pub fn of_part(&self, cloth: ClothId) -> Option<usize> {
        (self.like != Likeness::Place).then(|| self.of_cloth[cloth.0])
    }
}

#[derive(Default)]
struct Names {
    list: Vec<String>,
    known: BTreeMap<String, usize>,
}

impl Names {
    fn number(&mut self, name: &str) -> usize {
        let next = self.list.len();
        let number = *self.known.entry(name.to_owned()).or_insert(next);
        if number == next {
            self.list.push(name.to_owned());
        }
        number
    }
}

/// A place's name without its round.
fn stem(name: &str) -> &str {
    name.split(" round ").next().unwrap_or(name)
}

/// The key without its number, where it has one.
fn numbered(key: &str) -> Option<&str> {
    let bare = key.trim_end_matches(|c: char| c.is_ascii_digit());
    let stem = bare.trim_end_matches(['-', '_', ' ']);
    (bare.len() < key.len() && !stem.is_empty()).then_some(stem)
}

fn family(plan: &Plan, cloth: &Cloth) -> String {
    if let Some(stem) = numbered(&cloth.key) {
        let like = |c: &&Cloth| numbered(&c.key) == Some(stem);
        if plan.cloths.iter().filter(like).count() > 1 {
            return stem.to_owned();
        }
    }
    hue_word(lab(cloth.colour)).to_owned()
}
