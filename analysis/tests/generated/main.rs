//! Files that follow from the code or from the open data are what they follow from.
//!
//! Run with `UPDATE_GENERATED=1` to write them anew.

mod measure_pages;
mod reference_table;

use std::fs;
use std::path::PathBuf;

/// Asserts that a file of this crate holds `wanted`, or writes it when asked to.
fn check_generated(name: &str, wanted: &str) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(name);
    if std::env::var_os("UPDATE_GENERATED").is_some() {
        fs::write(&path, wanted).expect("the file can be written");
    }
    let found = fs::read_to_string(&path).unwrap_or_default();
    let line = found.lines().zip(wanted.lines()).position(|(found, wanted)| found != wanted);
    assert!(
        found == wanted,
        "{name} is not what it follows from (first at line {line:?}); run with UPDATE_GENERATED=1"
    );
}
