//! Time of all standard measures of a trial, beside the filter and the transforms alone, and how it
//! grows with length.

#![expect(clippy::unwrap_used, reason = "a file that cannot be read ends the benchmark")]

mod bare_work;
mod made_path;
#[expect(dead_code, reason = "the tests read more of the recordings")]
#[path = "../tests/open_recordings/open_data.rs"]
mod open_data;

use std::hint::black_box;

use analysis::{Analyser, Settings};
use bare_work::BareWork;
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};

const SETTINGS: Settings = Settings::standard(Some(1.575));

fn single_trial(c: &mut Criterion) {
    let trace = open_data::trace("BDS00010", None);
    let mut analyser = Analyser::new();
    let mut group = c.benchmark_group("60 s at 100 Hz");
    group.bench_function("all standard measures", |b| {
        b.iter(|| analyser.measure(black_box(&trace), &SETTINGS));
    });
    group.bench_function("filter and transforms alone", |b| {
        let mut bare = BareWork::of(&trace);
        b.iter(|| bare.run(black_box(&trace)));
    });
    group.finish();
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("growth");
    group.sample_size(10);
    for (name, duration_s) in [("10 s", 10), ("60 s", 60), ("1 h", 3600), ("24 h", 86_400)] {
        let trace = made_path::made(duration_s);
        let mut analyser = Analyser::new();
        group.throughput(Throughput::Elements(u64::from(duration_s) * 100));
        group.bench_with_input(BenchmarkId::from_parameter(name), &trace, |b, trace| {
            b.iter(|| analyser.measure(black_box(trace), &SETTINGS));
        });
    }
    group.finish();
}

criterion_group!(benches, single_trial, growth);
criterion_main!(benches);
