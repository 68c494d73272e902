//! Rule `ac-pass-through`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity, words};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::ac::support::{bank_of, inverters, node, panels_of_inverters, reached, ways_from};
use lineside_codes::FactorKey;
use lineside_codes::tables::DeviceType;
use lineside_core::circuit::{Block, RunEnd, Side, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Percent};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;
use lineside_study::ways::Ways;

rule! {
    /// The transfer relay of an inverter is not overloaded
    ///
    /// ## The harm
    /// The relay inside the inverter carries loads and charger together from the source, and welds.
    ///
    /// ## The limit
    /// The overcurrent device ahead of each AC input is not above the rating of the relay, each leg, nor above the greatest
    /// device that the maker allows. A source that limits itself below the relay needs none. A current limit that is set
    /// does not replace the device, and is not set above the relay. Devices side by side on one input add up, unless a
    /// common one ahead of them holds less. Where no limit is set, the connected load behind the inverter and its charger
    /// together, `I_load + I_chg × V_charge / (η × V)`, are within the relay too.
    ///
    /// ## What to do
    /// A smaller breaker; a limit on the AC input; an external transfer switch.
    AC_PASS_THROUGH {
        id: "ac-pass-through",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B)",
            Nec2020: "NEC 2020 110.3(B)",
            Nec2017: "NEC 2017 110.3(B)",
            Iec: "IEC 62109, IEC 60364-4-43",
        ],
        check: check,
        remedies: remedies,
    }
}

const LIMIT: &str = "limit";
const TOGETHER: &str = "together";
const UNLIMITED: &str = "unlimited";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (block, inverter) in inverters(on).filter(|(_, it)| it.ac_inputs > 0) {
        let Some(relay) = inverter.transfer_relay else {
            report.cannot_tell(Missing::block(block.id, "Transfer relay"));
            continue;
        };
        let allowed = inverter.greatest_input_device.map_or(relay, |most| most.min(relay));
        let inputs = block.equipment.terminals().into_iter().filter(|it| it.name.stem() == "in");
        let mut worst: Option<Ahead<'_>> = None;
        for terminal in inputs {
            if let Some(ahead) = ahead(on, report, block, terminal.name, allowed) {
                let worse = worst.as_ref().is_none_or(|it| ahead.amps > it.amps);
                worst = if worse { Some(ahead) } else { worst };
            }
        }
        if let Some(ahead) = worst {
            find(on, report, block, &ahead, relay, allowed);
        }
        setting(on, report, block, inverter, relay);
        together(on, report, block, inverter, relay);
    }
}

/// What lets too much into an input: a device, a source, or several devices side by side. The current is `None` where
/// nothing limits it.
struct Ahead<'a> {
    blocks: Vec<&'a Block>,
    amps: Option<Amps>,
}

impl<'a> Ahead<'a> {
    fn of(block: &'a Block, amps: Option<Amps>) -> Self {
        Self { blocks: vec![block], amps }
    }
}

fn ahead<'a>(
    on: &Circumstances<'a>,
    report: &mut Report,
    block: &Block,
    input: TerminalName,
    allowed: Amps,
) -> Option<Ahead<'a>> {
    let at = Part::Block(block.id);
    let found = ways_from(on, node(on, block.id, input)?, |pole| pole.pole.overcurrent.is_some());
    for source in reached(on, &found) {
        let limited = source.equipment.as_kind::<Generator>().map(Generator::rated_current);
        match (source.kind(), limited) {
            (Kind::Generator, Some(current)) if current <= allowed => {
                report.at_most(at, current, allowed);
            }
            (Kind::Generator, Some(current)) => {
                report.at_most(at, current, allowed);
                return Some(Ahead::of(source, Some(current)));
            }
            (Kind::Utility, _) => {
                report.holds(at, || false);
                return Some(Ahead::of(source, None));
            }
            _ => {}
        }
    }
    let mut worst: Option<Ahead<'a>> = None;
    for stop in &found.stops {
        let Some(pole) = on.studies.network.poles().get(stop.pole) else { continue };
        let (Some(rating), Some(device)) = (pole.pole.overcurrent, on.block(pole.block)) else { continue };
        if report.at_most(at, rating, allowed).fails()
            && worst.as_ref().is_none_or(|it| it.amps.is_some_and(|most| rating > most))
        {
            worst = Some(Ahead::of(device, Some(rating)));
        }
    }
    worst.or_else(|| side_by_side(on, report, block, input, allowed, &found))
}

