use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

use analysis::{Band, Condition, Cop, Facing, Setup, Stance, Support, Surface, TrialKind, Vision};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use tempfile::TempDir;

use super::*;
use crate::calibration::tests::square_board;
use crate::stored_trial::{
    BoardOrigin, Ending, ImportOrigin, LinkCounts, Origin, RawSamples, Recomputed, Samples,
    StoredTrial, TrialFacts,
};
use crate::wall_time::WallTime;
use crate::zero::Zero;

pub(crate) const ID: &str = "018f4e2a-7c00-7123-8abc-0123456789ab";

/// A board's trial of `n_samples` at 1,000 a second with one sample too light for a centre.
pub(crate) fn board_trial(n_samples: usize) -> StoredTrial {
    let count = |index: usize, corner: usize| {
        i32::try_from((index * 7919 + corner * 104_729) % 16_777_216).unwrap() - 8_388_608
    };
    let wave = |index: usize, period: f64| (index as f64 / period).sin();
    StoredTrial {
        facts: TrialFacts {
            id: ID.to_owned(),
            person: "P-07_b".parse().unwrap(),
            session: Some("018f4e2a-7c00-7123-8abc-0123456789ac".to_owned()),
            plan: None,
            condition: Condition {
                surface: Surface::Foam,
                stance: Stance::OneLegLeft,
                vision: Vision::Closed,
                support: Support::Fingertip,
                band: Band::UpperTrunk,
            },
            kind: TrialKind::Guided,
            setup: Setup {
                board: "0123456789abcdef01234567".to_owned(),
                sole_height_mm: Some(63.5),
                facing: Facing::Left,
            },
            body_height_m: Some(1.74),
            body_mass_kg: None,
            started: WallTime::new(1_772_354_645_123_456, 3600).unwrap(),
            settled_s: 12.5,
            asked_s: 60.0,
            program: "footing 0.1.0 (größer)".to_owned(),
        },
        origin: Origin::Board(Box::new(BoardOrigin {
            board_id: "0123456789abcdef01234567".to_owned(),
            firmware: "1.2.3".to_owned(),
            frames_per_s: 1000.0,
            temperature_c: Some(21.375),
            calibration: square_board(),
            zero: Zero { counts: [0.25, -1.5, 1e6, -8e6], board_time_us: u64::MAX },
            link: LinkCounts { lost_frames: 3, damaged_frames: 2, repeated_frames: u64::MAX },
            zero_after: Some(Zero { counts: [0.5, -1.25, 1e6, -8e6], board_time_us: u64::MAX }),
            ended: Ending::StepOff,
            recomputed: Some(Recomputed {
                original_id: "018f4e2a-7c00-7123-8abc-0123456789ff".to_owned(),
                original_digest: "ab".repeat(32),
            }),
        })),
        samples: Samples {
            time_us: (0..n_samples as u64).map(|index| (1 << 40) + index * 1000).collect(),
            sequence: (0..n_samples as u64).map(|index| index * 2).collect(),
            raw: Some(RawSamples {
                counts: (0..n_samples)
                    .map(|index| [0, 1, 2, 3].map(|corner| count(index, corner)))
                    .collect(),
                status: (0..n_samples)
                    .map(|index| u16::try_from(index % 65_536).unwrap())
                    .collect(),
            }),
            forces_newtons: Some(
                (0..n_samples).map(|index| [1.0, -0.0, wave(index, 9.0), 1e-300]).collect(),
            ),
            cop: (0..n_samples)
                .map(|index| {
                    (index != 1).then(|| Cop::new(wave(index, 31.0), -9.0 * wave(index, 77.0)))
                })
                .collect(),
        },
    }
}

/// An imported trial that gives the centre of pressure alone.
pub(crate) fn imported_trial(n_samples: usize) -> StoredTrial {
    let mut trial = board_trial(n_samples);
    trial.origin = Origin::Imported(ImportOrigin {
        file_name: "stand 7, première.txt".to_owned(),
        sha256: "0f".repeat(32),
        column_map: "[time]\nrate_hz = 100.0\n".to_owned(),
    });
    trial.samples.raw = None;
    trial.samples.forces_newtons = None;
    trial
}

fn sealed(trial: &StoredTrial) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = seal(trial, folder.path()).unwrap();
    (folder, path)
}

