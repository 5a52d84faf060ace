//! The body centre, estimated from the centre of pressure.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use rustfft::{Fft, FftPlanner};

use crate::cop::Cop;
use crate::not_available::NotAvailable;
use crate::point::{Point, cop_from_point, mean};

/// Acceleration of free fall, in metres per second squared: the value of the measures' definition.
const GRAVITY_M_PER_S2: f64 = 9.81;

/// Length of the pendulum that sways like a person, as a share of body height. Pendulum theory
/// gives about 0.657; the measured horizontal force of 200 open recordings (Santos & Duarte 2016)
/// gave a median of 0.663.
const PENDULUM_SHARE_OF_HEIGHT: f64 = 0.66;

/// Body heights that are taken for a person's, in metres: our own choice.
const BODY_HEIGHTS_M: std::ops::RangeInclusive<f64> = 0.5..=2.6;

/// Sway of the estimated body centre, and of the centre of pressure about it.
///
/// The body centre is the point over which the body's mass stands. It is an estimate: the centre of
/// pressure through 1/(1 + (2 pi f)^2/w0^2), w0^2 = g/(0.66 body height), which holds for a body
/// that sways as one pendulum. Trust it least on one leg, in tandem and when the hips work.
///
/// # Source
/// Pendulum: Winter et al. 1998, J Neurophysiol 80:1211. Low-pass form: Caron et al. 1997, J Biomech
/// 30:1169.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodySway {
    /// Mean position of the body centre over the board; the filter keeps that of the centre of
    /// pressure.
    pub mean: Cop,
    /// Medio-lateral standard deviation of the body centre (divided by N), in millimetres.
    pub rms_ml_mm: f64,
    /// Antero-posterior standard deviation of the body centre (divided by N), in millimetres.
    pub rms_ap_mm: f64,
    /// Medio-lateral standard deviation of centre of pressure minus body centre, in millimetres.
    pub cop_rms_ml_mm: f64,
    /// Antero-posterior standard deviation of centre of pressure minus body centre, in millimetres.
    pub cop_rms_ap_mm: f64,
}

impl BodySway {
    /// Where the body stands now against where it stood in the reference of the same session at the
    /// same condition, band included, in millimetres. It shows where the weight is, not the shape
    /// of the spine.
    ///
    /// # Errors
    /// [`NotAvailable::NoReference`] without a reference.
    pub fn neutral_offset(&self, reference: Option<&Self>) -> Result<Cop, NotAvailable> {
        let reference = reference.ok_or(NotAvailable::NoReference)?;
        Ok(Cop::new(self.mean.ml_mm - reference.mean.ml_mm, self.mean.ap_mm - reference.mean.ap_mm))
    }
}

/// The square of the pendulum's frequency, w0^2 = g / length, in 1/s^2.
pub(crate) fn pendulum_rate_per_s2(body_height_m: f64) -> Result<f64, NotAvailable> {
    if BODY_HEIGHTS_M.contains(&body_height_m) {
        Ok(GRAVITY_M_PER_S2 / (PENDULUM_SHARE_OF_HEIGHT * body_height_m))
    } else {
        Err(NotAvailable::BodyHeightOutOfRange {
            height_m: body_height_m,
            lowest_m: *BODY_HEIGHTS_M.start(),
            highest_m: *BODY_HEIGHTS_M.end(),
        })
    }
}

/// Turns a centre-of-pressure path into the body centre's, keeping plans and room to work in.
#[derive(Default)]
pub(crate) struct BodyCentreFilter {
    plan: Option<Plan>,
    gains: Gains,
    transformed: Vec<Point>,
    scratch: Vec<Point>,
    body: Vec<Point>,
}

struct Plan {
    forward: Arc<dyn Fft<f64>>,
    inverse: Arc<dyn Fft<f64>>,
    /// exp(i pi k / N).
    twiddles: Vec<Point>,
}

impl Plan {
    fn new(planner: &mut FftPlanner<f64>, n: usize) -> Self {
        Self {
            forward: planner.plan_fft_forward(n),
            inverse: planner.plan_fft_inverse(n),
            twiddles: (0..n).map(|k| Point::cis(PI * k as f64 / n as f64)).collect(),
        }
    }
}

/// The filter's gain at the frequencies of one length, rate and pendulum.
#[derive(Default, PartialEq)]
struct Gains {
    n: usize,
    rate_hz: f64,
    pendulum_rate_per_s2: f64,
    values: Vec<f64>,
}

