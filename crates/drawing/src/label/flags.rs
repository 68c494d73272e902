//! Conductor flags: what a run is made of, in the trade's form: tag, number × size, metal, insulation,
//! equipment-grounding conductor, raceway, one-way length.

use super::{Figures, SMALL_HEIGHT};
use crate::display_list::Weight;
use crate::metrics;
use crate::pen::Ink;
use lineside_core::circuit::{Conductor, Raceway, Run};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::AcSystem;
use lineside_core::units::text::UnitSystem;
use std::fmt::Write;

/// The flag of a run, in the pieces at which it may be broken into lines.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Flag {
    /// The tag alone.
    pub tag: String,
    /// Number, size, metal and insulation, with the comma before what follows.
    pub conductor: String,
    /// Grounding conductor, raceway, length.
    pub way: String,
    /// Lengths of the three, mm.
    pub lengths: [f32; 3],
}

impl Flag {
    /// The flag of a run; `None` for a direct joint, which has no conductor to tell of.
    pub(crate) fn of(run: &Run, conductors: Option<u32>, figures: &mut Figures) -> Option<Self> {
        let it = run.conductor.as_deref()?;
        let conductor = format!("{}, ", set(it, conductors));
        let mut way = String::with_capacity(32);
        if let Some(size) = it.grounding_conductor {
            let name = if size.system() == UnitSystem::Si { "PE" } else { "EGC" };
            let _ = write!(way, "{} {name}, ", size.table_name());
        }
        if it.raceway != Raceway::FreeAir {
            let _ = write!(way, "{}, ", it.raceway.label());
        }
        figures.write(&mut way, it.length);
        let measure = |text: &str, weight| metrics::length(text, weight, SMALL_HEIGHT);
        let lengths = [
            measure(&run.tag, Weight::Strong),
            measure(&conductor, Weight::Regular),
            measure(&way, Weight::Regular),
        ];
        Some(Self { tag: run.tag.clone(), conductor, way, lengths })
    }
}

/// `2-10 AWG Cu PV wire`, `2 × 70 mm² Cu XLPE`, and `2 × (2-4/0 AWG Cu THWN-2)` for sets in parallel. The number
/// is left out where it is not known.
fn set(it: &Conductor, conductors: Option<u32>) -> String {
    let mut set = String::with_capacity(32);
    if let Some(number) = conductors {
        let joint = if it.size.system() == UnitSystem::Si { " × " } else { "-" };
        let _ = write!(set, "{number}{joint}");
    }
    let _ = write!(set, "{} {} {}", it.size, it.metal.label(), it.insulation.label());
    if it.parallel > 1 { format!("{} × ({set})", it.parallel) } else { set }
}

/// How many conductors the circuit of a run has, the neutral included, as far as it shows at the run itself:
/// two for DC, by the AC system of the equipment at either end, one to earth; `None` where neither end tells.
pub(crate) fn conductors(ink: Ink, ends: [Option<&Equipment>; 2]) -> Option<u32> {
    match ink {
        Ink::Pv | Ink::Battery => Some(2),
        Ink::Earth => Some(1),
        Ink::Dead => None,
        Ink::Ac => ends.into_iter().flatten().find_map(ac_system).map(|system| match system {
            AcSystem::Single120 | AcSystem::Single230 | AcSystem::Single240 => 2,
            AcSystem::Split120x240 => 3,
            AcSystem::Three208 | AcSystem::Three400 => 4,
        }),
    }
}

fn ac_system(equipment: &Equipment) -> Option<AcSystem> {
    match equipment {
        Equipment::Inverter(it) => Some(it.ac_system),
        Equipment::Generator(it) => Some(it.ac_system),
        Equipment::Utility(it) => Some(it.ac_system),
        Equipment::AcPanel(it) => Some(it.ac_system),
        Equipment::Strings(_)
        | Equipment::Combiner(_)
        | Equipment::ChargeController(_)
        | Equipment::BatteryBank(_)
        | Equipment::Breaker(_)
        | Equipment::Fuse(_)
        | Equipment::Switch(_)
        | Equipment::BusBar(_)
        | Equipment::Junction(_)
        | Equipment::DcConverter(_)
        | Equipment::DcLoad(_)
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
