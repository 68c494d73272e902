//! Rule `working-space`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::proposals::with_facts;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::tables::WorkingCondition;
use lineside_codes::{Cited, FactorKey};
use lineside_core::circuit::{Block, Opposite, Place, PlaceFacts, PlaceId};
use lineside_core::kinds::Kind;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::AcSystem;
use lineside_core::units::{Meters, Millimeters, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Owner, VoltageWindow, ZoneKind};
use std::collections::{BTreeMap, BTreeSet};

rule! {
    /// There is room to work and to step back
    ///
    /// ## The harm
    /// No room to step back from an arc.
    ///
    /// ## The limit
    /// NEC: before equipment that is worked on while live, a clear depth by the voltage to ground and by what stands
    /// opposite (3 ft up to 150 V), 30 in of width, 6 ft 6 in of height; an inch of air between cells and a wall. Where
    /// nothing is above 60 V DC the authority may accept less, so there it is advice. IEC: a gangway of 600 mm before a
    /// battery.
    ///
    /// ## What to do
    /// Move the equipment, or what stands in the way.
    WORKING_SPACE {
        id: "working-space",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.26(A), 480.10(C), 706.20(C)",
            Nec2020: "NEC 2020 110.26(A), 480.10(C), 706.20(C)",
            Nec2017: "NEC 2017 110.26(A), 480.10(C)",
            Iec: "IEC 62485-2 cl. 10, IEC 60364-7-729",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let voltages = if on.rule_set().is_nec() { Voltages::of(on) } else { Voltages::default() };
    for (id, blocks) in on.by_location(|block| is_worked_on(block.kind())) {
        let Some(place) = on.circuit().place(id) else { continue };
        let spot = Spot { on, place, blocks, voltages: &voltages };
        if on.rule_set().is_nec() {
            spot.depth(report);
            spot.clear(report, "width", place.facts.working_width, FactorKey::WorkingWidth);
            spot.clear(report, "height", place.facts.working_height, FactorKey::WorkingHeight);
            spot.cells(report);
        } else {
            spot.gangway(report);
        }
    }
}

/// Equipment that may have to be examined or adjusted while it is live.
const fn is_worked_on(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::AcPanel | Kind::Inverter | Kind::ChargeController | Kind::BatteryBank | Kind::TransferSwitch
    )
}

/// Voltages in each location.
#[derive(Default)]
struct Voltages {
    to_ground: BTreeMap<PlaceId, Volts>,
    /// Where there is AC.
    alternating: BTreeSet<PlaceId>,
}

impl Voltages {
    fn of(on: &Circumstances<'_>) -> Self {
        let mut found = Self::default();
        for (id, zone) in on.studies.zones.all() {
            let highest = on.studies.windows.of(id).and_then(VoltageWindow::highest);
            for block in zone.blocks(&on.studies.network) {
                let Some(location) = on.circuit().location_of_block(block) else { continue };
                let system = on.block(block).and_then(|block| block.equipment.ac_system());
                let volts = match zone.kind {
                    ZoneKind::Ac => {
                        found.alternating.insert(location);
                        system.map(AcSystem::voltage_to_ground)
                    }
                    ZoneKind::Pv | ZoneKind::Battery => highest,
                    ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => None,
                };
                if let Some(volts) = volts {
                    let most = found.to_ground.entry(location).or_default();
                    *most = most.max(volts);
                }
            }
        }
        found
    }
}

struct Spot<'a> {
    on: &'a Circumstances<'a>,
    place: &'a Place,
    blocks: Vec<&'a Block>,
    voltages: &'a Voltages,
}

