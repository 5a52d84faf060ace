//! Who reads a trial file: this process or a child.

use std::collections::HashSet;
use std::fs;
use std::path::Path;
use std::sync::{Arc, OnceLock};

use super::answer::{Found, Wanted};
use super::room::{ApartError, ChildCommand, Room};
use crate::library::Library;
use crate::records::known_trials;
use crate::stored_trial::StoredTrial;
use crate::trial_file::consistency;
use crate::trial_file::layout::MAX_SAMPLES;
use crate::trial_file::open::{self, OpenTrialError, TrialOutline};
use crate::trial_file::{Digest, ReadTrialError};

/// Reads trial files, each in the place its origin asks for.
///
/// A file is *own* if it lies in the library's folder of trials under the name of a trial that the
/// records know: it was sealed here, or read by a child when the records took it in. Own files are
/// read in this process. Every other file is a *stranger* and is read in a child.
#[derive(Debug, Clone)]
pub struct TrialReader {
    strangers: Option<Arc<Room>>,
    own: Option<Arc<Own>>,
}

/// The trials that need no child.
#[derive(Debug)]
struct Own {
    library: Library,
    /// Read when the first file of the library is asked for.
    known: OnceLock<HashSet<String>>,
}

impl Default for TrialReader {
    fn default() -> Self {
        Self::here()
    }
}

impl TrialReader {
    /// Reads every file in this process: for files this process made, and for programs that have no
    /// child to offer.
    pub const fn here() -> Self {
        Self { strangers: None, own: None }
    }

    /// Reads strangers in children started with `child`, and what is own of `library` here.
    pub fn with_children(child: ChildCommand, library: &Library) -> Self {
        Self {
            strangers: Some(Arc::new(Room::new(child))),
            own: Some(Arc::new(Own { library: library.clone(), known: OnceLock::new() })),
        }
    }

    /// The same children, for files of which none is own.
    #[must_use]
    pub fn distrusting(&self) -> Self {
        Self { strangers: self.strangers.clone(), own: None }
    }

    /// Reads a whole trial file.
    ///
    /// # Errors
    /// [`OpenTrialError`], as [`open`](crate::trial_file::open); and if the child that read it
    /// crashed or was ended.
    pub fn open(&self, path: &Path) -> Result<StoredTrial, OpenTrialError> {
        self.open_with_digest(path).map(|(trial, _)| trial)
    }

    /// Reads a whole trial file, and gives its digest beside it.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn open_with_digest(&self, path: &Path) -> Result<(StoredTrial, Digest), OpenTrialError> {
        let Some(room) = self.room_for(path) else { return open::open_with_digest(path) };
        match room.read(Wanted::Trial, path, open::size(path)?)? {
            Found::Trial(trial, digest) => {
                // Not believed either: a child that a file has taken over says what that file wants.
                consistency::check(&trial).map_err(ReadTrialError::from)?;
                Ok((*trial, digest))
            }
            Found::Refused(error) => Err(error),
            Found::Outline(_) => Err(ApartError::Garbled.into()),
        }
    }

    /// Reads a trial file's facts, its length and its digest, which is checked.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn outline(&self, path: &Path) -> Result<TrialOutline, OpenTrialError> {
        let Some(room) = self.room_for(path) else { return open::outline(path) };
        match room.read(Wanted::Outline, path, open::size(path)?)? {
            Found::Outline(outline) if outline.n_samples <= MAX_SAMPLES => {
                consistency::check_facts(&outline.facts).map_err(ReadTrialError::from)?;
                Ok(*outline)
            }
            Found::Refused(error) => Err(error),
            Found::Outline(_) | Found::Trial(..) => Err(ApartError::Garbled.into()),
        }
    }

    /// The children, if the file at `path` is one for them.
    fn room_for(&self, path: &Path) -> Option<&Room> {
        let room = self.strangers.as_deref()?;
        let own = self.own.as_ref().is_some_and(|own| own.holds(path));
        (!own).then_some(room)
    }
}

impl Own {
    fn holds(&self, path: &Path) -> bool {
        let folder = self.library.trials_folder();
        let inside = path.parent().is_some_and(|parent| {
            parent == folder
                || fs::canonicalize(parent)
                    .is_ok_and(|parent| fs::canonicalize(&folder).is_ok_and(|own| own == parent))
        });
        // A link in the folder leads to a file that is elsewhere.
        inside
            && path.symlink_metadata().is_ok_and(|about| about.is_file())
            && path.file_stem().and_then(|stem| stem.to_str()).is_some_and(|id| {
                self.known.get_or_init(|| known_trials(&self.library)).contains(id)
            })
    }
}
