//! Several sheets: a drawing that would be too small on its page is cut by places, one sheet for each or for a few that
//! stand together, with a flag at both sheets wherever a run goes from one to the other.
//!
//! `cells` cuts, `plan` brings the pieces together, `exits` places the flags; how a part is drawn is told in `sheet`.

mod cells;
mod exits;
mod part;
mod plan;
mod title;

pub(crate) use part::{Exit, Part, Scope};

use crate::geometry::{Area, Point, STEP_MM};
use crate::label::SMALL_HEIGHT;
use crate::route::Routes;
use crate::sheet::page::{Fitted, Numbering, add, room, zone_at};
use crate::sheet::{Drawing, Furniture, Look, PaperSize, sheet};
use cells::{Cell, Extent};
use lineside_core::circuit::{BlockId, Circuit, RunId, Side};
use lineside_core::project::Project;
use std::collections::{BTreeMap, BTreeSet};

/// Into how many sheets a drawing is cut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Division {
    /// One if its lettering can be read, else as few as it takes.
    #[default]
    AsNeeded,
    /// One, however small.
    One,
    /// One for each place.
    ByPlace,
}

/// One sheet of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What it shows: the names of its places. Empty when it is the only one.
    pub title: String,
    /// What is drawn on it.
    pub drawing: Drawing,
    /// The blocks on it, in the order of ids.
    pub blocks: Vec<BlockId>,
    /// The runs that leave it.
    pub references: Vec<Reference>,
}

/// A flag at which a run leaves a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference {
    /// The run.
    pub run: RunId,
    /// Which end of it is on the other sheet.
    pub end: Side,
    /// The block at that end.
    pub block: BlockId,
    /// The sheet on which it is, counted from 1.
    pub sheet: usize,
    /// The zone of that sheet in which the matching flag stands: `C4`.
    pub zone: String,
    /// Where this flag stands, mm on paper.
    pub area: Area,
}

/// The least lettering that may be printed, mm; what is hardly smaller is let pass.
const LEAST_LETTERING: f32 = SMALL_HEIGHT - 0.05;

/// Draws a project on as many sheets as it takes. Without furniture there is no page, and one sheet holds everything.
pub fn sheets(project: &Project, look: &Look, routes: &Routes, division: Division) -> Vec<Sheet> {
    let whole = sheet(project, look, routes);
    let reads = |drawing: &Drawing| drawing.paper.is_none_or(|it| it.least_lettering >= LEAST_LETTERING);
    let parts = match division {
        Division::One => Vec::new(),
        Division::AsNeeded if reads(&whole) => Vec::new(),
        Division::AsNeeded | Division::ByPlace if look.furniture == Furniture::Without => Vec::new(),
        Division::AsNeeded | Division::ByPlace => Planner { project, look, division }.parts(),
    };
    if parts.len() < 2 {
        let blocks = project.circuit.blocks().map(|block| block.id).collect();
        return vec![Sheet { title: String::new(), drawing: whole, blocks, references: Vec::new() }];
    }
    Set { project, look, parts }.draw()
}

/// Finds the parts.
struct Planner<'a> {
    project: &'a Project,
    look: &'a Look,
    division: Division,
}

/// Room for flags and for the words beside blocks, at either side and above and below, mm.
const BESIDE: f32 = 55.0;
const ABOVE: f32 = 6.0;
/// How often parts are tried whose words turned out to need more room than was thought.
const MOST_ROUNDS: usize = 12;

impl Planner<'_> {
    fn parts(&self) -> Vec<(String, Part)> {
        let circuit = &self.project.circuit;
        // The list of sheets takes its room on the first; most sets are of fewer than this.
        let titles = vec![String::new(); 12];
        let room = room(self.project, self.look, Numbering { number: 1, titles: &titles });
        let most = extent(room.width() - 2.0 * BESIDE, room.height() - 2.0 * ABOVE);
        let together = extent(room.width() - BESIDE, room.height() - 2.0 * ABOVE);
        let mut cells = cells::of(circuit, most);
        let mut refused = BTreeSet::new();
        let mut spans = Vec::new();
        for _ in 0..MOST_ROUNDS {
            spans = match self.division {
                Division::ByPlace => (0..cells.len()).map(|place| (place, place + 1)).collect(),
                Division::AsNeeded | Division::One => plan::group(circuit, &cells, together, &refused),
            };
            let too_large: Vec<plan::Span> =
                spans.iter().copied().filter(|span| !self.fits(&cells, *span, room)).collect();
            let mut changed = false;
            // From the last on, so that places before it still hold.
            for (start, end) in too_large.into_iter().rev() {
                changed |= if end > start + 1 {
                    refused.insert((start, end))
                } else {
                    cut_further(circuit, &mut cells, start)
                };
            }
            if !changed {
                break;
            }
        }
        let titles = title::of(circuit, &cells, &spans);
        titles.into_iter().zip(spans.iter().map(|span| part(&cells, *span))).collect()
    }

    /// Whether a sheet can be read at the scale of its page.
    fn fits(&self, cells: &[Cell], span: plan::Span, room: Area) -> bool {
        let mut part = part(cells, span);
        exits::place(&self.project.circuit, &mut part, |run, far| {
            let block = self.project.circuit.block(run.end(far).block);
            onward(88, "M8", block.map_or("", |block| &block.tag))
        });
        let bare = Look { furniture: Furniture::Without, ..self.look.clone() };
        let drawing = Drawing::of_part(self.project, &bare, &part);
        Fitted::of(drawing.bounds, room).scale * SMALL_HEIGHT >= LEAST_LETTERING
    }
}

