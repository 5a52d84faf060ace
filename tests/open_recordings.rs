//! The published recordings through the program: import, analyse, and the published numbers.
//!
//! Source of recordings and table: Santos DA, Duarte M (2016), A public data set of human balance
//! evaluations, `PeerJ` 4:e2648, CC BY 4.0. `golden-measures.json`: computed from the written
//! definitions with general-purpose numerical libraries, independently of this program.

use std::collections::BTreeMap;
use std::fs;

use serde_json::Value;

use crate::bench::{Bench, open_data};

/// Relative agreement asked of every measure, and of the published table.
const TOLERANCE: f64 = 1e-9;

fn golden() -> BTreeMap<String, Value> {
    let text = fs::read_to_string(open_data("golden-measures.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// Imports all 36 recordings onto a bench; the person's code carries the recording's name.
fn imported(golden: &BTreeMap<String, Value>) -> Bench {
    let bench = Bench::new();
    assert_eq!(golden.len(), 36);
    for (name, expected) in golden {
        let surface = expected["surface"].as_str().unwrap().to_lowercase();
        let vision = expected["vision"].as_str().unwrap().to_lowercase();
        let height = expected["height_m"].as_f64().unwrap().to_string();
        let condition = format!("{surface}/hip-width/{vision}");
        let options = ["--person", name, "--condition", &condition, "--height", &height];
        bench.import_recording(name, &options).well();
    }
    bench
}

fn assert_close(name: &str, key: &str, got: f64, expected: f64) {
    let error = (got - expected).abs() / expected.abs().max(1e-12);
    assert!(error <= TOLERANCE, "{name} {key}: got {got}, expected {expected}, relative {error:e}");
}

fn by_person(analysed: &Value) -> BTreeMap<String, &Value> {
    let trials = analysed["trials"].as_array().unwrap();
    trials.iter().map(|trial| (trial["person"].as_str().unwrap().to_owned(), trial)).collect()
}

#[test]
fn imported_recordings_give_the_golden_measures_and_the_published_table() {
    let golden = golden();
    let bench = imported(&golden);
    let trials = bench.path("data").join("trials");
    for processing in ["as_recorded", "standard"] {
        let analysed = bench
            .footing(["analyse", trials.to_str().unwrap(), "--json", "--processing", processing])
            .json();
        let by_person = by_person(&analysed);
        let mut n_compared = 0;
        for (name, expected) in &golden {
            let measures = &by_person[name]["measures"];
            let expected = expected[processing].as_object().unwrap();
            for (key, value) in expected {
                let got = measures[key]["value"].as_f64();
                let got = got.unwrap_or_else(|| panic!("{name} {key}: {}", measures[key]));
                assert_close(name, key, got, value.as_f64().unwrap());
                n_compared += 1;
            }
        }
        assert!(36 * 40 <= n_compared, "only {n_compared} values were compared");
        if processing == "as_recorded" {
            compare_with_published(&by_person);
        }
    }
}

/// The published velocity is path / (N / rate), so ours is N / (N - 1) times it; areas in cm2.
fn compare_with_published(by_person: &BTreeMap<String, &Value>) {
    let text = fs::read_to_string(open_data("published-measures.tsv")).unwrap();
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split('\t').collect();
    let column = |name: &str| header.iter().position(|h| *h == name).unwrap();
    let (area, velocity, frequency) =
        (column("cop_area_cm2"), column("cop_mean_velocity_cm_s"), column("cop_mean_frequency_Hz"));
    let mut n_found = 0;
    for line in lines {
        let cells: Vec<&str> = line.split('\t').collect();
        let Some(trial) = by_person.get(cells[0]) else { continue };
        let value = |key: &str| trial["measures"][key]["value"].as_f64().unwrap();
        let number = |i: usize| cells[i].parse::<f64>().unwrap();
        assert_close(cells[0], "area", value("ellipse_area"), 100.0 * number(area));
        let ours = 10.0 * number(velocity) * 6000.0 / 5999.0;
        assert_close(cells[0], "velocity", value("mean_velocity"), ours);
        assert_close(cells[0], "frequency", value("mean_frequency_full_band"), number(frequency));
        n_found += 1;
    }
    assert_eq!(n_found, 36);
}
