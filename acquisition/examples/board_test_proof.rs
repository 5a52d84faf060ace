//! Whole runs of the acceptance tests on simulated boards: how many good ones are turned away, and
//! from which size on each fault is found.
//!
//! `cargo run --release -p acquisition --example board_test_proof`; seeds 5,000,000 and up; the limits
//! were set on seeds 3,000,000 and up.

#![expect(clippy::print_stdout, reason = "printing the tables is what this is for")]

#[path = "../tests/accepted_board/mod.rs"]
mod accepted_board;
#[path = "../tests/random_board/mod.rs"]
mod random_board;
#[path = "../tests/share/mod.rs"]
mod share;

use std::collections::BTreeMap;

use accepted_board::{Fault, is_found, outside};
use share::interval;

const FIRST_SEED: u64 = 5_000_000;
const N_GOOD: u64 = 2_000;
const N_FAULTY: u64 = 300;

fn main() {
    good_boards();
    println!();
    println!("fault                size          found in %  [95 % interval]   n");
    for (name, unit, factor, make, sizes) in faults() {
        for size in sizes {
            faulty_boards(name, &format!("{} {unit}", size * factor), make(size));
        }
    }
}

type Row = (&'static str, &'static str, f64, fn(f64) -> Fault, Vec<f64>);

fn faults() -> Vec<Row> {
    vec![
        ("gain of one cell", "%", 100.0, Fault::Gain, vec![0.002, 0.0025, 0.003, 0.004]),
        ("position of one cell", "mm", 1.0, Fault::Position, vec![2.0, 4.0, 5.0, 6.0, 8.0]),
        ("noise of every cell", "N", 1.0, Fault::Noise, vec![0.049, 0.05, 0.051, 0.055]),
        ("creep of one cell", "%/30 min", 100.0, Fault::Creep, vec![0.001, 0.002, 0.003, 0.004]),
        ("one channel late", "ms", 1.0, Fault::Skew, vec![0.9, 1.0, 1.1, 1.3]),
        (
            "hysteresis of one cell",
            "%",
            100.0,
            Fault::Hysteresis,
            vec![0.001, 0.002, 0.004, 0.006, 0.008],
        ),
        ("clock", "ppm", 1.0, Fault::Clock, vec![95.0, 100.0, 101.0, 110.0]),
    ]
}

fn good_boards() {
    let (mut n_away, mut n_not_calibrated) = (0, 0);
    let mut by_finding: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    for seed in FIRST_SEED..FIRST_SEED + N_GOOD {
        let Some(found) = outside(seed, Fault::None) else {
            n_not_calibrated += 1;
            n_away += 1;
            continue;
        };
        n_away += usize::from(!found.is_empty());
        for finding in found {
            *by_finding.entry((finding.test.number(), finding.quantity)).or_default() += 1;
        }
    }
    let n = usize::try_from(N_GOOD).expect("some thousands");
    let (low, high) = interval(n_away, n);
    println!(
        "good boards turned away in a whole run: {n_away} of {n}, {:.2} % [{:.2}, {:.2}]",
        100.0 * n_away as f64 / n as f64,
        100.0 * low,
        100.0 * high
    );
    println!("  calibration refused: {n_not_calibrated}");
    for ((number, quantity), count) in by_finding {
        println!("  test {number}, {quantity}: {count}");
    }
}

fn faulty_boards(name: &str, size: &str, fault: Fault) {
    let seeds = FIRST_SEED + N_GOOD..FIRST_SEED + N_GOOD + N_FAULTY;
    let n_found = seeds.filter(|seed| is_found(*seed, fault)).count();
    let n = usize::try_from(N_FAULTY).expect("some hundreds");
    let (low, high) = interval(n_found, n);
    println!(
        "{name:<22} {size:<14} {:>6.1}  [{:.1}, {:.1}]  {n}",
        100.0 * n_found as f64 / n as f64,
        100.0 * low,
        100.0 * high
    );
}
