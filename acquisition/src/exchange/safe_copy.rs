//! Everything a computer holds in one file that a passphrase opens, and back from it.

use std::fs::{self, DirBuilder, File};
use std::io::{self, Read as _};
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Component, Path, PathBuf};

use age::secrecy::SecretString;
use thiserror::Error;

use super::key_ring::{KeyRing, KeyRingError};
use crate::keys::{BackUpError, Backup, RestoreError, back_up, replace_owned, restore};
use crate::library::{Library, LibraryError};
use crate::package::MemberName;
use crate::records::{RebuildError, RebuildReport, rebuild};
use crate::trial_file::TrialReader;
use crate::wall_time::WallTime;

/// Folders of a data folder that are copied, and how deep their files lie at most.
const FOLDERS: [(&str, usize); 3] = [("people", 1), ("trials", 1), ("boards", 2)];

/// Single files of a data folder that are copied.
const FILES: [&str; 2] = ["home.toml", "erasures.json"];

/// Where the lists of sent and taken packages lie.
const LISTS_FOLDER: &str = "keys";

/// Most bytes of one file that is brought back, our own limit; a stand of an hour has fewer.
const MAX_FILE_BYTES: u64 = 256 * 1024 * 1024;

/// What is in a copy that was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeptSafe {
    /// Pairings.
    pub n_pairings: usize,
    /// Files of people, stands, boards and lists.
    pub n_files: usize,
}

