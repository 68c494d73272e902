//! Rule `small-conductor-limit`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::larger_conductor;
use lineside_core::working::{Listener, Origin, Working};

rule! {
    /// Small conductors have small devices
    ///
    /// ## The harm
    /// A thin wire behind a device that is too large for it.
    ///
    /// ## The limit
    /// Copper of 14, 12 and 10 AWG: devices of 15, 20 and 30 A; aluminum of 12 and 10 AWG: 15 and 25 A. PV circuits
    /// have no exception.
    ///
    /// ## What to do
    /// A smaller device; a larger wire.
    SMALL_CONDUCTOR_LIMIT {
        id: "small-conductor-limit",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 240.4(D)",
            Nec2020: "NEC 2020 240.4(D)",
            Nec2017: "NEC 2017 240.4(D)",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        let Some(limit) = on.codes().nec.small_conductors.greatest_device(conductor.size, conductor.metal)
        else {
            continue;
        };
        for pole in on.devices_of(run.id) {
            let Some(rating) = pole.pole.overcurrent else { continue };
            let at = Part::Run(run.id);
            if !report.at_most(at, rating, limit.value).fails() {
                continue;
            }
            let Some(block) = on.block(pole.block) else { continue };
            let mut working = Working::new();
            working
                .given("rating of the device", "I_n", rating.into(), || Origin::Nameplate(block.tag.clone()));
            working.given("greatest device for this size", "I_small", limit.value.into(), || {
                Origin::Table(format!("{} for {} {}", limit.source, conductor.size, conductor.metal.label()))
            });
            let title = format!("{} is too large for the thin conductors of {}", block.tag, run.tag);
            let finding =
                SMALL_CONDUCTOR_LIMIT.finding(on, Severity::Danger, at, title).also(Part::Block(block.id));
            report.find(finding.against(rating, limit.value).working(working));
            break;
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
