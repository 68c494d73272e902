//! How a sheet is to look: inks, marks, and how much of it is drawn.

use crate::display_list::Subject;
use crate::pen::{Ink, Pen};
use crate::sheet::PaperSize;
use crate::sheet::wires::Wires;
use crate::symbols::Form;
use lineside_core::circuit::{BlockId, RunId};
use lineside_core::units::Percent;
use std::collections::BTreeMap;

/// How a sheet is to look. Inks come from the zones of the `study` crate; what they lack is taken from the
/// terminals at the run's ends, and a run between terminals that tell nothing is drawn as dead.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Look {
    /// Ink of runs.
    pub inks: BTreeMap<RunId, Ink>,
    /// Ink of bars, in bus bars, combiners and panels.
    pub bars: BTreeMap<BlockId, Ink>,
    /// Conductors in the circuit of a run, for its flag and its strokes. Where they are missing, they are taken
    /// from the equipment at the run's ends, or left out.
    pub wires: BTreeMap<RunId, Wires>,
    /// The share of the voltage that is lost in a run, for its flag.
    pub drops: BTreeMap<RunId, Percent>,
    /// Marks.
    pub marks: Vec<Mark>,
    /// After which standard symbols are drawn.
    pub form: Form,
    /// With or without words.
    pub detail: Detail,
    /// With or without frame, title block, key and cautions.
    pub furniture: Furniture,
    /// The paper of a sheet with furniture; the usual one for the project's units when `None`.
    pub paper: Option<PaperSize>,
}

/// How much is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Detail {
    /// Everything.
    #[default]
    Full,
    /// Nothing that would be too small to read from afar: no words beside blocks and runs.
    NoText,
}

/// Whether the sheet is drawn as a page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Furniture {
    /// The circuit alone, on an endless sheet.
    #[default]
    Without,
    /// On paper, with frame, title block, key and cautions.
    With,
}

/// A mark on the sheet, such as that of a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What is marked. A block is marked at its upper right corner, a terminal where it is, a run in its
    /// middle, a place on its upper edge, the sheet at its upper right corner.
    pub on: Subject,
    /// Its shape.
    pub shape: MarkShape,
    /// Its pen.
    pub pen: Pen,
    /// Its number in the list of findings.
    pub number: Option<u32>,
}

/// The shape of a mark; it tells severity without color.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MarkShape {
    /// Filled triangle: danger.
    Triangle,
    /// Filled square: correction.
    Square,
    /// Open circle: advice.
    Circle,
}
