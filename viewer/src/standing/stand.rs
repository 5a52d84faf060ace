//! The thread that records one stand, and what is known of it meanwhile.

use std::io;
use std::sync::mpsc::{Receiver, SyncSender, TryRecvError, sync_channel};
use std::thread::{self, JoinHandle};

use acquisition::records::{Records, TrialRecord};
use acquisition::results::MeasuredFile;
use acquisition::trial_file::TrialReader;
use acquisition::{
    BoardPlaces, BoardSession, Ending, LatestValue, LiveView, Progress, RecordError,
    RecordObserver, SleepHold, Wish, find_board, journal, record,
};
use analysis::Analyser;

use crate::sound::LiveFeed;
use crate::standing::cues::{Cues, Reference};
use crate::standing::problem::StandError;
use crate::standing::request::{StandBoard, StandRequest};
use crate::standing::simulated::{RunningBoard, SimulatedStand};

/// How much longer than asked for a virtual person stays: they have to stand still first.
const SPARE_S: f64 = 8.0;

/// Where a stand is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StandNow {
    /// The board is being looked for.
    Connecting,
    /// The recorder has it: what the person should do, for how long, and the newest live numbers.
    Recording(Progress),
    /// It is recorded, and being sealed, measured and brought into the records.
    Keeping,
}

/// A stand that is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptStand {
    /// Its trial file with everything measured in it.
    pub file: MeasuredFile,
    /// Why the record ends.
    pub ended: Ending,
    /// How many frames it holds.
    pub n_frames: u64,
}

type Outcome = Result<KeptStand, StandError>;

/// One stand in the background.
#[derive(Debug)]
pub struct Stand {
    now: LatestValue<StandNow>,
    wish: LatestValue<Wish>,
    reference: LatestValue<Reference>,
    outcome: Receiver<Outcome>,
    thread: Option<JoinHandle<()>>,
}

impl Stand {
    /// Begins at once. `wake` is called by the thread whenever there is something to show, about 30
    /// times a second, and once more at the end; `sound` is told what a trial of this kind may say.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub fn begin(
        request: StandRequest,
        sound: Option<&LiveFeed>,
        wake: impl Fn() + Send + 'static,
    ) -> io::Result<Self> {
        let (now, wish, reference) = (LatestValue::new(), LatestValue::new(), LatestValue::new());
        let watcher = Watcher {
            now: now.clone(),
            wish: wish.clone(),
            cues: sound.map(|sound| Cues::begin(sound, request.kind, request.wobble_window_mm)),
            reference: reference.clone(),
            wake: Box::new(wake),
        };
        let (sender, outcome) = sync_channel(1);
        let thread = thread::Builder::new()
            .name("stand".to_owned())
            .spawn(move || work(&request, watcher, &sender))?;
        Ok(Self { now, wish, reference, outcome, thread: Some(thread) })
    }

    /// Where it is now.
    pub fn now(&self) -> StandNow {
        self.now.latest().unwrap_or(StandNow::Connecting)
    }

    /// Where the weight is to be, once it is known that there is a reference.
    pub(crate) fn reference(&self) -> Option<Reference> {
        self.reference.latest()
    }

    /// Says what whoever watches wants; the newest wish counts, and holds until the next.
    ///
    /// [`Wish::Stop`] before the record begins ends with [`RecordError::StoppedBefore`]; later, with
    /// what was recorded until then.
    pub fn wish(&self, wish: Wish) {
        self.wish.publish(wish);
    }

    /// The stand that is kept, or why there is none, once; `None` while it lasts.
    pub fn outcome(&mut self) -> Option<Outcome> {
        match self.outcome.try_recv() {
            Ok(outcome) => Some(self.ended(outcome)),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => {
                self.thread.is_some().then(|| self.ended(Err(StandError::Gone)))
            }
        }
    }

    /// As [`outcome`](Self::outcome), waiting for it; `None` if it was taken already.
    pub fn wait(&mut self) -> Option<Outcome> {
        self.thread.as_ref()?;
        let outcome = self.outcome.recv().unwrap_or(Err(StandError::Gone));
        Some(self.ended(outcome))
    }

    fn ended(&mut self, outcome: Outcome) -> Outcome {
        // A panic of the thread has printed its own message.
        drop(self.thread.take().map(JoinHandle::join));
        outcome
    }
}

