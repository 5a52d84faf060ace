//! What was imported before, so that a package is taken once and never in another's place.

use std::io;
use std::path::{Path, PathBuf};

use analysis::PersonCode;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::manifest::PackageKind;
use super::package_id::PackageId;
use crate::keys::{Fingerprint, ReadOwnerFileError, read_owned, replace_owned};
use crate::trial_file::Digest;

const VERSION: u32 = 1;
const MAX_FILE_BYTES: u64 = 64 * 1024 * 1024;

/// What is kept of a package that was imported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// Its id.
    pub id: PackageId,
    /// Digest of its manifest, which names every byte of its content.
    pub content: Digest,
    /// What it carried.
    pub kind: PackageKind,
    /// The sender's running number.
    pub serial: u64,
    /// Who signed it.
    pub from: Fingerprint,
    /// Whom it is about.
    pub person: PersonCode,
}

/// A list of imported packages.
///
/// Whoever imports records the receipt in the same step as the content, if the store can: a package
/// that is opened again after a crash between the two is offered again.
pub trait ImportedPackages {
    /// The receipt of the package `id`, if it was imported.
    ///
    /// # Errors
    /// The list cannot be read.
    fn find(&self, id: PackageId) -> io::Result<Option<Receipt>>;

    /// The highest serial number imported of `kind` from `from` about `person`.
    ///
    /// # Errors
    /// The list cannot be read.
    fn latest_serial(
        &self,
        from: Fingerprint,
        kind: PackageKind,
        person: &PersonCode,
    ) -> io::Result<Option<u64>>;

    /// Records that a package was imported. Recording one again changes nothing.
    ///
    /// # Errors
    /// The list cannot be written; it is then as before.
    fn record(&mut self, receipt: &Receipt) -> io::Result<()>;
}

/// A list of imported packages in one file for its owner alone, replaced as a whole at each change.
///
/// One program at a time may use it.
#[derive(Debug)]
pub struct ImportedPackagesFile {
    path: PathBuf,
    receipts: Vec<Receipt>,
}

/// Why a list of imported packages was not loaded. An unreadable list is never taken for an empty
/// one: packages would be imported again.
#[derive(Debug, Error)]
pub enum LoadImportedError {
    /// The file cannot be read, or others can.
    #[error("the list of imported packages cannot be used")]
    File(#[from] ReadOwnerFileError),
    /// It holds no list of this version.
    #[error("the file holds no list of imported packages of version {VERSION}")]
    NotAList,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ListFile {
    footing_imported_packages: u32,
    packages: Vec<ReceiptFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReceiptFile {
    package: String,
    content_sha256: String,
    kind: String,
    serial: u64,
    from: String,
    person: String,
}

impl ImportedPackagesFile {
    /// Loads the list at `path`; a list that is not there is empty.
    ///
    /// # Errors
    /// [`LoadImportedError`].
    pub fn load(path: &Path) -> Result<Self, LoadImportedError> {
        let bytes = match read_owned(path, MAX_FILE_BYTES) {
            Ok(bytes) => bytes,
            Err(ReadOwnerFileError::Missing) => {
                return Ok(Self { path: path.to_owned(), receipts: Vec::new() });
            }
            Err(error) => return Err(error.into()),
        };
        let file: ListFile =
            serde_json::from_slice(&bytes).ok().ok_or(LoadImportedError::NotAList)?;
        if file.footing_imported_packages != VERSION {
            return Err(LoadImportedError::NotAList);
        }
        let receipts: Option<_> =
            file.packages.into_iter().map(ReceiptFile::into_receipt).collect();
        let receipts = receipts.ok_or(LoadImportedError::NotAList)?;
        Ok(Self { path: path.to_owned(), receipts })
    }
}

impl ImportedPackages for ImportedPackagesFile {
    fn find(&self, id: PackageId) -> io::Result<Option<Receipt>> {
        Ok(self.receipts.iter().find(|receipt| receipt.id == id).cloned())
    }

    fn latest_serial(
        &self,
        from: Fingerprint,
        kind: PackageKind,
        person: &PersonCode,
    ) -> io::Result<Option<u64>> {
        let same = |receipt: &&Receipt| {
            (receipt.from, receipt.kind) == (from, kind) && receipt.person == *person
        };
        Ok(self.receipts.iter().filter(same).map(|receipt| receipt.serial).max())
    }

    fn record(&mut self, receipt: &Receipt) -> io::Result<()> {
        if self.receipts.iter().any(|known| known.id == receipt.id) {
            return Ok(());
        }
        let packages =
            self.receipts.iter().chain([receipt]).map(ReceiptFile::from_receipt).collect();
        let file = ListFile { footing_imported_packages: VERSION, packages };
        let bytes = serde_json::to_vec_pretty(&file).map_err(io::Error::other)?;
        replace_owned(&self.path, &bytes)?;
        self.receipts.push(receipt.clone());
        Ok(())
    }
}

impl ReceiptFile {
    fn from_receipt(receipt: &Receipt) -> Self {
        Self {
            package: receipt.id.to_string(),
            content_sha256: receipt.content.to_string(),
            kind: receipt.kind.to_string(),
            serial: receipt.serial,
            from: receipt.from.to_string(),
            person: receipt.person.to_string(),
        }
    }

    fn into_receipt(self) -> Option<Receipt> {
        Some(Receipt {
            id: self.package.parse().ok()?,
            content: self.content_sha256.parse().ok()?,
            kind: self.kind.parse().ok()?,
            serial: self.serial,
            from: self.from.parse().ok()?,
            person: self.person.parse().ok()?,
        })
    }
}
