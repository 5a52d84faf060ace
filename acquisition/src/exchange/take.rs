//! Taking a package: verified as a whole, then into the records as a whole.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use analysis::{Analyser, PersonCode};
use thiserror::Error;

use super::key_ring::{KeyRing, KeyRingError};
use super::{DOCUMENT_NAME, MAX_DOCUMENT_BYTES};
use crate::package::{
    ImportedPackages as _, OpenPackageError, Opened, PackageId, PackageKind, Receiver,
    VerifiedMember, VerifiedPackage, open_package, remove_abandoned,
};
use crate::records::{
    Records, RecordsError, TakeSharedError, TakenPlan, TakenSessions, TrialRecord,
};
use crate::trial_file::{self, OpenTrialError, TrialReader};
use crate::wall_time::WallTime;

/// A package that was taken.
#[derive(Debug)]
pub struct Taken {
    /// Whom it is about.
    pub person: PersonCode,
    /// When it was sealed.
    pub created: WallTime,
    /// What it brought.
    pub content: TakenContent,
}

/// What a package brought.
#[derive(Debug, PartialEq, Eq)]
pub enum TakenContent {
    /// A plan with its decisions.
    Plan(TakenPlan),
    /// Sessions with their stands.
    Sessions(TakenSessions),
}

/// Why a package was not taken; nothing has changed.
#[derive(Debug, Error)]
pub enum TakeError {
    /// The keys cannot be used.
    #[error(transparent)]
    Keys(#[from] KeyRingError),
    /// The package is refused.
    #[error(transparent)]
    Package(#[from] OpenPackageError),
    /// Its document cannot be read, or there is none.
    #[error("the document about the person cannot be read")]
    Document(#[source] io::Error),
    /// It holds a file that no package of this kind has.
    #[error("it holds the file {name:?}, which does not belong there")]
    StrayMember {
        /// The file.
        name: String,
    },
    /// A stand in it is no trial file.
    #[error("the stand {name:?} cannot be used")]
    Trial {
        /// The file.
        name: String,
        /// Why.
        source: OpenTrialError,
    },
    /// A stand in it was recorded on another board.
    #[error("the stand {name:?} was recorded on board {board:?}, not on the board of this pairing")]
    OtherBoard {
        /// The file.
        name: String,
        /// The board of the trial.
        board: String,
    },
    /// The records do not take it.
    #[error(transparent)]
    Content(#[from] TakeSharedError),
    /// It was taken, but the list of taken packages was not written.
    #[error("what it holds is taken; that it was could not be noted")]
    Receipt(#[source] io::Error),
}

/// Takes the package at `path`; its stands are strangers, which `reader` has a child read. `Ok(Err(id))`: the very same package was taken before.
///
/// # Errors
/// [`TakeError`]; except for `Receipt`, nothing has changed then.
pub fn take(
    records: &mut Records,
    keys: &KeyRing,
    reader: &TrialReader,
    path: &Path,
) -> Result<Result<Taken, PackageId>, TakeError> {
    let own = keys.own()?;
    let mut imported = keys.taken()?;
    let staging = keys.folder();
    remove_abandoned(staging).map_err(KeyRingError::Folder)?;
    let receiver = Receiver { own, pairings: keys.pairings(), imported: &imported };
    let package = match open_package(path, receiver, staging)? {
        Opened::New(package) => package,
        Opened::NothingNew { id } => return Ok(Err(id)),
    };
    let person = package.manifest().assignment.person.clone();
    let content = match package.manifest().kind {
        PackageKind::Plan => {
            let document = plan_document(&package)?;
            TakenContent::Plan(records.take_plan(&document, &person)?)
        }
        PackageKind::Sessions => {
            TakenContent::Sessions(take_sessions(records, &package, &person, reader)?)
        }
    };
    imported.record(&package.receipt()).map_err(TakeError::Receipt)?;
    Ok(Ok(Taken { person, created: package.manifest().created, content }))
}

fn plan_document(package: &VerifiedPackage) -> Result<String, TakeError> {
    let stray = package.members().iter().find(|member| member.name.as_str() != DOCUMENT_NAME);
    match stray {
        Some(member) => Err(TakeError::StrayMember { name: member.name.to_string() }),
        None => document(package),
    }
}

fn document(package: &VerifiedPackage) -> Result<String, TakeError> {
    let found = package.members().iter().find(|member| member.name.as_str() == DOCUMENT_NAME);
    let member = found.ok_or_else(|| TakeError::Document(io::ErrorKind::NotFound.into()))?;
    if MAX_DOCUMENT_BYTES < member.n_bytes {
        return Err(TakeError::Document(io::ErrorKind::FileTooLarge.into()));
    }
    fs::read_to_string(&member.path).map_err(TakeError::Document)
}

fn take_sessions(
    records: &mut Records,
    package: &VerifiedPackage,
    person: &PersonCode,
    reader: &TrialReader,
) -> Result<TakenSessions, TakeError> {
    let document = document(package)?;
    let (strangers, mut analyser) = (reader.distrusting(), Analyser::new());
    let mut trials = Vec::new();
    let mut files: Vec<(String, PathBuf)> = Vec::new();
    for member in package.members().iter().filter(|member| member.name.as_str() != DOCUMENT_NAME) {
        let trial = stand(member, package, &strangers, &mut analyser)?;
        files.push((trial.facts.id.clone(), member.path.clone()));
        trials.push(trial);
    }
    let folder = records.library().trials_folder();
    let mut placed = Placed::default();
    let taken = records.take_sessions(&document, person, &trials, |fresh| {
        let fresh = |id: &String| fresh.iter().any(|trial| trial.facts.id == *id);
        for (id, from) in files.iter().filter(|(id, _)| fresh(id)) {
            let to = folder.join(trial_file::file_name(id));
            let failed = |source| RecordsError::Export { path: to.clone(), source };
            placed.put(from, &to).map_err(failed)?;
        }
        let sync = File::open(&folder).and_then(|folder| folder.sync_all());
        sync.map_err(|source| RecordsError::Export { path: folder.clone(), source })
    })?;
    placed.keep();
    Ok(taken)
}

/// A member as a trial of this package, or why it is none.
fn stand(
    member: &VerifiedMember,
    package: &VerifiedPackage,
    reader: &TrialReader,
    analyser: &mut Analyser,
) -> Result<TrialRecord, TakeError> {
    let name = member.name.to_string();
    let trial = TrialRecord::measure(&member.path, reader, analyser)
        .map_err(|source| TakeError::Trial { name: name.clone(), source })?;
    if trial_file::file_name(&trial.facts.id) != name {
        return Err(TakeError::StrayMember { name });
    }
    let board = &trial.facts.setup.board;
    if *board != package.manifest().assignment.board.to_string() {
        return Err(TakeError::OtherBoard { name, board: board.clone() });
    }
    Ok(trial)
}

/// Files that were put in their place and vanish again unless they are kept.
#[derive(Default)]
struct Placed {
    paths: Vec<PathBuf>,
}

impl Placed {
    /// Copies a file beside its place and names it, if the name is free.
    fn put(&mut self, from: &Path, to: &Path) -> io::Result<()> {
        let folder = to.parent().unwrap_or(Path::new("."));
        let mut file = tempfile::Builder::new().prefix(".taking-").tempfile_in(folder)?;
        io::copy(&mut File::open(from)?, file.as_file_mut())?;
        file.as_file().sync_all()?;
        file.persist_noclobber(to).map_err(|failed| failed.error)?;
        self.paths.push(to.to_owned());
        Ok(())
    }

    fn keep(&mut self) {
        self.paths.clear();
    }
}

impl Drop for Placed {
    fn drop(&mut self) {
        for path in &self.paths {
            // One that stays is taken in at the next start, as a trial that the records do not know.
            fs::remove_file(path).ok();
        }
    }
}
