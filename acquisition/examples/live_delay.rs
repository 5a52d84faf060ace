//! Measures how long a frame takes from the port to the published live numbers, at 1000 frames a
//! second, while the trial is recorded; and what that costs of one core.
//!
//! `cargo run --release -p acquisition --example live_delay`, with the port in this process; with
//! `-- terminal` behind it the frames go through a pseudo-terminal and the real serial code. A USB
//! adapter's own waiting is in neither.

#[path = "../tests/paced_board/mod.rs"]
mod paced_board;
#[path = "../tests/paced_board/request.rs"]
mod request;

use std::error::Error;
use std::fs::{File, OpenOptions};
use std::io::{self, Read as _, Write};
use std::sync::mpsc::sync_channel;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use acquisition::{
    BoardSession, LatestValue, LiveView, Progress, RecordObserver, SerialTransport, Transport,
    Wish, record,
};
use paced_board::{INTERVAL_US, PacedBoard, STEP_ON_FRAME, frame_bytes};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, tcgetattr, tcsetattr};

/// The product's limit, for 99 frames in 100.
const LIMIT: Duration = Duration::from_millis(5);

/// The first second after the frames that came at once is not measured.
const SETTLED_FRAMES: u32 = 1_000;

/// Length of the record.
const RECORD_S: f64 = 20.0;

/// When each frame was at the port, by its number.
type DueAt = Arc<Mutex<Vec<Instant>>>;

/// A board in this process. Up to when somebody has stepped on, its frames come at once.
struct PacedPort {
    board: PacedBoard,
    n_sent: u32,
    /// When the frames began to come one by one.
    paced_since: Option<Instant>,
    due_at: DueAt,
}

impl PacedPort {
    fn is_due(&self) -> bool {
        let paced = self.paced_since.zip(self.n_sent.checked_sub(STEP_ON_FRAME));
        match paced {
            Some((since, n_paced)) => due(since, n_paced) <= Instant::now(),
            None => self.n_sent < STEP_ON_FRAME,
        }
    }
}

/// When a paced frame is at the port.
fn due(since: Instant, n_paced: u32) -> Instant {
    since + Duration::from_micros(u64::from(n_paced * INTERVAL_US))
}

impl Transport for PacedPort {
    fn port(&self) -> &'static str {
        "paced"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if let Some(n_bytes) = self.board.read_before_frames(buffer, timeout) {
            return Ok(n_bytes);
        }
        if let Some(n_paced) = self.n_sent.checked_sub(STEP_ON_FRAME) {
            let since = *self.paced_since.get_or_insert_with(Instant::now);
            thread::sleep(due(since, n_paced).saturating_duration_since(Instant::now()));
        }
        // Every frame that is due by now, as a port holds them until they are read.
        let mut n_bytes = 0;
        while self.is_due() {
            let bytes = frame_bytes(self.n_sent);
            let Some(room) = buffer.get_mut(n_bytes..n_bytes + bytes.len()) else { break };
            room.copy_from_slice(&bytes);
            n_bytes += bytes.len();
            self.n_sent += 1;
            let at = self.paced_since.zip(self.n_sent.checked_sub(STEP_ON_FRAME + 1));
            let at = at.map_or_else(Instant::now, |(since, n_paced)| due(since, n_paced));
            self.due_at.lock().unwrap_or_else(PoisonError::into_inner).push(at);
        }
        Ok(n_bytes)
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.board.take(bytes);
        Ok(())
    }
}

/// Publishes as a screen or a sound would be fed, and keeps the delays.
struct Publisher {
    latest: LatestValue<LiveView>,
    due_at: DueAt,
    delays: Vec<Duration>,
}

impl RecordObserver for Publisher {
    fn progress(&mut self, _: &Progress) -> Wish {
        Wish::GoOn
    }