impl Spot<'_> {
    fn at(&self) -> Part {
        Part::Place(self.place.id)
    }

    fn to_ground(&self) -> Volts {
        self.voltages.to_ground.get(&self.place.id).copied().unwrap_or_default()
    }

    /// Below this voltage the authority may accept less.
    fn severity(&self) -> Severity {
        if !self.on.rule_set().is_nec() {
            return Severity::Correction;
        }
        let low: Volts = self.on.limit(FactorKey::WorkingLowVoltage);
        let direct = !self.voltages.alternating.contains(&self.place.id);
        if direct && self.to_ground() <= low { Severity::Advice } else { Severity::Correction }
    }

    fn depth(&self, report: &mut Report) {
        let Some(depth) = self.place.facts.working_depth else {
            report.cannot_tell(self.missing("Clear depth in front"));
            return;
        };
        let volts = self.to_ground();
        let table = &self.on.codes().nec.working_space;
        let needed = |condition| table.depth(volts, condition);
        let given = self.place.facts.opposite.map(|opposite| match opposite {
            Opposite::Clear => WorkingCondition::Clear,
            Opposite::Grounded => WorkingCondition::Grounded,
            Opposite::Live => WorkingCondition::Live,
        });
        let (Some(least), Some(most)) = (
            needed(given.unwrap_or(WorkingCondition::Clear)),
            needed(given.unwrap_or(WorkingCondition::Live)),
        ) else {
            return;
        };
        if report.at_least(self.at(), depth, least.value).fails() {
            let mut working = Working::new();
            working.given("voltage to ground", "V", volts.into(), || {
                Origin::Working("highest voltage of the circuits here".to_owned())
            });
            working.given("depth needed", "d", least.value.into(), || table_of(&least));
            self.find(report, "depth", depth, least.value, working);
        } else if depth < most.value {
            report.cannot_tell(self.missing("Opposite the equipment"));
        }
    }

    fn clear(&self, report: &mut Report, aspect: &'static str, found: Option<Meters>, key: FactorKey) {
        let Some(found) = found else { return };
        let needed: Meters = self.on.limit(key);
        if report.at_least(self.at(), found, needed).fails() {
            let mut working = Working::new();
            working.given("needed", "d", needed.into(), || Origin::Table(self.on.on.clause(key).to_owned()));
            self.find(report, aspect, found, needed, working);
        }
    }

    /// Air between cells and wall.
    fn cells(&self, report: &mut Report) {
        let Some(gap) = self.place.facts.cell_gap.filter(|_| self.has_battery()) else { return };
        let needed: Millimeters = self.on.limit(FactorKey::CellAirGap);
        if report.at_least(self.at(), gap, needed).fails() {
            let title = format!("The cells in {} stand too near to the wall", self.place.name);
            let finding =
                WORKING_SPACE.finding(self.on, Severity::Correction, self.at(), title).aspect("cells");
            report.find(finding.also_all(self.parts()).against(gap, needed));
        }
    }

    fn gangway(&self, report: &mut Report) {
        if !self.has_battery() {
            return;
        }
        match self.place.facts.working_depth {
            None => report.cannot_tell(self.missing("Clear depth in front")),
            depth => self.clear(report, "depth", depth, FactorKey::WorkingGangway),
        }
    }

    fn has_battery(&self) -> bool {
        self.blocks.iter().any(|block| block.equipment.as_kind::<BatteryBank>().is_some())
    }

    fn parts(&self) -> impl Iterator<Item = Part> {
        self.blocks.iter().map(|block| Part::Block(block.id))
    }

    const fn missing(&self, datum: &'static str) -> Missing {
        Missing { owner: Owner::Place(self.place.id), datum }
    }

    fn find(
        &self,
        report: &mut Report,
        aspect: &'static str,
        found: Meters,
        needed: Meters,
        working: Working,
    ) {
        let title = format!("The working space in {} has too little {aspect}", self.place.name);
        let finding = WORKING_SPACE.finding(self.on, self.severity(), self.at(), title).aspect(aspect);
        report.find(finding.also_all(self.parts()).against(found, needed).working(working));
    }
}

fn table_of(cited: &Cited<Meters>) -> Origin {
    Origin::Table(cited.source.to_string())
}

/// What stands in the way is moved.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Place(id) = finding.at else { return Vec::new() };
    let Some(place) = on.circuit().place(id) else { return Vec::new() };
    let Amount::Quantity(needed) = finding.allowed else { return Vec::new() };
    let facts = place.facts.clone();
    let facts = match finding.aspect {
        "depth" => PlaceFacts { working_depth: Some(Meters::new(needed.value)), ..facts },
        "width" => PlaceFacts { working_width: Some(Meters::new(needed.value)), ..facts },
        "height" => PlaceFacts { working_height: Some(Meters::new(needed.value)), ..facts },
        _ => PlaceFacts { cell_gap: Some(Millimeters::new(needed.value)), ..facts },
    };
    vec![with_facts(place, facts, format!("More clear {} in {}", finding.aspect, place.name))]
}
