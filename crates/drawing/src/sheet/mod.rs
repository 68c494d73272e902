//! The sheet: a project drawn as one display list with hit areas, from scratch or brought up to date after a
//! change.
//!
//! Nothing electrical is computed here: which ink a run has and what is marked comes in with the [`Look`].

mod blocks;
mod build;
pub(crate) mod exits;
mod gather;
mod ink;
mod kept;
mod look;
mod marks;
pub(crate) mod page;
mod places;
mod runs;
mod strokes;
mod wires;
mod words;

pub use ink::inks_by_terminals;
pub use look::{Detail, Furniture, Look, Mark, MarkShape};
pub use page::{Paper, PaperSize};
pub use wires::{Wires, wires_by_equipment};
pub use words::{Words, WordsPlacing};

use crate::display_list::{DisplayList, HitArea, Subject, topmost};
use crate::geometry::{Area, Point};
use crate::route::Routes;
use crate::sheets::{Part, Scope};
use kept::Kept;
use lineside_core::circuit::{BlockId, RunId};
use lineside_core::project::Project;

/// A drawn sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Everything that is drawn, in painting order.
    pub list: DisplayList,
    /// What the pointer and assistive technology can meet, in painting order.
    pub areas: Vec<HitArea>,
    /// The rectangle that holds everything drawn, mm; [`Area::NOTHING`] for an empty sheet.
    pub bounds: Area,
    /// Blocks and runs whose ratings or flags are not on the sheet, because there is no room for them.
    pub left_out: Vec<Subject>,
    /// Every set of words that can be moved, in painting order; empty on a page.
    pub words: Vec<Words>,
    /// The paper, when the sheet was drawn with furniture. The circuit is then scaled and moved onto it.
    pub paper: Option<Paper>,
    /// What is known of each part, so that unchanged ones need not be drawn again.
    kept: Kept,
}

/// What was edited since a drawing was made. Routes that have changed are found from the routes themselves.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changed {
    /// Blocks that were added, edited, moved or removed.
    pub blocks: Vec<BlockId>,
    /// Runs that were added, edited or removed.
    pub runs: Vec<RunId>,
}

/// Draws a project.
pub fn sheet(project: &Project, look: &Look, routes: &Routes) -> Drawing {
    let mut drawing = Drawing::default();
    drawing.rebuild(project, look, routes, Scope::WHOLE, None);
    drawing
}

impl Drawing {
    /// Draws the part of a project that is on one sheet, without furniture.
    pub(crate) fn of_part(project: &Project, look: &Look, part: &Part) -> Self {
        let scope = Scope(Some(part));
        let routes = Routes::of_part(&project.circuit, scope);
        let mut drawing = Self::default();
        drawing.rebuild(project, look, &routes, scope, None);
        drawing.kept = Kept::default();
        drawing
    }

    /// Brings the drawing up to date. The result is that of [`sheet`], provided that `changed` names every
    /// block and run that was edited; groups of what is unchanged are taken over.
    pub fn refresh(&mut self, project: &Project, look: &Look, routes: &Routes, changed: &Changed) {
        self.rebuild(project, look, routes, Scope::WHOLE, Some(changed));
    }

    /// What lies uppermost at a point of the sheet.
    pub fn hit(&self, point: Point) -> Option<Subject> {
        topmost(&self.areas, point)
    }
}
