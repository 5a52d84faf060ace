//! SHA-256 of bytes as they pass.

use std::fmt;
use std::io::{self, Read, Write};
use std::str::FromStr;

use sha2::{Digest as _, Sha256};
use thiserror::Error;

use crate::keys::{bytes_from_hex, hex};

/// SHA-256 of a member, of what is compressed, or of a manifest: all its bytes, nothing left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentDigest([u8; 32]);

impl ContentDigest {
    pub(super) fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }
}

/// 64 hexadecimal digits in small letters, as `sha256sum` prints them.
impl fmt::Display for ContentDigest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hex(&self.0))
    }
}

impl FromStr for ContentDigest {
    type Err = BadContentDigest;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || BadContentDigest { found: text.chars().take(80).collect() };
        bytes_from_hex(text).map(Self).ok_or_else(bad)
    }
}

/// Text that is no digest.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a digest of 64 hexadecimal digits in small letters")]
pub struct BadContentDigest {
    /// What was offered, at most 80 characters of it.
    pub found: String,
}

/// Passes bytes on and keeps their digest and number.
pub(super) struct Hashing<Inner> {
    inner: Inner,
    hash: Sha256,
    n_bytes: u64,
}

impl<Inner> Hashing<Inner> {
    pub(super) fn new(inner: Inner) -> Self {
        Self { inner, hash: Sha256::new(), n_bytes: 0 }
    }

    /// What passed the bytes on or took them, their digest and their number.
    pub(super) fn finish(self) -> (Inner, ContentDigest, u64) {
        (self.inner, ContentDigest(self.hash.finalize().into()), self.n_bytes)
    }
}

impl<Inner: Read> Read for Hashing<Inner> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let n_read = self.inner.read(buffer)?;
        self.hash.update(&buffer[..n_read]);
        self.n_bytes += n_read as u64;
        Ok(n_read)
    }
}

impl<Inner: Write> Write for Hashing<Inner> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let n_written = self.inner.write(bytes)?;
        self.hash.update(&bytes[..n_written]);
        self.n_bytes += n_written as u64;
        Ok(n_written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.inner.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digest_is_sha_256_however_the_bytes_come() {
        // FIPS 180-2, appendix B.1: the message "abc".
        let published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(ContentDigest::of(b"abc").to_string(), published);
        let mut passed = Vec::new();
        let mut reader = Hashing::new(&b"abc"[..]);
        io::copy(&mut reader, &mut passed).unwrap();
        let (_, digest, n_bytes) = reader.finish();
        assert_eq!(
            (passed.as_slice(), digest.to_string().as_str(), n_bytes),
            (&b"abc"[..], published, 3)
        );
        let mut writer = Hashing::new(Vec::new());
        writer.write_all(b"a").unwrap();
        writer.write_all(b"bc").unwrap();
        assert_eq!(writer.finish().1, published.parse().unwrap());
    }
}
