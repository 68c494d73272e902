//! The work of the year on a thread aside: first the typical year, then the chemistries, then the random years, each
//! shown as soon as it is there. A newer request stops an older one.

use crate::energy_year::{Alternative, NoYear, SheetYear, YearGround};
use crate::engine::Engine;
use egui::Context;
use lineside_core::project::Project;
use lineside_energy::{Continue, ManyYears, ModelDoubt, Progress, Run};
use std::num::NonZeroUsize;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// The state of the project, by its history's count of changes.
    pub changes: u64,
    /// Seed of the weather.
    pub seed: u64,
    /// Random years to go through.
    pub years: u32,
    /// Whether these also differ by doubt about the model.
    pub doubt: ModelDoubt,
}

/// What comes of it, in the order in which it comes.
#[derive(Debug)]
pub enum Stage {
    /// The typical year, or why there is none.
    Typical(Box<Result<SheetYear, NoYear>>),
    /// The chemistries.
    Alternatives(Vec<Alternative>),
    /// The random years.
    Many(ManyYears),
}

/// How far it has come, for the thread and the window.
#[derive(Debug, Default)]
struct Shared {
    done: AtomicU32,
    stop: AtomicBool,
}

/// Work that is under way.
#[derive(Debug)]
pub struct Work {
    /// What was asked for.
    pub wanted: Wanted,
    shared: Arc<Shared>,
    stages: Receiver<Stage>,
    begun: Instant,
}

/// What has come since the last frame.
#[derive(Debug, Default)]
pub struct News {
    /// Stages.
    pub stages: Vec<Stage>,
    /// Whether the work is over.
    pub over: bool,
}

/// Below this, nobody needs to see how far work has come.
const QUICK: Duration = Duration::from_millis(200);
/// Frames between which progress is shown.
const PACE: Duration = Duration::from_millis(50);

/// Tells the window now and then how far the years have come.
struct Teller<'a> {
    shared: &'a Shared,
    ctx: &'a Context,
}

impl Progress for Teller<'_> {
    fn done(&self, years: u32) -> Continue {
        self.shared.done.fetch_max(years, Ordering::Relaxed);
        self.ctx.request_repaint_after(PACE);
        if self.shared.stop.load(Ordering::Relaxed) { Continue::No } else { Continue::Yes }
    }
}

impl Work {
    /// Begins, for a copy of the project as it stands.
    pub fn begin(wanted: Wanted, project: &Project, engine: &Arc<Engine>, ctx: &Context) -> Self {
        let shared = Arc::new(Shared::default());
        let (send, stages) = channel();
        let (project, engine, ctx) = (project.clone(), Arc::clone(engine), ctx.clone());
        let of_thread = Arc::clone(&shared);
        std::thread::spawn(move || {
            work(&wanted, &project, &engine, &of_thread, &Post { send, ctx: &ctx });
            ctx.request_repaint();
        });
        Self { wanted, shared, stages, begun: Instant::now() }
    }

    /// Takes what has come.
    pub fn news(&self) -> News {
        let mut news = News::default();
        loop {
            match self.stages.try_recv() {
                Ok(stage) => news.stages.push(stage),
                Err(TryRecvError::Empty) => return news,
                Err(TryRecvError::Disconnected) => {
                    news.over = true;
                    return news;
                }
            }
        }
    }

    /// Years that are done and the time that the rest will take, when the work is long enough to be shown.
    pub fn progress(&self) -> Option<(u32, Option<Duration>)> {
        let elapsed = self.begun.elapsed();
        if elapsed < QUICK {
            return None;
        }
        let done = self.shared.done.load(Ordering::Relaxed);
        let left = self.wanted.years.saturating_sub(done);
        let rest = (done > 0).then(|| elapsed.mul_f64(f64::from(left) / f64::from(done)));
        Some((done, rest))
    }

    /// Stops it; what has come stays.
    pub fn stop(&self) {
        self.shared.stop.store(true, Ordering::Relaxed);
    }
}

impl Drop for Work {
    fn drop(&mut self) {
        self.stop();
    }
}

struct Post<'a> {
    send: Sender<Stage>,
    ctx: &'a Context,
}

impl Post<'_> {
    fn post(&self, stage: Stage) {
        if self.send.send(stage).is_ok() {
            self.ctx.request_repaint();
        }
    }
}

fn work(wanted: &Wanted, project: &Project, engine: &Engine, shared: &Shared, post: &Post<'_>) {
    let stopped = || shared.stop.load(Ordering::Relaxed);
    let found = YearGround::new(project, engine, wanted.seed);
    let ground = match found {
        Ok(ground) => ground,
        Err(none) => return post.post(Stage::Typical(Box::new(Err(none)))),
    };
    let Some(year) = ground.typical(project) else { return };
    post.post(Stage::Typical(Box::new(Ok(year))));
    if stopped() {
        return;
    }
    post.post(Stage::Alternatives(ground.alternatives(project, engine)));
    if wanted.years == 0 || stopped() {
        return;
    }
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let run = Run { years: wanted.years, seed: wanted.seed, doubt: wanted.doubt, threads };
    if let Some(many) = ground.many(&run, &Teller { shared, ctx: post.ctx }) {
        post.post(Stage::Many(many));
    }
}
