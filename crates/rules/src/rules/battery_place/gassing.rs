//! How much a bank gasses: the current that makes gas in one string, from the table or from the end of its charge.

use crate::circumstances::Circumstances;
use lineside_codes::FactorKey;
use lineside_codes::tables::{ChargeMode, GassingBattery};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::curve::value_at;
use lineside_core::units::{AmpHours, Amps, Hours, MilliampsPerAmpHour, Quantity};
use lineside_core::working::{Listener, Origin, Working};

/// The current that makes gas in one string of a bank.
#[derive(Clone, Debug)]
pub(super) struct Gassing {
    /// What is certain.
    pub least: Amps,
    /// What it can be at most, when the current while equalizing is not given.
    pub most: Amps,
    /// How it came about.
    pub working: Working,
}

/// The gassing current of one string. Nickel-iron takes the whole current at the end of its charge; lead the larger of
/// its row in the table and the current while it is equalized; lithium none.
pub(super) fn of_string(on: &Circumstances<'_>, block: &Block, bank: &BatteryBank) -> Gassing {
    let mut working = Working::new();
    let none = Gassing { least: Amps::ZERO, most: Amps::ZERO, working: Working::new() };
    match bank.chemistry {
        Chemistry::LithiumIronPhosphate => none,
        Chemistry::NickelIron => {
            let current = at_the_end(on, block, bank, &mut working);
            Gassing { least: current, most: current, working }
        }
        Chemistry::FloodedLead => {
            let boost = by_table(on, block, bank, GassingBattery::VentedLead, &mut working);
            lead(on, block, bank, boost, working)
        }
        Chemistry::AbsorbedGlassMat | Chemistry::Gel => {
            let boost = by_table(on, block, bank, GassingBattery::SealedLead, &mut working);
            lead(on, block, bank, boost, working)
        }
    }
}

fn lead(
    on: &Circumstances<'_>,
    block: &Block,
    bank: &BatteryBank,
    boost: Amps,
    mut working: Working,
) -> Gassing {
    if bank.equalize_volts().is_none() {
        return Gassing { least: boost, most: boost, working };
    }
    let Some(equalize) = bank.equalize_current else {
        let all = chargers(on, block.id) / f64::from(bank.strings_in_parallel);
        return Gassing { least: boost, most: boost.max(all), working };
    };
    working.given("greatest current while equalizing", "I_eq", equalize.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    let current = boost.max(equalize);
    working.found("the larger of both", "I", || "max(I_gas × C, I_eq)".to_owned(), current.into());
    Gassing { least: current, most: current, working }
}

/// The limit of the current at the end of charge, else all chargers together.
fn at_the_end(on: &Circumstances<'_>, block: &Block, bank: &BatteryBank, working: &mut Working) -> Amps {
    if let Some(limit) = bank.equalize_current {
        working.given("greatest current at the end of charge", "I", limit.into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        return limit;
    }
    let share = chargers(on, block.id) / f64::from(bank.strings_in_parallel);
    working.given("all chargers together, for each string", "I", share.into(), || {
        Origin::Working("chargers of the bus".to_owned())
    });
    share
}

/// All chargers on the bus of a bank together.
fn chargers(on: &Circumstances<'_>, bank: BlockId) -> Amps {
    let zone = on.studies.network.point(bank, 0).and_then(|node| on.studies.zones.of(node));
    let Some(zone) = zone.and_then(|id| on.studies.zones.get(id)) else { return Amps::ZERO };
    let controllers: Amps = on.controllers_charging(zone).iter().map(|(_, it)| it.output_limit()).sum();
    let inverters: Amps = on.inverters_on(zone).iter().filter_map(|(_, it)| it.charge_current()).sum();
    controllers + inverters
}

fn by_table(
    on: &Circumstances<'_>,
    block: &Block,
    bank: &BatteryBank,
    battery: GassingBattery,
    working: &mut Working,
) -> Amps {
    let row = on.codes().common.battery_gas.find(battery, ChargeMode::Boost);
    let (specific, origin) = match (bank.gas_current, row) {
        (Some(given), _) => (given, Origin::Nameplate(block.tag.clone())),
        (None, Some(row)) => (row.value.current.unwrap_or_default(), Origin::Table(row.source.into_owned())),
        (None, None) => (MilliampsPerAmpHour::ZERO, Origin::Computed),
    };
    working.given("current that makes gas while boosting", "I_gas", specific.into(), || origin);
    let capacity = capacity(on, bank);
    working.given("capacity", "C", capacity.into(), || Origin::Nameplate(block.tag.clone()));
    let current = specific * capacity;
    working.found("in one string", "I_gas × C", || "I_gas × C".to_owned(), current.into());
    current
}

/// The capacity of lead at ten hours where the maker gives it, else the rated one.
pub(super) fn capacity(on: &Circumstances<'_>, bank: &BatteryBank) -> AmpHours {
    if bank.chemistry == Chemistry::NickelIron {
        return bank.capacity;
    }
    let hours: Hours = on.limit(FactorKey::GassingHours);
    let given = bank.capacities.as_ref().and_then(|curve| value_at(&curve.0, hours.value()));
    given.map_or(bank.capacity, AmpHours::new)
}

/// Cells of all strings.
pub(super) fn cells(block: &Block, bank: &BatteryBank, working: &mut Working) -> f64 {
    let cells = f64::from(bank.cells()) * f64::from(bank.strings_in_parallel);
    working
        .given("cells of all strings", "N", Quantity::number(cells), || Origin::Setting(block.tag.clone()));
    cells
}
