//! What a package says about itself, inside what is signed.

use std::collections::BTreeSet;

use analysis::keyed_enum;
use serde::{Deserialize, Serialize};

use super::limits::{
    FORMAT_VERSION, MAX_MEMBERS, MAX_NAME_CHARACTERS, MAX_PACKAGE_BYTES, MAX_TOTAL_BYTES,
    OLDEST_FORMAT_VERSION,
};
use super::member_name::MemberName;
use super::open_error::OpenPackageError;
use super::package_id::PackageId;
use crate::keys::{Assignment, Fingerprint, Role};
use crate::trial_file::Digest;
use crate::wall_time::WallTime;

keyed_enum! {
    /// What a package carries.
    pub enum PackageKind ("kind of package") {
        /// A plan, from the clinic to the home.
        Plan = "plan",
        /// Sessions, from the home to the clinic.
        Sessions = "sessions",
    }
}

impl PackageKind {
    /// Which side sends this kind; a plan from a home is refused whoever signed it.
    pub const fn sender(self) -> Role {
        match self {
            Self::Plan => Role::Clinic,
            Self::Sessions => Role::Home,
        }
    }
}

/// What a package says about itself; every field is signed by the sender.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    /// The package's own id.
    pub id: PackageId,
    /// What it carries.
    pub kind: PackageKind,
    /// The sender's running number of packages of this kind for this person.
    pub serial: u64,
    /// When it was sealed, by the sender's clock.
    pub created: WallTime,
    /// Who signed it.
    pub from: Fingerprint,
    /// For whom it was encrypted.
    pub to: Fingerprint,
    /// Which person, board and clinic it is for.
    pub assignment: Assignment,
    /// The person's name, only if it was asked for.
    pub personal_name: Option<String>,
    /// The compressed archive that follows.
    pub payload: Payload,
    /// The files in it, in its order.
    pub members: Vec<MemberEntry>,
}

/// The compressed archive, as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Payload {
    /// How many bytes it has.
    pub n_bytes: u64,
    /// Its digest.
    pub digest: Digest,
}

/// One file of a package.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MemberEntry {
    /// Its name.
    pub name: MemberName,
    /// How many bytes it has.
    pub n_bytes: u64,
    /// Its digest.
    pub digest: Digest,
}

/// The manifest's shape in files.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ManifestFile {
    format: u32,
    package: String,
    kind: String,
    serial: u64,
    created: String,
    from: String,
    to: String,
    clinic: String,
    person: String,
    board: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    personal_name: Option<String>,
    payload_bytes: u64,
    payload_sha256: String,
    members: Vec<MemberFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MemberFile {
    name: String,
    bytes: u64,
    sha256: String,
}

/// Only the version, so that one that differs in all else is still named.
#[derive(Deserialize)]
struct FormatOnly {
    format: u64,
}

impl Manifest {
    /// All members' bytes together, unpacked.
    pub fn total_bytes(&self) -> u64 {
        self.members.iter().fold(0, |sum, member| member.n_bytes.saturating_add(sum))
    }

    /// The manifest as it is signed: one JSON object.
    pub(super) fn to_bytes(&self) -> Vec<u8> {
        let file = ManifestFile {
            format: FORMAT_VERSION,
            package: self.id.to_string(),
            kind: self.kind.to_string(),
            serial: self.serial,
            created: self.created.to_string(),
            from: self.from.to_string(),
            to: self.to.to_string(),
            clinic: self.assignment.clinic.to_string(),
            person: self.assignment.person.to_string(),
            board: self.assignment.board.to_string(),
            personal_name: self.personal_name.clone(),
            payload_bytes: self.payload.n_bytes,
            payload_sha256: self.payload.digest.to_string(),
            members: self.members.iter().map(MemberFile::from_entry).collect(),
        };
        serde_json::to_vec_pretty(&file).expect("plain fields are JSON")
    }

    /// Reads a manifest whose signature has been checked; each bound is checked here.
    pub(super) fn from_bytes(bytes: &[u8]) -> Result<Self, OpenPackageError> {
        let syntax = OpenPackageError::ManifestSyntax;
        let FormatOnly { format: found } = serde_json::from_slice(bytes).map_err(syntax)?;
        if found < u64::from(OLDEST_FORMAT_VERSION) {
            return Err(OpenPackageError::OlderFormat { found });
        }
        if u64::from(FORMAT_VERSION) < found {
            return Err(OpenPackageError::NewerFormat { found });
        }
        let file: ManifestFile = serde_json::from_slice(bytes).map_err(syntax)?;
        let limit_bytes = MAX_PACKAGE_BYTES;
        if limit_bytes < file.payload_bytes {
            let n_bytes = file.payload_bytes;
            return Err(OpenPackageError::DeclaredTooLarge { n_bytes, limit_bytes });
        }
        let members = members_from_file(&file.members)?;
        let name_ok = |name: &String| is_personal_name(name);
        let field = |what| OpenPackageError::ManifestField { what };
        if !file.personal_name.as_ref().is_none_or(name_ok) {
            return Err(field("personal_name"));
        }
        Ok(Self {
            id: file.package.parse().ok().ok_or(field("package"))?,
            kind: file.kind.parse().ok().ok_or(field("kind"))?,
            serial: file.serial,
            created: file.created.parse().ok().ok_or(field("created"))?,
            from: file.from.parse().ok().ok_or(field("from"))?,
            to: file.to.parse().ok().ok_or(field("to"))?,
            assignment: Assignment {
                clinic: file.clinic.parse().ok().ok_or(field("clinic"))?,
                person: file.person.parse().ok().ok_or(field("person"))?,
                board: file.board.parse().ok().ok_or(field("board"))?,
            },
            personal_name: file.personal_name,
            payload: Payload {
                n_bytes: file.payload_bytes,
                digest: file.payload_sha256.parse().ok().ok_or(field("payload_sha256"))?,
            },
            members,
        })
    }
}

/// A name of a line's length that cannot disturb a screen or a report.
pub(super) fn is_personal_name(name: &str) -> bool {
    let n_characters = name.chars().count();
    (1..=MAX_NAME_CHARACTERS).contains(&n_characters) && !name.chars().any(char::is_control)
}

impl MemberFile {
    fn from_entry(entry: &MemberEntry) -> Self {
        Self {
            name: entry.name.to_string(),
            bytes: entry.n_bytes,
            sha256: entry.digest.to_string(),
        }
    }
}

fn members_from_file(files: &[MemberFile]) -> Result<Vec<MemberEntry>, OpenPackageError> {
    if files.is_empty() {
        return Err(OpenPackageError::ManifestField { what: "members" });
    }
    if MAX_MEMBERS < files.len() {
        return Err(OpenPackageError::TooManyMembers { n_members: files.len() });
    }
    let mut total_bytes: u64 = 0;
    let mut taken = BTreeSet::new();
    let mut members = Vec::with_capacity(files.len());
    for file in files {
        let name: MemberName = file.name.parse()?;
        if !taken.insert(name.folded()) {
            return Err(OpenPackageError::DuplicateMember { name });
        }
        total_bytes = total_bytes.saturating_add(file.bytes);
        let digest = file.sha256.parse().ok();
        let digest = digest.ok_or(OpenPackageError::ManifestField { what: "sha256" })?;
        members.push(MemberEntry { name, n_bytes: file.bytes, digest });
    }
    if MAX_TOTAL_BYTES < total_bytes {
        let (n_bytes, limit_bytes) = (total_bytes, MAX_TOTAL_BYTES);
        return Err(OpenPackageError::DeclaredTooLarge { n_bytes, limit_bytes });
    }
    Ok(members)
}
