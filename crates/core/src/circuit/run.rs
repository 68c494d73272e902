//! A run: one set of conductors between two terminals, or a direct joint without a conductor.

use super::block::GridPoint;
use super::ids::{BlockId, RunId};
use super::terminal::TerminalName;
use crate::kinds::common::Fitted;
use crate::kinds::declare::{choice, equipment};
use crate::units::{Celsius, ConductorSize, Meters, Millimeters, Volts};

choice! {
    /// Metal of a conductor.
    Metal {
        /// Copper.
        Copper = "copper", "Cu";
        /// Aluminum.
        Aluminum = "aluminum", "Al";
    }
}

choice! {
    /// Insulation by its trade letters. What each stands for is in the codes' table of insulations.
    Insulation {
        /// Heat-resistant thermoplastic, dry 90 °C, wet 75 °C.
        Thhn = "thhn", "THHN/THWN";
        /// Thermoplastic, 90 °C wet and dry.
        Thwn2 = "thwn_2", "THWN-2";
        /// Cross-linked, 90 °C wet and dry.
        Xhhw2 = "xhhw_2", "XHHW-2";
        /// Rubber, 90 °C wet and dry.
        Rhw2 = "rhw_2", "RHW-2";
        /// Rubber, 75 °C; also fine-strand battery cable.
        Rhw = "rhw", "RHW";
        /// Underground service entrance, sunlight-resistant.
        Use2 = "use_2", "USE-2";
        /// PV wire.
        PvWire = "pv_wire", "PV wire";
        /// Thermoplastic, 75 °C.
        Thw = "thw", "THW";
        /// Thermoplastic, 60 °C.
        Tw = "tw", "TW";
        /// Welding cable: no building wire.
        Welding = "welding", "welding cable";
        /// PVC, 70 °C, IEC.
        Pvc70 = "pvc_70", "PVC";
        /// XLPE or EPR, 90 °C, IEC.
        Xlpe90 = "xlpe_90", "XLPE";
        /// PV cable to IEC 62930.
        PvCable = "pv_cable", "PV cable";
    }
}

choice! {
    /// How a run is laid.
    Raceway {
        /// Single conductors in free air.
        FreeAir = "free_air", "free air";
        /// Plastic conduit.
        PlasticConduit = "plastic_conduit", "PVC conduit";
        /// Metal tubing or conduit.
        MetalConduit = "metal_conduit", "EMT";
        /// Metal-clad cable.
        MetalClad = "metal_clad", "MC cable";
        /// Cable tray.
        Tray = "tray", "cable tray";
        /// Conduit in the ground.
        BuriedConduit = "buried_conduit", "PVC conduit, buried";
        /// Straight in the ground.
        Buried = "buried", "direct buried";
        /// Inside an enclosure or wireway.
        Enclosure = "enclosure", "inside an enclosure";
    }
}

choice! {
    /// Method of installation of IEC 60364-5-52.
    Method {
        /// Single cores in conduit in an insulating wall.
        A1 = "a1", "A1";
        /// Multicore in conduit in an insulating wall.
        A2 = "a2", "A2";
        /// Single cores in conduit on a wall.
        B1 = "b1", "B1";
        /// Multicore in conduit on a wall.
        B2 = "b2", "B2";
        /// Clipped to a wall.
        C = "c", "C";
        /// In ducts in the ground.
        D1 = "d1", "D1";
        /// Straight in the ground.
        D2 = "d2", "D2";
        /// Multicore in free air.
        E = "e", "E";
        /// Single cores touching, in free air.
        F = "f", "F";
        /// PV cable on a surface, by the table of IEC 62930.
        Surface = "surface", "PV cable on a surface";
        /// PV cable alone in free air, by the table of IEC 62930.
        Free = "free", "PV cable in free air";
    }
}

choice! {
    /// Trade size of a raceway, in inches.
    RacewaySize {
        /// Half an inch.
        Half = "half", "1/2";
        /// Three quarters of an inch.
        ThreeQuarters = "three_quarters", "3/4";
        /// One inch.
        One = "one", "1";
        /// One inch and a quarter.
        OneAndQuarter = "one_and_quarter", "1-1/4";
        /// One inch and a half.
        OneAndHalf = "one_and_half", "1-1/2";
        /// Two inches.
        Two = "two", "2";
        /// Two inches and a half.
        TwoAndHalf = "two_and_half", "2-1/2";
        /// Three inches.
        Three = "three", "3";
        /// Three inches and a half.
        ThreeAndHalf = "three_and_half", "3-1/2";
        /// Four inches.
        Four = "four", "4";
    }
}

choice! {
    /// How the strands of a conductor are held together at its ends.
    ConductorEnds {
        /// Bare strands under the clamp of the terminal.
        Bare = "bare", "bare strands";
        /// Crimped lugs that are marked for the strands.
        Lugs = "lugs", "crimped lugs for these strands";
        /// Ferrules.
        Ferrules = "ferrules", "ferrules";
    }
}

