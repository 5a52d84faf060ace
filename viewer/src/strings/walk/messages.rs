//! Messages, by every kind of fault that can be made here.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use acquisition::home::BadHomeSettings;
use acquisition::journal::WriteJournalError;
use acquisition::records::{
    CatchUpError, Forbidden, IndexTrialError, OpenRecordsError, RecordsError, WhyOutside,
};
use acquisition::trial_file::{DigestError, OpenTrialError, ReadTrialError, TrialReader};
use acquisition::{
    BoardLost, CommandError, ConnectError, Ending, FindBoardError, Origin, RecordError, Refusal,
};
use analysis::readiness::{NotInPlan, WhyLeftOut};
use analysis::{Analyser, NotAvailable, PersonCode, Processing};

use super::Said;
use crate::picture::PictureError;
use crate::standing::{SimulatorError, StandError};
use crate::strings::{ClinicMessages, Language};

fn gone() -> io::Error {
    io::Error::from(io::ErrorKind::NotFound)
}

fn port() -> String {
    "/dev/x".to_owned()
}

pub(super) fn messages(said: &mut Said, words: &Language) {
    board(said, words);
    for error in every_record_error() {
        said.message("not recorded", &(words.not_recorded)(&error));
        said.message("stand failed", &(words.stand_failed)(&StandError::Record(error)));
    }
    said.message("no thread", &(words.no_thread)(&gone()));
    said.message("somebody stands", &(words.somebody_stands)());
    for error in every_stand_error() {
        said.message("stand failed", &(words.stand_failed)(&error));
    }
    let settings = [BadHomeSettings::Shape, BadHomeSettings::Text { what: "a pad" }];
    for error in settings {
        said.message("settings not kept", &(words.settings_not_kept)(&error));
    }
    files(said, words);
    clinic(said, &words.clinic);
    said.all(
        "forbidden",
        [Forbidden::StopAndReview, Forbidden::NotInPlan, Forbidden::ClinicOnly, Forbidden::Alone]
            .map(words.forbidden),
    );
    said.all("course.left_out", LEFT_OUT.map(words.course.left_out));
    said.all("course.outside", OUTSIDE.map(words.course.outside));
    doubts(said, words);
}

const OUTSIDE: [WhyOutside; 3] = [WhyOutside::NoSession, WhyOutside::Length, WhyOutside::Reference];

const LEFT_OUT: [WhyLeftOut; 13] = [
    WhyLeftOut::SameIdTwice,
    WhyLeftOut::BeforeWindow,
    WhyLeftOut::BeforeDecision,
    WhyLeftOut::AfterToday,
    WhyLeftOut::Learning,
    WhyLeftOut::Guided,
    WhyLeftOut::Practice,
    WhyLeftOut::SteppedOff,
    WhyLeftOut::UnplannedSupport,
    WhyLeftOut::NoMeasures,
    WhyLeftOut::NotANumber,
    WhyLeftOut::FewWindows,
    WhyLeftOut::OtherSetup,
];

fn every_lost() -> [BoardLost; 4] {
    [
        BoardLost::Unplugged { port: port(), source: Arc::new(gone()) },
        BoardLost::Silent { port: port(), silent: Duration::from_millis(1500) },
        BoardLost::Closed { port: port() },
        BoardLost::Restarted { port: port() },
    ]
}

fn every_connect() -> [ConnectError; 6] {
    [
        ConnectError::Open { port: port(), source: gone() },
        ConnectError::InUse { port: port(), holder: None },
        ConnectError::Silent { port: port(), waited: Duration::from_secs(2) },
        ConnectError::NotABoard { port: port(), n_bytes: 7 },
        ConnectError::OtherVersion { port: port(), found: 9, expected: 1 },
        ConnectError::Lost { port: port(), source: gone() },
    ]
}

fn every_command() -> [CommandError; 2] {
    [CommandError::Lost(BoardLost::Closed { port: port() }), CommandError::Rate { frames_per_s: 5 }]
}

fn board(said: &mut Said, words: &Language) {
    for error in every_connect() {
        said.message("board not connected", &(words.board_not_connected)(&error));
    }
    for error in every_command() {
        said.message("board not started", &(words.board_not_started)(&error));
    }
    for lost in every_lost() {
        said.message("board lost", &(words.board_lost)(&lost));
    }
}

fn every_record_error() -> Vec<RecordError> {
    let journal = |error| RecordError::Journal(error);
    let folder = || PathBuf::from("/x");
    let refused = [
        Refusal::Loaded { load_newtons: 60.0 },
        Refusal::Unrest { corner: 0, range_newtons: 1.25 },
        Refusal::TooFewFrames,
        Refusal::DeadCorner { corner: 3 },
        Refusal::Forbidden { reason: "7" },
        Refusal::Overload { load_newtons: 2000.0, rated_newtons: 1500.0 },
        Refusal::OtherPerson { measured_kg: 60.5, recorded_kg: 80.5 },
    ];
    let mut all: Vec<RecordError> = refused.map(RecordError::Refused).into();
    all.push(RecordError::StoppedBefore);
    all.extend(every_lost().map(RecordError::LostBefore));
    all.extend(every_command().map(RecordError::Start));
    all.push(journal(WriteJournalError::Create { folder: folder(), source: gone() }));
    let (needed_bytes, free_bytes) = (9_000_000, 1_000_000);
    all.push(journal(WriteJournalError::NoRoom { folder: folder(), needed_bytes, free_bytes }));
    all
}

