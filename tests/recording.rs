//! Recording from the simulated board through a real pseudo-terminal.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::bench::{Bench, Simulator};
use crate::relay::Relay;

pub(crate) fn record_arguments<'a>(port: &'a str, seconds: &'a str) -> Vec<&'a str> {
    let mut arguments = vec!["record", "--port", port, "--person", "P-01", "--json"];
    arguments.extend(["--condition", "foam/hip-width/closed", "--height", "1.70", "--mass", "70"]);
    arguments.extend(["--seconds", seconds]);
    arguments
}

/// The simulator's own truth: centre of pressure by sequence number.
pub(crate) fn truth(path: &Path) -> Vec<(u64, f64, f64)> {
    let text = fs::read_to_string(path).unwrap();
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let column = |name: &str| {
        header.iter().position(|h| *h == name).unwrap_or_else(|| panic!("{name} in {header:?}"))
    };
    let columns = (column("sequence"), column("plate_ml_mm"), column("plate_ap_mm"));
    lines
        .filter_map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            Some((
                cells[columns.0].parse().ok()?,
                cells[columns.1].parse().ok()?,
                cells[columns.2].parse().ok()?,
            ))
        })
        .collect()
}

/// The samples a trial file holds: sequence and centre of pressure, through the program's own export.
pub(crate) fn exported(bench: &Bench, file: &Path) -> Vec<(u64, f64, f64)> {
    let csv = bench.footing(["export", file.to_str().unwrap()]).well().stdout;
    let mut lines = csv.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let column = |name: &str| {
        header.iter().position(|h| *h == name).unwrap_or_else(|| panic!("{name} in {header:?}"))
    };
    let columns = (column("sequence"), column("cop_ml [mm]"), column("cop_ap [mm]"));
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            (
                cells[columns.0].parse().unwrap(),
                cells[columns.1].parse().unwrap(),
                cells[columns.2].parse().unwrap(),
            )
        })
        .collect()
}

/// Largest distance between recorded and true centre of pressure, frame by frame, in millimetres.
fn largest_error_mm(cells: &str) -> f64 {
    let bench = Bench::new();
    let truth_file = bench.path("truth.csv");
    let simulator = Simulator::start(&[
        "--pty",
        "--speed",
        "max",
        "--seed",
        "11",
        "--cells",
        cells,
        "--stand",
        "foam/hip-width/closed",
        "--truth",
        truth_file.to_str().unwrap(),
    ]);
    let recorded = bench.footing(record_arguments(&simulator.port, "60")).json();
    assert_eq!(recorded["lost_frames"], 0, "{recorded}");
    assert_eq!(recorded["damaged_frames"], 0, "{recorded}");
    let samples = exported(&bench, &bench.sealed()[0]);
    assert_eq!(samples.len(), 60 * 250, "60 s of board time at 250 frames/s");
    drop(simulator);
    let truth = truth(&truth_file);
    let first = truth.iter().position(|row| row.0 == samples[0].0).expect("the truth covers it");
    let mut largest = 0.0_f64;
    for (recorded, true_row) in samples.iter().zip(&truth[first..]) {
        assert_eq!(recorded.0, true_row.0, "no frame is missing");
        largest = largest.max((recorded.1 - true_row.1).hypot(recorded.2 - true_row.2));
    }
    largest
}

/// Exact cells leave only the converter's step. One count is below 1 mN (the nominal gain), so four
/// corners rounded by half a count at 70 kg (687 N), 0.36 m from the centre, move it by less than
/// 4 x 0.5 mN x 364 mm / 687 N = 0.001 mm.
#[test]
fn with_exact_cells_the_record_equals_the_truth_to_a_micrometre() {
    let largest = largest_error_mm("exact");
    assert!(largest <= 0.001, "largest error {largest} mm");
}

