//! Rule `generator-overload`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::ac::support::{bank_of, output, reached, ways_from};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Celsius, CelsiusSpan, Meters, Percent, Quantity, VoltAmps, Volts, Watts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;

rule! {
    /// A generator carries charger and loads together
    ///
    /// ## The harm
    /// The engine stalls or its voltage sags, and the inverter refuses it, in the worst week of the year.
    ///
    /// ## The formula
    /// `P = Σ I_chg × V_charge / η + P_load`, no more through an inverter than its AC input limit lets in, against
    /// `P_gen × u`. `u` is the usable part on the nameplate, else 0.80 and 1 % less for each 5.5 °C above 25 °C; both times
    /// 3.5 % less for each 300 m above 300 m, or what the nameplate says of heat and height. Where the power factor of the
    /// charger is given, volt-amperes are compared as well.
    ///
    /// ## What to do
    /// A lower charge current on the generator; an AC input limit with generator support; a larger set.
    GENERATOR_OVERLOAD {
        id: "generator-overload",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 702.4, 445.12",
            Nec2020: "NEC 2020 702.4, 445.12",
            Nec2017: "NEC 2017 702.4, 445.12",
            Iec: "IEC 60364-5-55 cl. 551",
        ],
        check: check,
        remedies: remedies,
    }
}

const APPARENT: &str = "apparent";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let Some(generator) = block.equipment.as_kind::<Generator>() else { continue };
        let chargers = chargers(on, block);
        if !chargers.is_empty() {
            judge(on, report, block, generator, &chargers);
        }
    }
}

/// A charger that the generator feeds.
struct Charger<'a> {
    block: &'a Block,
    inverter: &'a Inverter,
    current: Amps,
    voltage: Volts,
    efficiency: f64,
}

impl Charger<'_> {
    /// What it takes.
    fn watts(&self) -> Watts {
        self.voltage * self.current / self.efficiency
    }
    /// What its inverter lets in at most, when that is set.
    fn limit(&self) -> Option<Watts> {
        self.inverter.ac_input_limit.map(|set| self.inverter.ac_system.current_voltage() * set)
    }
}

fn chargers<'a>(on: &Circumstances<'a>, generator: &Block) -> Vec<Charger<'a>> {
    let Some(from) = output(on, generator.id) else { return Vec::new() };
    reached(on, &ways_from(on, from, |_| false))
        .into_iter()
        .filter_map(|block| {
            let inverter = block.equipment.as_kind::<Inverter>()?;
            let (_, voltages) = bank_of(on, block.id)?;
            let usual = on.number(FactorKey::ChargerEfficiency);
            Some(Charger {
                block,
                inverter,
                current: inverter.charge_current()?,
                voltage: voltages.charge,
                efficiency: inverter.charger_efficiency.map_or(usual, Percent::share),
            })
        })
        .collect()
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    generator: &Generator,
    chargers: &[Charger<'_>],
) {
    let mut working = Working::new();
    let charging = tell_chargers(on, chargers, &mut working);
    let load = generator.load_while_charging;
    if let Some(load) = load {
        working.given("loads meanwhile", "P_load", load.into(), || Origin::Setting(block.tag.clone()));
    }
    let wanted = charging + load.unwrap_or_default();
    // An inverter that limits its input leaves the rest to the battery.
    let limits: Option<Watts> = chargers.iter().map(Charger::limit).sum();
    let taken = limits.map_or(wanted, |most| wanted.min(most.max(load.unwrap_or_default())));
    working.found("taken together", "P", || "Σ P_chg + P_load".to_owned(), taken.into());
    let share = usable(on, block, generator, &mut working);
    let most = generator.power * share.share;
    working.given("rated output", "P_gen", generator.power.into(), || Origin::Nameplate(block.tag.clone()));
    working.found("usable", "P_gen × u", String::new, most.into());
    let at = Part::Block(block.id);
    if report.at_most(at, taken, most).fails() {
        let title = format!("Charger and loads are too much for {}", block.tag);
        let finding = GENERATOR_OVERLOAD.finding(on, Severity::Correction, at, title);
        let parts = chargers.iter().map(|it| Part::Block(it.block.id));
        report.find(finding.also_all(parts).against(taken, most).working(working));
        return;
    }
    if load.is_none() {
        report.cannot_tell(Missing::block(block.id, "Load while charging"));
    }
    if let Some(missing) = share.missing {
        report.cannot_tell(missing);
    }
    apparent(on, report, block, generator, chargers, share.share);
}

fn tell_chargers(on: &Circumstances<'_>, chargers: &[Charger<'_>], working: &mut Working) -> Watts {
    let mut charging = Watts::ZERO;
    for it in chargers {
        let tag = &it.block.tag;
        working.given("charge current", "I_chg", it.current.into(), || Origin::Setting(tag.clone()));
        let bank = bank_of(on, it.block.id).map_or_else(String::new, |(bank, _)| bank.tag.clone());
        working
            .given("charge voltage of the bank", "V_charge", it.voltage.into(), || Origin::Nameplate(bank));
        working.given("efficiency of the charger", "η", Quantity::number(it.efficiency), || {
            match it.inverter.charger_efficiency {
                Some(_) => Origin::Nameplate(tag.clone()),
                None => Origin::Table(on.on.clause(FactorKey::ChargerEfficiency).to_owned()),
            }
        });
        working.found("the charger takes", "P_chg", || "I_chg × V_charge / η".to_owned(), it.watts().into());
        charging += it.watts();
    }
    charging
}

