//! Opens trial files with random damage and counts what comes of it.
//!
//! Every second file gets a fitting digest again, as if somebody had wanted the damage; the digest
//! is computed here from the layout's description (`acquisition/docs/trial-file.md`), not with the
//! program's own code. A child process opens them by the hundred, so that a crash is counted and
//! not suffered, and one that takes too long is ended.
//!
//! `cargo run -p acquisition --example damaged_trial_files -- [COUNT]`

use std::collections::BTreeMap;
use std::error::Error;
use std::io::{self, Read as _, Write as _};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use acquisition::{BoardOrigin, Ending, LinkCounts, Origin, RawSamples, Samples, Zero};
use acquisition::{Calibration, StoredTrial, TrialFacts, WallTime, new_trial_id, trial_file};
use analysis::{Condition, Cop, Facing, Setup, Stance, Surface, TrialKind, Vision};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use sha2::{Digest as _, Sha256};

const SEED: u64 = 20_260_304;
const COUNT: usize = 10_000;
const FILES_A_CHILD: usize = 100;

/// Bytes before the content.
const BLOCK_BYTES: usize = 512;

/// A file must be judged within this time, on a busy machine too.
const TIME_LIMIT: Duration = Duration::from_secs(10);

/// A child that is silent for this long hangs.
const CHILD_LIMIT: Duration = Duration::from_mins(5);

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["open", folder, first, last] => {
            open_some(Path::new(folder), first.parse()?, last.parse()?)
        }
        [] => open_all(COUNT),
        [count] => open_all(count.parse()?),
        _ => Err("give a count or nothing".into()),
    }
}

fn open_all(count: usize) -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    for (name, n_samples) in [("short", 60), ("long", 6_000)] {
        let file = trial_file::seal(&trial(n_samples), folder.path())?;
        fs::rename(file, folder.path().join(name))?;
    }
    let mut outcomes = BTreeMap::<String, usize>::new();
    let mut slowest_ms = 0;
    for first in (0..count).step_by(FILES_A_CHILD) {
        let last = count.min(first + FILES_A_CHILD);
        for line in open_in_child(folder.path(), first, last)?.lines() {
            let (outcome, ms) = line.rsplit_once(' ').ok_or("a line without a time")?;
            slowest_ms = slowest_ms.max(ms.parse()?);
            *outcomes.entry(outcome.to_owned()).or_default() += 1;
        }
    }
    let n_judged: usize = outcomes.values().sum();
    let mut stdout = io::stdout();
    for (outcome, n) in &outcomes {
        writeln!(stdout, "{n:>6} {outcome}")?;
    }
    writeln!(
        stdout,
        "{n_judged} of {count} damaged files judged (seed {SEED}), the slowest in {slowest_ms} ms"
    )?;
    let wrong = outcomes.keys().any(|outcome| outcome.starts_with("WRONG"));
    let late = TIME_LIMIT.as_millis() < slowest_ms;
    if wrong || late || n_judged != count { Err("not as promised".into()) } else { Ok(()) }
}

/// What the child says; a child that crashes or hangs leaves files without a word.
fn open_in_child(folder: &Path, first: usize, last: usize) -> Result<String, Box<dyn Error>> {
    let mut child = Command::new(env::current_exe()?)
        .arg("open")
        .arg(folder)
        .args([first.to_string(), last.to_string()])
        .stdout(Stdio::piped())
        .spawn()?;
    let mut stdout = child.stdout.take().ok_or("no standard output")?;
    let reader = thread::spawn(move || {
        let mut said = String::new();
        stdout.read_to_string(&mut said).map(|_| said)
    });
    let begun = Instant::now();
    while child.try_wait()?.is_none() {
        if CHILD_LIMIT < begun.elapsed() {
            child.kill()?;
        }
        thread::sleep(Duration::from_millis(5));
    }
    let status = child.wait()?;
    let said = reader.join().map_err(|_panic| "the reading thread panicked")??;
    if status.success() { Ok(said) } else { Err(format!("{status} after\n{said}").into()) }
}

fn open_some(folder: &Path, first: usize, last: usize) -> Result<(), Box<dyn Error>> {
    let wholes = [fs::read(folder.join("short"))?, fs::read(folder.join("long"))?];
    let wanted =
        [trial_file::open(&folder.join("short"))?, trial_file::open(&folder.join("long"))?];
    let path = folder.join(format!("damaged-{first}"));
    for number in first..last {
        let mut random = ChaCha8Rng::seed_from_u64(SEED + number as u64);
        let which = usize::from(random.random_bool(0.3));
        let mut bytes = wholes[which].clone();
        damage(&mut bytes, &mut random);
        let fitting = number % 2 == 1 && BLOCK_BYTES < bytes.len();
        if fitting {
            put_digest(&mut bytes);
        }
        if bytes == wholes[which] {
            // Damage that changed nothing, such as a zero written over a zero.
            bytes[BLOCK_BYTES + 1] ^= 1;
        }
        fs::write(&path, &bytes)?;
        let begun = Instant::now();
        let opened = trial_file::open(&path);
        let outline = trial_file::outline(&path);
        let ms = begun.elapsed().as_millis();
        let place = if fitting { "behind a fitting digest" } else { "seen by the digest" };
        let outcome = match (&opened, &outline) {
            (Err(_), Err(_)) => format!("refused, {place}"),
            (Err(_), Ok(outline)) if outline.facts == wanted[which].facts => {
                format!("samples refused, facts right, {place}")
            }
            (Ok(trial), Ok(_)) if fitting && *trial == wanted[which] => {
                format!("opened, every number right, {place}")
            }
            _ => format!("WRONG, file {number}, {place}"),
        };
        writeln!(io::stdout(), "{outcome} {ms}")?;
    }
    Ok(fs::remove_file(&path)?)
}