/// Cells at the demanded limits before any calibration: gains spread by 5 % to each side. At worst
/// all error pulls one way, 0.05 / 0.95 of the distance to the farthest corner (364 mm and 40 mm of
/// sway), and the cells stand up to 3 mm off: 24 mm. Sway about the shifted centre is what measures
/// see, and its scale is wrong by the same 5 %.
#[test]
fn uncalibrated_cells_err_no_more_than_their_gains_explain() {
    let largest = largest_error_mm("demanded");
    assert!(0.001 < largest && largest <= 24.0, "largest error {largest} mm");
}

/// Frames pass the relay one by one, so what the recorder could know at the kill is known exactly.
/// Real time, because the promise is one of real time: at 250 frames/s, 0.2 s are 50 frames.
#[test]
fn killed_in_the_middle_the_next_start_keeps_all_but_a_fifth_of_a_second() {
    let bench = Bench::new();
    let simulator = Simulator::start(&[
        "--tcp",
        "127.0.0.1:0",
        "--speed",
        "1",
        "--seed",
        "5",
        "--stand",
        "firm/hip-width/open",
    ]);
    let relay = Relay::to(&simulator.port);
    let mut arguments = record_arguments(&relay.port, "600");
    arguments.extend(["--settle", "1"]);
    let mut recorder = bench
        .command()
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let journal = journal_of_some_length(&bench, &mut recorder, 30_000);
    recorder.kill().unwrap();
    let passed = relay.last_sequence();
    recorder.wait().unwrap();
    assert!(bench.sealed().is_empty(), "the trial was still under way");

    let listed = bench.footing(["analyse", "--json", "--processing", "as_recorded"]);
    assert!(listed.stderr.contains("kept"), "the person is told: {}", listed.stderr);
    let sealed = bench.sealed();
    assert_eq!(sealed.len(), 1);
    assert!(!journal.exists(), "the journal goes once its trial is sealed");
    let kept = exported(&bench, &sealed[0]).last().unwrap().0;
    assert!(kept <= passed, "kept {kept}, passed {passed}");
    assert!(passed - kept <= 50, "kept up to frame {kept}, {passed} had passed");
}

/// Waits, at most a minute, until the recorder's journal has grown to `n_bytes`.
pub(crate) fn journal_of_some_length(bench: &Bench, recorder: &mut Child, n_bytes: u64) -> PathBuf {
    let folder = bench.path("data").join("journals");
    let began = Instant::now();
    while began.elapsed() < Duration::from_mins(1) {
        if let Some(status) = recorder.try_wait().unwrap() {
            panic!("the recorder ended by itself: {status}");
        }
        let journals =
            fs::read_dir(&folder).into_iter().flatten().map(|entry| entry.unwrap().path());
        for journal in journals {
            if fs::metadata(&journal).is_ok_and(|m| n_bytes <= m.len()) {
                return journal;
            }
        }
        std::thread::yield_now();
    }
    panic!("no journal of {n_bytes} bytes within a minute");
}

/// Reads a trial with h5py, a general-purpose HDF5 library: the script fails on a dataset without
/// units, axes or checksum.
#[test]
fn a_sealed_trial_reads_with_h5py_and_describes_itself() {
    let bench = Bench::new();
    let simulator = Simulator::start(&[
        "--pty",
        "--speed",
        "max",
        "--seed",
        "3",
        "--stand",
        "firm/hip-width/open",
    ]);
    bench.footing(record_arguments(&simulator.port, "10")).well();
    let peer = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/peer");
    let python = peer.join(".venv/bin/python");
    assert!(python.exists(), "run tests/peer/setup.sh first");
    let output = Command::new(python)
        .arg(peer.join("read_trial.py"))
        .arg(&bench.sealed()[0])
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{text}\n{}", String::from_utf8_lossy(&output.stderr));
    for expected in [
        "/cop: (2500, 2) float64",
        "/force: (2500, 4) float64",
        "/raw/counts: (2500, 4) int32",
        "/raw/time_us: (2500,) uint64",
        "units = 'mm'",
        "units = 'N'",
        "units = 'us'",
    ] {
        assert!(text.contains(expected), "{expected:?} is missing in\n{text}");
    }
}
