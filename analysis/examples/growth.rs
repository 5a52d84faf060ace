//! Prints how the time and the memory of all standard measures grow with the length of a trial.
//!
//! Usage: `cargo run --release -p analysis --example growth`
//!
//! The path is made: two slow swings and a faster one, at 100 samples a second. The time is also
//! given per sample measured, for the first 5 s of a trial are settling: half of a trial of 10 s.
//! Memory is the peak of the whole process beyond the recording itself, as Linux tells it.

#![expect(clippy::print_stdout, reason = "a command that prints")]
#![expect(clippy::unwrap_used, reason = "a figure that cannot be had ends the command")]

#[path = "../benches/made_path/mod.rs"]
mod made_path;

use std::fs;
use std::hint::black_box;
use std::time::Instant;

use analysis::{Analyser, Settings};

const LENGTHS: [(&str, u32); 6] = [
    ("10 s", 10),
    ("60 s", 60),
    ("10 min", 600),
    ("1 h", 3600),
    ("6 h", 6 * 3600),
    ("24 h", 24 * 3600),
];

fn main() {
    println!(
        "length, samples, ns per sample (best), ns per sample measured, bytes per sample (peak, \
         beside the recording)"
    );
    for (name, duration_s) in LENGTHS {
        let trace = made_path::made(duration_s);
        let n_samples = trace.points().len();
        let before_bytes = memory_bytes("VmRSS:");
        let n_runs = (40_000_000 / n_samples).clamp(3, 2000);
        let mut analyser = Analyser::new();
        let settings = Settings::standard(Some(1.7));
        let n_measured = analyser.measure(&trace, &settings).n_samples;
        let best_ns = (0..n_runs)
            .map(|_| {
                let start = Instant::now();
                black_box(analyser.measure(black_box(&trace), &settings));
                start.elapsed().as_secs_f64() * 1e9
            })
            .fold(f64::INFINITY, f64::min);
        // The peak tells of this length only where it is far above that of the length before.
        let peak_bytes = memory_bytes("VmHWM:").saturating_sub(before_bytes);
        let samples = f64::from(u32::try_from(n_samples).unwrap());
        let per_sample = if duration_s < 3600 {
            "-".to_owned()
        } else {
            format!(
                "{:.0}",
                f64::from(u32::try_from(peak_bytes / 1024).unwrap()) * 1024.0 / samples
            )
        };
        let measured = f64::from(u32::try_from(n_measured).unwrap());
        println!(
            "{name}, {n_samples}, {:.1}, {:.1}, {per_sample}",
            best_ns / samples,
            best_ns / measured
        );
    }
}

fn memory_bytes(what: &str) -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix(what)).unwrap();
    1024 * line.trim().trim_end_matches(" kB").trim().parse::<u64>().unwrap()
}
