//! What takes long enough to be waited for: the pages of a booklet, the wall of settings.
//!
//! The latest of each is kept, so that looking at a second page or asking for the same wall
//! again takes no time. It is kept for one quilt at one moment; an edit makes it stale.

use std::ops::ControlFlow;
use std::sync::{Arc, Mutex, PoisonError};

use booklet::{Booklet, Part, Parts};
use quilt::arranging::choice::{self, Question, Setting};
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::motif::Motif;
use quilt::plan::Plan;
use quilt::results::Results;

use crate::errands::{Errand, Errands};
use crate::pages::Asking;

/// The latest of everything that is waited for, and what is under way.
#[derive(Debug, Default)]
pub(crate) struct Waits {
    pub(crate) errands: Errands,
    pub(crate) booklet: Latest<(Moment, Parts), Booklet>,
    pub(crate) wall: Latest<(Moment, Hung), Wall>,
}

/// A quilt at one moment: its number on the shelf, and its plan file then.
pub(crate) type Moment = (i64, String);

/// One thing kept until another takes its place.
#[derive(Debug)]
pub(crate) struct Latest<K, T>(Mutex<Option<(K, Arc<T>)>>);

impl<K, T> Default for Latest<K, T> {
    fn default() -> Self {
        Self(Mutex::new(None))
    }
}

impl<K: PartialEq, T> Latest<K, T> {
    /// What is kept under this key.
    pub(crate) fn get(&self, key: &K) -> Option<Arc<T>> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (_, thing) = kept.as_ref().filter(|(of, _)| of == key)?;
        Some(Arc::clone(thing))
    }

    /// Keeps it; whatever was there goes.
    pub(crate) fn keep(&self, key: K, thing: T) -> Arc<T> {
        let thing = Arc::new(thing);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        *kept = Some((key, Arc::clone(&thing)));
        thing
    }
}

/// The parts of the booklet a page asks for: all unless it names some, with hyphens
/// between them.
pub(crate) fn parts(asking: &Asking) -> Parts {
    asking.word("parts").map_or_else(Parts::all, |words| {
        words.split('-').filter_map(Part::named).collect()
    })
}

/// Which wall is asked for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Hung {
    /// Repeats of so many blocks a side.
    pub(crate) side: usize,
    question: String,
    of: usize,
}

impl Hung {
    pub(crate) fn of(asking: &Asking) -> Self {
        let three = asking.word("repeat") == Some("3");
        Self {
            side: if three { 3 } else { 2 },
            question: asking.word("ask").unwrap_or("alike").to_owned(),
            of: asking.number("of").unwrap_or(0),
        }
    }
}

/// The settings of the wall, best first by what was asked.
#[derive(Debug)]
pub(crate) struct Wall {
    pub(crate) motif: Motif,
    pub(crate) classes: Classes,
    pub(crate) found: Vec<Setting>,
    /// Where it was stopped: so many repeats tried of so many.
    pub(crate) stopped: Option<(usize, usize)>,
}

impl Wall {
    /// What settings are compared by; `None` where the blocks cannot be compared.
    pub(crate) fn compared(plan: &Plan, results: &Results) -> Option<(Motif, Classes)> {
        let classes = Classes::of(plan, Likeness::Family);
        let motif = Motif::of(plan, &results.blocks, &classes, false)?;
        Some((motif, classes))
    }

    /// Tries them; `None` where the blocks cannot be compared.
    pub(crate) fn of(
        plan: &Plan,
        results: &Results,
        hung: &Hung,
        errand: Option<&Errand>,
    ) -> Option<Self> {
        let (motif, classes) = Self::compared(plan, results)?;
        let last = classes.names.len().saturating_sub(1);
        let question = match hung.question.as_str() {
            "calm" => Question::Calmest,
            "centre" => Question::AboutCentre,
            "whole" => Question::MostWhole(hung.of.min(last)),
            _ => Question::MostAlike,
        };
        let size = (plan.setting.rows as usize, plan.setting.columns as usize);
        let watch = |done: usize, of: usize| {
            errand.map_or(ControlFlow::Continue(()), |errand| errand.step(done, of))
        };
        let (found, stopped) = choice::settings_watched(&motif, hung.side, size, question, &watch);
        Some(Self {
            motif,
            classes,
            found,
            stopped,
        })
    }
}
