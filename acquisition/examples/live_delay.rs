//! Measures how long a frame takes from the port to the published live numbers, at 1000 frames a
//! second, while the trial is recorded; and what that costs of one core.
//!
//! `cargo run --release -p acquisition --example live_delay`

#[path = "../tests/paced_board/mod.rs"]
mod paced_board;
#[path = "../tests/paced_board/request.rs"]
mod request;

use std::error::Error;
use std::io::{self, Write};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use acquisition::{
    BoardSession, LatestValue, LiveView, Progress, RecordObserver, Transport, Wish, record,
};
use paced_board::{INTERVAL_US, PacedBoard, STEP_ON_FRAME, frame_bytes};

/// The product's limit, for 99 frames in 100.
const LIMIT: Duration = Duration::from_millis(5);

/// Length of the record.
const RECORD_S: f64 = 20.0;

/// When each frame was handed over, by its number.
type HandedOver = Arc<Mutex<Vec<Instant>>>;

/// A board in this process. Up to when somebody has stepped on, its frames come at once.
struct PacedPort {
    board: PacedBoard,
    answers: Vec<u8>,
    begun: Option<Instant>,
    handed_over: HandedOver,
}

impl Transport for PacedPort {
    fn port(&self) -> &str {
        "paced"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if !self.answers.is_empty() {
            let n_bytes = self.answers.len().min(buffer.len());
            buffer[..n_bytes].copy_from_slice(&self.answers[..n_bytes]);
            self.answers.drain(..n_bytes);
            return Ok(n_bytes);
        }
        let Some(begun) = self.begun else {
            thread::sleep(timeout);
            return Ok(0);
        };
        let mut handed_over = self.handed_over.lock().unwrap_or_else(PoisonError::into_inner);
        let number = u32::try_from(handed_over.len()).map_err(io::Error::other)?;
        if let Some(n_paced) = number.checked_sub(STEP_ON_FRAME) {
            let due = begun + Duration::from_micros(u64::from(n_paced * INTERVAL_US));
            thread::sleep(due.saturating_duration_since(Instant::now()));
        }
        let bytes = frame_bytes(number);
        buffer[..bytes.len()].copy_from_slice(&bytes);
        handed_over.push(Instant::now());
        Ok(bytes.len())
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let (answers, started) = self.board.answer(bytes);
        self.answers.extend(answers);
        if started {
            self.begun = Some(Instant::now());
        }
        Ok(())
    }
}

/// Publishes as a screen or a sound would be fed, and keeps the delays.
struct Publisher {
    latest: LatestValue<LiveView>,
    handed_over: HandedOver,
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
        if u64::from(STEP_ON_FRAME) < number {
            let handed_over = self.handed_over.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(at) =
                usize::try_from(number).ok().and_then(|number| handed_over.get(number))
            {
                self.delays.push(published - *at);
            }
        }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let handed_over = HandedOver::default();
    let port = PacedPort {
        board: PacedBoard::default(),
        answers: Vec::new(),
        begun: None,
        handed_over: Arc::clone(&handed_over),
    };
    let latest = LatestValue::new();
    let mut publisher = Publisher { latest: latest.clone(), handed_over, delays: Vec::new() };
    let folder = tempfile::tempdir()?;
    let session = BoardSession::over(Box::new(port))?;
    let mut request = request::request();
    request.record_s = RECORD_S;
    let (begun, cpu_before) = (Instant::now(), cpu_time());
    let recorded = record(&session, &request, folder.path(), &mut publisher)?;
    let share = (cpu_time() - cpu_before).as_secs_f64() / begun.elapsed().as_secs_f64();
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

/// Time all threads of this process have had a processor, as Linux counts it; 0 elsewhere.
fn cpu_time() -> Duration {
    let tasks = std::fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
    let times_ns = tasks.filter_map(|task| {
        let counted = std::fs::read_to_string(task.path().join("schedstat")).ok()?;
        counted.split_whitespace().next()?.parse::<u64>().ok()
    });
    Duration::from_nanos(times_ns.sum())
}
