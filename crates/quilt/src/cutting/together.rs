//! Many cloths at once: equal tasks are done once, different ones side by side.
//!
//! **Always holds.** Which thread does a task changes nothing: results stand in the order
//! of the tasks.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use super::sheets::{Alike, Done, Task};

/// No more threads than this; cloths are too small for more to pay.
const THREADS: usize = 8;

/// Every task done, in their order.
pub(super) fn all_done(tasks: Vec<Task>) -> Vec<Done> {
    let mut known: BTreeMap<Alike, usize> = BTreeMap::new();
    let mut different: Vec<Task> = Vec::new();
    let mut which = Vec::with_capacity(tasks.len());
    for task in tasks {
        let index = *known.entry(task.alike()).or_insert_with(|| {
            different.push(task);
            different.len() - 1
        });
        which.push(index);
    }
    let done = side_by_side(&different);
    which.into_iter().map(|index| done[index].clone()).collect()
}

/// Each of them done, by as many threads as the machine has for it.
fn side_by_side(tasks: &[Task]) -> Vec<Done> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut mine = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(task) = tasks.get(index) else {
                return mine;
            };
            mine.push((index, task.done()));
        }
    };
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let helpers = threads.min(THREADS).min(tasks.len()).saturating_sub(1);
    let mut all = thread::scope(|scope| {
        // A thread that cannot be had is done without.
        let helpers: Vec<_> = (0..helpers)
            .filter_map(|_| thread::Builder::new().spawn_scoped(scope, work).ok())
            .collect();
        let mut all = work();
        for helper in helpers {
            match helper.join() {
                Ok(mine) => all.extend(mine),
                Err(cause) => std::panic::resume_unwind(cause),
            }
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, done)| done).collect()
}