fn every_stand_error() -> Vec<StandError> {
    let program = || PathBuf::from("/x");
    let mut all = vec![
        StandError::Simulator(SimulatorError::Missing { folder: program() }),
        StandError::Simulator(SimulatorError::Start { program: program(), source: gone() }),
        StandError::Simulator(SimulatorError::Silent { program: program() }),
        StandError::OpenRecords(OpenRecordsError::RebuildFirst),
        StandError::Index(IndexTrialError::File(OpenTrialError::Missing)),
        StandError::Gone,
    ];
    all.extend(every_found().map(StandError::FindBoard));
    all.extend(every_connect().map(StandError::Connect));
    all
}

fn every_found() -> [FindBoardError; 5] {
    [
        FindBoardError::List(gone()),
        FindBoardError::NoPort,
        FindBoardError::NoBoard { refused: every_connect().into() },
        FindBoardError::Several { boards: Vec::new() },
        FindBoardError::NotBack { board_id: "1".to_owned(), waited: Duration::from_secs(9) },
    ]
}

fn files(said: &mut Said, words: &Language) {
    let path = Path::new("/x.h5");
    for error in [
        OpenTrialError::Missing,
        OpenTrialError::NotAFile,
        OpenTrialError::Unreadable(gone()),
        OpenTrialError::TooLarge { n_bytes: 9, limit_bytes: 8 },
        OpenTrialError::Digest(DigestError::NotATrialFile),
        OpenTrialError::Digest(DigestError::Truncated { n_bytes: 1, sealed_bytes: 2 }),
        OpenTrialError::Digest(DigestError::Damaged),
        OpenTrialError::Digest(DigestError::Read(gone())),
        OpenTrialError::Content(ReadTrialError::Newer { version: 9, known: 1 }),
        OpenTrialError::Content(ReadTrialError::OtherContent),
    ] {
        said.message("open trial", &(words.open_trial)(path, &error));
    }
    said.message("open folder", &(words.open_folder)(path, &gone()));
    said.message("empty folder", &(words.empty_folder)(path));
    said.message("picture saved", &(words.picture.saved)(path));
    let path = || PathBuf::from("/x");
    for error in [
        PictureError::UnknownEnding { path: path() },
        PictureError::AlreadyThere { path: path() },
        PictureError::Size { width: 1, height: 2 },
        PictureError::Encode { reason: "7".to_owned() },
        PictureError::Write { path: path(), source: gone() },
    ] {
        said.message("picture failed", &(words.picture.failed)(&error));
    }
}

fn clinic(said: &mut Said, words: &ClinicMessages) {
    let ClinicMessages {
        not_opened,
        not_taken_in,
        not_up_to_date,
        refused,
        bad_code,
        taken,
        gone: not_there,
        not_in_plan,
        needs_plan,
    } = words;
    let person: PersonCode = "P-07".parse().expect("a code");
    let file = |path: &str| PathBuf::from(path);
    for error in [
        OpenRecordsError::File { step: "open", path: file("/x"), source: gone() },
        OpenRecordsError::RebuildFirst,
        OpenRecordsError::NotADatabase,
    ] {
        said.message("clinic.not_opened", &not_opened(&error));
    }
    let index = IndexTrialError::File(OpenTrialError::Missing);
    for n_more in [0, 1, 2] {
        said.message("clinic.not_taken_in", &not_taken_in(Path::new("/x"), &index, n_more));
    }
    let every_refused = || {
        [
            RecordsError::UnknownPerson { person: person.clone() },
            RecordsError::OtherPerson { session: "7".to_owned(), person: person.clone() },
            RecordsError::PlanVersion { version: 2, expected: 3 },
            RecordsError::ClinicOnly,
            RecordsError::Keys(Box::new(acquisition::exchange::KeyRingError::NoKeys)),
            RecordsError::Export { path: file("/x"), source: gone() },
        ]
    };
    for error in every_refused() {
        said.message("clinic.refused", &refused(&error));
        said.message("clinic.not_up_to_date", &not_up_to_date(&CatchUpError::Records(error)));
    }
    let bad = "P 07!".parse::<PersonCode>().expect_err("a space");
    said.message("clinic.bad_code", &bad_code(&bad));
    said.message("clinic.taken", &taken(&person));
    said.message("clinic.gone", &not_there(&person));
    let condition = "foam/wide/open".parse().expect("a condition");
    for error in [NotInPlan::Empty, NotInPlan::Condition { condition }] {
        said.message("clinic.not_in_plan", &not_in_plan(&error));
    }
    said.message("clinic.needs_plan", &needs_plan(&person));
}

/// Doubts of a trial of the sample, made worse one way after the other.
fn doubts(said: &mut Said, words: &Language) {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-trials");
    let path = std::fs::read_dir(samples)
        .expect("the sample trials")
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "h5"))
        .min()
        .expect("a sample trial");
    let reader = TrialReader::default();
    let (mut file, _) = acquisition::results::measure_with_trace(
        &path,
        &reader,
        &mut Analyser::new(),
        Processing::Standard,
    )
    .expect("a trial that can be opened");
    for &ended in Ending::ALL {
        if let Origin::Board(board) = &mut file.origin {
            board.ended = ended;
        }
        said.all("doubts", (words.doubts)(&file));
    }
    if let Ok(found) = &mut file.found {
        found.continuity.n_lost = 5;
        found.continuity.n_splits = 1;
        found.measured.measures.body_height_assumed = true;
    }
    said.all("doubts", (words.doubts)(&file));
    file.found = Err(NotAvailable::NoLoad);
    said.all("doubts", (words.doubts)(&file));
}
