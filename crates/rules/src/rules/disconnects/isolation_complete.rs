//! Rule `isolation-complete`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::kinds::inside::SourceKind;
use lineside_study::Reached;

rule! {
    /// Every block that is ever opened can be made dead
    ///
    /// ## The harm
    /// A block that cannot be made dead will be serviced live.
    ///
    /// ## The formula
    /// From all terminals of the block one walks without passing a disconnecting means; energy crosses converters in the
    /// direction in which they work. A device without load-break rating counts in circuits up to 30 A, the positions of
    /// a transfer switch do not count, since one of them is always closed. No source may be reached. Then a cut of
    /// switchable poles between the block and every source exists: it is the switching order, loads first, then AC
    /// sources, converters, array and battery.
    ///
    /// ## The limit
    /// It holds for converters, combiners, bars, panels, meters, DC loads and bolted fuses, the first device at a battery
    /// excepted.
    ///
    /// ## What to do
    /// The missing switch; connectors at the ends of strings; a bypass switch.
    ISOLATION_COMPLETE {
        id: "isolation-complete",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.15, 706.15, 706.31(E), 240.40",
            Nec2020: "NEC 2020 690.15, 706.15, 706.31(E), 240.40",
            Nec2017: "NEC 2017 690.15, 706.7, 706.21(E), 240.40",
            Iec: "IEC 60364-4-46, IEC 60364-5-53 cl. 537.2",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (id, reached) in on.studies.isolation.all() {
        let at = Part::Block(id);
        if report.holds(at, || reached.is_none()).fails()
            && let (Some(reached), Some(block)) = (reached, on.block(id))
        {
            let title = format!("{} cannot be made dead", block.tag);
            let finding = ISOLATION_COMPLETE.finding(on, Severity::Correction, at, title);
            let finding = finding.also(Part::Block(reached.block));
            report.find(finding.against(words(source_words(on, reached)), words("every source switchable")));
        }
    }
}

/// `source battery B1`.
fn source_words(on: &Circumstances<'_>, reached: Reached) -> String {
    let word = match reached.kind {
        SourceKind::Strings => "strings",
        SourceKind::BatteryString(_) => "battery",
        SourceKind::Generator => "generator",
        SourceKind::Utility => "utility",
        SourceKind::ControllerOutput
        | SourceKind::DcConverterOutput
        | SourceKind::Charger
        | SourceKind::InverterOutput => "converter",
    };
    format!("source {word} {}", Part::Block(reached.block).name(on.circuit()))
}

/// Bolted fuses of the zone onto a load-break switch.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let zone_of = |block: BlockId| {
        let mut nodes = on.studies.network.nodes_of(block);
        nodes.next().and_then(|node| on.studies.zones.of(node))
    };
    let wanted = zone_of(id);
    let fuses = on.circuit().blocks().filter(|block| zone_of(block.id) == wanted);
    fuses
        .filter_map(|block| {
            let fuse = block.equipment.as_kind::<Fuse>()?;
            let fused = Fuse { mount: FuseMount::FusedSwitch, ..fuse.clone() };
            (fuse.mount == FuseMount::BoltDown)
                .then(|| with_equipment(block, fused, format!("{} on a load-break switch", block.tag)))
        })
        .collect()
}