/// Cuts a cell that turned out to be too large; tells whether that was possible.
fn cut_further(circuit: &Circuit, cells: &mut Vec<Cell>, place: usize) -> bool {
    let Some(cell) = cells.get(place).cloned() else { return false };
    let less = Extent {
        width: (cell.bounds.max.x - cell.bounds.min.x) * 2 / 3,
        height: (cell.bounds.max.y - cell.bounds.min.y) * 2 / 3,
    };
    let pieces = cells::cut(circuit, cell, less);
    let is_cut = pieces.len() > 1;
    cells.splice(place..=place, pieces);
    is_cut
}

#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates")]
fn extent(width: f32, height: f32) -> Extent {
    Extent { width: (width / STEP_MM) as i32, height: (height / STEP_MM) as i32 }
}

fn part(cells: &[Cell], (start, end): plan::Span) -> Part {
    let mut part = Part::default();
    for cell in cells.get(start..end).unwrap_or_default() {
        part.blocks.extend(&cell.blocks);
        for (place, frame) in &cell.frames {
            part.frames.entry(*place).and_modify(|whole| *whole = whole.union(*frame)).or_insert(*frame);
        }
    }
    part
}

/// Where a run goes on, as its flag says it: `/2.C4 to C1`.
fn onward(sheet: usize, zone: &str, block: &str) -> String {
    format!("/{sheet}.{zone} to {block}")
}

/// Parts that are drawn as a set.
struct Set<'a> {
    project: &'a Project,
    look: &'a Look,
    parts: Vec<(String, Part)>,
}

impl Set<'_> {
    fn draw(mut self) -> Vec<Sheet> {
        let homes: BTreeMap<BlockId, usize> = (1..)
            .zip(&self.parts)
            .flat_map(|(number, (_, part))| part.blocks.iter().map(move |block| (*block, number)))
            .collect();
        let titles: Vec<String> = self.parts.iter().map(|(title, _)| title.clone()).collect();
        let size = self.look.paper.unwrap_or(PaperSize::usual(self.project.units));
        let circuit = &self.project.circuit;
        let tag = |block: BlockId| circuit.block(block).map_or("", |block| block.tag.as_str());
        for (_, part) in &mut self.parts {
            exits::place(circuit, part, |run, far| {
                let block = run.end(far).block;
                onward(homes.get(&block).copied().unwrap_or(1), &widest_zone(size), tag(block))
            });
        }
        // The zones are known once the parts stand on their pages, whose layout does not depend on them.
        let bare = Look { furniture: Furniture::Without, ..self.look.clone() };
        let numbering = |number| Numbering { number, titles: &titles };
        let fitted: Vec<Fitted> = (1..)
            .zip(&self.parts)
            .map(|(number, (_, part))| {
                let drawing = Drawing::of_part(self.project, &bare, part);
                Fitted::of(drawing.bounds, room(self.project, self.look, numbering(number)))
            })
            .collect();
        let references: Vec<Vec<Reference>> =
            (0..self.parts.len()).map(|place| self.references(place, &homes, &fitted, size)).collect();
        let mut sheets = Vec::new();
        for ((number, (title, mut part)), references) in (1..).zip(self.parts).zip(references) {
            for reference in &references {
                if let Some(exit) = part.exits.get_mut(&(reference.run, reference.end)) {
                    exit.onward = onward(reference.sheet, &reference.zone, tag(reference.block));
                }
            }
            let mut drawing = Drawing::of_part(self.project, &bare, &part);
            add(self.project, self.look, Scope(Some(&part)), numbering(number), &mut drawing);
            let blocks = part.blocks.into_iter().collect();
            sheets.push(Sheet { title, drawing, blocks, references });
        }
        sheets
    }

    fn references(
        &self,
        place: usize,
        homes: &BTreeMap<BlockId, usize>,
        fitted: &[Fitted],
        size: PaperSize,
    ) -> Vec<Reference> {
        let (Some((_, part)), Some(here)) = (self.parts.get(place), fitted.get(place)) else {
            return Vec::new();
        };
        let reference = |((run, end), exit): (&(RunId, Side), &Exit)| {
            let block = self.project.circuit.run(*run)?.end(*end).block;
            let sheet = homes.get(&block).copied()?;
            let (_, other) = self.parts.get(sheet.checked_sub(1)?)?;
            let matching = exits::matching(other, *run, *end)?;
            let there = fitted.get(sheet.checked_sub(1)?)?.point(matching.area().center());
            let area = exit.area();
            let corners = [Point::new(area.left, area.top), Point::new(area.right, area.bottom)];
            let area = Area::of(&corners.map(|corner| here.point(corner)));
            Some(Reference { run: *run, end: *end, block, sheet, zone: zone_at(size, there), area })
        };
        part.exits.iter().filter_map(reference).collect()
    }
}

/// A zone whose name is as wide as any on that paper.
fn widest_zone(size: PaperSize) -> String {
    let area = size.frame();
    let last = zone_at(size, Point::new(area.right, area.bottom));
    format!("M{}", "8".repeat(last.len().saturating_sub(1)))
}
