//! Grounding: earth electrodes and the jumpers that bond a system to equipment ground.

use super::declare::{choice, equipment};
use super::inside::Inside;
use crate::circuit::{Potential, Terminal};
use crate::units::{ConductorSize, Ohms};

choice! {
    /// What an electrode is made of.
    ElectrodeType {
        /// Driven rods, pipes or plates.
        Rods = "rods", "rods, pipes or plates";
        /// Concrete-encased.
        ConcreteEncased = "concrete_encased", "concrete-encased";
        /// Ring in the ground.
        Ring = "ring", "ground ring";
        /// Building steel.
        BuildingSteel = "building_steel", "building steel";
        /// Water pipe.
        WaterPipe = "water_pipe", "metal water pipe";
    }
}

equipment! {
    /// An earth electrode.
    Electrode
    nameplate {
        /// What it is made of.
        kind: ElectrodeType, "Type";
    }
    optional {
        /// Resistance to earth.
        resistance: Ohms, "Resistance to earth", 0.01 to 1000;
    }
    settings {}
    chosen {}
}

impl Electrode {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("earth", Potential::Earth)]
    }
    pub(super) fn inside(&self) -> Inside {
        Inside::with_terminals(1)
    }
}

choice! {
    /// Which system a jumper bonds.
    BondedSystem {
        /// A DC negative.
        DcNegative = "dc_negative", "DC negative";
        /// An AC neutral.
        AcNeutral = "ac_neutral", "AC neutral";
    }
}

equipment! {
    /// A bonding jumper between a system conductor and equipment ground.
    BondingJumper
    nameplate {
        /// Which system it bonds.
        system: BondedSystem, "Bonds";
    }
    optional {
        /// Its size.
        size: ConductorSize, "Size";
    }
    settings {}
    chosen {}
}

impl BondingJumper {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("system", Potential::Earth), Terminal::new("earth", Potential::Earth)]
    }
    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.solid(0, 1);
        inside
    }
}
