//! The window as a whole: which screen shows, and what to do with what the person asked for.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::Duration;

use crate::strings::Language;
use crate::window::board::{BoardCommand, BoardLink, BoardScreen, BoardView, LinkProblem};
use crate::window::choose::{ChooseCommand, ChooseScreen, ListedTrial, Selection, SetSummary};
use crate::window::clinic::{Clinic, NewDecision, News};
use crate::window::compare::{CompareCommand, CompareScreen, CompareView};
use crate::window::course::{CourseCommand, CourseScreen};
use crate::window::loader::Loader;
use crate::window::messages::Messages;
use crate::window::people::{PeopleCommand, PeopleScreen};
use crate::window::reading::{self, Answer, Request, WantedSet};
use crate::window::run::WindowStart;
use crate::window::start::{StartCommand, StartScreen, StartView};
use crate::window::style::{self, Side};

/// The screens of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// Ways to begin.
    Start,
    /// The list of people.
    People,
    /// One person's course.
    Course,
    /// The list of trials.
    Choose,
    /// The comparison of two sets.
    Compare,
    /// The board by itself.
    Board,
}

/// What the person asked for, on whichever screen.
#[derive(Debug)]
enum Command {
    Show(Screen),
    SetTheme(egui::Theme),
    Open(Vec<PathBuf>),
    Start(StartCommand),
    People(PeopleCommand),
    Course(CourseCommand),
    Choose(ChooseCommand),
    Compare(CompareCommand),
    Board(BoardCommand),
}

/// What each screen remembers.
#[derive(Debug, Default)]
struct Screens {
    start: StartScreen,
    people: PeopleScreen,
    course: CourseScreen,
    choose: ChooseScreen,
    compare: CompareScreen,
    board: BoardScreen,
}

/// Threads that do what takes time.
#[derive(Debug)]
struct Threads {
    files: Loader<Request, Answer>,
    board: BoardLink,
    clinic: Clinic,
}

/// The trials that are known, those that are picked, and how they compare.
#[derive(Debug, Default)]
struct Picked {
    /// By the ids of the trials.
    trials: BTreeMap<String, ListedTrial>,
    selection: Selection,
    comparison: Option<Box<CompareView>>,
}

/// The program's window.
#[derive(Debug)]
pub struct FootingWindow {
    words: &'static Language,
    threads: Threads,
    picked: Picked,
    screens: Screens,
    shown: Screen,
    messages: Messages,
    commands: Vec<Command>,
}

impl FootingWindow {
    /// A window that will show `start` in `ctx`; it begins to read at once.
    ///
    /// # Errors
    /// If the system gives no thread for reading.
    pub fn new(
        ctx: &egui::Context,
        words: &'static Language,
        start: WindowStart,
    ) -> std::io::Result<Self> {
        style::apply(ctx);
        let mut files = reading::start(ctx, words, start.reader.clone())?;
        if let Some(folder) = start.library {
            files.ask(Request::Library(folder));
        }
        if !start.files.is_empty() {
            files.ask(Request::Open(start.files));
        }
        let board = BoardLink::start(ctx)?;
        let clinic = Clinic::start(ctx, words, start.records, start.reader)?;
        Ok(Self {
            words,
            threads: Threads { files, board, clinic },
            picked: Picked::default(),
            screens: Screens::default(),
            shown: Screen::Start,
            messages: Messages::default(),
            commands: Vec::new(),
        })
    }

    /// Which screen shows.
    pub fn shown(&self) -> Screen {
        self.shown
    }

    /// Waits until all that was asked for is read or connected; for tests and pictures of screens.
    pub fn finish_reading(&mut self) {
        let answers = self.threads.files.finish();
        self.take(answers);
        let problems = self.threads.board.finish();
        self.tell(&problems);
        let news = self.threads.clinic.finish();
        self.hear(news);
    }

    fn tell(&mut self, problems: &[LinkProblem]) {
        for problem in problems {
            self.messages.add(problem.message(self.words));
        }
    }

    fn hear(&mut self, news: Vec<News>) {
        for news in news {
            match news {
                News::People => self.screens.people.refresh(),
                News::Added => self.screens.people.clear_code(),
                News::Decided => self.screens.course.clear(),
                News::Trouble(message) => self.messages.add(message),
            }
        }
    }

    fn show(&mut self, screen: Screen) {
        self.shown = screen;
        if matches!(screen, Screen::People | Screen::Course) {
            self.threads.clinic.read_again();
        }
    }

    fn take(&mut self, answers: Vec<Answer>) {
        for answer in answers {
            match answer {
                Answer::Listed(trial) => self.add(trial),
                Answer::Refused(message) | Answer::Done(message) => self.messages.add(message),
                Answer::Compared(view) => self.picked.comparison = Some(view),
            }
        }
    }

    /// Adds a trial to the list, or puts it in the place of one with the same id.
    fn add(&mut self, trial: ListedTrial) {
        if self.picked.trials.is_empty() && self.shown == Screen::Start {
            self.shown = Screen::Choose;
        }
        self.picked.trials.insert(trial.id.clone(), trial);
        self.screens.choose.refresh();
    }

