//! The form for a decision: typed first, read once more, then stored.

use analysis::Condition;
use egui::{RichText, Ui};

use crate::strings::Language;
use crate::window::course::model::CourseView;
use crate::window::course::paint::CourseCommand;
use crate::window::questions::list_info;

/// What was typed and not yet stored.
#[derive(Debug, Default)]
pub(super) struct DecisionForm {
    condition: Option<Condition>,
    author: String,
    note: String,
    /// Whether the second step shows.
    confirming: bool,
}

impl DecisionForm {
    /// Forgets what was typed, but not who typed it.
    pub(super) fn clear(&mut self) {
        let author = std::mem::take(&mut self.author);
        *self = Self { author, ..Self::default() };
    }

    /// Shows the form, or its second step.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &CourseView,
        commands: &mut Vec<CourseCommand>,
    ) {
        ui.label(RichText::new(words.course.decision_head).strong());
        if self.confirming {
            self.confirm_ui(ui, words, view, commands);
        } else {
            self.form_ui(ui, words, view);
        }
        ui.add_space(4.0);
    }

    /// The condition chosen, or the one the advice is about.
    fn chosen<'a>(&self, view: &'a CourseView) -> Option<&'a (Condition, String)> {
        let by_hand = self.condition;
        let picked = view.planned.iter().find(|(planned, _)| Some(*planned) == by_hand);
        let here = || view.conditions.get(view.here).map(|course| course.name.as_str());
        picked.or_else(|| view.planned.iter().find(|(_, name)| Some(name.as_str()) == here()))
    }

    fn form_ui(&mut self, ui: &mut Ui, words: &Language, view: &CourseView) {
        let shown = self.chosen(view).map_or("", |(_, name)| name.as_str());
        ui.label(words.course.go_on_with);
        let mut picked = None;
        let combo = egui::ComboBox::from_id_salt("go on with")
            .selected_text(shown)
            .width(ui.available_width() - 24.0)
            .show_ui(ui, |ui| {
                for (condition, name) in &view.planned {
                    if ui.selectable_label(name == shown, name).clicked() {
                        picked = Some(*condition);
                    }
                }
            })
            .response;
        combo.widget_info(|| list_info(words.course.go_on_with, shown));
        if picked.is_some() {
            self.condition = picked;
        }
        field_ui(ui, words.course.author_label, &mut self.author);
        field_ui(ui, words.course.note_label, &mut self.note);
        let ready = !self.author.trim().is_empty() && self.chosen(view).is_some();
        let button = egui::Button::new(words.course.decide_button);
        if ui.add_enabled(ready, button).clicked() {
            self.confirming = true;
        }
    }

    fn confirm_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &CourseView,
        commands: &mut Vec<CourseCommand>,
    ) {
        let Some((condition, name)) = self.chosen(view) else {
            self.confirming = false;
            return;
        };
        let advice = view
            .step
            .as_ref()
            .map_or(words.course.not_asked, |step| (words.people.verdict)(step.verdict));
        let author = self.author.trim();
        ui.label((words.course.confirm)(&view.person, name, author, advice));
        let mut done = false;
        ui.horizontal(|ui| {
            if ui.button(words.course.store_button).clicked() {
                commands.push(CourseCommand::Decide {
                    person: view.person.clone(),
                    condition: *condition,
                    author: author.to_owned(),
                    note: self.note.trim().to_owned(),
                });
                // What was typed stays until it is stored.
                done = true;
            }
            done |= ui.button(words.course.back_button).clicked();
        });
        self.confirming = !done;
    }
}

/// Shows what was decided before.
pub(super) fn decided_ui(ui: &mut Ui, words: &Language, view: &CourseView) {
    ui.label(RichText::new(words.course.decided_head).strong());
    if view.decisions.is_empty() {
        ui.label(RichText::new(words.course.no_decision).weak());
    }
    for made in &view.decisions {
        ui.label(&made.text);
        if !made.note.is_empty() {
            ui.label(RichText::new(&made.note).weak());
        }
    }
}

fn field_ui(ui: &mut Ui, name: &str, text: &mut String) {
    ui.horizontal(|ui| {
        let label = ui.add_sized([92.0, 24.0], egui::Label::new(name));
        let width = ui.available_width() - 24.0;
        ui.add(egui::TextEdit::singleline(text).desired_width(width)).labelled_by(label.id);
    });
}
