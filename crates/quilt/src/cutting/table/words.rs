//! The steps in words: short sentences, the ruler's reading first.
//!
//! ```text
//!   Fold selvage to selvage. Square the end on your left.
//!   Ruler at 4 7/8 in: cut 5 strips (1 to 5).
//!   Turn strips 1 to 5, still folded, 2 on each other (4 layers). Square the ends on your left.
//!   Ruler at 4 7/8 in: 8 squares from each of strips 1 to 5, 40 in all.
//!   Stack the squares 4 deep. Cut each once corner to corner: 80 A.
//! ```

use std::collections::BTreeMap;

use super::super::motifs::every;
use super::super::names::{labels, listed, made_of};
use super::super::{ClothCutting, Method, Use};
use super::walk::Which;
use super::{Action, CutStep, FromSheet};
use crate::block::RotaryShape;
use crate::measure::Cut;
use crate::plan::{CuttingHand, Plan};
use crate::results::Blocks;

/// After so many strips the end is looked at again.
const CHECK: u32 = 4;

/// Puts the words to the steps of one station.
pub(super) fn say(
    plan: &Plan,
    blocks: &Blocks,
    all: &[ClothCutting],
    sheets: &[Which],
    steps: &mut [CutStep],
) {
    let speaker = Speaker {
        plan,
        blocks,
        all,
        sheets,
        side: match plan.cutting.hand {
            CuttingHand::Right => "left",
            CuttingHand::Left => "right",
        },
    };
    let mut joins: BTreeMap<Which, usize> = BTreeMap::new();
    for at in 0..steps.len() {
        let before = at.checked_sub(1).map(|before| steps[before].clone());
        steps[at].text = if steps[at].action == Action::Join {
            let sheet = steps[at].from.first().map_or((0, 0), |from| from.sheet);
            let nth = joins.entry(sheet).or_default();
            *nth += 1;
            speaker.join(sheet, *nth - 1)
        } else {
            speaker.step(&steps[at], before.as_ref())
        };
    }
}

struct Speaker<'a> {
    plan: &'a Plan,
    blocks: &'a Blocks,
    all: &'a [ClothCutting],
    sheets: &'a [Which],
    /// Where the squared end lies.
    side: &'static str,
}

