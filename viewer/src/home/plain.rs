//! Practice line by line in a terminal: for a screen reader, a rehearsal, or a test.

use std::io::{self, BufRead as _};
use std::thread;
use std::time::Duration;

use acquisition::home::{self, Answer, Ask, Stand, StandObserver};
use acquisition::{BoardSession, LiveView, Progress, RecordObserver, SleepHold, Stage, Wish};
use analysis::MeanPosition;
use analysis::readiness::{Rating, Thresholds};

use super::clock::SessionClock;
use super::practice::Practice;
use super::session_sound::SessionSound;
use crate::command_line::output;
use crate::command_line::{BoardChoice, Problem};
use crate::standing::Reference;
use crate::standing::cues::Cues;
use crate::strings::ENGLISH;

/// How often it is looked whether a silence is a loss.
const DOUBT_STEP: Duration = Duration::from_millis(50);

/// How often a rest looks whether it is over.
const REST_STEP: Duration = Duration::from_millis(200);

/// Asks and answers until the session is over or nothing more is typed.
pub(crate) fn run(
    practice: Practice,
    choice: &BoardChoice,
    clock: SessionClock,
) -> Result<(), Problem> {
    let sound = practice.sound();
    let mut run = PlainRun { practice, clock, sound, board: None };
    while run.step(choice)? {}
    Ok(())
}

struct PlainRun {
    practice: Practice,
    clock: SessionClock,
    sound: SessionSound,
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
                output::remark("There is no sound here: only exercises with open eyes.");
                Some(Answer::No)
            }
            Ask::Volume => self.set_volume()?,
            Ask::SoundCheck => {
                self.sound.check();
                typed(yes_or_no)?
            }
            Ask::BoardCheck => {
                self.check_board(choice)?;
                Some(Answer::BoardReady)
            }
            Ask::Stand(stand) => Some(self.stand(choice, *stand)?),
            Ask::MoreThanPlanned { .. } => match typed(yes_or_no)? {
                Some(Answer::Yes) => Some(Answer::Yes),
                _ => return Ok(false),
            },
            Ask::Room
            | Ask::Company
            | Ask::Sign(_)
            | Ask::FindStance
            | Ask::HeldOnOrHurt
            | Ask::Touched => typed(yes_or_no)?,
            Ask::NextMorning
            | Ask::PainBefore
            | Ask::Difficulty
            | Ask::WorstPain
            | Ask::PainAfter => typed(points)?,
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
        let words = (ENGLISH.practice.page)(ask, self.practice.session().settings());
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
            let wanted = match typed(volume_wish)? {
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
        self.connected(choice)?;
        let Some(session) = self.practice.session().record().cloned() else {
            return Ok(Answer::Enough);
        };
        let _awake = SleepHold::begin();
        let limits = self.practice.session().limits();
        let mut watch =
            Watch { said: None, sound: self.sound.begin(asked.kind(), &limits), limits };
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

/// Says each stage once, and lets it sound.
struct Watch {
    said: Option<&'static str>,
    sound: Cues,
    limits: Thresholds,
}

impl RecordObserver for Watch {
    fn progress(&mut self, progress: &Progress) -> Wish {
        self.sound.progress(progress);
        let words = (ENGLISH.practice.stage)(&progress.stage);
        if self.said != Some(words) {
            self.said = Some(words);
            output::remark(&format!("    {words}"));
        }
        // Nobody can be asked in mid-stand: another load than the recorded one is refused.
        match progress.stage {
            Stage::ConfirmingPerson { .. } => Wish::OtherPerson,
            _ => Wish::GoOn,
        }
    }

    fn live(&mut self, live: &LiveView) {
        self.sound.live(live);
    }
}

impl StandObserver for Watch {
    fn reference(&mut self, position: Option<MeanPosition>) {
        let tolerance_mm = self.limits.offset_tolerance_mm;
        self.sound.set_reference(position.map(|position| Reference { position, tolerance_mm }));
    }
}

/// A line that `read` understands; `None` when nothing more is typed.
fn typed<T>(read: fn(&str) -> Result<T, &'static str>) -> Result<Option<T>, Problem> {
    loop {
        let mut line = String::new();
        if io::stdin().lock().read_line(&mut line).map_err(Problem::Print)? == 0 {
            return Ok(None);
        }
        match read(line.trim()) {
            Ok(answer) => return Ok(Some(answer)),
            Err(hint) => output::remark(hint),
        }
    }
}

/// What is said of the volume.
enum VolumeWish {
    Louder,
    Quieter,
    Right,
}

fn volume_wish(line: &str) -> Result<VolumeWish, &'static str> {
    match line {
        "louder" | "l" => Ok(VolumeWish::Louder),
        "quieter" | "q" => Ok(VolumeWish::Quieter),
        "yes" | "y" => Ok(VolumeWish::Right),
        _ => Err("Type louder, quieter, or yes if it is right, then Enter."),
    }
}

fn yes_or_no(line: &str) -> Result<Answer, &'static str> {
    match line {
        "yes" | "y" => Ok(Answer::Yes),
        "no" | "n" => Ok(Answer::No),
        _ => Err("Type yes or no, then Enter."),
    }
}

fn points(line: &str) -> Result<Answer, &'static str> {
    let points = line.parse().ok().and_then(Rating::new);
    points.map(Answer::Points).ok_or("Type a whole number from 0 to 10, then Enter.")
}
