//! What can be chosen, for each thing that is looked for.

use super::nearness::{self, Whence};
use super::{Asked, Choice, Entry, Icon};
use crate::window::areas::draft::sheet::capital;
use crate::window::areas::draft::sheet::look::potential_of;
use crate::window::command::Command;
use crate::window::edits::{adding, continuing, swapping};
use crate::window::keys;
use crate::window::selection::Thing;
use crate::window::templates::Template;
use crate::window::view::View;
use egui::Context;
use lineside_core::circuit::{BlockId, RunEnd, RunId};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_core::units::{Quantity, Unit, Volts, text};
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// Everything that answers what is looked for, before anything is typed.
pub fn entries(ctx: &Context, view: &View<'_>, asked: &Asked) -> Vec<Entry> {
    match asked {
        Asked::Anything => anything(ctx, view),
        Asked::Continue(from, _) => fitting(view, *from),
        Asked::Insert(run) => devices(view, *run),
        Asked::Swap(blocks) | Asked::ReplaceAll(blocks) => same_kind(view, blocks),
        Asked::Template(_) => templates(),
    }
}

fn anything(ctx: &Context, view: &View<'_>) -> Vec<Entry> {
    let mut all: Vec<Entry> = Command::ALL
        .iter()
        .filter(|command| !matches!(command, Command::Search))
        .map(|command| Entry {
            title: command.name().trim_end_matches('…').to_owned(),
            detail: command.tip().to_owned(),
            keys: command.shortcuts().first().map(|shortcut| keys::text(ctx, *shortcut)).unwrap_or_default(),
            group: "Actions".to_owned(),
            hindrance: command.hindrance(view).map(str::to_owned),
            icon: Icon::None,
            choice: Choice::Do(*command),
        })
        .collect();
    all.extend(templates());
    all.extend(blocks(view));
    all.extend(runs(view));
    all.extend(places(view));
    all.extend(findings(view));
    all
}

fn entry(group: &str, title: String, detail: String, icon: Icon, choice: Choice) -> Entry {
    Entry { title, detail, keys: String::new(), group: group.to_owned(), hindrance: None, icon, choice }
}

fn templates() -> Vec<Entry> {
    Template::ALL
        .iter()
        .map(|template| {
            let (title, detail) = (template.name().to_owned(), template.explanation().to_owned());
            entry("Templates", title, detail, Icon::None, Choice::Template(*template))
        })
        .collect()
}

fn blocks<'a>(view: &'a View<'_>) -> impl Iterator<Item = Entry> + 'a {
    view.project().circuit.blocks().map(|block| {
        let of_stock = block.stock.clone().unwrap_or_default();
        let icon = Icon::Block(block.id);
        entry("Blocks", capital(&block.title()), of_stock, icon, Choice::Thing(Thing::Block(block.id)))
    })
}

fn runs<'a>(view: &'a View<'_>) -> impl Iterator<Item = Entry> + 'a {
    let circuit = &view.project().circuit;
    circuit.runs().map(|run| {
        let made_of = run.conductor.as_ref().map_or_else(
            || "direct joint".to_owned(),
            |conductor| {
                let length = Quantity { value: conductor.length.value(), unit: Unit::Meter };
                format!("{}, {}", conductor.size, text::plain(length, view.units()))
            },
        );
        let detail = format!("{} to {}, {made_of}", circuit.end_name(run.from), circuit.end_name(run.to));
        entry("Runs", format!("Run {}", run.tag), detail, Icon::None, Choice::Thing(Thing::Run(run.id)))
    })
}

fn places<'a>(view: &'a View<'_>) -> impl Iterator<Item = Entry> + 'a {
    let circuit = &view.project().circuit;
    circuit.places().map(|place| {
        let outer = place.within.and_then(|id| circuit.place(id));
        let detail = outer.map_or_else(String::new, |outer| format!("in {}", outer.name));
        let title = format!("Place {}", place.name);
        entry("Places", title, detail, Icon::None, Choice::Thing(Thing::Place(place.id)))
    })
}

fn findings<'a>(view: &'a View<'_>) -> impl Iterator<Item = Entry> + 'a {
    let circuit = &view.project().circuit;
    view.derived.findings().iter().map(|finding| {
        let (title, detail) = (finding.title.clone(), finding.place_text(circuit));
        let icon = Icon::Finding(finding.severity);
        entry("Findings", title, detail, icon, Choice::Finding(finding.id(circuit)))
    })
}

