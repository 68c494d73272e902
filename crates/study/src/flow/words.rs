//! What a flow has to tell beside its figures, in plain words.
//!
//! What controllers and inverters do is told in `doing.rs`, why a case is no steady state in `outcome.rs`.

use super::doing::{Cause, ConverterDoing, ConverterOff, SourceDoing, Unmet, Unserved};
use super::found::Remark;
use super::trips::Trip;
use crate::network::Network;
use lineside_core::circuit::{Block, BlockId, Circuit};
use lineside_core::units::{Quantity, UnitSystem, text};

impl SourceDoing {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Giving => "gives power",
            Self::Taking => "takes power",
            Self::Resting => "rests",
            Self::NotThere => "is not there",
            Self::Dark => "has no sun",
            Self::Tripped(_) => "has switched off by itself",
            Self::Off => "is off",
        }
    }
}

impl ConverterDoing {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Holding => "holds its output voltage",
            Self::LimitedByCurrent => "gives its greatest current",
            Self::Idle => "idles: its output stands above its own voltage",
            Self::Off(ConverterOff::SwitchedOff) => "is switched off",
            Self::Off(ConverterOff::Tripped(_)) => "has switched off by itself",
            Self::Off(ConverterOff::NoSource) => "is off: its input is dead",
        }
    }
}

impl Trip {
    /// Why it switched off, to stand behind the name of what did.
    pub fn words(self, units: UnitSystem) -> String {
        let figure = |quantity: Quantity| text::figure(quantity, units);
        match self {
            Self::LowVoltage { volts, limit } => {
                format!("stops below {}, and would stand at {}", figure(limit.into()), figure(volts.into()))
            }
            Self::HighVoltage { volts, limit } => {
                format!("stops above {}, and would stand at {}", figure(limit.into()), figure(volts.into()))
            }
            Self::Overload { asked, limit } => {
                format!("is asked for {} and gives {} at most", figure(asked.into()), figure(limit.into()))
            }
            Self::Collapse { volts } => {
                format!("would pull the voltage down to {}", figure(volts.into()))
            }
        }
    }
}

impl Unmet {
    /// Why the load is without power.
    pub fn words(&self, network: &Network, circuit: &Circuit, units: UnitSystem) -> String {
        match &self.why {
            Unserved::LetGo(trip) => format!("it {}", trip.words(units)),
            Unserved::Dead(causes) if causes.is_empty() => "no source is on its circuit".to_owned(),
            Unserved::Dead(causes) => {
                let told = causes.iter().map(|cause| cause.words(network, circuit, units));
                told.collect::<Vec<_>>().join("; ")
            }
        }
    }
}

impl Cause {
    /// What is in the way of the source, and what ails it.
    pub fn words(&self, network: &Network, circuit: &Circuit, units: UnitSystem) -> String {
        let source = title(circuit, self.source);
        let open = self.open.and_then(|pole| network.poles().get(pole));
        let ails = match self.doing {
            SourceDoing::Tripped(trip) => Some(trip.words(units)),
            SourceDoing::NotThere | SourceDoing::Dark | SourceDoing::Off => {
                Some(self.doing.label().to_owned())
            }
            SourceDoing::Giving | SourceDoing::Taking | SourceDoing::Resting => None,
        };
        match (open, ails) {
            (Some(pole), ails) => {
                let ails = ails.map(|ails| format!(", which {ails}")).unwrap_or_default();
                format!("{} is open on the way to {source}{ails}", title(circuit, pole.block))
            }
            (None, Some(ails)) => format!("{source} {ails}"),
            (None, None) => format!("{source} does not reach it"),
        }
    }
}

impl Remark {
    /// The remark as a sentence.
    pub fn words(&self, circuit: &Circuit) -> String {
        match self {
            Self::ResistanceUnknown(run) => {
                let tag = circuit.run(*run).map_or("a run", |run| run.tag.as_str());
                format!("no table tells the resistance of {tag}; it is taken to have none")
            }
            Self::UnknownTag(tag) => format!("the case names {tag}, which is not on the sheet"),
            Self::NoModel(block) => format!("nothing is known of how {} behaves", title(circuit, *block)),
        }
    }
}

fn title(circuit: &Circuit, block: BlockId) -> String {
    circuit.block(block).map_or_else(|| "a block".to_owned(), Block::title)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network;
    use lineside_core::testing::Bench;
    use lineside_core::units::{Volts, Watts};

    #[test]
    fn a_dark_load_is_told_what_stands_in_the_way() {
        let mut bench = Bench::new();
        let inverter = bench.stock("Inverter, 1.2 kW, 24 V to 230 V");
        let inverter = bench.put("INV1", None, inverter);
        let breaker = bench.stock("AC breaker, two-pole, 50 A, 240 V");
        let breaker = bench.put("Q7", None, breaker);
        let circuit = &bench.project.circuit;
        let network = network::expand(circuit);
        let pole = network.poles().iter().position(|pole| pole.block == breaker);
        let low = Trip::LowVoltage { volts: Volts::new(20.51), limit: Volts::new(21.0) };
        let kind = lineside_core::kinds::inside::SourceKind::InverterOutput;
        let cause = |doing, open| Cause { source: inverter, kind, doing, open };
        let check = |causes: Vec<Cause>, expected: &str| {
            let unmet = Unmet { block: breaker, asked: Watts::new(500.0), why: Unserved::Dead(causes) };
            assert_eq!(unmet.words(&network, circuit, UnitSystem::Si), expected);
        };
        check(Vec::new(), "no source is on its circuit");
        check(vec![cause(SourceDoing::Resting, pole)], "breaker Q7 is open on the way to inverter INV1");
        check(
            vec![cause(SourceDoing::Off, pole)],
            "breaker Q7 is open on the way to inverter INV1, which is off",
        );
        check(
            vec![cause(SourceDoing::Tripped(low), None)],
            "inverter INV1 stops below 21.00 V, and would stand at 20.51 V",
        );
    }
}
