//! What is ticked off, measured or cut again: what a window asks for, turned into marks
//! that are kept and can be taken back.
//!
//! | list | line | count |
//! | --- | --- | --- |
//! | `cut`, `sew` | the words of a step | how often it is done |
//! | `again` | a cloth and a piece | how many to cut again |
//! | `mine` | the words of a step, and which way | nanometres, as the maker measured |
//!
//! An inch is 25,400,000 nm, so every mark of an inch or a centimetre ruler is kept exactly.

use std::collections::{BTreeMap, BTreeSet};

use geometry::Surd;
use quilt::cutting::{self, ClothCutting, Use};
use quilt::plan::{ClothId, Plan};
use quilt::results::Results;
use quilt::sewing::{self, Measured};

use crate::deeds::Asked;
use crate::steps::{self, Line, List};
use crate::store::{Fault, Mark, Store};

/// Nanometres of an inch.
const NM: i64 = 25_400_000;
/// Longest unit that can be noted, inches.
const LONGEST: i64 = 150;

/// Everything marked of one quilt.
#[derive(Clone, Default, Debug)]
pub(crate) struct Marks {
    pub(crate) cut: BTreeMap<String, u32>,
    pub(crate) sewn: BTreeMap<String, u32>,
    /// Pieces to cut again.
    pub(crate) again: BTreeMap<String, u32>,
    /// What units measure.
    pub(crate) mine: BTreeMap<String, u32>,
}

impl Marks {
    pub(crate) fn of(store: &Store, id: i64) -> Result<Self, Fault> {
        Ok(Self {
            cut: store.ticks(id, "cut")?,
            sewn: store.ticks(id, "sew")?,
            again: store.ticks(id, "again")?,
            mine: store.ticks(id, "mine")?,
        })
    }

    pub(crate) fn ticks(&self, list: List) -> &BTreeMap<String, u32> {
        match list {
            List::Cut => &self.cut,
            List::Sew => &self.sewn,
        }
    }

    /// What the maker measured of a line's unit: along its longest side and the other way.
    pub(crate) fn measured(&self, line: &Line) -> [Option<Surd>; 2] {
        WAYS.map(|way| {
            let kept = self.mine.get(&mine_key(line, way)).copied().unwrap_or(0);
            (kept > 0).then(|| Surd::ratio(i64::from(kept), NM))
        })
    }
}

/// The two ways a unit is measured.
const WAYS: [&str; 2] = ["along", "across"];

fn mine_key(line: &Line, way: &str) -> String {
    format!("{way}: {}", line.key)
}

/// One gesture on a list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Marked {
    /// What the history keeps.
    pub(crate) kept: String,
    pub(crate) marks: Vec<Mark>,
    /// What the maker hears: what is done, and what comes next.
    pub(crate) says: String,
    /// The step to stand at then, from 1.
    pub(crate) at: usize,
}

/// The gesture that was asked for.
pub(crate) fn read(
    asked: &Asked,
    plan: &Plan,
    results: &Results,
    marks: &Marks,
) -> Result<Marked, String> {
    let list = List::named(asked.word("list")?).ok_or("There is no such list of steps.")?;
    let lines = steps::lines(list, plan, results);
    let key = asked.word("line")?;
    let at = lines.iter().position(|line| line.key == key);
    let at = at.ok_or(
        "That step is not among the steps any more; the plan has changed. Look at them as they are now.",
    )?;
    let asking = Asking {
        plan,
        results,
        marks,
        list,
        lines: &lines,
        at,
    };
    match asked.word("do")? {
        "tick" => asking.tick(asked.number("done")?),
        "apart" => asking.apart(),
        "again" => asking.again(asked),
        "mine" => asking.mine(asked),
        other => Err(format!("The studio does not know how to “{other}”.")),
    }
}

struct Asking<'a> {
    plan: &'a Plan,
    results: &'a Results,
    marks: &'a Marks,
    list: List,
    lines: &'a [Line],
    at: usize,
}

