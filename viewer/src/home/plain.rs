//! Practice line by line in a terminal: for a screen reader, a rehearsal, or a test.

use std::io::{self, BufRead as _};
use std::thread;
use std::time::Duration;

use acquisition::home::{self, Answer, Ask, Stand};
use acquisition::{BoardSession, LatestValue, Progress, SleepHold, Wish};
use analysis::readiness::Rating;

use super::clock::SessionClock;
use super::practice::Practice;
use super::session_sound::SessionSound;
use super::watch::Watch;
use crate::command_line::output;
use crate::command_line::{BoardChoice, Problem};
use crate::strings::{Language, PracticeWords};

/// How often it is looked whether a silence is a loss.
const DOUBT_STEP: Duration = Duration::from_millis(50);

/// How often a rest looks whether it is over.
const REST_STEP: Duration = Duration::from_millis(200);

/// Asks and answers until the session is over or nothing more is typed.
pub(crate) fn run(
    practice: Practice,
    choice: &BoardChoice,
    clock: SessionClock,
    words: &'static Language,
) -> Result<(), Problem> {
    let sound = practice.sound(words);
    let mut run = PlainRun { practice, clock, sound, words, board: None };
    while run.step(choice)? {}
    Ok(())
}

struct PlainRun {
    practice: Practice,
    clock: SessionClock,
    sound: SessionSound,
    words: &'static Language,
    board: Option<BoardSession>,
}

impl PlainRun {
    /// Does the next thing; false when there is nothing more to do.
    fn step(&mut self, choice: &BoardChoice) -> Result<bool, Problem> {
        let ask = self.practice.ask(self.clock.now());
        self.say(&ask);
        let answer = match &ask {
            Ask::Missing(_) | Ask::Locked(_) | Ask::Done(_) => return Ok(false),
            Ask::Kept { .. } | Ask::SoundWasLost => Some(Answer::Continue),
            Ask::NothingReleased => Some(Answer::Enough),
            Ask::Rest { until_unix_us, .. } => {
                self.rest(*until_unix_us);
                return Ok(true);
            }
            Ask::Volume | Ask::SoundCheck if !self.sound.plays_again() => {
                output::remark(self.words.practice.no_sound);
                Some(Answer::No)
            }
            Ask::Volume => self.set_volume()?,
            Ask::SoundCheck => {
                self.sound.check();
                self.typed(yes_or_no)?
            }
            Ask::BoardCheck => {
                self.check_board(choice)?;
                Some(Answer::BoardReady)
            }
            Ask::Stand(stand) => Some(self.stand(choice, *stand)?),
            Ask::MoreThanPlanned { .. } => match self.typed(yes_or_no)? {
                Some(Answer::Yes) => Some(Answer::Yes),
                _ => return Ok(false),
            },
            Ask::Room
            | Ask::Company
            | Ask::Sign(_)
            | Ask::FindStance
            | Ask::HeldOnOrHurt
            | Ask::Touched => self.typed(yes_or_no)?,
            Ask::NextMorning
            | Ask::PainBefore
            | Ask::Difficulty
            | Ask::WorstPain
            | Ask::PainAfter => self.typed(points)?,
        };
        let Some(answer) = answer else { return Ok(false) };
        // The room is not ready: nothing is lost, and it is asked again when it is.
        if ask == Ask::Room && answer == Answer::No {
            return Ok(true);
        }
        self.practice.answer(answer, self.clock.now())?;
        Ok(true)
    }

    fn say(&self, ask: &Ask) {
        let words = (self.words.practice.page)(ask, self.practice.session().settings());
        output::result(&words.title);
        for line in &words.lines {
            output::result(&format!("  {line}"));
        }
    }

    /// Plays the notes at each change, until it is right.
    fn set_volume(&mut self) -> Result<Option<Answer>, Problem> {
        loop {
            self.sound.check();
            let volume = self.practice.volume();
            let wanted = match self.typed(volume_wish)? {
                None => return Ok(None),
                Some(VolumeWish::Right) => return Ok(Some(Answer::Continue)),
                Some(VolumeWish::Louder) => volume.louder(),
                Some(VolumeWish::Quieter) => volume.quieter(),
            };
            self.practice.set_volume(wanted)?;
            self.sound.set_volume(wanted);
        }
    }

