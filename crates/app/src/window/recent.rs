//! The files opened last, their small pictures, and the page on which they stand.

use super::app::App;
use super::document::Document;
use super::start::StartPage;
use super::thumbnail;
use egui::Context;
use lineside_core::project::Project;
use std::path::Path;

impl App {
    /// Closes the project and shows the files opened last.
    pub(super) fn show_start(&mut self, ctx: &Context) {
        self.show_document(Document::new(Project::default()));
        self.wait_for_picture();
        self.state.start = Some(StartPage::new(&self.settings, &self.desk.thumbnails, ctx));
    }

    /// Puts a file at the head of those opened last.
    pub(super) fn remember(&mut self, path: &Path) {
        self.settings.remember(path);
        self.settings.keep();
        self.desk.thumbnails.keep_only(&self.settings.recent);
    }

    /// Takes a file from the list.
    pub(super) fn forget_recent(&mut self, path: &Path, ctx: &Context) {
        self.settings.forget(path);
        self.settings.keep();
        self.desk.thumbnails.keep_only(&self.settings.recent);
        if self.state.start.is_some() {
            self.state.start = Some(StartPage::new(&self.settings, &self.desk.thumbnails, ctx));
        }
    }

    /// Begins a small picture of the document, which is as its file is.
    pub(super) fn take_thumbnail(&mut self) {
        let Some(file) = &self.document.file else { return };
        if self.desk.thumbnails.are_kept() {
            let path = file.path.clone();
            self.wait_for_picture();
            self.picture = Some(thumbnail::keep(&self.desk.thumbnails, &self.document.project, path));
        }
    }

    /// Waits for the picture that is being made; it takes some hundredths of a second.
    fn wait_for_picture(&mut self) {
        if let Some(picture) = self.picture.take() {
            let _ = picture.join();
        }
    }
}
