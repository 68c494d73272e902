//! Pages: every size of paper holds its furniture, zones, and the whole circuit; revisions stand in their table.
#![cfg(test)]

#[path = "support/mod.rs"]
mod support;

use lineside_core::file;
use lineside_core::project::{Project, Revision, RevisionStatus};
use lineside_drawing::display_list::{Ends, Layer, Shape};
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::pen::Pen;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Drawing, Furniture, Look, PaperSize, inks_by_terminals, sheet};
use lineside_drawing::sheets::{Division, sheets};

const SIZES: [PaperSize; 8] = [
    PaperSize::A3,
    PaperSize::A2,
    PaperSize::A1,
    PaperSize::A0,
    PaperSize::AnsiB,
    PaperSize::AnsiC,
    PaperSize::AnsiD,
    PaperSize::AnsiE,
];

fn page(project: &Project, size: PaperSize) -> Drawing {
    let look = Look { furniture: Furniture::With, paper: Some(size), ..Look::default() };
    sheet(project, &look, &Routes::new(&project.circuit))
}

fn texts(drawing: &Drawing) -> Vec<(&str, Area)> {
    let items = drawing.list.groups.iter().filter(|group| group.layer == Layer::Furniture);
    let texts = items.flat_map(|group| &group.items).filter_map(|item| {
        let Shape::Text(text) = &item.shape else { return None };
        Some((text.content.as_str(), text.bounds()))
    });
    texts.collect()
}

#[test]
fn every_paper_holds_the_circuit_and_its_furniture() {
    let project = file::read(support::DEMOS[1].1).unwrap();
    for size in SIZES {
        let drawing = page(&project, size);
        let paper = drawing.paper.unwrap();
        assert_eq!((paper.size, drawing.bounds), (size, size.area()));
        for group in &drawing.list.groups {
            let room = if group.layer == Layer::Furniture { size.area() } else { size.frame() };
            assert!(room.holds(group.bounds), "{}: {:?} {:?}", size.label(), group.subject, group.bounds);
        }
        let texts = texts(&drawing);
        for (place, (content, area)) in texts.iter().enumerate() {
            for (other, taken) in texts.iter().skip(place + 1) {
                assert!(
                    !area.grown(-0.3).overlaps(taken.grown(-0.3)),
                    "{}: {content} over {other}",
                    size.label()
                );
            }
        }
        let label = format!("{}, not to scale", size.label());
        assert!(texts.iter().any(|(content, _)| *content == label), "{label}");
    }
    // From A2 on the sheet is drawn at its true scale, so that the smallest lettering is 1.8 mm.
    assert!((page(&project, PaperSize::A2).paper.unwrap().least_lettering - 1.8).abs() < 1e-6);
}

/// The furniture's rectangles.
fn boxes(drawing: &Drawing) -> Vec<Area> {
    let items = drawing.list.groups.iter().filter(|group| group.layer == Layer::Furniture);
    let items = items.flat_map(|group| &group.items);
    let shapes = items.filter(|item| matches!(item.pen, Pen::Thin | Pen::Frame)).map(|item| &item.shape);
    shapes
        .filter_map(|shape| {
            let Shape::Polyline { points, ends: Ends::Joined } = shape else { return None };
            let area = Area::of(points);
            let on_a_corner = |at: &Point| {
                [area.left, area.right].contains(&at.x) && [area.top, area.bottom].contains(&at.y)
            };
            (points.len() == 4 && points.iter().all(on_a_corner)).then_some(area)
        })
        .collect()
}

