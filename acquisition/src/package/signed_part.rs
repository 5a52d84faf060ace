//! The first part of what is encrypted: who signed, the signature, and the manifest it covers.

use std::io::Read;

use super::limits::MAX_MANIFEST_BYTES;
use super::manifest::Manifest;
use super::open_error::OpenPackageError;
use crate::keys::{KeyPair, Pairing, bytes_from_hex, hex};

/// What stands before the manifest in the signed message, so that a signature made for anything
/// else is never one of a package.
const CONTEXT: &[u8] = b"Footing package manifest, format 1\n";

/// Bytes of the line: key, signature, length of the manifest, and its end.
pub(super) const LINE_BYTES: usize = 64 + 1 + 128 + 1 + 10 + 1;

/// The line and the manifest that follows it, signed with `keys`.
pub(super) fn to_bytes(manifest: &[u8], keys: &KeyPair) -> Vec<u8> {
    let signer = hex(&keys.public().verifying_bytes());
    let signature = hex(&keys.sign(&message(manifest)));
    let line = format!("{signer} {signature} {:010}\n", manifest.len());
    [line.as_bytes(), manifest].concat()
}

/// Reads the line, finds its signer among `pairings`, checks the signature, and only then parses
/// the manifest.
///
/// Gives the manifest, its bytes, and the pairings with that signer: at least one, all with the same
/// keys.
pub(super) fn read<'a>(
    content: &mut impl Read,
    pairings: &'a [Pairing],
) -> Result<(Manifest, Vec<u8>, Vec<&'a Pairing>), OpenPackageError> {
    let line = read_exactly(content, LINE_BYTES as u64)?;
    let line = parse_line(&line).ok_or(OpenPackageError::Layout)?;
    let signed = |pairing: &&Pairing| pairing.other().verifying_bytes() == line.signer;
    let known: Vec<&Pairing> = pairings.iter().filter(signed).collect();
    let Some(pairing) = known.first() else {
        return Err(OpenPackageError::UnknownSigner { signer: hex(&line.signer) });
    };
    let bytes = read_exactly(content, line.manifest_bytes)?;
    if !pairing.other().signed(&message(&bytes), &line.signature) {
        return Err(OpenPackageError::BadSignature);
    }
    Ok((Manifest::from_bytes(&bytes)?, bytes, known))
}

fn message(manifest: &[u8]) -> Vec<u8> {
    [CONTEXT, manifest].concat()
}

struct Line {
    signer: [u8; 32],
    signature: [u8; 64],
    manifest_bytes: u64,
}

fn parse_line(line: &[u8]) -> Option<Line> {
    let text = std::str::from_utf8(line).ok()?.strip_suffix('\n')?;
    let mut fields = text.split(' ');
    let signer = bytes_from_hex(fields.next()?)?;
    let signature = bytes_from_hex(fields.next()?)?;
    let digits = fields.next().filter(|digits| digits.bytes().all(|byte| byte.is_ascii_digit()))?;
    let manifest_bytes = digits.parse().ok().filter(|&n_bytes| n_bytes <= MAX_MANIFEST_BYTES)?;
    fields.next().is_none().then_some(Line { signer, signature, manifest_bytes })
}

fn read_exactly(content: &mut impl Read, n_bytes: u64) -> Result<Vec<u8>, OpenPackageError> {
    let mut bytes = Vec::new();
    let read = content.by_ref().take(n_bytes).read_to_end(&mut bytes);
    read.map_err(decrypting)?;
    if (bytes.len() as u64) < n_bytes { Err(OpenPackageError::Layout) } else { Ok(bytes) }
}

/// What an error while decrypting means: age says so of bytes that were changed or left out.
pub(super) fn decrypting(error: std::io::Error) -> OpenPackageError {
    use std::io::ErrorKind::{InvalidData, UnexpectedEof};
    match error.kind() {
        InvalidData | UnexpectedEof => OpenPackageError::Altered,
        _ => OpenPackageError::Unreadable(error),
    }
}
