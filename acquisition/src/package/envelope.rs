//! The one line in front of what is encrypted: version, length and a check against damage.
//!
//! The line is no protection against anyone; it is there so that a file that was damaged on its way
//! is told from one that is meant for somebody else, and a newer one from a broken one.

use std::io::{self, Read, Seek, SeekFrom};

use super::hashing::Hashing;
use super::limits::{FORMAT_VERSION, MAX_PACKAGE_BYTES, OLDEST_FORMAT_VERSION};
use super::open_error::OpenPackageError;
use crate::trial_file::Digest;

const TITLE: &str = "Footing package, format ";

/// Bytes of the line: title, version, length, digest and its end.
pub(super) const LINE_BYTES: usize = TITLE.len() + 10 + 1 + 20 + 1 + 64 + 1;

/// The line for `n_bytes` of encrypted content with `digest`.
pub(super) fn line(n_bytes: u64, digest: Digest) -> String {
    format!("{TITLE}{FORMAT_VERSION:010} {n_bytes:020} {digest}\n")
}

/// Checks the line and the damage check of a whole package, and leaves `file` at what is encrypted.
///
/// Gives the number of encrypted bytes. `file` is read from its start.
pub(super) fn check(file: &mut (impl Read + Seek)) -> Result<u64, OpenPackageError> {
    let unreadable = OpenPackageError::Unreadable;
    let n_bytes = file.seek(SeekFrom::End(0)).map_err(unreadable)?;
    if MAX_PACKAGE_BYTES < n_bytes {
        let limit_bytes = MAX_PACKAGE_BYTES;
        return Err(OpenPackageError::FileTooLarge { n_bytes, limit_bytes });
    }
    file.seek(SeekFrom::Start(0)).map_err(unreadable)?;
    let mut found = Vec::with_capacity(LINE_BYTES);
    file.by_ref().take(LINE_BYTES as u64).read_to_end(&mut found).map_err(unreadable)?;
    check_version(&found)?;
    let line_bytes = LINE_BYTES as u64;
    if found.len() < LINE_BYTES {
        return Err(OpenPackageError::Truncated { n_bytes, sealed_bytes: line_bytes });
    }
    let (stated_bytes, stated_digest) = stated(&found).ok_or(OpenPackageError::Damaged)?;
    let sealed_bytes = stated_bytes.saturating_add(line_bytes);
    if n_bytes < sealed_bytes {
        return Err(OpenPackageError::Truncated { n_bytes, sealed_bytes });
    }
    let mut content = Hashing::new(&mut *file);
    io::copy(&mut content, &mut io::sink()).map_err(unreadable)?;
    let (_, digest, n_content) = content.finish();
    if (n_content, digest) != (stated_bytes, stated_digest) {
        return Err(OpenPackageError::Damaged);
    }
    file.seek(SeekFrom::Start(line_bytes)).map_err(unreadable)?;
    Ok(n_content)
}

/// The version is judged first: a newer format may differ in everything after it.
fn check_version(found: &[u8]) -> Result<(), OpenPackageError> {
    let n_title = found.len().min(TITLE.len());
    if n_title == 0 || found[..n_title] != TITLE.as_bytes()[..n_title] {
        return Err(OpenPackageError::NotAPackage);
    }
    let Some(digits) = found.get(TITLE.len()..TITLE.len() + 10) else {
        return Ok(());
    };
    let version = number(digits).ok_or(OpenPackageError::Damaged)?;
    if version < u64::from(OLDEST_FORMAT_VERSION) {
        return Err(OpenPackageError::OlderFormat { found: version });
    }
    if u64::from(FORMAT_VERSION) < version {
        return Err(OpenPackageError::NewerFormat { found: version });
    }
    Ok(())
}

fn stated(line: &[u8]) -> Option<(u64, Digest)> {
    let rest = line.get(TITLE.len() + 10..)?.strip_prefix(b" ")?.strip_suffix(b"\n")?;
    let (n_bytes, digest) = rest.split_at_checked(20)?;
    let digest = std::str::from_utf8(digest.strip_prefix(b" ")?).ok()?;
    Some((number(n_bytes)?, digest.parse().ok()?))
}

/// Digits only: no sign, no blank.
fn number(digits: &[u8]) -> Option<u64> {
    let all_digits = digits.iter().all(u8::is_ascii_digit);
    std::str::from_utf8(digits).ok().filter(|_| all_digits)?.parse().ok()
}
