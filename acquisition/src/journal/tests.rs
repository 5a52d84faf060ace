use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use analysis::{Condition, Facing, Setup, Stance, Surface, TrialKind, Vision};
use proptest::prelude::*;

use super::contents::{Contents, ReadJournalError};
use super::durable_file::DurableFile;
use super::head::{BadHead, BoardFacts, JournalHead};
use super::recover::{RecoverError, recover, recover_all};
use super::writer::{Journal, WriteJournalError, opening};
use crate::board_session::BoardFrame;
use crate::calibration::tests::square_board;
use crate::stored_trial::{Ending, Origin, TrialFacts};
use crate::test_stand::Stand;
use crate::wall_time::WallTime;
use crate::zero::Zero;

/// Ids of two trials: version 7, as every trial's.
const ID: &str = "01936d6c-7a10-7b3c-9d4e-0123456789ab";
const OTHER_ID: &str = "01936d6c-7a10-7b3c-9d4e-0123456789ac";

fn head(id: &str) -> JournalHead {
    let zero = Zero { counts: [12_000.5, 15_000.0, -3_000.0, 20_000.0], board_time_us: 4_500_000 };
    let mut calibration = square_board();
    calibration.covariance = Some(Box::new([[1e-3 / 3.0; 12]; 12]));
    JournalHead {
        facts: TrialFacts {
            id: id.to_owned(),
            person: "P-07".parse().unwrap(),
            session: Some("s1".to_owned()),
            plan: None,
            condition: Condition::unaided(Surface::Foam, Stance::Together, Vision::Closed),
            kind: TrialKind::Measured,
            setup: Setup {
                board: calibration.board_id.clone(),
                sole_height_mm: Some(80.0),
                facing: Facing::Front,
            },
            body_height_m: Some(1.7),
            body_mass_kg: Some(60.0),
            started: WallTime::new(1_767_225_600_000_000, 3_600).unwrap(),
            settled_s: 10.004,
            asked_s: 60.0,
            program: "footing 0.1.0".to_owned(),
        },
        board: BoardFacts {
            board_id: calibration.board_id.clone(),
            firmware: "1.0.0".to_owned(),
            frames_per_s: 250.0,
            temperature_c: Some(21.5),
            calibration,
            zero,
        },
    }
}

/// Frames of somebody who stands, at `frames_per_s`.
fn frames(frames_per_s: u64, seconds: f64) -> Vec<BoardFrame> {
    Stand::at(frames_per_s).person(seconds, 60.0).frames
}

/// A disk in memory: what was written, and how much of it is safe.
#[derive(Debug, Default)]
struct Disk {
    bytes: Vec<u8>,
    n_safe_bytes: usize,
    /// Lengths at which a sync had brought everything to safety.
    sync_points: Vec<usize>,
    capacity: Option<usize>,
}

#[derive(Debug, Clone, Default)]
struct DiskFile(Arc<Mutex<Disk>>);

impl DurableFile for DiskFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut disk = self.0.lock().unwrap();
        let room = disk.capacity.map_or(usize::MAX, |capacity| capacity - disk.bytes.len());
        let n_bytes = bytes.len().min(room);
        disk.bytes.extend(&bytes[..n_bytes]);
        if n_bytes == bytes.len() { Ok(()) } else { Err(io::ErrorKind::StorageFull.into()) }
    }

    fn sync_soon(&mut self) -> io::Result<()> {
        let mut disk = self.0.lock().unwrap();
        disk.n_safe_bytes = disk.bytes.len();
        let n_safe_bytes = disk.n_safe_bytes;
        disk.sync_points.push(n_safe_bytes);
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        self.sync_soon()
    }
}

/// A journal on a disk in memory, with its head written.
fn begin(head: &JournalHead, capacity: Option<usize>) -> (Journal, DiskFile) {
    let (bytes, chain) = opening(head).unwrap();
    let mut disk = DiskFile::default();
    disk.append(&bytes).unwrap();
    disk.sync_soon().unwrap();
    disk.0.lock().unwrap().capacity = capacity;
    (Journal::over(Box::new(disk.clone()), PathBuf::from("in memory"), chain), disk)
}

