//! What the board does, on a thread of its own, so that the window never waits for it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};

use acquisition::home::{self, Stand, StandOutcome};
use acquisition::keys::BoardId;
use acquisition::library::Library;
use acquisition::records::{Records, SessionRecord};
use acquisition::{BoardSession, LatestValue, Progress, Wish};
use analysis::PersonCode;

use super::watch::Watch;
use crate::command_line::{BoardChoice, Problem};
use crate::standing::Reference;
use crate::standing::cues::Cues;
use crate::strings::{Language, Message};

/// What the board is asked to do.
pub(crate) enum Work {
    /// Read the empty board.
    Check {
        /// Who practises.
        person: PersonCode,
    },
    /// One stand.
    Stand {
        /// How far the weight may go from the session's reference, in millimetres.
        tolerance_mm: f64,
        /// The session it belongs to.
        session: Box<SessionRecord>,
        /// What is stood.
        asked: Stand,
        /// Its cues.
        sound: Box<Cues>,
    },
}

/// What came of it.
pub(crate) enum Worked {
    /// The empty board is alive.
    Ready,
    /// A stand is over.
    Stood(StandOutcome),
}

/// The board, for the next time, and what came of the work: done, or why not.
pub(crate) type Finished = (Option<BoardSession>, Result<Worked, Option<Message>>);

/// Work under way. Dropped, it ends as if it was stopped, and what was recorded is kept first.
pub(crate) struct BoardWork {
    /// Until it is finished.
    thread: Option<JoinHandle<Finished>>,
    told: Told,
}

/// What the work tells the window, and the window the work.
#[derive(Clone, Default)]
struct Told {
    progress: LatestValue<Progress>,
    reference: LatestValue<Reference>,
    stop: Arc<AtomicBool>,
}

impl Told {
    fn tell(&self, at: &Progress) -> Wish {
        self.progress.publish(*at);
        if self.stop.load(Ordering::Relaxed) { Wish::Stop } else { Wish::GoOn }
    }
}

impl BoardWork {
    /// Begins; `board` is used if it is still there, and looked for by `choice` otherwise.
    pub(crate) fn begin(
        board: Option<BoardSession>,
        choice: Arc<BoardChoice>,
        library: Library,
        expected: BoardId,
        work: Work,
        words: &'static Language,
        repaint: impl Fn() + Send + 'static,
    ) -> Self {
        Self::begin_with(move |told| {
            let mut board = board.filter(|board| board.lost().is_none());
            let tell = |at: &Progress| {
                let wish = told.tell(at);
                repaint();
                wish
            };
            let reference = told.reference.clone();
            let worked = do_work(&mut board, &choice, &library, &expected, work, (tell, reference));
            repaint();
            // A problem may hold a window's error, which stays on its thread: its words leave it.
            (board, worked.map_err(|problem| (words.practice.trouble)(&problem)))
        })
    }

    fn begin_with(work: impl FnOnce(&Told) -> Finished + Send + 'static) -> Self {
        let told = Told::default();
        let for_work = told.clone();
        let thread = Some(thread::spawn(move || work(&for_work)));
        Self { thread, told }
    }

    /// The newest the board told.
    pub(crate) fn progress(&self) -> Option<Progress> {
        self.told.progress.latest()
    }

    /// Where the weight is to be in this stand, if that is known.
    pub(crate) fn reference(&self) -> Option<Reference> {
        self.told.reference.latest()
    }

    /// The person wants it to end; what is recorded is kept.
    pub(crate) fn stop(&self) {
        self.told.stop.store(true, Ordering::Relaxed);
    }

    pub(crate) fn is_over(&self) -> bool {
        self.thread.as_ref().is_none_or(JoinHandle::is_finished)
    }

    /// What came of it, with the board for the next time. Waits if it is not over.
    pub(crate) fn finish(mut self) -> Finished {
        // A panic has printed its own message.
        let done = self.thread.take().and_then(|thread| thread.join().ok());
        done.unwrap_or((None, Err(None)))
    }
}

impl Drop for BoardWork {
    fn drop(&mut self) {
        self.stop();
        drop(self.thread.take().map(JoinHandle::join));
    }
}

fn do_work(
    board: &mut Option<BoardSession>,
    choice: &BoardChoice,
    library: &Library,
    expected: &BoardId,
    work: Work,
    (mut tell, reference): (impl FnMut(&Progress) -> Wish, LatestValue<Reference>),
) -> Result<Worked, Problem> {
    let connected = match board.take() {
        Some(known) => known,
        None => choice.connect()?,
    };
    let board = board.insert(connected);
    let mut records = Records::open(library)?;
    match work {
        Work::Check { person } => {
            home::check_board(board, &records, expected, &person, &mut |at| {
                tell(at);
            })?;
            Ok(Worked::Ready)
        }
        Work::Stand { tolerance_mm, session, asked, sound } => {
            let mut watch = Watch { tell, reference, tolerance_mm, sound };
            let outcome = home::stand(board, &mut records, expected, &session, &asked, &mut watch)?;
            Ok(Worked::Stood(outcome))
        }
    }
}

#[cfg(test)]
mod tests {
    use acquisition::Stage;

    use super::*;

    #[test]
    fn a_stand_that_nobody_waits_for_is_stopped_and_kept_first() {
        let kept = Arc::new(AtomicBool::new(false));
        let keeps = Arc::clone(&kept);
        let work = BoardWork::begin_with(move |told| {
            let at = Progress {
                stage: Stage::Recording,
                elapsed_s: 1.0,
                asked_s: Some(35.0),
                live: None,
            };
            while told.tell(&at) != Wish::Stop {
                thread::yield_now();
            }
            keeps.store(true, Ordering::Relaxed);
            (None, Err(None))
        });
        drop(work);
        assert!(kept.load(Ordering::Relaxed));
    }
}