/// Why no copy was made.
#[derive(Debug, Error)]
pub enum KeepSafeError {
    /// The keys cannot be used.
    #[error(transparent)]
    Keys(#[from] KeyRingError),
    /// A file cannot be read.
    #[error("what is to be kept cannot be read")]
    Read(#[source] io::Error),
    /// The copy was not written.
    #[error(transparent)]
    Write(#[from] BackUpError),
}

/// What was brought back.
#[derive(Debug)]
pub struct BroughtBack {
    /// Pairings.
    pub n_pairings: usize,
    /// What the records were made from.
    pub records: RebuildReport,
}

/// Why nothing, or not everything, was brought back.
#[derive(Debug, Error)]
pub enum BringBackError {
    /// The copy does not open.
    #[error(transparent)]
    Open(#[from] RestoreError),
    /// There is something in the data folder already, which would be mixed with it.
    #[error("the data folder holds keys, people or stands already")]
    NotEmpty,
    /// The copy holds a file of another name or size than any copy of this program.
    #[error("it holds {name:?}, which no copy of this program has")]
    Stray {
        /// The name, at most 120 characters of it.
        name: String,
    },
    /// The copy holds no keys.
    #[error("it holds no keys")]
    NoKeys,
    /// A file cannot be written.
    #[error("what was kept cannot be written back")]
    Write(#[source] io::Error),
    /// The data folder cannot be used.
    #[error(transparent)]
    Library(#[from] LibraryError),
    /// The keys cannot be written.
    #[error(transparent)]
    Keys(#[from] KeyRingError),
    /// The records cannot be made anew.
    #[error(transparent)]
    Records(#[from] RebuildError),
}

/// Writes keys, pairings, people, stands and what is known of boards to `path`, which must be free.
///
/// # Errors
/// [`KeepSafeError`]; nothing is left at `path` then. All together may have 256 MiB.
pub fn keep_safe(
    library: &Library,
    keys: &KeyRing,
    passphrase: &str,
    path: &Path,
) -> Result<KeptSafe, KeepSafeError> {
    let own = keys.read_own()?;
    let mut builder = tar::Builder::new(Vec::new());
    let mut n_files = 0;
    for from in files(library, keys).map_err(KeepSafeError::Read)? {
        let Ok(name) = from.strip_prefix(library.folder()) else { continue };
        builder.append_path_with_name(&from, name).map_err(KeepSafeError::Read)?;
        n_files += 1;
    }
    let extra = builder.into_inner().map_err(KeepSafeError::Read)?;
    let backup = Backup { keys: vec![own], pairings: keys.pairings().to_vec(), extra };
    back_up(&backup, &SecretString::from(passphrase.to_owned()), path)?;
    Ok(KeptSafe { n_pairings: backup.pairings.len(), n_files })
}

/// Writes what a copy holds into the data folder, which must hold nothing yet, and makes the records
/// anew from it.
///
/// # Errors
/// [`BringBackError`]. Everything in the copy is checked before anything is written.
pub fn bring_back(
    library: &Library,
    reader: &TrialReader,
    path: &Path,
    passphrase: &str,
    now: WallTime,
) -> Result<BroughtBack, BringBackError> {
    let mut keys = KeyRing::open(library)?;
    let people = library.folder().join("people");
    let n_people = fs::read_dir(people).map_or(0, Iterator::count);
    if keys.role().is_some() || n_people != 0 || !library.trial_files()?.is_empty() {
        return Err(BringBackError::NotEmpty);
    }
    let backup = restore(path, &SecretString::from(passphrase.to_owned()))?;
    let mut files = Vec::new();
    let mut archive = tar::Archive::new(backup.extra.as_slice());
    for entry in archive.entries().map_err(BringBackError::Write)? {
        let mut entry = entry.map_err(BringBackError::Write)?;
        let name = entry.path().map_err(BringBackError::Write)?.into_owned();
        let stray =
            || BringBackError::Stray { name: name.to_string_lossy().chars().take(120).collect() };
        if !is_kept(&name)
            || MAX_FILE_BYTES < entry.size()
            || !entry.header().entry_type().is_file()
        {
            return Err(stray());
        }
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).map_err(BringBackError::Write)?;
        files.push((name, bytes));
    }
    let own = backup.keys.into_iter().next().ok_or(BringBackError::NoKeys)?;
    for (name, bytes) in files {
        let to = library.folder().join(&name);
        let folder = to.parent().unwrap_or(library.folder());
        DirBuilder::new()
            .recursive(true)
            .mode(0o700)
            .create(folder)
            .and_then(|()| replace_owned(&to, &bytes))
            .map_err(BringBackError::Write)?;
    }
    let records = rebuild(library, reader, now)?;
    let n_pairings = backup.pairings.len();
    backup.pairings.into_iter().try_for_each(|pairing| keys.pair(pairing))?;
    keys.put_own(own)?;
    Ok(BroughtBack { n_pairings, records })
}

/// Whether a copy may hold a file of this name: one of the folders, and no way out of them.
fn is_kept(name: &Path) -> bool {
    let parts: Option<Vec<&str>> = name
        .components()
        .map(|part| match part {
            Component::Normal(part) => {
                part.to_str().filter(|part| part.parse::<MemberName>().is_ok())
            }
            _ => None,
        })
        .collect();
    match parts.as_deref() {
        Some([file]) => FILES.contains(file),
        Some([LISTS_FOLDER, file]) => matches!(*file, "taken.json" | "sent.json"),
        Some([folder, below @ ..]) => {
            FOLDERS.iter().any(|(known, depth)| known == folder && below.len() <= *depth)
        }
        _ => false,
    }
}

fn files(library: &Library, keys: &KeyRing) -> io::Result<Vec<PathBuf>> {
    let mut found: Vec<PathBuf> = FILES.iter().map(|name| library.folder().join(name)).collect();
    found.extend(keys.lists());
    found.retain(|path| path.is_file());
    for (name, depth) in FOLDERS {
        list(&library.folder().join(name), depth, &mut found)?;
    }
    found.retain(|path| path.strip_prefix(library.folder()).is_ok_and(is_kept));
    Ok(found)
}

fn list(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) -> io::Result<()> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(error),
    };
    let mut paths: Vec<PathBuf> =
        entries.map(|entry| entry.map(|entry| entry.path())).collect::<io::Result<_>>()?;
    paths.sort();
    for path in paths {
        if path.is_dir() && 1 < depth {
            list(&path, depth - 1, found)?;
        } else if File::open(&path)?.metadata()?.is_file() {
            found.push(path);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_holds_only_files_of_a_data_folder() {
        for name in [
            "people/P-01.json",
            "trials/01a21109-7b24-76be-857e-47f32fc372f3.h5",
            "boards/0102/1.toml",
            "keys/taken.json",
            "home.toml",
        ] {
            assert!(is_kept(Path::new(name)), "{name}");
        }
        for name in [
            "../people/P-01.json",
            "people/../../P-01.json",
            "/people/P-01.json",
            "people/deep/P-01.json",
            "people/.hidden",
            "keys/own.toml",
            "keys/with-P-01.toml",
            "records.sqlite",
            "journals/a.journal",
            "",
        ] {
            assert!(!is_kept(Path::new(name)), "{name}");
        }
    }
}
