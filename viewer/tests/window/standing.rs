//! A stand in the background on a simulated board, without a window.

use std::sync::mpsc::sync_channel;

use acquisition::library::Library;
use acquisition::records::Records;
use acquisition::{Ending, RecordError, Refusal, Stage, Wish};
use analysis::{Facing, TrialKind};
use viewer::standing::{SimulatedBoard, Stand, StandBoard, StandError, StandNow, StandRequest};
use viewer::strings::ENGLISH;

use crate::simulator::{fast_board, one_at_a_time};

fn request(library: &Library, record_s: f64) -> StandRequest {
    StandRequest {
        board: StandBoard::Simulated(fast_board()),
        library: library.clone(),
        person: "P-07".parse().unwrap(),
        condition: "foam/hip-width/open".parse().unwrap(),
        kind: TrialKind::Guided,
        sole_height_mm: Some(130.0),
        facing: Facing::Front,
        settle_s: 2.0,
        record_s,
        wobble_window_mm: [6.35, 25.4],
        forbidden: None,
        words: &ENGLISH,
    }
}

#[test]
fn a_stand_is_recorded_sealed_and_in_the_records() {
    let _turn = one_at_a_time();
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).unwrap();
    let (told, heard) = sync_channel(16);
    let mut stand =
        Stand::begin(request(&library, 10.0), None, move || told.send(()).unwrap()).unwrap();
    let mut stages = Vec::new();
    // The thread drops its way of waking at its end.
    while heard.recv().is_ok() {
        if let StandNow::Recording(progress) = stand.now() {
            stages.push(progress.stage);
        }
    }
    let kept = stand.outcome().unwrap().unwrap();
    assert!(stand.outcome().is_none(), "told once");
    assert!(stages.contains(&Stage::Recording), "{stages:?}");
    assert_eq!((kept.ended, kept.n_frames), (Ending::HoldReached, 1000));
    assert!(kept.file.path.is_file());
    let records = Records::open(&library).unwrap();
    let history = records.history(&kept.file.facts.person, &[]).unwrap();
    assert_eq!(history.trials[0].facts.id, kept.file.facts.id);
}

#[test]
fn a_stop_in_mid_record_keeps_what_there_is() {
    let _turn = one_at_a_time();
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).unwrap();
    let (told, heard) = sync_channel(16);
    let mut stand =
        Stand::begin(request(&library, 3600.0), None, move || told.send(()).unwrap()).unwrap();
    while heard.recv().is_ok() {
        if let StandNow::Recording(progress) = stand.now()
            && progress.stage == Stage::Recording
        {
            stand.wish(Wish::Stop);
        }
    }
    let kept = stand.wait().unwrap().unwrap();
    assert_eq!(kept.ended, Ending::Stopped);
    assert!(0 < kept.n_frames && kept.n_frames < 360_000, "{}", kept.n_frames);
}

#[test]
fn a_stand_that_is_forbidden_or_has_no_board_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).unwrap();
    let outcome = |request| Stand::begin(request, None, || {}).unwrap().wait().unwrap();
    let forbidden = StandRequest { forbidden: Some("a warning sign"), ..request(&library, 10.0) };
    let error = outcome(forbidden).unwrap_err();
    let StandError::Record(RecordError::Refused(Refusal::Forbidden { reason })) = &error else {
        panic!("{error:?}");
    };
    assert_eq!(*reason, "a warning sign");

    let nowhere = SimulatedBoard { program: Some("/no/such/simulator".into()), ..fast_board() };
    let request = StandRequest { board: StandBoard::Simulated(nowhere), ..request(&library, 10.0) };
    let message = (ENGLISH.stand_failed)(&outcome(request).unwrap_err());
    assert_eq!(message.what, "The simulated board did not start.");
    assert!(message.why.contains("/no/such/simulator"), "{}", message.why);
}
