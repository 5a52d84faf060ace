//! Opens trial files with random damage and counts what comes of it.
//!
//! Every second file gets a fitting digest again, as if somebody had wanted the damage; the digest
//! is computed here from the layout's description (`acquisition/docs/trial-file.md`), not with the
//! program's own code. Each is opened as the program opens a file of unknown origin, in a child that
//! this program starts of itself, so that a crash or a hang is counted and not suffered.
//!
//! Afterwards it is told what a child costs, with whole trials.
//!
//! `cargo run -p acquisition --example damaged_trial_files -- [COUNT]`

use std::collections::BTreeMap;
use std::error::Error;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, fs};

use acquisition::library::Library;
use acquisition::trial_file::apart::{self, ChildCommand, Limits};
use acquisition::trial_file::{self, OpenTrialError, TrialReader};
use acquisition::{BoardOrigin, Ending, LinkCounts, Origin, RawSamples, Samples, Zero};
use acquisition::{Calibration, StoredTrial, TrialFacts, WallTime, new_trial_id};
use analysis::{Condition, Cop, Facing, Setup, Stance, Surface, TrialKind, Vision};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use sha2::{Digest as _, Sha256};

const SEED: u64 = 20_260_304;
const COUNT: usize = 10_000;
/// Bytes before the content.
const BLOCK_BYTES: usize = 512;

/// A file must be judged within this time, on a busy machine too.
const TIME_LIMIT: Duration = Duration::from_secs(10);

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["read-strangers"] => Ok(apart::serve(&Limits::default())?),
        [] => open_all(COUNT),
        [count] => open_all(count.parse()?),
        _ => Err("give a count or nothing".into()),
    }
}

fn open_all(count: usize) -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let child = ChildCommand {
        program: env::current_exe()?,
        arguments: vec!["read-strangers".into()],
        limits: Limits::default(),
    };
    let library = Library::open(&folder.path().join("data"))?;
    let reader = TrialReader::with_children(child.clone(), &library);
    let mut wholes = Vec::new();
    for n_samples in [60, 6_000] {
        let trial = trial(n_samples);
        let file = trial_file::seal(&trial, folder.path())?;
        wholes.push(Whole { bytes: fs::read(&file)?, path: file, trial });
    }
    let mut outcomes = BTreeMap::<String, usize>::new();
    let mut slowest = Duration::ZERO;
    for number in 0..count {
        // A name of its own: some file systems wait for the disk where a file is written over.
        let path = folder.path().join(format!("damaged-{number}.h5"));
        let (whole, fitting) = make_damaged(number, &wholes, &path)?;
        let begun = Instant::now();
        let opened = reader.open(&path);
        let outline = reader.outline(&path);
        slowest = slowest.max(begun.elapsed());
        let place = if fitting { "behind a fitting digest" } else { "seen by the digest" };
        let outcome = match (&opened, &outline) {
            (Err(OpenTrialError::Apart(error)), _) | (_, Err(OpenTrialError::Apart(error))) => {
                format!("{error}, {place}")
            }
            (Err(_), Err(_)) => format!("refused, {place}"),
            (Err(_), Ok(outline)) if outline.facts == whole.trial.facts => {
                format!("samples refused, facts right, {place}")
            }
            (Ok(trial), Ok(_)) if fitting && *trial == whole.trial => {
                format!("opened, every number right, {place}")
            }
            _ => format!("WRONG, file {number}, {place}"),
        };
        *outcomes.entry(outcome).or_default() += 1;
        fs::remove_file(&path)?;
    }
    let mut stdout = io::stdout();
    for (outcome, n) in &outcomes {
        writeln!(stdout, "{n:>6} {outcome}")?;
    }
    writeln!(
        stdout,
        "{} of {count} damaged files judged (seed {SEED}), the slowest in {} ms",
        outcomes.values().sum::<usize>(),
        slowest.as_millis()
    )?;
    tell_cost(&child, &library, &wholes)?;
    let wrong = outcomes.keys().any(|outcome| outcome.starts_with("WRONG"));
    if wrong || TIME_LIMIT < slowest { Err("not as promised".into()) } else { Ok(()) }
}

/// A trial file as it was sealed.
struct Whole {
    path: PathBuf,
    bytes: Vec<u8>,
    trial: StoredTrial,
}

/// Writes a damaged file to `path`; which trial it was, and whether its digest fits.
fn make_damaged<'a>(
    number: usize,
    wholes: &'a [Whole],
    path: &Path,
) -> io::Result<(&'a Whole, bool)> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED + number as u64);
    let whole = &wholes[usize::from(random.random_bool(0.3))];
    let mut bytes = whole.bytes.clone();
    damage(&mut bytes, &mut random);
    let fitting = number % 2 == 1 && BLOCK_BYTES < bytes.len();
    if fitting {
        put_digest(&mut bytes);
    }
    if bytes == whole.bytes {
        // Damage that changed nothing, such as a zero written over a zero.
        bytes[BLOCK_BYTES + 1] ^= 1;
    }
    fs::write(path, &bytes)?;
    Ok((whole, fitting))
}

/// Mean times of opening a whole trial here, in a child that is there, and in one to be started.
fn tell_cost(
    child: &ChildCommand,
    library: &Library,
    wholes: &[Whole],
) -> Result<(), Box<dyn Error>> {
    let here = TrialReader::here();
    let fresh = || TrialReader::with_children(child.clone(), library);
    let kept = fresh();
    for whole in wholes {
        let mean_ms = |reader: &dyn Fn() -> TrialReader, n: u32| {
            let begun = Instant::now();
            for _ in 0..n {
                reader().open(&whole.path)?;
            }
            Ok::<_, OpenTrialError>(1e3 * begun.elapsed().as_secs_f64() / f64::from(n))
        };
        writeln!(
            io::stdout(),
            "{} samples: {:.2} ms in this process, {:.2} ms in a child, {:.2} ms with its start",
            whole.trial.samples.n_samples(),
            mean_ms(&|| here.clone(), 200)?,
            mean_ms(&|| kept.clone(), 200)?,
            mean_ms(&fresh, 20)?,
        )?;
    }
    Ok(())
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
