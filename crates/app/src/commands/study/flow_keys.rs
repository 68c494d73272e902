//! What equipment does in an operating case, as it stands in JSON.
//!
//! The words for people are the `study` crate's.

use lineside_study::flow::{ControllerDoing, ConverterDoing, FlowDirection, InverterDoing, SourceDoing};

pub(super) const fn direction_key(direction: FlowDirection) -> &'static str {
    match direction {
        FlowDirection::Forward => "forward",
        FlowDirection::Backward => "backward",
        FlowDirection::Still => "still",
    }
}

pub(super) const fn source_doing_key(doing: SourceDoing) -> &'static str {
    match doing {
        SourceDoing::Giving => "giving",
        SourceDoing::Taking => "taking",
        SourceDoing::Resting => "resting",
        SourceDoing::NotThere => "not_there",
        SourceDoing::Dark => "dark",
        SourceDoing::Tripped(_) => "tripped",
        SourceDoing::Off => "off",
    }
}

pub(super) const fn controller_key(doing: ControllerDoing) -> &'static str {
    match doing {
        ControllerDoing::Tracking => "tracking",
        ControllerDoing::HeldBack(_) => "held_back",
        ControllerDoing::LimitedByCurrent => "limited_by_current",
        ControllerDoing::LimitedByPower => "limited_by_power",
        ControllerDoing::LimitedByVoltage => "limited_by_voltage",
        ControllerDoing::Off(_) => "off",
    }
}

pub(super) const fn inverter_key(doing: InverterDoing) -> &'static str {
    match doing {
        InverterDoing::Inverting => "inverting",
        InverterDoing::PassingThrough { .. } => "passing_through",
        InverterDoing::Charging { .. } => "charging",
        InverterDoing::Helping { .. } => "helping",
        InverterDoing::Off(_) => "off",
    }
}

pub(super) const fn converter_key(doing: ConverterDoing) -> &'static str {
    match doing {
        ConverterDoing::Holding => "holding",
        ConverterDoing::LimitedByCurrent => "limited_by_current",
        ConverterDoing::Idle => "idle",
        ConverterDoing::Off(_) => "off",
    }
}
