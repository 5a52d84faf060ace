//! Everything that can go wrong on the command line.

use std::io;
use std::path::{Path, PathBuf};

use acquisition::board_folder::BoardFolderError;
use acquisition::calibrate::CalibrationRefused;
use acquisition::exchange::{BringBackError, KeepSafeError, KeyRingError, SendError, TakeError};
use acquisition::export::ResearchSetError;
use acquisition::guided::GuidedError;
use acquisition::home::{BadHomeSettings, HomeStandError, OpenHomeError};
use acquisition::import::{BadColumnMap, C3dError, GuessError, ImportError};
use acquisition::journal::{RecoverError, SealJournalError};
use acquisition::keys::{BadSpokenCode, PairError, PublicKeysError};
use acquisition::library::LibraryError;
use acquisition::recompute::RecomputeError;
use acquisition::records::{
    BackupError, BadPlanDraft, CatchUpError, EraseError, IndexTrialError, OpenRecordsError,
    RebuildError, RecordsError,
};
use acquisition::trial_file::{OpenTrialError, SealError};
use acquisition::{BadWallTime, ConnectError, FindBoardError, RecordError, WallTime};
use analysis::readiness::NotInPlan;
use analysis::{Condition, NotComparable, PersonCode};
use thiserror::Error;

use crate::picture::PictureError;
use crate::report::ReportError;
use crate::window::WindowError;

