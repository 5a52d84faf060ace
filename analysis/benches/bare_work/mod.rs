//! The work that no standard measures can do without, to hold their time against.

use std::f64::consts::{PI, SQRT_2};
use std::sync::Arc;

use analysis::Trace;
use rustfft::num_complex::Complex;
use rustfft::{Fft, FftPlanner};

/// The filter and the transforms that the measures cannot do without: two passes over the extended
/// record, three segments of the spectrum, there and back for the body centre, both axes at once.
pub(crate) struct BareWork {
    record: Vec<Complex<f64>>,
    segment: Arc<dyn Fft<f64>>,
    there: Arc<dyn Fft<f64>>,
    back: Arc<dyn Fft<f64>>,
    scratch: Vec<Complex<f64>>,
}

impl BareWork {
    pub(crate) fn of(trace: &Trace) -> Self {
        let n = trace.points().len() - 500;
        let mut planner = FftPlanner::new();
        let (there, back) = (planner.plan_fft_forward(n), planner.plan_fft_inverse(n));
        let segment = planner.plan_fft_forward(2 * (n / 4));
        let longest =
            [&there, &back, &segment].map(|fft| fft.get_inplace_scratch_len()).into_iter().max();
        let scratch = vec![Complex::default(); longest.unwrap_or(0)];
        Self { record: Vec::new(), segment, there, back, scratch }
    }

    pub(crate) fn run(&mut self, trace: &Trace) -> Complex<f64> {
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
