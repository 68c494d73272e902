//! Rule `device-ambient`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::conductors::support::{current_working, sized_working};
use crate::rules::overcurrent::overcurrent_minimum::{Asked, asked};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::curve::ShareAtTemperature;
use lineside_core::units::{Celsius, CelsiusSpan, Percent};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{CircuitKind, Missing};

rule! {
    /// Devices in warm boxes still hold the current
    ///
    /// ## The harm
    /// Thermal breakers in a hot box open early; fuses age.
    ///
    /// ## The formula
    /// `I_n × k(T_box)`, with the share k that the maker leaves of the rating at that temperature. T_box is the hottest
    /// of the place; in a combiner in the sun 15 °C more.
    ///
    /// ## The limit
    /// Not below 1.25 × I_max (IEC: I_B). Where the maker gives no share, above 40 °C: advice.
    ///
    /// ## What to do
    /// Shade; the next size, if the module's series fuse rating and the conductor allow it.
    DEVICE_AMBIENT {
        id: "device-ambient",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B)",
            Nec2020: "NEC 2020 110.3(B)",
            Nec2017: "NEC 2017 110.3(B)",
            Iec: "IEC 61439-1, IEC 60947-2",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// How warm a device gets.
struct Warmth {
    ambient: Celsius,
    from: Origin,
    rise: Option<CelsiusSpan>,
    inside: Celsius,
}

/// Every pole is compared; a block of several has one finding, for the pole that lacks most.
fn check(on: &Circumstances<'_>, report: &mut Report) {
    let asked: Vec<Asked<'_>> = on
        .studies
        .network
        .poles()
        .iter()
        .enumerate()
        .filter_map(|(index, pole)| asked(on, index, pole, applies))
        .collect();
    for of_block in asked.chunk_by(|a, b| a.pole.block == b.pole.block) {
        let worst = of_block.iter().max_by(|a, b| {
            (a.least - a.rating).total_cmp(&(b.least - b.rating)).then(b.run.id.cmp(&a.run.id))
        });
        if let Some(worst) = worst
            && let Some(block) = on.block(worst.pole.block)
            && let Some(share) = share_of(&block.equipment)
        {
            judge(on, report, block, worst, share);
        }
    }
}

/// Generators cannot overload their own device.
const fn applies(circuit: CircuitKind) -> bool {
    !matches!(circuit, CircuitKind::Generator | CircuitKind::None)
}

/// What the nameplate says of warm surroundings; the outer `None` is for equipment that has no such field.
#[expect(clippy::option_option, reason = "no such field and a field left open are two things")]
const fn share_of(equipment: &Equipment) -> Option<Option<&ShareAtTemperature>> {
    match equipment {
        Equipment::Breaker(it) => Some(it.rating_by_temperature.as_ref()),
        Equipment::Fuse(it) => Some(it.rating_by_temperature.as_ref()),
        Equipment::Combiner(it) => Some(it.rating_by_temperature.as_ref()),
        Equipment::Strings(_)
        | Equipment::ChargeController(_)
        | Equipment::BatteryBank(_)
        | Equipment::Inverter(_)
        | Equipment::Switch(_)
        | Equipment::BusBar(_)
        | Equipment::Junction(_)
        | Equipment::DcConverter(_)
        | Equipment::DcLoad(_)
        | Equipment::Generator(_)
        | Equipment::Utility(_)
        | Equipment::AcPanel(_)
        | Equipment::TransferSwitch(_)
        | Equipment::Meter(_)
        | Equipment::SurgeArrester(_)
        | Equipment::GroundFaultDevice(_)
        | Equipment::ShutdownInitiator(_)
        | Equipment::ShutdownReceiver(_)
        | Equipment::Electrode(_)
        | Equipment::BondingJumper(_) => None,
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    asked: &Asked<'_>,
    share: Option<&ShareAtTemperature>,
) {
    let at = Part::Block(block.id);
    let Some(warmth) = warmth(on, block) else {
        report.cannot_tell(Missing::site("2 % design high"));
        return;
    };
    let cool: Celsius = on.limit(FactorKey::DeviceAmbient);
    match share.and_then(|share| share.at(warmth.inside)) {
        Some(share) => {
            let left = asked.rating * share.share();
            if report.at_least(at, left, asked.least).fails() {
                let title =
                    format!("{} opens early in the heat at the current of {}", block.tag, asked.run.tag);
                let working = derated(on, block, asked, &warmth, share);
                let finding = DEVICE_AMBIENT.finding(on, Severity::Correction, at, title);
                let finding = finding.also(Part::Run(asked.run.id));
                report.find(finding.against(left, asked.least).working(working));
            }
        }
        None if report.at_most(at, warmth.inside, cool).fails() => {
            report.find(without_data(on, block, &warmth, cool));
        }
        None => {}
    }
}

fn derated(
    on: &Circumstances<'_>,
    block: &Block,
    asked: &Asked<'_>,
    warmth: &Warmth,
    share: Percent,
) -> Working {
    let mut working = Working::new();
    current_working(on, asked.run, &mut working);
    sized_working(on, asked.run, asked.factor, "least rating", "I_min", &mut working);
    warmth_working(on, warmth, &mut working);
    let nameplate = || Origin::Nameplate(block.tag.clone());
    working.given("rating of the device", "I_n", asked.rating.into(), nameplate);
    working.given("of which is left at that temperature", "k", share.into(), nameplate);
    let left = asked.rating * share.share();
    working.found("rating that is left", "I_warm", || "I_n × k".to_owned(), left.into());
    working
}

fn without_data(on: &Circumstances<'_>, block: &Block, warmth: &Warmth, cool: Celsius) -> Finding {
    let mut working = Working::new();
    warmth_working(on, warmth, &mut working);
    working.given("needs no data of the maker to", "T_cool", cool.into(), || {
        Origin::Table(on.on.clause(FactorKey::DeviceAmbient).to_owned())
    });
    let title = format!("{} gets warm, and how much of its rating is left then is not given", block.tag);
    let finding = DEVICE_AMBIENT.finding(on, Severity::Advice, Part::Block(block.id), title);
    finding.aspect("data").against(warmth.inside, cool).working(working)
}

fn warmth_working(on: &Circumstances<'_>, warmth: &Warmth, working: &mut Working) {
    let from = || warmth.from.clone();
    let Some(rise) = warmth.rise else {
        working.given("around the device", "T_box", warmth.inside.into(), from);
        return;
    };
    working.given("ambient", "T", warmth.ambient.into(), from);
    working.given("in a combiner in the sun above that", "ΔT", rise.into(), || {
        Origin::Table(on.on.clause(FactorKey::CombinerRise).to_owned())
    });
    working.found("around the device", "T_box", || "T + ΔT".to_owned(), warmth.inside.into());
}

/// The hottest of the block's place, else of the site.
fn warmth(on: &Circumstances<'_>, block: &Block) -> Option<Warmth> {
    let told = on.fact(block.id, |facts| facts.hottest);
    let (ambient, from) = match told {
        Some((place, hottest)) => (hottest, Origin::Place(place.name.clone())),
        None => (on.project().brief.site.design_high?, Origin::Brief),
    };
    let outdoors = on.surroundings(block.id).is_some_and(|it| !it.is_inside());
    let in_the_sun = outdoors && matches!(block.equipment, Equipment::Combiner(_));
    let rise: Option<CelsiusSpan> = in_the_sun.then(|| on.limit(FactorKey::CombinerRise));
    let inside = rise.map_or(ambient, |rise| ambient.warmer_by(rise));
    Some(Warmth { ambient, from, rise, inside })
}
