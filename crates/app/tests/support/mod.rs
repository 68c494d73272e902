//! What the tests of the window share: a window without a screen, and a sample to look at in it.

pub mod cpu_renderer;
pub mod picture;
pub mod sample;

use cpu_renderer::CpuRenderer;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside::engine::Engine;
use lineside::journal::Journals;
use lineside::settings::{Settings, Theme};
use lineside::thumbnails::Thumbnails;
use lineside::window::ask::{Answer, Asker, Question};
use lineside::window::start::Standing;
use lineside::window::{App, Start};
use lineside_core::project::Project;
use std::path::PathBuf;
use std::sync::{Arc, LazyLock, Mutex};

/// Tables and stock, read once for all tests.
static ENGINE: LazyLock<Arc<Engine>> =
    LazyLock::new(|| Arc::new(Engine::load().expect("the tables can be read")));

/// A window under test.
pub type Window = Harness<'static, App>;

/// The tables and the stock.
pub fn engine() -> Arc<Engine> {
    Arc::clone(&ENGINE)
}

/// Answers questions for files from a list, and notes what was asked.
#[derive(Default)]
pub struct Answers {
    answers: Mutex<Vec<Answer>>,
    /// What was asked.
    pub asked: Mutex<Vec<Question>>,
}

impl Answers {
    /// In this order.
    pub fn new(mut answers: Vec<Answer>) -> Arc<Self> {
        answers.reverse();
        Arc::new(Self { answers: Mutex::new(answers), asked: Mutex::default() })
    }
}

impl Asker for Answers {
    fn which_file(&self, question: &Question) -> Answer {
        self.asked.lock().expect("no test panics while it asks").push(question.clone());
        self.answers.lock().expect("no test panics while it asks").pop().unwrap_or(Answer::Cancelled)
    }
}

/// How a window begins.
pub struct Opening {
    /// The project.
    pub project: Project,
    /// Whether it is shown; without one, the page of files opened last is.
    pub standing: Standing,
    /// The file instead.
    pub file: Option<PathBuf>,
    /// Who answers for files.
    pub asker: Arc<dyn Asker>,
    /// Theme.
    pub theme: Theme,
    /// Size in points.
    pub size: [f32; 2],
    /// Where unsaved work is kept.
    pub journals: Journals,
    /// Where one's own stock is kept.
    pub own_stock: Option<PathBuf>,
    /// Where small pictures of sheets are kept.
    pub thumbnails: Thumbnails,
    /// What this person has set; the theme is added.
    pub settings: Settings,
}

impl Default for Opening {
    fn default() -> Self {
        Self {
            project: sample::cabin(&ENGINE.stock),
            standing: Standing::Open,
            file: None,
            asker: Answers::new(Vec::new()),
            theme: Theme::Light,
            size: [1440.0, 900.0],
            journals: Journals::default(),
            own_stock: None,
            thumbnails: Thumbnails::default(),
            settings: Settings::default(),
        }
    }
}

impl Opening {
    /// Opens the window and lets it come to rest.
    pub fn open(self) -> Window {
        let mut settings = self.settings;
        settings.theme = self.theme;
        let start = Start {
            project: self.standing.has_project().then_some(self.project),
            file: self.file,
            settings,
            asker: self.asker,
            engine: engine(),
            journals: self.journals,
            own_stock: self.own_stock,
            thumbnails: self.thumbnails,
        };
        let mut window = Harness::builder()
            .with_size(self.size)
            .with_max_steps(24)
            .renderer(CpuRenderer::default())
            .build_eframe(move |creation| App::new(&creation.egui_ctx, start));
        // The harness forces a theme of its own after the window is made.
        let theme = if self.theme == Theme::Dark { egui::Theme::Dark } else { egui::Theme::Light };
        window.ctx.set_theme(theme);
        window.run();
        window
    }
}

/// A window on the sample.
pub fn open() -> Window {
    Opening::default().open()
}

/// What a person does, by the names that assistive technology reads.
pub trait Hands {
    /// Clicks on what has that name.
    fn click(&mut self, name: &str);
    /// Drags from one point of the screen to another, in steps.
    fn drag(&mut self, from: egui::Pos2, to: egui::Pos2);
    /// Takes something up and holds it over a point, without letting go.
    fn hold_over(&mut self, from: egui::Pos2, to: egui::Pos2);
    /// Lets go.
    fn let_go(&mut self, at: egui::Pos2);
    /// The middle of what has that name.
    fn middle(&self, name: &str) -> egui::Pos2;
    /// Types into the entry of that name, in place of what is there.
    fn type_into(&mut self, name: &str, text: &str);
    /// Presses a key.
    fn press(&mut self, key: egui::Key);
    /// Presses a key with the command key held.
    fn command(&mut self, key: egui::Key);
    /// Whether something has exactly that name.
    fn has(&self, name: &str) -> bool;
    /// Whether some words on the screen hold these.
    fn says(&self, words: &str) -> bool;
}

impl Hands for Window {
    fn click(&mut self, name: &str) {
        self.get_by_label(name).click();
        self.run();
    }
    fn drag(&mut self, from: egui::Pos2, to: egui::Pos2) {
        self.hold_over(from, to);
        self.let_go(to);
    }
    fn hold_over(&mut self, from: egui::Pos2, to: egui::Pos2) {
        self.hover_at(from);
        self.drag_at(from);
        self.hover_at(from + (to - from) * 0.3);
        self.hover_at(from + (to - from) * 0.7);
        self.hover_at(to);
        self.run_steps(2);
    }
    fn let_go(&mut self, at: egui::Pos2) {
        self.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed: false,
            modifiers: egui::Modifiers::NONE,
        });
        self.run();
    }
    fn middle(&self, name: &str) -> egui::Pos2 {
        self.get_by_label(name).rect().center()
    }
    fn type_into(&mut self, name: &str, text: &str) {
        self.get_by_role_and_label(egui::Role::TextInput, name).focus();
        self.run();
        self.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
        self.get_by_role_and_label(egui::Role::TextInput, name).type_text(text);
        self.run();
    }
    fn press(&mut self, key: egui::Key) {
        self.key_press(key);
        self.run();
    }
    fn command(&mut self, key: egui::Key) {
        self.key_press_modifiers(egui::Modifiers::COMMAND, key);
        self.run();
    }
    fn has(&self, name: &str) -> bool {
        self.query_all_by_label(name).next().is_some()
    }
    fn says(&self, words: &str) -> bool {
        self.query_all_by_label_contains(words).next().is_some()
            || self
                .root()
                .children_recursive()
                .any(|node| node.value().is_some_and(|value| value.contains(words)))
    }
}

/// A folder of its own for one test, gone when the test ends.
pub struct Folder(PathBuf);

impl Folder {
    /// Makes it.
    pub fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("lineside-window-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder can be made");
        Self(path)
    }
    /// A file in it.
    pub fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
