//! From the groups of one or several sheets to the steps that cut them.
//!
//! The largest and what runs along the selvage come first. Where several sheets have
//! strips of one size, they are cut together: cloth lies on cloth, strip on strip.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::super::{ClothCutting, Method, Use};
use super::count::{self, along, fold, rounds};
use super::groups::{After, Group, Kind, Lot, Mode, Place, Reader};
use super::{Action, CutStep, Effort, FromSheet, FromStrip};
use crate::block::RotaryShape;
use crate::plan::{Direction, Plan};

/// A sheet: indices of the cutting and of its sheets.
pub(super) type Which = (usize, usize);

/// Everything that is to be cut, sheet by sheet.
pub(super) struct Floor<'a> {
    all: &'a [ClothCutting],
    layers: u32,
    /// One mark, inches.
    mark: f64,
    groups: BTreeMap<Which, Vec<Group>>,
    one_way: Vec<bool>,
}

/// A group with the sheet it lies on.
type Part<'g> = (Which, &'g Group);

/// Settings and passes of these steps.
pub(super) fn effort(steps: &[CutStep]) -> Effort {
    let mut effort = Effort::default();
    let mut set = None;
    for step in steps {
        effort.passes += step.passes;
        if step.ruler.is_some() && step.ruler != set {
            set = step.ruler;
            effort.settings += 1;
        }
    }
    effort
}

impl<'a> Floor<'a> {
    pub(super) fn new(plan: &Plan, all: &'a [ClothCutting]) -> Self {
        let layers = plan.cutting.layers.max(1);
        let mut groups = BTreeMap::new();
        for (cloth, cutting) in all.iter().enumerate() {
            let reader = Reader::new(plan, cutting);
            for (index, sheet) in cutting.sheets.iter().enumerate() {
                if !sheet.strips.is_empty() {
                    groups.insert((cloth, index), reader.groups(sheet));
                }
            }
        }
        let one_way =
            |cutting: &ClothCutting| plan.cloth(cutting.cloth).direction == Direction::OneWay;
        Self {
            all,
            layers,
            mark: plan.ruler.mark().to_f64(),
            groups,
            one_way: all.iter().map(one_way).collect(),
        }
    }