    fn rest(&mut self, until_unix_us: i64) {
        if self.clock.jump_to(until_unix_us) {
            return;
        }
        while self.clock.now().unix_us < until_unix_us {
            thread::sleep(REST_STEP);
        }
    }

    fn connected(&mut self, choice: &BoardChoice) -> Result<(), Problem> {
        if self.board.as_ref().is_none_or(|board| board.lost().is_some()) {
            self.board = None;
            self.board = Some(choice.connect()?);
        }
        Ok(())
    }

    fn check_board(&mut self, choice: &BoardChoice) -> Result<(), Problem> {
        self.connected(choice)?;
        let board = self.board.as_ref().expect("connected just now");
        let practice = &self.practice;
        Ok(home::check_board(
            board,
            &practice.records,
            &practice.board,
            practice.person(),
            &mut |_| {},
        )?)
    }

    fn stand(&mut self, choice: &BoardChoice, asked: Stand) -> Result<Answer, Problem> {
        if asked.heard && !self.sound.plays() {
            return Ok(Answer::SoundGone);
        }
        self.connected(choice)?;
        let Some(session) = self.practice.session().record().cloned() else {
            return Ok(Answer::Enough);
        };
        let _awake = SleepHold::begin();
        let limits = self.practice.session().limits();
        let words = &self.words.practice;
        let sound = Box::new(self.sound.begin(asked.kind(), &limits));
        let mut said = None;
        let tell = |progress: &Progress| {
            let stage = (words.stage)(&progress.stage);
            if said.replace(stage) != Some(stage) {
                output::remark(&format!("    {stage}"));
            }
            Wish::GoOn
        };
        let (reference, tolerance_mm) = (LatestValue::new(), limits.offset_tolerance_mm);
        let mut watch = Watch { tell, reference, tolerance_mm, sound };
        let board = self.board.as_ref().expect("connected just now");
        let practice = &mut self.practice;
        let mut outcome = home::stand(
            board,
            &mut practice.records,
            &practice.board,
            &session,
            &asked,
            &mut watch,
        )?;
        while asked.heard && self.sound.is_in_doubt() {
            thread::sleep(DOUBT_STEP);
        }
        let why_lost = self.sound.why_lost();
        outcome.sound_lost = asked.heard && why_lost.is_some();
        if let Some(why) = why_lost.filter(|_| outcome.sound_lost) {
            output::remark(&why);
        }
        Ok(Answer::Stood(outcome))
    }
}

impl PlainRun {
    /// A line that `read` understands; `None` when nothing more is typed.
    fn typed<T>(&self, read: Reading<T>) -> Result<Option<T>, Problem> {
        loop {
            let mut line = String::new();
            if io::stdin().lock().read_line(&mut line).map_err(Problem::Print)? == 0 {
                return Ok(None);
            }
            match read(&self.words.practice, line.trim()) {
                Ok(answer) => return Ok(Some(answer)),
                Err(hint) => output::remark(hint),
            }
        }
    }
}

/// How a line is read; a hint where it cannot be.
type Reading<T> = fn(&PracticeWords, &str) -> Result<T, &'static str>;

/// What is said of the volume.
enum VolumeWish {
    Louder,
    Quieter,
    Right,
}

fn volume_wish(words: &PracticeWords, line: &str) -> Result<VolumeWish, &'static str> {
    if words.typed_louder.contains(&line) {
        Ok(VolumeWish::Louder)
    } else if words.typed_quieter.contains(&line) {
        Ok(VolumeWish::Quieter)
    } else if words.typed_yes.contains(&line) {
        Ok(VolumeWish::Right)
    } else {
        Err(words.type_volume)
    }
}

fn yes_or_no(words: &PracticeWords, line: &str) -> Result<Answer, &'static str> {
    if words.typed_yes.contains(&line) {
        Ok(Answer::Yes)
    } else if words.typed_no.contains(&line) {
        Ok(Answer::No)
    } else {
        Err(words.type_yes_or_no)
    }
}

fn points(words: &PracticeWords, line: &str) -> Result<Answer, &'static str> {
    let points = line.parse().ok().and_then(Rating::new);
    points.map(Answer::Points).ok_or(words.type_points)
}
