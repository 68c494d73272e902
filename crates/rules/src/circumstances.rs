//! What a rule is given: the project, the tables, the rule set and the studies.

use lineside_codes::{Codes, FactorKey};
use lineside_core::circuit::{Block, BlockId, Circuit, Conductor, Run, RunId};
use lineside_core::project::{Project, RuleSet, StockItem};
use lineside_core::units::Measure;
use lineside_study::{Conditions, Studies, Zone, ZoneKind};

/// The input of a rule.
#[derive(Clone, Copy)]
pub struct Circumstances<'a> {
    /// Project, tables and rule set.
    pub on: Conditions<'a>,
    /// What the studies found.
    pub studies: &'a Studies,
    /// Stock from which remedies may take equipment, beside the project's own; checks need none.
    pub stock: &'a [StockItem],
}

impl<'a> Circumstances<'a> {
    /// What a check is given: no stock, since it proposes nothing.
    pub const fn of(on: Conditions<'a>, studies: &'a Studies) -> Self {
        Self { on, studies, stock: &[] }
    }
    /// The project.
    pub const fn project(&self) -> &'a Project {
        self.on.project
    }
    /// The circuit.
    pub const fn circuit(&self) -> &'a Circuit {
        &self.on.project.circuit
    }
    /// The tables.
    pub const fn codes(&self) -> &'a Codes {
        self.on.codes
    }
    /// The rule set.
    pub const fn rule_set(&self) -> RuleSet {
        self.on.rule_set
    }
    /// A pure factor of the rule set.
    pub fn number(&self, key: FactorKey) -> f64 {
        self.on.number(key)
    }
    /// A limit of the rule set.
    pub fn limit<M: Measure + Default>(&self, key: FactorKey) -> M {
        self.on.quantity(key)
    }
    /// A limit of the rule set that counts things.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "limits of counts are small")]
    pub fn count(&self, key: FactorKey) -> usize {
        self.on.number(key).round() as usize
    }
    /// A block.
    pub fn block(&self, id: BlockId) -> Option<&'a Block> {
        self.circuit().block(id)
    }
    /// A run.
    pub fn run(&self, id: RunId) -> Option<&'a Run> {
        self.circuit().run(id)
    }
    /// Every run that is made of conductors, with them.
    pub fn conductors(&self) -> impl Iterator<Item = (&'a Run, &'a Conductor)> {
        self.circuit().runs().filter_map(|run| Some((run, run.conductor.as_deref()?)))
    }
    /// Every zone of a kind.
    pub fn zones(&self, kind: ZoneKind) -> impl Iterator<Item = &'a Zone> {
        self.studies.zones.all().map(|(_, zone)| zone).filter(move |zone| zone.kind == kind)
    }
}
