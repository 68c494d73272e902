//! The narration for a technician: volts, amperes and watts of every converter, bank and supply, and what is dead.

use crate::Seen;
use crate::account::STILL;
use lineside_core::circuit::Block;
use lineside_core::kinds::Kind;
use lineside_core::units::text;
use lineside_core::units::{Amps, Quantity, UnitSystem, Volts, Watts};
use lineside_study::flow::{ControllerFlow, InverterFlow, Outcome, SourceDoing};
use std::fmt::Write;

/// What every converter, bank and supply does in a step, sentence by sentence.
pub fn technician(seen: &Seen<'_>) -> Vec<String> {
    let tell = Tell { seen, units: seen.project.units };
    let mut said = Vec::new();
    for block in seen.project.circuit.blocks() {
        if let Some(it) = seen.flow.controller(block.id) {
            said.push(tell.controller(block, it));
        }
        if let Some(it) = seen.flow.inverter(block.id) {
            said.push(tell.inverter(block, it));
        }
        if block.kind() == Kind::BatteryBank {
            said.push(tell.bank(block));
        }
        if matches!(block.kind(), Kind::Utility | Kind::Generator) {
            said.push(tell.supply(block));
        }
    }
    said.extend(tell.dead());
    if let Outcome::NotSolved(reasons) = &seen.flow.outcome {
        let words = reasons.iter().map(|it| it.words(&seen.project.circuit, tell.units));
        said.extend(words.map(|it| format!("{}.", crate::steps::sentence(&it))));
    }
    let remarks = seen.flow.remarks.iter().map(|it| it.words(&seen.project.circuit));
    said.extend(remarks.map(|it| format!("{}.", crate::steps::sentence(&it))));
    said
}

struct Tell<'a> {
    seen: &'a Seen<'a>,
    units: UnitSystem,
}

impl Tell<'_> {
    fn figure(&self, value: impl Into<Quantity>) -> String {
        text::figure(value.into(), self.units)
    }

    fn at(&self, volts: Option<Volts>, amps: Amps) -> String {
        match volts {
            Some(volts) => format!("{} and {}", self.figure(volts), self.figure(amps)),
            None => "no voltage".to_owned(),
        }
    }

    fn controller(&self, block: &Block, it: &ControllerFlow) -> String {
        let mut said = format!("{} {}", block.tag, it.doing.label());
        if it.output_current > Amps::ZERO {
            let (taken, given) =
                (self.at(it.input_voltage, it.input_current), self.at(it.output_voltage, it.output_current));
            let _ = write!(said, ": {taken} in, {given} out");
            if let Some(stage) = it.stage_voltage {
                let _ = write!(said, ", set to {}", self.figure(stage));
            }
            let _ = write!(said, "; {} lost in it", self.figure(it.lost));
        } else if let Some(volts) = it.input_voltage {
            let _ = write!(said, "; {} stands at its PV input", self.figure(volts));
        }
        said.push('.');
        said
    }

    fn inverter(&self, block: &Block, it: &InverterFlow) -> String {
        let mut said = format!("{} {}", block.tag, it.doing.label());
        let mut parts = Vec::new();
        for (watts, what) in [
            (it.made, "made"),
            (it.passed, "passed on"),
            (it.charging, "into the bank"),
            (it.lost, "lost in it"),
        ] {
            if watts > STILL {
                parts.push(format!("{} {what}", self.figure(watts)));
            }
        }
        if let Some(volts) = it.dc_voltage {
            parts.push(format!("{} at its DC terminals", self.figure(volts)));
        }
        if !parts.is_empty() {
            let _ = write!(said, ": {}", parts.join(", "));
        }
        said.push('.');
        said
    }

    fn sources(&self, block: &Block) -> (Watts, Amps, Option<SourceDoing>) {
        let mine = self.seen.flow.sources().iter().filter(|it| it.block == block.id);
        mine.fold((Watts::ZERO, Amps::ZERO, None), |(watts, amps, _), it| {
            (watts + it.power, amps + it.current, Some(it.doing))
        })
    }

    fn bank(&self, block: &Block) -> String {
        let (watts, amps, _) = self.sources(block);
        let node = self.seen.studies.network.point(block.id, 0);
        let volts = node.and_then(|node| self.seen.flow.voltage(node));
        let charge = self.figure(self.seen.step.state.charge_of(block.id));
        let at = volts.map_or_else(String::new, |volts| format!(" and {}", self.figure(volts)));
        if watts > STILL {
            format!("{} at {charge}{at} gives {} and {}.", block.tag, self.figure(amps), self.figure(watts))
        } else if watts < -STILL {
            format!("{} at {charge}{at} takes {} and {}.", block.tag, self.figure(-amps), self.figure(-watts))
        } else {
            format!("{} at {charge}{at} rests.", block.tag)
        }
    }

    fn supply(&self, block: &Block) -> String {
        let (watts, amps, doing) = self.sources(block);
        let label = doing.map_or("is not there", SourceDoing::label);
        if watts > STILL {
            format!("{} {label}: {} and {}.", block.tag, self.figure(amps), self.figure(watts))
        } else {
            format!("{} {label}.", block.tag)
        }
    }

    /// Runs without a voltage at either end, earth aside.
    fn dead(&self) -> Option<String> {
        let (circuit, studies) = (&self.seen.project.circuit, self.seen.studies);
        let dead: Vec<&str> = circuit
            .runs()
            .filter(|run| !crate::traced::is_earth(studies, run.id))
            .filter(|run| {
                self.seen
                    .flow
                    .run(&studies.network, run.id)
                    .is_some_and(|it| it.from.is_none() && it.to.is_none())
            })
            .map(|run| run.tag.as_str())
            .collect();
        (!dead.is_empty()).then(|| format!("Dead: {}.", dead.join(", ")))
    }
}
