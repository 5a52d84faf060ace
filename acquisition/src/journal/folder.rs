//! The folder that journals are written to: there, durable, and with room.

use std::fs::{self, File};
use std::io;
use std::path::Path;

use super::writer::WriteJournalError;

/// What must be free besides what the trial itself takes: our own choice, for everything else that
/// writes meanwhile.
const SPARE_BYTES: u64 = 16 * 1024 * 1024;

/// Bytes on the disk for one frame, at most: 34 in the journal, and 66 in the sealed file before it
/// is compressed, which is written while the journal is still there.
const BYTES_A_FRAME: f64 = 100.0;

/// Makes the folder if need be, and checks that a trial of this length finds room in it.
pub(crate) fn prepare_folder(folder: &Path, n_frames: f64) -> Result<(), WriteJournalError> {
    let refused = |source| WriteJournalError::Create { folder: folder.to_owned(), source };
    make_folder(folder).map_err(refused)?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and a float beyond u64 saturates at more than any disk has"
    )]
    let needed_bytes = ((n_frames * BYTES_A_FRAME) as u64).saturating_add(SPARE_BYTES);
    match free_bytes(folder).map_err(refused)? {
        Some(free_bytes) if free_bytes < needed_bytes => {
            Err(WriteJournalError::NoRoom { folder: folder.to_owned(), needed_bytes, free_bytes })
        }
        _ => Ok(()),
    }
}

/// Makes a folder and those above it, for the owner alone, so that no power cut takes them away
/// again.
fn make_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    let parent = folder.parent().filter(|parent| !parent.as_os_str().is_empty());
    let parent = parent.unwrap_or(Path::new("."));
    make_folder(parent)?;
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match builder.create(folder) {
        // Somebody else has just made it.
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => {}
        made => made?,
    }
    sync_folder(parent)
}

/// Makes the names in a folder survive a power cut.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// Room left for this user, in bytes; `None` where the system is not asked.
#[cfg(unix)]
fn free_bytes(folder: &Path) -> io::Result<Option<u64>> {
    let disk = rustix::fs::statvfs(folder)?;
    Ok(Some(disk.f_bavail.saturating_mul(disk.f_frsize)))
}

#[cfg(not(unix))]
fn free_bytes(_: &Path) -> io::Result<Option<u64>> {
    Ok(None)
}
