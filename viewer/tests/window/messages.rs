//! What a person reads when a file cannot be opened.

use std::fs;
use std::path::PathBuf;

use crate::bench::Bench;
use crate::synthetic_stands::Stand;

fn check(path: PathBuf, expected: [&str; 3]) {
    let bench = Bench::open(None, vec![path]);
    for part in expected {
        assert!(bench.shows(part), "{part}");
    }
    // The window stays usable: the three ways to begin are still there.
    assert!(bench.shows("Open recordings"));
}

#[test]
fn a_missing_file_is_named() {
    let folder = tempfile::tempdir().unwrap();
    check(folder.path().join("gone.h5"), ["The file is not there.", "gone.h5", "Check the name"]);
}

#[test]
fn a_file_of_another_kind_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("letter.h5");
    fs::write(&path, vec![b'x'; 4000]).unwrap();
    check(path, ["This is not a trial file.", "letter.h5", "footing import"]);
}

#[test]
fn a_damaged_file_shows_no_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let path = Stand::measured("foam/hip-width/open", 5.0, 1).seal(folder.path());
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x10;
    let damaged = folder.path().join("damaged.h5");
    fs::write(&damaged, bytes).unwrap();
    check(damaged, ["The file is damaged.", "not what was sealed", "none is shown"]);
}

#[test]
fn a_file_that_was_cut_short_is_told_with_its_size() {
    let folder = tempfile::tempdir().unwrap();
    let path = Stand::measured("foam/hip-width/open", 5.0, 1).seal(folder.path());
    let bytes = fs::read(&path).unwrap();
    let cut = folder.path().join("cut.h5");
    fs::write(&cut, &bytes[..bytes.len() - 1000]).unwrap();
    check(cut, ["The file is cut short.", "bytes only", "Copy it again"]);
}

#[test]
fn messages_are_taken_away_one_by_one_or_all_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let gone = |i: usize| folder.path().join(format!("gone-{i}.h5"));
    let mut bench = Bench::open(None, vec![gone(1), gone(2), gone(3)]);
    assert!(bench.shows("gone-1.h5"));
    bench.press("Close this message");
    assert!(bench.shows("gone-2.h5"));
    bench.press("Close all 2 messages");
    assert!(!bench.shows("gone"));
}

#[test]
fn a_folder_is_opened_by_typing_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let stands = folder.path().join("stands");
    fs::create_dir(&stands).unwrap();
    let mut bench = Bench::open(Some(folder.path().join("not-there-yet")), Vec::new());
    assert!(!bench.shows("Close this message"), "a first start is no mistake");
    bench.type_into("File or folder", stands.to_str().unwrap());
    bench.press("Open");
    assert!(bench.shows("There are no trials in this folder."));
    bench.press("Close this message");
    Stand::measured("foam/hip-width/open", 5.0, 1).seal(&stands);
    bench.press("Open");
    assert!(bench.shows("1 trial on 1 day"));
}
