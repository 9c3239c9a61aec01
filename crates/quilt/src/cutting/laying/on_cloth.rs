//! Pieces laid on a cloth one after another from its squared end.

use super::Table;
use crate::cutting::kinds::Split;
use crate::cutting::motifs::Band;
use crate::cutting::packing::{Cutstrip, Item};
use crate::cutting::panels::Panel;
use crate::cutting::sheets::Done;
use crate::cutting::stock::Filled;
use crate::cutting::ways::{Look, Way};
use crate::cutting::{Laid, LaidSlab, Strip};

/// Pieces being laid on the cloth from its squared end.
pub(super) struct Laying<'t, 'a> {
    table: &'t mut Table<'a>,
    /// The items as they lie on a sheet that is turned; empty on one that is not.
    turned: &'t [Item],
    pub(super) y: i64,
    pub(super) strips: Vec<Strip>,
    pub(super) pieces: Vec<Laid>,
}

impl<'t, 'a> Laying<'t, 'a> {
    pub(super) fn new(table: &'t mut Table<'a>, turned: &'t [Item]) -> Self {
        Self {
            table,
            turned,
            y: 0,
            strips: Vec::new(),
            pieces: Vec::new(),
        }
    }

    /// What is cut first, then panels with what lies beside their strips, then (on cloth
    /// that is bought) the other strips, the highest first.
    pub(super) fn all(&mut self, done: &Done) {
        let is_first = |strip: &&Cutstrip, items: &[Item]| {
            strip.batches.iter().any(|batch| items[batch.item].first)
        };
        let bought = done.host.is_none();
        let mut strips = done.strips.clone();
        strips.sort_by_key(|strip| -strip.height);
        let all = strips.iter().filter(|strip| strip.rest.is_none() && bought);
        let (first, other): (Vec<_>, Vec<_>) =
            all.partition(|strip| is_first(strip, &self.table.items));
        for strip in first {
            self.across(strip);
        }
        let below = self.y;
        for panel in &done.panels {
            self.panel(panel);
        }
        for (index, offcut) in done.offcuts.iter().enumerate() {
            let mut y = below + offcut.y;
            for strip in strips.iter().filter(|strip| strip.rest == Some(index)) {
                self.strip(strip, offcut.x, y, offcut.width);
                y += strip.height;
            }
        }
        for strip in other {
            self.across(strip);
        }
    }

    /// The pieces centred on motifs, of an owned piece or of what is bought.
    pub(super) fn band(&mut self, owned: Option<usize>) {
        let of = |(scrap, band): &(usize, Band)| (Some(*scrap) == owned).then(|| band.clone());
        let band = match owned {
            None => Some(self.table.band.clone()),
            Some(_) => self.table.owned_bands.iter().find_map(of),
        };
        let Some(band) = band else {
            return;
        };
        let mark = self.table.mark;
        for row in &band.rows {
            for &(want, way, x) in &row.laid {
                let want = &band.wants[want];
                let (extent, centre) = (&want.ways[way], [x, row.y].map(|at| at as f64 * mark));
                let Some(usage) = self.table.next_use(want.demand, 0) else {
                    continue;
                };
                let outline = extent.outline.iter();
                self.pieces.push(Laid {
                    demand: want.demand,
                    usage,
                    mirrored: want.mirrored,
                    outline: outline
                        .map(|p| [centre[0] + p[0], centre[1] + p[1]])
                        .collect(),
                    grain: extent.grain,
                });
            }
        }
        let across = self.table.across;
        self.strips.extend(band.strips(across));
        self.y += band.length;
    }

    /// Strips across the cloth, the highest first.
    pub(super) fn across_all(&mut self, strips: &[Cutstrip]) {
        let mut strips: Vec<&Cutstrip> = strips.iter().filter(|s| s.rest.is_none()).collect();
        strips.sort_by_key(|strip| -strip.height);
        for strip in strips {
            self.across(strip);
        }
    }

    /// An owned piece.
    pub(super) fn scrap(&mut self, filled: &Filled) {
        let scrap = self.table.owned[filled.scrap];
        let width = if filled.turned {
            scrap.along
        } else {
            scrap.across
        };
        let mut strips: Vec<&Cutstrip> = filled.strips.iter().collect();
        strips.sort_by_key(|strip| -strip.height);
        for strip in strips {
            self.strip(strip, 0, self.y, width);
            self.y += strip.height;
        }
    }

    pub(super) fn across(&mut self, strip: &Cutstrip) {
        self.strip(strip, 0, self.y, self.table.across);
        self.y += strip.height;
    }