impl Asking<'_> {
    fn line(&self) -> &Line {
        &self.lines[self.at]
    }

    fn mark(&self, line: &Line, done: u32) -> Mark {
        Mark {
            list: self.list.word(),
            line: line.key.clone(),
            done,
        }
    }

    fn name(&self) -> String {
        format!("{} step {}", self.list.work(), self.at + 1)
    }

    fn tick(&self, done: u32) -> Result<Marked, String> {
        let line = self.line();
        let before = line.done(self.marks.ticks(self.list));
        if done > line.times {
            return Err(format!(
                "This step is done {} times at most; nothing was ticked off.",
                line.times
            ));
        }
        let of = if line.times > 1 {
            format!(": {done} of {}", line.times)
        } else {
            String::new()
        };
        let kept = if done >= before {
            format!("Tick {}{of}", self.name())
        } else {
            format!("Untick {}{of}", self.name())
        };
        let finished = done >= line.times;
        let (at, says) = if finished {
            self.next()
        } else if line.times > 1 {
            let left = line.times - done;
            (
                self.at,
                format!("{done} of {} done, {left} to go.", line.times),
            )
        } else {
            (self.at, "Not done: the tick is taken away.".into())
        };
        Ok(Marked {
            kept,
            marks: vec![self.mark(line, done)],
            says,
            at: at + 1,
        })
    }

    /// The step that comes next when this one is done, and what it is.
    fn next(&self) -> (usize, String) {
        let ticks = self.marks.ticks(self.list);
        let open = |i: &usize| *i != self.at && !self.lines[*i].is_done(ticks);
        let after = (self.at + 1..self.lines.len()).find(open);
        match after.or_else(|| (0..self.at).find(open)) {
            Some(next) => {
                let text = &self.lines[next].text;
                (next, format!("Done. Next, step {}: {text}", next + 1))
            }
            None => (
                self.at,
                format!("Done. That was the last step of {}.", self.list.all()),
            ),
        }
    }

    /// Steps back: one of this unit is in its parts again.
    fn apart(&self) -> Result<Marked, String> {
        let steps = to_unpick(self.results, self.marks, self.lines, self.at);
        if steps.is_empty() {
            return Err("None of this step is done yet, so there is nothing to take apart.".into());
        }
        let ticks = self.marks.ticks(self.list);
        let marks = steps.iter().map(|&step| {
            let line = &self.lines[step];
            self.mark(line, line.done(ticks).saturating_sub(1))
        });
        let seams = match steps.len() {
            1 => "One seam to unpick".to_owned(),
            n => format!("{n} seams to unpick, the last sewn first"),
        };
        Ok(Marked {
            kept: format!("Take one apart, {}", self.name()),
            marks: marks.collect(),
            says: format!("{seams}; its ticks are taken away."),
            at: self.at + 1,
        })
    }

    /// One piece more, or fewer, to cut again.
    fn again(&self, asked: &Asked) -> Result<Marked, String> {
        let key = asked.word("piece")?;
        let done: u32 = asked.number("done")?;
        let pieces = pieces(self.plan, self.results);
        let piece = pieces.iter().find(|piece| piece.key == key);
        let piece = piece.ok_or("That piece is not cut any more; the plan has changed.")?;
        if done > 999 {
            return Err("That is more than can be cut again.".into());
        }
        let before = self.marks.again.get(key).copied().unwrap_or(0);
        let cloth = &self.plan.cloth(piece.cutting.cloth).name;
        let (kept, says) = if done > before {
            let mut marks = self.marks.clone();
            marks.again.insert(key.to_owned(), done);
            let all = to_cut_again(self.plan, self.results, &marks);
            let own = all.iter().rev().find(|again| again.key == key);
            (
                format!("One {} of {cloth} came out wrong", piece.name),
                own.map_or_else(String::new, |again| again.says.clone()),
            )
        } else {
            (
                format!("One {} of {cloth} is cut again", piece.name),
                format!("{} of {cloth}: {done} left to cut again.", piece.name),
            )
        };
        let mark = Mark {
            list: "again",
            line: key.to_owned(),
            done,
        };
        Ok(Marked {
            kept,
            marks: vec![mark],
            says,
            at: self.at + 1,
        })
    }

    /// What a unit measures.
    fn mine(&self, asked: &Asked) -> Result<Marked, String> {
        let line = self.line();
        let unit = line.unit().filter(|_| line.times > 0);
        unit.ok_or("Only units of a block are measured so.")?;
        let mut marks = Vec::new();
        let mut said = Vec::new();
        let mut found = [None, None];
        for (i, way) in WAYS.into_iter().enumerate() {
            let empty = asked.text(way).is_none_or(str::is_empty);
            let length = (!empty).then(|| asked.length(way, self.plan)).transpose()?;
            let long = length
                .as_ref()
                .map(|length| (length * &Surd::int(NM)).floor());
            if long.is_some_and(|nm| nm <= 0 || nm > LONGEST * NM) {
                return Err("A unit is more than nothing and less than 150 in long.".into());
            }
            said.extend(length.as_ref().map(|length| self.plan.measure.say(length)));
            marks.push(Mark {
                list: "mine",
                line: mine_key(line, way),
                done: long.and_then(|nm| u32::try_from(nm).ok()).unwrap_or(0),
            });
            found[i] = length;
        }
        let told = judged(self.plan, self.results, line, &found);
        let kept = if said.is_empty() {
            format!("Forget what the unit of {} measures", self.name())
        } else {
            format!("The unit of {} measures {}", self.name(), said.join(" by "))
        };
        let says = told.map_or_else(
            || "The measure is forgotten.".to_owned(),
            |told| told.says.last().cloned().unwrap_or_default(),
        );
        Ok(Marked {
            kept,
            marks,
            says,
            at: self.at + 1,
        })
    }
}

