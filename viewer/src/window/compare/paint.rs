//! Drawing the comparison: the two sets on top, one drawing at the left, the table at the right.

use egui::{RichText, Role, Ui, WidgetInfo};

use crate::strings::{CompareWords, Language};
use crate::window::Screen;
use crate::window::compare::picture::Drawing;
use crate::window::compare::plots::{self, Seen};
use crate::window::compare::view::{CompareView, Picked};
use crate::window::compare::{strip, table};
use crate::window::marks;
use crate::window::saving::{PicturePlace, WantedPicture};
use crate::window::style::Side;
use crate::window::zoom::Zoom;

/// Widest the table gets, in points; the drawing takes the rest.
const TABLE_WIDTH: f32 = 720.0;

/// What the person asked for on the comparison.
#[derive(Debug, Clone, PartialEq)]
pub enum CompareCommand {
    /// Show another screen.
    Show(Screen),
    /// Save a drawing as a picture.
    Save(WantedPicture),
}

/// What the comparison remembers between two frames.
#[derive(Debug)]
pub struct CompareScreen {
    drawing: Drawing,
    picked: Picked,
    all_measures: bool,
    /// How many comparisons were shown; drawings keep what they show for one of them.
    n_begun: u32,
    /// What was seen of the drawing that was drawn last.
    seen: Seen,
    /// Where each drawing is saved, in the order of the drawings, then the differences.
    places: [PicturePlace; 4],
}

impl Default for CompareScreen {
    fn default() -> Self {
        Self {
            drawing: Drawing::Path,
            picked: [None, None],
            all_measures: false,
            n_begun: 0,
            seen: Seen::default(),
            places: ["sway.svg", "over-time.svg", "frequency.svg", "differences.svg"]
                .map(PicturePlace::new),
        }
    }
}

impl CompareScreen {
    /// A screen that begins with one of the drawings.
    pub fn showing(drawing: Drawing) -> Self {
        Self { drawing, ..Self::default() }
    }

    /// Another comparison comes: every trial of it, and all of each drawing.
    pub fn begin_anew(&mut self) {
        (self.picked, self.seen) = ([None, None], Seen::default());
        self.n_begun += 1;
    }

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
                self.differences_ui(ui, words, view, commands);
                ui.label(RichText::new(words.common.caution).small().weak());
            });
        });
        egui::CentralPanel::no_frame().show(ui, |ui| {
            self.drawing_ui(ui, words, view, commands);
        });
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

    /// Where to save the table's strips as a picture.
    fn differences_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &CompareView,
        commands: &mut Vec<CompareCommand>,
    ) {
        let names = [words.picture.differences_label, words.picture.save_differences];
        if let Some(path) = self.places[3].ui(ui, names) {
            let chart = view.differences(words, self.all_measures);
            commands.push(CompareCommand::Save(WantedPicture::new(path, chart)));
        }
    }

    fn drawing_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &CompareView,
        commands: &mut Vec<CompareCommand>,
    ) {
        let about = &words.compare;
        let mut drawing = self.drawing;
        ui.horizontal(|ui| {
            for (other, name) in [
                (Drawing::Path, about.path_tab),
                (Drawing::OverTime, about.time_tab),
                (Drawing::Spectra, about.spectrum_tab),
            ] {
                ui.selectable_value(&mut drawing, other, name);
            }
        });
        self.drawing = drawing;
        let zoom = Zoom::from_keys(ui);
        let picked = self.picked;
        egui::Panel::bottom("zoom").show_separator_line(false).show(ui, |ui| {
            ui.label(RichText::new(about.zoom_note).small().weak());
            if self.seen.is_dense {
                ui.label(RichText::new(about.dense_note).small());
            }
            let names = [words.picture.label, words.picture.save];
            if let Some(path) = self.places[drawing as usize].ui(ui, names) {
                let chart = view.chart(words, drawing, picked, self.seen.in_sight);
                commands.push(CompareCommand::Save(WantedPicture::new(path, chart)));
            }
        });
        let draw = |ui: &mut Ui| match drawing {
            Drawing::Path => {
                plots::paths_ui(ui, about, &view.sets, picked, zoom, about.path_about);
                Seen::default()
            }
            Drawing::OverTime => {
                plots::axis_pair_ui(ui, about, &view.over_time, picked, zoom, about.time_about)
            }
            Drawing::Spectra => {
                plots::axis_pair_ui(ui, about, &view.spectra, picked, zoom, about.spectrum_about)
            }
        };
        self.seen = ui.push_id(self.n_begun, draw).inner;
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
