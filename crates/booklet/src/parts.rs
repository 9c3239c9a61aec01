//! The parts of a booklet a maker may print or leave out.

use std::collections::BTreeSet;

/// A part of the booklet, in the order of the work. The cover is always there.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Part {
    /// What to buy and have ready.
    Cloth,
    /// How the cloths stand to each other, and where each scrap lies.
    Choosing,
    /// Cutting layouts and their steps.
    Cutting,
    /// The blocks in cloth, by letter and taken apart.
    Blocks,
    /// Sewing the blocks.
    Sewing,
    /// From blocks to top.
    Setting,
    /// Other turns of the same blocks.
    Turns,
    /// Backing, batting, binding.
    Finishing,
    /// Pages to colour.
    Colouring,
    /// Templates and foundations at true size.
    Templates,
}

impl Part {
    /// Every part, in the order they are printed.
    pub const ALL: [Self; 10] = [
        Self::Cloth,
        Self::Choosing,
        Self::Cutting,
        Self::Blocks,
        Self::Sewing,
        Self::Setting,
        Self::Turns,
        Self::Finishing,
        Self::Colouring,
        Self::Templates,
    ];

    /// The word it is asked for by.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Cloth => "cloth",
            Self::Choosing => "choosing",
            Self::Cutting => "cutting",
            Self::Blocks => "blocks",
            Self::Sewing => "sewing",
            Self::Setting => "setting",
            Self::Turns => "turns",
            Self::Finishing => "finishing",
            Self::Colouring => "colouring",
            Self::Templates => "templates",
        }
    }

    /// What it is, as a maker reads it in a list.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Cloth => "What you need",
            Self::Choosing => "Choosing the cloth",
            Self::Cutting => "Cutting",
            Self::Blocks => "The blocks",
            Self::Sewing => "Sewing the blocks",
            Self::Setting => "Setting them together",
            Self::Turns => "Other turns of the blocks",
            Self::Finishing => "Finishing",
            Self::Colouring => "Pages to colour",
            Self::Templates => "Templates at true size",
        }
    }

    /// The part of this word; `None` if there is none.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.word() == word)
    }
}

/// Which parts to print.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Parts(BTreeSet<Part>);

impl Parts {
    /// The whole booklet.
    #[must_use]
    pub fn all() -> Self {
        Self(Part::ALL.into())
    }

    /// Whether this part is printed.
    #[must_use]
    pub fn has(&self, part: Part) -> bool {
        self.0.contains(&part)
    }

    /// The parts by their words, a comma between two.
    ///
    /// # Errors
    ///
    /// A sentence that names the word there is no part for, and those there are.
    pub fn read(words: &str) -> Result<Self, String> {
        let words = words.split(',').map(str::trim).filter(|w| !w.is_empty());
        words
            .map(|word| {
                Part::named(word).ok_or_else(|| {
                    let all = Part::ALL.map(Part::word).join(", ");
                    format!("The booklet has no part “{word}”; its parts are {all}.")
                })
            })
            .collect::<Result<_, _>>()
            .map(Self)
    }
}

impl FromIterator<Part> for Parts {
    fn from_iter<I: IntoIterator<Item = Part>>(parts: I) -> Self {
        Self(parts.into_iter().collect())
    }
}

impl std::fmt::Display for Parts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words: Vec<&str> = self.0.iter().map(|part| part.word()).collect();
        f.write_str(&words.join(","))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_read_as_they_are_written() {
        assert_eq!(Parts::read(&Parts::all().to_string()), Ok(Parts::all()));
        let two = Parts::read(" sewing, cutting,").unwrap();
        assert_eq!(two.to_string(), "cutting,sewing");
        assert!(two.has(Part::Sewing) && !two.has(Part::Cloth));
        assert_eq!(Parts::read("").unwrap().to_string(), "");
        let said = Parts::read("cutting,knitting").unwrap_err();
        assert!(
            said.contains("“knitting”") && said.contains("templates"),
            "{said}"
        );
    }
}
