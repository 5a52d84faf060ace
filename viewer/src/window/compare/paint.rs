//! Drawing the comparison: the two sets on top, one drawing at the left, the table at the right.

use std::path::PathBuf;

use egui::{RichText, Role, Ui, WidgetInfo};

use crate::strings::{CompareWords, Language};
use crate::window::Screen;
use crate::window::compare::plots::{self, Zoom};
use crate::window::compare::view::{CompareView, Picked};
use crate::window::compare::{strip, table};
use crate::window::marks;
use crate::window::style::Side;

/// Widest the table gets, in points; the drawing takes the rest.
const TABLE_WIDTH: f32 = 720.0;

/// Which drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Drawing {
    Path,
    OverTime,
    Spectra,
}

/// What the person asked for on the comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CompareCommand {
    /// Show another screen.
    Show(Screen),
    /// Save the sway paths of these trials as a picture.
    SavePicture(PathBuf, Picked),
}

/// What the comparison remembers between two frames.
#[derive(Debug)]
pub struct CompareScreen {
    drawing: Drawing,
    picked: Picked,
    all_measures: bool,
    picture_path: String,
}

impl Default for CompareScreen {
    fn default() -> Self {
        Self {
            drawing: Drawing::Path,
            picked: [None, None],
            all_measures: false,
            picture_path: "sway.svg".to_owned(),
        }
    }
}

impl CompareScreen {
    /// Shows the comparison, or where to begin one; what the person asked for is appended to
    /// `commands`.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: Option<&CompareView>,
        commands: &mut Vec<CompareCommand>,
    ) {
        if let Some(view) = view {
            self.comparison_ui(ui, words, view, commands);
            return;
        }
        ui.heading(words.compare.nothing_yet);
        if ui.button(words.compare.choose_sets).clicked() {
            commands.push(CompareCommand::Show(Screen::Choose));
        }
    }

    fn comparison_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &CompareView,
        commands: &mut Vec<CompareCommand>,
    ) {
        for side in Side::BOTH {
            set_ui(ui, words, view, side, &mut self.picked[side.index()]);
        }
        if let Some(refusal) = &view.refusal {
            ui.label(RichText::new(refusal).strong());
        }
        ui.separator();
        let width = (ui.available_width() * 0.6).min(TABLE_WIDTH);
        egui::Panel::right("table").exact_size(width).resizable(false).show(ui, |ui| {
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                self.table_ui(ui, words, view);
                self.picture_ui(ui, words, commands);
                ui.label(RichText::new(words.common.caution).small().weak());
            });
        });
        egui::CentralPanel::no_frame().show(ui, |ui| self.drawing_ui(ui, words, view));
    }

    fn table_ui(&mut self, ui: &mut Ui, words: &Language, view: &CompareView) {
        let scale = strip::scale_of(&view.rows);
        let shown = view.rows.iter().filter(|row| row.leads || self.all_measures);
        table::table_ui(ui, &words.compare, view.change_head, shown, scale);
        ui.separator();
        let name = if self.all_measures {
            words.compare.fewer_measures
        } else {
            words.compare.all_measures
        };
        if ui.button(name).clicked() {
            self.all_measures = !self.all_measures;
        }
        ui.label(RichText::new(words.compare.band_note).small().weak());
    }

    /// Where to save the sway paths as a picture.
    fn picture_ui(&mut self, ui: &mut Ui, words: &Language, commands: &mut Vec<CompareCommand>) {
        let words = &words.compare;
        ui.horizontal(|ui| {
            let label = ui.label(words.picture_label);
            let field = egui::TextEdit::singleline(&mut self.picture_path).desired_width(240.0);
            ui.add(field).labelled_by(label.id);
            let path = self.picture_path.trim();
            let save = egui::Button::new(words.save_picture);
            if ui.add_enabled(!path.is_empty(), save).clicked() {
                commands.push(CompareCommand::SavePicture(PathBuf::from(path), self.picked));
            }
        });
    }

    fn drawing_ui(&mut self, ui: &mut Ui, words: &Language, view: &CompareView) {
        let words = &words.compare;
        ui.horizontal(|ui| {
            for (drawing, name) in [
                (Drawing::Path, words.path_tab),
                (Drawing::OverTime, words.time_tab),
                (Drawing::Spectra, words.spectrum_tab),
            ] {
                ui.selectable_value(&mut self.drawing, drawing, name);
            }
        });
        let zoom = Zoom::from_keys(ui);
        egui::Panel::bottom("zoom").show_separator_line(false).show(ui, |ui| {
            ui.label(RichText::new(words.zoom_note).small().weak());
        });
        match self.drawing {
            Drawing::Path => {
                plots::paths_ui(ui, words, &view.sets, self.picked, zoom, words.path_about);
            }
            Drawing::OverTime => {
                plots::axis_pair_ui(
                    ui,
                    words,
                    &view.over_time,
                    self.picked,
                    zoom,
                    words.time_about,
                );
            }
            Drawing::Spectra => {
                plots::axis_pair_ui(
                    ui,
                    words,
                    &view.spectra,
                    self.picked,
                    zoom,
                    words.spectrum_about,
                );
            }
        }
    }
}

/// One set in a line: its mark, what it is, which of its trials are drawn, and doubts about it.
fn set_ui(
    ui: &mut Ui,
    words: &Language,
    view: &CompareView,
    side: Side,
    picked: &mut Option<usize>,
) {
    let set = &view.sets[side.index()];
    ui.horizontal_wrapped(|ui| {
        marks::set_mark(ui, side);
        ui.label(&set.title);
        pick_ui(ui, &words.compare, side, set.paths.len(), picked);
        for doubt in &set.doubts {
            ui.label(RichText::new((words.compare.doubt)(doubt)).strong());
        }
    });
}

/// Buttons for the trials of one set: all, or one of them.
fn pick_ui(
    ui: &mut Ui,
    words: &CompareWords,
    side: Side,
    n_trials: usize,
    picked: &mut Option<usize>,
) {
    if n_trials < 2 {
        return;
    }
    let choices = std::iter::once(None).chain((0..n_trials).map(Some));
    for choice in choices {
        let (text, name) = match choice {
            None => (words.all_trials.to_owned(), (words.every_trial)(side.letter())),
            Some(index) => ((index + 1).to_string(), (words.only_trial)(side.letter(), index + 1)),
        };
        let button = ui.selectable_value(picked, choice, text);
        let held = *picked == choice;
        button.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, held, &name));
    }
}
