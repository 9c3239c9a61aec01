//! A small linear program in floats: cover what is needed at least cost.
//!
//! ```text
//!   least  Σ cost·x   with   Σ column·x ≥ need  in every row,   x ≥ 0
//! ```
//!
//! The columns are too many to list: the caller brings more as long as the prices of the
//! rows say that more would help ([`Cover::solve`] stops whenever those it has are used as
//! well as can be). The primal simplex method with the inverse of the basis kept whole; a
//! cloth has a few dozen rows, so nothing cleverer pays.
//!
//! **Not to be trusted for a proof.** Floats round. `prices` turns the prices found here into
//! whole numbers and checks them exactly; a wrong price makes a bound weak, never false.

/// Below this a float counts as nothing: costs and counts here are below a million, and
/// a double carries sixteen digits.
const NOTHING: f64 = 1e-7;

/// A pivot smaller than this would blow up the rounding.
const PIVOT: f64 = 1e-8;

/// What can be bought: a cost, and how much it puts into each row.
pub(super) trait Column {
    /// Its cost.
    fn cost(&self) -> f64;
    /// What it puts into each row, a value a row.
    fn fill(&self, into: &mut [f64]);
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Basic {
    /// A column of the pool.
    Used(usize),
    /// More in this row than is needed.
    Over(usize),
    /// This row is not yet covered, at [`Cover::missing`] a unit.
    Short(usize),
}

/// A program being solved.
pub(super) struct Cover {
    rows: usize,
    /// Cost of a unit that no column covers.
    missing: f64,
    basis: Vec<Basic>,
    costs: Vec<f64>,
    /// Row by row.
    inverse: Vec<f64>,
    amounts: Vec<f64>,
    /// The pool's columns spread over the rows, one after the other, with their costs.
    spread: Vec<f64>,
    pool: Vec<f64>,
    prices: Vec<f64>,
}

impl Cover {
    /// Nothing bought yet. `needs`: what each row needs (below zero: how far it may be
    /// short of nothing); `missing`: cost of a unit that stays uncovered.
    pub(super) fn new(needs: &[f64], missing: f64) -> Self {
        let rows = needs.len();
        let mut cover = Self {
            rows,
            missing,
            basis: Vec::with_capacity(rows),
            costs: Vec::with_capacity(rows),
            inverse: vec![0.0; rows * rows],
            amounts: Vec::with_capacity(rows),
            spread: Vec::new(),
            pool: Vec::new(),
            prices: vec![0.0; rows],
        };
        for (row, &need) in needs.iter().enumerate() {
            let short = need > 0.0;
            cover.basis.push(if short {
                Basic::Short(row)
            } else {
                Basic::Over(row)
            });
            cover.costs.push(if short { missing } else { 0.0 });
            cover.inverse[row * rows + row] = if short { 1.0 } else { -1.0 };
            cover.amounts.push(need.abs());
        }
        cover.price();
        cover
    }

    /// Offers a column.
    pub(super) fn offer(&mut self, column: &impl Column) {
        let from = self.spread.len();
        self.spread.resize(from + self.rows, 0.0);
        column.fill(&mut self.spread[from..]);
        self.pool.push(column.cost());
    }

    /// Uses the columns offered so far as well as can be. Returns the steps of arithmetic
    /// it took; gives up beyond `limit` pivots.
    pub(super) fn solve(&mut self, limit: usize) -> u64 {
        let mut work = 0;
        for _ in 0..limit {
            work += (self.spread.len() + 4 * self.rows * self.rows) as u64;
            let Some(entering) = self.entering() else {
                break;
            };
            if !self.pivot(entering) {
                break;
            }
        }
        work
    }

    /// Price of a unit in each row.
    pub(super) fn prices(&self) -> &[f64] {
        &self.prices
    }

    /// How much of each column is used, those that are, in the order of the pool.
    pub(super) fn uses(&self) -> Vec<(usize, f64)> {
        let used = |(basic, &amount): (&Basic, &f64)| match basic {
            Basic::Used(column) if amount > NOTHING => Some((*column, amount)),
            _ => None,
        };
        let mut uses: Vec<_> = self
            .basis
            .iter()
            .zip(&self.amounts)
            .filter_map(used)
            .collect();
        uses.sort_by_key(|&(column, _)| column);
        uses
    }

    /// Whether every row is covered.
    pub(super) fn covers(&self) -> bool {
        let basics = self.basis.iter().zip(&self.amounts);
        basics
            .filter(|(basic, _)| matches!(basic, Basic::Short(_)))
            .all(|(_, &amount)| amount < NOTHING)
    }

