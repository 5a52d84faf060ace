//! Sealing a person's plan for their home, or their sessions for the clinic.

use std::path::Path;

use analysis::PersonCode;
use thiserror::Error;

use super::DOCUMENT_NAME;
use super::key_ring::{KeyRing, KeyRingError};
use crate::keys::Role;
use crate::package::{
    BadMemberName, Contents, Member, MemberSource, PackageKind, SealPackageError, Sealed,
    seal_package,
};
use crate::records::{Records, RecordsError, SharedPart};
use crate::wall_time::WallTime;

/// A package that is ready to go.
#[derive(Debug)]
pub struct Sent {
    /// The file with what it says about itself.
    pub sealed: Sealed,
    /// Sessions in it.
    pub n_sessions: usize,
    /// Stands in it.
    pub n_trials: usize,
}

/// Why no package was made.
#[derive(Debug, Error)]
pub enum SendError {
    /// The keys cannot be used, or nobody is paired.
    #[error(transparent)]
    Keys(#[from] KeyRingError),
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// There is no plan to send.
    #[error("{person} has no plan yet")]
    NoPlan {
        /// Whose plan.
        person: PersonCode,
    },
    /// There is no session to send.
    #[error("{person} has no session to send")]
    NoSession {
        /// Whose sessions.
        person: PersonCode,
    },
    /// A trial's id cannot be the name of a file.
    #[error(transparent)]
    Name(#[from] BadMemberName),
    /// The package was not sealed.
    #[error(transparent)]
    Seal(#[from] SealPackageError),
}

/// Seals what this side has for the other: a clinic the plan, a home its sessions since `since`.
///
/// A person's name is in it only if `with_name`. What the other side has already is harmless.
///
/// # Errors
/// [`SendError`]; no package is left behind.
pub fn send(
    records: &Records,
    keys: &KeyRing,
    person: &PersonCode,
    since: WallTime,
    with_name: bool,
    now: WallTime,
    folder: &Path,
) -> Result<Sent, SendError> {
    let own = keys.own()?;
    let pairing = keys.pairing(person)?;
    let (kind, part) = match own.role() {
        Role::Clinic => (PackageKind::Plan, SharedPart::Plan),
        Role::Home => (PackageKind::Sessions, SharedPart::SessionsSince(since)),
    };
    if kind == PackageKind::Plan && records.current_plan(person)?.is_none() {
        return Err(SendError::NoPlan { person: person.clone() });
    }
    let (document, sessions) = records.shared_part(person, part, with_name)?;
    if kind == PackageKind::Sessions && sessions.is_empty() {
        return Err(SendError::NoSession { person: person.clone() });
    }
    let mut members = vec![Member {
        name: DOCUMENT_NAME.parse()?,
        source: MemberSource::Bytes(document.into_bytes()),
    }];
    let board = pairing.assignment().board.to_string();
    for trial in records.history(person, &[])?.trials {
        let in_sessions = trial.facts.session.as_ref().is_some_and(|id| sessions.contains(id));
        // Only stands on the board of the pairing travel: another board's are not this home's.
        if in_sessions && trial.facts.setup.board == board {
            let path = records.library().trial_path(&trial.facts.id);
            let name = path.file_name().unwrap_or_default().to_string_lossy().parse()?;
            members.push(Member { name, source: MemberSource::File(path) });
        }
    }
    let n_trials = members.len() - 1;
    let name = if with_name { records.person(person)?.and_then(|known| known.name) } else { None };
    let contents = Contents {
        kind,
        serial: keys.next_serial(kind, person, now)?,
        created: now,
        personal_name: name,
        members,
    };
    let sealed = seal_package(&contents, pairing, own, folder)?;
    Ok(Sent { sealed, n_sessions: sessions.len(), n_trials })
}
