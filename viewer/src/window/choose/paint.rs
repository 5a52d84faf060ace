//! Drawing the list of trials.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Align, Layout, RichText, Role, WidgetInfo};

use crate::strings::Language;
use crate::window::choose::model::{ChooseView, GroupKey, ListedTrial, Row, RowSubject};
use crate::window::choose::selection::{InSet, Selection};
use crate::window::marks;
use crate::window::style::{self, Side};

/// Height of one row, in points; all are alike so that only those in sight need drawing.
const ROW_HEIGHT: f32 = 40.0;

/// What the person asked for in the list of trials.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ChooseCommand {
    /// Put trials into a set, or take them out.
    Toggle(Side, Vec<String>),
    /// Empty both sets.
    Clear,
    /// Compare the two sets.
    Compare,
}

/// What the list of trials remembers between two frames.
#[derive(Debug, Default)]
pub struct ChooseScreen {
    find: String,
    open: BTreeSet<GroupKey>,
    /// The rows as last computed; `None` when something they depend on changed.
    view: Option<ChooseView>,
}

impl ChooseScreen {
    /// Says that the trials or the selection changed.
    pub fn refresh(&mut self) {
        self.view = None;
    }

    /// Shows the screen; what the person asked for is appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut egui::Ui,
        words: &Language,
        trials: &BTreeMap<String, ListedTrial>,
        selection: &Selection,
        commands: &mut Vec<ChooseCommand>,
    ) {
        ui.horizontal(|ui| {
            ui.heading(words.choose.title);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let label = egui::Label::new(words.choose.find_label);
                // Laid out from the right, so the field comes first.
                let field = egui::TextEdit::singleline(&mut self.find)
                    .hint_text(words.choose.find_hint)
                    .desired_width(240.0);
                let field = ui.add(field);
                let label = ui.add(label);
                if field.labelled_by(label.id).changed() {
                    self.view = None;
                }
            });
        });
        let view = self
            .view
            .take()
            .unwrap_or_else(|| ChooseView::new(words, trials, selection, &self.open, &self.find));
        egui::Panel::bottom("sets").show_separator_line(true).show(ui, |ui| {
            sets_ui(ui, words, &view, commands);
        });
        if view.rows.is_empty() {
            ui.label(words.choose.nothing_found);
        }
        let mut turned: Option<GroupKey> = None;
        egui::ScrollArea::vertical().auto_shrink(false).show_rows(
            ui,
            ROW_HEIGHT,
            view.rows.len(),
            |ui, range| {
                for row in &view.rows[range] {
                    ui.push_id((&row.title, row.ids.first()), |ui| {
                        row_ui(ui, words, row, commands, &mut turned);
                    });
                }
            },
        );
        match turned {
            Some(key) => {
                if !self.open.remove(&key) {
                    self.open.insert(key);
                }
            }
            None => self.view = Some(view),
        }
    }
}

fn row_ui(
    ui: &mut egui::Ui,
    words: &Language,
    row: &Row,
    commands: &mut Vec<ChooseCommand>,
    turned: &mut Option<GroupKey>,
) {
    let size = egui::vec2(ui.available_width(), ROW_HEIGHT);
    ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_height(ROW_HEIGHT);
        if row.subject == RowSubject::Person {
            ui.label(RichText::new(&row.title).text_style(style::large()));
            ui.label(RichText::new(&row.detail).weak());
            return;
        }
        let name = format!("{}, {}", row.title, row.detail);
        for side in Side::BOTH {
            let held = row.in_sets[side.index()];
            let button = marks::set_button(ui, side, held != InSet::None);
            let label = (words.choose.put_into_set)(side.letter(), &name);
            button.widget_info(|| {
                WidgetInfo::selected(Role::CheckBox, true, held == InSet::All, &label)
            });
            if button.gained_focus() {
                // The next row is drawn once this one is in sight, so the keyboard reaches them all.
                button.scroll_to_me(None);
            }
            if button.clicked() {
                commands.push(ChooseCommand::Toggle(side, row.ids.clone()));
            }
        }
        match &row.subject {
            RowSubject::Group { key, open } => {
                let sign = if *open { "\u{2212}" } else { "+" };
                let fold = ui.add(egui::Button::new(sign).min_size(egui::vec2(32.0, 32.0)));
                let label = (words.choose.show_trials)(&name);
                fold.widget_info(|| WidgetInfo::selected(Role::Button, true, *open, &label));
                if fold.clicked() {
                    *turned = Some(key.clone());
                }
            }
            RowSubject::Person | RowSubject::Trial => {
                ui.add_space(54.0);
            }
        }
        ui.label(&row.title);
        ui.label(RichText::new(&row.detail).weak());
    });
}

fn sets_ui(
    ui: &mut egui::Ui,
    words: &Language,
    view: &ChooseView,
    commands: &mut Vec<ChooseCommand>,
) {
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.vertical(|ui| {
            for side in Side::BOTH {
                ui.horizontal(|ui| {
                    marks::set_mark(ui, side);
                    ui.label(&view.sets[side.index()].text);
                });
            }
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let compare = egui::Button::new(
                RichText::new(words.choose.compare_button).text_style(style::large()),
            );
            if ui.add_enabled(view.complete, compare).clicked() {
                commands.push(ChooseCommand::Compare);
            }
            let any = view.sets.iter().any(|set| 0 < set.n_trials);
            if ui.add_enabled(any, egui::Button::new(words.choose.clear_button)).clicked() {
                commands.push(ChooseCommand::Clear);
            }
        });
    });
    ui.add_space(4.0);
}
