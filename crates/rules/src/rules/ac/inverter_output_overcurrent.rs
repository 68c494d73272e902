//! Rule `inverter-output-overcurrent`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::ac::support::{inverters, output, ways_from};
use lineside_codes::FactorKey;
use lineside_codes::tables::DeviceType;
use lineside_core::circuit::Block;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::ContinuousDuty;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;
use lineside_study::network::PoleInBlock;

rule! {
    /// The device at an inverter's output suits it
    ///
    /// ## The harm
    /// Too small, it opens for nothing; too large, the inverter's output is not protected.
    ///
    /// ## The formula
    /// `1.25 × S / V ≤ I_n ≤` the greatest output device that the maker allows; in a listed assembly rated for 100 % and under
    /// the IEC `S / V`. A stand-alone supply is sized by what its sources can give, not by the load.
    ///
    /// ## What to do
    /// A device between the two; then look at the conductor again.
    INVERTER_OUTPUT_OVERCURRENT {
        id: "inverter-output-overcurrent",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9, 705.28, 705.30, 710.15(B)",
            Nec2020: "NEC 2020 690.9, 705.28, 705.30, 710.15(B)",
            Nec2017: "NEC 2017 690.9, 705.60, 705.65, 710.15(B)",
            Iec: "IEC 60364-4-43, IEC 60364-5-55 cl. 551.5",
        ],
        check: check,
        remedies: remedies,
    }
}

const LARGE: &str = "large";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (block, inverter) in inverters(on) {
        let Some(from) = output(on, block.id) else { continue };
        let found = ways_from(on, from, |pole| pole.pole.overcurrent.is_some());
        // Only a device in series with the whole output is the inverter's own.
        let ([stop], []) = (found.stops.as_slice(), found.open.as_slice()) else { continue };
        let Some(pole) = on.studies.network.poles().get(stop.pole) else { continue };
        let Some(device) = on.block(pole.block) else { continue };
        judge(on, report, block, inverter, device, pole);
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    inverter: &Inverter,
    device: &Block,
    pole: &PoleInBlock,
) {
    let Some(rating) = pole.pole.overcurrent else { return };
    let factor = match pole.pole.duty {
        ContinuousDuty::HundredPercent => 1.0,
        ContinuousDuty::EightyPercent => on.number(FactorKey::Continuous),
    };
    let current = inverter.output_current();
    let least = current * factor;
    let at = Part::Block(device.id);
    let mut working = Working::new();
    working.given("output current", "S / V", current.into(), || Origin::Nameplate(block.tag.clone()));
    working.given("for hours on end", "k", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::Continuous).to_owned())
    });
    working.found("least rating", "I_min", || "k × S / V".to_owned(), least.into());
    working.given("rating of the device", "I_n", rating.into(), || Origin::Nameplate(device.tag.clone()));
    if report.at_least(at, rating, least).fails() {
        let title = format!("{} is too small for the output of {}", device.tag, block.tag);
        let finding = INVERTER_OUTPUT_OVERCURRENT.finding(on, Severity::Correction, at, title);
        report.find(finding.also(Part::Block(block.id)).against(rating, least).working(working));
        return;
    }
    let Some(most) = inverter.greatest_output_device else {
        report.cannot_tell(Missing::block(block.id, "Greatest output device"));
        return;
    };
    if report.at_most(at, rating, most).fails() {
        working.given("greatest device that the maker allows", "I_most", most.into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        let title = format!("{} is larger than the maker of {} allows", device.tag, block.tag);
        let finding = INVERTER_OUTPUT_OVERCURRENT.finding(on, Severity::Correction, at, title).aspect(LARGE);
        report.find(finding.also(Part::Block(block.id)).against(rating, most).working(working));
    }
}

/// The next standard breaker on the right side of the limit.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Amount::Quantity(limit) = finding.allowed else { return Vec::new() };
    let limit = Amps::new(limit.value);
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(breaker) = block.equipment.as_kind::<Breaker>() else { return Vec::new() };
    let ratings = &on.codes().common.ratings;
    let size = if finding.aspect == LARGE {
        ratings.next_at_most(limit, DeviceType::Breaker, on.rule_set())
    } else {
        ratings.next_at_least(limit, DeviceType::Breaker, on.rule_set())
    };
    let Some(size) = size else { return Vec::new() };
    let changed = Breaker { rating: size.value, ..breaker.clone() };
    vec![with_equipment(block, changed, format!("{} of {}", block.tag, size.value))]
}