impl BodyCentreFilter {
    /// The body centre under `cop` sampled at `rate_hz`; one point for each, none for none.
    ///
    /// The path is continued as its own mirror image, end samples repeated, and its spectrum on
    /// that doubled length is multiplied by the gain. The spectrum of such a mirrored path is a
    /// cosine transform, which takes a complex transform of the path's own length N: with the
    /// samples reordered to v (even ones, then odd ones backwards) and V its transform, the cosine
    /// transform is `C[k] = (w[k] V[k] + conj(w[k]) V[N-k]) / 2`, `w[k] = exp(-i pi k / 2N)`
    /// (Makhoul 1980, IEEE Trans ASSP 28:27). Both it and its inverse are linear in V, so that
    /// multiplying `C[k]` by a gain `H[k]` turns `V[k]` into
    /// `((H[k] + H[N-k]) V[k] + (H[k] - H[N-k]) exp(i pi k / N) V[N-k]) / 2`.
    pub(crate) fn run(
        &mut self,
        planner: &mut FftPlanner<f64>,
        cop: &[Point],
        rate_hz: f64,
        pendulum_rate_per_s2: f64,
    ) -> &[Point] {
        let n = cop.len();
        self.body.clear();
        if n == 0 {
            return &self.body;
        }
        let plan = match self.plan.take() {
            Some(plan) if plan.twiddles.len() == n => self.plan.insert(plan),
            _ => self.plan.insert(Plan::new(planner, n)),
        };
        self.gains.prepare(n, rate_hz, pendulum_rate_per_s2);
        let gains = &self.gains.values;
        let scratch_length =
            plan.forward.get_inplace_scratch_len().max(plan.inverse.get_inplace_scratch_len());
        self.scratch.resize(scratch_length, Point::default());

        let centre = mean(cop);
        let v = &mut self.transformed;
        v.clear();
        v.extend(cop.iter().step_by(2).map(|point| point - centre));
        v.extend(cop.iter().skip(1).step_by(2).rev().map(|point| point - centre));
        plan.forward.process_with_scratch(v, &mut self.scratch);
        // The inverse transform leaves a factor N.
        let scale = 0.5 / n as f64;
        v[0] *= 2.0 * scale * gains[0];
        for k in 1..=n / 2 {
            let mirror = n - k;
            let (low, high) = (v[k], v[mirror]);
            let sum = (gains[k] + gains[mirror]) * scale;
            let gap = (gains[k] - gains[mirror]) * scale;
            v[k] = low * sum + high * plan.twiddles[k] * gap;
            v[mirror] = high * sum - low * plan.twiddles[mirror] * gap;
        }
        plan.inverse.process_with_scratch(v, &mut self.scratch);
        self.body.resize(n, Point::default());
        let n_even = n.div_ceil(2);
        for (i, value) in v[..n_even].iter().enumerate() {
            self.body[2 * i] = value + centre;
        }
        for (i, value) in v[n_even..].iter().rev().enumerate() {
            self.body[2 * i + 1] = value + centre;
        }
        &self.body
    }
}

impl Gains {
    fn prepare(&mut self, n: usize, rate_hz: f64, pendulum_rate_per_s2: f64) {
        let same =
            (self.n, self.rate_hz, self.pendulum_rate_per_s2) == (n, rate_hz, pendulum_rate_per_s2);
        if same {
            return;
        }
        let gain = |k: usize| {
            let w = TAU * (k as f64 * rate_hz / (2 * n) as f64);
            1.0 / (1.0 + w * w / pendulum_rate_per_s2)
        };
        self.values.clear();
        self.values.extend((0..n).map(gain));
        (self.n, self.rate_hz, self.pendulum_rate_per_s2) = (n, rate_hz, pendulum_rate_per_s2);
    }
}

/// Sway of a body centre and of the centre of pressure about it.
pub(crate) fn body_sway(cop: &[Point], body: &[Point]) -> BodySway {
    let n = cop.len() as f64;
    let (cop_mean, body_mean) = (mean(cop), mean(body));
    let (mut body_ml, mut body_ap, mut cop_ml, mut cop_ap) = (0.0, 0.0, 0.0, 0.0);
    for (cop, body) in cop.iter().zip(body) {
        let body = body - body_mean;
        let gap = (cop - cop_mean) - body;
        body_ml += body.re * body.re;
        body_ap += body.im * body.im;
        cop_ml += gap.re * gap.re;
        cop_ap += gap.im * gap.im;
    }
    let rms = |sum: f64| (sum / n).sqrt();
    BodySway {
        mean: cop_from_point(body_mean),
        rms_ml_mm: rms(body_ml),
        rms_ap_mm: rms(body_ap),
        cop_rms_ml_mm: rms(cop_ml),
        cop_rms_ap_mm: rms(cop_ap),
    }
}
