//! The machines of a circuit in an operating state: everything that feeds, takes or converts, with its numbers ready.
//!
//! Nothing is solved here. Which of them are joined is in [`super::topology`].

mod banks;
mod controllers;
mod derating;
mod inverters;
mod loads;

pub(super) use banks::{Bank, CellString, Sensor};
pub(super) use controllers::{Controller, Converter, Works};
pub(super) use inverters::{Charger, Inverter};
pub(super) use loads::{AcLoad, DcLoad, StringSet, Supply, SupplyKind};

use super::state::OperatingState;
use crate::conditions::Conditions;
use crate::network::{Network, NodeId};
use crate::zones::Zones;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::dc_converter::DcConverter;
use lineside_core::kinds::inside::{SinkKind, SourceKind};

/// What the machines are made from.
#[derive(Clone, Copy)]
pub(super) struct Given<'a> {
    pub on: &'a Conditions<'a>,
    pub network: &'a Network,
    pub zones: &'a Zones,
    pub state: &'a OperatingState,
}

impl<'a> Given<'a> {
    fn block(&self, id: BlockId) -> Option<&'a Block> {
        self.on.project.circuit.block(id)
    }
    /// Nominal voltage of the DC circuit at a node: that of the first bank in its zone, else of a converter's output.
    fn nominal(&self, node: NodeId) -> Option<f64> {
        let zone = self.zones.get(self.zones.of(node)?)?;
        let sources = || zone.sources.iter().filter_map(|i| self.network.sources().get(*i));
        let banks = sources().filter(|source| matches!(source.kind, SourceKind::BatteryString(_)));
        let bank = banks.filter_map(|source| {
            let bank = self.block(source.block)?.equipment.as_kind::<BatteryBank>()?;
            Some(bank.nominal_voltage().value())
        });
        let outputs = sources().filter(|source| source.kind == SourceKind::DcConverterOutput);
        let output = outputs.filter_map(|source| {
            let converter = self.block(source.block)?.equipment.as_kind::<DcConverter>()?;
            Some(converter.output_voltage.value())
        });
        bank.chain(output).next()
    }
}

/// Every machine, each sort in the order of blocks.
#[derive(Clone, Debug, Default)]
pub(super) struct Machines<'a> {
    pub strings: Vec<StringSet>,
    pub banks: Vec<Bank>,
    pub cells: Vec<CellString>,
    pub controllers: Vec<Controller<'a>>,
    pub converters: Vec<Converter>,
    pub inverters: Vec<Inverter<'a>>,
    pub supplies: Vec<Supply>,
    pub panels: Vec<AcLoad>,
    pub dc_loads: Vec<DcLoad>,
}

impl<'a> Machines<'a> {
    pub(super) fn new(given: &Given<'a>) -> Self {
        let mut machines = Self::default();
        for source in given.network.sources() {
            let Some(block) = given.block(source.block) else { continue };
            match (source.kind, &block.equipment) {
                (SourceKind::Strings, Equipment::Strings(it)) => {
                    machines.strings.push(StringSet::of(given, block, it, source.node));
                }
                (SourceKind::BatteryString(number), Equipment::BatteryBank(it)) => {
                    if number == 1 {
                        machines.banks.push(Bank::of(given, block, it));
                    }
                    let bank = machines.banks.len().saturating_sub(1);
                    machines.cells.push(CellString { block: block.id, node: source.node, number, bank });
                }
                (SourceKind::ControllerOutput, Equipment::ChargeController(it)) => {
                    machines.controllers.extend(Controller::of(given, block, it, source.node));
                }
                (SourceKind::DcConverterOutput, Equipment::DcConverter(it)) => {
                    machines.converters.extend(Converter::of(given, block, it, source.node));
                }
                (SourceKind::InverterOutput, Equipment::Inverter(it)) => {
                    machines.inverters.extend(Inverter::of(given, block, it, source.node));
                }
                (SourceKind::Generator, Equipment::Generator(it)) => {
                    machines.supplies.push(Supply::generator(given, block, it, source.node));
                }
                (SourceKind::Utility, Equipment::Utility(it)) => {
                    machines.supplies.push(Supply::utility(given, block, it, source.node));
                }
                _ => {}
            }
        }
        for sink in given.network.sinks() {
            let Some(block) = given.block(sink.block) else { continue };
            match (sink.kind, &block.equipment) {
                (SinkKind::AcLoads, Equipment::AcPanel(it)) => {
                    machines.panels.push(AcLoad::of(given, block, it, sink.node));
                }
                (SinkKind::DcLoads, Equipment::DcLoad(it)) => {
                    machines.dc_loads.push(DcLoad::of(given, block, it, sink.node));
                }
                _ => {}
            }
        }
        machines
    }
}
