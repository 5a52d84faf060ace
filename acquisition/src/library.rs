//! The data folder: where trial files and journals lie, and which trials there are.

use std::fs::{self, DirBuilder};
use std::io;
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Path, PathBuf};

use analysis::{Condition, PersonCode};
use thiserror::Error;

use crate::trial_file::{self, OpenTrialError, TrialOutline, TrialReader};

/// Most trial files of one folder that are listed, our own limit; the records serve more.
pub const MAX_LISTED_TRIALS: usize = 1_000_000;

/// A data folder with its two parts, `trials` and `journals`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Library {
    folder: PathBuf,
}

/// Why a data folder cannot be used.
#[derive(Debug, Error)]
pub enum LibraryError {
    /// It cannot be made or read.
    #[error("cannot {step} the folder {}", folder.display())]
    Folder {
        /// What was being done.
        step: &'static str,
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// More files than are ever listed.
    #[error("the folder {} holds more than the limit of {limit} trial files", folder.display())]
    TooMany {
        /// The folder.
        folder: PathBuf,
        /// How many there may be.
        limit: usize,
    },
}

/// A trial of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct LibraryTrial {
    /// Its file.
    pub path: PathBuf,
    /// What its file says of it.
    pub outline: TrialOutline,
}

/// Trials of a library, and files that should be trials but cannot be opened as such.
#[derive(Debug, Default)]
pub struct Listing {
    /// The trials, in the order in which they were made.
    pub trials: Vec<LibraryTrial>,
    /// The files that were refused, and why.
    pub refused: Vec<(PathBuf, OpenTrialError)>,
}

/// Which trials are wanted; whatever is `None` does not matter.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TrialFilter {
    /// Who stood.
    pub person: Option<PersonCode>,
    /// What they stood on and how.
    pub condition: Option<Condition>,
}

impl TrialFilter {
    /// Whether a trial is one of those wanted.
    pub fn admits(&self, outline: &TrialOutline) -> bool {
        let facts = &outline.facts;
        self.person.as_ref().is_none_or(|person| *person == facts.person)
            && self.condition.is_none_or(|condition| condition == facts.condition)
    }
}

impl Library {
    /// The library in `folder`; the folder and its parts are made if they are missing, for the owner
    /// alone.
    ///
    /// # Errors
    /// [`LibraryError::Folder`].
    pub fn open(folder: &Path) -> Result<Self, LibraryError> {
        let library = Self { folder: folder.to_owned() };
        for part in [library.trials_folder(), library.journals_folder()] {
            if part.is_dir() {
                continue;
            }
            // What lies in a folder survives a power cut only if the folder does.
            let made = DirBuilder::new()
                .recursive(true)
                .mode(0o700)
                .create(&part)
                .and_then(|()| part.ancestors().skip(1).take(2).try_for_each(sync_names));
            made.map_err(|source| LibraryError::Folder { step: "make", folder: part, source })?;
        }
        Ok(library)
    }

    /// The data folder itself.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Where sealed trials lie.
    pub fn trials_folder(&self) -> PathBuf {
        self.folder.join("trials")
    }

    /// Where trials being recorded lie until they are sealed.
    pub fn journals_folder(&self) -> PathBuf {
        self.folder.join("journals")
    }

    /// Where the trial with this id lies if it is sealed.
    pub fn trial_path(&self, id: &str) -> PathBuf {
        self.trials_folder().join(trial_file::file_name(id))
    }

    /// The trials that `filter` admits. Each file's digest is checked; its samples are not read. What
    /// is no trial of the records may be anybody's: `reader` decides where it is read.
    ///
    /// # Errors
    /// [`LibraryError`] if the folder cannot be read. A file that cannot be opened is no error: it is
    /// listed among those refused, whatever the filter.
    pub fn list(
        &self,
        filter: &TrialFilter,
        reader: &TrialReader,
    ) -> Result<Listing, LibraryError> {
        let mut listing = Listing::default();
        for path in self.trial_files()? {
            match reader.outline(&path) {
                Ok(outline) if filter.admits(&outline) => {
                    listing.trials.push(LibraryTrial { path, outline });
                }
                Ok(_) => {}
                Err(error) => listing.refused.push((path, error)),
            }
        }
        Ok(listing)
    }

