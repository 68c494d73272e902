//! The account of a step: who gives power, who takes it, and what is held back, added up from the flow.

use crate::Seen;
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::Watts;

/// Powers of the whole system in a step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Account {
    /// What the strings would give where controllers look for it.
    pub offered: Watts,
    /// What of it controllers take in, after what the leads from the strings lose.
    pub taken: Watts,
    /// What the strings give.
    pub sun: Watts,
    /// What batteries give at their terminals.
    pub bank_gives: Watts,
    /// What batteries take at their terminals.
    pub bank_takes: Watts,
    /// What batteries give up inside.
    pub drawn: Watts,
    /// What stays in batteries.
    pub stored: Watts,
    /// What generators give.
    pub generator: Watts,
    /// What utilities give.
    pub utility: Watts,
    /// What goes out to utilities.
    pub exported: Watts,
    /// What loads take.
    pub loads: Watts,
    /// What is lost as heat, and as gas in batteries. What comes is what goes:
    /// `sun + drawn + generator + utility = loads + stored + exported + lost`.
    pub lost: Watts,
}

/// Powers below this are none: what controllers and relays take for themselves is larger.
pub(crate) const STILL: Watts = Watts::new(0.5);

impl Account {
    /// Adds up a step.
    pub fn of(seen: &Seen<'_>) -> Self {
        let circuit = &seen.project.circuit;
        let mut it = Self { lost: seen.flow.balance.lost, ..Self::default() };
        for source in seen.flow.sources() {
            let (gives, takes) = (source.power.max(Watts::ZERO), (-source.power).max(Watts::ZERO));
            match source.kind {
                SourceKind::Strings => it.sun += gives,
                SourceKind::BatteryString(_) => {
                    it.bank_gives += gives;
                    it.bank_takes += takes;
                }
                SourceKind::Generator => it.generator += gives,
                SourceKind::Utility => {
                    it.utility += gives;
                    it.exported += takes;
                }
                SourceKind::ControllerOutput
                | SourceKind::DcConverterOutput
                | SourceKind::Charger
                | SourceKind::InverterOutput => {}
            }
        }
        for block in circuit.blocks() {
            if let Some(controller) = seen.flow.controller(block.id) {
                it.offered += controller.available.unwrap_or_default();
                it.taken += controller.input_voltage.unwrap_or_default() * controller.input_current;
            }
            let Some(flow) = seen.flow.block(block.id) else { continue };
            let kind = block.kind();
            if kind == Kind::BatteryBank {
                it.drawn += flow.made;
                it.stored += flow.used;
            } else if matches!(kind, Kind::AcPanel | Kind::DcLoad) {
                it.loads += flow.used;
            }
        }
        it
    }

    /// What of the sun is left alone.
    pub fn held_back(&self) -> Watts {
        (self.offered - self.taken).max(Watts::ZERO)
    }
}
