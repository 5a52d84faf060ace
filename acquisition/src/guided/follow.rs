//! Guided readings from a board.

use std::time::{Duration, Instant};

use crossbeam_channel::RecvTimeoutError;
use thiserror::Error;

use super::events::{GuidedEvent, Request, Stuck};
use super::readings::GuidedReadings;
use crate::board_session::{BoardEvent, BoardLost, BoardSession, CommandError};
use crate::recorder::Wish;

/// How often whoever watches is told, at most.
const TELL_EVERY: Duration = Duration::from_millis(100);

/// Readings that were not brought to an end.
#[derive(Debug, Error)]
pub enum GuidedError {
    /// The board would not start.
    #[error("the board did not start")]
    Start(#[from] CommandError),
    /// The board went away.
    #[error("the board was lost")]
    Lost(#[from] BoardLost),
    /// What was asked for did not happen.
    #[error(transparent)]
    Stuck(#[from] Stuck),
    /// Somebody stopped it.
    #[error("it was stopped")]
    Stopped,
}

/// Feeds `readings` with the frames of a board until they are finished.
///
/// `watch` hears every event and, some ten times a second, that time goes on; it answers at once.
///
/// # Errors
/// [`GuidedError`].
pub fn follow(
    session: &BoardSession,
    readings: &mut GuidedReadings,
    watch: &mut dyn FnMut(&GuidedReadings, Option<&GuidedEvent>) -> Wish,
) -> Result<(), GuidedError> {
    let events = session.subscribe();
    session.start()?;
    let begun = Instant::now();
    let mut told = begun;
    let outcome = loop {
        let happened = match events.recv_timeout(TELL_EVERY) {
            Ok(BoardEvent::Frame(frame)) => match readings.push(&frame, steady_us(begun)) {
                Ok(happened) => happened,
                Err(stuck) => break Err(stuck.into()),
            },
            Ok(BoardEvent::Damaged | BoardEvent::Repeated) | Err(RecvTimeoutError::Timeout) => None,
            Ok(BoardEvent::Lost(lost)) => break Err(lost.into()),
            Err(RecvTimeoutError::Disconnected) => {
                let port = session.port().to_owned();
                break Err(session.lost().unwrap_or(BoardLost::Closed { port }).into());
            }
        };
        if happened.is_some() || TELL_EVERY <= told.elapsed() {
            told = Instant::now();
            if watch(readings, happened.as_ref()) == Wish::Stop {
                break Err(GuidedError::Stopped);
            }
        }
        if readings.request() == Request::Done {
            break Ok(());
        }
    };
    drop(events);
    // The board is let go in any case; one that cannot be stopped is found out by whoever starts it.
    session.stop().ok();
    outcome
}

/// Microseconds since `begun`.
fn steady_us(begun: Instant) -> u64 {
    u64::try_from(begun.elapsed().as_micros()).unwrap_or(u64::MAX)
}
