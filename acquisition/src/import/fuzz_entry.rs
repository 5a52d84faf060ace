//! Ways in for the fuzz targets and for the tests that damage files at random: bytes in, an answer
//! or an error out, nothing else.

use std::io::Write as _;

use super::c3d::{C3dChoice, RoomAxis, samples_of};
use super::column_map::ColumnMap;
use super::delimited::samples_of_file;
use super::guess::guess_columns;

/// Reads `bytes` as a C3D file.
///
/// # Panics
/// Where the reader does not keep its promises: that is what is looked for.
pub fn c3d(bytes: &[u8]) -> bool {
    let forward = RoomAxis::PlusY;
    let found = samples_of(bytes, C3dChoice { platform: 1, forward });
    found.is_ok_and(|samples| {
        assert!(samples.cop.iter().flatten().all(|cop| cop.ml_mm.is_finite()), "not finite");
        true
    })
}

/// Reads the text up to a zero byte as a column map, and the rest as a recording by it.
pub fn delimited(bytes: &[u8]) -> bool {
    let end = bytes.iter().position(|&byte| byte == 0).unwrap_or(bytes.len());
    let Ok(map) = std::str::from_utf8(&bytes[..end]) else { return false };
    let Ok(map) = ColumnMap::from_toml(map) else { return false };
    let rest = bytes.get(end + 1..).unwrap_or_default();
    in_a_file(rest, |path| samples_of_file(path, &map).is_ok())
}

/// Reads `bytes` as a column map; one that is read is written and read again as the same.
///
/// # Panics
/// Where the reader does not keep its promises: that is what is looked for.
pub fn column_map(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    let Ok(map) = ColumnMap::from_toml(text) else { return false };
    let again = map.to_toml().expect("a map that was read can be written");
    assert_eq!(ColumnMap::from_toml(&again).as_ref(), Ok(&map), "read again");
    true
}

/// Guesses the columns of `bytes`; a map that comes of it can be written.
///
/// # Panics
/// Where the reader does not keep its promises: that is what is looked for.
pub fn guess(bytes: &[u8]) -> bool {
    in_a_file(bytes, |path| {
        guess_columns(path).is_ok_and(|guess| {
            guess.map.to_toml().expect("a proposed map can be written");
            true
        })
    })
}

fn in_a_file(bytes: &[u8], read: impl Fn(&std::path::Path) -> bool) -> bool {
    let mut file = tempfile::NamedTempFile::new().expect("a temporary file");
    file.write_all(bytes).expect("room for it");
    read(file.path())
}
