//! Importers under random damage, by the same ways in that the fuzz targets use.

use std::fs;
use std::path::Path;

use proptest::prelude::*;

use super::fuzz_entry;

/// A recording with its map in front, as the entry for recordings takes them.
fn recording() -> Vec<u8> {
    let map = "[time]\ncolumn = \"t:s\"\n[cop]\nml = \"x [mm]:mm\"\nap = \"-y:cm\"\n";
    let row = |i: u32| {
        let (whole, hundredths) = (i / 100, i % 100);
        format!("{whole}.{hundredths:02},{}.5,-{i}e-1\n", i * 7 % 11)
    };
    let rows = (0..40).map(row).collect::<Vec<_>>().concat();
    format!("{map}\0t,x [mm],y\n{rows}").into_bytes()
}

fn map() -> Vec<u8> {
    let corner =
        |n: usize| format!("[[corner]]\nforce = \"F{n}:N\"\nml_mm = {n}.5\nap_mm = -{n}\n");
    let corners = (1..=4).map(corner).collect::<Vec<_>>().concat();
    format!(
        "delimiter = \"tab\"\ndecimal = \",\"\ncomment = \"%\"\n[time]\nrate_hz = 100\n{corners}"
    )
    .into_bytes()
}

fn c3d(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/c3d");
    fs::read(folder.join(name)).unwrap()
}

/// Each sound, so that damage begins from something that is read to its end.
#[test]
fn undamaged_they_are_read() {
    assert!(fuzz_entry::delimited(&recording()));
    assert!(fuzz_entry::column_map(&map()));
    assert!(fuzz_entry::guess(recording().split(|byte| *byte == 0).nth(1).unwrap()));
    assert!(fuzz_entry::c3d(&c3d("type-3.c3d")));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1024))]

    #[test]
    fn no_damage_panics_or_hangs(
        hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8),
        cut in any::<prop::sample::Index>(),
        is_cut in any::<bool>(),
    ) {
        let damaged = |mut bytes: Vec<u8>| {
            for (place, value) in &hits {
                let place = place.index(bytes.len());
                bytes[place] = *value;
            }
            if is_cut {
                bytes.truncate(cut.index(bytes.len()));
            }
            bytes
        };
        fuzz_entry::delimited(&damaged(recording()));
        fuzz_entry::guess(&damaged(recording()));
        fuzz_entry::column_map(&damaged(map()));
    }
}