/// Two lines of one phase on one input: their devices add up, unless a common one holds less.
fn side_by_side<'a>(
    on: &Circumstances<'a>,
    report: &mut Report,
    block: &Block,
    input: TerminalName,
    allowed: Amps,
    found: &Ways,
) -> Option<Ahead<'a>> {
    let devices = found.stops.iter().filter_map(|stop| {
        let pole = on.studies.network.poles().get(stop.pole)?;
        on.block(pole.block)
    });
    let mut blocks: Vec<&Block> = devices.collect();
    blocks.dedup_by_key(|device| device.id);
    if blocks.len() < 2 {
        return None;
    }
    let end = RunEnd { block: block.id, terminal: input };
    let runs = on.circuit().runs_on(end);
    let into = runs.iter().map(|run| {
        let source = if run.from == end { Side::To } else { Side::From };
        on.studies.holding.at(run.id, source)
    });
    let flow: Amps = into.filter_map(|holding| holding.current()).sum();
    report.at_most(Part::Block(block.id), flow, allowed).fails().then_some(Ahead { blocks, amps: Some(flow) })
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    ahead: &Ahead<'_>,
    relay: Amps,
    allowed: Amps,
) {
    let mut working = Working::new();
    if let Some(amps) = ahead.amps {
        let names = || ahead.blocks.iter().map(|it| it.tag.as_str()).collect::<Vec<_>>().join(", ");
        working.given("ahead of the input", "I_n", amps.into(), || Origin::Nameplate(names()));
    }
    working
        .given("transfer relay, each leg", "I_relay", relay.into(), || Origin::Nameplate(block.tag.clone()));
    let title = match ahead.blocks.as_slice() {
        [one] => format!("{} lets more into {} than its transfer relay stands", one.tag, block.tag),
        _ => format!("Several devices together let more into {} than its transfer relay stands", block.tag),
    };
    let finding = AC_PASS_THROUGH.finding(on, Severity::Correction, Part::Block(block.id), title);
    let others = ahead.blocks.iter().map(|it| Part::Block(it.id));
    let finding = finding.also_all(others).working(working);
    report.find(match ahead.amps {
        Some(amps) => finding.against(amps, allowed),
        None => finding.aspect(UNLIMITED).against(words("no device"), allowed),
    });
}

/// The current limit as set.
fn setting(on: &Circumstances<'_>, report: &mut Report, block: &Block, inverter: &Inverter, relay: Amps) {
    let Some(set) = inverter.ac_input_limit else { return };
    let at = Part::Block(block.id);
    if report.at_most(at, set, relay).fails() {
        let title = format!("The AC input limit of {} is set above its transfer relay", block.tag);
        let finding = AC_PASS_THROUGH.finding(on, Severity::Correction, at, title).aspect(LIMIT);
        let mut working = Working::new();
        working.given("AC input limit as set", "I_set", set.into(), || Origin::Setting(block.tag.clone()));
        report.find(finding.against(set, relay).working(working));
    }
}

/// What loads and charger take through the relay together. Where the input has a limit, the charger gives way to the loads;
/// how several inverters on one panel share its load is not known here.
fn together(on: &Circumstances<'_>, report: &mut Report, block: &Block, inverter: &Inverter, relay: Amps) {
    let terminals = block.equipment.terminals();
    let mut inputs = terminals.iter().filter(|it| it.name.stem() == "in");
    let is_wired =
        inputs.any(|it| !on.circuit().runs_on(RunEnd { block: block.id, terminal: it.name }).is_empty());
    if !is_wired || inverter.ac_input_limit.is_some() {
        return;
    }
    let mut working = Working::new();
    let mut sum = Amps::ZERO;
    for ((panel, it), sources) in panels_of_inverters(on) {
        let alone = sources.iter().all(|(source, _)| source.id == block.id);
        let Some(load) = it.load_current().filter(|_| alone) else { continue };
        working.given("connected load", "I_load", load.into(), || Origin::Setting(panel.tag.clone()));
        sum += load;
    }
    if sum <= Amps::ZERO {
        return;
    }
    if let (Some(current), Some((_, voltages))) = (inverter.charge_current(), bank_of(on, block.id)) {
        let usual = on.number(FactorKey::ChargerEfficiency);
        let efficiency = inverter.charger_efficiency.map_or(usual, Percent::share);
        let charger = voltages.charge * current / efficiency / inverter.ac_system.current_voltage();
        working.found("charger, on AC", "I_chg", || "I × V_charge / (η × V)".to_owned(), charger.into());
        sum += charger;
    }
    working.found("together", "I", || "Σ I_load + I_chg".to_owned(), sum.into());
    let at = Part::Block(block.id);
    if report.at_most(at, sum, relay).fails() {
        working.given("transfer relay, each leg", "I_relay", relay.into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        let title = format!("Loads and charger are too much for the transfer relay of {}", block.tag);
        let finding = AC_PASS_THROUGH.finding(on, Severity::Correction, at, title).aspect(TOGETHER);
        report.find(finding.against(sum, relay).working(working));
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Amount::Quantity(allowed) = finding.allowed else { return Vec::new() };
    let allowed = Amps::new(allowed.value);
    let blocks: Vec<&Block> = finding
        .parts()
        .filter_map(|part| match part {
            Part::Block(id) => on.block(id),
            Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
        })
        .collect();
    let inverter = blocks.first().and_then(|block| Some((*block, block.equipment.as_kind::<Inverter>()?)));
    if let (LIMIT | TOGETHER, Some((block, it))) = (finding.aspect, inverter) {
        let set = Inverter { ac_input_limit: Some(allowed), ..it.clone() };
        return vec![with_equipment(block, set, format!("AC input limit of {} at {allowed}", block.tag))];
    }
    blocks.into_iter().filter_map(|block| smaller(on, block, allowed)).collect()
}

/// The largest standard device that the relay stands.
fn smaller(on: &Circumstances<'_>, block: &Block, allowed: Amps) -> Option<Proposal> {
    let ratings = &on.codes().common.ratings;
    if let Some(it) = block.equipment.as_kind::<Breaker>() {
        let rating = ratings.next_at_most(allowed, DeviceType::Breaker, on.rule_set())?.value;
        let changed = Breaker { rating, ..it.clone() };
        return Some(with_equipment(block, changed, format!("{} of {rating}", block.tag)));
    }
    let it = block.equipment.as_kind::<Fuse>()?;
    let rating = ratings.next_at_most(allowed, DeviceType::Fuse, on.rule_set())?.value;
    Some(with_equipment(block, Fuse { rating, ..it.clone() }, format!("{} of {rating}", block.tag)))
}
