//! `footing home`: the full-screen window.

use std::sync::Arc;
use std::time::Duration;

use acquisition::home::{Answer, Ask};
use acquisition::{BoardSession, SleepHold, Stage};

use super::board_work::{BoardWork, Work, Worked};
use super::clock::SessionClock;
use super::page::{Choice, Page, PageInput, answer};
use super::paint;
use super::practice::Practice;
use super::session_sound::SessionSound;
use super::spoken::{self, ToldStages};
use super::stand_marks::StandMarks;
use crate::command_line::{BoardChoice, Problem};
use crate::sound::{Phrase, Volume};
use crate::strings::{Language, Message};
use crate::window::{WindowError, apply_style};

/// How often a page that shows time is drawn anew.
const TICK: Duration = Duration::from_millis(250);

/// Opens the window and returns when it is closed.
///
/// # Errors
/// [`Problem`] if there is no display, or if the records refused meanwhile.
pub(crate) fn run(
    practice: Practice,
    choice: BoardChoice,
    words: &'static Language,
) -> Result<(), Problem> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title(words.common.program)
            .with_app_id("footing-home")
            .with_inner_size([1024.0, 700.0])
            .with_fullscreen(true),
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    };
    eframe::run_native(
        words.common.program,
        options,
        Box::new(|creation| {
            apply_style(&creation.egui_ctx);
            Ok(Box::new(HomeWindow::new(practice, choice, words, Leaving::Closes)))
        }),
    )
    .map_err(WindowError::NotOpened)?;
    Ok(())
}

/// What leaving home mode means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Leaving {
    /// The program ends.
    Closes,
    /// The window goes back to its other screens, once that was asked a second time.
    InTwoSteps,
}

/// How far somebody is on the way out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum WayOut {
    #[default]
    Staying,
    Asked,
    Left,
}

/// A session at home on the screen.
pub(crate) struct HomeWindow {
    leaving: Leaving,
    way_out: WayOut,
    practice: Practice,
    choice: Arc<BoardChoice>,
    clock: SessionClock,
    sound: SessionSound,
    words: &'static Language,
    points: u8,
    board: Option<BoardSession>,
    work: Option<BoardWork>,
    trouble: Option<Message>,
    awake: Option<SleepHold>,
    /// The person wants no more; said once the board has come to its end.
    wants_enough: bool,
    /// The question that was met last: its points began at none, its words were said.
    asked: Option<Ask>,
    /// Why the sound was lost in the last stand.
    why_lost: Option<String>,
    /// The stages of the stand under way that were told.
    stages: ToldStages,
    /// What is seen in it by who hears nothing.
    marks: StandMarks,
}

impl HomeWindow {
    /// A session that begins, or goes on.
    pub(crate) fn new(
        practice: Practice,
        choice: BoardChoice,
        words: &'static Language,
        leaving: Leaving,
    ) -> Self {
        Self {
            leaving,
            way_out: WayOut::Staying,
            sound: practice.sound(words),
            practice,
            choice: Arc::new(choice),
            clock: SessionClock::new(None),
            words,
            points: 0,
            board: None,
            work: None,
            trouble: None,
            awake: None,
            wants_enough: false,
            asked: None,
            why_lost: None,
            stages: ToldStages::default(),
            marks: StandMarks::default(),
        }
    }

    fn give(&mut self, given: Answer) {
        if let Err(problem) = self.practice.answer(given, self.clock.now()) {
            self.trouble = (self.words.practice.trouble)(&problem);
        }
    }