/// Items of stock that a test lets through, in the order of the shelf.
fn stock(view: &View<'_>, fits: impl Fn(&StockItem) -> Option<Option<String>>) -> Vec<Entry> {
    stock_of(view, Kind::ALL, fits)
}

/// Those of some kinds, in the order of the kinds.
fn stock_of(
    view: &View<'_>,
    kinds: &[Kind],
    fits: impl Fn(&StockItem) -> Option<Option<String>>,
) -> Vec<Entry> {
    let mut all = Vec::new();
    for kind in kinds {
        let of_kind = view.engine.stock.iter().enumerate().filter(|(_, item)| item.equipment.kind() == *kind);
        for (index, item) in of_kind {
            let Some(hindrance) = fits(item) else { continue };
            let detail = hindrance.clone().unwrap_or_default();
            let icon = Icon::Item(index);
            let made = entry(kind.plural(), item.name.clone(), detail, icon, Choice::Item(index));
            all.push(Entry { hindrance, ..made });
        }
    }
    all
}

/// Within each kind what suits the voltage stands first, and of that what is nearest to what goes on from there already.
fn fitting(view: &View<'_>, from: RunEnd) -> Vec<Entry> {
    let known = potential_of(view.derived, from);
    let circuit = &view.project().circuit;
    let whence = Whence { circuit, from, potential: known, window: window_at(view, from) };
    let kinds = whence.kinds();
    let all = stock_of(view, &kinds, |item| {
        let fits = !continuing::fitting(circuit, from, &item.equipment, known).is_empty();
        fits.then_some(None)
    });
    let place = |item: &Equipment| kinds.iter().position(|kind| *kind == item.kind());
    nearest_first(
        view,
        all,
        |item| (place(item), whence.distance(item)),
        |(a_kind, (a_unsuited, a)), (b_kind, (b_unsuited, b))| {
            (a_kind, a_unsuited).cmp(&(b_kind, b_unsuited)).then_with(|| a.order(b))
        },
    )
}

/// Entries of stock by how far each item is; those that are equally far stay in the order of the shelf.
fn nearest_first<D>(
    view: &View<'_>,
    all: Vec<Entry>,
    distance: impl Fn(&Equipment) -> D,
    order: impl Fn(&D, &D) -> Ordering,
) -> Vec<Entry> {
    let far = |entry: &Entry| match entry.choice {
        Choice::Item(index) => view.engine.stock.get(index).map(|item| distance(&item.equipment)),
        Choice::Do(_) | Choice::Thing(_) | Choice::Finding(_) | Choice::Template(_) => None,
    };
    let mut all: Vec<(Option<D>, Entry)> = all.into_iter().map(|entry| (far(&entry), entry)).collect();
    all.sort_by(|(a, _), (b, _)| match (a, b) {
        (Some(a), Some(b)) => order(a, b),
        _ => Ordering::Equal,
    });
    all.into_iter().map(|(_, entry)| entry).collect()
}

/// The lowest and the highest voltage at a terminal.
fn window_at(view: &View<'_>, end: RunEnd) -> Option<(Volts, Volts)> {
    let studies = &view.derived.checked.studies;
    let zone = studies.zones.of(studies.network.at(end)?)?;
    let window = studies.windows.of(zone)?;
    Some((window.lowest()?, window.highest()?))
}

fn devices(view: &View<'_>, run: RunId) -> Vec<Entry> {
    let circuit = &view.project().circuit;
    let Some(run) = circuit.run(run) else { return Vec::new() };
    stock(view, |item| {
        adding::through(&item.equipment)?;
        Some(adding::hindrance(circuit, &item.equipment, run))
    })
}

/// The nearest to what stands there first, so that Enter never takes a smaller one unseen.
fn same_kind(view: &View<'_>, blocks: &BTreeSet<BlockId>) -> Vec<Entry> {
    let circuit = &view.project().circuit;
    let Some(first) = blocks.first().and_then(|id| circuit.block(*id)) else { return Vec::new() };
    let all = stock(view, |item| {
        (item.equipment.kind() == first.kind()).then(|| {
            let same = blocks.iter().all(|id| {
                circuit.block(*id).is_some_and(|block| block.stock.as_deref() == Some(item.name.as_str()))
            });
            if same {
                Some("this is it already".to_owned())
            } else {
                swapping::hindrance(circuit, blocks, item)
            }
        })
    });
    nearest_first(view, all, |item| nearness::distance(&first.equipment, item), nearness::Distance::order)
}
