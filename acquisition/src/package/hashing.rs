//! SHA-256 of bytes as they pass.

use std::io::{self, Read, Write};

use sha2::{Digest as _, Sha256};

use crate::trial_file::Digest;

/// The digest of bytes in memory.
pub(super) fn digest_of(bytes: &[u8]) -> Digest {
    Sha256::new_with_prefix(bytes).into()
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
    pub(super) fn finish(self) -> (Inner, Digest, u64) {
        (self.inner, self.hash.into(), self.n_bytes)
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
        assert_eq!(digest_of(b"abc").to_string(), published);
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
