//! What stands on each island.

use super::machines::Machines;
use super::wiring::Wiring;
use crate::network::NodeId;

/// What stands on an island, by positions in [`Machines`].
#[derive(Clone, Debug, Default)]
pub(super) struct Content {
    pub strings: Vec<usize>,
    pub cells: Vec<usize>,
    pub controllers_in: Vec<usize>,
    pub controllers_out: Vec<usize>,
    pub converters_in: Vec<usize>,
    pub converters_out: Vec<usize>,
    pub inverters_dc: Vec<usize>,
    pub dc_loads: Vec<usize>,
    pub supplies: Vec<usize>,
    pub inverters_out: Vec<usize>,
    /// Inverters and their inputs.
    pub inverters_in: Vec<(usize, usize)>,
    pub panels: Vec<usize>,
}

impl Content {
    /// How many machines stand on it, each once for every side of it that does.
    pub(super) fn machines(&self) -> usize {
        self.direct() + self.alternating()
    }
    /// How many of them are for direct current.
    pub(super) fn direct(&self) -> usize {
        self.strings.len()
            + self.cells.len()
            + self.controllers_in.len()
            + self.controllers_out.len()
            + self.converters_in.len()
            + self.converters_out.len()
            + self.inverters_dc.len()
            + self.dc_loads.len()
    }
    /// How many of them are for alternating current.
    pub(super) fn alternating(&self) -> usize {
        self.supplies.len() + self.inverters_out.len() + self.inverters_in.len() + self.panels.len()
    }
}

/// Shares the machines out to their islands.
pub(super) fn of(machines: &Machines<'_>, wiring: &Wiring) -> Vec<Content> {
    let mut contents = vec![Content::default(); wiring.islands.len()];
    let mut put = |node: NodeId, add: &mut dyn FnMut(&mut Content)| {
        if let Some(content) = wiring.island(node).and_then(|island| contents.get_mut(island)) {
            add(content);
        }
    };
    for (i, it) in machines.strings.iter().enumerate() {
        put(it.node, &mut |content| content.strings.push(i));
    }
    for (i, it) in machines.cells.iter().enumerate() {
        put(it.node, &mut |content| content.cells.push(i));
    }
    for (i, it) in machines.controllers.iter().enumerate() {
        put(it.input, &mut |content| content.controllers_in.push(i));
        put(it.output, &mut |content| content.controllers_out.push(i));
    }
    for (i, it) in machines.converters.iter().enumerate() {
        put(it.input, &mut |content| content.converters_in.push(i));
        put(it.output, &mut |content| content.converters_out.push(i));
    }
    for (i, it) in machines.inverters.iter().enumerate() {
        put(it.dc, &mut |content| content.inverters_dc.push(i));
        put(it.out, &mut |content| content.inverters_out.push(i));
        for (input, at) in it.inputs.iter().enumerate() {
            put(at.node, &mut |content| content.inverters_in.push((i, input)));
        }
    }
    for (i, it) in machines.dc_loads.iter().enumerate() {
        put(it.node, &mut |content| content.dc_loads.push(i));
    }
    for (i, it) in machines.supplies.iter().enumerate() {
        put(it.node, &mut |content| content.supplies.push(i));
    }
    for (i, it) in machines.panels.iter().enumerate() {
        put(it.node, &mut |content| content.panels.push(i));
    }
    contents
}
