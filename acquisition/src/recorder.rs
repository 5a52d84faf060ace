//! Records one trial: from the empty board to a journal that is ready to be sealed.

mod afterwards;
mod flow;
mod policy;
mod refusal;
#[cfg(test)]
mod tests;
mod zero_keeper;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use analysis::TrialKind;
use crossbeam_channel::{Receiver, RecvTimeoutError};
use thiserror::Error;

pub use flow::Stage;
pub use policy::{RATED_LOAD_NEWTONS, STANDARD_GRAVITY};
pub use refusal::Refusal;
pub(crate) use zero_keeper::ZeroKeeper;
pub use zero_keeper::ZeroTrouble;

use crate::board_session::{BoardEvent, BoardFrame, BoardLost, BoardSession, CommandError};
use crate::calibration::Calibration;
use crate::forces::{cop_from_forces, forces_from_counts};
use crate::journal::{
    BoardFacts, JournalEnd, JournalHead, JournalThread, WriteJournalError, prepare_folder,
};
use crate::live::{LiveView, SwayFollower};
use crate::stored_trial::{Ending, TrialFacts};
use crate::wall_time::WallTime;
use crate::zero::Zero;
use afterwards::{Afterwards, ZeroAfter};
use flow::{Beginning, FlowPlan, Step, TrialFlow};

/// How often whoever watches is told, at most.
const TELL_EVERY: Duration = Duration::from_millis(33);

/// A trial to be recorded.
#[derive(Debug, Clone)]
pub struct RecordRequest {
    /// What is known of the trial. When it started, how long the person had settled, the hold asked
    /// for and the board's id are filled in by the recorder.
    pub facts: TrialFacts,
    /// With which forces are computed.
    pub calibration: Calibration,
    /// How long the person stands still before the record begins, in seconds.
    pub settle_s: f64,
    /// How long the record is, in seconds of board time.
    pub record_s: f64,
    /// Why another part of the program forbids this trial, in words for the person; `None` if none
    /// does.
    pub forbidden: Option<&'static str>,
}

/// What is told while a trial is recorded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Where the trial stands.
    pub stage: Stage,
    /// How long the stage has lasted, in seconds of board time.
    pub elapsed_s: f64,
    /// How long it takes, in seconds, where that is known.
    pub asked_s: Option<f64>,
    /// The newest live numbers; `None` before the board has a zero.
    pub live: Option<LiveView>,
}

/// What whoever watches wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wish {
    /// Go on.
    GoOn,
    /// Whoever stands there is the person of the trial, whatever the load says.
    SamePerson,
    /// Somebody else stands there: refuse the trial.
    OtherPerson,
    /// The person ends the trial now; what is recorded is kept.
    Stop,
    /// A rule ends the trial now; what is recorded is kept.
    StopByRule,
}

/// Whoever watches a trial being recorded. Called by the recording thread: answer at once.
pub trait RecordObserver {
    /// Called at each change of stage, the end included, and about 30 times a second.
    fn progress(&mut self, progress: &Progress) -> Wish;

    /// Called for every frame once the board has a zero.
    fn live(&mut self, live: &LiveView) {
        let _: &LiveView = live;
    }
}

impl<F: FnMut(&Progress) -> Wish> RecordObserver for F {
    fn progress(&mut self, progress: &Progress) -> Wish {
        self(progress)
    }
}

/// A record that has come to its end, in a journal that is ready to be sealed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordedTrial {
    /// The journal; [`recover`](crate::journal::recover) it and seal it.
    pub journal: PathBuf,
    /// Why the record ends.
    pub ended: Ending,
    /// How many frames it holds.
    pub n_frames: u64,
}

