//! Rule `single-120-volt-supply`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::ac::support::{Panel, panels_of};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::ac_panel::MultiwireCircuits;
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Watts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;
use std::collections::BTreeMap;

rule! {
    /// A 120 V source on a 120/240 V panel shares no neutral
    ///
    /// ## The harm
    /// One 120 V source feeds both legs of the panel in phase. A neutral that two circuits share then carries the sum of
    /// their currents and not the difference, and burns. A 240 V outlet gets nothing.
    ///
    /// ## The formula
    /// In the neutral of a multiwire circuit `I_1 + I_2` instead of `I_1 − I_2`: at worst twice its breaker. In the neutral bus
    /// the currents of all 120 V sources, `S / 120`.
    ///
    /// ## The limit
    /// No circuits with a shared neutral and no 240 V outlets; `S / 120` within the rating of the neutral bus.
    ///
    /// ## What to do
    /// Separate neutrals; a 120/240 V inverter or a transformer.
    SINGLE_120_VOLT_SUPPLY {
        id: "single-120-volt-supply",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 710.15(C)",
            Nec2020: "NEC 2020 710.15(C)",
            Nec2017: "NEC 2017 710.15(C)",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// A panel with the sources of 120 V that feed it, and their currents.
type Fed<'a> = (Panel<'a>, Vec<(&'a Block, Amps)>);

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut fed: BTreeMap<BlockId, Fed<'_>> = BTreeMap::new();
    for block in on.circuit().blocks() {
        let Some(current) = single_120(block) else { continue };
        for panel in panels_of(on, block.id, |_| false) {
            if panel.1.ac_system == AcSystem::Split120x240 {
                fed.entry(panel.0.id).or_insert_with(|| (panel, Vec::new())).1.push((block, current));
            }
        }
    }
    for (panel, sources) in fed.into_values() {
        shared_neutrals(on, report, panel, &sources);
        outlets(on, report, panel, &sources);
        neutral_bus(on, report, panel, &sources);
    }
}

/// The current of a source of 120 V.
fn single_120(block: &Block) -> Option<Amps> {
    let inverter = block.equipment.as_kind::<Inverter>().map(|it| (it.ac_system, it.output_current()));
    let generator = || block.equipment.as_kind::<Generator>().map(|it| (it.ac_system, it.rated_current()));
    inverter.or_else(generator).filter(|(system, _)| *system == AcSystem::Single120).map(|it| it.1)
}

fn parts(sources: &[(&Block, Amps)]) -> impl Iterator<Item = Part> {
    sources.iter().map(|(block, _)| Part::Block(block.id))
}

fn shared_neutrals(
    on: &Circumstances<'_>,
    report: &mut Report,
    (block, panel): Panel<'_>,
    sources: &[(&Block, Amps)],
) {
    let at = Part::Block(block.id);
    if !report.holds(at, || panel.multiwire == MultiwireCircuits::None).fails() {
        return;
    }
    let title = format!("Circuits of {} share neutrals on a 120 V source", block.tag);
    let finding = SINGLE_120_VOLT_SUPPLY
        .finding(on, Severity::Danger, at, title)
        .aspect("multiwire")
        .also_all(parts(sources));
    let Some(breaker) = panel.largest_branch_breaker else {
        report.find(finding.against(words("shared neutrals"), words("a neutral for each circuit")));
        return;
    };
    let sum = breaker * 2.0;
    let mut working = Working::new();
    working.given("breaker of each leg", "I_n", breaker.into(), || Origin::Setting(block.tag.clone()));
    working.found("in the shared neutral", "I_N", || "I_n + I_n, both in phase".to_owned(), sum.into());
    report.find(finding.against(sum, breaker).working(working));
}

fn outlets(
    on: &Circumstances<'_>,
    report: &mut Report,
    (block, panel): Panel<'_>,
    sources: &[(&Block, Amps)],
) {
    let load = panel.largest_240_load.filter(|load| *load > Watts::ZERO);
    let at = Part::Block(block.id);
    if let Some(load) = load {
        report.holds(at, || false);
        let title = format!("Loads of {} want 240 V, which a 120 V source has not", block.tag);
        let finding = SINGLE_120_VOLT_SUPPLY.finding(on, Severity::Danger, at, title).aspect("outlets");
        let mut working = Working::new();
        working.given("largest load on two lines", "P", load.into(), || Origin::Setting(block.tag.clone()));
        report.find(
            finding
                .also_all(parts(sources))
                .against(words("240 V outlets"), words("120 V outlets only"))
                .working(working),
        );
    }
}

fn neutral_bus(
    on: &Circumstances<'_>,
    report: &mut Report,
    (block, panel): Panel<'_>,
    sources: &[(&Block, Amps)],
) {
    let Some(rating) = panel.neutral_rating else {
        report.cannot_tell(Missing::block(block.id, "Neutral bus rating"));
        return;
    };
    let mut working = Working::new();
    let mut current = Amps::ZERO;
    for (source, amps) in sources {
        working.given("current of the source", "S / 120", (*amps).into(), || {
            Origin::Nameplate(source.tag.clone())
        });
        current += *amps;
    }
    working.given("rating of the neutral bus", "I_N", rating.into(), || Origin::Nameplate(block.tag.clone()));
    let at = Part::Block(block.id);
    if report.at_most(at, current, rating).fails() {
        let title = format!("The neutral bus of {} is too small for its 120 V source", block.tag);
        let finding = SINGLE_120_VOLT_SUPPLY.finding(on, Severity::Danger, at, title).aspect("neutral");
        report.find(finding.also_all(parts(sources)).against(current, rating).working(working));
    }
}