choice! {
    /// How fine the strands are.
    Stranding {
        /// Solid.
        Solid = "solid", "solid";
        /// Coarse strands of building wire.
        Coarse = "coarse", "stranded";
        /// Fine strands of flexible cable.
        Fine = "fine", "fine strand";
    }
}

choice! {
    /// Whether the strands are tinned.
    Coating {
        /// Bare metal.
        Plain = "plain", "plain";
        /// Tinned.
        Tinned = "tinned", "tinned";
    }
}

equipment! {
    /// What a run is made of. Length is one way.
    Conductor
    nameplate {
        /// Size of each conductor.
        size: ConductorSize, "Size";
        /// Metal.
        metal: Metal, "Metal";
        /// Insulation.
        insulation: Insulation, "Insulation";
        /// Greatest voltage of the insulation.
        voltage: Volts, "Insulation voltage", 50 to 5000;
        /// How fine the strands are.
        stranding: Stranding, "Strands";
        /// Whether the strands are tinned.
        coating: Coating, "Coating";
    }
    optional {}
    settings {
        /// Conductors in parallel for each pole.
        parallel: u32, "In parallel", 1 to 12;
        /// Length, one way.
        length: Meters, "Length, one way", 0 to 5000;
        /// How it is laid.
        raceway: Raceway, "Raceway";
        /// Current-carrying conductors that share the raceway, these included.
        loaded_conductors: u32, "Conductors in the raceway", 1 to 60;
    }
    chosen {
        /// Method of installation by IEC 60364-5-52.
        method: Method, "Method of installation";
        /// Hottest ambient along the run; the place's when not given.
        ambient: Celsius, "Ambient", -40 to 90;
        /// Height above a roof in the sun; none when it is not on a roof.
        above_roof: Millimeters, "Height above the roof", 0 to 5000;
        /// Terminal temperature rating where the run begins, when better known than from the block.
        terminal_from: Celsius, "Terminal rating, from", 60 to 120;
        /// Terminal temperature rating where the run ends, when better known than from the block.
        terminal_to: Celsius, "Terminal rating, to", 60 to 120;
        /// Size of the equipment-grounding conductor.
        grounding_conductor: ConductorSize, "Equipment-grounding conductor";
        /// Size that ampacity alone would need, when the conductors were enlarged.
        size_before_enlarging: ConductorSize, "Size before enlarging";
        /// Runs with the same name here lie in one raceway.
        raceway_name: String, "Raceway name";
        /// Trade size of the raceway.
        raceway_size: RacewaySize, "Raceway size";
        /// How the strands are held at both ends.
        ends: ConductorEnds, "Conductor ends";
        /// Whether the insulation is marked as resistant to sunlight.
        sunlight_marked: Fitted, "Marked for sunlight";
    }
}

impl Conductor {
    /// Two coarse copper conductors of one circuit for 600 V in free air, of which nothing else is told.
    pub fn copper(size: ConductorSize, insulation: Insulation, length: Meters) -> Self {
        Self {
            size,
            metal: Metal::Copper,
            insulation,
            voltage: Volts::new(600.0),
            stranding: Stranding::Coarse,
            coating: Coating::Plain,
            parallel: 1,
            length,
            raceway: Raceway::FreeAir,
            loaded_conductors: 2,
            method: None,
            ambient: None,
            above_roof: None,
            terminal_from: None,
            terminal_to: None,
            grounding_conductor: None,
            size_before_enlarging: None,
            raceway_name: None,
            raceway_size: None,
            ends: None,
            sunlight_marked: None,
        }
    }
}

/// One end of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RunEnd {
    /// The block on which it lands.
    pub block: BlockId,
    /// The terminal of that block.
    pub terminal: TerminalName,
}

/// Which end of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Where it begins.
    From,
    /// Where it ends.
    To,
}

impl Side {
    /// Both, in order.
    pub const BOTH: [Self; 2] = [Self::From, Self::To];

    /// The other end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::From => Self::To,
            Self::To => Self::From,
        }
    }
    /// As it stands in finding ids.
    pub const fn key(self) -> &'static str {
        match self {
            Self::From => "from",
            Self::To => "to",
        }
    }
}

/// One set of conductors between two terminals.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Its id, for good.
    pub id: RunId,
    /// Its tag: `W3`.
    pub tag: String,
    /// Where it begins.
    pub from: RunEnd,
    /// Where it ends.
    pub to: RunEnd,
    /// What it is made of; `None` for a direct joint, such as a device bolted onto a bus.
    pub conductor: Option<Box<Conductor>>,
    /// Corners that were placed by hand; empty when the run routes itself.
    pub bends: Vec<GridPoint>,
    /// What people wrote beside it.
    pub note: String,
}

impl Run {
    /// An end, by its side.
    pub const fn end(&self, side: Side) -> RunEnd {
        match side {
            Side::From => self.from,
            Side::To => self.to,
        }
    }
    /// Both ends with their sides.
    pub fn ends(&self) -> [(Side, RunEnd); 2] {
        [(Side::From, self.from), (Side::To, self.to)]
    }
}
