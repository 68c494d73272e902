//! Work shared out to threads: each piece is done by itself, so that their number changes nothing.

use crate::proposals::Threads;
use crate::watch::Watch;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Does every job; results in the order of the jobs. `None` when the watcher cancels.
pub(crate) fn share<J: Sync, R: Send>(
    jobs: &[J],
    threads: Threads,
    watch: &dyn Watch,
    work: impl Fn(&J) -> R + Sync,
) -> Option<Vec<R>> {
    let slots: Vec<Mutex<Option<R>>> = jobs.iter().map(|_| Mutex::new(None)).collect();
    let next = AtomicUsize::new(0);
    let take = || {
        while !watch.is_cancelled() {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let (Some(job), Some(slot)) = (jobs.get(at), slots.get(at)) else { break };
            let done = work(job);
            if let Ok(mut slot) = slot.lock() {
                *slot = Some(done);
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads.get().min(jobs.len()) {
            scope.spawn(take);
        }
        take();
    });
    slots.into_iter().map(|slot| slot.into_inner().ok().flatten()).collect()
}