    /// Takes what the board has done, and begins what is asked of it.
    fn mind_the_board(&mut self, ctx: &egui::Context, ask: &Ask) {
        let is_over = self.work.as_ref().is_some_and(BoardWork::is_over);
        if is_over && matches!(ask, Ask::Stand(stand) if stand.heard) && self.sound.is_in_doubt() {
            // Whether the stand was heard to its end is known in a few seconds at most.
            return;
        }
        if is_over && let Some(work) = self.work.take() {
            let (board, worked) = work.finish();
            self.board = board;
            self.awake = None;
            match worked {
                Ok(Worked::Ready) => self.give(Answer::BoardReady),
                Ok(Worked::Stood(mut outcome)) => {
                    let heard = matches!(ask, Ask::Stand(stand) if stand.heard);
                    self.why_lost = self.sound.why_lost();
                    outcome.sound_lost = heard && self.why_lost.is_some();
                    self.give(Answer::Stood(outcome));
                }
                Err(trouble) => {
                    self.trouble = trouble;
                    self.sound.say(Phrase::Trouble);
                }
            }
            if std::mem::take(&mut self.wants_enough) {
                self.trouble = None;
                self.give(Answer::Enough);
            }
            return;
        }
        if self.work.is_some() || self.trouble.is_some() {
            return;
        }
        let work = match ask {
            Ask::Stand(asked) if asked.heard && !self.sound.plays() => {
                self.give(Answer::SoundGone);
                return;
            }
            Ask::BoardCheck => Work::Check { person: self.practice.person().clone() },
            Ask::Stand(asked) => {
                let Some(session) = self.practice.session().record().cloned() else { return };
                let limits = self.practice.session().limits();
                let sound = Box::new(self.sound.begin(asked.kind(), &limits));
                let tolerance_mm = limits.offset_tolerance_mm;
                Work::Stand { tolerance_mm, session: Box::new(session), asked: *asked, sound }
            }
            _ => return,
        };
        self.marks = StandMarks::default();
        self.awake = Some(SleepHold::begin());
        let repaint = {
            let ctx = ctx.clone();
            move || ctx.request_repaint()
        };
        self.work = Some(BoardWork::begin(
            self.board.take(),
            Arc::clone(&self.choice),
            self.practice.records.library().clone(),
            self.practice.board.clone(),
            work,
            self.words,
            repaint,
        ));
    }

    fn choose(&mut self, ctx: &egui::Context, ask: &Ask, made: Choice) {
        match made {
            Choice::Less => self.set_points(self.points.saturating_sub(1)),
            Choice::More => self.set_points((self.points + 1).min(10)),
            Choice::Again => {
                self.sound.check();
                self.sound.say(spoken::of_ask(ask));
            }
            Choice::Quieter => self.set_volume(self.practice.volume().quieter()),
            Choice::Louder => self.set_volume(self.practice.volume().louder()),
            Choice::TryAgain => self.trouble = None,
            Choice::Leave => self.leave(ctx),
            Choice::Stay => self.way_out = WayOut::Staying,
            Choice::Enough => self.no_more(),
            Choice::Yes | Choice::No | Choice::GoOn | Choice::ThatMany => {
                if let Some(given) = answer(ask, made, self.points) {
                    self.give(given);
                }
            }
        }
    }

    /// One step on the way out; the first is only asked where other screens lie behind.
    fn leave(&mut self, ctx: &egui::Context) {
        self.way_out = match (self.leaving, self.way_out) {
            (Leaving::Closes, _) => {
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
                WayOut::Left
            }
            (Leaving::InTwoSteps, WayOut::Staying) => WayOut::Asked,
            (Leaving::InTwoSteps, WayOut::Asked | WayOut::Left) => WayOut::Left,
        };
    }

    /// Whether home mode was left.
    pub(crate) fn is_left(&self) -> bool {
        self.way_out == WayOut::Left
    }

    /// Plays the notes as loud as they will be from now on.
    fn set_volume(&mut self, volume: Volume) {
        if let Err(problem) = self.practice.set_volume(volume) {
            self.trouble = (self.words.practice.trouble)(&problem);
        }
        self.sound.set_volume(volume);
        self.sound.check();
    }

    fn set_points(&mut self, points: u8) {
        self.points = points;
        self.sound.say(Phrase::of_points(points));
    }

    /// Says each stage of a stand once.
    fn follow_stage(&mut self, ask: &Ask) {
        let stage = self.work.as_ref().and_then(BoardWork::progress).map(|at| at.stage);
        let (Ask::Stand(stand), Some(stage)) = (ask, stage) else {
            self.stages = ToldStages::default();
            return;
        };
        match self.stages.phrase(&stage, stand) {
            // Nothing is being said at the end of a stand, and what is asked next waits for it.
            Some(phrase) if matches!(stage, Stage::Ended(_)) => self.sound.say(phrase),
            Some(phrase) => self.sound.say_next(phrase),
            None => {}
        }
    }

