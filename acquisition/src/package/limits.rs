//! Versions and bounds of packages, all our own choice.

/// Version of the format that is written.
pub const FORMAT_VERSION: u32 = 1;

/// Oldest version that is read.
pub const OLDEST_FORMAT_VERSION: u32 = 1;

/// Most bytes of a package file.
pub const MAX_PACKAGE_BYTES: u64 = 2 * 1024 * 1024 * 1024;

/// Most bytes of all members together, unpacked: months of sessions at 1,000 samples a second.
pub const MAX_TOTAL_BYTES: u64 = 4 * 1024 * 1024 * 1024;

/// Most members of a package.
pub const MAX_MEMBERS: usize = 10_000;

/// Most bytes of a manifest: the most members, with the longest names, fit.
pub const MAX_MANIFEST_BYTES: u64 = 4 * 1024 * 1024;

/// Most characters of the personal name a package may carry.
pub const MAX_NAME_CHARACTERS: usize = 100;
