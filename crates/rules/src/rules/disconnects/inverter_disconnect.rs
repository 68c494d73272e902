//! Rule `inverter-disconnect`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::disconnects::support::{Nearness, Standing, around, standing};
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, Potential, RunEnd, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::units::Quantity;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;

rule! {
    /// An inverter can be cut off on every side
    ///
    /// ## The harm
    /// Somebody works on a live inverter.
    ///
    /// ## The limit
    /// On the DC side, at the output and at every AC input that is wired, a device that opens under load stands in sight of
    /// the inverter or can be locked open. A breaker in the inverter's own wiring box counts.
    ///
    /// ## What to do
    /// A breaker beside the inverter.
    INVERTER_DISCONNECT {
        id: "inverter-disconnect",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.15, 705.20, 706.15",
            Nec2020: "NEC 2020 690.15, 705.20, 706.15",
            Nec2017: "NEC 2017 690.15, 705.22, 706.7",
            Iec: "IEC 60364-7-712 cl. 712.536, IEC 60364-5-55 cl. 551",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks().filter(|block| block.kind() == Kind::Inverter) {
        judge(on, report, block);
    }
}

/// How one side of an inverter stands.
enum Side {
    CutOff,
    Open,
    Untold(Missing),
}

fn judge(on: &Circumstances<'_>, report: &mut Report, block: &Block) {
    let sides: Vec<(TerminalName, Side)> = block
        .equipment
        .terminals()
        .into_iter()
        .filter_map(|terminal| Some((terminal.name, side(on, block, terminal.name, terminal.potential)?)))
        .collect();
    let untold = sides.iter().find_map(|(_, side)| match side {
        Side::Untold(missing) => Some(*missing),
        Side::CutOff | Side::Open => None,
    });
    let open: Vec<String> = sides
        .iter()
        .filter(|(_, side)| matches!(side, Side::Open))
        .map(|(name, _)| format!("{}.{name}", block.tag))
        .collect();
    if open.is_empty()
        && let Some(missing) = untold
    {
        report.cannot_tell(missing);
        return;
    }
    let at = Part::Block(block.id);
    let (cut_off, all) = (sides.len() - open.len(), sides.len());
    if all > 0 && report.count_at_least(at, cut_off, all).fails() {
        let mut working = Working::new();
        working.given("sides that are wired", "n", Quantity::count(all), || {
            Origin::Working("runs at the inverter".to_owned())
        });
        working.found(
            "sides with a device at hand",
            "n_cut",
            || format!("all but {}", open.join(", ")),
            Quantity::count(cut_off),
        );
        let title = format!("{} cannot be cut off at {}", block.tag, open.join(", "));
        let finding = INVERTER_DISCONNECT.finding(on, Severity::Correction, at, title);
        report.find(finding.against(Quantity::count(cut_off), Quantity::count(all)).working(working));
    }
}

/// `None` for a side that is not wired.
fn side(on: &Circumstances<'_>, block: &Block, terminal: TerminalName, potential: Potential) -> Option<Side> {
    let current = match potential {
        Potential::Battery => CurrentKind::Direct,
        Potential::Ac => CurrentKind::Alternating,
        Potential::Pv | Potential::Earth | Potential::Any => return None,
    };
    let node = on.studies.network.at(RunEnd { block: block.id, terminal })?;
    on.studies.network.runs_at(node).next()?;
    let found = around(on, node, current, Disconnects::UnderLoad);
    if !found.open.is_empty() {
        return Some(Side::Open);
    }
    let mut untold = None;
    for means in &found.means {
        match standing(on, block.id, means, Nearness::SameLocation) {
            Standing::Near | Standing::Locked => {}
            Standing::Far(_) | Standing::Elsewhere => return Some(Side::Open),
            Standing::Untold(missing) => untold = Some(missing),
        }
    }
    Some(untold.map_or(Side::CutOff, Side::Untold))
}
