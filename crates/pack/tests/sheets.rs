//! Every demo on every writer: all words are there, the page has its size, and the same sheet gives the same bytes.

use lineside_core::file;
use lineside_core::project::Project;
use lineside_drawing::display_list::Shape;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Drawing, Furniture, Look, PaperSize, sheet};
use lineside_drawing::svg::Palette;
use lineside_pack::pdf::Page;
use lineside_pack::{dxf, pdf};

const DEMOS: [&str; 4] = [
    include_str!("../../../assets/demos/cabin.lineside"),
    include_str!("../../../assets/demos/home.lineside"),
    include_str!("../../../assets/demos/hut.lineside"),
    include_str!("../../../assets/demos/as-found.lineside"),
];

fn drawn(project: &Project, paper: Option<PaperSize>) -> Drawing {
    let furniture = if paper.is_some() { Furniture::With } else { Furniture::Without };
    let look = Look { furniture, paper, ..Look::default() };
    sheet(project, &look, &Routes::new(&project.circuit))
}

#[test]
fn pdf_has_its_pages_and_the_same_bytes() {
    let projects: Vec<Project> = DEMOS.iter().map(|demo| file::read(demo).unwrap()).collect();
    let drawings: Vec<Drawing> = projects.iter().map(|it| drawn(it, Some(PaperSize::A3))).collect();
    let pages: Vec<Page<'_>> = drawings
        .iter()
        .zip(&projects)
        .map(|(drawing, project)| Page { drawing, title: project.name() })
        .collect();
    let write = || pdf::write(&pages, &Palette::PRINT, "All demos", "en-US").unwrap();
    let bytes = write();
    assert!(bytes.starts_with(b"%PDF-"));
    assert_eq!(bytes, write());
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("/Count 4"), "four pages");
    // A3 lying: 420 × 297 mm in points.
    assert!(text.contains("1190.551"), "its width");
    // Faces are embedded as far as they are used: two whole ones would be 700 kB.
    assert!(bytes.len() < 250_000, "{} bytes", bytes.len());
}

#[test]
fn an_empty_project_prints() {
    let drawing = drawn(&Project::default(), None);
    let page = Page { drawing: &drawing, title: "" };
    assert!(pdf::write(&[page], &Palette::PRINT, "", "en").is_ok());
    assert!(dxf::write(&drawing).ends_with("  0\r\nEOF\r\n"));
}

/// The pairs of a file.
fn pairs(text: &str) -> Vec<(i32, &str)> {
    let lines: Vec<&str> = text.split("\r\n").collect();
    lines
        .chunks_exact(2)
        .filter_map(|pair| Some((pair.first()?.trim().parse().ok()?, *pair.get(1)?)))
        .collect()
}

#[test]
fn dxf_has_every_word_and_every_line() {
    for demo in DEMOS {
        let project = file::read(demo).unwrap();
        let drawing = drawn(&project, Some(PaperSize::AnsiB));
        let text = dxf::write(&drawing);
        assert!(text.is_ascii());
        assert_eq!(text, dxf::write(&drawing));
        let pairs = pairs(&text);
        let entities = |name: &str| pairs.iter().filter(|pair| **pair == (0, name)).count();
        let (mut lines, mut words) = (0, 0);
        for item in drawing.list.items().filter(|item| item.pen != lineside_drawing::pen::Pen::Paper) {
            match &item.shape {
                Shape::Polyline { .. } | Shape::Disc { .. } => lines += 1,
                Shape::Text(_) => words += 1,
                Shape::Polygon { .. } | Shape::Circle { .. } | Shape::Arc { .. } => {}
            }
        }
        assert_eq!((entities("POLYLINE"), entities("SEQEND"), entities("TEXT")), (lines, lines, words));
        // All of it lies on the page, 17 × 11 inches, whose corner is the origin.
        let coordinates = |code: i32| {
            let numbers = pairs.iter().filter(move |pair| pair.0 == code);
            numbers.filter_map(|pair| pair.1.parse::<f64>().ok()).collect::<Vec<_>>()
        };
        assert!(coordinates(10).iter().all(|x| (0.0..=17.0 * 25.4 + 0.01).contains(x)));
        assert!(coordinates(20).iter().all(|y| (0.0..=11.0 * 25.4 + 0.01).contains(y)));
        // Sections are opened and closed in turn.
        assert_eq!(entities("SECTION"), entities("ENDSEC"));
        assert_eq!(entities("TABLE"), entities("ENDTAB"));
    }
}
