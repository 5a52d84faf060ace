//! Packages: how a plan reaches a home and how sessions come back, each as one file.
//!
//! A package is signed by its sender, encrypted for its receiver, and says inside what is signed for
//! whom, from whom and about whom it is. It may travel by any road: the receiver takes it whole, as
//! it was sealed, or not at all. Nothing here uses a network. `acquisition/docs/package.md` tells
//! the layout byte by byte.

mod archive;
mod envelope;
#[cfg(fuzzing)]
pub mod fuzz_entry;
mod hashing;
mod imported;
mod limits;
mod manifest;
mod member_name;
mod open;
mod open_error;
mod package_id;
mod seal;
mod signed_part;
mod staging;
#[cfg(test)]
mod tests;

pub use imported::{ImportedPackages, ImportedPackagesFile, LoadImportedError, Receipt};
pub use limits::{
    FORMAT_VERSION, MAX_MANIFEST_BYTES, MAX_MEMBERS, MAX_NAME_CHARACTERS, MAX_PACKAGE_BYTES,
    MAX_TOTAL_BYTES, OLDEST_FORMAT_VERSION,
};
pub use manifest::{Manifest, MemberEntry, PackageKind, Payload};
pub use member_name::{BadMemberName, MemberName, NameFault};
pub use open::{Opened, Receiver, VerifiedMember, VerifiedPackage, open_package};
pub use open_error::OpenPackageError;
pub use package_id::{BadPackageId, PackageId};
pub use seal::{Contents, Member, MemberSource, SealPackageError, Sealed, seal_package};
pub use staging::remove_abandoned;
