//! Drawing the comparison: the two sets on top, one drawing at the left, the table at the right.

use egui::{RichText, Ui};

use crate::strings::Language;
use crate::window::compare::plots::{self, Picked};
use crate::window::compare::view::CompareView;
use crate::window::compare::{strip, table};
use crate::window::marks;
use crate::window::style::Side;

/// Widest the table gets, in points; the drawing takes the rest.
const TABLE_WIDTH: f32 = 720.0;

/// Which drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Drawing {
    #[default]
    Path,
    OverTime,
    Spectra,
}

/// What the comparison remembers between two frames.
#[derive(Debug, Default)]
pub struct CompareScreen {
    drawing: Drawing,
    picked: Picked,
    all_measures: bool,
}

impl CompareScreen {
    /// Shows the screen. It asks for nothing, so there are no commands.
    pub fn ui(&mut self, ui: &mut Ui, words: &Language, view: &CompareView) {
        for side in Side::BOTH {
            set_ui(ui, words, view, side);
        }
        for refusal in &view.refusals {
            ui.label(RichText::new(refusal).strong());
        }
        ui.separator();
        let width = (ui.available_width() * 0.6).min(TABLE_WIDTH);
        egui::Panel::right("table").exact_size(width).resizable(false).show(ui, |ui| {
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                self.table_ui(ui, words, view);
            });
        });
        egui::CentralPanel::no_frame().show(ui, |ui| self.drawing_ui(ui, words, view));
    }

    fn table_ui(&mut self, ui: &mut Ui, words: &Language, view: &CompareView) {
        let scale = strip::scale_of(&view.rows);
        let shown = view.rows.iter().filter(|row| row.leads || self.all_measures);
        table::table_ui(ui, &words.compare, shown, scale);
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
        ui.label(RichText::new(words.common.caution).small().weak());
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
        for side in Side::BOTH {
            pick_ui(ui, words, view, side, &mut self.picked[side.index()]);
        }
        match self.drawing {
            Drawing::Path => {
                plots::paths_ui(ui, words, &view.sets, self.picked, words.path_about);
            }
            Drawing::OverTime => {
                plots::axis_pair_ui(ui, words, &view.over_time, self.picked, words.time_about);
            }
            Drawing::Spectra => {
                plots::axis_pair_ui(ui, words, &view.spectra, self.picked, words.spectrum_about);
            }
        }
    }
}

fn set_ui(ui: &mut Ui, words: &Language, view: &CompareView, side: Side) {
    let set = &view.sets[side.index()];
    ui.horizontal_wrapped(|ui| {
        marks::set_mark(ui, side);
        ui.label(&set.title);
        for doubt in &set.doubts {
            ui.label(RichText::new((words.compare.doubt)(doubt)).strong());
        }
    });
}

/// Buttons for the trials of one set: all, or one of them.
fn pick_ui(
    ui: &mut Ui,
    words: &crate::strings::CompareWords,
    view: &CompareView,
    side: Side,
    picked: &mut Option<usize>,
) {
    let paths = &view.sets[side.index()].paths;
    if paths.len() < 2 {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        marks::set_mark(ui, side);
        ui.selectable_value(picked, None, words.all_trials);
        for index in 0..paths.len() {
            let button = ui.selectable_value(picked, Some(index), (index + 1).to_string());
            let name = (words.only_trial)(side.letter(), index + 1);
            let held = *picked == Some(index);
            button.widget_info(|| {
                egui::WidgetInfo::selected(egui::Role::RadioButton, true, held, &name)
            });
        }
    });
}
