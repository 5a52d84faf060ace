//! The paced board behind a transport, in the process that records.

use std::io;
use std::thread;
use std::time::{Duration, Instant};

use acquisition::Transport;

use crate::paced_board::{INTERVAL_US, PacedBoard, STEP_ON_FRAME, frame_bytes};

/// Somebody must stand still for two seconds before a record begins; up to then frames come at once.
pub(crate) const RECORD_FRAME: u32 = STEP_ON_FRAME + 2_000;

/// Sends 1000 frames a second from [`RECORD_FRAME`] on.
#[derive(Default)]
pub(crate) struct PacedPort {
    board: PacedBoard,
    n_sent: u32,
    paced_since: Option<Instant>,
}

impl PacedPort {
    fn wait_until_due(&mut self) {
        if let Some(n_paced) = self.n_sent.checked_sub(RECORD_FRAME) {
            let since = *self.paced_since.get_or_insert_with(Instant::now);
            let due = since + Duration::from_micros(u64::from(n_paced * INTERVAL_US));
            // The board's own clock, not a wait for anything.
            thread::sleep(due.saturating_duration_since(Instant::now()));
        }
    }
}

impl Transport for PacedPort {
    fn port(&self) -> &'static str {
        "paced"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if let Some(n_bytes) = self.board.read_before_frames(buffer, timeout) {
            return Ok(n_bytes);
        }
        self.wait_until_due();
        let mut n_bytes = 0;
        loop {
            let bytes = frame_bytes(self.n_sent);
            let Some(room) = buffer.get_mut(n_bytes..n_bytes + bytes.len()) else { break };
            room.copy_from_slice(&bytes);
            n_bytes += bytes.len();
            self.n_sent += 1;
            if RECORD_FRAME <= self.n_sent {
                break;
            }
        }
        Ok(n_bytes)
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.board.take(bytes);
        Ok(())
    }
}
