//! What the rules on short circuits share: the working of a fault current, and what an estimated battery means for
//! a verdict. The currents themselves are of the study.

use crate::circumstances::Circumstances;
use lineside_codes::FactorKey;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::faults::{ResistanceFrom, battery_string};
use lineside_study::{Assumption, FaultSource, Missing, NodeId, Prospective, ZoneId};

/// What decides when a battery's resistance is only estimated.
pub(crate) enum Estimate {
    /// The figure is known, or the estimate does not decide.
    Sound,
    /// The verdict hangs on the estimate: the datum that would settle it.
    Decides(Missing),
}

impl Circumstances<'_> {
    /// Whether a fault current above a limit is so only by the estimate of a battery.
    pub(crate) fn estimate_behind(&self, fault: &Prospective, near: NodeId, limit: Amps) -> Estimate {
        let known = fault.total() - fault.from(FaultSource::Battery);
        let estimated = fault.assumed().has(Assumption::BatteryResistance);
        if !estimated || fault.total() <= limit || known > limit {
            return Estimate::Sound;
        }
        let bank = self.studies.zones.of(near).and_then(|zone| self.estimated_bank(zone));
        bank.map_or(Estimate::Sound, |bank| Estimate::Decides(Missing::block(bank, "Resistance of a unit")))
    }

    fn estimated_bank(&self, zone: ZoneId) -> Option<BlockId> {
        self.bank_blocks(zone).into_iter().find(|id| {
            let bank = self.block(*id).and_then(|block| block.equipment.as_kind::<BatteryBank>());
            bank.is_some_and(|bank| battery_string(&self.on, bank).from == ResistanceFrom::Estimate)
        })
    }

    fn bank_blocks(&self, zone: ZoneId) -> Vec<BlockId> {
        let Some(zone) = self.studies.zones.get(zone) else { return Vec::new() };
        self.banks_in(zone).into_iter().map(|(block, _, _)| block.id).collect()
    }

    /// Writes down of what a fault current is made.
    pub(crate) fn fault_working(&self, fault: &Prospective, near: NodeId, working: &mut Working) {
        if fault.from(FaultSource::Battery) > Amps::ZERO {
            self.battery_working(fault, near, working);
        }
        for (source, amps) in fault.sources().filter(|(source, _)| *source != FaultSource::Battery) {
            let assumed = match source {
                FaultSource::Utility => Some(Assumption::UtilityFault),
                FaultSource::Generator => Some(Assumption::GeneratorReactance),
                FaultSource::InverterOutput => Some(Assumption::InverterFault),
                FaultSource::Battery
                | FaultSource::Strings
                | FaultSource::Leakage
                | FaultSource::Controller
                | FaultSource::DcConverter
                | FaultSource::Charger => None,
            };
            let assumed = assumed.filter(|what| fault.assumed().has(*what));
            working.given(source.label(), "I", amps.into(), || {
                assumed.map_or_else(
                    || Origin::Nameplate(source.label().to_owned()),
                    |what| Origin::Assumed(what.label().to_owned()),
                )
            });
        }
        let total = fault.total();
        working.found("prospective short-circuit current", "I_k", || "Σ I".to_owned(), total.into());
    }

    fn battery_working(&self, fault: &Prospective, near: NodeId, working: &mut Working) {
        let banks = self.studies.zones.of(near).map_or_else(Vec::new, |zone| self.bank_blocks(zone));
        let factor = self.number(FactorKey::BatteryResistance);
        for block in banks.into_iter().filter_map(|id| self.block(id)) {
            let Some(bank) = block.equipment.as_kind::<BatteryBank>() else { continue };
            let string = battery_string(&self.on, bank);
            let plate = || Origin::Nameplate(block.tag.clone());
            working.given("battery, full, at rest", "E_B", string.voltage.into(), plate);
            working.given("ohmic resistance of a string", "R_B", string.plain_resistance.into(), || {
                match string.from {
                    ResistanceFrom::Nameplate | ResistanceFrom::ShortCircuitCurrent => plate(),
                    ResistanceFrom::Estimate => {
                        Origin::Assumed(Assumption::BatteryResistance.label().to_owned())
                    }
                }
            });
            if factor < 1.0 && string.from == ResistanceFrom::Nameplate {
                working.given("part of it that counts", "k", Quantity::number(factor), || {
                    Origin::Table(self.on.clause(FactorKey::BatteryResistance).to_owned())
                });
            }
            let strings = Quantity::count(bank.strings_in_parallel as usize);
            working.given("strings", "n", strings, || Origin::Setting(block.tag.clone()));
        }
        if let Some(resistance) = fault.resistance() {
            working.found(
                "batteries with runs at 20 °C, as seen from the fault",
                "R",
                || "side by side and one after another".to_owned(),
                resistance.into(),
            );
        }
        let amps = fault.from(FaultSource::Battery);
        working.found("from the batteries", "I_B", || "E / R".to_owned(), amps.into());
    }
}
