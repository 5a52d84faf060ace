//! Rules of the repository itself: who may use whom, how long a file may be, what it may be called.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
}

/// Crates that must not appear in a crate's own dependencies, from the architecture's arrows.
const FORBIDDEN: &[(&str, &[&str])] = &[
    (
        "analysis",
        &[
            "acquisition",
            "board-wire",
            "viewer",
            "serialport",
            "tokio",
            "rayon",
            "hdf5",
            "rusqlite",
            "egui",
            "eframe",
            "serde",
            "jiff",
            "crossbeam-channel",
        ],
    ),
    ("acquisition", &["viewer", "egui", "eframe", "egui_plot", "board-simulator"]),
    (
        "viewer",
        &[
            "board-wire",
            "board-simulator",
            "rusqlite",
            "hdf5",
            "parquet",
            "serialport",
            "rustfft",
            "nalgebra",
        ],
    ),
    ("board-hardware/wire", &["analysis", "acquisition", "viewer", "serde", "thiserror"]),
    ("board-hardware/simulator", &["analysis", "acquisition", "viewer"]),
];

#[test]
fn no_crate_uses_one_it_must_not_know() {
    for (folder, forbidden) in FORBIDDEN {
        let manifest = fs::read_to_string(root().join(folder).join("Cargo.toml")).unwrap();
        let own = manifest.split("[dependencies]").nth(1).unwrap_or_default();
        let own = own.split("\n[").next().unwrap_or_default();
        for name in *forbidden {
            let used = own
                .lines()
                .any(|line| line.split(['.', ' ', '=']).next().is_some_and(|first| first == *name));
            assert!(!used, "{folder} must not depend on {name}");
        }
    }
}

fn source_files() -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders: Vec<PathBuf> =
        ["analysis", "acquisition", "viewer", "board-hardware", "tests"]
            .map(|f| root().join(f))
            .into();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if path.is_dir() && name != "target" && name != ".venv" {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                files.push(path);
            }
        }
    }
    assert!(files.len() > 30, "only {} source files were found", files.len());
    files
}

#[test]
fn no_file_is_a_dumping_ground() {
    for path in source_files() {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let banned = ["util", "utils", "helper", "helpers", "common", "misc", "types"];
        assert!(!banned.contains(&name.as_str()), "{} says nothing about its idea", path.display());
    }
}

#[test]
fn no_file_is_longer_than_600_lines_without_its_tests() {
    for path in source_files() {
        let text = fs::read_to_string(&path).unwrap();
        let n_lines =
            text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default().lines().count();
        assert!(n_lines <= 600, "{} has {n_lines} lines before its tests", path.display());
    }
}

/// Formulas live in analysis, SQL and file layouts in acquisition: the viewer only shows.
#[test]
fn the_viewer_computes_nothing_and_stores_nothing() {
    for path in source_files() {
        // A layout places what is drawn, and a ratio may be drawn on a logarithmic axis.
        let is_layout = path.file_name().is_some_and(|name| name == "layout.rs");
        if is_layout || !path.starts_with(root().join("viewer").join("src")) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default();
        for trace in
            [".sqrt()", ".ln()", ".exp()", ".powf(", ".hypot(", "SELECT ", "hdf5::", "rusqlite"]
        {
            assert!(!code.contains(trace), "{} holds {trace:?}", path.display());
        }
    }
}

#[test]
fn the_top_level_holds_only_what_the_architecture_names() {
    const ALLOWED: &[&str] = &[
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "acquisition",
        "analysis",
        "viewer",
        "board-hardware",
        "tests",
        "sample-trials",
        "demo",
        "check",
        "clippy.toml",
        "rustfmt.toml",
        "target",
        "demo-output",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || ALLOWED.contains(&name.as_str()),
            "{name} at the top level"
        );
    }
}
