//! Which symbols there are, as the key on the sheet lists them.

use lineside_core::kinds::Equipment;
use lineside_core::kinds::charge_controller::ControllerType;
use lineside_core::kinds::common::{Fitted, LoadBreak};
use lineside_core::kinds::fuse::FuseMount;
use lineside_core::kinds::ground_fault_device::GroundFaultType;
use lineside_core::kinds::meter::MeterType;
use lineside_core::kinds::transfer_switch::TransferArrangement;

macro_rules! symbols {
    ($($(#[$doc:meta])* $name:ident = $label:literal;)+) => {
        /// A symbol. One kind of block may be drawn with one of several.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum SymbolId { $($(#[$doc])* $name,)+ }

        impl SymbolId {
            /// Every symbol, in the order of the key.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];
            /// As the key on the sheet names it.
            pub const fn label(self) -> &'static str { match self { $(Self::$name => $label),+ } }
        }
    };
}

symbols! {
    /// PV strings.
    Strings = "PV strings";
    /// Combiner.
    Combiner = "Combiner";
    /// Controller that tracks.
    TrackingController = "Charge controller, tracking";
    /// Controller that switches.
    SwitchingController = "Charge controller, PWM";
    /// Battery bank.
    BatteryBank = "Battery bank";
    /// Inverter.
    Inverter = "Inverter";
    /// Inverter with AC inputs.
    InverterCharger = "Inverter-charger";
    /// Breaker.
    Breaker = "Breaker";
    /// Fuse.
    Fuse = "Fuse";
    /// Fuse in a touch-safe holder.
    FuseHolder = "Fuse in touch-safe holder";
    /// Fuse on a load-break switch.
    FusedSwitch = "Fused load-break switch";
    /// Switch that may not be opened under load.
    Disconnector = "Disconnect, not load-break";
    /// Switch that may be opened under load.
    LoadBreakSwitch = "Load-break switch";
    /// Bus bar.
    BusBar = "Bus bar";
    /// Junction.
    Junction = "Junction";
    /// DC converter.
    DcConverter = "DC converter";
    /// DC load.
    DcLoad = "DC load";
    /// Generator.
    Generator = "Generator";
    /// Utility service.
    Utility = "Utility service";
    /// AC panel.
    AcPanel = "AC panel";
    /// Transfer switch.
    TransferSwitch = "Transfer switch";
    /// Automatic transfer switch.
    AutomaticTransfer = "Automatic transfer switch";
    /// Bypass switch.
    BypassSwitch = "Bypass: N normal, B bypass";
    /// Shunt.
    Shunt = "Shunt";
    /// Energy meter.
    EnergyMeter = "Energy meter";
    /// Current transformer.
    CurrentTransformer = "Current transformer";
    /// Surge arrester.
    SurgeArrester = "Surge arrester";
    /// DC ground-fault device.
    GroundFaultInterrupter = "DC ground-fault device";
    /// Residual-current device.
    ResidualCurrentDevice = "Residual-current device";
    /// Rapid-shutdown initiator.
    ShutdownInitiator = "Rapid-shutdown initiator";
    /// Rapid-shutdown receivers.
    ShutdownReceiver = "Rapid-shutdown receivers";
    /// Earth electrode.
    Electrode = "Earth electrode";
    /// Bonding jumper.
    BondingJumper = "Bonding jumper";
}

/// With which symbol a piece of equipment is drawn.
pub fn id_of(equipment: &Equipment) -> SymbolId {
    match equipment {
        Equipment::Strings(_) => SymbolId::Strings,
        Equipment::Combiner(_) => SymbolId::Combiner,
        Equipment::ChargeController(it) => match it.kind {
            ControllerType::TrackingStepDown | ControllerType::TrackingStepUpDown => {
                SymbolId::TrackingController
            }
            ControllerType::Switching => SymbolId::SwitchingController,
        },
        Equipment::BatteryBank(_) => SymbolId::BatteryBank,
        Equipment::Inverter(it) if it.ac_inputs == 0 => SymbolId::Inverter,
        Equipment::Inverter(_) => SymbolId::InverterCharger,
        Equipment::Breaker(_) => SymbolId::Breaker,
        Equipment::Fuse(it) => match it.mount {
            FuseMount::BoltDown => SymbolId::Fuse,
            FuseMount::TouchSafeHolder => SymbolId::FuseHolder,
            FuseMount::FusedSwitch => SymbolId::FusedSwitch,
        },
        Equipment::Switch(it) => match it.load_break {
            LoadBreak::Yes => SymbolId::LoadBreakSwitch,
            LoadBreak::No => SymbolId::Disconnector,
        },
        Equipment::BusBar(_) => SymbolId::BusBar,
        Equipment::Junction(_) => SymbolId::Junction,
        Equipment::DcConverter(_) => SymbolId::DcConverter,
        Equipment::DcLoad(_) => SymbolId::DcLoad,
        Equipment::Generator(_) => SymbolId::Generator,
        Equipment::Utility(_) => SymbolId::Utility,
        Equipment::AcPanel(_) => SymbolId::AcPanel,
        Equipment::TransferSwitch(it) => match (it.arrangement, it.automatic) {
            (TransferArrangement::Bypass, _) => SymbolId::BypassSwitch,
            (TransferArrangement::Transfer, Fitted::Yes) => SymbolId::AutomaticTransfer,
            (TransferArrangement::Transfer, Fitted::No) => SymbolId::TransferSwitch,
        },
        Equipment::Meter(it) => match it.kind {
            MeterType::Shunt => SymbolId::Shunt,
            MeterType::Energy => SymbolId::EnergyMeter,
            MeterType::CurrentTransformer => SymbolId::CurrentTransformer,
        },
        Equipment::SurgeArrester(_) => SymbolId::SurgeArrester,
        Equipment::GroundFaultDevice(it) => match it.kind {
            GroundFaultType::DcInterrupter => SymbolId::GroundFaultInterrupter,
            GroundFaultType::ResidualCurrent => SymbolId::ResidualCurrentDevice,
        },
        Equipment::ShutdownInitiator(_) => SymbolId::ShutdownInitiator,
        Equipment::ShutdownReceiver(_) => SymbolId::ShutdownReceiver,
        Equipment::Electrode(_) => SymbolId::Electrode,
        Equipment::BondingJumper(_) => SymbolId::BondingJumper,
    }
}
