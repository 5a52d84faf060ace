//! A bound on the header of an age file, looked at before the library parses it.

/// Most bytes the header of a file of ours may have: one recipient and one random extra stanza
/// take under 600. The library reads a header of any length, and parses it again at each line.
pub(crate) const MAX_HEADER_BYTES: usize = 4096;

/// Whether a header ends within the first [`MAX_HEADER_BYTES`] of `start`.
///
/// The header's last line begins with three hyphens and carries its check (C2SP age specification,
/// "header"); hyphens are in no other line's alphabet but in arguments, which begin no line.
pub(crate) fn header_is_bounded(start: &[u8]) -> bool {
    let start = &start[..start.len().min(MAX_HEADER_BYTES)];
    let Some(last_line) = start.windows(4).position(|bytes| bytes == b"\n---") else {
        return false;
    };
    start[last_line + 1..].contains(&b'\n')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_must_end_early() {
        assert!(header_is_bounded(b"age-encryption.org/v1\n-> X25519 a\nb\n--- c\nbody"));
        for endless in [
            b"".to_vec(),
            b"age-encryption.org/v1\n--- without an end of line".to_vec(),
            [b"age-encryption.org/v1\n".as_slice(), &b"-> X25519 a\nb\n".repeat(1000)].concat(),
            [&b"-> X25519 a\nb\n".repeat(1000), b"\n--- c\n".as_slice()].concat(),
        ] {
            assert!(!header_is_bounded(&endless), "{} bytes", endless.len());
        }
    }
}
