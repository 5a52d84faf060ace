use std::path::Path;

use analysis::{Condition, Facing, Setup, Stance, Surface, TrialKind, Vision};

use super::*;
use crate::calibration::tests::square_board;
use crate::journal;
use crate::stored_trial::{Origin, StoredTrial};
use crate::test_stand::{Stand, zero_error_counts};
use crate::transport::Replay;
use crate::trial_file;

fn request() -> RecordRequest {
    RecordRequest {
        facts: TrialFacts {
            id: "01936d6c-7a10-7b3c-9d4e-0123456789ab".to_owned(),
            person: "P-07".parse().unwrap(),
            session: None,
            plan: None,
            condition: Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open),
            kind: TrialKind::Measured,
            setup: Setup { board: String::new(), sole_height_mm: None, facing: Facing::Front },
            body_height_m: None,
            body_mass_kg: None,
            started: WallTime { unix_us: 0, offset_s: 0 },
            settled_s: 0.0,
            asked_s: 0.0,
            program: "test 0".to_owned(),
        },
        calibration: square_board(),
        settle_s: 5.0,
        record_s: 10.0,
        forbidden: None,
    }
}

/// Records what the board of this stand sends, in pieces that cut frames apart.
fn record_replay(
    stand: &Stand,
    folder: &Path,
    observer: &mut dyn RecordObserver,
) -> Result<RecordedTrial, RecordError> {
    let replay = Replay::new("test", stand.on_the_cable()).in_pieces(vec![1, 50, 400, 3]);
    let session = BoardSession::over(Box::new(replay)).unwrap();
    record(&session, &request(), folder, observer)
}

fn go_on(_: &Progress) -> Wish {
    Wish::GoOn
}

#[test]
fn a_stand_becomes_a_sealed_trial() {
    let folder = tempfile::tempdir().unwrap();
    let journals = folder.path().join("journals");
    let stand = Stand::at(250).empty(7.0).person(20.0, 60.0).empty(1.0);
    let recorded = record_replay(&stand, &journals, &mut go_on).unwrap();
    assert_eq!((recorded.ended, recorded.n_frames), (Ending::HoldReached, 2_500));
    let sealed = journal::seal(&recorded.journal, folder.path()).unwrap();
    let trial = trial_file::open(&sealed.trial_file.unwrap()).unwrap();
    // On at 7 s, settled 5 s.
    assert_eq!(trial.samples.time_us.first(), Some(&12_000_000));
    assert_eq!(trial.samples.n_samples(), 2_500);
    assert!((trial.facts.settled_s - 5.0).abs() < 1e-9);
    assert!((trial.facts.asked_s - 10.0).abs() < 1e-12);
    assert_eq!(trial.facts.setup.board, "0102030405060708090a0b0c");
    let Origin::Board(board) = trial.origin else { panic!("not a board's") };
    assert_eq!((board.ended, board.link.lost_frames), (Ending::HoldReached, 0));
    assert!(zero_error_counts(&board.zero) < 1e-6, "{:?}", board.zero);
    // The synthetic person sways by 5 % of the half depth of 200 mm, fore and aft.
    let reach_mm = trial.samples.cop.iter().map(|cop| cop.unwrap().ap_mm.abs()).fold(0.0, f64::max);
    assert!((reach_mm - 10.0).abs() < 0.01, "{reach_mm}");
}

/// The front left cell reads 0.2 N (200 counts) more once the person is off: while they stood, the
/// zero lies on the straight line between, so the last sample is lighter by its share of 0.2 N.
#[test]
fn a_zero_that_moved_is_taken_off_along_a_straight_line() {
    let folder = tempfile::tempdir().unwrap();
    let journals = folder.path().join("journals");
    let stand =
        Stand::at(250).empty(7.0).person(20.0, 60.0).carries(30.0, |_| [0.2, 0.0, 0.0, 0.0]);
    let recorded = record_replay(&stand, &journals, &mut go_on).unwrap();
    let sealed = journal::seal(&recorded.journal, folder.path()).unwrap();
    let trial = trial_file::open(&sealed.trial_file.unwrap()).unwrap();
    let Origin::Board(board) = &trial.origin else { panic!("not a board's") };
    let after = board.zero_after.unwrap();
    let moved = board.zero_line().moved_newtons(&board.calibration.newtons_per_count).unwrap();
    for (moved, wanted) in moved.into_iter().zip([0.2, 0.0, 0.0, 0.0]) {
        assert!((moved - wanted).abs() < 1e-9, "{moved}");
    }
    // Off at 27 s, ten of rest, five read.
    assert_eq!(after.board_time_us, 39_500_000);
    let span_us = after.board_time_us - board.zero.board_time_us;
    for (i, forces) in trial.samples.forces_newtons.unwrap().iter().enumerate() {
        let raw = trial.samples.raw.as_ref().unwrap().counts[i][0];
        let into_us = trial.samples.time_us[i] - board.zero.board_time_us;
        let share = into_us as f64 / span_us as f64;
        let wanted = (f64::from(raw) - board.zero.counts[0]) * 0.001 - 0.2 * share;
        assert!((forces[0] - wanted).abs() < 1e-9, "{i}: {} {wanted}", forces[0]);
    }
}

