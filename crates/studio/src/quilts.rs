//! The quilts that are open: what stands in the store, worked out and kept at hand.
//!
//! A gesture goes once through one line: deed → edits → plan → store → picture. Only when
//! the store has it does the page hear of it. The rest of the results are worked out when
//! a screen asks for them, with what an edit did not touch reused.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use quilt::plan::Plan;
use quilt::results::{self, Results};
use tokio::sync::{Semaphore, watch};

use crate::deeds::{self, Asked, Deed};
use crate::look::Look;
use crate::measuring::Lately;
use crate::store::{self, Kept, PhotoLine, Store};
use crate::waits::{Moment, Waits};

/// All that are open, by their number on the shelf.
#[derive(Debug)]
pub(crate) struct Quilts {
    pub(crate) store: Store,
    pub(crate) waits: Waits,
    open: Mutex<BTreeMap<i64, Arc<Open>>>,
    /// One picture is unpacked at a time: each may take some two hundred megabytes.
    pub(crate) unpacking: Arc<Semaphore>,
    pub(crate) lately: Lately,
}

/// One open quilt.
#[derive(Debug)]
pub(crate) struct Open {
    id: i64,
    standing: Mutex<Option<Arc<Standing>>>,
    /// The latest results, and the plan file they were worked out for.
    worked: Mutex<Option<(String, Arc<Results>)>>,
    told: watch::Sender<i64>,
}

/// A quilt at one moment.
#[derive(Debug)]
pub(crate) struct Standing {
    pub(crate) kept: Kept,
    pub(crate) plan: Plan,
    pub(crate) look: Look,
    /// The photographs its cloths are shown by, as far as the store has them.
    pub(crate) photos: BTreeSet<i64>,
}

impl Standing {
    pub(crate) fn moment(&self) -> Moment {
        (self.kept.id, self.kept.plan.clone())
    }
}

/// What a window is told after a gesture.
#[derive(Debug)]
pub(crate) struct Change {
    pub(crate) now: Arc<Standing>,
    /// Patches and their cloth now; `None` when the picture must be fetched anew.
    pub(crate) patches: Option<Vec<(usize, Option<usize>)>>,
    pub(crate) says: String,
}

/// Why something asked for was not done, in a maker's words.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The store.
    Store(store::Fault),
    /// The deed makes no sense, or the plan refuses it.
    Deed(String),
}

impl From<store::Fault> for Trouble {
    fn from(fault: store::Fault) -> Self {
        Self::Store(fault)
    }
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Store(fault) => fault.fmt(f),
            Self::Deed(words) => f.write_str(words),
        }
    }
}

/// What is kept at hand is whole at any time: it is replaced, never changed in place.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Quilts {
    pub(crate) fn new(store: Store) -> Self {
        Self {
            store,
            waits: Waits::default(),
            open: Mutex::new(BTreeMap::new()),
            unpacking: Arc::new(Semaphore::new(1)),
            lately: Lately::default(),
        }
    }

    /// One quilt, opened if it is not.
    pub(crate) fn open(&self, id: i64) -> Result<Arc<Open>, Trouble> {
        let turned = self.store.turned(id)?;
        let mut open = held(&self.open);
        let quilt = open.entry(id).or_insert_with(|| {
            Arc::new(Open {
                id,
                standing: Mutex::new(None),
                worked: Mutex::new(None),
                told: watch::Sender::new(turned),
            })
        });
        Ok(Arc::clone(quilt))
    }

    /// A new quilt from a plan that was read; its number.
    pub(crate) fn begin(
        &self,
        says: &str,
        plan: &Plan,
        text: Option<&str>,
    ) -> Result<i64, Trouble> {
        let text = text.map_or_else(|| planfile::write(plan), str::to_owned);
        Ok(self.store.begin(says, &text)?)
    }
}

impl Open {
    /// The quilt as the store has it now.
    pub(crate) fn standing(&self, store: &Store) -> Result<Arc<Standing>, Trouble> {
        let turned = store.turned(self.id)?;
        let mut standing = held(&self.standing);
        if let Some(now) = standing.as_ref().filter(|now| now.kept.turned == turned) {
            return Ok(Arc::clone(now));
        }
        self.reload(store, &mut standing, None)
    }

    /// Takes the quilt from the store; `plan` where it was read already.
    fn reload(
        &self,
        store: &Store,
        standing: &mut Option<Arc<Standing>>,
        plan: Option<Plan>,
    ) -> Result<Arc<Standing>, Trouble> {
        let kept = store.quilt(self.id)?;
        // A tick leaves the plan as it was, and so all that follows from it.
        if let Some(before) = standing.as_ref().filter(|s| s.kept.plan == kept.plan) {
            let now = Arc::new(Standing {
                kept,
                plan: before.plan.clone(),
                look: before.look.clone(),
                photos: before.photos.clone(),
            });
            *standing = Some(Arc::clone(&now));
            self.told.send_replace(now.kept.turned);
            return Ok(now);
        }
        let plan = plan.map_or_else(|| plan_of(&kept.plan), Ok)?;
        // While results are being worked out, the picture does without them.
        let worked = self.worked.try_lock().ok();
        let before = worked.and_then(|w| w.as_ref().map(|(_, results)| Arc::clone(results)));
        let before = before
            .as_deref()
            .or(standing.as_ref().map(|s| &s.look.laid));
        let look = Look::of(&plan, before);
        let turned = kept.turned;
        let named = plan.cloths.iter().filter_map(|c| c.record.photo.as_deref());
        let named: BTreeSet<i64> = named.filter_map(PhotoLine::number_in).collect();
        let photos = store.which_photos(self.id, &named)?;
        let now = Arc::new(Standing {
            kept,
            plan,
            look,
            photos,
        });
        *standing = Some(Arc::clone(&now));
        self.told.send_replace(turned);
        Ok(now)
    }

