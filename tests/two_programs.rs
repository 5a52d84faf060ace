//! Many runs of the program on one data folder at once: every change is kept, nobody is told of locks.

use std::process::{Child, Stdio};

use crate::bench::Bench;

fn start(bench: &Bench, words: &[&str]) -> Child {
    let mut command = bench.command();
    command.args(words).stdout(Stdio::piped()).stderr(Stdio::piped());
    command.spawn().expect("the program starts")
}

/// All of them run at once; each must say that all went well, and nothing else.
fn together(bench: &Bench, runs: &[Vec<&str>]) {
    let children: Vec<Child> = runs.iter().map(|words| start(bench, words)).collect();
    for (child, words) in children.into_iter().zip(runs) {
        let output = child.wait_with_output().expect("it ends");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{words:?}: {said}");
        assert!(!said.contains("locked") && !said.contains("busy"), "{words:?}: {said}");
    }
}

#[test]
fn what_each_program_records_at_once_is_all_kept() {
    let bench = Bench::new();
    // Also who makes the records: there are none before.
    let set = |option, value| vec!["people", "set", "P-01", option, value];
    together(
        &bench,
        &[
            set("--height", "1.71"),
            set("--mass", "68"),
            set("--birth-year", "1960"),
            set("--side", "left"),
            set("--name", "nobody"),
        ],
    );
    let person = &bench.footing(["people", "--json"]).json()[0];
    assert_eq!(person["height_m"], 1.71, "{person}");
    assert_eq!(person["mass_kg"], 68.0, "{person}");
    assert_eq!(person["birth_year"], 1960, "{person}");
    assert_eq!(person["affected_side"], "left", "{person}");
    assert_eq!(person["name"], "nobody", "{person}");

    bench.footing(["sessions", "begin", "P-01"]).well();
    let answer = |option, value| vec!["sessions", "answer", "P-01", option, value];
    let exercise = |condition, difficulty| {
        let mut words = answer("--condition", condition);
        words.extend(["--difficulty", difficulty]);
        words
    };
    together(
        &bench,
        &[
            answer("--pain-at-start", "1"),
            answer("--worst-pain", "2"),
            answer("--fall", "no"),
            answer("--numbness", "no"),
            exercise("foam/hip-width/open", "3"),
            exercise("foam/hip-width/closed", "6"),
        ],
    );
    let session = &bench.footing(["sessions", "list", "P-01", "--json"]).json()[0];
    assert_eq!(session["pain_at_start"], 1, "{session}");
    assert_eq!(session["worst_pain_during"], 2, "{session}");
    assert_eq!(session["fall"], false, "{session}");
    assert_eq!(session["numbness_or_weakness"], false, "{session}");
    assert_eq!(session["exercises"].as_array().map(Vec::len), Some(2), "{session}");
    assert!(session["pain_after"].is_null(), "not answered is not zero: {session}");
    bench.footing(["verify"]).well();
}