/// Why a command did not do what it was asked. Its words are in [`message`](super::message).
#[derive(Debug, Error)]
pub(crate) enum Problem {
    #[error("no folder for a user's data")]
    NoDataFolder,
    #[error("the data folder cannot be used")]
    Library(#[from] LibraryError),
    #[error("{path:?} cannot be listed")]
    List { path: PathBuf, source: io::Error },
    #[error("no trials in {place}")]
    NoTrials { place: String },
    #[error("{path:?} cannot be opened")]
    OpenTrial { path: PathBuf, source: Box<OpenTrialError> },
    #[error("{n_files} trial files cannot be opened")]
    SomeNotOpened { n_files: usize },
    /// The one thing that went wrong was said already.
    #[error("said already")]
    Said,
    #[error("a journal cannot be read")]
    Recover(#[from] RecoverError),
    #[error("a journal cannot be sealed")]
    SealJournal(#[from] SealJournalError),
    #[error("no board")]
    Connect(#[from] ConnectError),
    #[error("no board found")]
    FindBoard(#[from] FindBoardError),
    #[error("not recorded")]
    Record(#[from] RecordError),
    #[error("the board's folder cannot be used")]
    BoardFolder(#[from] BoardFolderError),
    #[error("the loads were not read")]
    Guided(#[from] GuidedError),
    #[error("not calibrated")]
    Calibration(#[from] CalibrationRefused),
    #[error("{path:?} was not computed anew")]
    Recompute { path: PathBuf, source: Box<RecomputeError> },
    #[error("{path:?} has no newer calibration")]
    NothingNewer { path: PathBuf },
    #[error("{path:?} cannot be made")]
    MakeFolder { path: PathBuf, source: io::Error },
    #[error("{path:?} cannot be read as a column map")]
    ReadMap { path: PathBuf, source: io::Error },
    #[error("the column map cannot be used")]
    Map(#[from] BadColumnMap),
    #[error("no column map")]
    MapMissing,
    #[error("{path:?} cannot be imported")]
    Import { path: PathBuf, source: Box<ImportError> },
    #[error("{path:?} cannot be imported")]
    ImportC3d { path: PathBuf, source: C3dError },
    #[error("{path:?} gives no column map")]
    Guess { path: PathBuf, source: Box<GuessError> },
    #[error("not sealed")]
    Seal(#[from] SealError),
    #[error("out of range: {what}")]
    OutOfRange { what: &'static str, given: f64, low: f64, high: f64 },
    #[error("not comparable")]
    NotComparable(#[from] NotComparable),
    #[error("no threads to measure on")]
    Threads(#[from] rayon::ThreadPoolBuildError),
    #[error("the result could not be written")]
    Print(#[source] io::Error),
    #[error("{n_trials} trials, not one")]
    OneTrial { n_trials: usize },
    #[error("no research set")]
    ResearchSet(#[from] ResearchSetError),
    #[error("no page")]
    Report(#[from] ReportError),
    #[error("{path:?} cannot be written")]
    WriteFile { path: PathBuf, source: io::Error },
    #[error("Ctrl-C cannot be heeded")]
    Signals(#[source] io::Error),
    #[error("no picture")]
    Picture(#[from] PictureError),
    #[error("the records cannot be opened")]
    OpenRecords(#[from] OpenRecordsError),
    #[error("the records refuse")]
    Records(#[from] RecordsError),
    #[error("a trial was not taken into the records")]
    Index(#[from] IndexTrialError),
    #[error("{path:?} was not taken into the records, nor {n_more} others")]
    NotTakenIn { path: PathBuf, source: Box<IndexTrialError>, n_more: usize },
    #[error("the records are not up to date")]
    CatchUp(#[from] CatchUpError),
    #[error("no person {person}")]
    NoPerson { person: PersonCode },
    #[error("no plan of {person}")]
    NoPlan { person: PersonCode },
    #[error("no session of {person}")]
    NoSession { person: PersonCode },
    #[error("no session {id:?}")]
    UnknownSession { id: String },
    #[error("no stand of {person} in the session")]
    NoStand { person: PersonCode },
    #[error("no band at {condition}")]
    NoBand { condition: Condition },
    #[error("a session of {person} is open")]
    SessionOpen { person: PersonCode, started: WallTime },
    #[error("{path:?} cannot be read as a plan")]
    ReadPlan { path: PathBuf, source: io::Error },
    #[error("{path:?} is no plan")]
    PlanDraft { path: PathBuf, source: Box<BadPlanDraft> },
    #[error("no backup")]
    Backup(#[from] BackupError),
    #[error("not rebuilt")]
    Rebuild(#[from] RebuildError),
    #[error("not erased")]
    Erase(#[from] EraseError),
    #[error("{person} not confirmed")]
    NotConfirmed { person: PersonCode },
    #[error("{n_findings} differences")]
    Findings { n_findings: usize },
    #[error("not in the plan")]
    NotInPlan(#[from] NotInPlan),
    #[error("no date")]
    Date(#[from] BadWallTime),
    #[error("only in the clinic")]
    AtHome,
    #[error("{path:?} cannot be read")]
    ReadFile { path: PathBuf, source: io::Error },
    #[error("{path:?} holds no public keys")]
    PublicKeys { path: PathBuf, source: PublicKeysError },
    #[error("the keys cannot be used")]
    Keys(#[from] KeyRingError),
    #[error("no code")]
    Code(#[from] BadSpokenCode),
    #[error("not paired")]
    Pair(#[from] PairError),
    #[error("not sealed for the other side")]
    Send(#[from] SendError),
    #[error("{path:?} was not taken")]
    Take { path: PathBuf, source: Box<TakeError> },
    #[error("no safe copy")]
    KeepSafe(#[from] KeepSafeError),
    #[error("not brought back")]
    BringBack(#[from] BringBackError),
    #[error("whose session is not said")]
    WhoPractises,
    #[error("no session at home")]
    OpenHome(#[from] OpenHomeError),
    #[error("the settings of the home cannot be used")]
    HomeSettings(#[from] BadHomeSettings),
    #[error("no stand at home")]
    HomeStand(#[from] HomeStandError),
    #[error("no window")]
    Window(#[from] WindowError),
    #[error("no screen is called {found:?}")]
    UnknownScreen { found: String },
    #[error("no thread to read with")]
    NoThread(#[source] io::Error),
}

impl Problem {
    pub(crate) fn list(path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self::List { path, source }
    }
}