impl Speaker<'_> {
    fn step(&self, step: &CutStep, before: Option<&CutStep>) -> String {
        let [height, width] = step.size;
        match step.action {
            Action::Spread => self.spread_out(step),
            Action::Centred { by_template } => self.centred(step, by_template),
            Action::CutOff => "Cut straight across the cloth just below these pieces and lay that part aside: what is left between the holes does for small pieces.".into(),
            Action::Square { fold } => self.square(step, fold),
            Action::Panel { fold } => {
                let folded = match fold {
                    1 => "",
                    2 => " Fold it end to end.",
                    _ => " Fold it end to end twice.",
                };
                format!(
                    "Measure {} along the selvage and cut that length off.{folded} Cut the selvage away.",
                    self.length(height)
                )
            }
            Action::Along => format!(
                "{}: cut {} along the selvage, {} long ({}): {}.",
                self.ruler(step),
                counted(step.count, "strip"),
                self.length(height),
                self.numbers(&step.from),
                self.labels(&step.pieces)
            ),
            Action::Strips { whole, .. } => self.strips(step, whole),
            Action::Keep => format!(
                "{} {} whole: {}.",
                capital(&self.which(&step.from)),
                if step.count == 1 { "stays" } else { "stay" },
                self.kept(step)
            ),
            Action::Ends { folded } => self.ends(step, folded, before),
            Action::Crosscut { folded } => self.crosscut(step, folded),
            Action::Trim => {
                let what = match (width, step.count) {
                    (0, 1) => "the strip",
                    (0, _) => "the strips",
                    (_, 1) => "it",
                    _ => "them",
                };
                let result = match self.joined(step) {
                    Some(made) => format!(", to be joined for {made}"),
                    None => self.result(step),
                };
                format!("{}: trim {what} to this height{result}.", self.ruler(step))
            }
            Action::Once { rising } => self.once(step, rising, before),
            Action::Twice => format!(
                "{} Cut each twice, corner to corner both ways, without moving the pieces{}.",
                deep(step.layers, "Stack the squares"),
                self.result(step)
            ),
            Action::Slanted {
                shape,
                turned,
                one_hand,
            } => self.slanted(step, shape, turned, one_hand),
            Action::Template { mirrored, turned } => self.template(step, mirrored, turned),
            Action::Join => String::new(),
        }
    }

    fn length(&self, marks: i64) -> String {
        self.plan.measure.say(&self.plan.ruler.length(marks))
    }

    fn ruler(&self, step: &CutStep) -> String {
        format!("Ruler at {}", self.length(step.ruler.unwrap_or(0)))
    }

    fn labels(&self, pieces: &[(Use, u32)]) -> String {
        labels(self.plan, self.blocks, pieces)
    }

    /// `: 80 A`, or nothing while the pieces are not ready.
    fn result(&self, step: &CutStep) -> String {
        if step.pieces.is_empty() {
            return String::new();
        }
        let made = self.labels(&step.pieces);
        let shape = |from: &FromSheet| -> Vec<(usize, u32)> {
            let strips = from.strips.iter();
            strips.map(|strip| (strip.strip, strip.count)).collect()
        };
        let cloths = step.from.len() as u32;
        let alike = step
            .from
            .windows(2)
            .all(|two| shape(&two[0]) == shape(&two[1]));
        match step.pieces.as_slice() {
            [(_, count)]
                if cloths > 1
                    && step.from.len() == self.sheets.len()
                    && alike
                    && count % cloths == 0 =>
            {
                format!(": {made}, {} of each cloth", count / cloths)
            }
            _ => format!(": {made}"),
        }
    }

    fn name(&self, sheet: Which) -> String {
        format!("“{}”", self.plan.cloth(self.all[sheet.0].cloth).name)
    }

    fn several(&self) -> bool {
        self.sheets.len() > 1
    }

    fn square(&self, step: &CutStep, fold: u32) -> String {
        let side = self.side;
        let folded = match fold {
            1 => "in a single layer, right side up",
            2 => "folded selvage to selvage",
            _ => "folded selvage to selvage and once more, the fold on the selvages",
        };
        if !self.several() {
            return format!("Lay the cloth {folded}. Square the end on your {side}.");
        }
        let names: Vec<String> = self.sheets.iter().map(|&sheet| self.name(sheet)).collect();
        let stack = step.layers / fold.max(1);
        let on = if stack > 1 {
            let layers = step.layers;
            format!(", {stack} cloths on each other ({layers} layers), ends and folds together")
        } else {
            ", one after another at the same setting".into()
        };
        format!(
            "Lay {} {folded}{on}. Square the ends on your {side}.",
            listed(&names)
        )
    }

    /// The cloth as it lies for pieces that are centred on motifs.
    fn spread_out(&self, step: &CutStep) -> String {
        let Some(sheet) = step.from.first().map(|from| from.sheet) else {
            return String::new();
        };
        let cloth = if self.several() {
            self.name(sheet)
        } else {
            "the cloth".into()
        };
        let of = &self.all[sheet.0];
        let motif = self.plan.cloth(of.cloth).motif.as_ref();
        let known = motif.is_some_and(|motif| motif.from_end.is_some());
        let row = of.sheets[sheet.1].strips.iter();
        let row = row
            .clone()
            .find_map(|strip| Some((strip.y, strip.centred?)));
        let first = match row {
            Some((_, middle)) if known => format!(
                " The middles of the first row of motifs lie {} from that end.",
                self.length(middle)
            ),
            Some((top, middle)) => format!(
                " Begin with the first row of motifs that has {} of cloth or more above its middles.",
                self.length(middle - top)
            ),
            None => String::new(),
        };
        format!(
            "First what shows a motif in its middle. Lay {cloth} in a single layer, right side up. Square the end on your {}.{first}",
            self.side
        )
    }

    /// Pieces cut out one by one with a motif in the middle.
    fn centred(&self, step: &CutStep, by_template: bool) -> String {
        let Some(from) = step.from.first() else {
            return String::new();
        };
        let [height, width] = step.size;
        let of = &self.all[from.sheet.0];
        let how = if by_template {
            let piece = of
                .pieces()
                .find(|piece| step.pieces.iter().any(|p| p.0 == piece.usage));
            let over = if piece.is_some_and(|piece| piece.mirrored) {
                " turned over"
            } else {
                ""
            };
            format!("By the printed template{over}, its cross on the middle of a motif")
        } else {
            format!(
                "{}: lay the middle of a motif {} from the left edge and {} from the top edge, and cut all four sides, {}",
                self.ruler(step),
                self.length(width / 2),
                self.length(height / 2),
                self.plan.measure.size(
                    &self.plan.ruler.length(width),
                    &self.plan.ruler.length(height)
                ),
            )
        };
        let nth = |n: usize, what: &str| match n {
            1 => None,
            2 => Some(format!("every other {what}")),
            n => Some(format!("every {n}th {what}")),
        };
        let motif = self.plan.cloth(of.cloth).motif.as_ref();
        let every = motif.map(|motif| every(&self.plan.ruler, motif, step.size));
        let (motifs, rows) = every.unwrap_or((1, 1));
        let taken = [nth(motifs, "motif of a row"), nth(rows, "row")];
        let taken: Vec<String> = taken.into_iter().flatten().collect();
        let taken = if taken.is_empty() {
            String::new()
        } else {
            format!(" Take {}.", listed(&taken))
        };
        let mut by_count: BTreeMap<std::cmp::Reverse<u32>, Vec<usize>> = BTreeMap::new();
        for strip in &from.strips {
            let count = std::cmp::Reverse(strip.count);
            by_count.entry(count).or_default().push(strip.strip + 1);
        }
        let rows: Vec<String> = by_count
            .into_iter()
            .map(|(count, rows)| match rows.as_slice() {
                [one] => format!("{} from row {one}", count.0),
                many => format!("{} from each of rows {}", count.0, runs(many)),
            })
            .collect();
        format!("{how}: {}{}.{taken}", listed(&rows), self.result(step))
    }

    fn strips(&self, step: &CutStep, whole: bool) -> String {
        let [height, width] = step.size;
        let backing = step.pieces.iter().any(|piece| piece.0 == Use::Backing);
        if backing {
            let (of, again) = match step.from.first().filter(|_| self.several()) {
                Some(from) => (
                    format!(" of {} alone", self.name(from.sheet)),
                    " Then lay the cloths together again, ends squared.",
                ),
                None => (String::new(), ""),
            };
            return format!(
                "Measure {} along the selvage{of}: cut {} of the whole width ({}): {}.{again}",
                self.length(height),
                counted(step.count, "length"),
                self.numbers(&step.from),
                self.labels(&step.pieces)
            );
        }
        let across = step.from.first().map_or(width, |from| {
            self.all[from.sheet.0].sheets[from.sheet.1].width
        });
        let beside = if width < across {
            " from what is left beside the long strips, folded edge to edge"
        } else {
            ""
        };
        let each: Vec<u32> = step
            .from
            .iter()
            .map(|from| from.strips.len() as u32)
            .collect();
        let cut = match each.as_slice() {
            [one] => {
                let of = match step.from.first().filter(|_| self.several()) {
                    Some(from) => format!(" from {}", self.name(from.sheet)),
                    None => String::new(),
                };
                let numbers = self.numbers(&step.from);
                format!("cut {}{of} ({numbers})", counted(*one, "strip"))
            }
            [first, rest @ ..] if rest.iter().all(|count| count == first) => format!(
                "cut {} from each cloth, {} in all{}",
                counted(*first, "strip"),
                step.count,
                self.same_numbers(&step.from)
            ),
            _ => {
                let parts: Vec<String> = step
                    .from
                    .iter()
                    .map(|from| {
                        format!(
                            "{} from {} ({})",
                            from.strips.len(),
                            self.name(from.sheet),
                            numbers(from)
                        )
                    })
                    .collect();
                format!("cut {} strips: {}", step.count, listed(&parts))
            }
        };
        let most = each.iter().copied().max().unwrap_or(0);
        let check = if most > CHECK {
            format!(" See after every {CHECK} that the end is still square.")
        } else {
            String::new()
        };
        let kept = if whole {
            let stay = if step.count == 1 {
                "It stays"
            } else {
                "They stay"
            };
            format!(" {stay} whole: {}.", self.kept(step))
        } else {
            String::new()
        };
        format!("{}: {cut}{beside}.{check}{kept}", self.ruler(step))
    }

    /// What whole strips are for.
    fn kept(&self, step: &CutStep) -> String {
        let joined = self.joined(step);
        joined.map_or_else(
            || self.labels(&step.pieces),
            |made| format!("to be joined for {made}"),
        )
    }

    /// What strips or lengths are joined for, if they are.
    fn joined(&self, step: &CutStep) -> Option<String> {
        let usage = step.pieces.first()?.0;
        let sheet = step.from.first()?.sheet;
        let demands = self.all[sheet.0].demands.iter();
        let of = demands.into_iter().find(|demand| {
            matches!(demand.method, Method::JoinedStrips { .. }) && demand.usage == usage
        })?;
        Some(made_of(of))
    }

    fn ends(&self, step: &CutStep, folded: bool, before: Option<&CutStep>) -> String {
        let just_cut = before.is_some_and(|before| {
            matches!(before.action, Action::Strips { .. }) && before.count == step.count
        });
        let which = match (just_cut, step.count) {
            (true, 1) => "it".into(),
            (true, _) => "them".into(),
            (false, _) => self.which(&step.from),
        };
        let (side, layers) = (self.side, step.layers);
        let stack = if folded { layers / 2 } else { layers };
        let on = if stack > 1 {
            format!(", {stack} on each other ({layers} layers)")
        } else {
            String::new()
        };
        let (how, ends) = match (folded, step.count) {
            (true, 1) => ("still folded", "the selvage ends"),
            (true, _) => ("still folded", "the selvage ends"),
            (false, 1) => ("opened out right side up", "the end"),
            (false, _) => ("opened out right side up", "the ends"),
        };
        format!("Turn {which}, {how}{on}. Square {ends} on your {side}.")
    }

    fn crosscut(&self, step: &CutStep, folded: bool) -> String {
        let [height, width] = step.size;
        let name = if self.joined(step).is_some() {
            "length"
        } else if height == width {
            "square"
        } else {
            "rectangle"
        };
        let from = self.spread(step, name);
        let odd = folded
            && step
                .from
                .iter()
                .flat_map(|from| &from.strips)
                .any(|from| from.count > 1 && from.count % 2 == 1);
        let odd = if odd {
            " They come in pairs; open the strip out for the last one."
        } else {
            ""
        };
        let result = match self.joined(step) {
            Some(made) => format!(", to be joined for {made}"),
            None => self.result(step),
        };
        format!("{}: {from}{result}.{odd}", self.ruler(step))
    }

    /// `8 squares from each of strips 1 to 5, 40 in all`.
    fn spread(&self, step: &CutStep, name: &str) -> String {
        let each = |from: &FromSheet| {
            let mut by_count: BTreeMap<std::cmp::Reverse<u32>, Vec<usize>> = BTreeMap::new();
            for strip in &from.strips {
                let count = std::cmp::Reverse(strip.count);
                by_count.entry(count).or_default().push(strip.strip + 1);
            }
            by_count
        };
        let parts = |from: &FromSheet, named: bool| -> Vec<String> {
            let by_count = each(from);
            let parts = by_count.into_iter().enumerate();
            parts
                .map(|(at, (count, strips))| {
                    let what = if named && at == 0 {
                        counted(count.0, name)
                    } else {
                        count.0.to_string()
                    };
                    let from = if strips.len() > 1 { "each of " } else { "" };
                    format!("{what} from {from}{}", strips_called(&strips))
                })
                .collect()
        };
        let shape = |from: &FromSheet| -> Vec<(usize, u32)> {
            from.strips
                .iter()
                .map(|strip| (strip.strip, strip.count))
                .collect()
        };
        let Some(first) = step.from.first() else {
            return counted(step.count, name);
        };
        let in_all = |parts: usize| {
            if step.count > 1 && (parts > 1 || step.pieces.is_empty()) {
                format!(", {} in all", step.count)
            } else {
                String::new()
            }
        };
        if step.from.len() == 1 && !self.several() {
            let said = parts(first, true);
            let single = first.strips.len() == 1;
            let all = if single {
                String::new()
            } else {
                in_all(said.len() + 1)
            };
            return format!("{}{all}", listed(&said));
        }
        if step.from.len() == 1 {
            let of = self.name(first.sheet);
            return format!("{} of {of}", listed(&parts(first, true)));
        }
        let everywhere = step.from.len() == self.sheets.len();
        if everywhere && step.from.iter().all(|from| shape(from) == shape(first)) {
            return format!(
                "{} of each cloth, {} in all",
                listed(&parts(first, true)),
                step.count
            );
        }
        let said: Vec<String> = step
            .from
            .iter()
            .map(|from| format!("{}: {}", self.name(from.sheet), listed(&parts(from, false))))
            .collect();
        format!("{} in all: {}", counted(step.count, name), said.join("; "))
    }

    fn once(&self, step: &CutStep, rising: Option<bool>, before: Option<&CutStep>) -> String {
        let [height, width] = step.size;
        let name = if height == width {
            "squares"
        } else {
            "rectangles"
        };
        let count = before.map_or(2, |before| before.count);
        let (it, each) = if count == 1 {
            ("it", "it")
        } else {
            ("them", "each")
        };
        let result = self.result(step);
        match rising {
            None => format!(
                "{} Cut {each} once corner to corner{result}.",
                deep(step.layers, &format!("Stack the {name}"))
            ),
            Some(rising) => {
                let way = if rising {
                    "from the lower left corner to the upper right"
                } else {
                    "from the upper left corner to the lower right"
                };
                let stack = if step.layers > 1 {
                    format!(
                        "Stack them {} deep, all right side up and the way they lay in the strip.",
                        step.layers
                    )
                } else {
                    format!(
                        "Lay {it} right side up, the way {} lay in the strip.",
                        if count == 1 { "it" } else { "they" }
                    )
                };
                format!("{stack} Cut {each} once, {way}{result}.")
            }
        }
    }

    fn slanted(&self, step: &CutStep, shape: RotaryShape, turned: bool, one_hand: bool) -> String {
        let alternate = matches!(
            shape,
            RotaryShape::Triangle60 | RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60
        );
        let angle = if matches!(
            shape,
            RotaryShape::Diamond45 | RotaryShape::Parallelogram45 | RotaryShape::Trapezoid45
        ) {
            "45°"
        } else {
            "60°"
        };
        let names = format!("{}s", shape.name());
        let reading = self.length(step.ruler.unwrap_or(0));
        let hands = if one_hand {
            self.hands(step)
        } else {
            String::new()
        };
        let way = if alternate {
            let over = if turned {
                "turn the ruler over after every cut"
            } else {
                "all the same way up, the print upright"
            };
            format!("Cut the ends at {angle}; the long side is {reading}; {over}")
        } else {
            let points = match (shape, step.ruler) {
                (RotaryShape::Hexagon60, Some(marks)) if marks % 2 == 0 => format!(
                    "; then cut both long points off square, the ruler’s {} line through the two blunt corners",
                    self.length(marks / 2)
                ),
                (RotaryShape::Hexagon60, _) => format!(
                    "; then cut both long points off square, half of {reading} from the line through the two blunt corners"
                ),
                _ => String::new(),
            };
            format!(
                "Cut the ends at {angle}. Ruler at {reading}, measured square to the slanted cut{points}"
            )
        };
        let spread = self.spread(step, "piece");
        format!("{hands}{way}: {names}, {spread}{}.", self.result(step))
    }

    /// How the strips lie so that every piece has its hand.
    fn hands(&self, step: &CutStep) -> String {
        let part = |down: bool| -> Vec<FromSheet> {
            let from = step.from.iter().map(|from| FromSheet {
                sheet: from.sheet,
                strips: from
                    .strips
                    .iter()
                    .copied()
                    .filter(|strip| strip.face_down == down)
                    .collect(),
            });
            from.filter(|from| !from.strips.is_empty()).collect()
        };
        let (up, down) = (part(false), part(true));
        if down.is_empty() {
            return "One-handed: every strip right side up. ".into();
        }
        format!(
            "Left and right hands together: {} right side up, {} turned over on them. ",
            self.which(&up),
            self.which(&down)
        )
    }

    fn template(&self, step: &CutStep, mirrored: bool, turned: bool) -> String {
        let over = if mirrored { " turned over" } else { "" };
        let half = if turned {
            ", head to tail, every other one turned half round"
        } else {
            ", all the same way up"
        };
        format!(
            "By the printed template{over}, strips right side up{half}: {}{}.",
            self.spread(step, "piece"),
            self.result(step)
        )
    }

    /// How joined strips become the lengths that are needed.
    fn join(&self, sheet: Which, nth: usize) -> String {
        let cutting = &self.all[sheet.0];
        let joined = cutting.demands.iter().filter(|demand| {
            matches!(demand.method, Method::JoinedStrips { .. })
                && cutting.pieces().any(|piece| piece.usage == demand.usage)
        });
        let Some(demand) = joined.into_iter().nth(nth) else {
            return String::new();
        };
        let Method::JoinedStrips { strip, lengths } = &demand.method else {
            return String::new();
        };
        let mut by_length: BTreeMap<std::cmp::Reverse<&Cut>, u32> = BTreeMap::new();
        for length in lengths {
            *by_length.entry(std::cmp::Reverse(length)).or_default() += 1;
        }
        let cuts: Vec<String> = by_length
            .into_iter()
            .map(|(length, count)| format!("{count} of {}", self.length(length.0.marks)))
            .collect();
        let of = if self.several() {
            format!("{}: ", self.name(sheet))
        } else {
            String::new()
        };
        let wide = self.length(strip.marks);
        let join = if demand.count == 1 {
            format!("{of}from the {wide} strip")
        } else {
            format!(
                "{of}join the {} strips {wide} wide end to end; from the long strip",
                demand.count
            )
        };
        format!(
            "{} cut {}: {}.",
            capital(&join),
            listed(&cuts),
            made_of(demand)
        )
    }

    /// `strips 1 to 5`; of several cloths `all strips`, or by cloth.
    fn which(&self, from: &[FromSheet]) -> String {
        let strips = |from: &FromSheet| -> Vec<usize> {
            from.strips
                .iter()
                .filter(|s| s.count > 0)
                .map(|s| s.strip + 1)
                .collect()
        };
        let Some(first) = from.first() else {
            return "the strips".into();
        };
        if !self.several() {
            let all: Vec<usize> = from.iter().flat_map(strips).collect();
            return strips_called(&all);
        }
        if from.len() > 1 && from.iter().all(|other| strips(other) == strips(first)) {
            return format!("{} of {}", strips_called(&strips(first)), self.owners(from));
        }
        let parts: Vec<String> = from
            .iter()
            .map(|from| {
                format!(
                    "{} of {}",
                    strips_called(&strips(from)),
                    self.name(from.sheet)
                )
            })
            .collect();
        listed(&parts)
    }

    fn owners(&self, from: &[FromSheet]) -> String {
        if from.len() == self.sheets.len() {
            return "each cloth".into();
        }
        let names: Vec<String> = from.iter().map(|from| self.name(from.sheet)).collect();
        listed(&names)
    }

    fn numbers(&self, from: &[FromSheet]) -> String {
        let parts: Vec<String> = from.iter().map(numbers).collect();
        listed(&parts)
    }

    /// ` (1 to 5)` where they are called alike on every sheet.
    fn same_numbers(&self, from: &[FromSheet]) -> String {
        let Some(first) = from.first() else {
            return String::new();
        };
        if from.iter().all(|other| numbers(other) == numbers(first)) {
            format!(" ({} of each)", numbers(first))
        } else {
            let parts: Vec<String> = from
                .iter()
                .map(|from| format!("{} of {}", numbers(from), self.name(from.sheet)))
                .collect();
            format!(" ({})", listed(&parts))
        }
    }
}

/// The numbers of a sheet's strips: `1 to 5`.
fn numbers(from: &FromSheet) -> String {
    let strips: Vec<usize> = from.strips.iter().map(|strip| strip.strip + 1).collect();
    runs(&strips)
}

/// `strip 3`, `strips 1 to 5`.
fn strips_called(strips: &[usize]) -> String {
    let word = if strips.len() == 1 { "strip" } else { "strips" };
    format!("{word} {}", runs(strips))
}

/// `1 to 5`, `1, 2 and 7`: rising numbers, neighbours taken together.
fn runs(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => runs.push((number, number)),
        }
    }
    let mut parts = Vec::new();
    for (first, last) in runs {
        match last - first {
            0 => parts.push(first.to_string()),
            1 => parts.extend([first.to_string(), last.to_string()]),
            _ => parts.push(format!("{first} to {last}")),
        }
    }
    listed(&parts)
}

fn counted(count: u32, name: &str) -> String {
    format!("{count} {name}{}", if count == 1 { "" } else { "s" })
}

/// `Stack the squares 4 deep.`, or nothing to be stacked.
fn deep(layers: u32, stack: &str) -> String {
    if layers > 1 {
        format!("{stack} {layers} deep.")
    } else {
        String::new()
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
