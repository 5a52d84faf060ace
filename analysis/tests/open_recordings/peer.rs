//! Every measure against a second computation in Python, run here and now.

use std::path::PathBuf;
use std::process::Command;

use analysis::{MEASURES, Processing, STRUCTURE_MEASURES, Settings, measure, structure};
use serde_json::Value;

use crate::open_data;

const RELATIVE_TOLERANCE: f64 = 1e-9;

/// One recording of each person and condition.
const RECORDINGS: [&str; 12] = [
    "BDS00001", "BDS00004", "BDS00007", "BDS00010", "BDS00097", "BDS00100", "BDS00103", "BDS00106",
    "BDS00157", "BDS00160", "BDS00163", "BDS00166",
];

#[test]
fn the_peer_computes_the_same_values() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/peer");
    let python = folder.join(".venv/bin/python");
    assert!(python.exists(), "run tests/peer/setup.sh first: there is no {}", python.display());
    let golden = open_data::golden("golden-measures.json");
    let height_m = |name: &str| golden[name]["height_m"].as_f64().unwrap();
    let file = |name: &str| open_data::path(&format!("{name}.txt.gz"));
    let argument = |name: &str| format!("{}={}", file(name).display(), height_m(name));
    let output = Command::new(python)
        .arg(folder.join("peer.py"))
        .arg("values")
        .args(RECORDINGS.map(argument))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let peer: Value = serde_json::from_slice(&output.stdout).unwrap();

    let mut failures = Vec::new();
    for name in RECORDINGS {
        let wanted = &peer[file(name).to_str().unwrap()];
        let mut check = |group: &str, key: &str, got: Option<f64>| {
            let wanted = wanted[group][key].as_f64();
            let agree = match (got, wanted) {
                (Some(got), Some(wanted)) => {
                    (got - wanted).abs() <= RELATIVE_TOLERANCE * wanted.abs()
                }
                (got, wanted) => got == wanted,
            };
            if !agree {
                failures.push(format!("{name} {group} {key}: got {got:?}, wanted {wanted:?}"));
            }
        };
        let trace = open_data::trace(name, None);
        for &processing in Processing::ALL {
            let settings = Settings { processing, body_height_m: Some(height_m(name)) };
            let measures = measure(&trace, &settings);
            for def in MEASURES {
                check(processing.key(), def.key, (def.value)(&measures).ok());
            }
        }
        let structure = structure(&trace).unwrap();
        for def in STRUCTURE_MEASURES {
            let got = (def.value)(&structure).ok();
            check("structure", def.key, got);
            if !def.key.starts_with("diffusion") {
                check("general_library", def.key, got);
            }
        }
    }
    assert!(failures.is_empty(), "\n{}", failures.join("\n"));
}
