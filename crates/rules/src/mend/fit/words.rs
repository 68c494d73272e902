//! Why an item fits, or why not, in words.

use super::{Fit, Fitness, Told};
use crate::finding::Severity;
use crate::rules::FOLLOWS_CHANGES;
use lineside_core::units::{Percent, UnitSystem, text};

/// The reason: what comes or stays, else what goes and how near the nearest limit is.
pub(super) fn why(fit: &Fit, units: UnitSystem) -> String {
    let mut said: Vec<String> = Vec::new();
    let against = |list: &[Told]| {
        let wrong = list.iter().filter(|it| it.severity < Severity::Advice);
        let wrong: Vec<&Told> = wrong.filter(|it| !it.id.starts_with(FOLLOWS_CHANGES)).collect();
        wrong.first().map(|first| {
            let figures = first.found.zip(first.allowed).map_or_else(String::new, |(found, allowed)| {
                format!(" ({} against {})", text::figure(found, units), text::figure(allowed, units))
            });
            match wrong.len() {
                1 => format!("{}{figures}", first.title),
                many => format!("{}{figures}, and {} more", first.title, text::count(many - 1)),
            }
        })
    };
    said.extend(against(&fit.comes));
    said.extend(against(&fit.stays).map(|title| format!("Stays: {title}")));
    if fit.fitness == Fitness::Fits {
        match fit.goes.len() {
            0 => {}
            1 => said.push("Clears 1 finding".to_owned()),
            many => said.push(format!("Clears {} findings", text::count(many))),
        }
    }
    if fit.blinds > 0 {
        said.push(format!("{} comparisons cannot be made: its nameplate says less", text::count(fit.blinds)));
    }
    if let (Some(margin), Fitness::Fits) = (&fit.margin, fit.fitness) {
        let figure = |quantity| text::figure(quantity, units);
        let spare = text::figure(Percent::new(margin.share * 100.0).into(), units);
        said.push(format!(
            "Nearest to a limit: {} against {}, {spare} to spare ({})",
            figure(margin.found),
            figure(margin.allowed),
            margin.rule
        ));
    }
    if said.is_empty() {
        said.push("Nothing comes and nothing goes".to_owned());
    }
    format!("{}.", said.join(". "))
}
