//! Sheets as PDF: a page for each, text as text, the faces embedded as far as they are used.

use crate::page_area;
use krilla::Document;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};
use lineside_drawing::display_list::{Behind, Ends, Item, Shape, Text, Turned, Weight};
use lineside_drawing::geometry::{Area, Point, on_circle};
use lineside_drawing::pen::Pen;
use lineside_drawing::sheet::Drawing;
use lineside_drawing::svg::{Palette, Rgb};

/// One page.
#[derive(Clone, Copy, Debug)]
pub struct Page<'a> {
    /// What is on it.
    pub drawing: &'a Drawing,
    /// What its bookmark says.
    pub title: &'a str,
}

/// Why no PDF was made.
#[derive(Debug, thiserror::Error)]
pub enum PdfFault {
    /// A face in the program cannot be read.
    #[error("a face of the program is damaged, please install it again")]
    Face,
    /// A page without extent.
    #[error("a page of {0} × {1} mm cannot be printed")]
    Size(f32, f32),
    /// The file could not be put together.
    #[error("the pages could not be put together: {0}")]
    Document(String),
}

const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf");
const STRONG: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf");
/// Points in a millimeter.
const POINTS: f32 = 72.0 / 25.4;
/// A quarter of a circle as one curve: the distance of its handles, in radii.
const QUARTER: f32 = 0.552_284_8;

struct Faces {
    regular: Font,
    strong: Font,
}

impl Faces {
    fn load() -> Result<Self, PdfFault> {
        let face = |bytes: &'static [u8]| Font::new(bytes.into(), 0).ok_or(PdfFault::Face);
        Ok(Self { regular: face(REGULAR)?, strong: face(STRONG)? })
    }
    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Strong => self.strong.clone(),
            Weight::Regular => self.regular.clone(),
        }
    }
}

