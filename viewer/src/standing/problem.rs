//! Why a stand was not recorded, or not kept as it should be.

use std::io;
use std::path::PathBuf;

use acquisition::board_folder::BoardFolderError;
use acquisition::journal::SealJournalError;
use acquisition::records::{IndexTrialError, OpenRecordsError, RecordsError};
use acquisition::{ConnectError, FindBoardError, RecordError};
use thiserror::Error;

/// A stand that did not come to its end.
#[derive(Debug, Error)]
pub enum StandError {
    /// The simulated board did not start.
    #[error(transparent)]
    Simulator(#[from] SimulatorError),
    /// It is not clear which board is meant.
    #[error(transparent)]
    FindBoard(#[from] FindBoardError),
    /// The board cannot be used.
    #[error(transparent)]
    Connect(#[from] ConnectError),
    /// The records cannot be opened.
    #[error(transparent)]
    OpenRecords(#[from] OpenRecordsError),
    /// The records cannot be read.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// What is kept of the board cannot be read.
    #[error(transparent)]
    BoardFolder(#[from] BoardFolderError),
    /// It was not recorded.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// It was recorded, and is not yet in its trial file.
    #[error(transparent)]
    Seal(#[from] SealJournalError),
    /// It is in its trial file, and not yet in the records.
    #[error(transparent)]
    Index(#[from] IndexTrialError),
    /// The thread that records is gone; what it wrote is found at the next start.
    #[error("the recording ended without a word")]
    Gone,
}

/// Why there is no simulated board.
#[derive(Debug, Error)]
pub enum SimulatorError {
    /// Its program does not lie beside this one.
    #[error("the program board-simulator does not lie in {folder:?}")]
    Missing {
        /// Where it was looked for.
        folder: PathBuf,
    },
    /// Its program cannot be started.
    #[error("{program:?} does not start")]
    Start {
        /// The program.
        program: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// It ended before it said where it is.
    #[error("{program:?} did not say where its board is")]
    Silent {
        /// The program.
        program: PathBuf,
    },
}
