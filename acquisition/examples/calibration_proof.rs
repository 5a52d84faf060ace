//! Calibrates 2,000 random boards at the demanded limits, twice, and prints what came of it.
//!
//! Seeds 2,000,000 and up, fixed before the first run.

#![expect(clippy::print_stdout, reason = "printing the table is what this is for")]

#[path = "../tests/coverage/mod.rs"]
mod coverage;
#[expect(dead_code, reason = "what boards within their limits need stands beside it")]
#[path = "../tests/random_board/mod.rs"]
mod random_board;
#[path = "../tests/share/mod.rs"]
mod share;

use acquisition::calibrate::Knowledge;
use coverage::Study;
use share::interval;

const FIRST_SEED: u64 = 2_000_000;
const N_BOARDS: u64 = 2_000;

fn main() {
    println!("{N_BOARDS} random boards, 9 x 20 kg, then 60 kg within 80 mm on another floor");
    for (name, corner_sd_mm, knowledge, limit_mm) in [
        ("printed jig, cells to 1 mm", 1.0, Knowledge::PRINTED_JIG, 1.0),
        ("fine jig, cells to 0.3 mm", 0.3, Knowledge::FINE_JIG, 0.5),
    ] {
        let study = Study::run(FIRST_SEED, N_BOARDS, corner_sd_mm, &knowledge);
        let n = study.largest_mm.len();
        let within = study.within(limit_mm);
        let (low, high) = interval(within, n);
        let (share, standard_error) = study.coverage();
        let mut sorted = study.largest_mm.clone();
        sorted.sort_by(f64::total_cmp);
        println!("{name}:");
        println!("  refused without a fault: {} of {N_BOARDS}", study.refused);
        println!(
            "  largest error <= {limit_mm} mm: {:.2} % [{:.2}, {:.2}] of boards; 95th percentile {:.2} mm",
            100.0 * within as f64 / n as f64,
            100.0 * low,
            100.0 * high,
            sorted[n * 95 / 100],
        );
        println!(
            "  stated U (k = 2) at the centre: {:.2} mm in the mean; covers {:.2} % ± {:.2} % of places",
            study.stated_mm.iter().sum::<f64>() / n as f64,
            100.0 * share,
            200.0 * standard_error,
        );
    }
}
