//! Lays rectangles on pages, shelf by shelf.
//!
//! ```text
//!   ┌──────────────┐   The highest first; each goes where it first finds room: under
//!   │ A   │ B │ C  │   another on a shelf (F under E), or at the shelf's end. A new
//!   │     │   ├────┤   shelf opens under the last one of the first page that has room,
//!   ├─────┴───┤ G  │   then a new page.
//!   │ D  │ E  ├────┤
//!   │    │ F  │    │
//!   └────┴────┴────┘
//! ```
//!
//! **Units.** Any, the same throughout. x right, y down from the page's corner.
//!
//! **What always holds.** No two rectangles of a page overlap or come nearer than the
//! gap, and all lie on the page; one larger than the page stands alone in its corner.

/// Where a rectangle lies.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Spot {
    /// Which page, from 0.
    pub(crate) page: usize,
    /// Its left edge.
    pub(crate) x: f64,
    /// Its top edge.
    pub(crate) y: f64,
}

/// A page as rectangles find it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Sheet {
    /// Width.
    pub(crate) width: f64,
    /// Height.
    pub(crate) height: f64,
    /// What is taken at the top of the first page.
    pub(crate) head: f64,
    /// Least distance between rectangles.
    pub(crate) gap: f64,
}

struct Shelf {
    page: usize,
    y: f64,
    height: f64,
    /// From the left; rectangles in a stack stand under one another.
    stacks: Vec<Stack>,
}

struct Stack {
    x: f64,
    width: f64,
    /// How far down the shelf it is filled, the gap included.
    filled: f64,
}

/// Room for rounding: sizes are sums of floats.
const HAIR: f64 = 1e-9;

/// Lays rectangles (width, height); one spot each, in the order given.
pub(crate) fn lay(sizes: &[[f64; 2]], sheet: &Sheet) -> Vec<Spot> {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    // A stable sort keeps the letters in order among equals.
    order.sort_by(|&a, &b| sizes[b][1].total_cmp(&sizes[a][1]));
    let mut shelves: Vec<Shelf> = Vec::new();
    let mut spots = vec![Spot { page: 0, x: 0.0, y: 0.0 }; sizes.len()];
    for i in order {
        let [width, height] = sizes[i];
        let found = shelves.iter_mut().find_map(|shelf| shelf.place(sizes[i], sheet));
        spots[i] = found.unwrap_or_else(|| {
            let mut shelf = new_shelf(&shelves, height, sheet);
            let spot = shelf.open(width, height, sheet);
            shelves.push(shelf);
            spot
        });
    }
    spots
}

impl Shelf {
    /// The spot of a rectangle on this shelf, if it has room.
    fn place(&mut self, [width, height]: [f64; 2], sheet: &Sheet) -> Option<Spot> {
        let room = self.height + HAIR;
        let under = self
            .stacks
            .iter_mut()
            .find(|stack| width <= stack.width + HAIR && stack.filled + height <= room);
        if let Some(stack) = under {
            let spot = Spot { page: self.page, x: stack.x, y: self.y + stack.filled };
            stack.filled += height + sheet.gap;
            return Some(spot);
        }
        let fits = height <= room && self.end(sheet) + width <= sheet.width + HAIR;
        fits.then(|| self.open(width, height, sheet))
    }

    /// Opens a stack at the shelf's end with this rectangle on top.
    fn open(&mut self, width: f64, height: f64, sheet: &Sheet) -> Spot {
        let x = self.end(sheet);
        self.stacks.push(Stack { x, width, filled: height + sheet.gap });
        Spot { page: self.page, x, y: self.y }
    }

    fn end(&self, sheet: &Sheet) -> f64 {
        self.stacks.last().map_or(0.0, |last| last.x + last.width + sheet.gap)
    }
}

fn new_shelf(shelves: &[Shelf], height: f64, sheet: &Sheet) -> Shelf {
    let top = |page: usize| if page == 0 { sheet.head } else { 0.0 };
    let last = shelves.iter().map(|shelf| shelf.page).max();
    let pages = last.map_or(0, |last| last + 1);
    for page in 0..pages {
        let below = shelves
            .iter()
            .filter(|shelf| shelf.page == page)
            .map(|shelf| shelf.y + shelf.height + sheet.gap)
            .fold(top(page), f64::max);
        if below + height <= sheet.height + HAIR {
            return Shelf { page, y: below, height, stacks: Vec::new() };
        }
    }
    // A first page whose head leaves too little room is left to its head.
    let page = if pages == 0 && top(0) + height > sheet.height + HAIR { 1 } else { pages };
    Shelf { page, y: top(page), height, stacks: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: Sheet = Sheet { width: 7.5, height: 9.0, head: 1.5, gap: 0.25 };

    fn laid(sizes: &[[f64; 2]]) -> Vec<Spot> {
        lay(sizes, &SHEET)
    }

    #[test]
    fn rectangles_stand_side_by_side_then_below_then_on_the_next_page() {
        let spots = laid(&[[3.0, 3.0], [3.0, 4.0], [3.0, 3.0], [3.0, 4.0]]);
        let at = |page, x, y| Spot { page, x, y };
        assert_eq!(spots, [at(0, 0.0, 5.75), at(0, 0.0, 1.5), at(0, 3.25, 5.75), at(0, 3.25, 1.5)]);
        let high = laid(&[[7.5, 8.0]; 2]);
        assert_eq!((high[0].page, high[1].page), (1, 2), "the first page keeps its head");
    }

    #[test]
    fn whatever_is_laid_keeps_its_distance() {
        // A fixed run of many sizes, from an old linear congruence.
        let mut state: u32 = 7;
        let mut next = |most: f64| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 16) / 65536.0 * most + 0.1
        };
        for count in 1..60 {
            let sizes: Vec<[f64; 2]> = (0..count).map(|_| [next(6.0), next(7.0)]).collect();
            let spots = laid(&sizes);
            for (i, spot) in spots.iter().enumerate() {
                let [w, h] = sizes[i];
                let top = if spot.page == 0 { SHEET.head } else { 0.0 };
                assert!(spot.y >= top - 1e-9 && spot.x + w <= 7.5 + 1e-9 && spot.y + h <= 9.0 + 1e-9);
                for (j, other) in spots.iter().enumerate().filter(|(j, o)| *j != i && o.page == spot.page) {
                    let [ow, oh] = sizes[j];
                    let apart = spot.x + w + 0.25 <= other.x + 1e-9
                        || other.x + ow + 0.25 <= spot.x + 1e-9
                        || spot.y + h + 0.25 <= other.y + 1e-9
                        || other.y + oh + 0.25 <= spot.y + 1e-9;
                    assert!(apart, "{i} and {j} of {sizes:?}");
                }
            }
        }
    }
}
