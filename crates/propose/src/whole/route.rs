//! Ways: how the conductors of each kind of circuit are laid, by the manner of the rule set's country.

use super::draft::Draft;
use lineside_core::circuit::{Coating, Conductor, ConductorEnds, Insulation, Method, Raceway, Stranding};
use lineside_core::units::UnitSystem;
use lineside_core::units::{ConductorSize, Meters, Millimeters, Volts};

/// A kind of way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// From a string to its combiner, or on to the roof's edge.
    StringLead,
    /// From the array to the power room.
    Array,
    /// Within the power panel, on the array side.
    InsideArray,
    /// Within the power panel.
    Inside,
    /// Between a battery and its fuse, in the battery room.
    BankLead,
    /// Between a battery and its fuse, in the power room.
    PackLead,
    /// Through the wall of the battery room.
    Bank,
    /// From the power room to the loads.
    House,
    /// From the generator.
    Engine,
    /// From the service.
    Service,
    /// The service itself.
    ServiceEntry,
    /// From the bus to the bonding jumper.
    Bond,
    /// From the bonding jumper to the electrode.
    Electrode,
}

/// Whether an array stands on the building that it serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stand {
    /// It does, and everything is in that building.
    OnBuilding,
    /// It stands on the ground, and the equipment in a shed of its own.
    OnGround,
}

/// Meters in a foot, by definition.
const FOOT: f64 = 0.3048;

impl Draft<'_> {
    fn meters(&self, name: &'static str) -> Meters {
        Meters::new(self.terms.factors.value(name))
    }

    /// An assumed length, in whole feet where people measure in feet.
    fn length(&self, way: Way) -> Meters {
        let assumed = self.assumed_length(way);
        match self.project.units {
            UnitSystem::Si => assumed,
            UnitSystem::Us => Meters::new((assumed.value() / FOOT - 1e-9).ceil() * FOOT),
        }
    }

    fn assumed_length(&self, way: Way) -> Meters {
        self.meters(match (way, self.terms.stand()) {
            (Way::StringLead, _) => "lead_string",
            (Way::Array, Stand::OnBuilding) => "route_roof",
            (Way::Array, Stand::OnGround) => "route_ground",
            (Way::InsideArray | Way::Inside | Way::PackLead | Way::Bond, _)
            | (Way::House, Stand::OnBuilding) => "lead_inside",
            (Way::BankLead, _) => "lead_bank",
            (Way::Bank, _) => "route_bank",
            (Way::House, Stand::OnGround) => "route_house",
            (Way::Engine, _) => "route_generator",
            (Way::Service | Way::ServiceEntry, _) => "route_service",
            (Way::Electrode, _) => "lead_ground",
        })
    }

    /// A conductor for a way. Its size is found later; here stands one of the middle.
    pub(super) fn conductor(&self, way: Way) -> Conductor {
        if self.project.rule_set.is_nec() { self.american(way) } else { self.european(way) }
    }

    fn american(&self, way: Way) -> Conductor {
        let on_ground = self.terms.stand() == Stand::OnGround;
        let length = self.length(way);
        let base = Conductor::copper(ConductorSize::Awg(2), Insulation::Thwn2, length);
        let laid = |raceway| Conductor { raceway, ..base.clone() };
        match way {
            Way::StringLead if self.leads_in_metal() => laid(Raceway::MetalConduit),
            Way::StringLead => Conductor {
                insulation: Insulation::PvWire,
                voltage: Volts::new(1000.0),
                ..laid(Raceway::FreeAir)
            },
            Way::Array if on_ground => laid(Raceway::BuriedConduit),
            Way::Array => {
                Conductor { above_roof: Some(Millimeters::new(51.0)), ..laid(Raceway::MetalConduit) }
            }
            Way::InsideArray | Way::Inside | Way::Bond => laid(Raceway::Enclosure),
            Way::BankLead => Conductor {
                insulation: Insulation::Rhw2,
                stranding: Stranding::Fine,
                ends: Some(ConductorEnds::Lugs),
                ..laid(Raceway::FreeAir)
            },
            Way::PackLead | Way::Bank | Way::Service | Way::ServiceEntry => laid(Raceway::MetalConduit),
            Way::House if !on_ground => laid(Raceway::MetalConduit),
            Way::House | Way::Engine => laid(Raceway::BuriedConduit),
            Way::Electrode => laid(Raceway::FreeAir),
        }
    }

    fn european(&self, way: Way) -> Conductor {
        let on_ground = self.terms.stand() == Stand::OnGround;
        let size = ConductorSize::Metric(350);
        let base = Conductor {
            voltage: Volts::new(450.0),
            raceway: Raceway::MetalConduit,
            method: Some(Method::B1),
            stranding: Stranding::Fine,
            ends: Some(ConductorEnds::Lugs),
            ..Conductor::copper(size, Insulation::Pvc70, self.length(way))
        };
        let buried = Conductor {
            insulation: Insulation::Xlpe90,
            voltage: Volts::new(600.0),
            raceway: Raceway::BuriedConduit,
            method: Some(Method::D1),
            ..base.clone()
        };
        match way {
            Way::StringLead | Way::Array | Way::InsideArray => Conductor {
                insulation: Insulation::PvCable,
                voltage: Volts::new(1500.0),
                coating: Coating::Tinned,
                raceway: Raceway::FreeAir,
                method: Some(Method::Surface),
                ..base
            },
            Way::House if on_ground => buried,
            Way::Engine => buried,
            Way::Inside
            | Way::BankLead
            | Way::PackLead
            | Way::Bank
            | Way::House
            | Way::Service
            | Way::ServiceEntry
            | Way::Bond
            | Way::Electrode => base,
        }
    }
}
