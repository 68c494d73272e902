//! The table of revisions, above the title block, the newest at the top.

use super::press::{ENTRY, HEADING, Lettering, NOTE, Press};
use crate::display_list::{Along, Ends, Shape};
use crate::geometry::{Area, Point};
use crate::pen::Pen;
use lineside_core::project::{Project, Revision, RevisionStatus};

/// Height of the captions and of each row, mm.
const CAPTIONS: f32 = 4.2;
const ROW: f32 = 6.0;
/// So many of the last revisions are listed.
const MOST: usize = 6;
/// Widths of the columns, mm: letter, what changed and why, who, when.
const WIDTHS: [f32; 4] = [14.0, 106.0, 30.0, 30.0];
const CELL: Lettering = Lettering { height: 2.0, ..ENTRY };

/// How high the table is; nothing when there are no revisions.
pub(super) fn height(project: &Project) -> f32 {
    match project.revisions.len().min(MOST) {
        0 => 0.0,
        rows => CAPTIONS + ROW * rows as f32,
    }
}

pub(super) fn print(press: &mut Press, area: Area, project: &Project) {
    if project.revisions.is_empty() {
        return;
    }
    press.rectangle(Pen::Thin, area);
    let mut left = area.left;
    for (caption, width) in ["Rev.", "What changed and why", "By", "Date"].into_iter().zip(WIDTHS) {
        press.words(NOTE, Point::new(left + 1.6, area.top + 3.0), Along::Start, caption);
        if left > area.left {
            press.line(Pen::Thin, Point::new(left, area.top), Point::new(left, area.bottom));
        }
        left += width;
    }
    let mut top = area.top + CAPTIONS;
    for revision in project.revisions.iter().rev().take(MOST) {
        press.line(Pen::Thin, Point::new(area.left, top), Point::new(area.right, top));
        row(press, Area { top, bottom: top + ROW, ..area }, revision);
        top += ROW;
    }
}

fn row(press: &mut Press, area: Area, revision: &Revision) {
    let middle = Point::new(area.left + WIDTHS[0] / 2.0, area.center().y);
    let triangle = [middle.moved(0.0, -2.7), middle.moved(3.4, 2.4), middle.moved(-3.4, 2.4)];
    press.put(Pen::Thin, Shape::Polyline { points: triangle.into(), ends: Ends::Joined });
    let letter = Lettering { height: 2.0, ..HEADING };
    press.words(letter, middle.moved(0.0, 1.7), Along::Middle, &revision.letter);
    let note = match revision.status {
        RevisionStatus::Draft if revision.note.is_empty() => "draft".to_owned(),
        RevisionStatus::Draft => format!("{} (draft)", revision.note),
        RevisionStatus::Released => revision.note.clone(),
    };
    let date = revision.date.to_string();
    let mut left = area.left + WIDTHS[0];
    for (content, width) in [note, revision.by.clone(), date].iter().zip([WIDTHS[1], WIDTHS[2], WIDTHS[3]]) {
        press.fitted(CELL, Point::new(left + 1.6, area.bottom - 2.0), width - 3.2, content);
        left += width;
    }
}
