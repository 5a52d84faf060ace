//! What the child does until it is cut short: record, seal, put into the records, import; and again.
//! It says what it has done, line by line, once it is done.

use std::error::Error;
use std::fs;
use std::io;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use acquisition::import::{
    ColumnMap, Measured, TextForm, TimeSource, parse_column, read_delimited,
};
use acquisition::library::Library;
use acquisition::records::Records;
use acquisition::{
    BoardSession, LiveView, Progress, RecordObserver, Stage, Transport, Wish, journal,
    new_trial_id, record, trial_file,
};
use analysis::{Analyser, SampleRate};

use crate::paced_board::{INTERVAL_US, PacedBoard, STEP_ON_FRAME, frame_bytes};
use crate::{request, say};

/// Somebody must stand still for two seconds before a record begins.
pub(crate) const RECORD_FRAME: u32 = STEP_ON_FRAME + 2_000;

/// Length of each record, in seconds.
pub(crate) const RECORD_S: f64 = 0.6;

/// The parts of a round, in order, by the words that announce them.
pub(crate) const PHASES: [&str; 4] = ["journal", "seal", "database", "import"];

/// Lives through so many rounds in the data folder.
pub(crate) fn live(folder: &Path, n_rounds: usize) -> Result<(), Box<dyn Error>> {
    let library = Library::open(folder)?;
    let mut records = Records::open(&library)?;
    let mut analyser = Analyser::new();
    for _ in 0..n_rounds {
        say("phase journal")?;
        let mut request = request::request();
        request.facts.id = new_trial_id();
        request.record_s = RECORD_S;
        say(&format!("recording {}", request.facts.id))?;
        let session = BoardSession::over(Box::new(PacedPort::default()))?;
        let mut teller = Teller { recording: false };
        let recorded = record(&session, &request, &library.journals_folder(), &mut teller)?;
        say(&format!("recorded {}", request.facts.id))?;
        say("phase seal")?;
        let sealed = journal::seal(&recorded.journal, &library.trials_folder())?;
        say(&format!("sealed {}", request.facts.id))?;
        say("phase database")?;
        let path = sealed.trial_file.ok_or("a record without frames")?;
        records.index_trial(&path, &mut analyser)?;
        say(&format!("indexed {}", request.facts.id))?;
        say("phase import")?;
        let mut facts = request.facts.clone();
        facts.id = new_trial_id();
        let text = folder.join("other-plate.txt");
        fs::write(&text, other_plate())?;
        let trial = read_delimited(&text, &column_map()?, facts)?;
        let path = trial_file::seal(&trial, &library.trials_folder())?;
        say(&format!("sealed {}", trial.facts.id))?;
        records.index_trial(&path, &mut analyser)?;
        say(&format!("indexed {}", trial.facts.id))?;
    }
    Ok(())
}

/// Says of each frame in the record that the recorder has it.
struct Teller {
    recording: bool,
}

impl RecordObserver for Teller {
    fn progress(&mut self, progress: &Progress) -> Wish {
        self.recording = progress.stage == Stage::Recording;
        Wish::GoOn
    }

    fn live(&mut self, live: &LiveView) {
        if self.recording {
            say(&format!("frame {}", live.time_us)).expect("the parent listens");
        }
    }
}

/// A board in this process: what comes before the record comes at once, the record in real time.
#[derive(Default)]
struct PacedPort {
    board: PacedBoard,
    bytes: Vec<u8>,
    started: bool,
    next: u32,
    paced_since: Option<Instant>,
}

impl Transport for PacedPort {
    fn port(&self) -> &'static str {
        "paced"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if self.started && self.bytes.is_empty() {
            // What comes before the record fills every read.
            while self.next < RECORD_FRAME && self.bytes.len() < buffer.len() {
                self.bytes.extend(frame_bytes(self.next));
                self.next += 1;
            }
        }
        if self.started && self.bytes.is_empty() {
            let since = *self.paced_since.get_or_insert_with(Instant::now);
            let us = u64::from((self.next - RECORD_FRAME) * INTERVAL_US);
            let due = since + Duration::from_micros(us);
            // The board's own clock, not a wait for anything.
            thread::sleep(due.saturating_duration_since(Instant::now()));
            self.bytes.extend(frame_bytes(self.next));
            self.next += 1;
        } else if self.bytes.is_empty() {
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

/// Ten seconds of another plate.
fn other_plate() -> String {
    let rows = (0..1_000_u32).map(|n| {
        let t = f64::from(n) * 0.01;
        format!("{:.4} {:.4}\n", (3.0 * t).sin(), (2.0 * t).cos())
    });
    format!("ml ap\n{}", rows.collect::<String>())
}

fn column_map() -> Result<ColumnMap, Box<dyn Error>> {
    Ok(ColumnMap {
        form: TextForm::default(),
        time: TimeSource::Rate(SampleRate::from_hz(100.0)?),
        measured: Measured::Cop { ml: parse_column("ml:cm")?, ap: parse_column("ap:cm")? },
    })
}