/// A whole journal, and where each of its blocks ends with how many frames up to there.
fn whole(id: &str, frames: &[BoardFrame]) -> (Vec<u8>, Vec<(usize, usize)>) {
    let (mut journal, disk) = begin(&head(id), None);
    let now = Instant::now();
    let mut ends = vec![(disk.0.lock().unwrap().bytes.len(), 0)];
    for (index, frame) in frames.iter().enumerate() {
        journal.push(*frame, now).unwrap();
        let n_bytes = disk.0.lock().unwrap().bytes.len();
        if ends.last().unwrap().0 < n_bytes {
            ends.push((n_bytes, index + 1));
        }
    }
    journal.finish(Ending::HoldReached).unwrap();
    let disk = disk.0.lock().unwrap();
    let last_frames = *disk.sync_points.iter().rev().nth(1).unwrap();
    if ends.last().unwrap().0 < last_frames {
        ends.push((last_frames, frames.len()));
    }
    (disk.bytes.clone(), ends)
}

/// How many frames lie in blocks that end at or before this byte.
fn frames_before(ends: &[(usize, usize)], n_bytes: usize) -> Option<usize> {
    ends.iter().take_while(|(end, _)| *end <= n_bytes).last().map(|(_, n_frames)| *n_frames)
}

fn read(bytes: &[u8]) -> Result<Contents, ReadJournalError> {
    Contents::read(bytes)
}

#[test]
fn what_was_written_is_what_is_read() {
    let frames = frames(250, 3.0);
    let (mut journal, disk) = begin(&head(ID), None);
    let now = Instant::now();
    for frame in &frames[..500] {
        journal.push(*frame, now).unwrap();
    }
    journal.note_damaged();
    journal.note_damaged();
    journal.note_repeated();
    for frame in &frames[503..] {
        journal.push(*frame, now).unwrap();
    }
    journal.finish(Ending::StepOff).unwrap();
    let bytes = disk.0.lock().unwrap().bytes.clone();
    let contents = read(&bytes).unwrap();
    assert_eq!(contents.head, head(ID));
    assert_eq!(contents.ended, Some(Ending::StepOff.into()));
    assert_eq!(contents.n_good_bytes, bytes.len() as u64);
    let trial = contents.into_trial();
    assert_eq!(trial.facts, head(ID).facts);
    let Origin::Board(board) = &trial.origin else { panic!("{:?}", trial.origin) };
    assert_eq!(
        (board.link.lost_frames, board.link.damaged_frames, board.link.repeated_frames),
        (3, 2, 1)
    );
    assert_eq!(board.ended, Ending::StepOff);
    let kept = frames[..500].iter().chain(&frames[503..]);
    let counts: Vec<[i32; 4]> = kept.clone().map(|frame| frame.counts).collect();
    assert_eq!(trial.samples.raw.as_ref().unwrap().counts, counts);
    assert_eq!(trial.samples.time_us, kept.map(|frame| frame.time_us).collect::<Vec<_>>());
    // 60 kg stand on it.
    let load: f64 = trial.samples.forces_newtons.as_ref().unwrap()[0].iter().sum();
    assert!((load - 588.4).abs() < 0.05, "{load}");
    assert!(trial.samples.cop.iter().all(Option::is_some));
}

#[test]
fn a_journal_without_its_end_is_a_recovered_trial() {
    let (bytes, ends) = whole(ID, &frames(250, 1.0));
    let last_frames = ends.last().unwrap().0;
    let contents = read(&bytes[..last_frames]).unwrap();
    assert_eq!(contents.ended, None);
    let Origin::Board(board) = contents.into_trial().origin else { panic!("not a board's") };
    assert_eq!(board.ended, Ending::Recovered);
}