/// What the maker's measure of a line's unit tells.
pub(crate) fn judged(
    plan: &Plan,
    results: &Results,
    line: &Line,
    found: &[Option<Surd>; 2],
) -> Option<Measured> {
    let (block, step) = line.unit()?;
    let top = results.top.as_deref()?;
    let sewing = results.sewing.as_deref()?;
    let found = [found[0].as_ref(), found[1].as_ref()];
    sewing::measured(plan, &results.blocks, top, sewing, (block, step), found)
}

/// The lines of which one is unpicked to have one unit of a line in its parts, in the order
/// they are unpicked; empty when none of it is done.
pub(crate) fn to_unpick(results: &Results, marks: &Marks, lines: &[Line], at: usize) -> Vec<usize> {
    let ticks = &marks.sewn;
    let line = &lines[at];
    if line.done(ticks) == 0 {
        return Vec::new();
    }
    let sewn = line.unit().and_then(|(block, step)| {
        let sewing = results.sewing.as_deref()?;
        let sewn = sewing.blocks.iter().find(|sewn| sewn.block == block)?;
        Some((block, step, sewn))
    });
    // A row of the top, or units made several at a time: one back.
    let Some((block, step, sewn)) = sewn.filter(|_| line.is_seam()) else {
        return vec![at];
    };
    let mut done = vec![0; sewn.steps.len()];
    for line in lines {
        if let Some((of, step)) = line.unit()
            && of == block
        {
            done[step] += line.units() * line.done(ticks);
        }
    }
    let of = |step: usize| {
        let mut lines = lines.iter().enumerate();
        lines.find(|(_, line)| line.is_seam() && line.unit() == Some((block, step)))
    };
    sewing::apart(sewn, &done, step)
        .into_iter()
        .filter_map(of)
        .filter(|(_, line)| line.done(ticks) > 0)
        .map(|(line, _)| line)
        .collect()
}

/// A piece of the cutting, by the words it is kept under.
pub(crate) struct Piece<'a> {
    pub(crate) key: String,
    pub(crate) name: String,
    pub(crate) usage: Use,
    pub(crate) cutting: &'a ClothCutting,
}

/// Every kind of piece that is cut.
pub(crate) fn pieces<'a>(plan: &Plan, results: &'a Results) -> Vec<Piece<'a>> {
    let all = results.cutting.iter().flat_map(|all| all.iter());
    let mut known = BTreeSet::new();
    all.flat_map(|cutting| {
        let served = cutting.demands.iter().flat_map(|demand| &demand.serves);
        served.map(move |served| {
            let name = cutting::piece_name(plan, &results.blocks, &served.usage);
            Piece {
                key: piece_key(plan, cutting.cloth, &name),
                name,
                usage: served.usage,
                cutting,
            }
        })
    })
    .filter(|piece| known.insert(piece.key.clone()))
    .collect()
}

fn piece_key(plan: &Plan, cloth: ClothId, name: &str) -> String {
    format!("{}: {name}", plan.cloth(cloth).key)
}

/// One piece to cut again, in the maker's words.
pub(crate) struct Wrong {
    pub(crate) key: String,
    pub(crate) says: String,
    /// Whether there is cloth for it.
    pub(crate) fits: bool,
}

