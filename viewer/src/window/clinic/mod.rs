//! What the window knows of the records: the people, and the course of the one who is chosen.

mod desk;
mod reading;

use std::collections::{BTreeSet, VecDeque};
use std::io;
use std::time::{Duration, Instant};

use acquisition::home::LanguageKey;
use acquisition::library::Library;
use acquisition::records::PlanDraft;
use acquisition::trial_file::TrialReader;
use analysis::PersonCode;

use crate::strings::Message;
use crate::window::course::CourseView;
use crate::window::loader::Loader;
use crate::window::people::{PersonRow, Standing};
use crate::window::words_in_use::WordsInUse;
use reading::{Answer, Request};

pub use desk::{Desk, SessionChange};
pub(crate) use reading::NewDecision;

/// What changed on the clinic's screens.
pub(crate) enum News {
    /// The list of people.
    People,
    /// Somebody was added.
    Added,
    /// A decision is stored.
    Decided,
    /// The virtual person is ready to stand.
    Rehearsing(PersonCode),
    /// Something that did not work.
    Trouble(Message),
}

/// When how everybody stands was last read as a whole. What this window changes itself is read anew
/// at once.
#[derive(Debug, Clone, Copy)]
struct WholeReading {
    changes: i64,
    begun: Instant,
}

/// How many people are read at a time: as many as are in sight in a window as it opens, some ten
/// milliseconds of work.
const AT_A_TIME: usize = 12;

/// How long a reading stays true though nobody changes anything: advice depends on the day.
const STAYS_TRUE: Duration = Duration::from_mins(10);

impl WholeReading {
    fn is_still_true(&self, changes: i64) -> bool {
        self.changes == changes && self.begun.elapsed() < STAYS_TRUE
    }
}

/// The records as the window knows them, read by a thread of their own.
#[derive(Debug)]
pub(crate) struct Clinic {
    /// `None` without a data folder.
    loader: Option<Loader<Request, Answer>>,
    rows: Vec<PersonRow>,
    /// People whose records are still to be read, a few at a time, so that what is asked meanwhile
    /// does not wait for all of them.
    unread: VecDeque<PersonCode>,
    /// Whether the records were asked to take in what they do not know.
    caught_up: bool,
    whole: Option<WholeReading>,
    chosen: Option<PersonCode>,
    course: Option<Box<CourseView>>,
    desk: Option<Box<Desk>>,
    library: Option<Library>,
}