/// One of: a few bits flipped, a byte replaced, a run zeroed, a run copied elsewhere, a cut, a tail.
fn damage(bytes: &mut Vec<u8>, random: &mut ChaCha8Rng) {
    // Half of it among the library's own structures, which mostly lie in front.
    let reach = if random.random_bool(0.5) { bytes.len().min(8_192) } else { bytes.len() };
    let place = |random: &mut ChaCha8Rng| random.random_range(0..reach);
    match random.random_range(0..6) {
        0 => {
            for _ in 0..random.random_range(1..5) {
                let at = place(random);
                bytes[at] ^= 1 << random.random_range(0..8);
            }
        }
        1 => {
            let at = place(random);
            bytes[at] = random.random();
        }
        2 => {
            let from = place(random);
            let to = bytes.len().min(from + random.random_range(1..600));
            bytes[from..to].fill(0);
        }
        3 => {
            let n = random.random_range(1..400).min(bytes.len() / 2);
            let (from, to) =
                (random.random_range(0..bytes.len() - n), random.random_range(0..bytes.len() - n));
            bytes.copy_within(from..from + n, to);
        }
        4 => bytes.truncate(random.random_range(0..bytes.len())),
        _ => {
            for _ in 0..random.random_range(1..2_000) {
                bytes.push(random.random());
            }
        }
    }
}

/// Writes the block in front anew, as the description of the layout has it.
fn put_digest(bytes: &mut [u8]) {
    let (block, content) = bytes.split_at_mut(BLOCK_BYTES);
    let digest = Sha256::digest(&*content)
        .iter()
        .fold(String::new(), |text, byte| text + &format!("{byte:02x}"));
    let text = format!(
        "Footing trial file. HDF5 content starts at byte 512.\nsha256 of the content: {digest}\n\
         bytes of content: {:020}\n",
        content.len()
    );
    block.fill(0);
    block[..text.len()].copy_from_slice(text.as_bytes());
}

/// A board's trial whose counts hardly compress.
fn trial(n_samples: usize) -> StoredTrial {
    let board = "0123456789abcdef01234567";
    let count = |index: usize, corner: usize| {
        i32::try_from((index * 7_919 + corner * 104_729) % 8_388_608).expect("24 bits")
    };
    let wave = |index: usize, period: f64| (index as f64 / period).sin();
    StoredTrial {
        facts: TrialFacts {
            id: new_trial_id(),
            person: "P-01".parse().expect("a person's code"),
            session: None,
            plan: None,
            condition: Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open),
            kind: TrialKind::Measured,
            setup: Setup {
                board: board.to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            body_height_m: Some(1.7),
            body_mass_kg: Some(60.0),
            started: WallTime { unix_us: 1_772_354_645_123_456, offset_s: 3_600 },
            settled_s: 12.0,
            asked_s: 60.0,
            program: "damaged_trial_files".to_owned(),
        },
        origin: Origin::Board(Box::new(BoardOrigin {
            board_id: board.to_owned(),
            firmware: "1.0.0".to_owned(),
            frames_per_s: 1_000.0,
            temperature_c: Some(21.0),
            calibration: Calibration::nominal(board, 128),
            zero: Zero { counts: [0.0; 4], board_time_us: 1 },
            link: LinkCounts { lost_frames: 0, damaged_frames: 0, repeated_frames: 0 },
            ended: Ending::HoldReached,
            zero_after: None,
            recomputed: None,
        })),
        samples: Samples {
            time_us: (0..n_samples as u64).map(|index| index * 1_000).collect(),
            sequence: (0..n_samples as u64).collect(),
            raw: Some(RawSamples {
                counts: (0..n_samples)
                    .map(|i| [0, 1, 2, 3].map(|corner| count(i, corner)))
                    .collect(),
                status: vec![0; n_samples],
            }),
            forces_newtons: Some((0..n_samples).map(|i| [wave(i, 7.0) + 150.0; 4]).collect()),
            cop: (0..n_samples).map(|i| Some(Cop::new(wave(i, 31.0), wave(i, 77.0)))).collect(),
        },
    }
}
