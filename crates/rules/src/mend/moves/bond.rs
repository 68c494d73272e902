//! The bond of a DC system to earth: a jumper at a bus bar, with an electrode.

use super::support::{banks, blocks, set_all, with_field};
use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::proposals::{new_block, one_after_another, stock_of};
use crate::remedy::Proposal;
use lineside_core::circuit::{BlockId, Conductor, Insulation, Method, Run, RunEnd, TerminalName};
use lineside_core::edit::Edit;
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::generator::FrameBond;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{ConductorSize, Meters, UnitSystem};
use lineside_study::ZoneKind;

/// One jumper to an electrode, at the bus bar of the zone, else at the bank.
pub(super) fn jumper(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let banks = banks(on, finding);
    let Some(bank) = banks.first() else { return Vec::new() };
    let zone_of = |block: BlockId| {
        let mut nodes = on.studies.network.nodes_of(block);
        nodes.find_map(|node| {
            on.studies.zones.of(node).filter(|_| on.studies.zones.kind_of(node) == Some(ZoneKind::Battery))
        })
    };
    let wanted = zone_of(bank.id);
    let bars =
        on.circuit().blocks().filter(|block| block.kind() == Kind::BusBar && zone_of(block.id) == wanted);
    let at: Vec<(BlockId, &str)> = bars
        .map(|bar| (bar.id, "bond"))
        .chain([(bank.id, "bond")])
        .filter(|(_, _)| wanted.is_some())
        .collect();
    let jumpers = stock_of(on, Kind::BondingJumper, |it| {
        it.get("system").is_some_and(|it| it == Value::Choice("dc_negative"))
    });
    let rods = stock_of(on, Kind::Electrode, |_| true);
    let (Some(jumper), Some(rod)) = (jumpers.first(), rods.first()) else { return Vec::new() };
    let existing = on.circuit().blocks().find(|block| block.kind() == Kind::Electrode).map(|block| block.id);
    at.into_iter()
        .take(1)
        .flat_map(|(block, terminal)| {
            let name = on.block(block).map_or("?", |block| block.tag.as_str());
            sizes(on).into_iter().filter_map(move |size| {
                let edit = bonded(on, (block, terminal), jumper, rod, existing, size)?;
                let label = format!("A DC bonding jumper at {name}, {size} to an electrode");
                Some(Proposal { label, edit })
            })
        })
        .collect()
}

/// Larger conductors to the electrode are conductors like others; an electrode of its own is not proposed.
pub(super) fn electrode(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let missing = blocks(on, finding).iter().any(|block| block.kind() == Kind::BondingJumper);
    if missing { jumper(on, finding) } else { Vec::new() }
}

/// The neutral of a generator joined to its frame, where nothing else bonds it while it runs.
pub(super) fn generator_frame(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let generators = blocks(on, finding).into_iter().filter(|block| block.kind() == Kind::Generator);
    generators
        .filter_map(|block| {
            let equipment = with_field(block, "frame_bond", &Value::Choice(FrameBond::Bonded.key()))?;
            let label = format!("Neutral of {} bonded to its frame", block.tag);
            set_all(label, [(block.id, equipment, block.stock.clone())])
        })
        .collect()
}

fn sizes(on: &Circumstances<'_>) -> Vec<ConductorSize> {
    match on.project().units {
        UnitSystem::Us => [6, 4, 2].map(ConductorSize::Awg).to_vec(),
        UnitSystem::Si => {
            ["16 mm²", "25 mm²", "50 mm²"].into_iter().filter_map(|it| ConductorSize::read(it).ok()).collect()
        }
    }
}

fn bonded(
    on: &Circumstances<'_>,
    (block, terminal): (BlockId, &str),
    jumper: &StockItem,
    rod: &StockItem,
    existing: Option<BlockId>,
    size: ConductorSize,
) -> Option<Edit> {
    type Step<'a> = Box<dyn FnOnce(&Project) -> Option<Edit> + 'a>;
    let end = |block, terminal| Some(RunEnd { block, terminal: TerminalName::read(terminal)? });
    let from = end(block, terminal)?;
    let beside = on.block(block)?;
    let new = |item: &StockItem| {
        let item = item.clone();
        Box::new(move |project: &Project| {
            Some(Edit::InsertBlock(Box::new(new_block(project, item, beside.place, beside.at)?)))
        }) as Step<'_>
    };
    let newest = |project: &Project, kind: Kind| {
        project.circuit.blocks().filter(|it| it.kind() == kind).map(|it| it.id).max()
    };
    let to_jumper: Step<'_> = Box::new(move |project| {
        let to = end(newest(project, Kind::BondingJumper)?, "system")?;
        laid(project, from, to, None)
    });
    let to_earth: Step<'_> = Box::new(move |project| {
        let from = end(newest(project, Kind::BondingJumper)?, "earth")?;
        let to = end(existing.or_else(|| newest(project, Kind::Electrode))?, "earth")?;
        laid(project, from, to, Some(lead(size)))
    });
    let mut steps: Vec<Step<'_>> = vec![new(jumper)];
    if existing.is_none() {
        steps.push(new(rod));
    }
    steps.extend([to_jumper, to_earth]);
    one_after_another(on.project(), steps)
}

fn laid(project: &Project, from: RunEnd, to: RunEnd, conductor: Option<Conductor>) -> Option<Edit> {
    Some(Edit::InsertRun(Box::new(Run {
        id: project.next_run_id()?,
        tag: project.next_tag("W"),
        from,
        to,
        conductor: conductor.map(Box::new),
        bends: Vec::new(),
        note: String::new(),
    })))
}

/// Bare length to an electrode beside the building; the designer measures it.
fn lead(size: ConductorSize) -> Conductor {
    let insulation = match size.system() {
        UnitSystem::Us => Insulation::Thwn2,
        UnitSystem::Si => Insulation::Pvc70,
    };
    Conductor {
        loaded_conductors: 1,
        method: (size.system() == UnitSystem::Si).then_some(Method::C),
        ..Conductor::copper(size, insulation, Meters::new(5.0))
    }
}