    /// No more stands. What is recorded so far is kept: a stand under way ends first.
    fn no_more(&mut self) {
        if let Some(work) = &self.work {
            work.stop();
            self.wants_enough = true;
        } else {
            self.trouble = None;
            self.give(Answer::Enough);
        }
    }

    /// What happens when a question appears: points begin at none, the sound check plays.
    fn meet(&mut self, ask: &Ask) {
        // A rest that goes on is the same question, whatever its time.
        if self.asked.as_ref() == Some(ask) {
            return;
        }
        let stood_before = matches!(self.asked, Some(Ask::Stand(_)));
        self.asked = Some(ask.clone());
        self.points = 0;
        if matches!(ask, Ask::Volume | Ask::SoundCheck) {
            if !self.sound.plays_again() {
                self.give(Answer::No);
                return;
            }
            self.sound.check();
        }
        let (phrase, further) = (spoken::of_ask(ask), spoken::of_ask_further(ask));
        match (stood_before, further) {
            (true, Some(further)) => self.sound.say_next_both(phrase, further),
            (true, None) => self.sound.say_next(phrase),
            (false, Some(further)) => {
                self.sound.say(phrase);
                self.sound.say_next(further);
            }
            (false, None) => self.sound.say(phrase),
        }
    }
}

impl HomeWindow {
    /// Takes what the board has done, says what is due, and begins what is asked of the board.
    pub(crate) fn do_what_is_due(&mut self, ctx: &egui::Context) {
        if self.way_out != WayOut::Staying {
            // Nothing is begun, and nothing else is asked, while it is asked whether they leave.
            return;
        }
        let now = self.clock.now();
        if self.work.is_none()
            && let Err(problem) = self.practice.renew(now)
        {
            self.trouble = (self.words.practice.trouble)(&problem);
        }
        let ask = self.practice.ask(now);
        self.meet(&ask);
        self.follow_stage(&ask);
        self.mind_the_board(ctx, &ask);
        ctx.request_repaint_after(TICK);
    }

    /// Shows the page.
    pub(crate) fn show_in(&mut self, ui: &mut egui::Ui) {
        let now = self.clock.now();
        let ask = self.practice.ask(now);
        let progress = self.work.as_ref().and_then(BoardWork::progress);
        let rest_left = match &ask {
            Ask::Rest { until_unix_us, .. } => {
                let left_us = u64::try_from(until_unix_us - now.unix_us).unwrap_or(0);
                Some(Duration::from_micros(left_us))
            }
            _ => None,
        };
        let limits = self.practice.session().limits();
        let reference = self.work.as_ref().and_then(BoardWork::reference);
        let mark = match (&ask, &progress) {
            (Ask::Stand(stand), Some(at)) => self.marks.mark(stand, at, reference, &limits),
            _ => None,
        };
        let input = PageInput {
            ask: &ask,
            settings: self.practice.session().settings(),
            limits: &limits,
            points: self.points,
            volume: self.practice.volume(),
            mark,
            progress: progress.as_ref(),
            trouble: self.trouble.as_ref(),
            rest_left,
        };
        let mut page = Page::of(&input, self.words);
        if ask == Ask::SoundWasLost {
            page.lines.extend(self.why_lost.clone());
        }
        // Nobody leaves in mid-stand by a slip of the hand.
        let can_leave = self.leaving == Leaving::InTwoSteps && self.work.is_none();
        if can_leave && self.way_out == WayOut::Asked {
            page = Page::leaving(self.words);
        }
        let made = egui::CentralPanel::default()
            .show(ui, |ui| {
                if can_leave {
                    paint::corner_ui(ui, self.words.practice.leave_key);
                }
                paint::ui(ui, &page, &self.words.practice)
            })
            .inner;
        let left_by_key = can_leave && ui.input(|input| input.key_pressed(egui::Key::F11));
        if let Some(made) = made.or(left_by_key.then_some(Choice::Leave)) {
            self.choose(&ui.ctx().clone(), &ask, made);
        }
    }
}

impl eframe::App for HomeWindow {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.do_what_is_due(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.show_in(ui);
    }
}