#[test]
fn somebody_who_stays_on_has_no_zero_after() {
    let folder = tempfile::tempdir().unwrap();
    let stand = Stand::at(250).empty(7.0).person(60.0, 60.0);
    let recorded = record_replay(&stand, folder.path(), &mut go_on).unwrap();
    let sealed = journal::seal(&recorded.journal, folder.path()).unwrap();
    let trial = trial_file::open(&sealed.trial_file.unwrap()).unwrap();
    let Origin::Board(board) = trial.origin else { panic!("not a board's") };
    assert_eq!((board.ended, board.zero_after), (Ending::HoldReached, None));
}

#[test]
fn the_watcher_hears_every_stage_and_every_frame() {
    #[derive(Default)]
    struct Watcher {
        stages: Vec<&'static str>,
        n_live: usize,
    }
    impl RecordObserver for Watcher {
        fn progress(&mut self, progress: &Progress) -> Wish {
            let name = match progress.stage {
                Stage::Zeroing { .. } => "zeroing",
                Stage::AwaitingLoad => "awaiting load",
                Stage::AwaitingStillness => "awaiting stillness",
                Stage::ConfirmingPerson { .. } => "confirming",
                Stage::Settling => "settling",
                Stage::Recording => "recording",
                Stage::Ended(_) => "ended",
            };
            if self.stages.last() != Some(&name) {
                self.stages.push(name);
            }
            Wish::GoOn
        }

        fn live(&mut self, _: &LiveView) {
            self.n_live += 1;
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let stand = Stand::at(250).empty(7.0).person(20.0, 60.0);
    let mut watcher = Watcher::default();
    record_replay(&stand, folder.path(), &mut watcher).unwrap();
    let wanted =
        ["zeroing", "awaiting load", "awaiting stillness", "settling", "recording", "ended"];
    assert_eq!(watcher.stages, wanted);
    // From the first zero, at 5 s, to the end at 22 s.
    assert_eq!(watcher.n_live, 17 * 250 + 1);
}

#[test]
fn a_board_lost_in_a_record_ends_it_and_keeps_it() {
    let folder = tempfile::tempdir().unwrap();
    let stand = Stand::at(250).empty(7.0).person(9.0, 60.0);
    let recorded = record_replay(&stand, folder.path(), &mut go_on).unwrap();
    assert_eq!((recorded.ended, recorded.n_frames), (Ending::BoardLost, 1_000));
    let recovered = journal::recover(&recorded.journal).unwrap();
    assert_eq!(recovered.trial.samples.n_samples(), 1_000);
}

#[test]
fn a_board_lost_before_the_record_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let stand = Stand::at(250).empty(7.0).person(4.0, 60.0);
    let error = record_replay(&stand, folder.path(), &mut go_on).unwrap_err();
    assert!(matches!(error, RecordError::LostBefore(_)), "{error}");
    assert!(journal::recover_all(folder.path()).unwrap().is_empty());
}

#[test]
fn a_stop_before_the_record_leaves_nothing_and_a_stop_within_keeps_it() {
    let folder = tempfile::tempdir().unwrap();
    let stand = Stand::at(250).empty(7.0).person(20.0, 60.0);
    let stop_at = |wanted: fn(&Stage) -> bool| {
        move |progress: &Progress| {
            if wanted(&progress.stage) { Wish::Stop } else { Wish::GoOn }
        }
    };
    let mut early = stop_at(|stage| matches!(stage, Stage::Settling));
    let error = record_replay(&stand, folder.path(), &mut early).unwrap_err();
    assert!(matches!(error, RecordError::StoppedBefore), "{error}");
    let mut late = stop_at(|stage| matches!(stage, Stage::Recording));
    let recorded = record_replay(&stand, folder.path(), &mut late).unwrap();
    assert_eq!(recorded.ended, Ending::Stopped);
    assert!(0 < recorded.n_frames && recorded.n_frames < 2_500, "{}", recorded.n_frames);
}

#[test]
fn a_folder_that_cannot_be_made_is_named_before_anybody_steps_on() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a file");
    std::fs::write(&file, b"").unwrap();
    let stand = Stand::at(250).empty(1.0);
    let error = record_replay(&stand, &file.join("journals"), &mut go_on).unwrap_err();
    assert!(matches!(error, RecordError::Journal(WriteJournalError::Create { .. })), "{error}");
}

