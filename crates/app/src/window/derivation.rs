//! Keeps what follows from the project up to date: at once while that is quick, on a thread when it is not.

use super::view::Freshness;
use crate::engine::{Derived, Engine, derive};
use egui::Context;
use lineside_core::project::Project;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex};
use std::time::{Duration, Instant};

/// Below this, the frame that shows a change can wait for what follows from it.
const AT_ONCE: Duration = Duration::from_millis(8);
/// Sheets of no more blocks than this are always worked out at once, however slow the machine was the last time: they
/// take a millisecond or two where they are usual.
const FEW: usize = 150;

/// The last result, and the worker for slow ones.
pub struct Derivation {
    engine: Arc<Engine>,
    latest: Arc<Derived>,
    took: Duration,
    worker: Option<Worker>,
    asked_for: Option<u64>,
}

impl Derivation {
    /// For a project that has just been opened.
    pub fn new(engine: Arc<Engine>, project: &Project, changes: u64) -> Self {
        let start = Instant::now();
        let latest = Arc::new(derive(project, &engine, changes));
        Self { engine, latest, took: start.elapsed(), worker: None, asked_for: None }
    }

    /// The last result.
    pub fn latest(&self) -> &Arc<Derived> {
        &self.latest
    }

    /// How long the last one took.
    pub const fn took(&self) -> Duration {
        self.took
    }

    /// Brings the result up to date with the project, or has the worker do so and says that it is stale.
    pub fn follow(&mut self, project: &Project, changes: u64, ctx: &Context) -> Freshness {
        self.collect();
        if self.latest.changes == changes {
            return Freshness::Fresh;
        }
        if self.took < AT_ONCE || project.circuit.block_count() <= FEW {
            let start = Instant::now();
            self.latest = Arc::new(derive(project, &self.engine, changes));
            self.took = start.elapsed();
            return Freshness::Fresh;
        }
        if self.asked_for != Some(changes) {
            self.asked_for = Some(changes);
            let engine = Arc::clone(&self.engine);
            self.worker
                .get_or_insert_with(|| Worker::start(engine, ctx.clone()))
                .ask(project.clone(), changes);
        }
        Freshness::Stale
    }

    fn collect(&mut self) {
        while let Some((derived, took)) = self.worker.as_ref().and_then(|worker| worker.done.try_recv().ok())
        {
            self.latest = Arc::new(derived);
            self.took = took;
        }
    }
}

/// A thread that works on the newest request only; older ones are forgotten.
struct Worker {
    mailbox: Arc<Mailbox>,
    done: Receiver<(Derived, Duration)>,
}

#[derive(Default)]
struct Mailbox {
    request: Mutex<Request>,
    posted: Condvar,
}

#[derive(Default)]
enum Request {
    #[default]
    None,
    Derive(Box<Project>, u64),
    Stop,
}

impl Worker {
    fn start(engine: Arc<Engine>, ctx: Context) -> Self {
        let mailbox = Arc::new(Mailbox::default());
        let (send, done) = channel();
        let box_of_thread = Arc::clone(&mailbox);
        std::thread::spawn(move || work(&box_of_thread, &engine, &send, &ctx));
        Self { mailbox, done }
    }

    fn ask(&self, project: Project, changes: u64) {
        if let Ok(mut request) = self.mailbox.request.lock() {
            *request = Request::Derive(Box::new(project), changes);
            self.mailbox.posted.notify_one();
        }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        if let Ok(mut request) = self.mailbox.request.lock() {
            *request = Request::Stop;
            self.mailbox.posted.notify_one();
        }
    }
}

fn work(mailbox: &Mailbox, engine: &Engine, send: &Sender<(Derived, Duration)>, ctx: &Context) {
    loop {
        let Ok(request) = mailbox.request.lock() else { return };
        let Ok(mut request) = mailbox.posted.wait_while(request, |request| matches!(request, Request::None))
        else {
            return;
        };
        let taken = std::mem::take(&mut *request);
        drop(request);
        let Request::Derive(project, changes) = taken else { return };
        let start = Instant::now();
        let derived = derive(&project, engine, changes);
        if send.send((derived, start.elapsed())).is_err() {
            return;
        }
        ctx.request_repaint();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Eight cabins on one sheet: more than few.
    fn large() -> Project {
        let cabin =
            lineside_core::file::read(include_str!("../../../../assets/demos/cabin.lineside")).unwrap();
        lineside_core::testing::copies(&cabin, 8)
    }

    #[test]
    fn a_slow_project_is_worked_out_aside_and_only_the_newest_counts() {
        let large = large();
        let mut derivation = Derivation::new(Arc::new(Engine::load().unwrap()), &large, 0);
        derivation.took = Duration::from_secs(1);
        let ctx = Context::default();
        assert_eq!(derivation.follow(&large, 1, &ctx), Freshness::Stale);
        assert_eq!(derivation.follow(&large, 2, &ctx), Freshness::Stale);
        let start = Instant::now();
        while derivation.latest.changes != 2 {
            assert!(start.elapsed() < Duration::from_mins(1));
            std::thread::yield_now();
            derivation.collect();
        }
        assert_eq!(derivation.follow(&large, 2, &ctx), Freshness::Fresh);
        // Had that been quick, the next one would be worked out at once.
        derivation.took = Duration::ZERO;
        assert_eq!(derivation.follow(&large, 3, &ctx), Freshness::Fresh);
        assert_eq!(derivation.latest.changes, 3);
    }

    #[test]
    fn a_small_sheet_is_worked_out_at_once_on_any_machine() {
        let mut derivation = Derivation::new(Arc::new(Engine::load().unwrap()), &Project::default(), 0);
        derivation.took = Duration::from_secs(1);
        assert_eq!(derivation.follow(&Project::default(), 1, &Context::default()), Freshness::Fresh);
    }
}
