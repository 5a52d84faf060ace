//! Trial files of unknown origin through the program itself.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::bench::Bench;

fn sample_trials() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-trials")
}

/// Values as they were measured, without where the file lay.
fn measured(bench: &Bench, place: Option<&Path>) -> Vec<Value> {
    let mut words = vec!["analyse".to_owned(), "--json".to_owned()];
    words.extend(place.map(|place| place.to_str().unwrap().to_owned()));
    let mut trials = bench.footing(words).json()["trials"].as_array().unwrap().clone();
    for trial in &mut trials {
        trial.as_object_mut().unwrap().retain(|key, _| key != "file" && key != "path");
    }
    trials
}

#[test]
fn a_stranger_gives_the_values_it_gives_once_it_is_known() {
    let bench = Bench::new();
    let read_apart = measured(&bench, Some(&sample_trials()));
    assert!(2 < read_apart.len());
    let trials = bench.path("data").join("trials");
    for entry in fs::read_dir(sample_trials()).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "h5") {
            fs::copy(&path, trials.join(path.file_name().unwrap())).unwrap();
        }
    }
    // Still strangers, then taken into the records, then the library's own.
    assert_eq!(measured(&bench, None), read_apart);
    bench.footing(["verify"]).well();
    assert_eq!(measured(&bench, None), read_apart);
}

#[test]
fn the_reader_of_strangers_is_hidden_and_ends_with_its_input() {
    let bench = Bench::new();
    assert!(!bench.footing(["--help"]).well().stdout.contains("read-strangers"));
    let output = bench.command().arg("read-strangers").output().unwrap();
    assert!(output.status.success());
    // A packet: eight bytes of length, the program's name, four bytes of check.
    assert!(output.stdout[8..].starts_with(b"footing "), "{:?}", output.stdout);
    assert!(!bench.path("data").exists(), "it opens no data folder");
}
