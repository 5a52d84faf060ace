//! The first 512 bytes of a trial file: a digest of all that follows, in text.
//!
//! HDF5 calls this the user block: other tools skip it. `head -c 512` shows it, and
//! `tail -c +513 FILE | sha256sum` computes the same digest.

use std::fmt;
use std::io::{self, Read, Write};
use std::str::FromStr;

use sha2::{Digest as _, Sha256};
use thiserror::Error;

/// Bytes before the HDF5 content; 512 is the smallest user block HDF5 allows.
pub(super) const BLOCK_BYTES: usize = 512;

const TITLE: &str = "Footing trial file. HDF5 content starts at byte 512.\n";

/// A SHA-256 digest: of a trial file, that of its content without the block that carries it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl From<Sha256> for Digest {
    fn from(hash: Sha256) -> Self {
        Self(hash.finalize().into())
    }
}

/// 64 hexadecimal digits in small letters.
impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl FromStr for Digest {
    type Err = BadDigest;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || BadDigest { found: text.chars().take(80).collect() };
        let mut bytes = [0; 32];
        if text.len() != 64 || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(bad());
        }
        for (byte, digits) in bytes.iter_mut().zip(text.as_bytes().chunks(2)) {
            let digits = std::str::from_utf8(digits).ok().ok_or_else(bad)?;
            *byte = u8::from_str_radix(digits, 16).ok().ok_or_else(bad)?;
        }
        Ok(Self(bytes))
    }
}

/// Text that is no digest.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a digest of 64 hexadecimal digits")]
pub struct BadDigest {
    /// What was offered, at most 80 characters of it.
    pub found: String,
}

/// Why a file's bytes are not those that were sealed.
#[derive(Debug, Error)]
pub enum DigestError {
    /// It does not begin as a trial file does.
    #[error("it is not a trial file")]
    NotATrialFile,
    /// It ends too early.
    #[error("it is cut short: {n_bytes} bytes of {sealed_bytes}")]
    Truncated {
        /// How many bytes there are.
        n_bytes: u64,
        /// How many were sealed; at least the block itself.
        sealed_bytes: u64,
    },
    /// Its bytes are not those that were sealed.
    #[error("it is damaged: its content does not match its digest")]
    Damaged,
    /// It cannot be read.
    #[error("it cannot be read")]
    Read(#[from] io::Error),
}

/// The block for content of `n_bytes` with `digest`.
pub(super) fn block(digest: Digest, n_bytes: u64) -> [u8; BLOCK_BYTES] {
    let text = format!("{TITLE}sha256 of the content: {digest}\nbytes of content: {n_bytes:020}\n");
    let mut block = [0; BLOCK_BYTES];
    block[..text.len()].copy_from_slice(text.as_bytes());
    block
}

/// Digest and length of all that is left in `content`.
pub(super) fn digest_of(content: impl Read) -> io::Result<(Digest, u64)> {
    copy(content, io::sink())
}

/// Copies all that is left in `content`; its digest and length.
pub(super) fn copy(mut content: impl Read, mut to: impl Write) -> io::Result<(Digest, u64)> {
    let mut hash = Sha256::new();
    let mut buffer = vec![0; 256 * 1024];
    let mut n_bytes = 0;
    loop {
        match content.read(&mut buffer)? {
            0 => return Ok((hash.into(), n_bytes)),
            n_read => {
                hash.update(&buffer[..n_read]);
                to.write_all(&buffer[..n_read])?;
                n_bytes += n_read as u64;
            }
        }
    }
}

/// Reads `file` from its start to its end and compares it with the digest in front.
pub(super) fn verify(mut file: impl Read) -> Result<Digest, DigestError> {
    let mut found = Vec::with_capacity(BLOCK_BYTES);
    file.by_ref().take(BLOCK_BYTES as u64).read_to_end(&mut found)?;
    let n_title = found.len().min(TITLE.len());
    if n_title == 0 || found[..n_title] != TITLE.as_bytes()[..n_title] {
        return Err(DigestError::NotATrialFile);
    }
    let (digest, n_content) = digest_of(file)?;
    let n_bytes = found.len() as u64 + n_content;
    let sealed_bytes = BLOCK_BYTES as u64 + sealed_content_bytes(&found).unwrap_or(0);
    if n_bytes < sealed_bytes {
        return Err(DigestError::Truncated { n_bytes, sealed_bytes });
    }
    if found == block(digest, n_content) { Ok(digest) } else { Err(DigestError::Damaged) }
}

/// The length of the content as the block states it, if it states one.
fn sealed_content_bytes(block: &[u8]) -> Option<u64> {
    let text = std::str::from_utf8(block).ok()?;
    let line = text.lines().find_map(|line| line.strip_prefix("bytes of content: "))?;
    line.parse().ok().filter(|&n_bytes: &u64| n_bytes < u64::MAX / 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sealed(content: &[u8]) -> Vec<u8> {
        let (digest, n_bytes) = digest_of(content).unwrap();
        [&block(digest, n_bytes)[..], content].concat()
    }

    #[test]
    fn the_digest_is_sha_256() {
        // FIPS 180-2, appendix B.1: the message "abc".
        let (digest, n_bytes) = digest_of(&b"abc"[..]).unwrap();
        let published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!((digest.to_string().as_str(), n_bytes), (published, 3));
        assert_eq!(published.parse(), Ok(digest));
        assert!("ba78".parse::<Digest>().is_err());
    }

    #[test]
    fn every_single_bit_flip_is_found() {
        let file = sealed(b"some content");
        assert!(verify(&file[..]).is_ok());
        for bit in 0..file.len() * 8 {
            let mut damaged = file.clone();
            damaged[bit / 8] ^= 1 << (bit % 8);
            assert!(verify(&damaged[..]).is_err(), "bit {bit}");
        }
    }

    #[test]
    fn every_length_but_the_whole_is_found() {
        let file = sealed(b"some content");
        assert!(matches!(verify(&[][..]), Err(DigestError::NotATrialFile)));
        for n_bytes in 1..file.len() {
            let outcome = verify(&file[..n_bytes]);
            assert!(matches!(outcome, Err(DigestError::Truncated { .. })), "{n_bytes}");
        }
        let longer = [&file[..], b"!"].concat();
        assert!(matches!(verify(&longer[..]), Err(DigestError::Damaged)));
    }
}
