//! Symbols: what each kind of block looks like, and where its terminals are. One file for each symbol.
//!
//! Everything here is in the symbol's own box, unturned; `placement` brings it onto the sheet. Geometry is
//! after `IEC 60617` (form I) and `IEEE 315` (form A) in our own description; what is ours alone says so.
//!
//! The unit box is 10 mm = 4 steps. Devices that lie in a run are cut to a box half as high, so that a row of
//! them stands close. Every box has an even number of steps each way, so that it can be turned about its
//! middle and stay on the grid.

mod ac_panel;
mod battery_bank;
mod bonding_jumper;
mod breaker;
mod bus_bar;
mod charge_controller;
mod combiner;
mod converter;
mod dc_converter;
mod dc_load;
mod electrode;
mod fuse;
mod generator;
mod ground_fault_device;
mod inverter;
mod junction;
mod meter;
mod pencil;
mod rapid_shutdown;
mod strings;
mod surge_arrester;
mod switch;
mod symbol_id;
mod transfer_switch;
mod utility;

pub use symbol_id::{SymbolId, id_of};

use crate::display_list::Shape;
use crate::geometry::{Facing, GridArea, Point};
use crate::pen::{Ink, Pen};
use lineside_core::circuit::{Block, GridPoint, TerminalName};
use lineside_core::kinds::meter::MeterType;
use lineside_core::kinds::transfer_switch::TransferArrangement;
use lineside_core::kinds::{Equipment, Kind};
use pencil::Pencil;

/// After which standard symbols are drawn, where the two differ.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// IEC 60617.
    #[default]
    I,
    /// IEEE 315.
    A,
}

impl Form {
    /// As the key on the sheet names it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::I => "Symbols after IEC 60617",
            Self::A => "Symbols after IEEE 315",
        }
    }
}

/// What a symbol's look depends on besides its block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Which standard.
    pub form: Form,
    /// Ink of the bars in it.
    pub bar: Ink,
}

/// A terminal of a symbol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pin {
    /// The terminal.
    pub name: TerminalName,
    /// Steps from the upper left corner of the box.
    pub at: GridPoint,
    /// The way in which a run leaves it.
    pub facing: Facing,
}

/// The box of a symbol and its terminals.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Width and height in steps, both even.
    pub size: GridPoint,
    /// The part of the box that runs may not enter; its edges belong to it.
    pub body: GridArea,
    /// Terminals, in the order of the block's own list.
    pub pins: Vec<Pin>,
}

impl Outline {
    fn new(width: i32, height: i32) -> Self {
        let size = GridPoint::new(width, height);
        Self { size, body: GridArea { min: GridPoint::default(), max: size }, pins: Vec::with_capacity(4) }
    }
    fn pin(mut self, name: TerminalName, x: i32, y: i32, facing: Facing) -> Self {
        self.pins.push(Pin { name, at: GridPoint::new(x, y), facing });
        self
    }
    fn plain(self, stem: &'static str, x: i32, y: i32, facing: Facing) -> Self {
        self.pin(TerminalName::plain(stem), x, y, facing)
    }
}

/// One stroke of a symbol, in millimeters from the upper left corner of its box.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Its pen.
    pub pen: Pen,
    /// Its shape. Letters are never turned with the symbol; only their anchor moves.
    pub shape: Shape,
    /// Drawn only while a run lands on this terminal; always when `None`.
    pub only_with: Option<TerminalName>,
    /// The point of the box that this stroke is carried along with, if it is a sign that stays upright however
    /// the symbol lies.
    pub carried_by: Option<Point>,
}

/// A symbol, unturned.
#[derive(Clone, Debug, PartialEq)]
pub struct Symbol {
    /// Which one it is.
    pub id: SymbolId,
    /// Its box and terminals.
    pub outline: Outline,
    /// What is drawn.
    pub strokes: Vec<Stroke>,
}

/// The symbol of a block.
pub fn of(block: &Block, style: Style) -> Symbol {
    of_equipment(&block.equipment, style)
}