/// The part of a generator's output that is there for hours, and what was not given for it.
struct Usable {
    share: f64,
    missing: Option<Missing>,
}

fn usable(on: &Circumstances<'_>, block: &Block, generator: &Generator, working: &mut Working) -> Usable {
    let site = &on.project().brief.site;
    let plate = || Origin::Nameplate(block.tag.clone());
    let (part, heat) = match generator.usable_share {
        Some(given) => (given.share(), site.design_high.and_then(|it| generator.share_in_heat(it))),
        None => (on.number(FactorKey::GeneratorUsable), site.design_high.map(|it| warm(on, generator, it))),
    };
    working.given("usable part", "u_0", Quantity::number(part), || match generator.usable_share {
        Some(_) => plate(),
        None => Origin::Table(on.on.clause(FactorKey::GeneratorUsable).to_owned()),
    });
    let heat = heat.unwrap_or(1.0);
    if heat < 1.0 {
        working.given("left in the heat", "k_T", Quantity::number(heat), || Origin::Brief);
    }
    let height = site.elevation.map(|it| high(on, generator, it));
    if let Some(height) = height.filter(|height| *height < 1.0) {
        working.given("left at this height", "k_h", Quantity::number(height), || Origin::Brief);
    }
    let missing = height.is_none().then(|| Missing::site("Elevation"));
    Usable { share: part * heat * height.unwrap_or(1.0), missing }
}

fn warm(on: &Circumstances<'_>, generator: &Generator, high: Celsius) -> f64 {
    generator.share_in_heat(high).unwrap_or_else(|| {
        let free: Celsius = on.limit(FactorKey::GeneratorHeatFree);
        let step: CelsiusSpan = on.limit(FactorKey::GeneratorHeatStep);
        let loss: Percent = on.limit(FactorKey::GeneratorHeatLoss);
        1.0 - loss.share() * (high.above(free).max(CelsiusSpan::ZERO) / step)
    })
}

fn high(on: &Circumstances<'_>, generator: &Generator, height: Meters) -> f64 {
    generator.share_at_height(height).unwrap_or_else(|| {
        let step: Meters = on.limit(FactorKey::GeneratorAltitudeStep);
        let loss: Percent = on.limit(FactorKey::GeneratorAltitudeLoss);
        (1.0 - loss.share() * ((height - step).max(Meters::ZERO) / step)).max(0.0)
    })
}

/// Volt-amperes, where the power factors of all chargers are given.
fn apparent(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    generator: &Generator,
    chargers: &[Charger<'_>],
    share: f64,
) {
    let mut working = Working::new();
    let mut taken = VoltAmps::new(generator.load_while_charging.unwrap_or_default().value());
    for it in chargers {
        let Some(factor) = it.inverter.charger_power_factor else { return };
        working.given("power factor of the charger", "cos φ", factor.into(), || {
            Origin::Nameplate(it.block.tag.clone())
        });
        let volt_amps = VoltAmps::new(it.watts().value() / factor.share());
        working.found("the charger takes", "S_chg", || "P_chg / cos φ".to_owned(), volt_amps.into());
        taken += volt_amps;
    }
    // An input limit is a limit of current, so it holds for volt-amperes too.
    if chargers.iter().all(|it| it.limit().is_some()) {
        return;
    }
    let rated = generator.apparent_output.unwrap_or(VoltAmps::new(generator.power.value()));
    let most = rated * share;
    working.found("usable", "S_gen × u", String::new, most.into());
    let at = Part::Block(block.id);
    if report.at_most(at, taken, most).fails() {
        let title = format!("Charger and loads draw too much current from {}", block.tag);
        let finding = GENERATOR_OVERLOAD.finding(on, Severity::Correction, at, title).aspect(APPARENT);
        let parts = chargers.iter().map(|it| Part::Block(it.block.id));
        report.find(finding.also_all(parts).against(taken, most).working(working));
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(generator) = block.equipment.as_kind::<Generator>() else { return Vec::new() };
    let chargers = chargers(on, block);
    let [charger] = chargers.as_slice() else { return Vec::new() };
    let most = generator.power * usable(on, block, generator, &mut Working::new()).share;
    let left = most - generator.load_while_charging.unwrap_or_default();
    // A limit that holds for volt-amperes holds for watts too.
    let factor = charger.inverter.charger_power_factor.map_or(1.0, Percent::share);
    let mut proposals = Vec::new();
    let limit = (left * charger.efficiency * factor / charger.voltage).cut_to(2);
    if limit >= Amps::new(1.0) {
        let set = Inverter { charge_limit: Some(limit), ..charger.inverter.clone() };
        let label = format!("Charge limit of {} at {limit}", charger.block.tag);
        proposals.push(with_equipment(charger.block, set, label));
    }
    let input = (most / charger.inverter.ac_system.current_voltage()).cut_to(0);
    if input >= Amps::new(1.0) && left > Watts::ZERO {
        let set = Inverter { ac_input_limit: Some(input), ..charger.inverter.clone() };
        let label = format!("AC input limit of {} at {input}", charger.block.tag);
        proposals.push(with_equipment(charger.block, set, label));
    }
    proposals
}
