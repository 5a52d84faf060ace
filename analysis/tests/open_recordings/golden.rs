//! Every measure of the open recordings against an independent computation.
//!
//! Recordings: Santos & Duarte 2016, `PeerJ` 4:e2648, CC BY 4.0. Check values: general-purpose
//! numerical libraries, from the definitions alone; see `tests/open-data/README.md`.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use analysis::{Analyser, MEASURES, Processing, Settings};
use serde_json::Value;

use crate::open_data;

const RELATIVE_TOLERANCE: f64 = 1e-9;

#[test]
fn every_measure_of_every_recording_agrees() {
    check("golden-measures.json", 36, |name, _| (name.to_owned(), None));
}

#[test]
fn every_measure_of_oddly_long_cuts_agrees() {
    check("golden-cuts.json", 15, |_, trial| {
        let n_samples = trial["first_samples"].as_u64().unwrap();
        (trial["trial"].as_str().unwrap().to_owned(), Some(usize::try_from(n_samples).unwrap()))
    });
}

/// Compares each trial of a file of check values; `which` says the recording and how much of it.
fn check(file: &str, n_trials: usize, which: impl Fn(&str, &Value) -> (String, Option<usize>)) {
    let trials = open_data::golden(file);
    assert_eq!(trials.len(), n_trials);
    let keys: BTreeSet<&str> = MEASURES.iter().map(|measure| measure.key).collect();
    let mut analyser = Analyser::new();
    let mut failures = String::new();
    let mut n_compared = 0;
    for (name, trial) in &trials {
        let (recording, n_samples) = which(name, trial);
        let trace = open_data::trace(&recording, n_samples);
        for &processing in Processing::ALL {
            let wanted = trial[processing.key()].as_object().unwrap();
            let wanted_keys: BTreeSet<&str> = wanted.keys().map(String::as_str).collect();
            assert_eq!(keys, wanted_keys, "{name}");
            let settings = Settings { processing, body_height_m: trial["height_m"].as_f64() };
            let measures = analyser.measure(&trace, &settings);
            for measure in MEASURES {
                let wanted = wanted[measure.key].as_f64().unwrap();
                let got = (measure.value)(&measures);
                let error = got.map_or(f64::INFINITY, |got| relative_error(got, wanted));
                n_compared += 1;
                if RELATIVE_TOLERANCE < error {
                    let key = measure.key;
                    writeln!(
                        failures,
                        "{name} {processing} {key}: got {got:?}, wanted {wanted}, off by {error:e}"
                    )
                    .unwrap();
                }
            }
        }
    }
    assert_eq!(n_compared, n_trials * 2 * MEASURES.len());
    assert!(failures.is_empty(), "\n{failures}");
}

fn relative_error(got: f64, wanted: f64) -> f64 {
    let difference = (got - wanted).abs();
    if difference == 0.0 { 0.0 } else { difference / wanted.abs() }
}
