//! What is carried from hour to hour, and which AC source is connected.

use super::connected::Connected;
use crate::generator::{Act, Generator, Running, Seen, WithSun};
use crate::utility::{Connection, Presence, SupplyOrder, Utility};
use lineside_core::units::Watts;

/// What is carried from hour to hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct State {
    /// Charge, Ah.
    pub q: f64,
    /// The bank was run down, and loads wait for it.
    pub latched: bool,
    pub generator: Running,
    /// Connected to the utility, where that depends on the charge.
    pub connected: bool,
    /// Discharge current of the hour before, A.
    pub last_discharge_a: f64,
    /// What of today's quota has not been served, Wh.
    pub quota: f64,
}

/// Which AC source is connected.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Source {
    #[default]
    None,
    Utility,
    Generator,
    /// In the hour in which it starts.
    GeneratorStarts,
}

impl Source {
    pub(crate) const fn is_generator(self) -> bool {
        matches!(self, Self::Generator | Self::GeneratorStarts)
    }
}

/// The AC supplies of a system.
#[derive(Clone, Copy, Debug)]
pub(super) struct Supplies<'a> {
    pub generator: Option<&'a Generator>,
    pub utility: Option<&'a Utility>,
}

impl Supplies<'_> {
    /// Decides at the start of an hour.
    pub(super) fn choose(&self, state: &mut State, presence: Presence, seen: &Seen) -> Source {
        let present = presence == Presence::There;
        let connected = match self.utility.map(|utility| utility.connection) {
            None => false,
            Some(Connection::Backup) => present,
            Some(Connection::SolarFirst { connect, disconnect }) => {
                let wanted = if state.connected {
                    seen.charge < disconnect.share()
                } else {
                    seen.charge <= connect.share()
                };
                present && wanted
            }
        };
        state.connected = connected;
        let first = self.utility.map(|utility| utility.order);
        let may_run = !present || self.utility.is_none() || first == Some(SupplyOrder::GeneratorFirst);
        if let Some(generator) = self.generator {
            let act = if may_run {
                generator.starter.decide(&mut state.generator, seen)
            } else {
                state.generator.rest();
                Act::Rests
            };
            match act {
                Act::Rests => {}
                Act::Starts => return Source::GeneratorStarts,
                Act::Runs => return Source::Generator,
            }
        }
        if connected { Source::Utility } else { Source::None }
    }

    /// What a source gives and allows, in an hour of this air temperature. `None` for none.
    pub(super) fn terms(&self, source: Source, celsius: f64) -> Option<Connected> {
        match source {
            Source::None => None,
            Source::Utility => self.utility.map(|utility| Connected {
                most: utility.limit_w(),
                charge_to: utility.charge_to.share(),
                sun_ac: true,
                interactive: utility.is_interactive(),
                export: utility.export_w(),
            }),
            Source::Generator | Source::GeneratorStarts => self.generator.map(|generator| {
                let limit = generator.input_limit.map_or(f64::INFINITY, Watts::value);
                let warm = if source == Source::GeneratorStarts { generator.warm_share() } else { 1.0 };
                Connected {
                    most: (generator.most_w(celsius) * warm).min(limit),
                    charge_to: 1.0,
                    sun_ac: generator.with_sun == WithSun::Parallel,
                    interactive: false,
                    export: 0.0,
                }
            }),
        }
    }
}