impl Clinic {
    /// Begins to read the records of a data folder, if there is one.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub(crate) fn start(
        ctx: &egui::Context,
        words: WordsInUse,
        library: Option<Library>,
        reader: TrialReader,
    ) -> io::Result<Self> {
        let loader = library
            .clone()
            .map(|library| reading::start(ctx, words, library, reader))
            .transpose()?;
        let mut clinic = Self {
            loader,
            rows: Vec::new(),
            unread: VecDeque::new(),
            caught_up: false,
            whole: None,
            chosen: None,
            course: None,
            desk: None,
            library,
        };
        clinic.read_again();
        Ok(clinic)
    }

    /// Everybody, in the order of their codes; `None` without records.
    pub(crate) fn rows(&self) -> Option<&[PersonRow]> {
        self.loader.as_ref().map(|_| self.rows.as_slice())
    }

    /// Whether everybody is listed, and how those stand who are in sight at first.
    pub(crate) fn knows_first(&self) -> bool {
        self.whole.is_some() && self.rows.iter().take(AT_A_TIME).all(|row| row.standing.is_some())
    }

    /// The course of the person who is chosen, once it is read.
    pub(crate) fn course(&self) -> Option<&CourseView> {
        self.course.as_deref()
    }

    /// Plans and session of the person who is chosen, once they are read.
    pub(crate) fn desk(&self) -> Option<&Desk> {
        self.desk.as_deref()
    }

    /// The data folder; `None` without one.
    pub(crate) fn library(&self) -> Option<&Library> {
        self.library.as_ref()
    }

    /// Whether something is being read.
    pub(crate) fn is_busy(&self) -> bool {
        self.loader.as_ref().is_some_and(Loader::is_busy)
    }

    /// Reads everything anew: another program may have changed it.
    pub(crate) fn read_again(&mut self) {
        // Those in sight come with the list, in one picture; what is known already can wait.
        let n_first = if self.whole.is_none() { AT_A_TIME } else { 0 };
        self.ask(Request::People { n_first });
        self.read_chosen();
    }

    fn read_chosen(&mut self) {
        if let Some(person) = self.chosen.clone() {
            self.ask(Request::Desk(person.clone()));
            self.ask(Request::Course(person));
        }
    }

    /// Remembers the language for the next start, and reads anew what was told in another one.
    pub(crate) fn change_language(&mut self, key: LanguageKey) {
        self.ask(Request::KeepLanguage(key));
        self.read_chosen();
    }

    /// Records a person under the code that was typed.
    pub(crate) fn add(&mut self, code: String) {
        self.ask(Request::Add(code));
    }

    /// Chooses the person whose course shows.
    pub(crate) fn choose(&mut self, code: &str) {
        (self.course, self.desk) = (None, None);
        // Codes in the list come from the records.
        self.chosen = code.parse().ok();
        self.read_chosen();
    }

    /// Makes the virtual person ready: recorded, with a plan.
    pub(crate) fn rehearse(&mut self) {
        self.ask(Request::Rehearse);
    }

    /// Changes the session of the person who is chosen, or begins one.
    pub(crate) fn change_session(&mut self, change: SessionChange) {
        if let Some(person) = self.chosen.clone() {
            self.ask(Request::Session(person, Box::new(change)));
        }
    }

    /// Stores a draft as the next version of the plan of the person who is chosen.
    pub(crate) fn store_plan(&mut self, draft: PlanDraft, author: String) {
        if let Some(person) = self.chosen.clone() {
            self.ask(Request::StorePlan { person, draft: Box::new(draft), author });
        }
    }

    /// Stores a decision about the person who is chosen.
    pub(crate) fn decide(&mut self, decision: NewDecision) {
        self.ask(Request::Decide(Box::new(decision)));
    }

    fn ask(&mut self, request: Request) {
        if let Some(loader) = &mut self.loader {
            loader.ask(request);
        }
    }

    /// What was read since, without waiting.
    pub(crate) fn update(&mut self) -> Vec<News> {
        let answers = self.loader.as_mut().map(Loader::answers).unwrap_or_default();
        self.take(answers)
    }

    /// Waits until everything is read.
    pub(crate) fn finish(&mut self) -> Vec<News> {
        let mut news = Vec::new();
        loop {
            let answers = self.loader.as_mut().map(Loader::finish).unwrap_or_default();
            news.extend(self.take(answers));
            if !self.is_busy() {
                return news;
            }
        }
    }

    fn take(&mut self, answers: Vec<Answer>) -> Vec<News> {
        let news = answers.into_iter().filter_map(|answer| self.take_one(answer)).collect();
        if !self.is_busy() {
            self.read_on();
        }
        news
    }

    /// Asks for the next few who are not read yet. Once the list is there, with those in sight, the
    /// records take in what they do not know.
    fn read_on(&mut self) {
        let people: Vec<PersonCode> =
            self.unread.drain(..self.unread.len().min(AT_A_TIME)).collect();
        if !people.is_empty() {
            self.ask(Request::Standings(people));
        }
        if self.whole.is_some() && !std::mem::replace(&mut self.caught_up, true) {
            self.ask(Request::CatchUp);
        }
    }

    fn take_standings(&mut self, found: Vec<(PersonCode, Standing)>) {
        for (person, standing) in found {
            let code = person.as_str();
            let place = self.rows.binary_search_by(|row| row.code.as_str().cmp(code));
            if let Ok(place) = place {
                self.rows[place].standing = Some(standing);
            }
        }
    }

    fn take_one(&mut self, answer: Answer) -> Option<News> {
        match answer {
            Answer::People(people, changes, first) => {
                let still_true = self.whole.is_some_and(|whole| whole.is_still_true(changes));
                let mut known = std::mem::take(&mut self.rows).into_iter().peekable();
                let pending: BTreeSet<PersonCode> = self.unread.drain(..).collect();
                // What was known stays until it is read anew; both are in the order of codes.
                for person in people {
                    let code = person.code.clone();
                    let mut row = PersonRow::new(person);
                    while known.next_if(|old| old.code < row.code).is_some() {}
                    if let Some(old) = known.next_if(|old| old.code == row.code) {
                        row.standing = old.standing;
                    }
                    if !still_true || row.standing.is_none() || pending.contains(&code) {
                        self.unread.push_back(code);
                    }
                    self.rows.push(row);
                }
                if !still_true {
                    self.whole = Some(WholeReading { changes, begun: Instant::now() });
                }
                self.unread.retain(|code| first.iter().all(|(read, _)| read != code));
                self.take_standings(first);
                Some(News::People)
            }
            Answer::Standings(found) => {
                self.take_standings(found);
                Some(News::People)
            }
            Answer::CaughtUp { found } => {
                if found {
                    // Whose they are is not told; it happens after a crash.
                    self.whole = None;
                    self.read_again();
                }
                None
            }
            Answer::Added => {
                self.ask(Request::People { n_first: 0 });
                Some(News::Added)
            }
            Answer::Changed(person) => {
                self.unread.push_front(person);
                self.read_chosen();
                None
            }
            Answer::Rehearsing(person) => {
                self.ask(Request::People { n_first: 0 });
                Some(News::Rehearsing(person))
            }
            Answer::Desk(desk) => {
                if self.chosen.as_ref() == Some(&desk.person.code) {
                    self.desk = Some(desk);
                }
                None
            }
            Answer::Course(view) => {
                let wanted = self.chosen.as_ref().is_some_and(|code| code.as_str() == view.person);
                if wanted {
                    self.course = Some(view);
                }
                None
            }
            Answer::Decided(person) => {
                self.unread.push_front(person);
                self.read_chosen();
                Some(News::Decided)
            }
            Answer::Refused(message) => Some(News::Trouble(message)),
        }
    }
}
