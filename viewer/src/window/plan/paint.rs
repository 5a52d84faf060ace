//! Drawing the plan: its conditions at the left, limits, changes and versions at the right.

use acquisition::records::{Plan, PlanDraft};
use egui::{Key, Modifiers, RichText, Ui};

use crate::strings::{Language, PlanWords};
use crate::window::Screen;
use crate::window::clinic::Desk;
use crate::window::plan::condition::{Move, condition_ui};
use crate::window::plan::limits::{at_home_ui, limits_ui};
use crate::window::plan::model::Editing;

/// Widest the column of limits gets, in points.
const LIMITS_WIDTH: f32 = 430.0;

/// What the person asked for on this screen.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanCommand {
    /// Show another screen.
    Show(Screen),
    /// Store the draft as the next version.
    Store {
        /// The draft.
        draft: Box<PlanDraft>,
        /// Who makes it.
        author: String,
    },
}

/// What the screen remembers between two frames.
#[derive(Debug, Default)]
pub struct PlanScreen {
    person: String,
    editing: Option<Editing>,
    author: String,
}

impl PlanScreen {
    /// Shows the screen; what the person asked for is appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        desk: Option<&Desk>,
        commands: &mut Vec<PlanCommand>,
    ) {
        let Some(desk) = desk else {
            ui.heading(words.plan.nobody_chosen);
            if ui.button(words.course.choose_person).clicked() {
                commands.push(PlanCommand::Show(Screen::People));
            }
            return;
        };
        let (person, plan) = (desk.person.code.as_str(), desk.plan());
        let known = (self.person == person).then(|| self.editing.take()).flatten();
        let mut editing =
            known.filter(|known| known.is_of(plan)).unwrap_or_else(|| Editing::begin(plan));
        person.clone_into(&mut self.person);
        let width = (ui.available_width() * 0.36).min(LIMITS_WIDTH);
        egui::Panel::right("limits").exact_size(width).resizable(false).show(ui, |ui| {
            egui::Panel::bottom("store plan").show_separator_line(true).show(ui, |ui| {
                self.store_ui(ui, &words.plan, plan, &mut editing, commands);
            });
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                limits_ui(ui, &words.plan, &mut editing.draft);
                ui.separator();
                at_home_ui(ui, &words.plan, &mut editing.draft);
                ui.separator();
                changes_ui(ui, &words.plan, desk, &editing);
            });
        });
        egui::CentralPanel::no_frame().show(ui, |ui| {
            ui.heading((words.plan.title)(person, plan.map(|plan| plan.version)));
            let about = plan.map_or_else(
                || words.plan.first.to_owned(),
                |plan| (words.plan.made)(&plan.author, &plan.made.date()),
            );
            ui.label(RichText::new(about).weak());
            conditions_ui(ui, &words.plan, &mut editing);
        });
        // Typing and dragging count as one edit, which ends with them.
        let busy = ui.ctx().text_edit_focused() || ui.input(|input| input.pointer.any_down());
        if !busy {
            editing.settle();
        }
        self.editing = Some(editing);
    }

    fn store_ui(
        &mut self,
        ui: &mut Ui,
        words: &PlanWords,
        plan: Option<&Plan>,
        editing: &mut Editing,
        commands: &mut Vec<PlanCommand>,
    ) {
        ui.add_space(4.0);
        undo_ui(ui, words, editing);
        ui.horizontal(|ui| {
            let label = ui.label(words.author_label);
            let field = egui::TextEdit::singleline(&mut self.author).desired_width(150.0);
            ui.add(field).labelled_by(label.id);
        });
        let author = self.author.trim();
        let changed = plan.is_none_or(|plan| !editing.draft.changes_since(plan).is_empty());
        let next = plan.map_or(1, |plan| plan.version.saturating_add(1));
        let button = egui::Button::new((words.store)(next));
        if ui.add_enabled(changed && !author.is_empty(), button).clicked() {
            let draft = Box::new(editing.draft.clone());
            commands.push(PlanCommand::Store { draft, author: author.to_owned() });
        }
        ui.label(RichText::new(words.store_about).small().weak());
    }
}

fn undo_ui(ui: &mut Ui, words: &PlanWords, editing: &mut Editing) {
    let typing = ui.ctx().text_edit_focused();
    let pressed =
        |modifiers, key| !typing && ui.input_mut(|input| input.consume_key(modifiers, key));
    let redo_pressed = pressed(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z)
        || pressed(Modifiers::COMMAND, Key::Y);
    let undo_pressed = pressed(Modifiers::COMMAND, Key::Z);
    ui.horizontal(|ui| {
        let undo = ui.add_enabled(editing.can_undo(), egui::Button::new(words.undo));
        if undo.clicked() || undo_pressed {
            editing.undo();
        }
        let redo = ui.add_enabled(editing.can_redo(), egui::Button::new(words.redo));
        if redo.clicked() || redo_pressed {
            editing.redo();
        }
    });
}

fn conditions_ui(ui: &mut Ui, words: &PlanWords, editing: &mut Editing) {
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let mut asked = None;
        let conditions = &mut editing.draft.conditions;
        let n_conditions = conditions.len();
        for (index, planned) in conditions.iter_mut().enumerate() {
            ui.separator();
            if let Some(what) = condition_ui(ui, words, planned, (index, n_conditions)) {
                asked = Some((index, what));
            }
        }
        match asked {
            Some((index, Move::Earlier)) => conditions.swap(index, index.saturating_sub(1)),
            Some((index, Move::Later)) if index + 1 < n_conditions => {
                conditions.swap(index, index + 1);
            }
            Some((index, Move::Remove)) => {
                conditions.remove(index);
            }
            Some((_, Move::Later)) | None => {}
        }
        ui.separator();
        if ui.button(words.add).clicked() {
            editing.add();
        }
    });
}

/// What the draft changes, and what each version changed.
fn changes_ui(ui: &mut Ui, words: &PlanWords, desk: &Desk, editing: &Editing) {
    if let Some(plan) = desk.plan() {
        ui.label(RichText::new(words.changes_head).strong());
        let changes = editing.draft.changes_since(plan);
        if changes.is_empty() {
            ui.label(RichText::new(words.no_change).weak());
        }
        for change in &changes {
            ui.label((words.change)(change));
        }
    }
    if 1 < desk.plans.len() {
        ui.separator();
        ui.label(RichText::new(words.history_head).strong());
        for pair in desk.plans.windows(2).rev() {
            let (before, plan) = (&pair[0], &pair[1]);
            ui.label((words.version)(plan.version, &plan.author, &plan.made.date()));
            for change in plan.changes_since(before) {
                ui.label(RichText::new((words.change)(&change)).weak());
            }
        }
    }
}
