//! Rule `overcurrent-standard-size`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::tables::DeviceType;
use lineside_core::circuit::Block;
use lineside_core::kinds::inside::PoleDevice;
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use std::collections::BTreeSet;

rule! {
    /// Ratings of overcurrent devices are standard ones
    ///
    /// ## The harm
    /// A rating that nobody stocks, or that was never tested.
    ///
    /// ## The limit
    /// NEC: the standard ratings of 240.6(A); breakers of 10 A from 2023 on. IEC: the preferred ratings of breakers
    /// and fuses. Others are legal if listed.
    ///
    /// ## What to do
    /// Ask for the data sheet; or the next standard rating, if the conductor allows it.
    OVERCURRENT_STANDARD_SIZE {
        id: "overcurrent-standard-size",
        severity: Advice,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 240.6(A)",
            Nec2020: "NEC 2020 240.6(A)",
            Nec2017: "NEC 2017 240.6(A)",
            Iec: "IEC 60898-1, IEC 60947-2, IEC 60269-1",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// Each rating of each block once, however many poles have it.
fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut seen = BTreeSet::new();
    for pole in on.studies.network.poles() {
        let device = match pole.pole.device {
            PoleDevice::Breaker => DeviceType::Breaker,
            PoleDevice::Fuse => DeviceType::Fuse,
            PoleDevice::Switch
            | PoleDevice::Connector
            | PoleDevice::Relay
            | PoleDevice::ManagementContactor => continue,
        };
        if let (Some(rating), Some(block)) = (pole.pole.overcurrent, on.block(pole.block))
            && seen.insert((block.id, rating.value().to_bits()))
        {
            judge(on, report, block, rating, device);
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, block: &Block, rating: Amps, device: DeviceType) {
    let at = Part::Block(block.id);
    let ratings = &on.codes().common.ratings;
    let (outcome, nearest) = match ratings.next_at_least(rating, device, on.rule_set()) {
        Some(next) => (report.at_least(at, rating, next.value), next),
        None => match ratings.next_at_most(rating, device, on.rule_set()) {
            Some(largest) => (report.at_most(at, rating, largest.value), largest),
            None => return,
        },
    };
    if !outcome.fails() {
        return;
    }
    let mut working = Working::new();
    working.given("rating of the device", "I_n", rating.into(), || Origin::Nameplate(block.tag.clone()));
    working.given("nearest standard rating", "I_std", nearest.value.into(), || {
        Origin::Table(nearest.source.to_string())
    });
    let title = format!("The rating of {} is no standard one: ask for its data sheet", block.tag);
    let finding = OVERCURRENT_STANDARD_SIZE.finding(on, Severity::Advice, at, title);
    report.find(finding.against(rating, nearest.value).working(working));
}
