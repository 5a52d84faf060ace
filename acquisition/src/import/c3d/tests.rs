//! Files made by ezc3d 1.7.2, a general-purpose library for the format (`tests/peer/c3d_files.py`):
//! known forces at known places, and the centre of pressure that the library finds itself.

use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;

use super::*;
use crate::trial_file::tests::imported_trial;

const FILES: [&str; 4] = ["type-2", "type-2-turned", "type-3", "type-4"];

fn file(name: &str, ending: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/c3d").join(format!("{name}.{ending}"))
}

fn choice(forward: RoomAxis) -> C3dChoice {
    C3dChoice { platform: 1, forward }
}

/// Places in the room: x to the right of a person who faces along y.
fn told(name: &str, whose: &str) -> Vec<[f64; 2]> {
    let text = fs::read_to_string(file(name, "json")).unwrap();
    let told: serde_json::Value = serde_json::from_str(&text).unwrap();
    serde_json::from_value(told[whose].clone()).unwrap()
}

#[test]
fn known_forces_give_the_places_they_act_at() {
    for name in FILES {
        let facts = imported_trial(2).facts;
        let trial = read_c3d(&file(name, "c3d"), choice(RoomAxis::PlusY), facts).unwrap();
        assert_eq!(trial.samples.time_us[..3], [0, 10_000, 20_000], "{name}");
        // The file's numbers are 32-bit floats: seven digits of some 650 N times 100 mm.
        for whose in ["put_in_mm", "ezc3d_mm"] {
            let wanted = told(name, whose);
            assert_eq!(wanted.len(), trial.samples.n_samples());
            for (found, [x, y]) in trial.samples.cop.iter().zip(wanted) {
                let found = found.unwrap();
                let error = (found.ml_mm - x).abs().max((found.ap_mm - y).abs());
                assert!(error < 2e-5, "{name}, {whose}: {found:?}, not {x} {y}");
            }
        }
    }
}

/// The same stand, the person facing four ways: what is forward for one is right for another.
#[test]
fn the_way_the_person_faces_turns_the_axes() {
    let bytes = fs::read(file("type-2", "c3d")).unwrap();
    let [x, y] = told("type-2", "put_in_mm")[7];
    for (forward, ml_mm, ap_mm) in [
        (RoomAxis::PlusY, x, y),
        (RoomAxis::MinusY, -x, -y),
        (RoomAxis::PlusX, -y, x),
        (RoomAxis::MinusX, y, -x),
    ] {
        let found = samples_of(&bytes, choice(forward)).unwrap().cop[7].unwrap();
        let error = (found.ml_mm - ml_mm).abs().max((found.ap_mm - ap_mm).abs());
        assert!(error < 2e-5, "{forward}: {found:?}");
    }
}

#[test]
fn a_trial_from_it_can_be_sealed() {
    let facts = imported_trial(2).facts;
    let trial = read_c3d(&file("type-3", "c3d"), choice(RoomAxis::MinusX), facts).unwrap();
    let Origin::Imported(origin) = &trial.origin else { panic!("{:?}", trial.origin) };
    assert_eq!(origin.column_map, "[c3d]\nplatform = 1\nforward = \"-x\"\n");
    let folder = tempfile::tempdir().unwrap();
    let sealed = crate::trial_file::seal(&trial, folder.path()).unwrap();
    assert_eq!(crate::trial_file::open(&sealed).unwrap(), trial);
}

#[test]
fn what_is_no_such_file_is_told() {
    let whole = fs::read(file("type-2", "c3d")).unwrap();
    let error = |bytes: &[u8]| samples_of(bytes, choice(RoomAxis::PlusY)).unwrap_err().to_string();
    assert_eq!(error(b""), "it is not a C3D file");
    assert_eq!(error(b"t,x,y\n0,1,1\n"), "it is not a C3D file");
    assert_eq!(error(&whole[..600]), "it is damaged: its parameters are cut short");
    assert_eq!(error(&whole[..whole.len() - 512]), "it is cut short: 10 of 12 frames are there");
    let other = C3dChoice { platform: 2, forward: RoomAxis::PlusY };
    let error = samples_of(&whole, other).unwrap_err().to_string();
    assert_eq!(error, "there is no force platform 2; it has 1");
    let missing = read_c3d(&file("none", "c3d"), other, imported_trial(2).facts);
    assert_eq!(missing.unwrap_err().to_string(), "there is no such file");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2048))]

    /// Whatever a few bytes become and wherever the file ends: an answer, and only finite numbers.
    #[test]
    fn no_damage_panics(
        which in 0..FILES.len(),
        hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        cut in any::<prop::sample::Index>(),
        is_cut in any::<bool>(),
    ) {
        let mut bytes = fs::read(file(FILES[which], "c3d")).unwrap();
        for (place, value) in hits {
            let place = place.index(bytes.len());
            bytes[place] = value;
        }
        if is_cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        if let Ok(samples) = samples_of(&bytes, choice(RoomAxis::PlusY)) {
            let is_finite = |cop: &analysis::Cop| cop.ml_mm.is_finite() && cop.ap_mm.is_finite();
            prop_assert!(samples.cop.iter().flatten().all(is_finite));
        }
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..2000)) {
        let bytes = [&[2, 0x50][..], &bytes].concat();
        prop_assert!(samples_of(&bytes, choice(RoomAxis::PlusY)).is_err());
    }
}
