//! The guide in the window: the chapters of `docs/guide`, from the same text, beside the work.
//!
//! Reading Markdown is `markdown.rs`'s, painting it `page.rs`'s.

pub(in crate::window) mod markdown;
mod page;

use super::app::App;
use super::areas::Area;
use super::fonts;
use super::view::View;
use egui::{ComboBox, Context, FontId, Id, Key, Modifiers, Order, RichText, ScrollArea, Ui, Window, vec2};
use markdown::Block;
use std::sync::LazyLock;

/// Narrower than this, the chapters are a list that opens.
const BESIDE: f32 = 560.0;

macro_rules! chapters {
    ($($file:literal),+ $(,)?) => {
        /// Every chapter: the name of its file, and its text.
        const CHAPTERS: &[(&str, &str)] =
            &[$(($file, include_str!(concat!("../../../../../docs/guide/", $file)))),+];
    };
}

chapters!(
    "start.md",
    "design.md",
    "drawing.md",
    "findings.md",
    "ladder.md",
    "stock.md",
    "training.md",
    "installing.md",
    "commands.md",
    "cautions.md",
);

struct Chapter {
    file: &'static str,
    title: String,
    blocks: Vec<Block>,
}

/// The chapters, read once when the guide is opened for the first time.
static READ: LazyLock<Vec<Chapter>> = LazyLock::new(|| {
    let read = |(file, text): &(&'static str, &'static str)| {
        let blocks = markdown::read(text);
        Chapter { file, title: markdown::title(&blocks), blocks }
    };
    CHAPTERS.iter().map(read).collect()
});

/// What the guide remembers.
#[derive(Clone, Debug, Default)]
pub struct GuideState {
    open: bool,
    chapter: usize,
    /// Set when another chapter is opened: it is read from its beginning.
    from_top: bool,
}

impl GuideState {
    /// Whether it is open.
    pub const fn is_open(&self) -> bool {
        self.open
    }

    fn go(&mut self, chapter: usize) {
        (self.chapter, self.from_top) = (chapter, true);
    }
}

impl App {
    /// Opens the guide where the open area is told of, or closes it.
    pub(super) fn open_guide(&mut self) {
        let guide = &mut self.state.guide;
        guide.open = !guide.open;
        let wanted = match (self.state.start.is_some(), self.state.area) {
            (true, _) => "start.md",
            (_, Area::Brief | Area::Year) => "design.md",
            (_, Area::Draft) => "drawing.md",
        };
        if let Some(chapter) = CHAPTERS.iter().position(|(file, _)| *file == wanted) {
            guide.go(chapter);
        }
    }
}

/// The guide, when it is open.
pub fn guide_ui(ctx: &Context, view: &View<'_>, state: &mut GuideState) {
    if !state.open {
        return;
    }
    let screen = ctx.content_rect();
    let size = vec2((screen.width() * 0.5).clamp(300.0, 720.0), (screen.height() - 150.0).max(160.0));
    let mut open = true;
    Window::new("Guide")
        .id(Id::unique("guide"))
        .order(Order::Foreground)
        .open(&mut open)
        .collapsible(false)
        .default_size(size)
        .default_pos(screen.right_top() + vec2(-size.x - 46.0, 90.0))
        .constrain_to(screen.shrink(6.0))
        .fade_in(false)
        .fade_out(false)
        .show(ctx, |ui| inside_ui(ui, view, state));
    state.open = open;
}

fn inside_ui(ui: &mut Ui, view: &View<'_>, state: &mut GuideState) {
    if ui.available_width() < BESIDE {
        let title = READ.get(state.chapter).map_or("", |chapter| chapter.title.as_str());
        let list = ComboBox::from_id_salt("chapters").selected_text(title).width(220.0).show_ui(ui, |ui| {
            chapters_ui(ui, view, state);
        });
        list.response.accessible_name(format!("Chapter: {title}"));
        ui.separator();
        page_ui(ui, view, state);
        return;
    }
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            ui.set_width(150.0);
            ScrollArea::vertical().id_salt("chapters").show(ui, |ui| chapters_ui(ui, view, state));
        });
        ui.separator();
        ui.vertical(|ui| page_ui(ui, view, state));
    });
}

fn chapters_ui(ui: &mut Ui, view: &View<'_>, state: &mut GuideState) {
    for (i, chapter) in READ.iter().enumerate() {
        let chosen = i == state.chapter;
        let family = if chosen { fonts::strong() } else { egui::FontFamily::Proportional };
        let color = if chosen { view.tokens.accent } else { view.tokens.ink };
        let text = RichText::new(&chapter.title).font(FontId::new(fonts::BODY, family)).color(color);
        if ui.selectable_label(chosen, text).clicked() {
            state.go(i);
        }
    }
}

fn page_ui(ui: &mut Ui, view: &View<'_>, state: &mut GuideState) {
    let Some(chapter) = READ.get(state.chapter) else { return };
    let mut area = ScrollArea::vertical().id_salt("page").auto_shrink(false);
    if std::mem::take(&mut state.from_top) {
        area = area.vertical_scroll_offset(0.0);
    }
    let wanted = area
        .show(ui, |ui| {
            turn_pages(ui);
            page::page_ui(ui, view, &chapter.blocks)
        })
        .inner;
    if let Some(wanted) = wanted.and_then(|file| READ.iter().position(|chapter| chapter.file == file)) {
        state.go(wanted);
    }
}

/// The keys that turn pages turn those of the guide, wherever the keyboard is: nothing else uses them.
fn turn_pages(ui: &Ui) {
    let page = (ui.clip_rect().height() - 40.0).max(40.0);
    for (key, by) in [(Key::PageDown, -page), (Key::PageUp, page)] {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            ui.scroll_with_delta(vec2(0.0, by));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    #[test]
    fn every_chapter_is_in_the_window_and_every_link_leads_somewhere() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/guide");
        let mut files: Vec<String> = std::fs::read_dir(&folder)
            .unwrap()
            .flatten()
            .map(|entry| entry.path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "md"))
            .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
            .filter(|name| name != "README.md")
            .collect();
        files.sort();
        let mut shown: Vec<&str> = CHAPTERS.iter().map(|(file, _)| *file).collect();
        shown.sort_unstable();
        assert_eq!(files, shown);
        for chapter in READ.iter() {
            assert!(!chapter.title.is_empty(), "{}", chapter.file);
            for link in markdown::links(&chapter.blocks) {
                let target = link.split('#').next().unwrap_or_default();
                assert!(folder.join(target).exists(), "{}: {link}", chapter.file);
            }
        }
    }
}