fn names(folder: &TempDir) -> Vec<String> {
    let entries = fs::read_dir(folder.path()).unwrap();
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn a_trial_reads_back_as_it_was() {
    let mut fitted = board_trial(10);
    if let Origin::Board(board) = &mut fitted.origin {
        board.calibration.covariance = Some(Box::new(std::array::from_fn(|i| {
            std::array::from_fn(|j| i as f64 * 1e-9 + j as f64 * 1e9)
        })));
        board.calibration.kind = crate::calibration::CalibrationKind::Fitted;
    }
    let mut bare = imported_trial(2);
    bare.facts.session = None;
    bare.facts.plan = Some(String::new());
    bare.facts.body_height_m = None;
    bare.facts.setup.sole_height_mm = None;
    for trial in [board_trial(1), board_trial(60_000), fitted, imported_trial(6000), bare] {
        let (folder, path) = sealed(&trial);
        assert_eq!(open(&path).unwrap(), trial);
        let outline = outline(&path).unwrap();
        assert_eq!((outline.facts, outline.n_samples), (trial.facts, trial.samples.n_samples()));
        assert_eq!(names(&folder), [format!("{ID}.h5")]);
    }
}

/// What another tool finds where `acquisition/docs/trial-file.md` says; a swap in both writing and
/// reading would pass unseen otherwise.
#[test]
fn columns_and_names_are_those_of_the_layout() {
    let trial = board_trial(3);
    let (_folder, path) = sealed(&trial);
    let file = hdf5::File::open(&path).unwrap();
    let cop = file.dataset("cop").unwrap().read_2d::<f64>().unwrap();
    let last = trial.samples.cop[2].unwrap();
    assert_eq!(
        (cop[[2, 0]].to_bits(), cop[[2, 1]].to_bits()),
        (last.ml_mm.to_bits(), last.ap_mm.to_bits())
    );
    assert!(cop[[1, 0]].is_nan() && cop[[1, 1]].is_nan());
    let places = file.dataset("calibration/positions").unwrap().read_raw::<f64>().unwrap();
    assert_eq!(places, [-200.0, 200.0, 200.0, 200.0, -200.0, -200.0, 200.0, -200.0]);
    let counts = file.dataset("raw/counts").unwrap().read_2d::<i32>().unwrap();
    assert_eq!(counts[[0, 3]], 3 * 104_729 - 8_388_608);
    let text = |place: &hdf5::Location, name: &str| {
        let value = place.attr(name).unwrap();
        let value = value.read_scalar::<hdf5::types::FixedUnicode<MAX_TEXT_BYTES>>().unwrap();
        value.as_str().to_owned()
    };
    assert_eq!(text(&file.dataset("cop").unwrap(), "columns"), "ml, ap");
    assert_eq!(text(&file.dataset("force").unwrap(), "units"), "N");
    assert_eq!(text(&file, "started"), "2026-03-01T09:44:05.123456+01:00");
    for name in ["raw/counts", "raw/time_us", "raw/sequence", "raw/status", "force", "cop"] {
        let filters = file.dataset(name).unwrap().filters();
        assert!(filters.contains(&hdf5::filters::Filter::Fletcher32), "{name}");
    }
}

#[test]
fn only_the_owner_may_read_it() {
    let (_folder, path) = sealed(&board_trial(10));
    assert_eq!(fs::metadata(path).unwrap().permissions().mode() & 0o777, 0o600);
}

#[test]
fn nothing_is_overwritten() {
    let (folder, path) = sealed(&board_trial(10));
    let before = fs::read(&path).unwrap();
    let again = seal(&board_trial(20), folder.path());
    assert!(matches!(again, Err(SealError::AlreadySealed { .. })));
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(names(&folder).len(), 1);
}

#[test]
fn what_cannot_be_sealed_leaves_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    let refused = |change: fn(&mut StoredTrial), wanted: &str| {
        let mut trial = board_trial(10);
        change(&mut trial);
        let error = seal(&trial, folder.path()).unwrap_err();
        let cause =
            std::error::Error::source(&error).map_or(error.to_string(), ToString::to_string);
        assert_eq!(cause, wanted);
        assert!(names(&folder).is_empty());
    };
    refused(|t| t.samples = Samples::default(), "it holds no sample");
    refused(
        |t| t.facts.id = "../../escape".to_owned(),
        "\"../../escape\" is not a trial's id: a UUID of version 7 in small letters",
    );
    refused(
        |t| t.facts.id = "018F4E2A-7C00-7123-8ABC-0123456789AB".to_owned(),
        "\"018F4E2A-7C00-7123-8ABC-0123456789AB\" is not a trial's id: a UUID of version 7 in \
         small letters",
    );
    refused(|t| t.facts.settled_s = -1.0, "the time of settling in seconds cannot be -1");
    refused(
        |t| t.facts.body_height_m = Some(f64::NAN),
        "the person's height in metres cannot be NaN",
    );
    refused(
        |t| t.facts.program = "x".repeat(257),
        "the text of program must have no zero byte and at most 256 bytes",
    );
    refused(
        |t| t.facts.setup.board = "a\0".to_owned(),
        "the text of board must have no zero byte and at most 256 bytes",
    );
    refused(
        |t| t.samples.cop[3] = Some(Cop::new(f64::NAN, 0.0)),
        "the centre of pressure of sample 3 is not a finite number",
    );
    refused(|t| t.samples.sequence.truncate(9), "it holds 9 sequence numbers for 10 samples");
    refused(
        |t| t.samples.raw = None,
        "a trial of a board has counts and forces, an imported one has no counts",
    );
}