/// Every symbol there is, titles that are too long for their cells, and revisions of many words: all words of the
/// furniture keep off the frames in which they stand, and off each other.
#[test]
fn words_of_the_furniture_stay_within_their_frames() {
    let mut full = support::contact_sheet().unwrap();
    let long =
        "The Association of Householders of the Upper and the Lower Meadow at Sundial Bridge".to_owned();
    let title = &mut full.title;
    for field in [
        &mut title.system,
        &mut title.customer,
        &mut title.firm,
        &mut title.firm_address,
        &mut title.site_address,
        &mut title.drawn_by,
        &mut title.drawing_number,
    ] {
        field.clone_from(&long);
    }
    full.revisions = vec![Revision {
        letter: "AB".to_owned(),
        date: "2026-03-02".parse().unwrap(),
        by: long.clone(),
        note: [long.as_str(), long.as_str()].join(", "),
        status: RevisionStatus::Draft,
        snapshot: String::new(),
    }];
    let demos = support::DEMOS.iter().map(|(_, text)| file::read(text).unwrap());
    for project in demos.chain([full]) {
        for (size, division) in
            SIZES.into_iter().flat_map(|size| [(size, Division::One), (size, Division::ByPlace)])
        {
            let mut look = Look { furniture: Furniture::With, paper: Some(size), ..Look::default() };
            (look.inks, look.bars) = inks_by_terminals(&project.circuit);
            let routes = Routes::new(&project.circuit);
            for sheet in sheets(&project, &look, &routes, division) {
                let boxes = boxes(&sheet.drawing);
                let texts = texts(&sheet.drawing);
                for (place, (words, area)) in texts.iter().enumerate() {
                    let around = boxes.iter().filter(|frame| frame.contains(area.center()));
                    let frame =
                        around.min_by(|a, b| (a.width() * a.height()).total_cmp(&(b.width() * b.height())));
                    let room = frame.map_or(size.area(), |frame| frame.grown(-0.3));
                    assert!(
                        room.holds(area.grown(-0.3)),
                        "{}: {words} at {area:?} in {room:?}",
                        size.label()
                    );
                    let wide = room.left + 0.4 <= area.left && area.right <= room.right - 0.4;
                    assert!(wide || frame.is_none(), "{}: {words} touches its frame", size.label());
                    for (other, taken) in texts.iter().skip(place + 1) {
                        let on = area.grown(-0.3).overlaps(taken.grown(-0.3));
                        assert!(!on, "{}: {words} over {other}", size.label());
                    }
                }
            }
        }
    }
}

/// A1 lies 841 mm long with 20 mm and 10 mm off: 811 mm between, of which 8 zones of 50 mm go to either side of the
/// middle and rests of 5.5 mm join the last ones: 16 in all. Down it are 574 mm: 5 zones and a rest of 37 mm, which is
/// more than half a zone, to either side: 12 rows, of which the last is M.
#[test]
fn zones_are_counted_from_the_middle() {
    let drawing = page(&Project::default(), PaperSize::A1);
    let texts = texts(&drawing);
    let has = |name: &str| texts.iter().filter(|(content, _)| *content == name).count() == 2;
    assert!(has("16") && !has("17"), "columns");
    assert!(has("M") && !has("N"), "rows");
}

#[test]
fn revisions_are_listed_the_newest_first() {
    let mut project = file::read(support::DEMOS[0].1).unwrap();
    let revision = |letter: &str, day: u8, note: &str, status| Revision {
        letter: letter.to_owned(),
        date: format!("2026-03-{day:02}").parse().unwrap(),
        by: "A. Marlow".to_owned(),
        note: note.to_owned(),
        status,
        snapshot: String::new(),
    };
    project.revisions = vec![
        revision("A", 2, "First issue", RevisionStatus::Released),
        revision("B", 9, "Second controller", RevisionStatus::Draft),
    ];
    let drawing = page(&project, PaperSize::A3);
    let texts = texts(&drawing);
    let top = |words: &str| texts.iter().find(|(content, _)| *content == words).map(|(_, area)| area.top);
    let (first, second) = (top("First issue").unwrap(), top("Second controller (draft)").unwrap());
    assert!(second < first && top("2026-03-09").is_some());
    let plain = page(&file::read(support::DEMOS[0].1).unwrap(), PaperSize::A3);
    assert!(drawing.paper.unwrap().scale <= plain.paper.unwrap().scale, "the table takes its room");
}
