//! Lines onto pages: nothing is cut, what belongs together stays together as far as a page is long, and each page says which
//! of how many it is.

use super::set::{Break, Set, foot};
use super::{Paper, Review};
use lineside_drawing::display_list::{Group, Item, Layer, Subject};
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::sheet::Drawing;

/// Above the first line and below the last, mm.
const TOP: f32 = 16.0;
const BOTTOM: f32 = 20.0;
/// What the writer leaves round a drawing without paper, mm.
const ROUND: f32 = 5.0;

/// Puts lines onto pages.
pub(super) fn pages(lines: Vec<Set>, review: &Review, paper: Paper) -> Vec<Drawing> {
    let room = paper.size().1 - TOP - BOTTOM;
    let mut pages: Vec<Vec<Item>> = vec![Vec::new()];
    let mut used = 0.0;
    for piece in pieces(lines) {
        let height: f32 = piece.iter().map(|line| line.height).sum();
        if used + height > room && used > 0.0 {
            pages.push(Vec::new());
            used = 0.0;
        }
        for line in piece {
            // A piece that is longer than a page goes on over the next.
            if used + line.height > room {
                pages.push(Vec::new());
                used = 0.0;
            }
            // No page begins with empty space.
            if line.items.is_empty() && used <= 0.0 {
                continue;
            }
            if let Some(page) = pages.last_mut() {
                page.extend(line.items.into_iter().map(|item| moved(item, TOP + used)));
            }
            used += line.height;
        }
    }
    if pages.len() > 1 && pages.last().is_some_and(Vec::is_empty) {
        pages.pop();
    }
    let count = pages.len();
    pages
        .into_iter()
        .enumerate()
        .map(|(number, mut items)| {
            items.extend(foot(&review.foot, &format!("page {} of {count}", number + 1), paper));
            drawing(items, paper)
        })
        .collect()
}

/// Lines that belong together.
fn pieces(lines: Vec<Set>) -> Vec<Vec<Set>> {
    let mut pieces: Vec<Vec<Set>> = vec![Vec::new()];
    for line in lines {
        let ends = line.after == Break::May;
        if let Some(piece) = pieces.last_mut() {
            piece.push(line);
        }
        if ends {
            pieces.push(Vec::new());
        }
    }
    pieces
}

fn moved(item: Item, down: f32) -> Item {
    Item { shape: item.shape.moved(0.0, down), ..item }
}

fn drawing(items: Vec<Item>, paper: Paper) -> Drawing {
    let (width, height) = paper.size();
    let mut drawing = Drawing::default();
    drawing.bounds = Area::at(Point::new(0.0, 0.0), width, height).grown(-ROUND);
    drawing.list.groups.push(Group::new(Subject::Sheet, Layer::Furniture, items));
    drawing
}
