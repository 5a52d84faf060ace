//! Drawing the screen on which somebody stands.

use acquisition::Wish;
use analysis::Condition;
use egui::{RichText, Ui};

use crate::standing::KeptStand;
use crate::strings::Language;
use crate::window::Screen;
use crate::window::clinic::{Desk, SessionChange};
use crate::window::saving::{PicturePlace, WantedPicture};
use crate::window::stand::form::form_ui;
use crate::window::stand::live::live_ui;
use crate::window::stand::model::{BoardPick, Errand, Setup, StandAsk, StandView};
use crate::window::stand::result::LastStand;
use crate::window::stand::session::Questions;
use crate::window::stand::strip::{Trail, strip_ui};
use crate::window::style;

/// Width of the form, in points; the last stand takes the rest.
const FORM_WIDTH: f32 = 380.0;

/// Height of the wobble of the last stand, in points.
const LAST_STRIP_HEIGHT: f32 = 160.0;

/// What the person asked for on this screen.
#[derive(Debug, Clone, PartialEq)]
pub enum StandCommand {
    /// Show another screen.
    Show(Screen),
    /// Change the session, or begin one.
    Session(SessionChange),
    /// Begin a stand.
    Start(Box<StandAsk>),
    /// Play the notes of the sound check.
    PlayNotes,
    /// The person heard all notes, or did not.
    NotesHeard(bool),
    /// Say something to the stand under way.
    Wish(Wish),
    /// Put a condition at the start of the plan.
    BeginPlanWith {
        /// The condition.
        condition: Condition,
        /// Who decides so.
        author: String,
    },
    /// Save the drawing of the last stand as a picture.
    Save(WantedPicture),
}

/// What the screen remembers between two frames.
#[derive(Debug, Default)]
pub struct StandScreen {
    /// Whose answers and choices these are.
    person: String,
    questions: Questions,
    setup: Setup,
    trail: Trail,
    /// What the stand under way is for.
    under_way: Errand,
    last: Option<LastStand>,
    place: Option<PicturePlace>,
}

impl StandScreen {
    /// Chooses the board for the stands to come.
    pub fn choose_board(&mut self, board: BoardPick) {
        self.setup.board = board;
    }

    /// Says that a stand begins.
    pub fn begin(&mut self, errand: Errand) {
        self.trail.clear();
        self.under_way = errand;
        self.last = None;
    }

    /// Takes a stand that is kept; gives what the session has to know of it.
    pub fn end(
        &mut self,
        words: &Language,
        stood: &KeptStand,
        window_mm: [f64; 2],
    ) -> Option<SessionChange> {
        let last = LastStand::new(words, stood, self.under_way, window_mm, self.setup.pull);
        if let Some(next) = last.next() {
            self.setup.condition = Some(next);
        }
        let change = last.change();
        self.last = Some(last);
        change
    }

    /// Shows the screen; what the person asked for is appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &StandView<'_>,
        commands: &mut Vec<StandCommand>,
    ) {
        let Some(desk) = view.desk else {
            ui.heading(words.stand.nobody_chosen);
            if ui.button(words.course.choose_person).clicked() {
                commands.push(StandCommand::Show(Screen::People));
            }
            return;
        };
        self.turn_to(words, desk);
        if let Some(now) = view.now {
            let what = (&mut self.trail, self.under_way.shows_wobble());
            live_ui(ui, words, view, now, what, commands);
            return;
        }
        ui.heading((words.stand.title)(desk.person.code.as_str()));
        if desk.session.is_some() {
            egui::Panel::bottom("session's end").show_separator_line(true).show(ui, |ui| {
                self.questions.end_ui(ui, words, commands);
            });
        }
        egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            self.quiet_ui(ui, words, view, desk, commands);
            ui.add_space(8.0);
            ui.label(RichText::new(words.common.caution).small().weak());
        });
    }

    /// Nobody stands at the moment.
    fn quiet_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &StandView<'_>,
        desk: &Desk,
        commands: &mut Vec<StandCommand>,
    ) {
        let Some(session) = &desk.session else {
            self.questions.before_ui(ui, &words.stand, commands);
            return;
        };
        // As in 2026-03-01 14:05, the local time of the place.
        let since: String =
            session.started.to_string().replace('T', " ").chars().take(16).collect();
        ui.label(RichText::new((words.stand.session_since)(&since)).weak());
        if let Some(why) = view.forbidden(&words.stand) {
            ui.label(RichText::new(why).text_style(style::large()).strong());
        } else {
            ui.horizontal_top(|ui| {
                ui.vertical(|ui| {
                    ui.set_width(FORM_WIDTH);
                    form_ui(ui, words, view, &mut self.setup, commands);
                });
                ui.add_space(24.0);
                ui.vertical(|ui| {
                    if let Some(last) = &mut self.last {
                        last.ui(ui, words, commands);
                        self.last_strip_ui(ui, words, view, desk, commands);
                    }
                });
            });
        }
    }

    /// The wobble of the last stand as it was seen, and where to save it.
    fn last_strip_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &StandView<'_>,
        desk: &Desk,
        commands: &mut Vec<StandCommand>,
    ) {
        if !self.under_way.shows_wobble() || self.trail.is_empty() {
            return;
        }
        let window_mm = view.window_mm();
        ui.separator();
        ui.label(words.stand.wobble_head);
        strip_ui(ui, words, &self.trail, window_mm, LAST_STRIP_HEIGHT);
        let place = self.place.get_or_insert_with(|| PicturePlace::new("stand.svg"));
        if let Some(path) = place.ui(ui, [words.picture.label, words.picture.save]) {
            let chart = self.trail.chart(words, desk.person.code.as_str(), window_mm);
            commands.push(StandCommand::Save(WantedPicture::new(path, chart)));
        }
    }

    /// Forgets what belonged to somebody else.
    fn turn_to(&mut self, words: &Language, desk: &Desk) {
        if self.person != desk.person.code.as_str() {
            let board = self.setup.board;
            let questions = Questions::about(words, desk);
            *self = Self { questions, ..Self::default() };
            self.person = desk.person.code.to_string();
            self.setup.board = board;
        }
    }

    /// Forgets the answers of a session that is over.
    pub fn clear_answers(&mut self) {
        // Read anew with the next frame.
        self.person.clear();
    }
}
