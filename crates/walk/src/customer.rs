//! The narration for a customer: cause and effect in plain words, written from the computed flow.

use crate::Seen;
use crate::account::{Account, STILL};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::units::text;
use lineside_core::units::{Percent, UnitSystem, Watts};
use lineside_study::flow::{
    ChargeStage, ControllerDoing, ControllerOff, InverterDoing, InverterOff, Trip, Unserved,
};
use std::collections::BTreeSet;

/// What happens in a step, sentence by sentence.
pub fn customer(seen: &Seen<'_>) -> Vec<String> {
    let tell = Tell { seen, account: Account::of(seen), units: seen.project.units };
    let mut said = Vec::new();
    said.extend(tell.array());
    said.extend(tell.supplies());
    said.extend(tell.loads());
    said.extend(tell.bank());
    said.extend(tell.unmet());
    said.extend(tell.not_solved());
    said.extend(tell.heat());
    said
}

struct Tell<'a> {
    seen: &'a Seen<'a>,
    account: Account,
    units: UnitSystem,
}

impl Tell<'_> {
    fn watts(&self, watts: Watts) -> String {
        text::figure(watts.into(), self.units)
    }

    fn controllers(&self) -> impl Iterator<Item = ControllerDoing> {
        let blocks = self.seen.project.circuit.blocks();
        blocks.filter_map(|block| self.seen.flow.controller(block.id)).map(|it| it.doing)
    }

    /// The controllers as the subject of a sentence: one or several, with its verb.
    fn they<'w>(&self, one: &'w str, several: &'w str) -> &'w str {
        if self.controllers().count() == 1 { one } else { several }
    }

    fn array(&self) -> Option<String> {
        let first = self.controllers().next()?;
        let dark = |it: ControllerDoing| {
            matches!(it, ControllerDoing::Off(ControllerOff::NoSun | ControllerOff::TooLittle))
        };
        if self.account.sun < STILL {
            return Some(if dark(first) {
                "There is no sun on the array.".to_owned()
            } else if first == ControllerDoing::Off(ControllerOff::NoStrings) {
                "The array is cut off: whatever the sun does, nothing comes from it.".to_owned()
            } else if first == ControllerDoing::Off(ControllerOff::NoBattery) {
                "The controllers are cut off from the bank, so they take nothing from the array.".to_owned()
            } else {
                format!("Nothing comes from the array: the controller {}.", first.label())
            });
        }
        let (taken, offered) = (self.watts(self.account.taken), self.watts(self.account.offered));
        let held = self.account.held_back();
        let why = self.controllers().find(|it| *it != ControllerDoing::Tracking);
        match why {
            Some(ControllerDoing::HeldBack(stage)) if held > STILL => {
                let because = match stage {
                    ChargeStage::Equalize => "the bank is at its equalize voltage",
                    ChargeStage::Float => "the bank is full and only kept so",
                    ChargeStage::Bulk | ChargeStage::Absorb | ChargeStage::Off => {
                        "the bank is at its absorb voltage and takes no more than it can"
                    }
                };
                Some(format!(
                    "The array could make {offered}; {because}, so the {} {taken} and {} the other {} alone.",
                    self.they("controller takes", "controllers take"),
                    self.they("leaves", "leave"),
                    self.watts(held)
                ))
            }
            Some(ControllerDoing::LimitedByCurrent | ControllerDoing::LimitedByPower) if held > STILL => {
                Some(format!(
                    "The array could make {offered}, which is more than the {} can pass; {taken} of it is taken.",
                    self.they("controller", "controllers")
                ))
            }
            _ => Some(format!("The array makes {}, and all of it is taken.", self.watts(self.account.sun))),
        }
    }

    fn supplies(&self) -> Vec<String> {
        let it = &self.account;
        let mut said = Vec::new();
        for (name, watts) in [("generator", it.generator), ("utility", it.utility)] {
            if watts > STILL {
                said.push(format!("The {name} gives {}.", self.watts(watts)));
            }
        }
        if it.exported > STILL {
            said.push(format!("{} goes out to the utility.", self.watts(it.exported)));
        }
        said
    }

    fn loads(&self) -> Option<String> {
        if self.account.loads < STILL {
            return None;
        }
        let loads = self.watts(self.account.loads);
        let passes = self.inverters().any(|it| {
            matches!(
                it,
                InverterDoing::PassingThrough { .. }
                    | InverterDoing::Charging { .. }
                    | InverterDoing::Helping { .. }
            )
        });
        Some(if passes {
            format!("The loads take {loads}; the inverter passes the supply on to them.")
        } else {
            format!("The loads take {loads}.")
        })
    }

    fn inverters(&self) -> impl Iterator<Item = InverterDoing> {
        let blocks = self.seen.project.circuit.blocks();
        blocks.filter_map(|block| self.seen.flow.inverter(block.id)).map(|it| it.doing)
    }

    fn bank(&self) -> Option<String> {
        let it = &self.account;
        if it.bank_takes > STILL {
            let rest = if it.loads > STILL { "What is left" } else { "What comes" };
            return Some(format!(
                "{rest} charges the bank with {}.",
                self.watts(it.bank_takes - it.bank_gives)
            ));
        }
        if it.bank_gives > STILL {
            return Some(format!("The bank gives {}.", self.watts(it.bank_gives)));
        }
        None
    }

    fn unmet(&self) -> Vec<String> {
        let (flow, project) = (self.seen.flow, self.seen.project);
        let mut said = Vec::new();
        for it in self.inverters() {
            if let InverterDoing::Off(InverterOff::Tripped(trip @ Trip::LowVoltage { .. })) = it {
                said.push(format!("To keep the bank from harm, the inverter {}.", trip.words(self.units)));
            }
        }
        for it in &flow.unmet {
            let title = project.circuit.block(it.block).map_or_else(String::new, Block::title);
            said.push(format!("{} is without power: {}.", crate::steps::sentence(&title), self.why(&it.why)));
        }
        said
    }

    /// What is open on the way; where nothing is, what ails the sources.
    fn why(&self, why: &Unserved) -> String {
        let (circuit, network) = (&self.seen.project.circuit, &self.seen.studies.network);
        let title = |block| circuit.block(block).map_or_else(String::new, Block::title);
        let causes = match why {
            Unserved::LetGo(trip) => return format!("it {}", trip.words(self.units)),
            Unserved::Dead(causes) => causes,
        };
        let open: BTreeSet<BlockId> =
            causes.iter().filter_map(|cause| Some(network.poles().get(cause.open?)?.block)).collect();
        if open.is_empty() {
            let ails: Vec<String> = causes
                .iter()
                .map(|cause| format!("{} {}", title(cause.source), cause.doing.label()))
                .collect();
            return if ails.is_empty() { "no source is on its circuit".to_owned() } else { ails.join(", ") };
        }
        let open: Vec<String> = open.into_iter().map(title).collect();
        let verb = if open.len() == 1 { "is" } else { "are" };
        format!("{} {verb} open", open.join(" and "))
    }

    fn not_solved(&self) -> Option<String> {
        (!self.seen.flow.is_solved()).then(|| {
            "The system does not stay in this state: something switches off. The figures are those of what is left."
                .to_owned()
        })
    }

    fn heat(&self) -> Option<String> {
        let it = &self.account;
        let comes = it.sun + it.drawn + it.generator + it.utility;
        if it.lost < STILL || comes < STILL {
            return None;
        }
        let share = Percent::from_share(it.lost / comes);
        let share = text::figure(share.into(), self.units);
        Some(format!(
            "{} becomes heat, on the way and in the bank: {share} of all that comes.",
            self.watts(it.lost)
        ))
    }
}