#[test]
fn a_head_that_cannot_be_used_says_why() {
    let json = String::from_utf8(head(ID).to_json().unwrap()).unwrap();
    let check = |from: &str, to: &str, wanted: &str| {
        let changed = json.replacen(from, to, 1);
        assert_ne!(changed, json, "{from}");
        let error = JournalHead::from_json(changed.as_bytes()).unwrap_err();
        assert_eq!(error.to_string(), wanted);
    };
    check(
        "\"version\":1",
        "\"version\":2",
        "the journal's first block has version 2; this program knows version 1",
    );
    check(
        "foam/together",
        "sand/together",
        "the condition in the journal's first block cannot be \"sand/together/closed/none/none\"",
    );
    check(
        "[0.001,",
        "[0.0,",
        "the calibration in the journal's first block cannot be \
         \"the gain of the front left corner cannot be 0 newtons per count\"",
    );
    let error = JournalHead::from_json(b"{}").unwrap_err();
    assert!(matches!(error, BadHead::Json(_)), "{error}");
}

#[test]
fn what_an_older_file_left_on_the_disk_is_not_taken_for_more_of_this_one() {
    let frames = frames(250, 2.0);
    let (bytes, ends) = whole(ID, &frames);
    let (other, other_ends) = whole(OTHER_ID, &frames);
    let (cut, n_frames) = ends[5];
    for (end, _) in other_ends {
        let mixed = [&bytes[..cut], &other[end..]].concat();
        assert_eq!(read(&mixed).unwrap().frames, frames[..n_frames], "{end}");
    }
    // Nor a block of its own that stands there twice, or too late.
    let (block, _) = ends[4];
    let twice = [&bytes[..cut], &bytes[block..]].concat();
    assert_eq!(read(&twice).unwrap().frames, frames[..n_frames]);
    let (after, _) = ends[6];
    let skipped = [&bytes[..cut], &bytes[after..]].concat();
    assert_eq!(read(&skipped).unwrap().frames, frames[..n_frames]);
    // A file system that grew the file but never wrote the bytes.
    let zeros = [&bytes[..cut], &[0; 4096]].concat();
    assert_eq!(read(&zeros).unwrap().frames, frames[..n_frames]);
}

#[test]
fn blocks_are_synced_every_tenth_of_a_second_of_either_clock() {
    let wall = Instant::now();
    let check = |frames: &[BoardFrame], wall_step: Duration, wanted: &[usize]| {
        let (mut journal, disk) = begin(&head(ID), None);
        let mut synced_at = Vec::new();
        for (index, frame) in frames.iter().enumerate() {
            let before = disk.0.lock().unwrap().sync_points.len();
            journal.push(*frame, wall + wall_step * u32::try_from(index).unwrap()).unwrap();
            if before < disk.0.lock().unwrap().sync_points.len() {
                synced_at.push(index);
            }
        }
        assert_eq!(synced_at, wanted);
    };
    // 4 ms a frame on the board's clock, all at once by the computer's.
    check(&frames(250, 0.3), Duration::ZERO, &[25, 51]);
    // 1 ms a frame on the board's clock, but 30 ms by a computer that is behind.
    check(&frames(1000, 0.01), Duration::from_millis(30), &[4, 9]);
}

#[test]
fn a_full_disk_keeps_what_was_written_and_says_so() {
    let frames = frames(250, 3.0);
    let (_, ends) = whole(ID, &frames);
    // Room for four blocks of frames and a part of the next.
    let (end, n_frames) = ends[4];
    let (mut journal, disk) = begin(&head(ID), Some(end + 300));
    let now = Instant::now();
    let error = frames.iter().find_map(|frame| journal.push(*frame, now).err()).unwrap();
    let wanted = format!(
        "recording stopped after {n_frames} frames, which are kept: \"in memory\" cannot be written"
    );
    assert_eq!(error.to_string(), wanted);
    match error {
        WriteJournalError::Write { source, .. } => {
            assert_eq!(source.kind(), io::ErrorKind::StorageFull);
        }
        other => panic!("{other:?}"),
    }
    let contents = read(&disk.0.lock().unwrap().bytes).unwrap();
    assert_eq!(contents.frames, frames[..n_frames]);
}

