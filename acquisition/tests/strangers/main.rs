//! Trial files of unknown origin are read in a child: whatever happens to it, the parent goes on.
//!
//! No file is known that crashes or hangs the HDF5 library; `examples/damaged_trial_files.rs` looks
//! for one among thousands. So the child here makes the trouble itself, at files of certain names.
//! The program runs itself as that child, so it has its own `main`; it answers `--list` as test
//! programs do.

use std::env;
use std::error::Error;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::process::abort;
use std::sync::Barrier;
use std::time::{Duration, Instant};

use acquisition::library::Library;
use acquisition::records::{Records, rebuild};
use acquisition::trial_file::apart::{ApartError, ChildCommand, Limits, serve_watched};
use acquisition::trial_file::{self, OpenTrialError, TrialReader};
use acquisition::{WallTime, new_trial_id};
use analysis::Analyser;
use tempfile::TempDir;

type Outcome = Result<(), Box<dyn Error>>;
type Test = (&'static str, fn() -> Outcome);

const TESTS: [Test; 6] = [
    ("a_child_reads_what_this_process_would_read", same_values),
    ("a_file_is_refused_in_the_same_words", same_refusals),
    ("a_child_that_dies_or_hangs_costs_one_file", trouble),
    ("a_process_that_is_no_child_is_told", no_child),
    ("only_what_the_records_know_is_read_here", own_files),
    ("a_rebuild_survives_a_file_that_kills_its_reader", rebuilt),
];

/// Small enough that a hang is soon over, large enough for a busy machine.
const LIMITS: Limits = Limits {
    patience: Duration::from_secs(5),
    bytes_per_s: 4 << 20,
    memory_bytes: 512 << 20,
    files_per_child: 3,
};

fn main() -> Outcome {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["read"] => Ok(serve_watched(&LIMITS, &mut make_trouble)?),
        ["read-briefly"] => {
            let limits = Limits { patience: Duration::ZERO, ..LIMITS };
            Ok(serve_watched(&limits, &mut make_trouble)?)
        }
        ["say", text] => say(text),
        _ if words.contains(&"--list") => {
            let list = if words.contains(&"--ignored") { &[] } else { &TESTS[..] };
            list.iter().try_for_each(|(name, _)| say(&format!("{name}: test")))
        }
        _ => TESTS
            .iter()
            .filter(|(name, _)| words.iter().all(|word| word.starts_with('-') || name == word))
            .try_for_each(|(name, test)| {
                test().map_err(|error| format!("{name}: {error}"))?;
                say(&format!("test {name} ... ok"))
            }),
    }
}

fn say(line: &str) -> Outcome {
    Ok(writeln!(io::stdout(), "{line}")?)
}

/// The child's side of a file that does what its name says.
fn make_trouble(path: &Path) {
    match path.file_stem().and_then(|stem| stem.to_str()) {
        Some("crash") => abort(),
        Some("hang") => drop(Barrier::new(2).wait()),
        Some("spin") => while std::hint::black_box(true) {},
        Some("eat") => {
            let mut eaten = Vec::new();
            while std::hint::black_box(true) {
                eaten.push(vec![1_u8; 16 << 20]);
            }
        }
        Some("write") => {
            // Not reached beyond the first byte: the child may write no file.
            fs::write(path.with_extension("made"), "x").ok();
        }
        _ => {}
    }
}

fn child(words: &[&str]) -> Result<ChildCommand, Box<dyn Error>> {
    let arguments = words.iter().map(Into::into).collect();
    Ok(ChildCommand { program: env::current_exe()?, arguments, limits: LIMITS })
}

fn reader(folder: &Path) -> Result<TrialReader, Box<dyn Error>> {
    Ok(TrialReader::with_children(child(&["read"])?, &Library::open(folder)?))
}

/// Trial files of the project's own scenario.
fn samples() -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../sample-trials");
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|ending| ending == "h5") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

fn same_values() -> Outcome {
    let data = tempfile::tempdir()?;
    let reader = reader(data.path())?;
    let paths = samples()?;
    assert!(2 < paths.len());
    // More files than a child reads before it is replaced.
    for path in paths.iter().chain(&paths) {
        assert_eq!(reader.open_with_digest(path)?, trial_file::open_with_digest(path)?);
        assert_eq!(reader.outline(path)?, trial_file::outline(path)?);
    }
    Ok(())
}

fn same_refusals() -> Outcome {
    let data = tempfile::tempdir()?;
    let reader = reader(&data.path().join("data"))?;
    let whole = fs::read(&samples()?[0])?;
    let file = |name: &str, bytes: &[u8]| {
        let path = data.path().join(name);
        fs::write(&path, bytes).map(|()| path)
    };
    let mut damaged = whole.clone();
    damaged[2_000] ^= 1;
    for path in [
        data.path().join("missing.h5"),
        data.path().to_owned(),
        file("other.h5", b"something else")?,
        file("short.h5", &whole[..whole.len() / 2])?,
        file("damaged.h5", &damaged)?,
        file("content.h5", &with_digest(b"no HDF5 at all"))?,
    ] {
        let (here, there) = (trial_file::open(&path), reader.open(&path));
        let (here, there) = (here.expect_err("it is refused"), there.expect_err("it is refused"));
        assert_eq!(chain(&here), chain(&there), "{}", path.display());
        assert_eq!(chain(&here), chain(&reader.outline(&path).expect_err("it is refused")));
    }
    Ok(())
}

