//! Strips cut along the selvage: how they lie side by side and end to end.
//!
//! A **panel** is the whole width of the cloth, as long as the longest strip in it. It is cut
//! along the length into **columns**; a column holds one strip or several end to end.
//! Beside the columns, and below those that are shorter, cloth is left for strips across.
//!
//! **Units.** Marks. **Knows nothing of** what else is cut from the cloth.

use super::stock::Scrap;

/// So many ways to arrange the strips are looked at; two borders on four sides have fewer.
const MOST: usize = 400;

/// A strip cut along the selvage.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Lengthwise {
    /// Index of the demand.
    pub(super) demand: usize,
    pub(super) width: i64,
    pub(super) length: i64,
}

/// Strips end to end.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Column {
    pub(super) width: i64,
    /// All its strips together.
    pub(super) length: i64,
    pub(super) strips: Vec<Lengthwise>,
}

/// Columns side by side across the cloth.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Panel {
    /// As long as its longest strip.
    pub(super) length: i64,
    pub(super) columns: Vec<Column>,
}

/// Cloth left in a panel.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Offcut {
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) width: i64,
    pub(super) length: i64,
}

impl Offcut {
    /// The same as cloth that need not be bought.
    pub(super) fn scrap(&self) -> Scrap {
        Scrap {
            across: self.width,
            along: self.length,
            turns: false,
            many: 1,
        }
    }
}

impl Panel {
    pub(super) fn used(&self) -> i64 {
        self.columns.iter().map(|column| column.width).sum()
    }

    /// What is left in a panel that begins at `y`: below short columns, neighbours that are
    /// equally short together, and beside them all.
    pub(super) fn offcuts(&self, y: i64, across: i64) -> Vec<Offcut> {
        let mut offcuts: Vec<Offcut> = Vec::new();
        let mut x = 0;
        for column in &self.columns {
            let (width, length) = (column.width, self.length - column.length);
            match offcuts.last_mut() {
                Some(last) if last.length == length && last.x + last.width == x => {
                    last.width += width;
                }
                _ => offcuts.push(Offcut {
                    x,
                    y: y + column.length,
                    width,
                    length,
                }),
            }
            x += width;
        }
        offcuts.push(Offcut {
            x,
            y,
            width: across - x,
            length: self.length,
        });
        offcuts.retain(|offcut| offcut.width > 0 && offcut.length > 0);
        offcuts
    }
}

/// Every way to arrange the strips on cloth so wide, up to a change of order; and whether
/// these are all. The first is the one that fills panel after panel.
pub(super) fn arrangements(strips: &[Lengthwise], across: i64) -> (Vec<Vec<Panel>>, bool) {
    let mut strips = strips.to_vec();
    strips.sort_by_key(|strip| (-strip.length, -strip.width, strip.demand));
    let mut all = Arranging {
        strips: &strips,
        across,
        found: Vec::new(),
    };
    all.place(0, &mut Vec::new(), 0);
    let whole = all.found.len() < MOST;
    for panels in &mut all.found {
        for panel in panels {
            panel.columns.sort_by_key(|column| -column.length);
        }
    }
    (all.found, whole)
}

struct Arranging<'a> {
    /// By falling length.
    strips: &'a [Lengthwise],
    across: i64,
    found: Vec<Vec<Panel>>,
}

