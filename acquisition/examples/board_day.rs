//! A day of board time at 1000 frames a second through the real link code, as fast as it goes.
//!
//! The board is in this process and encodes each frame as firmware does; decoding, ordering and
//! handing over are the program's own. Frames lost and memory in use are printed for each hour.
//!
//! `cargo run --release -p acquisition --example board_day -- [HOURS]`

#[path = "../tests/paced_board/mod.rs"]
mod paced_board;

use std::env;
use std::error::Error;
use std::io::{self, Write as _};
use std::time::{Duration, Instant};

use acquisition::{BoardEvent, BoardSession, Transport};
use paced_board::{PacedBoard, frame_bytes};

const HOURS: u64 = 24;
const FRAMES_AN_HOUR: u64 = 3_600_000;

/// Memory may not grow by more than this from the first hour to the last, in kilobytes.
const MOST_GROWTH_KB: u64 = 4_096;

/// A board that has the next frames ready whenever it is asked.
#[derive(Default)]
struct TirelessPort {
    board: PacedBoard,
    n_sent: u32,
    /// What of the last frame did not fit.
    left: Vec<u8>,
}

impl Transport for TirelessPort {
    fn port(&self) -> &'static str {
        "tireless"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if let Some(n_bytes) = self.board.read_before_frames(buffer, timeout) {
            return Ok(n_bytes);
        }
        let mut n_bytes = 0;
        while n_bytes < buffer.len() {
            if self.left.is_empty() {
                self.left = frame_bytes(self.n_sent);
                self.n_sent += 1;
            }
            let n_here = self.left.len().min(buffer.len() - n_bytes);
            buffer[n_bytes..n_bytes + n_here].copy_from_slice(&self.left[..n_here]);
            self.left.drain(..n_here);
            n_bytes += n_here;
        }
        Ok(n_bytes)
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.board.take(bytes);
        Ok(())
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let hours = env::args().nth(1).map_or(Ok(HOURS), |text| text.parse())?;
    let session = BoardSession::over(Box::new(TirelessPort::default()))?;
    let events = session.subscribe();
    session.start()?;
    let begun = Instant::now();
    let mut stdout = io::stdout();
    let (mut n_frames, mut n_lost, mut n_spoilt) = (0_u64, 0, 0_u64);
    let mut last: Option<(u64, u64)> = None;
    let mut resident = Vec::new();
    while n_frames < hours * FRAMES_AN_HOUR {
        match events.recv_timeout(Duration::from_secs(10))? {
            BoardEvent::Frame(frame) => {
                let (sequence, time_us) = last.unwrap_or((frame.sequence, frame.time_us));
                let n_steps = frame.sequence - sequence;
                n_lost += n_steps.saturating_sub(1);
                // 1000 a second by the board's clock, over its wraps after every 71.6 minutes.
                if frame.time_us - time_us != n_steps * 1_000 {
                    n_spoilt += 1;
                }
                last = Some((frame.sequence, frame.time_us));
                n_frames += 1;
                if n_frames % FRAMES_AN_HOUR == 0 {
                    resident.push(resident_kb());
                    writeln!(
                        stdout,
                        "hour {:>2}: {n_frames} frames, {n_lost} lost, {n_spoilt} damaged or out of \
                         place, {} kB resident, {:.0?}",
                        n_frames / FRAMES_AN_HOUR,
                        resident_kb(),
                        begun.elapsed(),
                    )?;
                }
            }
            BoardEvent::Damaged | BoardEvent::Repeated => n_spoilt += 1,
            BoardEvent::Lost(lost) => return Err(lost.into()),
        }
    }
    let grown_kb = resident.last().zip(resident.first()).map_or(0, |(l, f)| l.saturating_sub(*f));
    writeln!(
        stdout,
        "{n_frames} frames, {n_lost} lost, {n_spoilt} damaged or out of place, memory grew by \
         {grown_kb} kB after the first hour"
    )?;
    if n_lost + n_spoilt == 0 && grown_kb <= MOST_GROWTH_KB {
        Ok(())
    } else {
        Err("not as promised".into())
    }
}

/// Memory of this process that is in use, as Linux tells it; 0 elsewhere.
fn resident_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.and_then(|line| line.split_whitespace().next()?.parse().ok()).unwrap_or(0)
}
