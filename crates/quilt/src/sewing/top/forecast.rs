//! What the maker's errors add up to in the whole top.
//!
//! ```text
//!   row:   ▢ ─ ▢ ─ ▢      each block as its own forecast says, each seam between two
//!                         pieces twice its allowance; strips as wide as they were cut
//! ```
//!
//! Along a row of n pieces with widths that vary by σᵢ the length varies by
//! σ² = Σ σᵢ² + 4 (n − 1) σ_s², and is off by Σ mᵢ − 2 (n − 1) b on average; the same from
//! row to row down the top, along the column that varies most. A border adds the widths of
//! two strips and four allowances, since its strips are cut to the top as it was measured.
//!
//! Where two rows meet, the seam lines within them miss each other by what both have
//! gathered up to there, measured from the ends laid together: the widths of k pieces and
//! 4 (k − 1) + 1 allowances each. Pinned at every seam, only one block has to be eased to
//! its neighbour across the seam.
//!
//! **Squared up.** A block that is trimmed to its size before it is joined varies as a cut
//! does, whatever its own seams were; the forecast is given both ways. What trimming cannot
//! put right, a block that is too small, is left out here: it is told of the units that are
//! trimmed.
//!
//! On point a straight line across the top runs through the diagonals of its blocks: the
//! lengths along and across the rows both count by 1/√2, before the edges are squared up.
//!
//! **Units.** Inches; floating, since these are likelihoods.
//!
//! **Assumes** what the forecast of a block assumes, and blocks independent of each other
//! but for the constant error of the seam.

use super::super::tolerance::{SHOWS, Spread};
use super::super::{Errors, Handling};
use super::{Piece, Work, rows};

/// The forecast of the top.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct TopForecast {
    /// How far the finished top is off across and down, as blocks come from the machine.
    pub size: [Spread; 2],
    /// The same with every block squared up before it is joined.
    pub squared: [Spread; 2],
    /// Points where seams within two rows meet.
    pub points: u32,
    /// How many of them miss by more than 1/16 in on average, unpinned, blocks as they come.
    pub showing: f64,
    /// The same with every block squared up.
    pub showing_squared: f64,
    /// How much one block has to be eased to the block beyond the seam when every point is
    /// pinned, standard deviation, blocks as they come.
    pub eased: f64,
}

/// Works out the forecast; `None` for a top without blocks.
pub(super) fn forecast(
    work: &Work<'_>,
    handling: &[Handling],
    errors: &Errors,
) -> Option<TopForecast> {
    if work.top.blocks.is_empty() {
        return None;
    }
    let rows: Vec<Vec<Piece>> = rows::pieces(work).into_iter().map(|(_, row)| row).collect();
    let [as_sewn, squared] = [false, true].map(|squared| {
        let table = Table {
            work,
            handling,
            errors,
            squared,
        };
        (table.size(&rows), table.meetings(&rows), table.eased())
    });
    Some(TopForecast {
        size: as_sewn.0,
        squared: squared.0,
        points: as_sewn.1.0,
        showing: as_sewn.1.1,
        showing_squared: squared.1.1,
        eased: as_sewn.2,
    })
}

struct Table<'a> {
    work: &'a Work<'a>,
    handling: &'a [Handling],
    errors: &'a Errors,
    squared: bool,
}

/// A mean and a variance on the way.
#[derive(Clone, Copy, Default)]
struct Sum {
    mean: f64,
    variance: f64,
}

impl Sum {
    fn add(&mut self, part: Spread) {
        self.mean += part.mean;
        self.variance += part.sigma.powi(2);
    }

    fn spread(self) -> Spread {
        Spread {
            mean: self.mean,
            sigma: self.variance.sqrt(),
        }
    }
}

impl Table<'_> {
    /// How far a piece is off along its row and across.
    fn piece(&self, piece: Piece) -> [Spread; 2] {
        let cut = Spread {
            mean: 0.0,
            sigma: self.errors.cut,
        };
        let Piece::Block(index) = piece else {
            return [cut; 2];
        };
        let placed = &self.work.top.blocks[index];
        let own = self.handling.iter().find(|own| own.block == placed.block);
        match own {
            Some(own) if !self.squared => {
                let size = [own.forecast.width, own.forecast.height];
                if placed.turn % 2 == 1 {
                    [size[1], size[0]]
                } else {
                    size
                }
            }
            _ => [cut; 2],
        }
    }

    /// Seams between `pieces` pieces.
    fn seams(&self, sum: &mut Sum, pieces: usize) {
        let seams = pieces.saturating_sub(1) as f64;
        sum.mean -= 2.0 * seams * self.errors.bias;
        sum.variance += 4.0 * seams * self.errors.seam.powi(2);
    }

    /// The most that any row varies along, and the rows laid down one below the other.
    fn size(&self, rows: &[Vec<Piece>]) -> [Spread; 2] {
        let along = rows.iter().map(|row| {
            let mut sum = Sum::default();
            row.iter().for_each(|&piece| sum.add(self.piece(piece)[0]));
            self.seams(&mut sum, row.len());
            sum
        });
        let most = |a: Sum, b: Sum| if b.variance > a.variance { b } else { a };
        let along = along.reduce(most).unwrap_or_default();
        let mut down = Sum::default();
        for row in rows {
            let across = row.iter().map(|&piece| self.piece(piece)[1]);
            let widest = across.reduce(|a, b| if b.sigma > a.sigma { b } else { a });
            down.add(widest.unwrap_or_default());
        }
        self.seams(&mut down, rows.len());
        let [mut width, mut height] = if self.work.on_point() {
            let slant = Sum {
                mean: (along.mean + down.mean) / std::f64::consts::SQRT_2,
                variance: f64::midpoint(along.variance, down.variance),
            };
            [slant; 2]
        } else {
            [along, down]
        };
        for _ in &self.work.plan.borders {
            for sum in [&mut width, &mut height] {
                sum.mean -= 4.0 * self.errors.bias;
                sum.variance += 2.0 * self.errors.cut.powi(2) + 8.0 * self.errors.seam.powi(2);
            }
        }
        [width.spread(), height.spread()]
    }

    /// How many points rows have in common, and how many of them show a miss, unpinned.
    fn meetings(&self, rows: &[Vec<Piece>]) -> (u32, f64) {
        let (mut points, mut showing) = (0, 0.0);
        for pair in rows
            .windows(2)
            .filter(|pair| pair[0].len() == pair[1].len())
        {
            let mut gathered = [Sum::default(); 2];
            for k in 1..pair[0].len() {
                for (sum, row) in gathered.iter_mut().zip(pair) {
                    sum.add(self.piece(row[k - 1])[0]);
                }
                let seams = 4.0 * (k as f64 - 1.0) + 1.0;
                let [one, other] = gathered;
                let miss = Spread {
                    mean: one.mean - other.mean,
                    sigma: (one.variance + other.variance + 2.0 * seams * self.errors.seam.powi(2))
                        .sqrt(),
                };
                points += 1;
                showing += miss.beyond(SHOWS);
            }
        }
        (points, showing)
    }

    /// What one block differs from its neighbour across a seam: two widths and the seams at
    /// their ends.
    fn eased(&self) -> f64 {
        let widths = (0..self.work.top.blocks.len()).map(|index| {
            let own = self.piece(Piece::Block(index))[0];
            (2.0 * own.sigma.powi(2) + 8.0 * self.errors.seam.powi(2)).sqrt()
        });
        widths.fold(0.0, f64::max)
    }
}