fn trouble() -> Outcome {
    let data = tempfile::tempdir()?;
    let reader = reader(&data.path().join("data"))?;
    let good = &samples()?[0];
    let mut kinds = Vec::new();
    for name in ["crash", "hang", "eat", "write"] {
        let path = data.path().join(name).with_extension("h5");
        fs::copy(good, &path)?;
        let begun = Instant::now();
        let error = reader.open(&path).expect_err("it is refused");
        assert!(begun.elapsed() < 4 * LIMITS.patience, "{name}: {:?}", begun.elapsed());
        kinds.push(match error {
            OpenTrialError::Apart(ApartError::Died { .. }) => "died",
            OpenTrialError::Apart(ApartError::TooLong { .. }) => "too long",
            other => return Err(chain(&other).into()),
        });
        assert_eq!(reader.open(good)?, trial_file::open(good)?, "after {name}");
        assert_eq!(fs::read(&path)?, fs::read(good)?, "{name} is as it was");
    }
    assert_eq!(kinds, ["died", "too long", "died", "died"]);

    // Left alone, as after a parent that was killed, a child ends by its own limit.
    let path = data.path().join("spin.h5");
    fs::copy(good, &path)?;
    let mut command = child(&["read-briefly"])?;
    command.limits.patience = Duration::from_mins(1);
    let reader = TrialReader::with_children(command, &Library::open(&data.path().join("data"))?);
    let error = reader.open(&path).expect_err("it is refused");
    assert!(matches!(error, OpenTrialError::Apart(ApartError::TooLong { .. })), "{error}");
    Ok(())
}

fn no_child() -> Outcome {
    let data = tempfile::tempdir()?;
    let good = &samples()?[0];
    let library = Library::open(data.path())?;
    let missing = ChildCommand { program: data.path().join("gone"), ..child(&[])? };
    let error =
        TrialReader::with_children(missing, &library).open(good).expect_err("it is refused");
    assert!(matches!(error, OpenTrialError::Apart(ApartError::NotStarted(_))), "{error}");
    let other = child(&["say", "some other program that says quite a lot of other things"])?;
    let error = TrialReader::with_children(other, &library).open(good).expect_err("it is refused");
    assert!(matches!(error, OpenTrialError::Apart(ApartError::Garbled)), "{error}");
    Ok(())
}

/// A library with two trials of which the records know one, and a reader whose children all fail.
fn half_known() -> Result<(TempDir, Library, [PathBuf; 2]), Box<dyn Error>> {
    let data = tempfile::tempdir()?;
    let library = Library::open(data.path())?;
    let mut trial = trial_file::open(&samples()?[0])?;
    let mut sealed = || {
        trial.facts.id = new_trial_id();
        trial_file::seal(&trial, &library.trials_folder())
    };
    let paths = [sealed()?, sealed()?];
    Records::open(&library)?.index_trial(&paths[0], &mut Analyser::new())?;
    Ok((data, library, paths))
}

fn own_files() -> Outcome {
    let (data, library, [known, unknown]) = half_known()?;
    let missing = ChildCommand { program: data.path().join("gone"), ..child(&[])? };
    let reader = TrialReader::with_children(missing, &library);
    reader.open(&known)?;
    reader.outline(&known)?;
    let link = library.trials_folder().join("link.h5");
    std::os::unix::fs::symlink(&known, &link)?;
    let elsewhere = data.path().join(known.file_name().ok_or("a name")?);
    fs::copy(&known, &elsewhere)?;
    for stranger in [&unknown, &link, &elsewhere] {
        let error = reader.open(stranger).expect_err("it is refused");
        assert!(matches!(error, OpenTrialError::Apart(_)), "{}", stranger.display());
    }
    assert!(reader.distrusting().open(&known).is_err());
    Ok(())
}

fn rebuilt() -> Outcome {
    let (data, library, [known, unknown]) = half_known()?;
    let killer = library.trials_folder().join("crash.h5");
    fs::copy(&unknown, &killer)?;
    let reader = reader(data.path())?;
    let report = rebuild(&library, &reader, WallTime::new(5, 0)?)?;
    assert_eq!(report.n_trials, 2, "{report:?}");
    let [(refused, error)] = &report.refused_trials[..] else {
        return Err(format!("{report:?}").into());
    };
    assert_eq!(*refused, killer);
    assert!(chain(error).contains("the process that read it crashed"), "{}", chain(error));
    assert!(known.exists() && unknown.exists());
    Ok(())
}

/// `content` behind a block that fits, as the description of the layout has it.
fn with_digest(content: &[u8]) -> Vec<u8> {
    use sha2::{Digest as _, Sha256};
    let digest = Sha256::digest(content)
        .iter()
        .fold(String::new(), |text, byte| text + &format!("{byte:02x}"));
    let mut bytes = format!(
        "Footing trial file. HDF5 content starts at byte 512.\nsha256 of the content: {digest}\n\
         bytes of content: {:020}\n",
        content.len()
    )
    .into_bytes();
    bytes.resize(512, 0);
    bytes.extend_from_slice(content);
    bytes
}

/// An error and its causes, as a person reads them.
fn chain(error: &dyn Error) -> String {
    match error.source() {
        Some(cause) => format!("{error}: {}", chain(cause)),
        None => error.to_string(),
    }
}
