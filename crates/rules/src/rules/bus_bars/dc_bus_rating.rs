//! Rule `dc-bus-rating`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::kinds::Equipment;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BusFlow, Direction};

rule! {
    /// The DC bus stands what its devices let through
    ///
    /// ## The harm
    /// A bus that every breaker on it would let burn.
    ///
    /// ## The formula
    /// Each feeder counts with the rating of its device, a source that limits itself with 1.25 times its limit, loads
    /// without a device with their current; each goes in, out, or both ways. `I_bus` is the greatest, over all
    /// directions of the two-way feeders, of `min(Σ in, Σ out)`. The simple bound `Σ in` is printed beside it.
    ///
    /// ## What to do
    /// A larger bus; sources at the ends opposite the loads; smaller devices.
    DC_BUS_RATING {
        id: "dc-bus-rating",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B)",
            Nec2020: "NEC 2020 110.3(B)",
            Nec2017: "NEC 2017 110.3(B)",
            Iec: "IEC 61439-1",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (id, flow) in on.studies.bus_flows.all() {
        let Some(block) = on.block(id) else { continue };
        let Equipment::BusBar(bus) = &block.equipment else { continue };
        let at = Part::Block(id);
        if let Some(run) = flow.unlimited.first() {
            let title = format!("Nothing limits what flows into {}", block.tag);
            let finding = DC_BUS_RATING.finding(on, Severity::Correction, at, title).aspect("unlimited");
            report.find(
                finding
                    .also(Part::Run(*run))
                    .against(words("no limit"), bus.rating)
                    .working(working(on, flow)),
            );
            continue;
        }
        if report.at_most(at, flow.worst, bus.rating).fails() {
            let mut working = working(on, flow);
            working.given("rating of the bus", "I_rated", bus.rating.into(), || {
                Origin::Nameplate(block.tag.clone())
            });
            let title = format!("{} can be made to carry more than it is rated for", block.tag);
            let finding = DC_BUS_RATING.finding(on, Severity::Correction, at, title);
            report.find(finding.against(flow.worst, bus.rating).working(working));
        }
    }
}

fn working(on: &Circumstances<'_>, flow: &BusFlow) -> Working {
    let mut working = Working::new();
    for feeder in &flow.feeders {
        let meaning = match feeder.direction {
            Direction::In => "feeds in",
            Direction::Out => "takes out",
            Direction::Both => "feeds in or takes out",
        };
        let tag = feeder.device.and_then(|block| on.block(block)).map_or_else(
            || on.run(feeder.run).map_or("", |run| run.tag.as_str()),
            |block| block.tag.as_str(),
        );
        working.given(meaning, "I", feeder.amps.into(), || Origin::Nameplate(tag.to_owned()));
    }
    working.found("simple bound", "Σ in", || "everything that can feed in".to_owned(), flow.simple.into());
    working.found(
        "worst flow",
        "I_bus",
        || "greatest of min(Σ in, Σ out) over all directions".to_owned(),
        flow.worst.into(),
    );
    working
}