    fn live(&mut self, live: &LiveView) {
        self.latest.publish(*live);
        let published = Instant::now();
        let number = live.time_us / u64::from(INTERVAL_US);
        if u64::from(STEP_ON_FRAME + SETTLED_FRAMES) < number {
            let due_at = self.due_at.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(at) = usize::try_from(number).ok().and_then(|number| due_at.get(number)) {
                self.delays.push(published.saturating_duration_since(*at));
            }
        }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let due_at = DueAt::default();
    let port = PacedPort {
        board: PacedBoard::default(),
        n_sent: 0,
        paced_since: None,
        due_at: Arc::clone(&due_at),
    };
    let latest = LatestValue::new();
    let mut publisher = Publisher { latest: latest.clone(), due_at, delays: Vec::new() };
    let folder = tempfile::tempdir()?;
    let through_terminal = std::env::args().nth(1).as_deref() == Some("terminal");
    let port: Box<dyn Transport> =
        if through_terminal { behind_a_terminal(port)? } else { Box::new(port) };
    let session = BoardSession::over(port)?;
    let mut request = request::request();
    request.record_s = RECORD_S;
    let (begun, cpu_before) = (Instant::now(), cpu_time());
    let recorded = record(&session, &request, folder.path(), &mut publisher)?;
    let share = cpu_time().saturating_sub(cpu_before).as_secs_f64() / begun.elapsed().as_secs_f64();
    publisher.delays.sort_unstable();
    let at = |share: usize| publisher.delays[publisher.delays.len() * share / 1000];
    let (median, p99, worst) = (at(500), at(990), at(999));
    let sway = latest.latest().and_then(|live| live.sway);
    writeln!(
        io::stdout(),
        "{} frames recorded; frame to published numbers: median {median:?}, 99 % {p99:?}, \
         99.9 % {worst:?}; {:.2} % of one core; last sway {sway:?}",
        recorded.n_frames,
        100.0 * share,
    )?;
    if LIMIT < p99 { Err(format!("99 % must be within {LIMIT:?}").into()) } else { Ok(()) }
}

/// The board at the far end of a pseudo-terminal, and the serial port at this end.
fn behind_a_terminal(mut port: PacedPort) -> Result<Box<dyn Transport>, Box<dyn Error>> {
    let board = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC)?;
    grantpt(&board)?;
    unlockpt(&board)?;
    let path = ptsname(&board, Vec::new())?.into_string()?;
    let host_end = OpenOptions::new().read(true).write(true).open(&path)?;
    // It starts as a terminal for typing, which would echo the board's bytes back to it.
    let mut mode = tcgetattr(&host_end)?;
    mode.make_raw();
    tcsetattr(&host_end, OptionalActions::Now, &mode)?;
    let serial = SerialTransport::open(&path)?;
    let (mut sends, mut hears) = (File::from(board.try_clone()?), File::from(board));
    let (heard, commands) = sync_channel::<Vec<u8>>(16);
    thread::spawn(move || {
        let mut buffer = [0; 256];
        while let Ok(n_bytes) = hears.read(&mut buffer) {
            if heard.send(buffer[..n_bytes].to_vec()).is_err() {
                return;
            }
        }
    });
    thread::spawn(move || -> io::Result<()> {
        // Held, so that the terminal is there until the process ends.
        let _held = host_end;
        let mut buffer = [0; 4096];
        loop {
            while let Ok(bytes) = commands.try_recv() {
                port.write_all(&bytes)?;
            }
            let n_bytes = port.read(&mut buffer, Duration::from_millis(1))?;
            sends.write_all(&buffer[..n_bytes])?;
        }
    });
    Ok(Box::new(serial))
}

/// Time all threads of this process have had a processor, those that have ended included, as Linux
/// counts it in hundredths of a second; 0 elsewhere.
fn cpu_time() -> Duration {
    let counted = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // After the name, which may hold anything but ends with the last parenthesis: proc_pid_stat(5).
    let fields = counted.rsplit(')').next().unwrap_or_default().split_whitespace();
    let hundredths: u64 =
        fields.skip(11).take(2).filter_map(|ticks| ticks.parse::<u64>().ok()).sum();
    Duration::from_millis(10 * hundredths)
}
