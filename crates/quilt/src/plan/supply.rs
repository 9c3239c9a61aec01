//! What there is of a cloth already, and how it is sold.
//!
//! **Units.** Inches. Sizes of owned pieces are what can be used of them: pressed, and
//! squared where they are to be. A size that is not there is the usable width of the
//! cloth.

use geometry::Surd;

/// What there is of one cloth and how more of it is bought.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Supply {
    /// What the maker has already, in the maker's order.
    pub owned: Vec<Owned>,
    /// Whether more of it can be bought.
    pub sold: bool,
    /// Price of a yard, or of a metre where the maker reads centimetres, at the cloth's own
    /// width.
    pub price: Option<Surd>,
    /// Other widths it is sold in.
    pub widths: Vec<SoldWidth>,
}

impl Default for Supply {
    /// Nothing owned, sold in one width, at a price nobody wrote down.
    fn default() -> Self {
        Self {
            owned: Vec::new(),
            sold: true,
            price: None,
            widths: Vec::new(),
        }
    }
}

/// Another width a cloth is sold in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SoldWidth {
    /// Usable width, inches; greater than zero.
    pub width: Surd,
    /// Price of a yard or metre at this width.
    pub price: Option<Surd>,
}

/// Equal pieces of a cloth that the maker has already.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Owned {
    /// What the maker calls them.
    pub kind: OwnedKind,
    /// How many; at least one.
    pub count: u32,
    /// Size from selvage to selvage, inches; `None`: the usable width of the cloth.
    pub across: Option<Surd>,
    /// Size along the selvage, inches; greater than zero.
    pub along: Surd,
}

/// What a piece of cloth is called that the maker owns.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OwnedKind {
    /// A length from selvage to selvage.
    Length,
    /// Half a yard (half a metre) cut in two along the selvage.
    FatQuarter,
    /// Half a fat quarter, as wide as it.
    FatEighth,
    /// A rectangle of any size.
    Piece,
    /// Strips from selvage to selvage.
    Strips,
    /// Squares.
    Squares,
}
