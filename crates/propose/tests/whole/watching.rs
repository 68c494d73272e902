//! Watching a search: what is told, cancelling, and that neither ear nor threads change what comes of it.

use crate::briefs::Case;
use crate::ground::Ground;
use lineside_core::units::Percent;
use lineside_propose::{News, Proposals, RANDOM_YEARS, SearchBounds, Watch, propose};
use std::num::NonZeroUsize;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// Writes down what it is told, and cancels when it is told to.
#[derive(Default)]
struct Ear {
    heard: Mutex<Vec<String>>,
    early: Mutex<Vec<Percent>>,
    until: Option<&'static str>,
    cancelled: AtomicBool,
}

impl Watch for Ear {
    fn told(&self, news: News<'_>) {
        let word = match news {
            News::Searched { .. } => "searched",
            News::Early(candidate) => {
                self.early.lock().unwrap().push(candidate.unmet());
                "early"
            }
            News::Year { .. } => "year",
            News::Drawn(_) => "drawn",
        };
        self.heard.lock().unwrap().push(word.to_owned());
        if self.until == Some(word) {
            self.cancelled.store(true, Ordering::Relaxed);
        }
    }
    fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}

fn run(threads: usize, watch: &dyn Watch) -> Option<Proposals> {
    let ground = Ground::new();
    let project = Case::ColdCabin.project();
    let terms = ground.terms(&project);
    propose(&terms, &SearchBounds::default(), NonZeroUsize::new(threads).unwrap(), watch)
}

#[test]
fn neither_an_ear_nor_threads_change_what_comes_of_it() {
    let deaf = run(1, &AtomicBool::new(false)).unwrap();
    let ear = Ear::default();
    assert_eq!(run(3, &ear).unwrap(), deaf);
    let heard = ear.heard.lock().unwrap().clone();
    let count = |word: &str| heard.iter().filter(|it| *it == word).count();
    assert_eq!((count("early"), count("year")), (1, deaf.years));
    assert!(count("searched") > 5 && count("drawn") >= deaf.candidates.len());
    // The first comes while the search still runs, and keeps the 1 % of the brief.
    let place = |word: &str| heard.iter().position(|it| it == word).unwrap();
    assert!(place("early") < place("year") && ear.early.lock().unwrap()[0] <= Percent::new(1.0));
    for it in &deaf.candidates {
        let doubt = it.doubt.unwrap();
        assert_eq!(doubt.years, RANDOM_YEARS);
        assert!(doubt.unmet.least <= doubt.unmet.p50 && doubt.unmet.p50 <= doubt.unmet.p90);
        assert!(doubt.generator.p90 <= doubt.generator.most);
    }
}

#[test]
fn it_ends_wherever_it_is_cancelled() {
    for until in ["searched", "early", "year", "drawn"] {
        let ear = Ear { until: Some(until), ..Ear::default() };
        assert_eq!(run(2, &ear), None, "{until}");
    }
}
