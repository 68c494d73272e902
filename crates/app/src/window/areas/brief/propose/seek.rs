//! The search for whole systems on a thread aside: candidates come as they are found, and the thread stays to answer
//! questions about combinations until the brief changes.

use crate::engine::Engine;
use egui::Context;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::text;
use lineside_core::units::text::UnitSystem;
use lineside_propose::{
    Candidate, Combination, Factors, News, PartLine, Proposals, SearchBounds, Shelf, Terms, Watch, propose,
    whole,
};
use std::num::NonZeroUsize;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

/// A candidate with its list of parts.
#[derive(Clone, Debug)]
pub(super) struct Shown {
    pub candidate: Candidate,
    pub parts: Vec<PartLine>,
}

/// What is asked of the thread once the search is over.
#[derive(Clone, Copy, Debug)]
pub(super) enum Ask {
    /// Why a combination is not among the candidates.
    WhyNot(Combination),
    /// Its whole circuit.
    Open(Combination),
}

/// What the thread tells.
#[derive(Debug)]
pub(super) enum Told {
    /// Nothing can be searched, and why.
    NoSearch(Vec<String>),
    /// What may be taken.
    Shelf(Box<Shelf>),
    /// How far it has come, in words, and as a share when that is known.
    Stage(String, Option<f32>),
    /// A candidate, while the search still runs.
    Early(Box<Shown>),
    /// The end of the search: the candidates that nothing beats.
    Done(Box<Proposals>, Vec<Shown>),
    /// Somebody stopped it.
    Stopped,
    /// The limits that a combination breaks, a sentence each.
    Broken(Combination, Vec<String>),
    /// A whole circuit, or why there is none.
    Opened(Box<Result<Project, String>>),
}

/// The thread.
pub(super) struct Seeker {
    stop: Arc<AtomicBool>,
    ask: Sender<Ask>,
    told: Receiver<Told>,
}

impl Drop for Seeker {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

impl Seeker {
    /// Begins, for a copy of the project as it stands.
    pub fn begin(project: &Project, engine: &Arc<Engine>, ctx: &Context) -> Self {
        let stop = Arc::new(AtomicBool::new(false));
        let (ask, asked) = channel();
        let (send, told) = channel();
        let (project, engine, ctx) = (project.clone(), Arc::clone(engine), ctx.clone());
        let of_thread = Arc::clone(&stop);
        std::thread::spawn(move || {
            let post = Post { send, ctx };
            seek(&project, &engine, &of_thread, &asked, &post);
        });
        Self { stop, ask, told }
    }

    /// What was told since the last frame.
    pub fn news(&self) -> Vec<Told> {
        self.told.try_iter().collect()
    }

    /// Asks something; it is answered when the search is over.
    pub fn ask(&self, ask: Ask) {
        let _ = self.ask.send(ask);
    }

    /// Ends the search early.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// Tells the window. Senders of standard channels may be shared.
struct Post {
    send: Sender<Told>,
    ctx: Context,
}

impl Post {
    fn tell(&self, told: Told) {
        if self.send.send(told).is_ok() {
            self.ctx.request_repaint();
        }
    }
}

/// Frames between which progress is shown.
const PACE: Duration = Duration::from_millis(60);

struct Teller<'a, 't> {
    terms: &'a Terms<'t>,
    stop: &'a AtomicBool,
    post: &'a Post,
}

impl Teller<'_, '_> {
    fn stage(&self, words: String, share: f32) {
        if self.post.send.send(Told::Stage(words, Some(share))).is_ok() {
            self.post.ctx.request_repaint_after(PACE);
        }
    }
}

impl Watch for Teller<'_, '_> {
    fn told(&self, news: News<'_>) {
        match news {
            News::Searched { done, of } => {
                let words = format!("Searching: {} of {} inverters", text::count(done), text::count(of));
                self.stage(words, done as f32 / of.max(1) as f32);
            }
            News::Early(candidate) => self.early(candidate),
            News::Year { candidate, done, of } => {
                let words = format!("Going through the years: {} of {}", text::count(done), text::count(of));
                self.stage(words, done as f32 / of.max(1) as f32);
                self.early(candidate);
            }
            News::Drawn(_) => {
                let _ = self.post.send.send(Told::Stage("Drawing the candidates".to_owned(), None));
                self.post.ctx.request_repaint_after(PACE);
            }
        }
    }

    fn is_cancelled(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}

impl Teller<'_, '_> {
    fn early(&self, candidate: &Candidate) {
        let shown = shown(self.terms, candidate);
        if self.post.send.send(Told::Early(Box::new(shown))).is_ok() {
            self.post.ctx.request_repaint_after(PACE);
        }
    }
}

fn shown(terms: &Terms<'_>, candidate: &Candidate) -> Shown {
    Shown { candidate: candidate.clone(), parts: terms.parts_of(&candidate.combination) }
}

/// Seed of the weather by which candidates are compared.
const SEED: u64 = 1;

fn seek(project: &Project, engine: &Engine, stop: &AtomicBool, asked: &Receiver<Ask>, post: &Post) {
    let factors = match Factors::load() {
        Ok(factors) => factors,
        Err(error) => return post.tell(Told::NoSearch(vec![error.to_string()])),
    };
    let mut items: Vec<StockItem> = project.stock.clone();
    items.extend(engine.stock.iter().cloned());
    let terms = match Terms::new(project, &engine.codes, &engine.energy, &factors, &items, SEED) {
        Ok(terms) => terms,
        Err(none) => return post.tell(Told::NoSearch(none.reasons)),
    };
    post.tell(Told::Shelf(Box::new(terms.shelf.clone())));
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let teller = Teller { terms: &terms, stop, post };
    let Some(found) = propose(&terms, &SearchBounds::default(), threads, &teller) else {
        return post.tell(Told::Stopped);
    };
    let candidates = found.candidates.iter().map(|candidate| shown(&terms, candidate)).collect();
    post.tell(Told::Done(Box::new(found), candidates));
    // Questions come as long as the window keeps the other end.
    for ask in asked {
        match ask {
            Ask::WhyNot(combination) => {
                let broken = terms.why_not(&combination);
                let words = broken.iter().map(|it| {
                    let figure = |quantity| text::figure(quantity, project.units);
                    format!("{}: {} against {}", it.limit.text(), figure(it.found), figure(it.allowed))
                });
                post.tell(Told::Broken(combination, words.collect()));
            }
            Ask::Open(combination) => {
                let circuit = whole::circuit(&terms, &combination, &items).map_err(|why| why.to_string());
                post.tell(Told::Opened(Box::new(circuit)));
            }
        }
    }
}

/// A part as a line: `12 × Module, 400 W: 3 in series, 4 in parallel`.
pub(super) fn line(part: &PartLine) -> String {
    let how = if part.how.is_empty() { String::new() } else { format!(": {}", part.how) };
    format!("{} × {}{how}", text::count(part.count as usize), part.name)
}

/// Bank and array in few words.
pub(super) fn called(candidate: &Candidate, units: UnitSystem) -> String {
    format!(
        "{}, {} bank, {} array",
        capital(candidate.chemistry.label()),
        text::plain(rounded(candidate.bank.into()), units),
        text::plain(candidate.array.into(), units)
    )
}

/// With a capital letter at its head.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// To three digits, for a name.
fn rounded(quantity: lineside_core::units::Quantity) -> lineside_core::units::Quantity {
    let value = (quantity.value / 100.0).round() * 100.0;
    lineside_core::units::Quantity { value, ..quantity }
}