#[test]
fn a_folder_that_is_missing_is_named() {
    let folder = tempfile::tempdir().unwrap().path().join("gone");
    let error = seal(&board_trial(2), &folder).unwrap_err();
    assert!(matches!(error, SealError::Folder { step: "create", .. }), "{error}");
}

#[test]
fn what_is_no_trial_file_is_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let put = |bytes: &[u8]| {
        let path = folder.path().join("other.h5");
        fs::write(&path, bytes).unwrap();
        open(&path).unwrap_err().to_string()
    };
    assert_eq!(
        open(&folder.path().join("none.h5")).unwrap_err().to_string(),
        "there is no such file"
    );
    assert_eq!(open(folder.path()).unwrap_err().to_string(), "it is not a file");
    assert_eq!(put(b""), "it is not a trial file");
    assert_eq!(put(b"Time\tFx\n"), "it is not a trial file");
    assert_eq!(put(&[0; 4096]), "it is not a trial file");
    let huge = folder.path().join("huge.h5");
    fs::File::create(&huge).unwrap().set_len(MAX_FILE_BYTES + 1).unwrap();
    assert_eq!(
        open(&huge).unwrap_err().to_string(),
        "it has 536870913 bytes, the limit is 536870912"
    );
    let (_kept, path) = sealed(&board_trial(10));
    let whole = fs::read(path).unwrap();
    let half = whole.len() / 2;
    assert_eq!(put(&whole[..half]), format!("it is cut short: {half} bytes of {}", whole.len()));
    let mut spoilt = whole;
    spoilt[half] ^= 0x10;
    assert_eq!(put(&spoilt), "it is damaged: its content does not match its digest");
}

/// A process that starts while the HDF5 library has a file open inherits it, lock and all.
#[test]
fn other_processes_that_start_and_stay_do_not_hinder_sealing() {
    let started = AtomicUsize::new(0);
    let done = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| {
            let mut others = Vec::new();
            while !done.load(Ordering::Relaxed) && others.len() < 1000 {
                others.push(Command::new("sleep").arg("60").spawn().unwrap());
                started.fetch_add(1, Ordering::Relaxed);
            }
            for mut other in others {
                other.kill().unwrap();
                other.wait().unwrap();
            }
        });
        let (mut n_sealed, mut refused) = (0, None);
        while refused.is_none() && (n_sealed < 20 || started.load(Ordering::Relaxed) < 200) {
            let folder = TempDir::new().unwrap();
            let trial = board_trial(100);
            refused = seal(&trial, folder.path())
                .and_then(|path| Ok(open(&path).map_err(Box::new)?))
                .err();
            n_sealed += 1;
        }
        done.store(true, Ordering::Relaxed);
        assert!(refused.is_none(), "after {n_sealed} stands: {refused:?}");
    });
}

/// Content that was changed on purpose and given a fitting digest again.
fn forged(change: impl FnOnce(&hdf5::File)) -> String {
    let (folder, path) = sealed(&board_trial(10));
    let file = hdf5::File::open_rw(&path).unwrap();
    change(&file);
    file.close().unwrap();
    open(&with_digest(&path, &folder)).unwrap_err().to_string()
}

/// A copy of the file at `path`, given a fitting digest.
fn with_digest(path: &Path, folder: &TempDir) -> PathBuf {
    let copy = folder.path().join("with-digest.h5");
    seal::complete(path, &mut fs::File::create(&copy).unwrap()).unwrap();
    copy
}

fn replace<T: hdf5::H5Type>(place: &hdf5::Location, name: &str, value: &T) {
    place.delete_attr(name).unwrap();
    place.new_attr::<T>().create(name).unwrap().write_scalar(value).unwrap();
}

