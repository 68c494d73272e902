//! The voltages of a battery bank: from empty to the highest that its chargers bring about in the cold.

use crate::conditions::Conditions;
use crate::missing::{Missing, Owner};
use crate::network::Network;
use crate::zones::Zone;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::{Celsius, CelsiusSpan, Quantity, Volts, VoltsPerCelsius};
use lineside_core::working::{Listener, Origin};

/// Voltages at a bank's terminals.
#[derive(Clone, Debug, PartialEq)]
pub struct BankVoltages {
    /// Cells in series.
    pub cells: u32,
    /// By which the trade calls it.
    pub class: Volts,
    /// Nominal.
    pub nominal: Volts,
    /// End of discharge, as used.
    pub empty: Volts,
    /// Lowest that the maker allows.
    pub lowest: Volts,
    /// Full, at rest.
    pub open_circuit: Volts,
    /// Charge, at 25 °C.
    pub charge: Volts,
    /// Equalize, at 25 °C; `None` when the bank is never equalized.
    pub equalize: Option<Volts>,
    /// The highest: charge or equalize, temperature-compensated at the coldest, below any common ceiling.
    pub highest: Volts,
    /// Coldest battery temperature that was used.
    pub coldest: Celsius,
    /// What was not given.
    pub missing: Vec<Missing>,
}

/// Finds the voltages of a bank, telling each step to the listener. `None` when the block is no bank.
pub fn study(
    on: &Conditions<'_>,
    network: &Network,
    zone: &Zone,
    bank: BlockId,
    listener: &mut impl Listener,
) -> Option<BankVoltages> {
    let block = on.project.circuit.block(bank)?;
    let Equipment::BatteryBank(it) = &block.equipment else { return None };
    let cells = f64::from(it.cells());
    let mut missing = Vec::new();
    let (coldest, origin) = coldest(on, block, &mut missing);
    let highest = highest(on, network, zone, block, it, coldest, origin, listener);
    Some(BankVoltages {
        cells: it.cells(),
        class: it.voltage_class(),
        nominal: it.nominal_voltage(),
        empty: it.empty_volts() * cells,
        lowest: it.lowest_voltage * cells,
        open_circuit: it.open_circuit_voltage(),
        charge: it.charge_volts() * cells,
        equalize: it.equalize_volts().map(|volts| volts * cells),
        highest,
        coldest,
        missing,
    })
}

/// Coldest temperature of the bank: the place's, else by where the place is.
fn coldest(on: &Conditions<'_>, block: &Block, missing: &mut Vec<Missing>) -> (Celsius, Origin) {
    let circuit = &on.project.circuit;
    let place = block.place.and_then(|place| circuit.place(place));
    let location = block.place.and_then(|place| circuit.place(circuit.location_of(place)));
    for here in [place, location].into_iter().flatten() {
        if let Some(coldest) = here.facts.coldest {
            return (coldest, Origin::Place(here.name.clone()));
        }
    }
    let surroundings = location.and_then(|location| location.facts.surroundings);
    let indoors: Celsius = on.quantity(FactorKey::BatteryIndoorColdest);
    match surroundings {
        Some(Surroundings::Indoors | Surroundings::UtilityRoom) => {
            (indoors, Origin::Assumed("indoors".to_owned()))
        }
        Some(
            Surroundings::Ground
            | Surroundings::Roof
            | Surroundings::OutsideWall
            | Surroundings::Garage
            | Surroundings::EquipmentShed,
        )
        | None => {
            if surroundings.is_none() {
                let owner = location.map_or(Owner::Block(block.id), |location| Owner::Place(location.id));
                missing.push(Missing { owner, datum: "Coldest" });
            }
            let rise: CelsiusSpan = on.quantity(FactorKey::BatteryOutdoorRise);
            match on.project.brief.site.record_low {
                Some(low) => (
                    low.warmer_by(rise).min(indoors),
                    Origin::Assumed("outdoors, above the record low".to_owned()),
                ),
                None => (indoors, Origin::Assumed("indoors, because the record low is not given".to_owned())),
            }
        }
    }
}

/// `N × max(v_chg, v_eq) + N × k_T × (T_bat,min − 25)`, never below the first term, never above a ceiling that
/// every charger on the bus has.
#[expect(clippy::too_many_arguments, reason = "one formula with its inputs")]
fn highest(
    on: &Conditions<'_>,
    network: &Network,
    zone: &Zone,
    block: &Block,
    bank: &BatteryBank,
    coldest: Celsius,
    origin: Origin,
    listener: &mut impl Listener,
) -> Volts {
    let cells = f64::from(bank.cells());
    let per_cell = bank.highest_volts();
    listener.given("cells in series", "N", Quantity::count(bank.cells() as usize), || {
        Origin::Setting(block.tag.clone())
    });
    listener.given("charge or equalize voltage per cell at 25 °C", "v", per_cell.into(), || {
        if bank.charge_setting.is_some() || bank.equalize_setting.is_some() {
            Origin::Setting(block.tag.clone())
        } else {
            Origin::Nameplate(block.tag.clone())
        }
    });
    let (compensation, assumed) = compensation(on, bank);
    listener.given("temperature compensation per cell", "k_T", compensation.into(), || {
        assumed.map_or_else(|| Origin::Nameplate(block.tag.clone()), |why| Origin::Assumed(why.to_owned()))
    });
    listener.given("coldest battery", "T_min", coldest.into(), || origin);
    let at_base = per_cell * cells;
    let shift = compensation * coldest.above(Celsius::STANDARD_TEST) * cells;
    let compensated = (at_base + shift).max(at_base);
    let bus = match ceiling(on, network, zone) {
        Some(ceiling) => {
            listener.given("ceiling set in every charger", "V_ceil", ceiling.into(), || {
                Origin::Setting("chargers".to_owned())
            });
            compensated.min(ceiling.max(at_base))
        }
        None => compensated,
    };
    listener.found(
        "highest bus voltage",
        "V_bus,max",
        || "N × v + N × k_T × (T_min − 25 °C), not below N × v".to_owned(),
        bus.into(),
    );
    bus
}

/// Compensation per cell: the nameplate's, else the usual one of the chemistry.
pub fn compensation(on: &Conditions<'_>, bank: &BatteryBank) -> (VoltsPerCelsius, Option<&'static str>) {
    if let Some(given) = bank.compensation {
        return (given, None);
    }
    let usual = on.codes.common.battery_windows.find(bank.chemistry).map(|row| row.value.compensation);
    (usual.unwrap_or_default(), Some("usual for the chemistry"))
}

/// A ceiling counts only if every charger on the bus has one. An inverter's charger and a DC converter have none.
fn ceiling(on: &Conditions<'_>, network: &Network, zone: &Zone) -> Option<Volts> {
    let mut ceiling: Option<Volts> = None;
    for source in zone.sources.iter().filter_map(|i| network.sources().get(*i)) {
        let set = match source.kind {
            SourceKind::ControllerOutput => {
                let controller =
                    on.project.circuit.block(source.block)?.equipment.as_kind::<ChargeController>()?;
                controller.voltage_ceiling?
            }
            SourceKind::Charger | SourceKind::DcConverterOutput => return None,
            SourceKind::Strings
            | SourceKind::BatteryString(_)
            | SourceKind::InverterOutput
            | SourceKind::Generator
            | SourceKind::Utility => {
                continue;
            }
        };
        ceiling = Some(ceiling.map_or(set, |so_far| so_far.max(set)));
    }
    ceiling
}