impl std::fmt::Debug for HomeWindow {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("HomeWindow").field("asked", &self.asked).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use acquisition::WallTime;
    use acquisition::exchange::KeyRing;
    use acquisition::home::HomeSettings;
    use acquisition::keys::{Assignment, Pairing, Role};
    use acquisition::library::Library;
    use acquisition::records::{Dose, GuidedBy, PlanDraft, PlannedCondition, Records, Release};
    use analysis::readiness::{Rating, Thresholds};

    use super::*;
    use crate::strings::ENGLISH;

    /// Paired with a clinic for one person, whose plan has one condition and no rest.
    fn a_home(folder: &Path) -> Practice {
        let settings = HomeSettings {
            emergency_number: Some("112".to_owned()),
            clinic_contact: Some("C-01".to_owned()),
            ..HomeSettings::default()
        };
        settings.save(folder).unwrap();
        let keys = |name: &str, role| {
            let mut keys = KeyRing::open(&Library::open(&folder.join(name)).unwrap()).unwrap();
            keys.make(role).unwrap();
            keys
        };
        let clinic = keys("clinic", Role::Clinic).own().unwrap().public();
        let spoken = clinic.spoken_code();
        let assignment = Assignment {
            clinic: "C-01".parse().unwrap(),
            person: "P-01".parse().unwrap(),
            board: "53494d000000000000000001".parse().unwrap(),
        };
        let pairing = Pairing::new(Role::Home, clinic, spoken, assignment).unwrap();
        let library = Library::open(folder).unwrap();
        let mut records = Records::open(&library).unwrap();
        let planned = PlannedCondition {
            condition: "foam/hip-width/open".parse().unwrap(),
            dose: Dose { holds: 1, hold_s: 20.0, rest_s: 0.0 },
            release: Release::Alone,
        };
        let draft = PlanDraft {
            conditions: vec![planned],
            settle_s: None,
            guided_by: GuidedBy::Sound,
            finds_stance_at_home: false,
            sessions_per_day: 1,
            thresholds: Thresholds::default(),
        };
        let (person, now) = ("P-01".parse().unwrap(), WallTime::now());
        records.put_next_plan(&person, draft, "clinician-1", now).unwrap();
        // From now on it is a home's, which takes plans from the clinic alone.
        keys("", Role::Home).pair(pairing).unwrap();
        Practice::open(&library, records, None, now).unwrap()
    }

    /// A window in which everything before the first stand is answered; there is no board, and no
    /// sound.
    fn before_a_stand(folder: &Path, heard: Answer) -> HomeWindow {
        let mut practice = a_home(folder);
        let mut answers = vec![Answer::No; 4];
        answers.extend([
            Answer::Points(Rating::new(1).unwrap()),
            Answer::Yes,
            Answer::Continue,
            heard,
            Answer::BoardReady,
        ]);
        for given in answers {
            assert!(practice.answer(given, WallTime::now()).unwrap());
        }
        assert!(matches!(practice.ask(WallTime::now()), Ask::Stand(_)));
        let volume = practice.volume();
        let nowhere = BoardChoice::new(Some("/nowhere/board"), None);
        let mut window = HomeWindow::new(practice, nowhere, &ENGLISH, Leaving::InTwoSteps);
        window.sound = SessionSound::none(volume, &ENGLISH);
        window
    }

    #[test]
    fn nothing_is_begun_or_asked_while_it_is_asked_whether_they_leave() {
        let folder = tempfile::tempdir().unwrap();
        let ctx = egui::Context::default();
        let mut window = before_a_stand(folder.path(), Answer::No);
        window.leave(&ctx);
        window.do_what_is_due(&ctx);
        assert!(window.work.is_none() && window.asked.is_none());
        let ask = window.practice.ask(WallTime::now());
        window.choose(&ctx, &ask, Choice::Stay);
        window.do_what_is_due(&ctx);
        assert!(window.work.is_some() && window.asked.is_some());
    }

    #[test]
    fn a_stand_that_counts_on_sound_does_not_begin_without() {
        let folder = tempfile::tempdir().unwrap();
        let ctx = egui::Context::default();
        let mut window = before_a_stand(folder.path(), Answer::Yes);
        window.do_what_is_due(&ctx);
        assert!(window.work.is_none());
        assert_eq!(window.practice.ask(WallTime::now()), Ask::SoundCheck);
    }
}
