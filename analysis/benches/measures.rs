//! Time of all standard measures of a trial, beside the filter and the transforms alone.

#![expect(clippy::unwrap_used, reason = "a file that cannot be read ends the benchmark")]

#[expect(dead_code, reason = "the tests read more of the recordings")]
#[path = "../tests/open_recordings/open_data.rs"]
mod open_data;

use std::hint::black_box;

use analysis::{Analyser, Settings};
use criterion::{Criterion, criterion_group, criterion_main};

fn single_trial(c: &mut Criterion) {
    let trace = open_data::trace("BDS00010", None);
    let settings = Settings::standard(Some(1.575));
    let mut analyser = Analyser::new();
    c.bench_function("all standard measures of 60 s at 100 Hz", |b| {
        b.iter(|| analyser.measure(black_box(&trace), &settings));
    });
}

criterion_group!(benches, single_trial);
criterion_main!(benches);