impl Arranging<'_> {
    /// Places the strip of this number everywhere it may lie, at the `from`th place or later.
    fn place(&mut self, index: usize, panels: &mut Vec<Panel>, from: usize) {
        if self.found.len() >= MOST {
            return;
        }
        let Some(&strip) = self.strips.get(index) else {
            self.found.push(panels.clone());
            return;
        };
        // Equal strips are placed in one order only.
        let next = self.strips.get(index + 1);
        let alike = next.is_some_and(|n| (n.width, n.length) == (strip.width, strip.length));
        let mut place = 0;
        for p in 0..panels.len() {
            let mut seen: Vec<(i64, i64)> = Vec::new();
            for c in 0..=panels[p].columns.len() {
                let here = place;
                place += 1;
                if here < from {
                    continue;
                }
                let kept = panels[p].clone();
                if !lay(&mut panels[p], c, strip, self.across, &mut seen) {
                    continue;
                }
                self.place(index + 1, panels, if alike { here } else { 0 });
                panels[p] = kept;
            }
        }
        panels.push(Panel {
            length: strip.length,
            columns: vec![column(strip)],
        });
        self.place(index + 1, panels, if alike { place } else { 0 });
        panels.pop();
    }
}

fn column(strip: Lengthwise) -> Column {
    Column {
        width: strip.width,
        length: strip.length,
        strips: vec![strip],
    }
}

/// Lays a strip at the end of a column, or in a new one; whether it fits and no column
/// like it was `seen` in this panel.
fn lay(
    panel: &mut Panel,
    at: usize,
    strip: Lengthwise,
    across: i64,
    seen: &mut Vec<(i64, i64)>,
) -> bool {
    let used = panel.used();
    let Some(column) = panel.columns.get_mut(at) else {
        let fits = used + strip.width <= across;
        if fits {
            panel.columns.push(self::column(strip));
        }
        return fits;
    };
    let like = (column.width, column.length);
    let wider = (strip.width - column.width).max(0);
    let fits = column.length + strip.length <= panel.length && used + wider <= across;
    if !fits || seen.contains(&like) {
        return false;
    }
    seen.push(like);
    column.width += wider;
    column.length += strip.length;
    column.strips.push(strip);
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strips(sizes: &[(i64, i64)]) -> Vec<Lengthwise> {
        let one = |&(width, length): &(i64, i64)| Lengthwise {
            demand: 0,
            width,
            length,
        };
        sizes.iter().map(one).collect()
    }

    #[test]
    fn four_borders_lie_side_by_side_or_one_after_another() {
        let (all, whole) =
            arrangements(&strips(&[(52, 576), (52, 576), (52, 480), (52, 480)]), 320);
        assert!(whole);
        let first: i64 = all[0].iter().map(|panel| panel.length).sum();
        assert!(
            all.iter()
                .all(|panels| panels.iter().map(|p| p.columns.len()).sum::<usize>() == 4)
        );
        let least = all
            .iter()
            .map(|panels| panels.iter().map(|p| p.length).sum::<i64>())
            .min();
        assert_eq!(least, Some(576), "all four side by side: {first}");
    }

    #[test]
    fn short_strips_lie_end_to_end_in_a_column() {
        let (all, _) = arrangements(&strips(&[(200, 600), (100, 300), (100, 300)]), 320);
        let one = all
            .iter()
            .find(|panels| panels.len() == 1 && panels[0].columns.len() == 2);
        let panel = &one.expect("one panel of two columns")[0];
        assert_eq!(panel.columns[1].strips.len(), 2);
        assert_eq!(
            panel.offcuts(0, 320),
            vec![Offcut {
                x: 300,
                y: 0,
                width: 20,
                length: 600
            }]
        );
    }

    #[test]
    fn what_is_below_short_columns_is_cloth_too() {
        let panel = Panel {
            length: 600,
            columns: vec![
                column(Lengthwise {
                    demand: 0,
                    width: 50,
                    length: 600,
                }),
                column(Lengthwise {
                    demand: 0,
                    width: 50,
                    length: 500,
                }),
                column(Lengthwise {
                    demand: 0,
                    width: 50,
                    length: 500,
                }),
            ],
        };
        assert_eq!(
            panel.offcuts(10, 320),
            vec![
                Offcut {
                    x: 50,
                    y: 510,
                    width: 100,
                    length: 100
                },
                Offcut {
                    x: 150,
                    y: 10,
                    width: 170,
                    length: 600
                },
            ]
        );
    }
}
