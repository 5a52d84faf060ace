//! The window as a whole: which screen shows, and what to do with what the person asked for.

mod bar;
mod language;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::Duration;

use acquisition::home::LanguageKey;
use analysis::Condition;
use analysis::readiness::Verdict;

use crate::standing::{KeptStand, StandError, StandNow};
use crate::strings::Language;
use crate::window::at_home::AtHome;
use crate::window::board::{BoardCommand, BoardLink, BoardScreen, BoardView, LinkProblem};
use crate::window::choose::{ChooseCommand, ChooseScreen, ListedTrial, Selection, SetSummary};
use crate::window::clinic::{Clinic, NewDecision, News, SessionChange};
use crate::window::compare::{CompareCommand, CompareScreen, CompareView};
use crate::window::course::{CourseCommand, CourseScreen};
use crate::window::loader::Loader;
use crate::window::messages::Messages;
use crate::window::people::{PeopleCommand, PeopleScreen};
use crate::window::plan::{PlanCommand, PlanScreen};
use crate::window::reading::{self, Answer, Request, WantedSet};
use crate::window::recording::{Occasion, Recording};
use crate::window::run::WindowStart;
use crate::window::saving::{Replacing, WantedPicture};
use crate::window::stand::{BoardPick, StandAsk, StandCommand, StandScreen, StandView};
use crate::window::start::{StartCommand, StartScreen, StartView};
use crate::window::style::{self, Side};
use crate::window::words_in_use::WordsInUse;

/// The screens of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// Ways to begin.
    Start,
    /// The list of people.
    People,
    /// One person's course.
    Course,
    /// One person's plan.
    Plan,
    /// Somebody stands.
    Stand,
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
    SetLanguage(LanguageKey),
    Open(Vec<PathBuf>),
    Save(WantedPicture),
    Start(StartCommand),
    People(PeopleCommand),
    Course(CourseCommand),
    Plan(PlanCommand),
    Stand(StandCommand),
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
    plan: PlanScreen,
    stand: StandScreen,
    choose: ChooseScreen,
    compare: CompareScreen,
    board: BoardScreen,
}

/// Threads that do what takes time.
#[derive(Debug)]
struct Threads {
    words: WordsInUse,
    files: Loader<Request, Answer>,
    board: BoardLink,
    clinic: Clinic,
    recording: Recording,
}

/// The trials that are known, those that are picked, and how they compare.
#[derive(Debug, Default)]
struct Picked {
    /// By the ids of the trials.
    trials: BTreeMap<String, ListedTrial>,
    selection: Selection,
    /// The selection as it was when it was compared.
    compared: Option<Selection>,
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
    replacing: Replacing,
    commands: Vec<Command>,
    at_home: AtHome,
}

impl Screen {
    /// All, by the names they have on the command line.
    pub const NAMED: [(&'static str, Self); 8] = [
        ("start", Self::Start),
        ("people", Self::People),
        ("course", Self::Course),
        ("plan", Self::Plan),
        ("stand", Self::Stand),
        ("trials", Self::Choose),
        ("compare", Self::Compare),
        ("board", Self::Board),
    ];
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
        style::write_numbers(ctx, words);
        let shared = WordsInUse::new(words);
        let mut files = reading::start(ctx, shared.clone(), start.reader.clone())?;
        if let Some(folder) = start.library {
            files.ask(Request::Library(folder));
        }
        if !start.files.is_empty() {
            files.ask(Request::Open(start.files));
        }
        let board = BoardLink::start(ctx)?;
        let at_home = AtHome::new(start.reader.clone());
        let clinic = Clinic::start(ctx, shared.clone(), start.records, start.reader)?;
        let recording = Recording::new(start.simulated);
        Ok(Self {
            words,
            threads: Threads { words: shared, files, board, clinic, recording },
            picked: Picked::default(),
            screens: Screens::default(),
            shown: Screen::Start,
            messages: Messages::default(),
            replacing: Replacing::default(),
            commands: Vec::new(),
            at_home,
        })
    }

