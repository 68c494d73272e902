//! Which arrays must be made safe in an emergency, and what would do it. What is asked of them is in
//! `rapid_shutdown.rs`.

use crate::circumstances::Circumstances;
use lineside_core::circuit::Block;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::rapid_shutdown::{ReceiverReach, ShutdownReceiver};
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::switch::Switch;
use lineside_core::units::Volts;
use lineside_study::ways;
use lineside_study::{NodeId, ShutdownSubject, ZoneKind, shutdown_subjects};

/// What makes the conductors of an array safe.
#[derive(Clone, Copy)]
pub(super) enum Control<'a> {
    /// Receivers on every way from the strings.
    Receivers(&'a ShutdownReceiver),
    /// A switch that also starts the shutdown.
    Switch,
    /// Nothing.
    None,
}

/// A set of strings as the rule sees it.
#[derive(Clone, Copy)]
pub(super) struct Array<'a> {
    /// The block.
    pub block: &'a Block,
    strings: &'a Strings,
    /// Cold voltage of a string; at 25 °C when the record low is not given.
    pub voltage: Volts,
    /// How far the rule applies.
    pub subject: ShutdownSubject,
    /// What makes it safe.
    pub control: Control<'a>,
}

impl Array<'_> {
    /// What is left within the array: a module where each is switched off from the next, else a string.
    pub(super) fn inside(&self) -> Volts {
        match self.control {
            Control::Receivers(ShutdownReceiver { reach: ReceiverReach::EachModule, .. }) => {
                self.voltage / f64::from(self.strings.modules_in_series)
            }
            Control::Receivers(_) | Control::Switch | Control::None => self.voltage,
        }
    }
    /// How that comes about, in words.
    pub(super) const fn explanation(&self) -> &'static str {
        match self.control {
            Control::Receivers(ShutdownReceiver { reach: ReceiverReach::EachModule, .. }) => {
                "one module, V_max / n"
            }
            Control::Receivers(_) => "a whole string, or what the receiver leaves",
            Control::Switch | Control::None => "a whole string, V_max",
        }
    }
}

/// Every set of strings that is wired to something.
pub(super) fn arrays<'a>(on: &Circumstances<'a>) -> Vec<Array<'a>> {
    let mut found = Vec::new();
    for zone in on.zones(ZoneKind::Pv) {
        let has_switch = on.poles_in(zone).any(|pole| {
            on.block(pole.block)
                .and_then(|block| block.equipment.as_kind::<Switch>())
                .is_some_and(|it| it.starts_rapid_shutdown == Some(Fitted::Yes))
        });
        for source in zone.sources.iter().filter_map(|i| on.studies.network.sources().get(*i)) {
            let Some(block) = on.block(source.block).filter(|_| source.kind == SourceKind::Strings) else {
                continue;
            };
            let Equipment::Strings(strings) = &block.equipment else { continue };
            if on.circuit().runs_at(block.id).is_empty() {
                continue;
            }
            let control = match receiver(on, source.node) {
                Some(receiver) => Control::Receivers(receiver),
                None if has_switch => Control::Switch,
                None => Control::None,
            };
            let voltages = on.studies.windows.strings(block.id);
            let voltage = voltages.and_then(|it| it.cold_open_circuit.or(Some(it.open_circuit)));
            found.push(Array {
                block,
                strings,
                voltage: voltage.unwrap_or_default(),
                subject: shutdown_subjects::of(&on.on, &on.studies.network, zone, block.id),
                control,
            });
        }
    }
    found
}

/// The receivers on the ways from the strings; `None` when some way has none. The one that leaves the most counts.
fn receiver<'a>(on: &Circumstances<'a>, node: NodeId) -> Option<&'a ShutdownReceiver> {
    let network = &on.studies.network;
    let of = |block| on.block(block).and_then(|block| block.equipment.as_kind::<ShutdownReceiver>());
    let found = ways::from(on.circuit(), network, node, |pole| of(pole.block).is_some());
    if !found.open.is_empty() {
        return None;
    }
    let receivers = found.stops.iter().filter_map(|stop| of(network.poles().get(stop.pole)?.block));
    receivers.max_by(|a, b| {
        let whole = |it: &ShutdownReceiver| it.reach == ReceiverReach::WholeString;
        whole(a).cmp(&whole(b)).then(a.residual_voltage.total_cmp(&b.residual_voltage))
    })
}