    /// Tells of every change from now on.
    pub(crate) fn listen(&self) -> watch::Receiver<i64> {
        self.told.subscribe()
    }

    /// Keeps one gesture that ticks lines off; the plan stays as it is.
    pub(crate) fn mark(
        &self,
        store: &Store,
        kept: &str,
        marks: &[store::Mark],
    ) -> Result<Change, Trouble> {
        let before = self.standing(store)?;
        store.mark(self.id, kept, marks)?;
        self.after(store, &before, kept.to_owned(), None)
    }

    /// Tells the windows again although nothing of the plan changed: a photograph came or
    /// went.
    pub(crate) fn tell_again(&self) {
        self.told.send_modify(|_| {});
    }

    /// Makes one gesture that was asked for by a window that saw the state `turned`.
    pub(crate) fn make(
        &self,
        store: &Store,
        turned: i64,
        asked: &Asked,
    ) -> Result<Change, Trouble> {
        self.make_as(store, turned, |now| {
            deeds::read(asked, &now.plan, &now.look).map_err(Trouble::Deed)
        })
    }

    /// The same, for a gesture that needs more than the plan to be read.
    pub(crate) fn make_as(
        &self,
        store: &Store,
        turned: i64,
        read: impl FnOnce(&Standing) -> Result<Deed, Trouble>,
    ) -> Result<Change, Trouble> {
        let before = self.standing(store)?;
        if before.kept.turned != turned {
            return Err(store::Fault::Overtaken.into());
        }
        let deed = read(&before)?;
        let mut plan = before.plan.clone();
        for edit in &deed.edits {
            plan = plan
                .with(edit)
                .map_err(|refusal| Trouble::Deed(refusal.to_string()))?;
        }
        if plan == before.plan {
            return Ok(Change {
                now: before,
                patches: Some(Vec::new()),
                says: "Nothing changed.".into(),
            });
        }
        let text = planfile::write_change(&before.kept.plan, &before.plan, &plan)
            .ok()
            .filter(|text| planfile::read("the change", text).as_ref() == Ok(&plan))
            .unwrap_or_else(|| planfile::write(&plan));
        store.add(self.id, turned, &deed.says, &text)?;
        self.after(store, &before, deed.says, Some(plan))
    }

    /// Goes to another step of the history.
    pub(crate) fn go_to(&self, store: &Store, turned: i64, step: i64) -> Result<Change, Trouble> {
        let before = self.standing(store)?;
        if before.kept.turned != turned {
            return Err(store::Fault::Overtaken.into());
        }
        store.go_to(self.id, turned, step)?;
        let says = if step < before.kept.stands {
            format!("Taken back: {}", before.kept.says)
        } else {
            let again = before.kept.next.as_deref().unwrap_or_default();
            format!("Done again: {again}")
        };
        self.after(store, &before, says, None)
    }

    /// Goes back to a named moment: a gesture like any other, so it can be taken back.
    pub(crate) fn go_to_moment(
        &self,
        store: &Store,
        turned: i64,
        number: i64,
    ) -> Result<Change, Trouble> {
        let before = self.standing(store)?;
        let (name, text) = store.moment(self.id, number)?;
        let plan = plan_of(&text)?;
        let says = format!("Go back to “{name}”");
        store.add(self.id, turned, &says, &text)?;
        self.after(store, &before, says, Some(plan))
    }

    fn after(
        &self,
        store: &Store,
        before: &Standing,
        says: String,
        plan: Option<Plan>,
    ) -> Result<Change, Trouble> {
        let now = self.reload(store, &mut held(&self.standing), plan)?;
        let patches = (now.plan.cloths == before.plan.cloths)
            .then(|| now.look.changed_since(&before.look))
            .flatten();
        Ok(Change { now, patches, says })
    }

    /// Everything that follows from the plan as it stands; takes as long as it takes.
    pub(crate) fn results(&self, now: &Standing) -> Arc<Results> {
        let mut worked = held(&self.worked);
        if let Some((plan, results)) = worked.as_ref()
            && *plan == now.kept.plan
        {
            return Arc::clone(results);
        }
        let results = Arc::new(results::work_out(&now.plan, Some(&now.look.laid)));
        *worked = Some((now.kept.plan.clone(), Arc::clone(&results)));
        results
    }
}

/// A plan from the store.
fn plan_of(text: &str) -> Result<Plan, Trouble> {
    planfile::read("the shelf", text)
        .map_err(|troubles| Trouble::Deed(planfile::render("the shelf", text, &troubles, false)))
}