#[test]
fn a_trial_for_which_the_disk_has_no_room_is_refused_before_anybody_steps_on() {
    let folder = tempfile::tempdir().unwrap();
    let replay = Replay::new("test", Stand::at(250).empty(1.0).on_the_cable());
    let session = BoardSession::over(Box::new(replay)).unwrap();
    // Thirty thousand years.
    let endless = RecordRequest { record_s: 1e12, ..request() };
    let error = record(&session, &endless, folder.path(), &mut go_on).unwrap_err();
    assert!(matches!(error, RecordError::Journal(WriteJournalError::NoRoom { .. })), "{error}");
}

/// A wall clock that is put forward and back by hours each time somebody looks.
fn restless_clock() -> WallTime {
    use std::sync::atomic::{AtomicI64, Ordering};
    static LOOKED: AtomicI64 = AtomicI64::new(0);
    let looked = LOOKED.fetch_add(1, Ordering::Relaxed);
    let hours = if looked % 2 == 0 { looked } else { -3 * looked };
    WallTime { unix_us: 1_772_354_645_000_000 + hours * 3_600_000_000, offset_s: 3_600 }
}

#[test]
fn a_wall_clock_that_jumps_moves_nothing_in_a_record() {
    let folder = tempfile::tempdir().unwrap();
    let stand = Stand::at(250).empty(7.0).person(20.0, 60.0).empty(1.0);
    let record_once = || {
        let replay = Replay::new("test", stand.on_the_cable());
        let session = BoardSession::over(Box::new(replay)).unwrap();
        let mut request = request();
        request.facts.id = crate::new_trial_id();
        let recorded =
            record_by(&session, &request, folder.path(), &mut go_on, restless_clock).unwrap();
        let sealed = journal::seal(&recorded.journal, folder.path()).unwrap();
        trial_file::open(&sealed.trial_file.unwrap()).unwrap()
    };
    let [first, second, third] = [record_once(), record_once(), record_once()];
    // Asked once a trial: 0 hours, then 3 back, then 2 forward.
    let hours = |trial: &StoredTrial| {
        (trial.facts.started.unix_us - first.facts.started.unix_us) / 3_600_000_000
    };
    assert_eq!((hours(&second), hours(&third)), (-3, 2));
    for trial in [&first, &second, &third] {
        assert_eq!(trial.samples, first.samples, "all that was recorded goes by the board's clock");
        assert_eq!(trial.facts.started.offset_s, 3_600);
    }
    assert_eq!(first.samples.n_samples(), 2_500);
}

#[test]
fn a_computer_that_slept_in_a_record_keeps_what_came_and_counts_what_did_not() {
    let folder = tempfile::tempdir().unwrap();
    let mut stand = Stand::at(250).empty(7.0).person(20.0, 60.0).empty(1.0);
    // On at 7 s, recorded from 12 s on; nothing is read from 15 s to 18 s.
    stand.frames.retain(|frame| !(15_000_000..18_000_000).contains(&frame.time_us));
    let recorded = record_replay(&stand, folder.path(), &mut go_on).unwrap();
    assert_eq!((recorded.ended, recorded.n_frames), (Ending::HoldReached, 2_500 - 750));
    let sealed = journal::seal(&recorded.journal, folder.path()).unwrap();
    let trial = trial_file::open(&sealed.trial_file.unwrap()).unwrap();
    let Origin::Board(board) = &trial.origin else { panic!("a board's trial") };
    assert_eq!(board.link.lost_frames, 750);
    let times = &trial.samples.time_us;
    assert_eq!(times.last().unwrap() - times[0], 9_996_000, "ten seconds of board time");
    let gaps: Vec<u64> = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
    assert_eq!(gaps.iter().filter(|&&gap| gap != 4_000).collect::<Vec<_>>(), [&3_004_000]);
}