/// Stops it and waits until what was recorded is kept.
impl Drop for Stand {
    fn drop(&mut self) {
        self.wish(Wish::Stop);
        drop(self.thread.take().map(JoinHandle::join));
    }
}

/// Whoever watches the recorder for the one who shows.
struct Watcher {
    now: LatestValue<StandNow>,
    wish: LatestValue<Wish>,
    cues: Option<Cues>,
    reference: LatestValue<Reference>,
    wake: Box<dyn Fn() + Send>,
}

impl Watcher {
    fn show(&self, now: StandNow) {
        self.now.publish(now);
        (self.wake)();
    }

    fn is_stopped(&self) -> bool {
        self.wish.latest() == Some(Wish::Stop)
    }
}

impl RecordObserver for Watcher {
    fn progress(&mut self, progress: &Progress) -> Wish {
        if let Some(cues) = &mut self.cues {
            cues.progress(progress);
        }
        self.show(StandNow::Recording(*progress));
        self.wish.latest().unwrap_or(Wish::GoOn)
    }

    fn live(&mut self, live: &LiveView) {
        if let Some(cues) = &self.cues {
            cues.live(live);
        }
    }
}

fn work(request: &StandRequest, mut watcher: Watcher, outcome: &SyncSender<Outcome>) {
    let done = record_and_keep(request, &mut watcher);
    // Whoever asked may have gone; what was recorded is kept all the same.
    outcome.send(done).ok();
    (watcher.wake)();
}

fn record_and_keep(request: &StandRequest, watcher: &mut Watcher) -> Outcome {
    let _awake = SleepHold::begin();
    let mut records = Records::open(&request.library)?;
    let (session, _simulated) = connect(request, &records)?;
    if watcher.is_stopped() {
        return Err(RecordError::StoppedBefore.into());
    }
    let asked = request.to_record(&session, &records)?;
    let reference = request.reference(&asked, &records)?;
    if let Some(cues) = &mut watcher.cues {
        cues.set_reference(reference);
    }
    if let Some(reference) = reference {
        watcher.reference.publish(reference);
    }
    let recorded = record(&session, &asked, &request.library.journals_folder(), watcher)?;
    watcher.show(StandNow::Keeping);
    let sealed = journal::seal(&recorded.journal, &request.library.trials_folder())?;
    let path = sealed.trial_file.ok_or(RecordError::StoppedBefore)?;
    let (trial, file) =
        TrialRecord::measure_with_file(&path, &TrialReader::here(), &mut Analyser::new())
            .map_err(acquisition::records::IndexTrialError::from)?;
    records.put_trials(&[trial]).map_err(acquisition::records::IndexTrialError::from)?;
    Ok(KeptStand { file, ended: recorded.ended, n_frames: recorded.n_frames })
}

/// The board, and the simulator that runs it if it is simulated: dropped after the session.
fn connect(
    request: &StandRequest,
    records: &Records,
) -> Result<(BoardSession, Option<RunningBoard>), StandError> {
    match &request.board {
        StandBoard::Real(BoardPlaces::At(address)) => Ok((BoardSession::connect(address)?, None)),
        StandBoard::Real(places @ (BoardPlaces::System | BoardPlaces::Folder(_))) => {
            Ok((find_board(places)?, None))
        }
        StandBoard::Simulated(board) => {
            let person = records.person(&request.person)?;
            let running = board.start(&SimulatedStand {
                condition: request.condition,
                height_m: person.as_ref().and_then(|person| person.height_m),
                mass_kg: person.as_ref().and_then(|person| person.mass_kg),
                stay_s: Some(request.settle_s + request.record_s + SPARE_S),
            })?;
            Ok((BoardSession::connect(running.address())?, Some(running)))
        }
    }
}