    /// Paths of all trial files, in the order in which the trials were made.
    ///
    /// # Errors
    /// [`LibraryError`] if the folder cannot be read.
    pub fn trial_files(&self) -> Result<Vec<PathBuf>, LibraryError> {
        let folder = self.trials_folder();
        let failed = |source| LibraryError::Folder { step: "read", folder: folder.clone(), source };
        let mut paths = Vec::new();
        for entry in fs::read_dir(&folder).map_err(failed)? {
            let path = entry.map_err(failed)?.path();
            if is_trial_file(&path) {
                paths.push(path);
            }
            if MAX_LISTED_TRIALS < paths.len() {
                return Err(LibraryError::TooMany { folder, limit: MAX_LISTED_TRIALS });
            }
        }
        // All in one folder, so that the bytes of the paths give the order of the names, and faster.
        paths.sort_unstable_by(|a, b| a.as_os_str().cmp(b.as_os_str()));
        Ok(paths)
    }
}

/// Brings the names in a folder to the disk; a relative path's last ancestor is empty.
fn sync_names(folder: &Path) -> io::Result<()> {
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    fs::File::open(folder)?.sync_all()
}

/// By its name alone: files still being sealed begin with a dot.
fn is_trial_file(path: &Path) -> bool {
    let hidden = path.file_name().is_none_or(|name| name.as_encoded_bytes().starts_with(b"."));
    !hidden && path.extension().is_some_and(|extension| extension == "h5")
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt as _;

    use super::*;
    use crate::trial_file::tests::{board_trial, imported_trial};

    fn id(n: u8) -> String {
        format!("018f4e2a-7c00-7123-8abc-0123456789{n:02x}")
    }

    #[test]
    fn trials_are_listed_in_order_and_picked() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::open(&folder.path().join("data")).unwrap();
        for (n, person, condition) in
            [(3, "A", "foam/wide/open"), (1, "B", "foam/wide/open"), (2, "A", "firm/wide/open")]
        {
            let mut trial = if n == 2 { imported_trial(5) } else { board_trial(3) };
            trial.facts.id = id(n);
            trial.facts.person = person.parse().unwrap();
            trial.facts.condition = condition.parse().unwrap();
            trial_file::seal(&trial, &library.trials_folder()).unwrap();
        }
        let picked = |person: Option<&str>, condition: Option<&str>| -> Vec<String> {
            let filter = TrialFilter {
                person: person.map(|code| code.parse().unwrap()),
                condition: condition.map(|text| text.parse().unwrap()),
            };
            let listing = library.list(&filter, &TrialReader::here()).unwrap();
            listing.trials.into_iter().map(|trial| trial.outline.facts.id).collect()
        };
        assert_eq!(picked(None, None), [id(1), id(2), id(3)]);
        assert_eq!(picked(Some("A"), None), [id(2), id(3)]);
        assert_eq!(picked(None, Some("foam/wide/open")), [id(1), id(3)]);
        assert_eq!(picked(Some("A"), Some("foam/wide/open")), [id(3)]);
        assert_eq!(picked(Some("a"), None), [] as [String; 0]);
        let found = library.list(&TrialFilter::default(), &TrialReader::here()).unwrap().trials;
        assert_eq!(found[1].outline.n_samples, 5);
        assert_eq!(found[1].path, library.trial_path(&id(2)));
    }

    #[test]
    fn a_spoilt_file_is_listed_as_refused_and_others_are_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::open(folder.path()).unwrap();
        let path = trial_file::seal(&board_trial(3), &library.trials_folder()).unwrap();
        fs::write(library.trials_folder().join("b.h5"), "no trial").unwrap();
        fs::write(library.trials_folder().join(".sealing-x.h5"), "half").unwrap();
        fs::write(library.trials_folder().join("notes.txt"), "mine").unwrap();
        let listing = library.list(&TrialFilter::default(), &TrialReader::here()).unwrap();
        assert_eq!(listing.trials.len(), 1);
        assert_eq!(listing.trials[0].path, path);
        let [(refused, error)] = &listing.refused[..] else { panic!("{listing:?}") };
        assert!(refused.ends_with("b.h5"));
        assert_eq!(error.to_string(), "it is not a trial file");
    }

    #[test]
    fn the_folders_are_for_the_owner_alone() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::open(&folder.path().join("new/data")).unwrap();
        for part in [library.trials_folder(), library.journals_folder()] {
            assert_eq!(fs::metadata(part).unwrap().permissions().mode() & 0o777, 0o700);
        }
        Library::open(library.folder()).unwrap();
        let blocked = folder.path().join("file");
        fs::write(&blocked, "").unwrap();
        assert!(matches!(Library::open(&blocked), Err(LibraryError::Folder { step: "make", .. })));
    }
}