/// Everything to cut again, cloth by cloth, and from where.
pub(crate) fn to_cut_again(plan: &Plan, results: &Results, marks: &Marks) -> Vec<Wrong> {
    let pieces = pieces(plan, results);
    let mut out = Vec::new();
    for cutting in results.cutting.iter().flat_map(|all| all.iter()) {
        let own: Vec<(&Piece<'_>, u32)> = pieces
            .iter()
            .filter(|piece| piece.cutting.cloth == cutting.cloth)
            .filter_map(|piece| {
                let count = marks.again.get(&piece.key).copied()?;
                (count > 0).then_some((piece, count))
            })
            .collect();
        let wrong: Vec<(Use, u32)> = own.iter().map(|(p, count)| (p.usage, *count)).collect();
        let keys = own
            .iter()
            .flat_map(|(p, n)| std::iter::repeat_n(&p.key, *n as usize));
        let found = cutting::again(plan, &results.blocks, cutting, &wrong);
        out.extend(found.into_iter().zip(keys).map(|(again, key)| Wrong {
            key: key.clone(),
            says: again.says,
            fits: !matches!(
                again.room,
                cutting::Room::Short { .. } | cutting::Room::Unknown
            ),
        }));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo() -> (Plan, Results) {
        let (_, title, text) = crate::DEMOS[0];
        let plan = planfile::read(title, text).unwrap();
        let results = quilt::results::work_out(&plan, None);
        (plan, results)
    }

    fn ask(marks: &Marks, fields: &[(&str, &str)]) -> Result<Marked, String> {
        let (plan, results) = demo();
        read(&Asked::of(fields), &plan, &results, marks)
    }

    #[test]
    fn a_tick_says_what_comes_next() {
        let (plan, results) = demo();
        let lines = steps::lines(List::Cut, &plan, &results);
        let tick = |marks: &Marks, at: usize| {
            let line = &lines[at];
            let done = line.times.to_string();
            ask(
                marks,
                &[
                    ("do", "tick"),
                    ("list", "cut"),
                    ("line", &line.key),
                    ("done", &done),
                ],
            )
            .unwrap()
        };
        let mut marks = Marks::default();
        let first = tick(&marks, 0);
        assert_eq!((first.at, first.kept.as_str()), (2, "Tick cutting step 1"));
        assert_eq!(first.says, format!("Done. Next, step 2: {}", lines[1].text));
        for line in &lines[1..] {
            marks.cut.insert(line.key.clone(), line.times);
        }
        let last = tick(&marks, 0);
        assert_eq!(last.says, "Done. That was the last step of the cutting.");
        // The last of all, while an earlier one is still to do.
        marks.cut.insert(lines[0].key.clone(), lines[0].times);
        marks.cut.remove(&lines[2].key);
        let back = tick(&marks, lines.len() - 1);
        assert_eq!(back.at, 3);
        let gone = ask(&marks, &[("do", "tick"), ("list", "cut"), ("line", "gone")]);
        assert!(gone.unwrap_err().contains("not among the steps any more"));
    }

    #[test]
    fn a_wrong_piece_says_from_where_it_is_cut_again() {
        let (plan, results) = demo();
        let lines = steps::lines(List::Cut, &plan, &results);
        let pieces = pieces(&plan, &results);
        let mut keys: Vec<&str> = pieces.iter().map(|piece| piece.key.as_str()).collect();
        keys.sort_unstable();
        let all = keys.len();
        keys.dedup();
        assert_eq!(keys.len(), all, "two pieces under one key");
        for piece in &pieces {
            let fields = [
                ("do", "again"),
                ("list", "cut"),
                ("line", lines[0].key.as_str()),
                ("piece", piece.key.as_str()),
                ("done", "1"),
            ];
            let marked = ask(&Marks::default(), &fields).unwrap();
            assert!(marked.kept.contains("came out wrong"), "{}", marked.kept);
            assert!(
                ["from what is left", "from a strip", "short of it"]
                    .iter()
                    .any(|words| marked.says.contains(words)),
                "{}",
                marked.says
            );
        }
    }

    #[test]
    fn measures_are_kept_to_the_mark() {
        let (plan, results) = demo();
        let lines = steps::lines(List::Sew, &plan, &results);
        let line = lines.iter().find(|line| line.is_seam()).unwrap();
        let fields = [
            ("do", "mine"),
            ("list", "sew"),
            ("line", line.key.as_str()),
            ("along", "4 3/64"),
            ("across", ""),
        ];
        let marked = ask(&Marks::default(), &fields).unwrap();
        let mut marks = Marks::default();
        for mark in &marked.marks {
            marks.mine.insert(mark.line.clone(), mark.done);
        }
        let found = marks.measured(line);
        assert_eq!(found, [Some(Surd::ratio(259, 64)), None]);
        assert!(judged(&plan, &results, line, &found).is_some());
        let none = ask(
            &Marks::default(),
            &[fields[0], fields[1], fields[2], ("along", "0")],
        );
        assert!(none.is_err());
    }
}
