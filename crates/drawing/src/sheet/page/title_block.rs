//! The title block, after ISO 7200, with the fields that permit offices ask for besides.

use super::press::{ENTRY, HEADING, Lettering, NOTE, Press};
use super::{Numbering, PaperSize};
use crate::display_list::{Along, Weight};
use crate::geometry::{Area, Point};
use crate::metrics;
use crate::pen::Pen;
use lineside_core::project::{Project, Revision, RevisionStatus};
use lineside_core::units::text;

const TITLE: Lettering = Lettering { pen: Pen::Text, height: 5.0, weight: Weight::Strong };
const NUMBER: Lettering = Lettering { pen: Pen::Text, height: 3.5, weight: Weight::Strong };
/// Heights of the rows from the top, mm.
const ROWS: [f32; 4] = [11.5, 11.5, 8.0, 8.0];
/// What a sheet of a set shows.
const SHOWN: Lettering = Lettering { height: 2.0, ..ENTRY };
/// Between the name of the system and what the sheet shows, mm.
const CLEAR: f32 = 3.0;
/// The type of document.
const DOCUMENT: &str = "Single-line diagram";
/// Between a cell's side and its words, mm.
const INSET: f32 = 1.6;

pub(super) fn print(
    press: &mut Press,
    area: Area,
    project: &Project,
    size: PaperSize,
    numbering: Numbering<'_>,
) {
    press.rectangle(Pen::Frame, area);
    let title = &project.title;
    let revision = project.revisions.last();
    let [first, second, third, fourth] = rows(area);

    let [name, number, sheet] = split(first, [112.0, 48.0, 20.0]);
    cell(press, name, "System", "", ENTRY);
    let most = 76.0;
    press.fitted(TITLE, Point::new(name.left + INSET, name.bottom - 2.0), most, project.name());
    let beside = name.right - INSET;
    if let Some(shown) = numbering.title() {
        press.words(NOTE, Point::new(beside, name.top + 3.0), Along::End, DOCUMENT);
        let taken = metrics::length(project.name(), TITLE.weight, TITLE.height).min(most);
        let room = name.width() - 2.0 * INSET - taken - CLEAR;
        press.folded_end(SHOWN, Point::new(beside, name.bottom - 3.8), room, shown);
    } else {
        press.words(ENTRY, Point::new(beside, name.bottom - 2.0), Along::End, DOCUMENT);
    }
    cell(press, number, "Drawing number", &title.drawing_number, NUMBER);
    cell(press, sheet, "Sheet", &format!("{} / {}", numbering.number, numbering.count()), NUMBER);

    let [firm, customer, site] = split(second, [62.0, 52.0, 66.0]);
    let contact = listed(&[&title.firm_address, &title.telephone, &licensed(&title.license)]);
    cell(press, firm, "Firm", &contact, NOTE);
    let (line, length) = (Point::new(firm.left + INSET, firm.bottom - 4.8), firm.width() - 2.0 * INSET);
    press.fitted(HEADING, line, length, &title.firm);
    cell(press, customer, "Customer", &title.customer, ENTRY);
    cell(press, site, "Site, parcel", &listed(&[&title.site_address, &title.parcel]), ENTRY);

    let [low, high, elevation, code, scale] = split(third, [30.0, 30.0, 30.0, 50.0, 40.0]);
    let brief = &project.brief.site;
    let shown = |quantity: Option<lineside_core::units::Quantity>| {
        quantity.map_or_else(|| "not given".to_owned(), |it| text::figure(it, project.units))
    };
    cell(press, low, "Record low", &shown(brief.record_low.map(Into::into)), ENTRY);
    cell(press, high, "2 % design high", &shown(brief.design_high.map(Into::into)), ENTRY);
    cell(press, elevation, "Elevation", &shown(brief.elevation.map(Into::into)), ENTRY);
    cell(press, code, "Code", project.rule_set.label(), ENTRY);
    cell(press, scale, "Size, scale", &format!("{}, not to scale", size.label()), ENTRY);

    let [drawn, checked, approved, letter, date] = split(fourth, [38.0, 38.0, 38.0, 32.0, 34.0]);
    cell(press, drawn, "Drawn", &title.drawn_by, ENTRY);
    cell(press, checked, "Checked", &title.checked_by, ENTRY);
    cell(press, approved, "Approved", &title.approved_by, ENTRY);
    cell(press, letter, "Revision", &revised(revision), HEADING);
    cell(press, date, "Date", &revision.map(|it| it.date.to_string()).unwrap_or_default(), ENTRY);
}

fn revised(revision: Option<&Revision>) -> String {
    match revision {
        None => "draft".to_owned(),
        Some(it) => match it.status {
            RevisionStatus::Draft => format!("{}, draft", it.letter),
            RevisionStatus::Released => it.letter.clone(),
        },
    }
}

fn licensed(license: &str) -> String {
    if license.is_empty() { String::new() } else { format!("license {license}") }
}

/// What is there, with commas between.
fn listed(parts: &[&str]) -> String {
    let parts: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    parts.join(", ")
}

fn rows(area: Area) -> [Area; 4] {
    let mut top = area.top;
    ROWS.map(|height| {
        let row = Area { top, bottom: top + height, ..area };
        top += height;
        row
    })
}

/// Cuts a row into cells from the left.
fn split<const N: usize>(row: Area, widths: [f32; N]) -> [Area; N] {
    let mut left = row.left;
    widths.map(|width| {
        let cell = Area { left, right: left + width, ..row };
        left += width;
        cell
    })
}

/// A cell with its caption and what it holds.
fn cell(press: &mut Press, area: Area, caption: &str, content: &str, lettering: Lettering) {
    press.rectangle(Pen::Thin, area);
    let left = area.left + INSET;
    press.words(NOTE, Point::new(left, area.top + 3.0), Along::Start, caption);
    press.fitted(lettering, Point::new(left, area.bottom - 1.6), area.width() - 2.0 * INSET, content);
}