/// Writes pages. `title` names the document for people and for assistive technology, `language` is a tag such as `en-US`.
pub fn write(
    pages: &[Page<'_>],
    palette: &Palette,
    title: &str,
    language: &str,
) -> Result<Vec<u8>, PdfFault> {
    let faces = Faces::load()?;
    let mut document = Document::new();
    let mut outline = Outline::new();
    for (number, page) in pages.iter().enumerate() {
        let area = page_area(page.drawing);
        let (width, height) = (area.width(), area.height());
        let settings = PageSettings::from_wh(width * POINTS, height * POINTS);
        let mut sheet = document.start_page_with(settings.ok_or(PdfFault::Size(width, height))?);
        let mut surface = sheet.surface();
        surface.push_transform(&Transform::from_row(
            POINTS,
            0.0,
            0.0,
            POINTS,
            -area.left * POINTS,
            -area.top * POINTS,
        ));
        let mut writer = Writer { surface: &mut surface, palette, faces: &faces };
        for item in page.drawing.list.items() {
            writer.item(item);
        }
        surface.pop();
        surface.finish();
        sheet.finish();
        outline.push_child(OutlineNode::new(
            page.title.to_owned(),
            XyzDestination::new(number, PdfPoint::from_xy(0.0, 0.0)),
        ));
    }
    document.set_outline(outline);
    document.set_metadata(
        Metadata::new().title(title.to_owned()).language(language.to_owned()).creator("Lineside".to_owned()),
    );
    document.finish().map_err(|error| PdfFault::Document(format!("{error:?}")))
}

struct Writer<'a, 'd> {
    surface: &'a mut Surface<'d>,
    palette: &'a Palette,
    faces: &'a Faces,
}

impl Writer<'_, '_> {
    fn color(&self, pen: Pen) -> krilla::color::rgb::Color {
        let Rgb(red, green, blue) = self.palette.color(pen);
        krilla::color::rgb::Color::new(red, green, blue)
    }

    fn filled(&self, pen: Pen) -> Fill {
        Fill { paint: self.color(pen).into(), opacity: NormalizedF32::ONE, rule: FillRule::default() }
    }

    fn fill(&mut self, path: Option<Path>, pen: Pen) {
        let Some(path) = path else { return };
        let fill = self.filled(pen);
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(fill));
        self.surface.draw_path(&path);
    }

    fn stroke(&mut self, path: Option<Path>, pen: Pen) {
        let Some(path) = path else { return };
        let pattern = pen.pattern();
        let stroke = Stroke {
            paint: self.color(pen).into(),
            width: pen.width_mm(),
            // Round ends would eat the gaps of a pattern.
            line_cap: if pattern.is_empty() { LineCap::Round } else { LineCap::Butt },
            line_join: LineJoin::Round,
            dash: (!pattern.is_empty()).then(|| StrokeDash { array: pattern.to_vec(), offset: 0.0 }),
            ..Stroke::default()
        };
        self.surface.set_fill(None);
        self.surface.set_stroke(Some(stroke));
        self.surface.draw_path(&path);
    }

    fn item(&mut self, item: &Item) {
        match &item.shape {
            Shape::Polyline { points, ends } => self.stroke(corners(points, *ends), item.pen),
            Shape::Polygon { points } => self.fill(corners(points, Ends::Joined), item.pen),
            Shape::Circle { center, radius } => self.stroke(circle(*center, *radius), item.pen),
            Shape::Disc { center, radius } => self.fill(circle(*center, *radius), item.pen),
            Shape::Arc { center, radius, start, sweep } => {
                self.stroke(arc(*center, *radius, *start, *sweep), item.pen);
            }
            Shape::Text(text) => self.text(text, item.pen),
        }
    }

    fn text(&mut self, text: &Text, pen: Pen) {
        if text.behind == Behind::Patch {
            self.fill(rectangle(text.bounds()), Pen::Paper);
        }
        let fill = self.filled(pen);
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(fill));
        let origin = text.origin();
        let turned = text.turned == Turned::FromRight;
        if turned {
            // Read from the right: a quarter turn against the clock round where the letters start.
            self.surface.push_transform(&Transform::from_row(0.0, -1.0, 1.0, 0.0, origin.x, origin.y));
        }
        let start = if turned { PdfPoint::from_xy(0.0, 0.0) } else { PdfPoint::from_xy(origin.x, origin.y) };
        let words: String = text.content.chars().filter(|letter| !letter.is_control()).collect();
        let face = self.faces.of(text.weight);
        self.surface.draw_text(start, face, text.em(), &words, false, TextDirection::Auto);
        if turned {
            self.surface.pop();
        }
    }
}

fn corners(points: &[Point], ends: Ends) -> Option<Path> {
    let mut path = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    path.move_to(first.x, first.y);
    for point in rest {
        path.line_to(point.x, point.y);
    }
    if ends == Ends::Joined {
        path.close();
    }
    path.finish()
}

fn rectangle(area: Area) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_ltrb(area.left, area.top, area.right, area.bottom)?);
    path.finish()
}

fn circle(center: Point, radius: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    let handle = radius * QUARTER;
    let Point { x, y } = center;
    path.move_to(x + radius, y);
    path.cubic_to(x + radius, y + handle, x + handle, y + radius, x, y + radius);
    path.cubic_to(x - handle, y + radius, x - radius, y + handle, x - radius, y);
    path.cubic_to(x - radius, y - handle, x - handle, y - radius, x, y - radius);
    path.cubic_to(x + handle, y - radius, x + radius, y - handle, x + radius, y);
    path.close();
    path.finish()
}

/// Steps in which an arc is drawn, degrees: its ends are multiples of it.
const STEP: i16 = 5;

/// An arc as a fine line: at the sizes of symbols no eye sees the corners of five degrees.
fn arc(center: Point, radius: f32, start: i16, sweep: i16) -> Option<Path> {
    let mut path = PathBuilder::new();
    let first = on_circle(center, radius, start);
    path.move_to(first.x, first.y);
    let mut passed = STEP;
    while passed <= sweep {
        let point = on_circle(center, radius, start.saturating_add(passed));
        path.line_to(point.x, point.y);
        passed = passed.saturating_add(STEP);
    }
    path.finish()
}
