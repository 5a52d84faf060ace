//! Time of all standard measures of a trial, beside the filter and the transforms alone, and how it
//! grows with length.

#![expect(clippy::unwrap_used, reason = "a file that cannot be read ends the benchmark")]

#[expect(dead_code, reason = "the tests read more of the recordings")]
#[path = "../tests/open_recordings/open_data.rs"]
mod open_data;

use std::f64::consts::{PI, SQRT_2};
use std::hint::black_box;

use analysis::{Analyser, Cop, Plane, SampleRate, Settings, Trace};
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

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

/// The filter and the transforms that the measures cannot do without: two passes over the extended
/// record, three segments of the spectrum, there and back for the body centre, both axes at once.
struct BareWork {
    record: Vec<Complex<f64>>,
    segment: std::sync::Arc<dyn rustfft::Fft<f64>>,
    there: std::sync::Arc<dyn rustfft::Fft<f64>>,
    back: std::sync::Arc<dyn rustfft::Fft<f64>>,
    scratch: Vec<Complex<f64>>,
}

impl BareWork {
    fn of(trace: &Trace) -> Self {
        let n = trace.points().len() - 500;
        let mut planner = FftPlanner::new();
        let (there, back) = (planner.plan_fft_forward(n), planner.plan_fft_inverse(n));
        let segment = planner.plan_fft_forward(2 * (n / 4));
        let longest =
            [&there, &back, &segment].map(|fft| fft.get_inplace_scratch_len()).into_iter().max();
        let scratch = vec![Complex::default(); longest.unwrap_or(0)];
        Self { record: Vec::new(), segment, there, back, scratch }
    }

    fn run(&mut self, trace: &Trace) -> Complex<f64> {
        let points = trace.points().iter().map(|cop| Complex::new(cop.ml_mm, cop.ap_mm));
        self.record.clear();
        self.record.extend(points.clone().take(100));
        self.record.extend(points.clone());
        self.record.extend(points.take(100));
        let k = (PI * 10.0 / 100.0).tan() / (SQRT_2 - 1.0).sqrt().sqrt();
        let norm = 1.0 / (1.0 + SQRT_2 * k + k * k);
        let (b0, a1, a2) =
            (k * k * norm, 2.0 * (k * k - 1.0) * norm, (1.0 - SQRT_2 * k + k * k) * norm);
        pass(self.record.iter_mut(), b0, a1, a2);
        pass(self.record.iter_mut().rev(), b0, a1, a2);
        let length = self.segment.len();
        let record = &mut self.record[600..];
        for start in [0, length / 2, length] {
            let from = start.min(record.len() - length);
            self.segment.process_with_scratch(&mut record[from..from + length], &mut self.scratch);
        }
        let n = self.there.len();
        self.there.process_with_scratch(&mut record[..n], &mut self.scratch);
        self.back.process_with_scratch(&mut record[..n], &mut self.scratch);
        record[0]
    }
}

fn pass<'a>(points: impl Iterator<Item = &'a mut Complex<f64>>, b0: f64, a1: f64, a2: f64) {
    let (mut first, mut second) = (Complex::default(), Complex::default());
    for point in points {
        let input = *point;
        *point = input * b0 + first;
        let next = (input * (b0 * (2.0 - a1)) + second) - first * a1;
        second = input * (b0 * (1.0 - a2)) - first * a2;
        first = next;
    }
}

/// A made path of this length: two slow swings and a faster one.
fn made(duration_s: u32) -> Trace {
    let place = |i: u32| {
        let t = f64::from(i) / 100.0;
        Cop::new(
            6.0 * (0.7 * t).sin() + (9.1 * t).sin(),
            9.0 * (0.43 * t).cos() + 2.0 * (3.3 * t).sin(),
        )
    };
    let points = (0..duration_s * 100).map(place).collect();
    Trace::new(SampleRate::STANDARD, Plane::Plate, points).unwrap()
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("growth");
    group.sample_size(10);
    for (name, duration_s) in [("10 s", 10), ("60 s", 60), ("1 h", 3600), ("24 h", 86_400)] {
        let trace = made(duration_s);
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
