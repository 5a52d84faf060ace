//! Packets over a pipe: length, bytes, checksum.

use std::io::{self, Read, Write};

/// Bytes around a packet's payload.
const LENGTH_BYTES: usize = 8;
const CHECK_BYTES: usize = 4;

/// Writes one packet.
pub(super) fn send(output: &mut impl Write, payload: &[u8]) -> io::Result<()> {
    let length = (payload.len() as u64).to_le_bytes();
    output.write_all(&length)?;
    output.write_all(payload)?;
    output.write_all(&check(length, payload))?;
    output.flush()
}

/// Reads one packet of at most `limit_bytes`; `None` if the other side has ended between packets.
///
/// # Errors
/// Those of `input`, and [`io::ErrorKind::InvalidData`] for a packet that is too long or damaged.
pub(super) fn receive(input: &mut impl Read, limit_bytes: u64) -> io::Result<Option<Vec<u8>>> {
    let mut length = [0; LENGTH_BYTES];
    let mut n_read = 0;
    while n_read < LENGTH_BYTES {
        match input.read(&mut length[n_read..]) {
            Ok(0) if n_read == 0 => return Ok(None),
            Ok(0) => return Err(io::ErrorKind::UnexpectedEof.into()),
            Ok(n) => n_read += n,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    let n_bytes = u64::from_le_bytes(length);
    if limit_bytes < n_bytes {
        return Err(io::ErrorKind::InvalidData.into());
    }
    let n_bytes = usize::try_from(n_bytes).map_err(io::Error::other)?;
    let mut payload = vec![0; n_bytes];
    input.read_exact(&mut payload)?;
    let mut found = [0; CHECK_BYTES];
    input.read_exact(&mut found)?;
    if found == check(length, &payload) {
        Ok(Some(payload))
    } else {
        Err(io::ErrorKind::InvalidData.into())
    }
}

fn check(length: [u8; LENGTH_BYTES], payload: &[u8]) -> [u8; CHECK_BYTES] {
    crc32c::crc32c_append(crc32c::crc32c(&length), payload).to_le_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packets_arrive_whole_or_not_at_all() {
        let mut bytes = Vec::new();
        send(&mut bytes, b"first").unwrap();
        send(&mut bytes, b"").unwrap();
        let mut input = &bytes[..];
        assert_eq!(receive(&mut input, 5).unwrap().unwrap(), b"first");
        assert_eq!(receive(&mut input, 5).unwrap().unwrap(), b"");
        assert_eq!(receive(&mut input, 5).unwrap(), None);
        for at in 0..bytes.len() {
            let mut damaged = bytes.clone();
            damaged[at] ^= 0x40;
            let mut input = &damaged[..];
            let both = receive(&mut input, 5).and_then(|_| receive(&mut input, 5));
            assert!(both.is_err(), "byte {at}");
        }
        assert!(receive(&mut &bytes[..9], 5).is_err());
        assert!(receive(&mut &bytes[..], 4).is_err());
    }
}