    pub(super) fn panel(&mut self, panel: &Panel) {
        let mut x = 0;
        for column in &panel.columns {
            let mut y = self.y;
            for strip in &column.strips {
                let (width, height) = (strip.width, strip.length);
                let pieces = self.rectangles(strip.demand, Split::Whole, [x, y], [width, height]);
                let slab = LaidSlab {
                    demand: strip.demand,
                    x,
                    width,
                    height,
                    pieces,
                };
                self.strips.push(Strip {
                    x,
                    y,
                    height,
                    width,
                    lengthwise: true,
                    centred: None,
                    slabs: vec![slab],
                });
                y += height;
            }
            x += column.width;
        }
        self.y += panel.length;
    }

    fn strip(&mut self, strip: &Cutstrip, x: i64, y: i64, width: i64) {
        let mut slabs = Vec::new();
        for batch in &strip.batches {
            let turned = self.turned.get(batch.item);
            let item = turned.unwrap_or(&self.table.items[batch.item]);
            let (demand, way) = (item.demand, item.ways[batch.way].clone());
            let left = x + batch.x;
            match way.look {
                Look::Slab(split) => {
                    let width = way.takes(1);
                    for unit in 0..i64::from(batch.units) {
                        let x = left + unit * width;
                        let pieces = self.rectangles(demand, split, [x, y], [width, way.height]);
                        slabs.push(LaidSlab {
                            demand,
                            x,
                            width,
                            height: way.height,
                            pieces,
                        });
                    }
                }
                Look::Run { .. } => {
                    let width = way.takes(batch.units);
                    self.run(demand, &way, batch.units, [left, y]);
                    let (height, pieces) = (way.height, batch.units);
                    slabs.push(LaidSlab {
                        demand,
                        x: left,
                        width,
                        height,
                        pieces,
                    });
                }
            }
        }
        let (height, lengthwise) = (strip.height, false);
        self.strips.push(Strip {
            x,
            y,
            height,
            width,
            lengthwise,
            centred: None,
            slabs,
        });
    }

    /// One rectangle and the pieces it is cut into; how many of them are needed.
    fn rectangles(&mut self, demand: usize, split: Split, at: [i64; 2], size: [i64; 2]) -> u32 {
        let mark = self.table.mark;
        let inches = |marks: i64| marks as f64 * mark;
        let ([x, y], [width, height]) = (at.map(inches), size.map(inches));
        // On a turned sheet the length of the cloth runs to the right.
        let turned = !self.turned.is_empty();
        let mut needed = 0;
        for index in 0..split.yields() {
            let sort = split.sort(index, self.table.direction);
            if let Some(usage) = self.table.next_use(demand, sort) {
                let outline = if turned {
                    let upright = split.outline(index, [height, width]);
                    upright
                        .into_iter()
                        .map(|[px, py]| [py, height - px])
                        .collect()
                } else {
                    split.outline(index, [width, height])
                };
                let outline = outline
                    .into_iter()
                    .map(|[px, py]| [x + px, y + py])
                    .collect();
                self.pieces.push(Laid {
                    demand,
                    usage,
                    mirrored: false,
                    outline,
                    grain: if turned { 0.0 } else { 90.0 },
                });
                needed += 1;
            }
        }
        needed
    }

    fn run(&mut self, demand: usize, way: &Way, units: u32, at: [i64; 2]) {
        let Look::Run {
            outlines,
            pitches,
            grain,
        } = &way.look
        else {
            return;
        };
        let [mut x, y] = at.map(|marks| marks as f64 * self.table.mark);
        for (unit, parity) in (0..units).zip([0, 1].into_iter().cycle()) {
            let usage = self.table.next_use(demand, 0);
            debug_assert!(
                usage.is_some(),
                "piece {unit} of a run is one that is needed"
            );
            if let Some(usage) = usage {
                let outline = outlines[parity]
                    .iter()
                    .map(|p| [x + p[0], y + p[1]])
                    .collect();
                let mirrored = way.mirrored;
                self.pieces.push(Laid {
                    demand,
                    usage,
                    mirrored,
                    outline,
                    grain: *grain,
                });
            }
            x += pitches[parity];
        }
    }
}

impl Split {
    /// The `index`th piece of a rectangle at (0, 0).
    fn outline(self, index: u32, [width, height]: [f64; 2]) -> Vec<[f64; 2]> {
        let middle = [width / 2.0, height / 2.0];
        let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
        let [top_left, top_right, bottom_right, bottom_left] = corners;
        match (self, index) {
            (Self::Whole, _) => corners.to_vec(),
            (Self::Once { rising: true }, 0) => vec![top_left, top_right, bottom_left],
            (Self::Once { rising: true }, _) => vec![top_right, bottom_right, bottom_left],
            (Self::Once { rising: false }, 0) => vec![top_left, top_right, bottom_right],
            (Self::Once { rising: false }, _) => vec![top_left, bottom_right, bottom_left],
            (Self::Twice, side) => {
                let side = side as usize % 4;
                vec![corners[side], corners[(side + 1) % 4], middle]
            }
        }
    }
}
