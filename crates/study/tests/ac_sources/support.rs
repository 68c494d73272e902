//! Small circuits of stock, and their AC sources by tag.

use lineside_codes::Codes;
use lineside_core::kinds::field::Value;
use lineside_core::testing::Bench;
use lineside_study::{AcSources, Conditions, all};

pub const UTILITY: &str = "Utility service, split-phase, 200 A";
pub const GENERATOR: &str = "Generator, 14 kW, split-phase, propane";
pub const INVERTER: &str = "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator";
pub const BREAKER: &str = "AC breaker, two-pole, 50 A, 240 V";
pub const PANEL: &str = "AC panel, split-phase, 125 A, without main";
pub const SERVICE: &str = "Service panel, split-phase, 200 A, with main";
pub const BYPASS: &str = "Bypass switch, 60 A, 240 V";

/// A circuit with its blocks changed field by field.
pub struct Sheet {
    pub bench: Bench,
    joints: usize,
}

impl Sheet {
    pub fn new(blocks: &[(&str, &str)], joints: &[(&str, &str)]) -> Self {
        let mut sheet = Self { bench: Bench::new(), joints: 0 };
        for (tag, name) in blocks {
            sheet.put(tag, name, &[]);
        }
        for (from, to) in joints {
            sheet.join(from, to);
        }
        sheet
    }
    /// Adds a block from stock with some choices changed.
    pub fn put(&mut self, tag: &str, name: &str, fields: &[(&str, Value)]) {
        let mut equipment = self.bench.stock(name);
        for (field, value) in fields {
            equipment.set(field, value).unwrap();
        }
        self.bench.put(tag, None, equipment);
    }
    pub fn join(&mut self, from: &str, to: &str) {
        self.joints += 1;
        self.bench.join(&format!("J{}", self.joints), from, to, None);
    }

    pub fn join_all(&mut self, joints: &[(&str, &str)]) {
        for (from, to) in joints {
            self.join(from, to);
        }
    }

    pub fn studied(&self) -> AcSources {
        let codes = Codes::load().unwrap();
        all(&Conditions::new(&self.bench.project, &codes)).ac_sources
    }
    pub fn tag(&self, block: lineside_core::circuit::BlockId) -> String {
        self.bench.project.circuit.block(block).unwrap().tag.clone()
    }
    /// `U1+INV1 by K1,K2` for every pair that can be joined.
    pub fn joined(&self) -> Vec<String> {
        let studied = self.studied();
        let line = |it: &lineside_study::Joined| {
            let through: Vec<String> = it.through.iter().map(|block| self.tag(*block)).collect();
            format!("{}+{} by {}", self.tag(it.a), self.tag(it.b), through.join(","))
        };
        studied.joined().map(line).collect()
    }
    /// Greatest number of bonds, whether some case has none, and the number of cases, over all zones.
    pub fn bonds(&self) -> (usize, bool, usize) {
        let studied = self.studied();
        let all: Vec<_> = studied.all().map(|(_, found)| &found.neutrals).collect();
        let most = all.iter().filter_map(|it| it.most.as_ref()).map(|case| case.bonds.len()).max();
        (most.unwrap_or(0), all.iter().any(|it| it.unbonded.is_some()), all.iter().map(|it| it.cases).sum())
    }
}