/// A trial that was not recorded to an end.
#[derive(Debug, Error)]
pub enum RecordError {
    /// The trial may not begin.
    #[error("the trial cannot begin")]
    Refused(#[from] Refusal),
    /// It was stopped before the record began: there is nothing to keep.
    #[error("the trial was stopped before it began")]
    StoppedBefore,
    /// The board went away before the record began: there is nothing to keep.
    #[error("the board was lost before the trial began")]
    LostBefore(#[source] BoardLost),
    /// The board would not start.
    #[error("the board did not start")]
    Start(#[from] CommandError),
    /// The record could not be written; what was written is kept and found at the next start.
    #[error("the record could not be written")]
    Journal(#[from] WriteJournalError),
}

/// Records one trial into a journal in `journal_dir`, which is made if need be.
///
/// Blocks until the trial is over: the empty board is zeroed, somebody steps on, stands still and
/// settles, `record_s` seconds are recorded. After a measured trial they step off and the empty board
/// is read once more; whoever stays on for 15 s is not waited for. Stepping off, [`Wish::Stop`] and a lost board end a
/// record early; what was recorded is kept and says why it ends.
///
/// # Errors
/// [`RecordError`]; only a [`RecordError::Journal`] leaves a record behind.
pub fn record(
    session: &BoardSession,
    request: &RecordRequest,
    journal_dir: &Path,
    observer: &mut dyn RecordObserver,
) -> Result<RecordedTrial, RecordError> {
    record_by(session, request, journal_dir, observer, WallTime::now)
}

/// As [`record`], by a wall clock that the caller reads. It is asked once, when the record begins:
/// everything else goes by the board's clock, so that it may jump as it likes.
///
/// # Errors
/// As [`record`].
pub fn record_by(
    session: &BoardSession,
    request: &RecordRequest,
    journal_dir: &Path,
    observer: &mut dyn RecordObserver,
    wall_clock: fn() -> WallTime,
) -> Result<RecordedTrial, RecordError> {
    let flow = TrialFlow::new(FlowPlan {
        calibration: request.calibration.clone(),
        settle_s: request.settle_s,
        record_s: request.record_s,
        body_mass_kg: request.facts.body_mass_kg,
        forbidden: request.forbidden,
    })?;
    let n_frames = request.record_s * f64::from(session.identity().frames_per_s);
    prepare_folder(journal_dir, n_frames)?;
    let events = session.subscribe();
    session.start()?;
    let recording = Recording {
        session,
        request,
        journal_dir,
        flow,
        journal: None,
        n_frames: 0,
        sway: SwayFollower::new(request.facts.body_height_m),
        live: None,
        wall_clock,
    };
    let recorded = recording.run(&events, observer);
    // Nobody listens any more; a board that cannot be stopped is found out by whoever starts it.
    drop(events);
    session.stop().ok();
    recorded
}

/// One trial under way.
struct Recording<'a> {
    session: &'a BoardSession,
    request: &'a RecordRequest,
    journal_dir: &'a Path,
    flow: TrialFlow,
    journal: Option<JournalThread>,
    n_frames: u64,
    sway: SwayFollower,
    live: Option<LiveView>,
    wall_clock: fn() -> WallTime,
}

/// What an event made of the trial.
enum After {
    GoOn,
    End(Ending),
}

impl Recording<'_> {
    fn run(
        mut self,
        events: &Receiver<BoardEvent>,
        observer: &mut dyn RecordObserver,
    ) -> Result<RecordedTrial, RecordError> {
        let mut told: Option<(Instant, Stage)> = None;
        loop {
            if let After::End(ending) = self.wait_and_take(events, observer)? {
                return self.finish(ending, events, observer);
            }
            let stage = self.flow.stage();
            let same_stage =
                |before: Stage| std::mem::discriminant(&before) == std::mem::discriminant(&stage);
            let due = told
                .is_none_or(|(when, before)| TELL_EVERY <= when.elapsed() || !same_stage(before));
            if due {
                told = Some((Instant::now(), stage));
                match observer.progress(&self.progress()) {
                    Wish::GoOn => {}
                    Wish::SamePerson => self.flow.confirm_person(),
                    Wish::OtherPerson => self.flow.deny_person()?,
                    Wish::StopByRule => {
                        return self.finish(Ending::StoppedByRule, events, observer);
                    }
                    Wish::Stop => return self.finish(Ending::Stopped, events, observer),
                }
            }
        }
    }

    fn wait_and_take(
        &mut self,
        events: &Receiver<BoardEvent>,
        observer: &mut dyn RecordObserver,
    ) -> Result<After, RecordError> {
        match events.recv_timeout(TELL_EVERY) {
            Ok(BoardEvent::Frame(frame)) => self.take_frame(&frame, observer),
            Ok(BoardEvent::Damaged) => self.with_journal(JournalThread::note_damaged),
            Ok(BoardEvent::Repeated) => self.with_journal(JournalThread::note_repeated),
            Ok(BoardEvent::Lost(lost)) => self.lose(lost),
            Err(RecvTimeoutError::Timeout) => self.with_journal(JournalThread::hand_over),
            Err(RecvTimeoutError::Disconnected) => {
                let port = self.session.port().to_owned();
                self.lose(self.session.lost().unwrap_or(BoardLost::Closed { port }))
            }
        }
    }

    /// Does something with the journal, if the record has begun.
    fn with_journal(
        &mut self,
        change: impl FnOnce(&mut JournalThread) -> Result<(), WriteJournalError>,
    ) -> Result<After, RecordError> {
        if let Some(journal) = &mut self.journal {
            change(journal)?;
        }
        Ok(After::GoOn)
    }

    fn take_frame(
        &mut self,
        frame: &BoardFrame,
        observer: &mut dyn RecordObserver,
    ) -> Result<After, RecordError> {
        let step = self.flow.push(frame)?;
        self.show(frame, observer);
        match step {
            Step::Watch => return Ok(After::GoOn),
            Step::Begin(beginning) => {
                self.journal = Some(JournalThread::begin(self.journal_dir, self.head(beginning))?);
            }
            Step::Record => {}
            Step::End(ending) => return Ok(After::End(ending)),
        }
        self.n_frames += 1;
        self.with_journal(|journal| journal.push(*frame))
    }

    fn show(&mut self, frame: &BoardFrame, observer: &mut dyn RecordObserver) {
        let Some(zero) = self.flow.zero() else { return };
        let forces = forces_from_counts(frame.counts, &zero, &self.request.calibration);
        let cop = cop_from_forces(forces, &self.request.calibration.corners);
        let live = LiveView {
            time_us: frame.time_us,
            load_newtons: forces.iter().sum(),
            cop,
            sway: self.sway.push(frame.time_us, cop),
        };
        observer.live(&live);
        self.live = Some(live);
    }

    fn progress(&self) -> Progress {
        Progress {
            stage: self.flow.stage(),
            elapsed_s: self.flow.stage_elapsed_s(),
            asked_s: self.flow.stage_asked_s(),
            live: self.live,
        }
    }

    fn head(&self, beginning: Beginning) -> JournalHead {
        let identity = self.session.identity();
        let mut facts = self.request.facts.clone();
        facts.started = (self.wall_clock)();
        facts.settled_s = beginning.settled_s;
        facts.asked_s = self.request.record_s;
        facts.setup.board.clone_from(&identity.board_id);
        JournalHead {
            facts,
            board: BoardFacts {
                board_id: identity.board_id,
                firmware: identity.firmware,
                frames_per_s: f64::from(identity.frames_per_s),
                temperature_c: Some(identity.temperature_c),
                calibration: self.request.calibration.clone(),
                zero: beginning.zero,
            },
        }
    }

    /// Waits for the person to step off and reads the empty board; `None` if they stay, the board
    /// is lost, or somebody wishes to stop. Whatever happens, the record is whole already.
    fn read_zero_after(
        &self,
        before: Zero,
        events: &Receiver<BoardEvent>,
        observer: &mut dyn RecordObserver,
    ) -> Option<Zero> {
        let mut after: Option<ZeroAfter> = None;
        let mut told = Instant::now();
        loop {
            match events.recv_timeout(TELL_EVERY) {
                Ok(BoardEvent::Frame(frame)) => {
                    let after = after.get_or_insert_with(|| ZeroAfter::new(before, frame.time_us));
                    match after.push(&frame, &self.request.calibration) {
                        Afterwards::Waiting => {}
                        Afterwards::Zero(zero) => return Some(zero),
                        Afterwards::None => return None,
                    }
                }
                Ok(BoardEvent::Damaged | BoardEvent::Repeated) | Err(RecvTimeoutError::Timeout) => {
                }
                Ok(BoardEvent::Lost(_)) | Err(RecvTimeoutError::Disconnected) => return None,
            }
            if TELL_EVERY <= told.elapsed() {
                told = Instant::now();
                if observer.progress(&self.progress()) == Wish::Stop {
                    return None;
                }
            }
        }
    }

    fn lose(&self, lost: BoardLost) -> Result<After, RecordError> {
        if self.journal.is_some() {
            Ok(After::End(Ending::BoardLost))
        } else {
            Err(RecordError::LostBefore(lost))
        }
    }

    fn finish(
        mut self,
        ended: Ending,
        events: &Receiver<BoardEvent>,
        observer: &mut dyn RecordObserver,
    ) -> Result<RecordedTrial, RecordError> {
        let zero = self.flow.zero();
        let Some(journal) = self.journal.take() else {
            return Err(RecordError::StoppedBefore);
        };
        self.flow.end(ended);
        // Told before anything is waited for.
        let wish = observer.progress(&self.progress());
        let measured = self.request.facts.kind == TrialKind::Measured;
        let over = matches!(ended, Ending::HoldReached | Ending::StepOff);
        let zero_after = match zero {
            Some(zero) if measured && over && wish != Wish::Stop => {
                self.read_zero_after(zero, events, observer)
            }
            _ => None,
        };
        let journal = journal.end(JournalEnd { ended, zero_after })?;
        Ok(RecordedTrial { journal, ended, n_frames: self.n_frames })
    }
}