fn record_into(folder: &Path, frames: &[BoardFrame]) -> Journal {
    let mut journal = Journal::create(folder, &head(ID)).unwrap();
    let now = Instant::now();
    for frame in frames {
        journal.push(*frame, now).unwrap();
    }
    journal
}

#[test]
fn a_journal_that_is_being_written_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let journal = record_into(folder.path(), &frames(250, 1.0));
    let found = recover_all(folder.path()).unwrap();
    assert!(matches!(found[..], [Err(RecoverError::InUse { .. })]), "{found:?}");
    drop(journal);
    let found = recover_all(folder.path()).unwrap();
    match &found[..] {
        // 0.1 s of frames were still waiting: 250 were pushed.
        [Ok(recovered)] => {
            assert!(!recovered.complete);
            assert_eq!(recovered.trial.samples.n_samples(), 234);
            // Held by whoever recovers it, until it is sealed or dropped.
            let again = recover_all(folder.path()).unwrap();
            assert!(matches!(again[..], [Err(RecoverError::InUse { .. })]), "{again:?}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_sealed_trial_is_the_journal_and_the_journal_is_gone() {
    let folder = tempfile::tempdir().unwrap();
    let trials = tempfile::tempdir().unwrap();
    let path = record_into(folder.path(), &frames(250, 1.0)).finish(Ending::HoldReached).unwrap();
    let recovered = recover(&path).unwrap();
    let trial = recovered.trial.clone();
    assert!(recovered.complete);
    let sealed = recovered.seal(trials.path()).unwrap();
    assert_eq!(sealed.kept_journal, None);
    let stored = crate::trial_file::open(&sealed.trial_file.unwrap()).unwrap();
    assert_eq!(stored, trial);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_crash_between_sealing_and_removing_is_harmless() {
    let folder = tempfile::tempdir().unwrap();
    let trials = tempfile::tempdir().unwrap();
    let path = record_into(folder.path(), &frames(250, 1.0)).finish(Ending::HoldReached).unwrap();
    let journal = fs::read(&path).unwrap();
    super::seal(&path, trials.path()).unwrap();
    fs::write(&path, journal).unwrap();
    let again = super::seal(&path, trials.path()).unwrap();
    assert!(again.trial_file.is_some());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    assert_eq!(fs::read_dir(trials.path()).unwrap().count(), 1);
}

#[test]
fn a_journal_killed_before_its_first_sync_is_recovered() {
    let folder = tempfile::tempdir().unwrap();
    let journal = record_into(folder.path(), &frames(250, 1.0));
    drop(journal);
    let path = folder.path().join(ID).with_extension("journal");
    let unborn = path.with_extension("journal-new");
    fs::rename(&path, &unborn).unwrap();
    let found = recover_all(folder.path()).unwrap();
    let [Ok(recovered)] = &found[..] else { panic!("{found:?}") };
    assert_eq!(recovered.trial.samples.n_samples(), 234);
    // After a power cut there may be as many zeros in its place: then it never began.
    drop(found);
    let n_bytes = fs::metadata(&unborn).unwrap().len();
    fs::write(&unborn, vec![0; usize::try_from(n_bytes).unwrap()]).unwrap();
    assert!(recover_all(folder.path()).unwrap().is_empty());
    assert!(!unborn.exists());
}

#[test]
fn a_journal_without_frames_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let trials = tempfile::tempdir().unwrap();
    let path = record_into(folder.path(), &[]).finish(Ending::Stopped).unwrap();
    assert_eq!(super::seal(&path, trials.path()).unwrap().trial_file, None);
    // Nor does one that never got its head.
    fs::write(folder.path().join(OTHER_ID).with_extension("journal-new"), b"FOOT").unwrap();
    assert!(recover_all(folder.path()).unwrap().is_empty());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_journal_damaged_in_the_middle_is_sealed_up_to_there_and_kept_aside() {
    let folder = tempfile::tempdir().unwrap();
    let trials = tempfile::tempdir().unwrap();
    let path = record_into(folder.path(), &frames(1000, 5.0)).finish(Ending::HoldReached).unwrap();
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x10;
    fs::write(&path, &bytes).unwrap();
    let recovered = recover(&path).unwrap();
    let n_samples = recovered.trial.samples.n_samples();
    assert!((2_300..2_500).contains(&n_samples), "{n_samples}");
    assert!(65_536 < recovered.n_lost_bytes, "{}", recovered.n_lost_bytes);
    let sealed = recovered.seal(trials.path()).unwrap();
    assert_eq!(fs::read(sealed.kept_journal.unwrap()).unwrap(), bytes);
    assert!(recover_all(folder.path()).unwrap().is_empty());
}

#[cfg(unix)]
#[test]
fn a_journal_is_for_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;

    let folder = tempfile::tempdir().unwrap();
    let path = record_into(folder.path(), &[]).finish(Ending::Stopped).unwrap();
    assert_eq!(fs::metadata(path).unwrap().permissions().mode() & 0o777, 0o600);
}

proptest! {
    #[test]
    fn a_cut_keeps_every_whole_block_and_nothing_else(
        n_frames in 0_usize..400,
        cut in 0.0_f64..1.0,
    ) {
        let frames = &frames(250, 2.0)[..n_frames];
        let (bytes, ends) = whole(ID, frames);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place in it")]
        let cut = (bytes.len() as f64 * cut) as usize;
        let kept = read(&bytes[..cut]);
        match frames_before(&ends, cut) {
            None => prop_assert!(kept.is_err()),
            Some(n_kept) => prop_assert_eq!(&kept.unwrap().frames, &frames[..n_kept]),
        }
    }

    #[test]
    fn flipped_bits_keep_every_whole_block_before_them_and_let_no_wrong_frame_in(
        n_frames in 30_usize..400,
        flips in prop::collection::vec((0.0_f64..1.0, 0_u32..8), 1..12),
    ) {
        let frames = &frames(250, 2.0)[..n_frames];
        let (mut bytes, ends) = whole(ID, frames);
        let sound = bytes.clone();
        for (place, bit) in flips {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place")]
            let place = (bytes.len() as f64 * place) as usize;
            bytes[place] ^= 1 << bit;
        }
        let first_bad = sound.iter().zip(&bytes).position(|(a, b)| a != b);
        let kept = read(&bytes);
        match frames_before(&ends, first_bad.unwrap_or(bytes.len())) {
            None => prop_assert!(kept.is_err()),
            Some(n_kept) => prop_assert_eq!(&kept.unwrap().frames, &frames[..n_kept]),
        }
    }

    #[test]
    fn no_bytes_panic(
        front in any::<bool>(),
        bytes in prop::collection::vec(any::<u8>(), 0..3_000),
    ) {
        let front: &[u8] = if front { b"FOOTJRNL\x01\0\0\0\0\0\0\0" } else { b"" };
        prop_assert!(read(&[front, &bytes].concat()).is_err());
    }

    #[test]
    fn a_power_cut_at_any_frame_loses_at_most_the_last_tenth_of_a_second(
        n_frames in 1_usize..1_500,
        n_extra_bytes in 0_usize..5_000,
        junk in any::<u8>(),
    ) {
        let frames = frames(1000, 1.5);
        let (mut journal, disk) = begin(&head(ID), None);
        let now = Instant::now();
        for frame in &frames[..n_frames] {
            journal.push(*frame, now).unwrap();
        }
        // Of what was not synced, the disk may hold a part, or room with anything in it.
        let disk = disk.0.lock().unwrap();
        let mut left = disk.bytes[..disk.n_safe_bytes].to_vec();
        left.extend(std::iter::repeat_n(junk, n_extra_bytes));
        let kept = read(&left).unwrap().frames;
        prop_assert_eq!(&kept[..], &frames[..kept.len()]);
        let lost_us = frames[n_frames - 1].time_us
            - kept.last().map_or(0, |last| last.time_us);
        prop_assert!(lost_us <= 100_000, "{} us lost", lost_us);
    }
}
