//! Rule `ac-voltage-frequency`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::utility::Utility;
use lineside_core::units::{Hertz, Percent};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::ZoneKind;

rule! {
    /// Everything on one AC circuit has the same volts and hertz
    ///
    /// ## The harm
    /// Loads burn or do not run; an inverter refuses its source for good.
    ///
    /// ## The limit
    /// Sources and panels on one circuit share their AC system. A 120 V source may feed a 120/240 V panel, which has
    /// a rule of its own. A source's frequency lies within 5 % of the inverter's unless its window is set otherwise.
    ///
    /// ## What to do
    /// A transformer; another source; another window.
    AC_VOLTAGE_FREQUENCY {
        id: "ac-voltage-frequency",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.4",
            Nec2020: "NEC 2020 110.4",
            Nec2017: "NEC 2017 110.4",
            Iec: "IEC 60364-5-51 cl. 512.1",
        ],
        check: check,
        remedies: no_remedies,
    }
}

struct Party<'a> {
    block: &'a Block,
    system: AcSystem,
    frequency: Option<Hertz>,
    /// An inverter judges the others.
    judges: bool,
    /// How far a source may stray from its frequency, where its inverter is set otherwise than usual.
    band: Option<Percent>,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Ac) {
        let parties: Vec<Party<'_>> =
            zone.blocks(&on.studies.network).into_iter().filter_map(|id| party(on, id)).collect();
        let Some(first) = parties.iter().find(|party| party.judges).or_else(|| parties.first()) else {
            continue;
        };
        for other in parties.iter().filter(|other| other.block.id != first.block.id) {
            systems(on, report, first, other);
            frequencies(on, report, first, other);
        }
    }
}

fn party<'a>(on: &Circumstances<'a>, id: BlockId) -> Option<Party<'a>> {
    let block = on.block(id)?;
    let equipment = &block.equipment;
    let inverter = equipment.as_kind::<Inverter>();
    let frequency = inverter
        .map(|it| it.frequency)
        .or_else(|| Some(equipment.as_kind::<Generator>()?.frequency))
        .or_else(|| Some(equipment.as_kind::<Utility>()?.frequency))
        .or_else(|| equipment.as_kind::<AcPanel>()?.frequency);
    let band = inverter.and_then(|it| it.input_frequency_band);
    Some(Party { block, system: equipment.ac_system()?, frequency, judges: inverter.is_some(), band })
}

fn systems(on: &Circumstances<'_>, report: &mut Report, first: &Party<'_>, other: &Party<'_>) {
    let at = Part::Block(other.block.id);
    if report.holds(at, || fits(first, other)).fails() {
        let title = format!("{} and {} have different voltages", first.block.tag, other.block.tag);
        let finding =
            AC_VOLTAGE_FREQUENCY.finding(on, Severity::Danger, at, title).also(Part::Block(first.block.id));
        let mut working = Working::new();
        working.given("line voltage", "V", first.system.line_voltage().into(), || {
            Origin::Nameplate(first.block.tag.clone())
        });
        working.given("line voltage", "V", other.system.line_voltage().into(), || {
            Origin::Nameplate(other.block.tag.clone())
        });
        report
            .find(finding.against(words(other.system.label()), words(first.system.label())).working(working));
    }
}

/// Whether two AC systems may be joined: the same, a 240 V two-wire source with a split-phase inverter, or a 120 V
/// supply with a split-phase panel.
fn fits(first: &Party<'_>, other: &Party<'_>) -> bool {
    let panel = |party: &Party<'_>| matches!(party.block.equipment, Equipment::AcPanel(_));
    let pair = |a: AcSystem, b: AcSystem| {
        (first.system, other.system) == (a, b) || (first.system, other.system) == (b, a)
    };
    first.system == other.system
        || pair(AcSystem::Split120x240, AcSystem::Single240)
        || pair(AcSystem::Single120, AcSystem::Split120x240) && (panel(first) || panel(other))
}

fn frequencies(on: &Circumstances<'_>, report: &mut Report, first: &Party<'_>, other: &Party<'_>) {
    let (Some(wanted), Some(found)) = (first.frequency, other.frequency) else { return };
    let window: Percent = first.band.unwrap_or_else(|| on.limit(FactorKey::AcFrequencyWindow));
    let at = Part::Block(other.block.id);
    let (low, high) = (wanted * (1.0 - window.share()), wanted * (1.0 + window.share()));
    let broken = if report.at_most(at, found, high).fails() {
        Some(high)
    } else if report.at_least(at, found, low).fails() {
        Some(low)
    } else {
        None
    };
    if let Some(limit) = broken {
        let mut working = Working::new();
        working.given("frequency of the inverter", "f", wanted.into(), || {
            Origin::Nameplate(first.block.tag.clone())
        });
        working.given("window", "w", window.into(), || match first.band {
            Some(_) => Origin::Setting(first.block.tag.clone()),
            None => Origin::Table(on.on.clause(FactorKey::AcFrequencyWindow).to_owned()),
        });
        working.found("limit", "f_limit", || "f × (1 ± w)".to_owned(), limit.into());
        working.given("frequency found", "f", found.into(), || Origin::Nameplate(other.block.tag.clone()));
        let title = format!("{} runs outside the frequency window of {}", other.block.tag, first.block.tag);
        let finding = AC_VOLTAGE_FREQUENCY.finding(on, Severity::Danger, at, title).aspect("frequency");
        report.find(finding.also(Part::Block(first.block.id)).against(found, limit).working(working));
    }
}