    /// The sheets that anything is cut from.
    pub(super) fn sheets(&self) -> impl Iterator<Item = Which> + '_ {
        self.groups.keys().copied()
    }

    pub(super) fn layers(&self) -> u32 {
        self.layers
    }

    pub(super) fn groups(&self, sheet: Which) -> &[Group] {
        self.groups.get(&sheet).map_or(&[], Vec::as_slice)
    }

    pub(super) fn width(&self, sheet: Which) -> i64 {
        self.all[sheet.0].sheets[sheet.1].width
    }

    fn inches(&self, marks: i64) -> f64 {
        marks as f64 * self.mark
    }

    /// How often cloth so wide (marks) is folded; a one-way print only once, so that it
    /// can be seen.
    fn fold(&self, sheets: &[Which], width: i64) -> u32 {
        let fold = fold(self.inches(width), self.layers);
        if sheets.iter().any(|sheet| self.one_way[sheet.0]) {
            fold.min(2)
        } else {
            fold
        }
    }

    /// The steps that cut these sheets together, still without words.
    pub(super) fn steps(&self, sheets: &[Which]) -> Vec<CutStep> {
        let Some(&first) = sheets.first() else {
            return Vec::new();
        };
        let mut steps = Vec::new();
        for &sheet in sheets {
            self.motifs(sheet, &mut steps);
        }
        let more = |sheet: &&Which| {
            let groups = self.groups(**sheet).iter();
            groups.filter(|group| group.place != Place::Motifs).count() > 0
        };
        let folded: Vec<Which> = sheets.iter().filter(more).copied().collect();
        if !folded.is_empty() {
            steps.push(self.square(&folded, self.width(first)));
        }
        for &sheet in sheets {
            let apart = self.groups(sheet).iter();
            let other = |group: &&Group| !matches!(group.place, Place::Across | Place::Motifs);
            for group in apart.filter(other) {
                self.apart(sheet, group, &mut steps);
            }
        }
        for parts in self.pools(sheets) {
            self.group(&parts, &mut steps);
        }
        for &sheet in sheets {
            if sheet.1 + 1 == self.all[sheet.0].sheets.len() {
                self.join(sheet, &mut steps);
            }
        }
        steps
    }

    fn square(&self, sheets: &[Which], width: i64) -> CutStep {
        let fold = self.fold(sheets, width);
        let stack = (self.layers / fold).max(1);
        let count = sheets.len() as u32;
        CutStep {
            from: sheets.iter().map(|&sheet| whole_sheet(sheet)).collect(),
            layers: fold * stack.min(count),
            passes: count.div_ceil(stack) * along(self.inches(width), fold),
            ..blank(Action::Square { fold })
        }
    }

    /// Pieces centred on motifs: cloth in a single layer, each kind by itself.
    fn motifs(&self, sheet: Which, steps: &mut Vec<CutStep>) {
        let of = &self.all[sheet.0].sheets[sheet.1];
        let mut groups = self.groups(sheet).iter();
        let Some(group) = groups.find(|group| group.place == Place::Motifs) else {
            return;
        };
        let rows = of.strips.iter().filter(|strip| strip.centred.is_some());
        let end = rows.map(|row| row.y + row.height).max().unwrap_or(0);
        steps.push(CutStep {
            from: vec![whole_sheet(sheet)],
            layers: 1,
            size: [end, 0],
            passes: along(self.inches(of.width), 1),
            ..blank(Action::Spread)
        });
        for lot in &group.lots {
            let After::Centred(demand) = lot.kind.after else {
                continue;
            };
            let by_template = matches!(
                self.all[sheet.0].demands[demand].method,
                Method::Centred { by_template: true }
            );
            let count: u32 = lot.each.iter().sum();
            let sides = if by_template { lot.edges } else { 4 };
            steps.push(CutStep {
                from: vec![source(sheet, group, |at| lot.each[at])],
                ruler: (!by_template).then_some(lot.kind.width.0),
                layers: 1,
                count,
                size: [lot.kind.height.0, lot.kind.width.0],
                pieces: lot.pieces.iter().map(|(&usage, &n)| (usage, n)).collect(),
                passes: sides * count,
                ..blank(Action::Centred { by_template })
            });
        }
        if of.strips.iter().any(|strip| strip.centred.is_none()) {
            steps.push(CutStep {
                from: vec![whole_sheet(sheet)],
                layers: 1,
                size: [end, 0],
                passes: along(self.inches(of.width), 1),
                ..blank(Action::CutOff)
            });
        }
    }

    /// Lengths for the back, panels along the selvage and what lies beside them.
    fn apart(&self, sheet: Which, group: &Group, steps: &mut Vec<CutStep>) {
        let Place::Along(panel) = group.place else {
            self.group(&[(sheet, group)], steps);
            return;
        };
        let of = &self.all[sheet.0].sheets[sheet.1];
        let here = |strip: &&super::super::Strip| strip.lengthwise && strip.y == panel;
        let length = of
            .strips
            .iter()
            .filter(here)
            .map(|s| s.height)
            .max()
            .unwrap_or(0);
        let folded = [1, 2, 4]
            .into_iter()
            .filter(|&fold| fold <= self.layers)
            .find(|&fold| self.inches(length) / f64::from(fold) <= count::RULER)
            .unwrap_or(match self.layers {
                1 => 1,
                2 | 3 => 2,
                _ => 4,
            });
        let new = !steps.iter().any(|step| {
            matches!(step.action, Action::Panel { .. })
                && step.from.iter().any(|from| from.sheet == sheet)
                && step.size[1] == panel
        });
        if new {
            let across = self.fold(&[sheet], of.width);
            steps.push(CutStep {
                from: vec![whole_sheet(sheet)],
                ruler: Some(length),
                layers: across.max(folded),
                count: 1,
                size: [length, panel],
                // Cut off, and the selvage cut away.
                passes: along(self.inches(of.width), across) + along(self.inches(length), folded),
                ..blank(Action::Panel { fold: folded })
            });
        }
        let strips = group.strips.len() as u32;
        let shorter = u32::from(group.height < length);
        let pieces = group
            .lots
            .iter()
            .flat_map(|lot| lot.pieces.clone())
            .collect();
        steps.push(CutStep {
            from: vec![source(sheet, group, |_| 1)],
            ruler: Some(group.width),
            layers: folded,
            count: strips,
            size: [group.height, group.width],
            pieces,
            passes: strips * (along(self.inches(length), folded) + shorter),
            ..blank(Action::Along)
        });
    }

    /// The groups of several sheets across the cloth, those together that are cut alike.
    fn pools<'g>(&'g self, sheets: &[Which]) -> Vec<Vec<Part<'g>>> {
        let mut pools: BTreeMap<(Reverse<i64>, i64, Mode), Vec<Part<'g>>> = BTreeMap::new();
        for &sheet in sheets {
            let across = self.groups(sheet).iter();
            for group in across.filter(|group| group.place == Place::Across) {
                let key = (Reverse(group.height), group.width, group.mode);
                pools.entry(key).or_default().push((sheet, group));
            }
        }
        pools.into_values().collect()
    }

    /// Strips of one size and everything that is cut from them.
    fn group(&self, parts: &[Part<'_>], steps: &mut Vec<CutStep>) {
        let Some(&(_, first)) = parts.first() else {
            return;
        };
        let kinds = kinds(parts);
        let all_whole = first.mode == Mode::Whole && kinds.len() == 1;
        self.strips(parts, all_whole, steps);
        for &kind in kinds.iter().filter(|_| !all_whole) {
            let whole = |(_, lot): &(Part<'_>, &Lot)| lot.whole;
            let lots = having(parts, kind);
            if lots.iter().all(whole) {
                let count: u32 = lots.iter().flat_map(|(_, lot)| &lot.each).sum();
                steps.push(CutStep {
                    count,
                    size: [kind.height.0, kind.width.0],
                    pieces: pieces(&lots),
                    from: sources(&lots),
                    ..blank(Action::Keep)
                });
            }
        }
        if first.mode == Mode::Whole {
            return;
        }
        self.ends(parts, steps);
        for &kind in &kinds {
            let lots: Vec<_> = having(parts, kind)
                .into_iter()
                .filter(|(_, lot)| !lot.whole)
                .collect();
            if lots.is_empty() {
                continue;
            }
            if kind.run {
                self.run(parts, kind, &lots, steps);
            } else {
                self.crosscut(first, kind, &lots, steps);
            }
        }
    }

    fn strips(&self, parts: &[Part<'_>], whole: bool, steps: &mut Vec<CutStep>) {
        let (height, width) = (parts[0].1.height, parts[0].1.width);
        let sheets: Vec<Which> = parts.iter().map(|part| part.0).collect();
        let fold = self.fold(&sheets, width);
        let stack = (self.layers / fold).max(1);
        let each: Vec<u32> = parts.iter().map(|(_, g)| g.strips.len() as u32).collect();
        let mut made = BTreeMap::new();
        if whole {
            let lots = parts.iter().flat_map(|(_, group)| &group.lots);
            for (&usage, count) in lots.flat_map(|lot| &lot.pieces) {
                *made.entry(usage).or_default() += count;
            }
        }
        steps.push(CutStep {
            from: parts
                .iter()
                .map(|&(sheet, g)| source(sheet, g, |_| 1))
                .collect(),
            ruler: Some(height),
            layers: fold * stack.min(parts.len() as u32),
            count: each.iter().sum(),
            size: [height, width],
            pieces: made.into_iter().collect(),
            passes: rounds(&each, stack) * along(self.inches(width), fold),
            ..blank(Action::Strips { fold, whole })
        });
    }

    fn ends(&self, parts: &[Part<'_>], steps: &mut Vec<CutStep>) {
        let mode = parts[0].1.mode;
        let folded = matches!(mode, Mode::Folded(_));
        let mut busy: Vec<(u32, bool)> = Vec::new();
        let mut from = Vec::new();
        for &(sheet, group) in parts {
            let lots: Vec<&Lot> = group.lots.iter().filter(|lot| !lot.whole).collect();
            let here = count::busy(&lots);
            let cut = |strip: usize| u32::from(here.get(strip).is_some_and(|(all, _)| *all > 0));
            from.push(source(sheet, group, cut));
            busy.extend(here);
        }
        let cut = busy.iter().filter(|(all, _)| *all > 0).count() as u32;
        let paired = busy.iter().filter(|(_, pair)| *pair).count() as u32;
        let (passes, layers) = if folded {
            let stack = (self.layers / 2).max(1);
            (
                paired.div_ceil(stack) + (cut - paired).div_ceil(self.layers),
                2 * stack.min(paired),
            )
        } else {
            (cut.div_ceil(self.layers), self.layers.min(cut))
        };
        steps.push(CutStep {
            from,
            layers,
            count: cut,
            size: [parts[0].1.height, parts[0].1.width],
            passes,
            ..blank(Action::Ends { folded })
        });
    }

    fn crosscut(
        &self,
        group: &Group,
        kind: Kind,
        lots: &[(Part<'_>, &Lot)],
        steps: &mut Vec<CutStep>,
    ) {
        let each: Vec<u32> = lots.iter().flat_map(|(_, lot)| lot.each.clone()).collect();
        let count: u32 = each.iter().sum();
        let paired = each.iter().filter(|&&each| each > 1).count() as u32;
        let folded = matches!(group.mode, Mode::Folded(_)) && paired > 0;
        let busy = each.iter().filter(|&&each| each > 0).count() as u32;
        let size = [kind.height.0, kind.width.0];
        let done = pieces(lots);
        let lower = kind.height.0 < group.height;
        let then = match kind.after {
            After::Once(rising) => Some((Action::Once { rising }, 1)),
            After::Twice => Some((Action::Twice, 2)),
            _ => None,
        };
        let ready = |last: bool| if last { done.clone() } else { Vec::new() };
        let stack = self.layers.min(count);
        steps.push(CutStep {
            from: sources(lots),
            ruler: Some(kind.width.0),
            layers: if folded {
                2 * (self.layers / 2).min(paired)
            } else {
                self.layers.min(busy)
            },
            count,
            size,
            pieces: ready(!lower && then.is_none()),
            passes: count::crosscuts(&each, group.mode, self.layers),
            ..blank(Action::Crosscut { folded })
        });
        if lower {
            steps.push(CutStep {
                from: sources(lots),
                ruler: Some(kind.height.0),
                layers: stack,
                count,
                size,
                pieces: ready(then.is_none()),
                passes: count.div_ceil(self.layers) * along(self.inches(kind.width.0), 1),
                ..blank(Action::Trim)
            });
        }
        if let Some((action, cuts)) = then {
            let made: u32 = done.iter().map(|piece| piece.1).sum();
            steps.push(CutStep {
                from: sources(lots),
                layers: stack,
                count: made,
                size,
                pieces: ready(true),
                passes: cuts * count.div_ceil(self.layers),
                ..blank(action)
            });
        }
    }

    /// Slanted pieces, with their mirror images where strips can be laid face to face; or
    /// pieces cut by template.
    fn run(
        &self,
        parts: &[Part<'_>],
        kind: Kind,
        lots: &[(Part<'_>, &Lot)],
        steps: &mut Vec<CutStep>,
    ) {
        let mut from = sources(lots);
        let mut each: Vec<u32> = lots.iter().flat_map(|(_, lot)| lot.each.clone()).collect();
        let mut done = pieces(lots);
        if let Some((mirror, first)) = face_to_face(parts, kind) {
            if !first {
                // It came with the other.
                return;
            }
            let others = having(parts, mirror);
            each.extend(others.iter().flat_map(|(_, lot)| lot.each.clone()));
            let mut more = sources(&others);
            for strip in more.iter_mut().flat_map(|source| &mut source.strips) {
                strip.face_down = true;
            }
            from.extend(more);
            done.extend(pieces(&others));
        }
        let busy = each.iter().filter(|&&each| each > 0).count() as u32;
        let count: u32 = each.iter().sum();
        let strip = parts[0].1;
        let size = [kind.height.0, 0];
        if kind.height.0 < strip.height {
            steps.push(CutStep {
                ruler: Some(kind.height.0),
                layers: self.layers.min(busy),
                count: busy,
                size,
                passes: busy.div_ceil(self.layers) * along(self.inches(strip.width), 1),
                ..blank(Action::Trim)
            });
        }
        let (action, ruler, passes) = match kind.after {
            After::Slanted {
                shape,
                apart,
                turned,
                leans,
            } => {
                let cuts: Vec<u32> = each.iter().map(|&n| n + u32::from(n > 0)).collect();
                let points = if shape == RotaryShape::Hexagon60 {
                    2 * count.div_ceil(self.layers)
                } else {
                    0
                };
                (
                    Action::Slanted {
                        shape,
                        turned,
                        one_hand: leans.is_some(),
                    },
                    Some(apart),
                    rounds(&cuts, self.layers) + points,
                )
            }
            After::Template {
                mirrored, turned, ..
            } => {
                let edges = lots.iter().map(|(_, lot)| lot.edges).max().unwrap_or(0);
                let passes = edges * rounds(&each, self.layers);
                (Action::Template { mirrored, turned }, None, passes)
            }
            _ => return,
        };
        steps.push(CutStep {
            from,
            ruler,
            layers: self.layers.min(busy),
            count,
            size,
            pieces: done,
            passes,
            ..blank(action)
        });
    }

    /// Strips joined end to end, once all sheets of their cloth are cut.
    fn join(&self, sheet: Which, steps: &mut Vec<CutStep>) {
        for demand in &self.all[sheet.0].demands {
            let Method::JoinedStrips { strip, lengths } = &demand.method else {
                continue;
            };
            if self.all[sheet.0]
                .pieces()
                .any(|piece| piece.usage == demand.usage)
            {
                steps.push(CutStep {
                    from: vec![whole_sheet(sheet)],
                    layers: 1,
                    count: lengths.len() as u32,
                    size: [strip.marks, 0],
                    passes: lengths.len() as u32,
                    ..blank(Action::Join)
                });
            }
        }
    }
}

/// A step in which nothing is cut yet.
fn blank(action: Action) -> CutStep {
    CutStep {
        action,
        from: Vec::new(),
        ruler: None,
        layers: 0,
        count: 0,
        size: [0, 0],
        pieces: Vec::new(),
        passes: 0,
        text: String::new(),
    }
}

fn whole_sheet(sheet: Which) -> FromSheet {
    FromSheet {
        sheet,
        strips: Vec::new(),
    }
}

fn source(sheet: Which, group: &Group, count: impl Fn(usize) -> u32) -> FromSheet {
    let strips = group.strips.iter().enumerate();
    FromSheet {
        sheet,
        strips: strips
            .map(|(at, &strip)| FromStrip {
                strip,
                count: count(at),
                face_down: false,
            })
            .filter(|from| from.count > 0)
            .collect(),
    }
}

fn sources(lots: &[(Part<'_>, &Lot)]) -> Vec<FromSheet> {
    lots.iter()
        .map(|&((sheet, group), lot)| source(sheet, group, |at| lot.each[at]))
        .collect()
}

fn pieces(lots: &[(Part<'_>, &Lot)]) -> Vec<(Use, u32)> {
    let mut all: BTreeMap<Use, u32> = BTreeMap::new();
    for (&usage, count) in lots.iter().flat_map(|(_, lot)| &lot.pieces) {
        *all.entry(usage).or_default() += count;
    }
    all.into_iter().collect()
}

/// The kinds of these groups in the order they are cut.
fn kinds(parts: &[Part<'_>]) -> Vec<Kind> {
    let folded = matches!(parts[0].1.mode, Mode::Folded(_));
    let mut ranks: BTreeMap<Kind, u32> = BTreeMap::new();
    for lot in parts.iter().flat_map(|(_, group)| &group.lots) {
        let rank = ranks.entry(lot.kind).or_insert(u32::MAX);
        *rank = (*rank).min(if folded { lot.rank() } else { 0 });
    }
    let mut kinds: Vec<Kind> = ranks.keys().copied().collect();
    kinds.sort_by_key(|kind| (ranks[kind], *kind));
    kinds
}

fn having<'g>(parts: &[Part<'g>], kind: Kind) -> Vec<(Part<'g>, &'g Lot)> {
    parts
        .iter()
        .filter_map(|&(sheet, group)| {
            let lot = group.lots.iter().find(|lot| lot.kind == kind)?;
            Some(((sheet, group), lot))
        })
        .collect()
}

/// The kind whose strips lie face down on those of this kind (or the other way round),
/// and whether this one is the one that lies right side up.
fn face_to_face(parts: &[Part<'_>], kind: Kind) -> Option<(Kind, bool)> {
    let mut found = None;
    for (_, group) in parts {
        let Some(at) = group.lots.iter().position(|lot| lot.kind == kind) else {
            continue;
        };
        let partner = group.lots[at].partner?;
        let both =
            |strip: usize| group.lots[at].each[strip] > 0 && group.lots[partner].each[strip] > 0;
        if (0..group.strips.len()).any(both) {
            return None;
        }
        found = Some((group.lots[partner].kind, at < partner));
    }
    // All of them, or strips would be counted twice.
    let (mirror, _) = found?;
    let has = |kind: Kind| move |part: &Part<'_>| part.1.lots.iter().any(|lot| lot.kind == kind);
    let agree = parts
        .iter()
        .all(|part| has(kind)(part) == has(mirror)(part));
    if agree { found } else { None }
}
