//! Bad input: one clear message, exit code 1, nothing written, nothing lost, no panic.

use std::fmt::Write as _;
use std::fs::{self, File};
use std::path::Path;

use crate::bench::{Bench, Outcome};

fn import(bench: &Bench, file: &Path) -> Outcome {
    bench.footing([
        "import",
        file.to_str().unwrap(),
        "--person",
        "P-01",
        "--condition",
        "firm/wide/open",
        "--time",
        "t:s",
        "--ml",
        "x:mm",
        "--ap",
        "y:mm",
    ])
}

/// A recording of `n_rows` samples at 100 Hz that imports well.
fn good_rows(n_rows: usize) -> String {
    let mut text = String::from("t\tx\ty\n");
    for i in 0..n_rows {
        let (x, y) = (i % 7, i % 11);
        writeln!(text, "{:.2}\t{x}.5\t{y}.25", 0.01 * i as f64).unwrap();
    }
    text
}

#[track_caller]
fn check_refused(content: impl AsRef<[u8]>, words: &[&str]) {
    let bench = Bench::new();
    let file = bench.file("stand.txt", content);
    import(&bench, &file).refused(words);
    assert!(bench.everything_kept().is_empty(), "something was written");
}

#[test]
fn the_good_recording_is_good() {
    let bench = Bench::new();
    let file = bench.file("stand.txt", good_rows(1000));
    import(&bench, &file).well();
    assert_eq!(bench.sealed().len(), 1);
}

#[test]
fn a_missing_file_is_named() {
    let bench = Bench::new();
    import(&bench, &bench.path("nowhere.txt")).refused(&["nowhere.txt"]);
    assert!(bench.everything_kept().is_empty());
}

#[test]
fn a_folder_is_not_a_recording() {
    let bench = Bench::new();
    import(&bench, &bench.path("")).refused(&[]);
    assert!(bench.everything_kept().is_empty());
}

#[test]
fn a_wrong_column_is_named_with_those_that_are_there() {
    check_refused(good_rows(10).replace("t\tx\ty", "t\tcop_ml\ty"), &["\"x\"", "cop_ml"]);
}

#[test]
fn a_cell_that_is_no_number_is_named_by_line_and_column() {
    let text = good_rows(10).replace("0.03\t3.5", "0.03\tthree");
    check_refused(text, &["ine 5", "\"x\"", "three"]);
}

#[test]
fn times_that_run_backwards_or_stand_still_are_refused() {
    let backwards = good_rows(10).replace("0.05\t", "0.01\t");
    check_refused(backwards, &["ine 7"]);
    let still = good_rows(10).replace("0.05\t", "0.04\t");
    check_refused(still, &["ine 7"]);
}

#[test]
fn values_that_are_not_finite_are_refused() {
    for word in ["NaN", "inf", "-Infinity"] {
        check_refused(good_rows(10).replace("0.04\t4.5", &format!("0.04\t{word}")), &["ine 6"]);
    }
}

#[test]
fn too_little_is_refused() {
    check_refused(good_rows(1), &["1 sample"]);
    check_refused("t\tx\ty\n", &["stand.txt"]);
    check_refused("", &["empty"]);
}

#[test]
fn bytes_that_are_no_text_are_refused() {
    check_refused([0x00, 0xff, 0xfe, 0x80, 0x0a, 0x81], &["stand.txt"]);
}

#[test]
fn a_row_too_short_or_too_long_is_refused() {
    check_refused(good_rows(10).replace("0.06\t6.5\t6.25", "0.06\t6.5"), &["ine 8"]);
}

#[test]
fn two_gigabytes_are_refused_with_the_limit_named() {
    let bench = Bench::new();
    let path = bench.path("stand.txt");
    File::create(&path).unwrap().set_len(2 << 30).unwrap();
    import(&bench, &path).refused(&["limit"]);
    assert!(bench.everything_kept().is_empty());
}

#[test]
fn a_trial_file_cut_short_or_changed_by_one_bit_is_refused_and_left_alone() {
    let bench = Bench::new();
    let file = bench.file("stand.txt", good_rows(3000));
    import(&bench, &file).well();
    let sealed = bench.sealed().remove(0);
    let bytes = fs::read(&sealed).unwrap();
    let places = [0, 7, 600, bytes.len() / 3, bytes.len() / 2, bytes.len() - 1];
    for place in places {
        let mut flipped = bytes.clone();
        flipped[place] ^= 0x10;
        let cut = bytes[..place].to_vec();
        for damaged in [flipped, cut] {
            let path = bench.file("damaged.h5", &damaged);
            bench.footing(["analyse", path.to_str().unwrap(), "--json"]).refused(&["damaged.h5"]);
            assert_eq!(fs::read(&path).unwrap(), damaged, "the damaged file was touched");
        }
    }
    assert_eq!(fs::read(&sealed).unwrap(), bytes);
}

#[test]
fn a_folder_with_one_damaged_trial_still_gives_the_others_and_names_the_damaged_one() {
    let bench = Bench::new();
    let file = bench.file("stand.txt", good_rows(3000));
    import(&bench, &file).well();
    import(&bench, &file).well();
    let sealed = bench.sealed();
    let bytes = fs::read(&sealed[0]).unwrap();
    fs::write(&sealed[0], &bytes[..bytes.len() / 2]).unwrap();
    let outcome = bench.footing(["analyse", "--json"]);
    assert_eq!(outcome.code, Some(1));
    assert!(outcome.stderr.contains(sealed[0].file_name().unwrap().to_str().unwrap()));
    let json: serde_json::Value = serde_json::from_str(&outcome.stdout).unwrap();
    assert_eq!(json["trials"].as_array().unwrap().len(), 1);
}

#[test]
fn a_port_that_is_not_there_is_named() {
    let bench = Bench::new();
    let outcome = bench.footing([
        "record",
        "--port",
        "/dev/no-such-board",
        "--person",
        "P-01",
        "--condition",
        "firm/wide/open",
    ]);
    outcome.refused(&["/dev/no-such-board"]);
    assert!(bench.everything_kept().is_empty());
}
