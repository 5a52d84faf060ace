//! A day of board time at 1000 frames a second through the real link, as fast as it goes: counts what
//! is lost, and prints the memory this process holds, hour by hour.
//!
//! `cargo run --release -p acquisition --example a_day_of_frames [HOURS]`

#[path = "../tests/paced_board/mod.rs"]
mod paced_board;

use std::error::Error;
use std::io::{self, Write};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use acquisition::{BoardEvent, BoardSession, Transport};
use paced_board::{INTERVAL_US, PacedBoard, counts, frame_bytes};

const FRAMES_AN_HOUR: u64 = 3_600_000;

/// Memory may grow by this much after the first hour, in kilobytes: what an allocator keeps, less
/// than a thousandth of the bytes that passed.
const MOST_GROWTH_KB: u64 = 2_048;

/// A board in this process whose frames are always due: every read is filled.
struct EagerPort {
    board: PacedBoard,
    bytes: Vec<u8>,
    started: bool,
    next: u64,
    end: u64,
}

impl Transport for EagerPort {
    fn port(&self) -> &'static str {
        "eager"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        while self.started && self.bytes.len() < buffer.len() && self.next < self.end {
            // Number and time wrap at 32 bits, as the board's do.
            #[expect(clippy::cast_possible_truncation, reason = "the board's counters wrap")]
            self.bytes.extend(frame_bytes(self.next as u32));
            self.next += 1;
        }
        if self.bytes.is_empty() {
            thread::sleep(timeout);
        }
        let n_bytes = self.bytes.len().min(buffer.len());
        buffer[..n_bytes].copy_from_slice(&self.bytes[..n_bytes]);
        self.bytes.drain(..n_bytes);
        Ok(n_bytes)
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let (answers, started) = self.board.answer(bytes);
        self.bytes.extend(answers);
        self.started |= started;
        Ok(())
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let hours: u64 = env::args().nth(1).map_or(Ok(24), |hours| hours.parse())?;
    let end = hours * FRAMES_AN_HOUR;
    let port =
        EagerPort { board: PacedBoard::default(), bytes: Vec::new(), started: false, next: 0, end };
    let session = BoardSession::over(Box::new(port))?;
    let events = session.subscribe();
    session.start()?;
    let (begun, mut n_wrong, mut n_other) = (Instant::now(), 0_u64, 0_u64);
    let (mut next, mut settled_kb, mut last_kb) = (0, None, 0);
    while next < end {
        match events.recv_timeout(Duration::from_secs(10))? {
            BoardEvent::Frame(frame) => {
                let as_sent = frame.sequence == next
                    && frame.time_us == next * u64::from(INTERVAL_US)
                    && u32::try_from(next).is_ok_and(|number| frame.counts == counts(number));
                n_wrong += u64::from(!as_sent);
                next = frame.sequence + 1;
            }
            BoardEvent::Damaged | BoardEvent::Repeated => n_other += 1,
            BoardEvent::Lost(lost) => return Err(lost.into()),
        }
        if next % FRAMES_AN_HOUR == 0 {
            last_kb = resident_kb();
            settled_kb.get_or_insert(last_kb);
            writeln!(
                io::stdout(),
                "{:>3} h: {next} frames, {n_wrong} lost or changed, {n_other} damaged or repeated, \
                 {last_kb} kB resident, {:.0} s",
                next / FRAMES_AN_HOUR,
                begun.elapsed().as_secs_f64()
            )?;
        }
    }
    drop(session);
    let growth_kb = last_kb.saturating_sub(settled_kb.unwrap_or(last_kb));
    if n_wrong + n_other > 0 || MOST_GROWTH_KB < growth_kb {
        return Err(format!("not every frame arrived, or memory grew by {growth_kb} kB").into());
    }
    Ok(())
}

/// Memory of this process, in kilobytes, as Linux tells it; 0 elsewhere.
fn resident_kb() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let digits = line.and_then(|line| line.split_whitespace().next());
    digits.and_then(|digits| digits.parse().ok()).unwrap_or(0)
}
