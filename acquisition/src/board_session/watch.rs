//! Notices a reader that does not come back from the system: some ports block for ever when the
//! board is pulled, whatever time limit the read was given.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, RecvTimeoutError};

use super::reader::SILENCE_LIMIT;
use super::{BoardEvent, BoardLost, Shared};

/// How often the watch looks.
const LOOK_EVERY: Duration = Duration::from_millis(50);

/// A watch that looks this much too late did not look because the computer stood still: it slept, or
/// the program was stopped. What came meanwhile waits to be read, so the board gets its time anew.
const STOOD_STILL: Duration = Duration::from_millis(450);

/// When a thread was last seen between two calls to the system.
#[derive(Debug)]
pub(super) struct Heartbeat {
    begun: Instant,
    last_ms: AtomicU64,
}

impl Heartbeat {
    pub(super) fn begin() -> Self {
        Self { begun: Instant::now(), last_ms: AtomicU64::new(0) }
    }

    pub(super) fn beat(&self) {
        let now_ms = u64::try_from(self.begun.elapsed().as_millis()).unwrap_or(u64::MAX);
        self.last_ms.store(now_ms, Ordering::Relaxed);
    }

    pub(super) fn silent(&self) -> Duration {
        let last = Duration::from_millis(self.last_ms.load(Ordering::Relaxed));
        self.begun.elapsed().saturating_sub(last)
    }
}

/// Watches one reader until it ends.
pub(super) struct Watch {
    port: String,
    ended: Receiver<()>,
    shared: Arc<Shared>,
}

impl Watch {
    pub(super) fn new(port: String, ended: Receiver<()>, shared: Arc<Shared>) -> Self {
        Self { port, ended, shared }
    }

    /// Looks until the reader has ended or hangs.
    pub(super) fn run(self) {
        loop {
            self.shared.watching.beat();
            if self.ended.recv_timeout(LOOK_EVERY) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            let silent = silent_while_awake(&self.shared, self.shared.heartbeat.silent());
            if SILENCE_LIMIT <= silent {
                return self.give_up(silent);
            }
        }
    }

    /// The board counts as gone, and whatever the reader still brings is not for anybody.
    fn give_up(&self, silent: Duration) {
        let lost = BoardLost::Silent { port: self.port.clone(), silent };
        if self.shared.lose(&lost) {
            self.shared.closing.store(true, Ordering::Relaxed);
            if let Some(listener) = self.shared.listener().take() {
                // A listener whose channel is full finds it closed behind its last event.
                listener.try_send(BoardEvent::Lost(lost)).ok();
            }
        }
    }
}

/// How much of `silent` passed while the computer was running.
pub(super) fn silent_while_awake(shared: &Shared, silent: Duration) -> Duration {
    if STOOD_STILL <= shared.watching.silent() {
        shared.resumed.beat();
    }
    silent.min(shared.resumed.silent())
}