/// The symbol of a piece of equipment.
pub fn of_equipment(equipment: &Equipment, style: Style) -> Symbol {
    let mut pencil = Pencil::new();
    match equipment {
        Equipment::Strings(it) => strings::draw(it, &mut pencil, style.form),
        Equipment::Combiner(it) => combiner::draw(it, &mut pencil, style),
        Equipment::ChargeController(it) => charge_controller::draw(it, &mut pencil),
        Equipment::BatteryBank(it) => battery_bank::draw(it, &mut pencil),
        Equipment::Inverter(it) => inverter::draw(it, &mut pencil),
        Equipment::Breaker(it) => breaker::draw(it, &mut pencil, style.form),
        Equipment::Fuse(it) => fuse::draw(it, &mut pencil, style.form),
        Equipment::Switch(it) => switch::draw(it, &mut pencil, style.form),
        Equipment::BusBar(it) => bus_bar::draw(it, &mut pencil, style),
        Equipment::Junction(it) => junction::draw(it, &mut pencil),
        Equipment::DcConverter(_) => dc_converter::draw(&mut pencil),
        Equipment::DcLoad(_) => dc_load::draw(&mut pencil),
        Equipment::Generator(_) => generator::draw(&mut pencil),
        Equipment::Utility(_) => utility::draw(&mut pencil),
        Equipment::AcPanel(it) => ac_panel::draw(it, &mut pencil, style),
        Equipment::TransferSwitch(it) => transfer_switch::draw(it, &mut pencil),
        Equipment::Meter(it) => meter::draw(it, &mut pencil),
        Equipment::SurgeArrester(_) => surge_arrester::draw(&mut pencil, style.form),
        Equipment::GroundFaultDevice(it) => ground_fault_device::draw(it, &mut pencil, style.form),
        Equipment::ShutdownInitiator(it) => rapid_shutdown::draw_initiator(it, &mut pencil),
        Equipment::ShutdownReceiver(_) => rapid_shutdown::draw_receiver(&mut pencil),
        Equipment::Electrode(_) => electrode::draw(&mut pencil),
        Equipment::BondingJumper(_) => bonding_jumper::draw(&mut pencil),
    }
    Symbol { id: id_of(equipment), outline: outline(equipment), strokes: pencil.finish() }
}

/// The box and the terminals alone, which placing and routing need.
pub fn outline(equipment: &Equipment) -> Outline {
    match equipment {
        Equipment::Strings(_) => strings::outline(),
        Equipment::Combiner(it) => combiner::outline(it),
        Equipment::ChargeController(_) => charge_controller::outline(),
        Equipment::BatteryBank(_) => battery_bank::outline(),
        Equipment::Inverter(it) => inverter::outline(it),
        Equipment::Breaker(_) | Equipment::Fuse(_) => in_line(),
        Equipment::Switch(it) => switch::outline(it),
        Equipment::BusBar(it) => bus_bar::outline(it),
        Equipment::Junction(it) => junction::outline(it),
        Equipment::DcConverter(_) => dc_converter::outline(),
        Equipment::DcLoad(_) => dc_load::outline(),
        Equipment::Generator(_) => generator::outline(),
        Equipment::Utility(_) => utility::outline(),
        Equipment::AcPanel(it) => ac_panel::outline(it),
        Equipment::TransferSwitch(it) => transfer_switch::outline(it),
        Equipment::Meter(it) => meter::outline(it),
        Equipment::SurgeArrester(_) => surge_arrester::outline(),
        Equipment::GroundFaultDevice(_) => ground_fault_device::outline(),
        Equipment::ShutdownInitiator(_) => rapid_shutdown::initiator_outline(),
        Equipment::ShutdownReceiver(_) => rapid_shutdown::receiver_outline(),
        Equipment::Electrode(_) => electrode::outline(),
        Equipment::BondingJumper(_) => bonding_jumper::outline(),
    }
}

/// A device that lies in a run: line at the left, load at the right, half the height of the unit box.
fn in_line() -> Outline {
    Outline::new(4, 2).plain("line", 0, 1, Facing::Left).plain("load", 4, 1, Facing::Right)
}

/// Counts of terminals as their names have them.
fn small(count: u32) -> u8 {
    u8::try_from(count).unwrap_or(u8::MAX)
}

/// What of a piece of equipment its outline depends on: equal keys have equal outlines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LayoutKey {
    kind: Kind,
    counts: [u8; 2],
    variant: bool,
}

/// The key of a piece of equipment; cheaper than its outline.
pub fn layout_key(equipment: &Equipment) -> LayoutKey {
    let (counts, variant) = match equipment {
        Equipment::Combiner(it) => ([small(it.ways), small(it.buses)], it.arrester_voltage.is_some()),
        Equipment::Inverter(it) => ([small(it.ac_inputs), 0], false),
        Equipment::Switch(it) => ([small(it.circuits), 0], false),
        Equipment::BusBar(it) => ([small(it.taps), 0], false),
        Equipment::Junction(it) => ([small(it.ends), 0], false),
        Equipment::AcPanel(it) => ([small(it.taps), 0], false),
        Equipment::TransferSwitch(it) => ([0; 2], it.arrangement == TransferArrangement::Bypass),
        Equipment::Meter(it) => ([0; 2], it.kind == MeterType::Energy),
        Equipment::Strings(_)
        | Equipment::ChargeController(_)
        | Equipment::BatteryBank(_)
        | Equipment::Breaker(_)
        | Equipment::Fuse(_)
        | Equipment::DcConverter(_)
        | Equipment::DcLoad(_)
        | Equipment::Generator(_)
        | Equipment::Utility(_)
        | Equipment::SurgeArrester(_)
        | Equipment::GroundFaultDevice(_)
        | Equipment::ShutdownInitiator(_)
        | Equipment::ShutdownReceiver(_)
        | Equipment::Electrode(_)
        | Equipment::BondingJumper(_) => ([0; 2], false),
    };
    LayoutKey { kind: equipment.kind(), counts, variant }
}
