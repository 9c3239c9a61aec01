//! Work a window waits for: how far it is, and whether it is to stop.
//!
//! A window names an errand when it asks for something long, asks how far it is while it
//! waits, and may say stop. The work itself looks at its [`Errand`] between two steps.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// Errands under way at a time; more are done without being told of.
const MOST: usize = 32;

/// All that are under way, by the names the windows gave them.
#[derive(Debug, Default)]
pub(crate) struct Errands(Mutex<BTreeMap<String, Arc<Errand>>>);

/// One piece of work.
#[derive(Debug, Default)]
pub(crate) struct Errand {
    done: AtomicUsize,
    of: AtomicUsize,
    stop: AtomicBool,
}

impl Errand {
    /// Told by the work between two steps; says whether to go on.
    pub(crate) fn step(&self, done: usize, of: usize) -> ControlFlow<()> {
        self.of.store(of, Ordering::Relaxed);
        self.done.store(done, Ordering::Relaxed);
        if self.stop.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

/// An errand under way; off the list when dropped.
pub(crate) struct UnderWay<'a> {
    all: &'a Errands,
    name: String,
    pub(crate) errand: Arc<Errand>,
}

impl Drop for UnderWay<'_> {
    fn drop(&mut self) {
        self.all.with(|all| {
            if all
                .get(&self.name)
                .is_some_and(|one| Arc::ptr_eq(one, &self.errand))
            {
                all.remove(&self.name);
            }
        });
    }
}

impl Errands {
    fn with<T>(&self, look: impl FnOnce(&mut BTreeMap<String, Arc<Errand>>) -> T) -> T {
        look(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Puts an errand on the list.
    pub(crate) fn begin(&self, name: &str) -> UnderWay<'_> {
        let errand = Arc::new(Errand::default());
        self.with(|all| {
            if all.len() < MOST {
                all.insert(name.to_owned(), Arc::clone(&errand));
            }
        });
        UnderWay {
            all: self,
            name: name.to_owned(),
            errand,
        }
    }

    /// How many steps of how many are done; `None` when it is not under way.
    pub(crate) fn so_far(&self, name: &str) -> Option<(usize, usize)> {
        let errand = self.with(|all| all.get(name).cloned())?;
        let of = errand.of.load(Ordering::Relaxed);
        Some((errand.done.load(Ordering::Relaxed).min(of), of))
    }

    /// Says stop; whether there was anything to stop.
    pub(crate) fn stop(&self, name: &str) -> bool {
        let errand = self.with(|all| all.get(name).cloned());
        errand.is_some_and(|errand| {
            errand.stop.store(true, Ordering::Relaxed);
            true
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_errand_is_told_of_stopped_and_forgotten() {
        let all = Errands::default();
        assert_eq!(all.so_far("a"), None);
        assert!(!all.stop("a"));
        let one = all.begin("a");
        assert!(one.errand.step(3, 9).is_continue());
        assert_eq!(all.so_far("a"), Some((3, 9)));
        assert!(all.stop("a"));
        assert!(one.errand.step(4, 9).is_break());
        // The same name again: the later one is meant, and outlives the first.
        let two = all.begin("a");
        drop(one);
        assert_eq!(all.so_far("a"), Some((0, 0)));
        drop(two);
        assert_eq!(all.so_far("a"), None);
    }
}
