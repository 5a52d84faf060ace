//! The body centre of a whole record by one transform there and one back.

use std::f64::consts::PI;
use std::sync::Arc;

use rustfft::{Fft, FftDirection};

use crate::body_centre::Gain;
use crate::plans::{ByLength, plan};
use crate::point::Point;

/// Filters records as a whole, keeping plans and room to work in.
#[derive(Default)]
pub(super) struct InOnePiece {
    plans: ByLength<Plan>,
    transformed: Vec<Point>,
    scratch: Vec<Point>,
}

/// The transforms of one length, and the filter at one rate and pendulum.
struct Plan {
    forward: Arc<dyn Fft<f64>>,
    inverse: Arc<dyn Fft<f64>>,
    twiddles: Vec<Point>,
    gain: Gain,
    /// Per k from 0 to N/2, how much of `V[k]` and of `V[N-k]` stays where it is.
    keep: Vec<f64>,
    /// Per k from 0 to N/2, how much of `V[N-k]` is added to `V[k]`; the conjugate is how much of
    /// `V[k]` is added to `V[N-k]`.
    cross: Vec<Point>,
}

impl Plan {
    fn new(n: usize) -> Self {
        Self {
            forward: plan(n, FftDirection::Forward),
            inverse: plan(n, FftDirection::Inverse),
            twiddles: (0..=n / 2).map(|k| Point::cis(PI * k as f64 / n as f64)).collect(),
            gain: Gain::default(),
            keep: Vec::new(),
            cross: Vec::new(),
        }
    }

    fn n(&self) -> usize {
        self.forward.len()
    }

    fn prepare(&mut self, gain: Gain) {
        if self.gain == gain {
            return;
        }
        self.gain = gain;
        let n = self.n();
        let gain = |k: usize| gain.at(k, 2 * n);
        // The inverse transform leaves a factor N.
        let half = 0.5 / n as f64;
        self.keep.clear();
        self.keep.extend((0..=n / 2).map(|k| half * (gain(k) + gain(n - k))));
        self.cross.clear();
        let pairs = self.twiddles.iter().enumerate();
        self.cross.extend(pairs.map(|(k, twiddle)| twiddle * (half * (gain(k) - gain(n - k)))));
    }
}

impl InOnePiece {
    /// Adds the body centre under `cop`, at least one point, to `body`; `centre` is its mean.
    ///
    /// The spectrum of a path followed by its mirror image
    /// is a cosine transform, which takes a complex transform of the path's own length N: with the
    /// samples reordered to v (even ones, then odd ones backwards) and V its transform, the cosine
    /// transform is `C[k] = (w[k] V[k] + conj(w[k]) V[N-k]) / 2`, `w[k] = exp(-i pi k / 2N)`
    /// (Makhoul 1980, IEEE Trans ASSP 28:27). Both it and its inverse are linear in V, so that
    /// multiplying `C[k]` by a gain `H[k]` turns `V[k]` into
    /// `((H[k] + H[N-k]) V[k] + (H[k] - H[N-k]) exp(i pi k / N) V[N-k]) / 2`.
    pub(super) fn run(&mut self, cop: &[Point], centre: Point, gain: Gain, body: &mut Vec<Point>) {
        let n = cop.len();
        let plan = self.plans.of(n, Plan::new);
        plan.prepare(gain);
        let scratch_length =
            plan.forward.get_inplace_scratch_len().max(plan.inverse.get_inplace_scratch_len());
        self.scratch.resize(scratch_length, Point::default());

        let v = &mut self.transformed;
        v.clear();
        v.extend(cop.iter().step_by(2).map(|point| point - centre));
        v.extend(cop.iter().skip(1).step_by(2).rev().map(|point| point - centre));
        plan.forward.process_with_scratch(v, &mut self.scratch);
        // The mean was taken out, so that there is nothing at 0 Hz but rounding.
        v[0] = Point::default();
        let (low, high) = v.split_at_mut(n / 2 + 1);
        let table = plan.keep.iter().zip(&plan.cross).skip(1);
        for ((low, high), (keep, cross)) in
            low[1..].iter_mut().zip(high.iter_mut().rev()).zip(table)
        {
            (*low, *high) = (*low * keep + *high * cross, *high * keep + *low * cross.conj());
        }
        if n.is_multiple_of(2) {
            // The middle one is its own mirror image.
            low[n / 2] *= plan.keep[n / 2];
        }
        plan.inverse.process_with_scratch(v, &mut self.scratch);
        let (even, odd) = v.split_at(n.div_ceil(2));
        let pairs = even.iter().zip(odd.iter().rev()).flat_map(|(even, odd)| [even, odd]);
        body.extend(pairs.chain(&even[odd.len()..]).map(|value| value + centre));
    }
}