    fn carry_out(&mut self, ctx: &egui::Context, command: Command) {
        match command {
            Command::Show(screen)
            | Command::Compare(CompareCommand::Show(screen))
            | Command::Course(CourseCommand::Show(screen)) => self.show(screen),
            Command::People(PeopleCommand::Add(code)) => self.threads.clinic.add(code),
            Command::People(PeopleCommand::ShowCourse(code)) => {
                self.threads.clinic.choose(&code);
                self.screens.course.clear();
                self.shown = Screen::Course;
            }
            Command::Course(CourseCommand::Decide { person, condition, author, note }) => {
                self.threads.clinic.decide(NewDecision { person, condition, author, note });
            }
            Command::SetTheme(theme) => ctx.set_theme(theme),
            Command::Open(paths) => self.threads.files.ask(Request::Open(paths)),
            Command::Start(StartCommand::Open(path)) => {
                self.threads.files.ask(Request::Open(vec![path]));
            }
            Command::Choose(ChooseCommand::Toggle(side, ids)) => {
                self.picked.selection.toggle(side, &ids);
                self.screens.choose.refresh();
            }
            Command::Choose(ChooseCommand::Clear) => {
                self.picked.selection.clear();
                self.screens.choose.refresh();
            }
            Command::Board(BoardCommand::Connect(address)) => self.threads.board.connect(address),
            Command::Board(BoardCommand::LetGo) => self.threads.board.let_go(),
            Command::Board(BoardCommand::TakeZero) => self.threads.board.take_zero(),
            Command::Choose(ChooseCommand::Compare) => self.compare(),
            Command::Compare(CompareCommand::SavePicture(path, picked)) => {
                if let Some(view) = &self.picked.comparison {
                    let sets = Box::new(view.sway_sets(picked));
                    self.threads.files.ask(Request::SavePicture { path, sets });
                }
            }
        }
    }

    fn compare(&mut self) {
        let sets = Side::BOTH.map(|side| {
            let summary =
                SetSummary::new(self.words, &self.picked.trials, &self.picked.selection, side);
            let ids = self.picked.selection.ids(side);
            let paths =
                ids.filter_map(|id| self.picked.trials.get(id)).map(|trial| trial.path.clone());
            WantedSet { title: summary.text, paths: paths.collect() }
        });
        self.picked.comparison = None;
        self.threads.files.ask(Request::Compare(Box::new(sets)));
        self.shown = Screen::Compare;
    }

    fn bar_ui(&mut self, ui: &mut egui::Ui) {
        let words = self.words;
        ui.horizontal(|ui| {
            let tabs = [
                (Screen::Start, words.start.tab),
                (Screen::People, words.people.tab),
                (Screen::Course, words.course.tab),
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
                if self.threads.files.is_busy() || self.threads.clinic.is_busy() {
                    ui.label(words.common.reading);
                }
            });
        });
    }

    fn screen_ui(&mut self, ui: &mut egui::Ui) {
        let words = self.words;
        match self.shown {
            Screen::Start => {
                let mut asked = Vec::new();
                self.screens.start.ui(ui, words, &StartView::new(words), &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Start));
            }
            Screen::People => {
                let mut asked = Vec::new();
                self.screens.people.ui(ui, words, self.threads.clinic.rows(), &mut asked);
                self.commands.extend(asked.into_iter().map(Command::People));
            }
            Screen::Course => {
                let mut asked = Vec::new();
                self.screens.course.ui(ui, words, self.threads.clinic.course(), &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Course));
            }
            Screen::Choose => {
                let mut asked = Vec::new();
                self.screens.choose.ui(
                    ui,
                    words,
                    &self.picked.trials,
                    &self.picked.selection,
                    &mut asked,
                );
                self.commands.extend(asked.into_iter().map(Command::Choose));
            }
            Screen::Compare => {
                let mut asked = Vec::new();
                self.screens.compare.ui(ui, words, self.picked.comparison.as_deref(), &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Compare));
            }
            Screen::Board => {
                let mut asked = Vec::new();
                let now = self.threads.board.now();
                let view = BoardView::new(&words.board, now.as_ref(), self.threads.board.is_busy());
                self.screens.board.ui(ui, words, &view, &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Board));
                if now.is_some() {
                    // The newest frame, about thirty times a second.
                    ui.request_repaint_after(Duration::from_millis(33));
                }
            }
        }
    }
}

impl eframe::App for FootingWindow {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        let answers = self.threads.files.answers();
        self.take(answers);
        let problems = self.threads.board.update();
        self.tell(&problems);
        let news = self.threads.clinic.update();
        self.hear(news);
        let dropped: Vec<PathBuf> = ctx.input(|input| {
            input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect()
        });
        if !dropped.is_empty() {
            self.commands.push(Command::Open(dropped));
        }
        for command in std::mem::take(&mut self.commands) {
            self.carry_out(ctx, command);
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let bar =
            egui::Frame::side_top_panel(ui.style()).inner_margin(egui::Margin::symmetric(16, 6));
        egui::Panel::top("screens").frame(bar).show(ui, |ui| self.bar_ui(ui));
        self.messages.ui(ui, self.words);
        let frame = style::screen_frame(ui.style());
        egui::CentralPanel::default().frame(frame).show(ui, |ui| self.screen_ui(ui));
        if !self.commands.is_empty() {
            ui.request_repaint();
        }
    }
}
