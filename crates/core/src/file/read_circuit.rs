//! Entries of places, blocks and runs → the circuit, with every reference checked.
//!
//! The outer form and the other sections are in `read.rs`.

use super::read::{Placed, Reader};
use super::scan::Span;
use super::v1::{BlockEntry, PlaceEntry, RunEntry};
use crate::circuit::{
    Block, BlockId, Circuit, Conductor, ID_LIMIT, Place, PlaceFacts, PlaceId, Run, RunEnd, RunId,
    TerminalName,
};
use std::collections::BTreeMap;

impl Reader<'_> {
    pub(super) fn circuit(
        &mut self,
        places: Vec<Placed<PlaceEntry>>,
        blocks: Vec<Placed<BlockEntry>>,
        runs: Vec<Placed<RunEntry>>,
        last_id: &mut u32,
    ) -> Circuit {
        let mut circuit = Circuit::default();
        let mut ids = BTreeMap::new();
        let mut names: BTreeMap<String, PlaceId> = BTreeMap::new();
        let mut tags: BTreeMap<String, BlockId> = BTreeMap::new();
        for placed in &places {
            if let Some(id) =
                self.id(placed.entry.id, placed.span, &placed.called, &mut ids).and_then(PlaceId::new)
                && self.unused(&names, &placed.entry.name, "name", placed.span, &placed.called)
            {
                names.insert(placed.entry.name.clone(), id);
            }
        }
        for placed in places {
            self.place(placed, &names, &mut circuit);
        }
        self.rings(&circuit);
        for placed in blocks {
            self.block(placed, &names, &mut tags, &mut ids, &mut circuit);
        }
        let mut run_tags: BTreeMap<String, RunId> = BTreeMap::new();
        for placed in runs {
            self.run(placed, &tags, &mut run_tags, &mut ids, &mut circuit);
        }
        let greatest = ids.keys().next_back().copied().unwrap_or(0);
        *last_id = (*last_id).max(greatest);
        circuit
    }

    fn id(&mut self, number: u32, span: Span, called: &str, ids: &mut BTreeMap<u32, String>) -> Option<u32> {
        if number == 0 || number > ID_LIMIT {
            self.fault_in(
                span,
                "id",
                called,
                "a number from 1 to 10000000",
                &number.to_string(),
                "Give it a number that nothing else has.",
            );
            return None;
        }
        if let Some(other) = ids.insert(number, called.to_owned()) {
            self.fault_in(
                span,
                "id",
                called,
                "a number of its own",
                &format!("{number}, which {other} has"),
                "Give one of the two another number.",
            );
            return None;
        }
        Some(number)
    }

    fn unused<T>(
        &mut self,
        names: &BTreeMap<String, T>,
        name: &str,
        key: &str,
        span: Span,
        called: &str,
    ) -> bool {
        let form = if key == "tag" { crate::edit::is_tag(name) } else { !name.trim().is_empty() };
        if !form {
            self.fault_in(
                span,
                key,
                called,
                &format!("a {key} of letters, digits, - and _"),
                &format!("“{name}”"),
                "Give it another.",
            );
        }
        if names.contains_key(name) {
            self.fault_in(
                span,
                key,
                called,
                &format!("a {key} of its own"),
                &format!("“{name}” a second time"),
                "Rename one of the two.",
            );
            return false;
        }
        form
    }

    fn place(
        &mut self,
        placed: Placed<PlaceEntry>,
        names: &BTreeMap<String, PlaceId>,
        circuit: &mut Circuit,
    ) {
        let Placed { entry, span, called } = placed;
        let within = self.named_place(entry.within.as_ref(), "within", names, span, &called);
        self.limits(&called, span, PlaceFacts::fields(), |key| entry.facts.get(key));
        let id = names.get(&entry.name).copied().filter(|id| id.number() == entry.id);
        if let Some(id) = id {
            let place = Place {
                id,
                name: entry.name,
                kind: entry.kind,
                within,
                at: entry.at,
                size: entry.size,
                facts: entry.facts,
            };
            if !place.at.is_on_sheet() || !place.size.is_on_sheet() {
                self.off_sheet(span, &called);
            }
            circuit.places_mut().insert(id, place);
        }
    }

    fn rings(&mut self, circuit: &Circuit) {
        let count = circuit.places().count();
        for place in circuit.places() {
            let mut outer = place.within;
            for _ in 0..count {
                let Some(next) = outer.and_then(|id| circuit.place(id)) else { break };
                if next.id == place.id {
                    let found = format!("{} within itself", place.name);
                    let advice = "Correct “within” of this place or of one that it stands in.";
                    self.fault(0, "places", "places that stand within others without a ring", &found, advice);
                    break;
                }
                outer = next.within;
            }
        }
    }

    fn named_place(
        &mut self,
        name: Option<&String>,
        key: &str,
        names: &BTreeMap<String, PlaceId>,
        span: Span,
        called: &str,
    ) -> Option<PlaceId> {
        let name = name?;
        let id = names.get(name).copied();
        if id.is_none() {
            self.fault_in(
                span,
                key,
                called,
                "the name of a place in this file",
                &format!("“{name}”"),
                "Correct the name or add the place.",
            );
        }
        id
    }

    fn off_sheet(&mut self, span: Span, called: &str) {
        self.fault_in(
            span,
            "at",
            called,
            "a position on the sheet",
            "one far beyond its edge",
            "Move it back onto the sheet.",
        );
    }

    fn block(
        &mut self,
        placed: Placed<BlockEntry>,
        names: &BTreeMap<String, PlaceId>,
        tags: &mut BTreeMap<String, BlockId>,
        ids: &mut BTreeMap<u32, String>,
        circuit: &mut Circuit,
    ) {
        let Placed { entry, span, called } = placed;
        let place = self.named_place(entry.place.as_ref(), "place", names, span, &called);
        let kind = entry.equipment.kind();
        self.limits(&called, span, kind.fields(), |key| entry.equipment.get(key));
        if !entry.at.is_on_sheet() {
            self.off_sheet(span, &called);
        }
        let unused = self.unused(tags, &entry.tag, "tag", span, &called);
        let id = self.id(entry.id, span, &called, ids).and_then(BlockId::new);
        if let (Some(id), true) = (id, unused) {
            tags.insert(entry.tag.clone(), id);
            let orientation = entry.orientation();
            circuit.insert_block(Block {
                id,
                tag: entry.tag,
                equipment: entry.equipment,
                stock: entry.stock,
                place,
                at: entry.at,
                orientation,
                note: entry.note,
            });
        }
    }

    fn run(
        &mut self,
        placed: Placed<RunEntry>,
        tags: &BTreeMap<String, BlockId>,
        run_tags: &mut BTreeMap<String, RunId>,
        ids: &mut BTreeMap<u32, String>,
        circuit: &mut Circuit,
    ) {
        let Placed { entry, span, called } = placed;
        let from = self.end(&entry.from, "from", tags, circuit, span, &called);
        let to = self.end(&entry.to, "to", tags, circuit, span, &called);
        if let Some(conductor) = &entry.conductor {
            self.limits(&called, span, Conductor::fields(), |key| conductor.get(key));
        }
        if entry.bends.iter().any(|bend| !bend.is_on_sheet()) {
            self.off_sheet(span, &called);
        }
        let mut unused = self.unused(run_tags, &entry.tag, "tag", span, &called);
        if tags.contains_key(&entry.tag) {
            self.fault_in(
                span,
                "tag",
                &called,
                "a tag of its own",
                "the tag of a block",
                "Rename one of the two.",
            );
            unused = false;
        }
        let id = self.id(entry.id, span, &called, ids).and_then(RunId::new);
        if let (Some(id), Some(from), Some(to), true) = (id, from, to, unused) {
            run_tags.insert(entry.tag.clone(), id);
            circuit.insert_run(Run {
                id,
                tag: entry.tag,
                from,
                to,
                conductor: entry.conductor,
                bends: entry.bends,
                note: entry.note,
            });
        }
    }

    fn end(
        &mut self,
        text: &str,
        key: &str,
        tags: &BTreeMap<String, BlockId>,
        circuit: &Circuit,
        span: Span,
        called: &str,
    ) -> Option<RunEnd> {
        let Some((tag, terminal)) = text.rsplit_once('.') else {
            self.fault_in(
                span,
                key,
                called,
                "an end such as “C1.pv”",
                &format!("“{text}”"),
                "Write the tag, a dot and the terminal.",
            );
            return None;
        };
        let Some(block) = tags.get(tag).and_then(|id| circuit.block(*id)) else {
            self.fault_in(
                span,
                key,
                called,
                "the tag of a block in this file",
                &format!("“{tag}”"),
                "Correct the tag or add the block.",
            );
            return None;
        };
        let name = TerminalName::read(terminal).filter(|name| block.terminal_index(*name).is_some());
        if let Some(terminal) = name {
            return Some(RunEnd { block: block.id, terminal });
        }
        let known: Vec<String> =
            block.equipment.terminals().iter().map(|terminal| terminal.name.to_string()).collect();
        let expected = format!("a terminal of {tag}: {}", known.join(", "));
        self.fault_in(span, key, called, &expected, &format!("“{terminal}”"), "Correct the terminal.");
        None
    }
}
