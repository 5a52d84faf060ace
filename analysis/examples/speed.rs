//! Prints the time of all standard measures of a 60 s trial, of the filter and the transforms alone,
//! and of the peer in Python, best of many.

#![expect(clippy::print_stdout, reason = "a command that prints")]
#![expect(clippy::unwrap_used, reason = "a file that cannot be read ends the command")]

#[path = "../benches/bare_work/mod.rs"]
mod bare_work;
#[expect(dead_code, reason = "the tests read more of the recordings")]
#[path = "../tests/open_recordings/open_data.rs"]
mod open_data;

use std::hint::black_box;
use std::path::PathBuf;
use std::process::Command;
use std::time::Instant;

use analysis::{Analyser, Settings};
use bare_work::BareWork;

const RECORDING: &str = "BDS00010";

fn main() {
    let trace = open_data::trace(RECORDING, None);
    let settings = Settings::standard(Some(1.575));
    let mut analyser = Analyser::new();
    let ours_ms = best_ms(|| {
        black_box(analyser.measure(black_box(&trace), &settings));
    });
    let mut bare = BareWork::of(&trace);
    let bare_ms = best_ms(|| {
        black_box(bare.run(black_box(&trace)));
    });
    println!("all standard measures of 60 s at 100 Hz: {ours_ms:.3} ms");
    println!("filter and transforms alone: {bare_ms:.3} ms, ratio {:.2}", ours_ms / bare_ms);
    match peer_ms() {
        Some(peer_ms) => {
            println!("peer in Python: {peer_ms:.3} ms, ratio {:.0}", peer_ms / ours_ms);
        }
        None => println!("peer in Python: not there, run tests/peer/setup.sh"),
    }
}

/// The shortest of many runs, which is the one least disturbed.
fn best_ms(mut run: impl FnMut()) -> f64 {
    let time = |()| {
        let start = Instant::now();
        run();
        1e3 * start.elapsed().as_secs_f64()
    };
    std::iter::repeat_n((), 5000).map(time).fold(f64::INFINITY, f64::min)
}

fn peer_ms() -> Option<f64> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/peer");
    let output = Command::new(folder.join(".venv/bin/python"))
        .arg(folder.join("peer.py"))
        .arg("time")
        .arg(open_data::path(&format!("{RECORDING}.txt.gz")))
        .output()
        .ok()?;
    String::from_utf8(output.stdout).ok()?.trim().parse().ok()
}
