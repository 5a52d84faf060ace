//! Small files that only their owner may read, written whole or not at all.

use std::fs::{File, Metadata};
use std::io::{self, Read as _, Write as _};
use std::path::Path;

use tempfile::NamedTempFile;
use thiserror::Error;

/// Why a small file was not read.
#[derive(Debug, Error)]
pub enum ReadOwnerFileError {
    /// There is none.
    #[error("there is no such file")]
    Missing,
    /// There is something else.
    #[error("it is not a file")]
    NotAFile,
    /// The system refuses.
    #[error("it cannot be read")]
    Unreadable(#[source] io::Error),
    /// More than is ever read.
    #[error("it has more than {limit_bytes} bytes")]
    TooLarge {
        /// How many bytes it may have.
        limit_bytes: u64,
    },
    /// Others on this computer may read or change it.
    #[error("others than its owner may read or change it (mode {mode:03o})")]
    OpenToOthers {
        /// Its permission bits.
        mode: u32,
    },
}

/// Writes a file that must not be there yet. Synced before it gets its name; mode 0600.
pub(super) fn create_owned(path: &Path, bytes: &[u8]) -> io::Result<()> {
    written_beside(path, bytes)?.persist_noclobber(path).map_err(|failed| failed.error)?;
    sync_folder_of(path)
}

/// Writes a file in place of whatever is there, in one step. Synced; mode 0600.
pub(crate) fn replace_owned(path: &Path, bytes: &[u8]) -> io::Result<()> {
    written_beside(path, bytes)?.persist(path).map_err(|failed| failed.error)?;
    sync_folder_of(path)
}

/// Reads a whole file of at most `limit_bytes` that nobody but its owner may read or change.
pub(crate) fn read_owned(path: &Path, limit_bytes: u64) -> Result<Vec<u8>, ReadOwnerFileError> {
    let (file, about) = open_file(path)?;
    match open_to_others(&about) {
        Some(mode) => Err(ReadOwnerFileError::OpenToOthers { mode }),
        None => read_at_most(file, limit_bytes),
    }
}

/// Reads a whole file of at most `limit_bytes`, whoever else may: one that is encrypted.
pub(super) fn read_anyones(path: &Path, limit_bytes: u64) -> Result<Vec<u8>, ReadOwnerFileError> {
    read_at_most(open_file(path)?.0, limit_bytes)
}

fn open_file(path: &Path) -> Result<(File, Metadata), ReadOwnerFileError> {
    let file = File::open(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => ReadOwnerFileError::Missing,
        _ => ReadOwnerFileError::Unreadable(source),
    })?;
    let about = file.metadata().map_err(ReadOwnerFileError::Unreadable)?;
    if about.is_file() { Ok((file, about)) } else { Err(ReadOwnerFileError::NotAFile) }
}

fn read_at_most(file: File, limit_bytes: u64) -> Result<Vec<u8>, ReadOwnerFileError> {
    let mut bytes = Vec::new();
    file.take(limit_bytes + 1).read_to_end(&mut bytes).map_err(ReadOwnerFileError::Unreadable)?;
    if limit_bytes < bytes.len() as u64 {
        return Err(ReadOwnerFileError::TooLarge { limit_bytes });
    }
    Ok(bytes)
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// tempfile makes its files for the owner alone.
fn written_beside(path: &Path, bytes: &[u8]) -> io::Result<NamedTempFile> {
    let mut file = tempfile::Builder::new().prefix(".writing-").tempfile_in(folder_of(path))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// The name is on disk only once the folder is; Windows cannot open a folder and needs no such step.
fn sync_folder_of(path: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder_of(path))?.sync_all() } else { Ok(()) }
}

#[cfg(unix)]
fn open_to_others(about: &Metadata) -> Option<u32> {
    use std::os::unix::fs::PermissionsExt as _;
    let mode = about.permissions().mode() & 0o777;
    (mode & 0o077 != 0).then_some(mode)
}

/// Elsewhere the folder's own rules decide; what a new file inherits cannot be told from its mode.
#[cfg(not(unix))]
fn open_to_others(_about: &Metadata) -> Option<u32> {
    None
}
