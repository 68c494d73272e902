//! Rule `overcurrent-protects-conductor`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{ampacity_working, larger_conductor};
use lineside_codes::FactorKey;
use lineside_core::circuit::Run;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::fuse::FuseClass;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::network::PoleInBlock;

rule! {
    /// Devices open before the conductor burns
    ///
    /// ## The harm
    /// The wire is the fuse.
    ///
    /// ## The formula
    /// NEC: `I_n ≤ A`, or the next standard rating above `A` where `A` is none itself and is not above 800 A; never
    /// rounded up for conductors of a battery. IEC: `I_n ≤ I_z` and `I_2 ≤ 1.45 × I_z`, with `I_2` the current at
    /// which the device surely opens: 1.45 times the rating of a breaker or PV fuse, 1.6 times that of a gG fuse.
    ///
    /// ## What to do
    /// A larger conductor; a smaller device if the load allows it.
    OVERCURRENT_PROTECTS_CONDUCTOR {
        id: "overcurrent-protects-conductor",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 240.4, 706.30(B)",
            Nec2020: "NEC 2020 240.4, 706.30(B)",
            Nec2017: "NEC 2017 240.4, 706.20(B)",
            Iec: "IEC 60364-4-43 cl. 433.1",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        // Small conductors have a rule of their own, which speaks first.
        let small = on.codes().nec.small_conductors.greatest_device(conductor.size, conductor.metal);
        let spoken_for =
            |rating: Amps| on.rule_set().is_nec() && small.as_ref().is_some_and(|it| rating > it.value);
        let mut devices: Vec<(&PoleInBlock, Amps)> =
            on.devices_of(run.id).filter_map(|pole| Some((pole, pole.pole.overcurrent?))).collect();
        devices.retain(|(_, rating)| !spoken_for(*rating));
        // The largest first: a run has one finding, which names every device that is too large.
        devices.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut found: Option<Finding> = None;
        for (pole, rating) in devices {
            match (&mut found, judge(on, report, run, pole, rating)) {
                (None, Some(finding)) => found = Some(finding),
                (Some(first), Some(_)) => first.also.push(Part::Block(pole.block)),
                (_, None) => {}
            }
        }
        report.findings.extend(found);
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    pole: &PoleInBlock,
    rating: Amps,
) -> Option<Finding> {
    let rated = on.studies.ratings.of(run.id)?;
    let (Ok(ampacity), Some(largest)) = (&rated.ampacity, &rated.largest_device) else { return None };
    let block = on.block(pole.block)?;
    let at = Part::Run(run.id);
    let finding = |found: Amps, allowed: Amps, add: &dyn Fn(&mut Working)| {
        let mut working = Working::new();
        ampacity_working(on, run, ampacity, &mut working);
        working.given("largest device", "I_most", largest.value.into(), || {
            Origin::Table(largest.source.to_string())
        });
        working.given("rating of the device", "I_n", rating.into(), || Origin::Nameplate(block.tag.clone()));
        add(&mut working);
        let title = format!("{} is too large for the conductors of {}", block.tag, run.tag);
        OVERCURRENT_PROTECTS_CONDUCTOR
            .finding(on, Severity::Danger, at, title)
            .also(Part::Block(block.id))
            .against(found, allowed)
            .working(working)
    };
    if report.at_most(at, rating, largest.value).fails() {
        return Some(finding(rating, largest.value, &|_| {}));
    }
    if on.rule_set().is_nec() {
        return None;
    }
    let factor = operating_factor(on, &block.equipment, rating);
    let (opens, bears) = (rating * factor, ampacity.ampacity * on.number(FactorKey::OverloadReach));
    report.at_most(at, opens, bears).fails().then(|| {
        finding(opens, bears, &|working| {
            working.given("surely opens at", "k_2", Quantity::number(factor), || {
                Origin::Table("IEC 60269-1, IEC 60947-2".to_owned())
            });
            working.found("opens at", "I_2", || "k_2 × I_n".to_owned(), opens.into());
            working.found("the conductor bears for a while", "1.45 × I_z", String::new, bears.into());
        })
    })
}

/// Conventional operating current over rating.
fn operating_factor(on: &Circumstances<'_>, equipment: &Equipment, rating: Amps) -> f64 {
    let Equipment::Fuse(fuse) = equipment else { return on.number(FactorKey::OperatingBreaker) };
    match fuse.class {
        FuseClass::Gpv => on.number(FactorKey::OperatingGpv),
        FuseClass::Gg if rating >= on.limit(FactorKey::OperatingGgFrom) => on.number(FactorKey::OperatingGg),
        FuseClass::Gg if rating > on.limit(FactorKey::OperatingGgSmallAbove) => {
            on.number(FactorKey::OperatingGgSmall)
        }
        FuseClass::Gg => on.number(FactorKey::OperatingGgSmallest),
        FuseClass::ClassT | FuseClass::ClassJ | FuseClass::Strip | FuseClass::Other => {
            on.number(FactorKey::OperatingBreaker)
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
