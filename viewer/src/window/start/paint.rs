//! Drawing the first screen.

use std::path::PathBuf;

use crate::strings::Language;
use crate::window::start::model::{Choice, StartView};
use crate::window::style;

/// What the person asked for on the first screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StartCommand {
    /// Open a trial file or a folder of them.
    Open(PathBuf),
    /// Stand a virtual person on a simulated board.
    Rehearse,
    /// Practise at home, by the plan.
    PractiseAtHome,
}

/// What the first screen remembers between two frames.
#[derive(Debug, Default)]
pub struct StartScreen {
    typed_path: String,
}

impl StartScreen {
    /// Shows the screen; what the person asked for is appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut egui::Ui,
        words: &Language,
        view: &StartView,
        commands: &mut Vec<StartCommand>,
    ) {
        egui::ScrollArea::vertical().show(ui, |ui| {
            ui.add_space(24.0);
            ui.heading(view.purpose);
            ui.add_space(16.0);
            ui.columns(2, |columns| {
                let [simulated, real] = &view.boards;
                card_ui(&mut columns[0], |ui| {
                    choice_ui(ui, simulated);
                    if ui.button(words.start.try_button).clicked() {
                        commands.push(StartCommand::Rehearse);
                    }
                });
                card_ui(&mut columns[1], |ui| choice_ui(ui, real));
            });
            ui.add_space(8.0);
            card_ui(ui, |ui| {
                choice_ui(ui, &view.open);
                self.path_ui(ui, words, commands);
            });
            ui.add_space(8.0);
            card_ui(ui, |ui| {
                choice_ui(ui, &view.home);
                if ui.button(words.start.home_button).clicked() {
                    commands.push(StartCommand::PractiseAtHome);
                }
            });
            ui.add_space(16.0);
            ui.label(view.caution);
        });
    }

    fn path_ui(&mut self, ui: &mut egui::Ui, words: &Language, commands: &mut Vec<StartCommand>) {
        ui.horizontal(|ui| {
            let label = ui.label(words.start.path_label);
            let field = ui
                .add(
                    egui::TextEdit::singleline(&mut self.typed_path)
                        .hint_text(words.start.path_hint)
                        .desired_width(ui.available_width() - 120.0),
                )
                .labelled_by(label.id);
            let entered =
                field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
            let path = self.typed_path.trim();
            let clicked = ui
                .add_enabled(!path.is_empty(), egui::Button::new(words.start.open_button))
                .clicked();
            if (clicked || entered) && !path.is_empty() {
                commands.push(StartCommand::Open(PathBuf::from(path)));
            }
        });
    }
}

fn choice_ui(ui: &mut egui::Ui, choice: &Choice) {
    ui.label(egui::RichText::new(choice.name).text_style(style::large()));
    ui.label(choice.about);
    if let Some(command) = choice.command {
        ui.add(egui::Label::new(egui::RichText::new(command).monospace()).selectable(true));
    }
}

fn card_ui(ui: &mut egui::Ui, contents: impl FnOnce(&mut egui::Ui)) {
    let palette = style::Palette::of(ui.ctx().theme());
    egui::Frame::new()
        .fill(palette.paper)
        .stroke(egui::Stroke::new(1.0, palette.hairline))
        .corner_radius(6.0)
        .inner_margin(18.0)
        .show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            // Columns would spread each line over their whole width.
            ui.with_layout(egui::Layout::top_down(egui::Align::Min), contents);
        });
}
