//! What a package is known by.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;
use uuid::Uuid;

/// A package's unique id: a UUID of version 7, made when it is sealed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PackageId(Uuid);

impl PackageId {
    pub(super) fn unique() -> Self {
        Self(Uuid::now_v7())
    }
}

/// The usual 36 characters in small letters.
impl fmt::Display for PackageId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.hyphenated())
    }
}

impl FromStr for PackageId {
    type Err = BadPackageId;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || BadPackageId { found: text.chars().take(40).collect() };
        let id = Uuid::parse_str(text).ok().map(Self).ok_or_else(bad)?;
        // One spelling only: ids are compared as text in records and file names.
        if id.to_string() == text && id.0.get_version_num() == 7 { Ok(id) } else { Err(bad()) }
    }
}

/// Text that is no package's id.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a package's id")]
pub struct BadPackageId {
    /// What was offered, at most 40 characters of it.
    pub found: String,
}
