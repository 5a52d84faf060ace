//! The bar above every screen, and the strip that tells on all of them that somebody stands.

use acquisition::Wish;
use egui::{Key, RichText, Ui};

use super::{Command, FootingWindow, Screen};
use crate::window::languages::languages_ui;
use crate::window::stand::{StandCommand, now_text};

impl FootingWindow {
    /// The screens' names, and what holds for all of them.
    pub(super) fn bar_ui(&mut self, ui: &mut Ui) {
        let words = self.words;
        ui.horizontal(|ui| {
            let tabs = [
                (Screen::Start, words.start.tab),
                (Screen::People, words.people.tab),
                (Screen::Course, words.course.tab),
                (Screen::Plan, words.plan.tab),
                (Screen::Stand, words.stand.tab),
                (Screen::Choose, words.choose.tab),
                (Screen::Compare, words.compare.tab),
                (Screen::Board, words.board.tab),
            ];
            for (screen, name) in tabs {
                if ui.selectable_label(self.shown == screen, name).clicked() {
                    self.commands.push(Command::Show(screen));
                }
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let (name, theme) = match ui.theme() {
                    egui::Theme::Dark => (words.common.to_light, egui::Theme::Light),
                    egui::Theme::Light => (words.common.to_dark, egui::Theme::Dark),
                };
                if ui.button(name).clicked() {
                    self.commands.push(Command::SetTheme(theme));
                }
                if let Some(key) = languages_ui(ui, words) {
                    self.commands.push(Command::SetLanguage(key));
                }
                if self.is_reading() {
                    ui.label(words.common.reading);
                }
            });
        });
    }

    /// While somebody stands and another screen shows: what they do, the way back to them, and the
    /// stop that the stand's own screen has.
    pub(super) fn standing_ui(&mut self, ui: &mut Ui) {
        let words = &self.words.stand;
        let Some(now) = self.stand_now().filter(|_| self.shown != Screen::Stand) else { return };
        ui.horizontal(|ui| {
            ui.label(RichText::new((words.somebody)(&now_text(self.words, &now))).strong());
            if ui.button(words.to_the_stand).clicked() {
                self.commands.push(Command::Show(Screen::Stand));
            }
            let stopped = ui.button(words.stop).clicked();
            ui.label(RichText::new(words.stop_key).weak());
            if stopped || ui.input(|input| input.key_pressed(Key::Escape)) {
                self.commands.push(Command::Stand(StandCommand::Wish(Wish::Stop)));
            }
        });
    }
}
