//! The folder in which a package is unpacked and judged, and which vanishes if it is refused.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

const PREFIX: &str = ".opening-";
const LOCK: &str = "lock";
const ARCHIVE: &str = "archive.tar.zst";

/// A folder of its own for its owner alone, removed with all that is in it when let go.
///
/// While it is in use, a file in it is locked: a folder whose lock can be had was left behind.
#[derive(Debug)]
pub(super) struct Staging {
    // Let go first: Windows removes no folder in which a file is open.
    _lock: File,
    folder: TempDir,
}

impl Staging {
    pub(super) fn new(parent: &Path) -> io::Result<Self> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            builder.permissions(fs::Permissions::from_mode(0o700));
        }
        let folder = builder.tempdir_in(parent)?;
        let lock = create(&folder.path().join(LOCK))?;
        lock.lock()?;
        fs::create_dir(folder.path().join("members"))?;
        Ok(Self { _lock: lock, folder })
    }

    /// The file in which the decrypted archive is kept until it is unpacked.
    pub(super) fn create_archive(&self) -> io::Result<File> {
        create(&self.folder.path().join(ARCHIVE))
    }

    pub(super) fn remove_archive(&self) -> io::Result<()> {
        fs::remove_file(self.folder.path().join(ARCHIVE))
    }

    /// Where the members are unpacked.
    pub(super) fn members_folder(&self) -> PathBuf {
        self.folder.path().join("members")
    }
}

/// A file that must not be there yet, for its owner alone.
pub(super) fn create(path: &Path) -> io::Result<File> {
    let mut options = File::options();
    options.read(true).write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    options.open(path)
}

/// Removes what a power cut or a crash left in `parent` while a package was open, and says how many
/// folders that were. To be called at start: they hold decrypted files.
///
/// # Errors
/// What the file system said; folders in use by another process are left alone.
pub fn remove_abandoned(parent: &Path) -> io::Result<usize> {
    let mut n_removed = 0;
    for entry in fs::read_dir(parent)? {
        let entry = entry?;
        let is_ours = entry.file_name().to_string_lossy().starts_with(PREFIX);
        if is_ours && entry.file_type()?.is_dir() && is_abandoned(&entry.path())? {
            fs::remove_dir_all(entry.path())?;
            n_removed += 1;
        }
    }
    Ok(n_removed)
}

/// A folder without its lock was cut off before anything was decrypted into it, or is being made
/// at this moment; it is left alone, being empty.
fn is_abandoned(folder: &Path) -> io::Result<bool> {
    match File::options().read(true).write(true).open(folder.join(LOCK)) {
        Ok(lock) => Ok(lock.try_lock().is_ok()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}