    /// Where the stand under way is; `None` while nobody stands.
    pub fn stand_now(&self) -> Option<StandNow> {
        self.threads.recording.now()
    }

    /// Which screen shows.
    pub fn shown(&self) -> Screen {
        self.shown
    }

    /// Whether something is being read at the moment.
    pub fn is_reading(&self) -> bool {
        self.threads.files.is_busy() || self.threads.clinic.is_busy()
    }

    /// Whether the list of people is read, and how the first of them stand: as many as are in sight.
    pub fn knows_people_in_sight(&self) -> bool {
        self.threads.clinic.knows_first()
    }

    /// Waits until all that was asked for is read or connected; for tests and pictures of screens.
    pub fn finish_reading(&mut self) {
        let answers = self.threads.files.finish();
        self.take(answers);
        let problems = self.threads.board.finish();
        self.tell(&problems);
        if let Some(outcome) = self.threads.recording.finish() {
            self.stood(outcome);
        }
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
                News::Rehearsing(person) => {
                    self.threads.clinic.choose(person.as_str());
                    self.screens.stand.choose_board(BoardPick::Simulated);
                    self.show(Screen::Stand);
                }
                News::Trouble(message) => self.messages.add(message),
            }
        }
    }

    fn show(&mut self, screen: Screen) {
        self.shown = screen;
        if matches!(screen, Screen::People | Screen::Course | Screen::Plan | Screen::Stand) {
            self.threads.clinic.read_again();
        }
    }

    fn take(&mut self, answers: Vec<Answer>) {
        for answer in answers {
            match answer {
                Answer::Listed(trial) => self.add(trial),
                Answer::Refused(message) | Answer::Done(message) => self.messages.add(message),
                Answer::Compared(view) => self.picked.comparison = Some(view),
                Answer::AlreadyThere(picture) => self.replacing.ask(picture),
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
            | Command::Course(CourseCommand::Show(screen))
            | Command::Plan(PlanCommand::Show(screen))
            | Command::Stand(StandCommand::Show(screen)) => self.show(screen),
            Command::Plan(PlanCommand::Store { draft, author }) => {
                self.threads.clinic.store_plan(*draft, author);
            }
            Command::Stand(StandCommand::Session(change)) => {
                if matches!(change, SessionChange::Begin { .. } | SessionChange::End { .. }) {
                    self.screens.stand.clear_answers();
                }
                self.threads.clinic.change_session(change);
            }
            Command::Stand(StandCommand::Start(ask)) => self.begin_stand(ctx, &ask),
            Command::Stand(StandCommand::PlayNotes) => self.threads.recording.play_notes(),
            Command::Stand(StandCommand::NotesHeard(heard)) => {
                if let Some(open) =
                    self.threads.clinic.desk().and_then(|desk| desk.session.as_ref())
                {
                    self.threads.recording.notes_heard(&open.id, heard);
                }
            }
            Command::Stand(StandCommand::Wish(wish)) => self.threads.recording.wish(wish),
            Command::Stand(StandCommand::BeginPlanWith { condition, author }) => {
                if let Some(desk) = self.threads.clinic.desk() {
                    let draft = desk.plan_beginning_with(condition);
                    self.threads.clinic.store_plan(draft, author);
                }
            }
            Command::People(PeopleCommand::Add(code)) => self.threads.clinic.add(code),
            Command::People(PeopleCommand::ShowCourse(_))
            | Command::Start(StartCommand::PractiseAtHome | StartCommand::Rehearse)
                if self.stand_now().is_some() =>
            {
                // What is answered and marked after a stand belongs to who is chosen.
                self.messages.add((self.words.somebody_stands)());
            }
            Command::People(PeopleCommand::ShowCourse(code)) => {
                self.threads.clinic.choose(&code);
                self.screens.course.clear();
                self.shown = Screen::Course;
            }
            Command::Course(CourseCommand::Decide { person, condition, author, note }) => {
                self.threads.clinic.decide(NewDecision { person, condition, author, note });
            }
            Command::SetTheme(theme) => ctx.set_theme(theme),
            Command::SetLanguage(key) => self.set_language(ctx, key),
            Command::Open(paths) => self.threads.files.ask(Request::Open(paths)),
            Command::Start(StartCommand::Open(path)) => {
                self.threads.files.ask(Request::Open(vec![path]));
            }
            Command::Start(StartCommand::PractiseAtHome) => self.practise_at_home(ctx),
            Command::Start(StartCommand::Rehearse) => self.threads.clinic.rehearse(),
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
            Command::Save(picture)
            | Command::Compare(CompareCommand::Save(picture))
            | Command::Course(CourseCommand::Save(picture))
            | Command::Stand(StandCommand::Save(picture)) => {
                self.threads.files.ask(Request::Save(picture));
            }
        }
    }

    fn practise_at_home(&mut self, ctx: &egui::Context) {
        // Only one can have the port.
        self.threads.board.let_go();
        let Some(library) = self.threads.clinic.library() else { return };
        if let Err(Some(message)) = self.at_home.begin(ctx, library, self.words) {
            self.messages.add(message);
        }
    }

    fn stand_view(&self) -> StandView<'_> {
        let clinic = &self.threads.clinic;
        let verdict = clinic.course().and_then(|course| course.step.as_ref().ok());
        let session = clinic.desk().and_then(|desk| desk.session.as_ref());
        let recording = &self.threads.recording;
        StandView {
            desk: clinic.desk(),
            latched: verdict.is_some_and(|step| step.verdict == Verdict::StopAndReview),
            now: recording.now(),
            reference: recording.reference(),
            no_sound: recording.no_sound(),
            notes_played: recording.notes_played(),
            heard: session.is_some_and(|session| recording.is_heard_in(&session.id)),
        }
    }

    /// Begins a stand of the person who is chosen, as if it was asked for on the screen.
    pub fn begin_stand(&mut self, ctx: &egui::Context, ask: &StandAsk) {
        let view = self.stand_view();
        let wobble_window_mm = view.window_mm();
        let forbidden = view.forbidden_at(ask.condition, ask.board, &self.words.stand);
        let Threads { clinic, recording, board, .. } = &mut self.threads;
        let (Some(desk), Some(library)) = (clinic.desk(), clinic.library()) else { return };
        // Only one can have the port.
        board.let_go();
        let errand = ask.errand;
        let person = &desk.person.code;
        let words = self.words;
        let occasion = Occasion { words, person, library, wobble_window_mm, forbidden };
        match recording.begin(ctx, ask, &occasion) {
            Ok(()) => self.screens.stand.begin(errand),
            Err(error) => self.messages.add((self.words.no_thread)(&error)),
        }
    }

    /// Takes a stand that is over.
    fn stood(&mut self, outcome: Result<KeptStand, StandError>) {
        match outcome {
            Ok(kept) => {
                let window_mm = self.stand_view().window_mm();
                self.threads.files.ask(Request::Open(vec![kept.file.path.clone()]));
                if let Some(change) = self.screens.stand.end(self.words, &kept, window_mm) {
                    self.threads.clinic.change_session(change);
                }
                if let Some(lost) = self.threads.recording.sound_lost() {
                    let facts = &kept.file.facts;
                    let (condition, trial) = (facts.condition, facts.id.clone());
                    self.threads
                        .clinic
                        .change_session(SessionChange::SoundLost { condition, trial });
                    if let Some(message) = (self.words.sound.lost)(&lost) {
                        self.messages.add(message);
                    }
                }
            }
            Err(error) => self.messages.add((self.words.stand_failed)(&error)),
        }
        self.threads.clinic.read_again();
    }

    fn compare(&mut self) {
        self.screens.compare.begin_anew();
        self.ask_to_compare(self.picked.selection.clone());
        self.picked.comparison = None;
        self.shown = Screen::Compare;
    }

    fn ask_to_compare(&mut self, selection: Selection) {
        let sets = Side::BOTH.map(|side| {
            let summary = SetSummary::new(self.words, &self.picked.trials, &selection, side);
            let ids = selection.ids(side);
            let paths =
                ids.filter_map(|id| self.picked.trials.get(id)).map(|trial| trial.path.clone());
            WantedSet { title: summary.text, paths: paths.collect() }
        });
        self.threads.files.ask(Request::Compare(Box::new(sets)));
        self.picked.compared = Some(selection);
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
            Screen::Plan => {
                let mut asked = Vec::new();
                self.screens.plan.ui(ui, words, self.threads.clinic.desk(), &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Plan));
            }
            Screen::Stand => {
                let mut asked = Vec::new();
                let mut screen = std::mem::take(&mut self.screens.stand);
                screen.ui(ui, words, &self.stand_view(), &mut asked);
                self.screens.stand = screen;
                self.commands.extend(asked.into_iter().map(Command::Stand));
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

impl FootingWindow {
    /// Takes what the threads have done and carries out what was asked for.
    pub fn take_news(&mut self, ctx: &egui::Context) {
        if self.at_home.logic(ctx) {
            self.show(Screen::Start);
        }
        let answers = self.threads.files.answers();
        self.take(answers);
        let problems = self.threads.board.update();
        self.tell(&problems);
        if let Some(outcome) = self.threads.recording.outcome(ctx) {
            self.stood(outcome);
        }
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

    /// Shows the screen; what the person asks for is carried out with the next news.
    pub fn show_in(&mut self, ui: &mut egui::Ui) {
        if self.at_home.ui(ui) {
            return;
        }
        let bar =
            egui::Frame::side_top_panel(ui.style()).inner_margin(egui::Margin::symmetric(16, 6));
        egui::Panel::top("screens").frame(bar).show(ui, |ui| {
            self.bar_ui(ui);
            self.standing_ui(ui);
        });
        self.messages.ui(ui, self.words);
        let replaced = self.replacing.ui(ui, &self.words.picture);
        self.commands.extend(replaced.map(Command::Save));
        let frame = style::screen_frame(ui.style());
        egui::CentralPanel::default().frame(frame).show(ui, |ui| self.screen_ui(ui));
        if !self.commands.is_empty() {
            ui.request_repaint();
        }
    }

    /// Turns to a screen, and to a person of the records: the one named, or the first. A comparison
    /// sets the person's last two conditions against each other.
    pub fn turn_to(&mut self, screen: Screen, person: Option<&str>) {
        let first = || self.threads.clinic.rows()?.first().map(|row| row.code.clone());
        if let Some(person) = person.map(str::to_owned).or_else(first) {
            self.threads.clinic.choose(&person);
            if matches!(screen, Screen::Choose | Screen::Compare) {
                self.pick_last_conditions(&person);
            }
        }
        if screen == Screen::Compare {
            self.compare();
        } else {
            self.show(screen);
        }
    }

    fn pick_last_conditions(&mut self, person: &str) {
        let mut groups: Vec<(Condition, Vec<String>)> = Vec::new();
        for trial in self.picked.trials.values().filter(|trial| trial.person.as_str() == person) {
            match groups.iter_mut().find(|(condition, _)| *condition == trial.condition) {
                Some((_, ids)) => ids.push(trial.id.clone()),
                None => groups.push((trial.condition, vec![trial.id.clone()])),
            }
        }
        let last = groups.split_off(groups.len().saturating_sub(2));
        self.picked.selection.clear();
        for (side, (_, ids)) in Side::BOTH.into_iter().zip(last) {
            self.picked.selection.toggle(side, &ids);
        }
        self.screens.choose.refresh();
    }
}

impl eframe::App for FootingWindow {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.take_news(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.show_in(ui);
    }
}
