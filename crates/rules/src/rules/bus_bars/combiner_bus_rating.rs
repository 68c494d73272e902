//! Rule `combiner-bus-rating`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, RunEnd, Side, TerminalName};
use lineside_core::kinds::combiner::Combiner;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Port;

rule! {
    /// The bus of a combiner stands its strings
    ///
    /// ## The harm
    /// Bus and output terminal overheat in bright sun.
    ///
    /// ## The formula
    /// `1.25 × 1.25 × Σ I_sc` of the strings on the bus; IEC `K_I × Σ I_sc`.
    ///
    /// ## The limit
    /// The rating of the bus and of its output terminal.
    ///
    /// ## What to do
    /// Two combiners; a larger one.
    COMBINER_BUS_RATING {
        id: "combiner-bus-rating",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.8, 690.9, 110.3(B)",
            Nec2020: "NEC 2020 690.8, 690.9, 110.3(B)",
            Nec2017: "NEC 2017 690.8, 690.9, 110.3(B)",
            Iec: "IEC 61439-2, IEC 62548-1",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let Some(combiner) = block.equipment.as_kind::<Combiner>() else { continue };
        let terminals = block.equipment.terminals();
        let ways: Vec<TerminalName> =
            terminals.iter().map(|it| it.name).filter(|name| name.stem() == "way").collect();
        let buses = combiner.buses.max(1) as usize;
        let mut currents = vec![Amps::ZERO; buses];
        for (i, way) in ways.iter().enumerate() {
            if let Some(bus) = currents.get_mut(combiner.bus_of_way(i)) {
                *bus += strings_on(on, block, *way);
            }
        }
        let heaviest = currents.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)));
        if let Some((bus, current)) = heaviest.filter(|(_, current)| **current > Amps::ZERO) {
            judge(on, report, block, combiner, bus, *current);
        }
    }
}

/// The current of the strings that come in at a way, with the code's factor for bright sun.
fn strings_on(on: &Circumstances<'_>, block: &Block, way: TerminalName) -> Amps {
    let end = RunEnd { block: block.id, terminal: way };
    let far = on.circuit().runs_on(end).into_iter().filter_map(|run| {
        let side = if run.from == end { Side::To } else { Side::From };
        on.side_of(run, side)
    });
    far.map(|tally| tally.amps(Port::Strings)).sum()
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    combiner: &Combiner,
    bus: usize,
    current: Amps,
) {
    let factor = on.number(FactorKey::Continuous);
    let needed = current * factor;
    let at = Part::Block(block.id);
    if !report.at_most(at, needed, combiner.bus_rating).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("bus", "n", Quantity::count(bus + 1), || Origin::Nameplate(block.tag.clone()));
    working.given("greatest current of its strings", "I_max", current.into(), || {
        Origin::Table(on.on.clause(FactorKey::PvCurrent).to_owned())
    });
    working.given("for hours on end", "k", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::Continuous).to_owned())
    });
    working.found("rating needed", "I", || "k × I_max".to_owned(), needed.into());
    working.given("rating of the bus", "I_bus", combiner.bus_rating.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    let title = format!("The bus of {} is too small for its strings", block.tag);
    let finding = COMBINER_BUS_RATING.finding(on, Severity::Correction, at, title);
    report.find(finding.against(needed, combiner.bus_rating).working(working));
}