    fn price(&mut self) {
        self.prices.fill(0.0);
        for (cost, row) in self.costs.iter().zip(self.inverse.chunks(self.rows.max(1))) {
            if *cost != 0.0 {
                for (price, value) in self.prices.iter_mut().zip(row) {
                    *price += cost * value;
                }
            }
        }
    }

    /// What saves most a unit; the first of equals, so that the same program takes the
    /// same steps.
    fn entering(&self) -> Option<Basic> {
        let mut best = (-NOTHING, None);
        for (row, &price) in self.prices.iter().enumerate() {
            if price < best.0 {
                best = (price, Some(Basic::Over(row)));
            }
        }
        let columns = self.spread.chunks(self.rows.max(1)).zip(&self.pool);
        for (index, (column, cost)) in columns.enumerate() {
            let worth: f64 = column.iter().zip(&self.prices).map(|(a, p)| a * p).sum();
            if cost - worth < best.0 {
                best = (cost - worth, Some(Basic::Used(index)));
            }
        }
        best.1
    }

    /// Brings `entering` in for what runs out first; whether anything did.
    fn pivot(&mut self, entering: Basic) -> bool {
        let rows = self.rows;
        let towards: Vec<f64> = match entering {
            Basic::Used(column) => {
                let column = &self.spread[column * rows..(column + 1) * rows];
                let by_row = self.inverse.chunks(rows);
                by_row
                    .map(|row| row.iter().zip(column).map(|(a, b)| a * b).sum())
                    .collect()
            }
            Basic::Over(r) => (0..rows).map(|i| -self.inverse[i * rows + r]).collect(),
            Basic::Short(r) => (0..rows).map(|i| self.inverse[i * rows + r]).collect(),
        };
        let Some(out) = self.leaving(&towards) else {
            return false;
        };
        let step = self.amounts[out] / towards[out];
        let pivot_row: Vec<f64> = self.inverse[out * rows..(out + 1) * rows]
            .iter()
            .map(|value| value / towards[out])
            .collect();
        for (row, &share) in towards.iter().enumerate() {
            let values = &mut self.inverse[row * rows..(row + 1) * rows];
            if row == out {
                values.copy_from_slice(&pivot_row);
                self.amounts[row] = step;
            } else if share != 0.0 {
                for (value, pivot) in values.iter_mut().zip(&pivot_row) {
                    *value -= share * pivot;
                }
                self.amounts[row] = (self.amounts[row] - share * step).max(0.0);
            }
        }
        self.basis[out] = entering;
        self.costs[out] = match entering {
            Basic::Used(column) => self.pool[column],
            Basic::Over(_) => 0.0,
            Basic::Short(_) => self.missing,
        };
        self.price();
        true
    }

    /// The row that runs out first; of equals the one with the largest pivot.
    fn leaving(&self, towards: &[f64]) -> Option<usize> {
        let mut best: Option<(f64, f64, usize)> = None;
        for (row, (&amount, &share)) in self.amounts.iter().zip(towards).enumerate() {
            if share > PIVOT {
                let step = amount / share;
                let better = best.is_none_or(|(least, pivot, _)| {
                    step < least - NOTHING || (step < least + NOTHING && share > pivot)
                });
                if better {
                    best = Some((step, share, row));
                }
            }
        }
        best.map(|(_, _, row)| row)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Buy(f64, Vec<f64>);

    impl Column for Buy {
        fn cost(&self) -> f64 {
            self.0
        }

        fn fill(&self, into: &mut [f64]) {
            into.copy_from_slice(&self.1);
        }
    }

    #[test]
    fn a_program_solved_by_hand() {
        // 2x + y ≥ 8, x + 3y ≥ 9 at least 3x + 4y: both tight, x = 3, y = 2.
        let mut cover = Cover::new(&[8.0, 9.0], 1000.0);
        cover.offer(&Buy(3.0, vec![2.0, 1.0]));
        cover.offer(&Buy(4.0, vec![1.0, 3.0]));
        cover.solve(50);
        let uses = cover.uses();
        assert_eq!(uses.len(), 2);
        assert!((uses[0].1 - 3.0).abs() < 1e-9 && (uses[1].1 - 2.0).abs() < 1e-9);
        // Prices: 2p + q = 3, p + 3q = 4.
        assert!((cover.prices()[0] - 1.0).abs() < 1e-9);
        assert!((cover.prices()[1] - 1.0).abs() < 1e-9);
        assert!(cover.covers());
    }

    #[test]
    fn an_upper_limit_that_leaves_too_little_shows() {
        // x ≥ 3, but −x ≥ −2.
        let mut cover = Cover::new(&[3.0, -2.0], 1000.0);
        cover.offer(&Buy(1.0, vec![1.0, -1.0]));
        cover.solve(50);
        assert!(!cover.covers());
        assert!((cover.uses()[0].1 - 2.0).abs() < 1e-9);
    }
}
