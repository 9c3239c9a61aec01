//! Everything a writer needs to know of the cloths, and the typeface of the labels.

use quilt::plan::{Cloth, Plan, Print};

use crate::colour::{Rgb, colour_of};
use crate::drawing::Ink;

/// The cloths of a plan as they are drawn, and the typeface of the labels.
#[derive(Clone, PartialEq, Debug)]
pub struct Palette {
    /// One entry a cloth of the plan, in the plan's order.
    pub cloths: Vec<ClothInk>,
    /// Family name of the typeface, as it stands in `font-family`.
    pub font: String,
    /// The paper, for plates under words, halos of arrows and patches without cloth.
    pub paper: Rgb,
    /// How far everything is blurred: a deviation of this share of the drawing's width;
    /// 0 not at all.
    pub blur: f64,
}

/// A cloth as it is drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct ClothInk {
    /// Its ground.
    pub ground: Rgb,
    /// Its figure.
    pub figure: Rgb,
    /// The kind of print.
    pub print: Print,
    /// Size of one repeat, inches of cloth.
    pub repeat: f64,
}

impl Palette {
    /// The palette of a plan, with labels in this typeface.
    #[must_use]
    pub fn of(plan: &Plan, font: &str) -> Self {
        Self {
            cloths: plan.cloths.iter().map(ClothInk::of).collect(),
            font: font.to_owned(),
            paper: colour_of(Ink::Paper),
            blur: 0.0,
        }
    }

    /// The same palette on paper of this colour.
    #[must_use]
    pub fn on_paper(mut self, paper: Rgb) -> Self {
        self.paper = paper;
        self
    }

    /// The colour of an ink on this paper.
    pub(crate) fn ink(&self, ink: Ink) -> Rgb {
        if ink == Ink::Paper {
            self.paper
        } else {
            colour_of(ink)
        }
    }

    /// The same palette with every cloth in the grey of its own lightness: how the eye
    /// sees the quilt by value alone.
    #[must_use]
    pub fn in_greys(&self) -> Self {
        let grey = |c: &ClothInk| ClothInk {
            ground: c.ground.grey(),
            figure: c.figure.grey(),
            ..*c
        };
        Self {
            cloths: self.cloths.iter().map(grey).collect(),
            ..self.clone()
        }
    }

    /// The cloth of this index; a plain grey one if there is none.
    pub(crate) fn cloth(&self, index: usize) -> ClothInk {
        let none = Rgb([0xcc; 3]);
        let missing = ClothInk {
            ground: none,
            figure: none,
            print: Print::Plain,
            repeat: 1.0,
        };
        self.cloths.get(index).copied().unwrap_or(missing)
    }
}

impl ClothInk {
    pub(crate) fn of(cloth: &Cloth) -> Self {
        let rgb = |c: quilt::plan::Colour| Rgb([c.red, c.green, c.blue]);
        Self {
            ground: rgb(cloth.colour),
            figure: rgb(cloth.second),
            print: cloth.print,
            repeat: cloth.scale.to_f64(),
        }
    }
}
