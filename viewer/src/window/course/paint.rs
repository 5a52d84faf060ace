//! Drawing a person's course: the drawing at the left, advice and decision at the right.

use analysis::Condition;
use egui::{RichText, Ui};

use crate::strings::Language;
use crate::window::Screen;
use crate::window::course::decision::{self, DecisionForm};
use crate::window::course::drawing::{self, Look};
use crate::window::course::model::{CourseView, StepView};
use crate::window::people::{Standing, attention_mark};
use crate::window::questions::list_info;
use crate::window::saving::{PicturePlace, WantedPicture};
use crate::window::style;

/// Widest the column of advice gets, in points; the drawing takes the rest.
const ADVICE_WIDTH: f32 = 460.0;

/// Room below the drawing for what is read out and for saving it, in points.
const ROOM_BELOW: f32 = 150.0;

/// What the person asked for on the course.
#[derive(Debug, Clone, PartialEq)]
pub enum CourseCommand {
    /// Show another screen.
    Show(Screen),
    /// Store a decision.
    Decide {
        /// Code of the person.
        person: String,
        /// The condition they go on with.
        condition: Condition,
        /// Who decided.
        author: String,
        /// In their own words; may be empty.
        note: String,
    },
    /// Save the drawing as a picture.
    Save(WantedPicture),
}

/// What the course remembers between two frames.
#[derive(Debug)]
pub struct CourseScreen {
    /// Position of the condition that is drawn; `None` for the one the advice is about.
    drawn: Option<usize>,
    look: Look,
    form: DecisionForm,
    place: PicturePlace,
}

impl Default for CourseScreen {
    fn default() -> Self {
        let (look, form) = (Look::default(), DecisionForm::default());
        Self { drawn: None, look, form, place: PicturePlace::new("course.svg") }
    }
}

impl CourseScreen {
    /// Forgets what belonged to the course shown before.
    pub fn clear(&mut self) {
        (self.drawn, self.look) = (None, Look::default());
        self.form.clear();
    }

    /// Shows the screen; what the person asked for is appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: Option<&CourseView>,
        commands: &mut Vec<CourseCommand>,
    ) {
        let Some(view) = view else {
            ui.heading(words.course.nobody_chosen);
            if ui.button(words.course.choose_person).clicked() {
                commands.push(CourseCommand::Show(Screen::People));
            }
            return;
        };
        let width = (ui.available_width() * 0.42).min(ADVICE_WIDTH);
        egui::Panel::right("advice").exact_size(width).resizable(false).show(ui, |ui| {
            // Always in sight, however long the reasons are.
            if !view.planned.is_empty() {
                egui::Panel::bottom("decision").show_separator_line(true).show(ui, |ui| {
                    self.form.ui(ui, words, view, commands);
                });
            }
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                step_ui(ui, words, view);
                ui.separator();
                decision::decided_ui(ui, words, view);
                ui.separator();
                ui.label(RichText::new(words.common.caution).small().weak());
            });
        });
        egui::CentralPanel::no_frame().show(ui, |ui| {
            self.drawing_ui(ui, words, view, commands);
        });
    }

    fn drawing_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &CourseView,
        commands: &mut Vec<CourseCommand>,
    ) {
        ui.heading(&view.title);
        ui.label(&view.sessions_done);
        let last = view.conditions.len().saturating_sub(1);
        let drawn = self.drawn.unwrap_or(view.here).min(last);
        let Some(course) = view.conditions.get(drawn) else {
            ui.label(words.course.nothing_measured);
            return;
        };
        let mut picked = drawn;
        let combo = egui::ComboBox::from_id_salt("condition drawn")
            .selected_text(&course.name)
            .width(ui.available_width() - 24.0)
            .show_ui(ui, |ui| {
                for (index, course) in view.conditions.iter().enumerate() {
                    ui.selectable_value(&mut picked, index, &course.name);
                }
            })
            .response;
        combo.widget_info(|| list_info(words.course.condition_label, &course.name));
        if picked != drawn {
            (self.drawn, self.look) = (Some(picked), Look::default());
        }
        if course.days.is_empty() {
            ui.label(words.course.nothing_measured);
            return;
        }
        drawing::course_ui(ui, &words.course, view, course, &mut self.look, ROOM_BELOW);
        let day = self.look.day.and_then(|day| course.days.get(day)).or(course.days.last());
        if let Some(day) = day {
            ui.label(&day.readout).on_hover_text(words.course.days_note);
        }
        ui.horizontal(|ui| {
            if self.look.in_sight.is_some() && ui.button(words.course.all_days).clicked() {
                self.look.in_sight = None;
            }
            ui.label(RichText::new(words.compare.zoom_note).small().weak());
        });
        let names = [words.picture.label, words.picture.save];
        if let Some(path) = self.place.ui(ui, names) {
            let chart = view.chart(words, course, self.look.in_sight);
            commands.push(CourseCommand::Save(WantedPicture::new(path, chart)));
        }
    }
}

fn step_ui(ui: &mut Ui, words: &Language, view: &CourseView) {
    ui.label(RichText::new(words.course.step_head).strong());
    match &view.step {
        Err(why) => {
            ui.label(why);
        }
        Ok(step) => advice_ui(ui, words, step),
    }
}

fn advice_ui(ui: &mut Ui, words: &Language, step: &StepView) {
    ui.horizontal(|ui| {
        attention_mark(ui, Standing::of_verdict(step.verdict).attention());
        ui.label(
            RichText::new((words.people.verdict)(step.verdict)).text_style(style::large()).strong(),
        );
    });
    ui.label(RichText::new(&step.condition).weak());
    ui.label(&step.headline);
    for line in &step.lines {
        ui.label(line);
    }
    if !step.left_out.is_empty() {
        ui.label(RichText::new(words.course.left_out_head).strong());
        for line in &step.left_out {
            ui.label(RichText::new(line).weak());
        }
    }
}
