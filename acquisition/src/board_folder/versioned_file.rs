//! Files with a version in their name, each written once.

use std::fs::{self, DirBuilder, File};
use std::io::{self, Read as _, Write as _};
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::calibration_file::BadCalibrationFile;
use super::check_files::BadDeadWeightFile;

/// Most files of one kind a board may have: far more than anybody calibrates.
const MOST_FILES: usize = 10_000;

/// Why something of a board could not be kept or found.
#[derive(Debug, Error)]
pub enum BoardFolderError {
    /// An id that is none.
    #[error("{found:?} is not a board's id: 24 hexadecimal digits in small letters")]
    BoardId {
        /// The id found.
        found: String,
    },
    /// The system refused.
    #[error("cannot {step} {}", path.display())]
    File {
        /// What was being done.
        step: &'static str,
        /// With what.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The version is there already, or there are too many.
    #[error("{} is there already and is never overwritten", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A calibration file that cannot be used.
    #[error("the calibration {} cannot be used", path.display())]
    Calibration {
        /// The file.
        path: PathBuf,
        /// Why.
        source: BadCalibrationFile,
    },
    /// A dead-weight check that cannot be used.
    #[error("the dead-weight check {} cannot be used", path.display())]
    DeadWeight {
        /// The file.
        path: PathBuf,
        /// Why.
        source: BadDeadWeightFile,
    },
    /// A file of another board.
    #[error("{} belongs to board {found}, not to {wanted}", path.display())]
    OtherBoard {
        /// The file.
        path: PathBuf,
        /// The board it belongs to.
        found: String,
        /// The board it was wanted for.
        wanted: String,
    },
    /// A value that cannot be written.
    #[error("it cannot be written as JSON")]
    Json(#[from] serde_json::Error),
}

/// Largest file of a board that is read: a calibration of a hundred spots takes a tenth of it.
const MAX_BYTES: u64 = 256 * 1024;

/// The bytes of a file, which must not be larger than any of a board's.
pub(super) fn bounded(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(MAX_BYTES + 1).read_to_end(&mut bytes)?;
    if MAX_BYTES < bytes.len() as u64 {
        let kind = io::ErrorKind::FileTooLarge;
        return Err(io::Error::new(kind, format!("it is larger than {MAX_BYTES} bytes")));
    }
    Ok(bytes)
}

/// The files `NAME-0001.json`, `NAME-0002.json`, .. of a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct VersionedFiles {
    folder: PathBuf,
    name: &'static str,
}

impl VersionedFiles {
    pub(super) fn new(folder: &Path, name: &'static str) -> Self {
        Self { folder: folder.to_owned(), name }
    }

    /// Version and path of each, lowest first.
    pub(super) fn list(&self) -> Result<Vec<(u32, PathBuf)>, BoardFolderError> {
        let unread = |source| failed("read", &self.folder, source);
        let entries = match fs::read_dir(&self.folder) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(unread(error)),
        };
        let mut files = Vec::new();
        for entry in entries {
            let path = entry.map_err(unread)?.path();
            if let Some(version) = self.version_of(&path) {
                files.push((version, path));
            }
        }
        files.sort();
        Ok(files)
    }

    pub(super) fn next_version(&self) -> Result<u32, BoardFolderError> {
        Ok(self.list()?.last().map_or(1, |(newest, _)| newest.saturating_add(1)))
    }

    /// Writes `content` as this version, whole or not at all.
    pub(super) fn store(&self, version: u32, content: &[u8]) -> Result<PathBuf, BoardFolderError> {
        let path = self.folder.join(format!("{}-{version:04}.json", self.name));
        if path.symlink_metadata().is_ok() || MOST_FILES <= self.list()?.len() {
            return Err(BoardFolderError::Exists { path });
        }
        DirBuilder::new()
            .recursive(true)
            .mode(0o700)
            .create(&self.folder)
            .map_err(|source| failed("make", &self.folder, source))?;
        let mut temporary = tempfile::Builder::new()
            .prefix(".writing-")
            .tempfile_in(&self.folder)
            .map_err(|source| failed("write in", &self.folder, source))?;
        temporary
            .write_all(content)
            .and_then(|()| temporary.as_file().sync_all())
            .map_err(|source| failed("write", &path, source))?;
        temporary.persist_noclobber(&path).map_err(|not_named| match not_named.error.kind() {
            io::ErrorKind::AlreadyExists => BoardFolderError::Exists { path: path.clone() },
            _ => failed("name", &path, not_named.error),
        })?;
        File::open(&self.folder)
            .and_then(|folder| folder.sync_all())
            .map_err(|source| failed("sync", &self.folder, source))?;
        Ok(path)
    }

    fn version_of(&self, path: &Path) -> Option<u32> {
        let name = path.file_name()?.to_str()?;
        let digits = name.strip_prefix(self.name)?.strip_prefix('-')?.strip_suffix(".json")?;
        let plain = digits.len() >= 4 && digits.bytes().all(|byte| byte.is_ascii_digit());
        plain.then(|| digits.parse().ok()).flatten()
    }
}

fn failed(step: &'static str, path: &Path, source: io::Error) -> BoardFolderError {
    BoardFolderError::File { step, path: path.to_owned(), source }
}