#[test]
fn a_fitting_digest_does_not_make_content_trusted() {
    use hdf5::types::FixedUnicode;
    type Text = FixedUnicode<MAX_TEXT_BYTES>;
    let text = |text: &str| text.parse::<Text>().unwrap();

    assert_eq!(
        forged(|file| replace(file, "format_version", &2_u32)),
        "it is of format version 2, this program reads up to 1"
    );
    assert_eq!(
        forged(|file| replace(file, "format", &text("another"))),
        "its content is not that of a trial file"
    );
    assert_eq!(
        forged(|file| replace(file, "vision", &text("shut"))),
        "\"shut\" is not a vision; it is one of: open, closed"
    );
    assert_eq!(
        forged(|file| replace(file, "person", &text("../x"))),
        "\"../x\" is not a person's code: use 1 to 32 letters, digits, hyphens or underscores"
    );
    assert_eq!(
        forged(|file| replace(file, "asked_s", &60_u8)),
        "its part \"asked_s\" is not a single float64"
    );
    assert_eq!(forged(|file| file.delete_attr("id").unwrap()), "its part \"id\" is not there");
    assert_eq!(
        forged(|file| replace(file, "program", &[0xff_u8; 256])),
        "its part \"program\" is not a single unicode (len 256)"
    );
    assert_eq!(forged(|file| file.unlink("cop").unwrap()), "its part \"cop\" is not there");
    assert_eq!(
        forged(|file| {
            file.unlink("cop").unwrap();
            file.link_external("/etc/hostname", "/cop", "cop").unwrap();
        }),
        "its part \"cop\" is not part of the file itself"
    );
    assert_eq!(
        forged(|file| {
            file.unlink("cop").unwrap();
            file.new_dataset::<f64>().shape((10, 2)).create("cop").unwrap();
        }),
        "its part \"cop\" is not stored in plain chunks"
    );
    assert_eq!(
        forged(|file| {
            file.unlink("cop").unwrap();
            file.new_dataset::<f32>().chunk((10, 2)).shape((10, 2)).create("cop").unwrap();
        }),
        "its part \"cop\" is not of type float64"
    );
    assert_eq!(
        forged(|file| {
            file.unlink("cop").unwrap();
            file.new_dataset::<f64>().chunk((9, 2)).shape((9, 2)).create("cop").unwrap();
        }),
        "its part \"cop\" is not whole"
    );
    assert_eq!(
        forged(|file| {
            file.unlink("cop").unwrap();
            let short = ndarray::Array2::<f64>::zeros((9, 2));
            file.new_dataset_builder().chunk((9, 2)).with_data(&short).create("cop").unwrap();
        }),
        "it contradicts itself"
    );
    assert_eq!(
        forged(|file| {
            file.unlink("cop").unwrap();
            let huge = file.new_dataset::<f64>().chunk((4096, 2));
            huge.deflate(9).shape((1 << 40, 2)).create("cop").unwrap();
        }),
        "its part \"cop\" is not a table of 2 columns and at most 4000000 rows"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, rng_seed: RngSeed::Fixed(71), failure_persistence: None, ..<_>::default() })]

    /// The digest alone must find each of them.
    #[test]
    fn no_damage_goes_unseen(
        flips in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..8), 1..4),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        static WHOLE: std::sync::LazyLock<Vec<u8>> = std::sync::LazyLock::new(|| {
            let (_folder, path) = sealed(&board_trial(50));
            fs::read(path).unwrap()
        });
        let mut bytes = WHOLE.clone();
        for (place, bit) in flips {
            let place = place.index(bytes.len());
            bytes[place] ^= 1 << bit;
        }
        bytes.truncate(cut.map_or(bytes.len(), |cut| cut.index(bytes.len())));
        prop_assume!(bytes != *WHOLE);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("damaged.h5");
        fs::write(&path, bytes).unwrap();
        prop_assert!(matches!(open(&path), Err(OpenTrialError::Digest(_))));
    }

    /// The same behind a fitting digest, as if the damage came before sealing: no panic, and either
    /// a clear refusal or a trial that is consistent. The library's own checks are the last line.
    #[test]
    fn damage_with_a_fitting_digest_never_panics(
        flips in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..8), 1..4),
    ) {
        static WHOLE: std::sync::LazyLock<Vec<u8>> = std::sync::LazyLock::new(|| {
            let (_folder, path) = sealed(&board_trial(50));
            fs::read(path).unwrap()
        });
        let mut bytes = WHOLE.clone();
        for (place, bit) in flips {
            let place = 512 + place.index(bytes.len() - 512);
            bytes[place] ^= 1 << bit;
        }
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("damaged.h5");
        fs::write(&path, bytes).unwrap();
        if let Ok(trial) = open(&with_digest(&path, &folder)) {
            prop_assert_eq!(super::consistency::check(&trial), Ok(()));
            prop_assert_eq!(&trial, &board_trial(50), "silently wrong");
        }
    }
}
