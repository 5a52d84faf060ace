//! A recording process killed at any moment leaves all but the last moments.
//!
//! The program runs itself as the child that records, so it has its own `main`. It answers `--list`
//! as test programs do.

mod paced_board;
#[path = "paced_board/request.rs"]
mod request;

use std::error::Error;
use std::io::{self, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use std::{env, thread};

use acquisition::{BoardAddress, BoardSession, LiveView, Progress, RecordObserver, Stage, Wish};
use acquisition::{journal, record};
use paced_board::{INTERVAL_US, PacedBoard, STEP_ON_FRAME, counts, frame_bytes};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

const NAME: &str = "a_recording_killed_at_any_moment_loses_at_most_its_last_fifth_of_a_second";
const N_KILLS: usize = 50;
const SEED: u64 = 20_260_301;

/// The promise, in microseconds of board time.
const MOST_LOST_US: u64 = 200_000;

/// Somebody must stand still for two seconds before a record begins.
const RECORD_FRAME: u32 = STEP_ON_FRAME + 2_000;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["record", address, folder] => record_until_killed(address, Path::new(folder)),
        _ if words.contains(&"--list") => {
            if !words.contains(&"--ignored") {
                say(&format!("{NAME}: test"))?;
            }
            Ok(())
        }
        _ => kill_and_recover(),
    }
}

fn say(line: &str) -> io::Result<()> {
    writeln!(io::stdout(), "{line}")
}

/// The child: records, and says of each frame in the record that it has it.
fn record_until_killed(address: &str, folder: &Path) -> Result<(), Box<dyn Error>> {
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
                let mut stdout = io::stdout();
                stdout.write_all(&live.time_us.to_le_bytes()).expect("the parent listens");
                stdout.flush().expect("the parent listens");
            }
        }
    }
    let session = BoardSession::connect(&BoardAddress::Tcp(address.to_owned()))?;
    record(&session, &request::request(), folder, &mut Teller { recording: false })?;
    Ok(())
}

/// The parent: the board, the killer and the judge.
fn kill_and_recover() -> Result<(), Box<dyn Error>> {
    say(&format!("seed {SEED}"))?;
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut lost_us, mut n_kept) = (Vec::new(), 0);
    for _ in 0..N_KILLS {
        let folder = tempfile::tempdir()?;
        let last_frame = RECORD_FRAME + random.random_range(0..700);
        let taken_us = record_and_kill(folder.path(), last_frame)?;
        let kept_us = kept_us(folder.path())?;
        n_kept += usize::from(kept_us.is_some());
        if let Some(taken_us) = taken_us {
            // Without anything kept, all from the first frame of the record on is lost.
            let safe_us = kept_us.unwrap_or(u64::from(RECORD_FRAME * INTERVAL_US));
            lost_us.push(taken_us.saturating_sub(safe_us));
        }
    }
    lost_us.sort_unstable();
    let worst_us = lost_us.last().copied().unwrap_or(0);
    say(&format!(
        "{NAME}: {N_KILLS} kills, {n_kept} left a trial; lost, median {} ms, worst {} ms",
        lost_us.get(lost_us.len() / 2).copied().unwrap_or(0) / 1_000,
        worst_us / 1_000
    ))?;
    assert!(N_KILLS / 2 < n_kept, "too few kills met a record under way");
    assert!(worst_us <= MOST_LOST_US, "{worst_us} us lost");
    Ok(())
}

/// Sends frames to a recording child up to `last_frame`, the last of them in step with the clock,
/// and kills it; gives the board time of the last frame the child said it had in its record.
fn record_and_kill(folder: &Path, last_frame: u32) -> Result<Option<u64>, Box<dyn Error>> {
    let listener = TcpListener::bind("127.0.0.1:0")?;
    let mut child = Command::new(env::current_exe()?)
        .arg("record")
        .arg(listener.local_addr()?.to_string())
        .arg(folder)
        .stdout(Stdio::piped())
        .spawn()?;
    let (mut stream, _) = listener.accept()?;
    let sent = send_until(&mut stream, last_frame);
    let taken = kill(&mut child)?;
    // Only then may the board hang up: a lost board would end the record in good order.
    drop(stream);
    sent?;
    let (times, _) = taken.as_chunks::<8>();
    Ok(times.last().map(|time| u64::from_le_bytes(*time)))
}

fn send_until(stream: &mut TcpStream, last_frame: u32) -> io::Result<()> {
    let mut board = PacedBoard::default();
    let mut buffer = [0; 256];
    loop {
        let n_bytes = stream.read(&mut buffer)?;
        let (answers, started) = board.answer(&buffer[..n_bytes]);
        stream.write_all(&answers)?;
        if started {
            break;
        }
    }
    let prelude: Vec<u8> = (0..RECORD_FRAME).flat_map(frame_bytes).collect();
    stream.write_all(&prelude)?;
    let begun = Instant::now();
    for number in RECORD_FRAME..=last_frame {
        let due = begun + Duration::from_micros(u64::from((number - RECORD_FRAME) * INTERVAL_US));
        // The board's own clock, not a wait for anything.
        thread::sleep(due.saturating_duration_since(Instant::now()));
        stream.write_all(&frame_bytes(number))?;
    }
    Ok(())
}

/// Kills the child as no program can resist, and gives all that it had said.
fn kill(child: &mut Child) -> io::Result<Vec<u8>> {
    child.kill()?;
    let mut said = Vec::new();
    if let Some(stdout) = &mut child.stdout {
        stdout.read_to_end(&mut said)?;
    }
    child.wait()?;
    Ok(said)
}

/// Recovers and seals what the child left; gives the board time of the last frame in it.
fn kept_us(folder: &Path) -> Result<Option<u64>, Box<dyn Error>> {
    let mut last_us = None;
    for recovered in journal::recover_all(folder)? {
        let recovered = recovered?;
        assert!(!recovered.complete, "the child was killed");
        let samples = recovered.trial.samples.clone();
        let raw = samples.raw.as_ref().expect("a board's trial has counts");
        for (&sequence, kept) in samples.sequence.iter().zip(&raw.counts) {
            assert_eq!(*kept, counts(u32::try_from(sequence)?), "frame {sequence}");
        }
        last_us = samples.time_us.last().copied();
        let sealed = recovered.seal(folder)?;
        assert_eq!(sealed.trial_file.is_some(), last_us.is_some());
        assert_eq!(sealed.kept_journal, None);
    }
    assert!(journal::recover_all(folder)?.is_empty());
    Ok(last_us)
}
