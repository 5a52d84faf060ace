//! The body centre, estimated from the centre of pressure.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use rustfft::{Fft, FftDirection};

use crate::cop::Cop;
use crate::not_available::NotAvailable;
use crate::plans::{ByLength, plan};
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

/// Length of the pendulum that sways like a person of this height, in metres.
pub(crate) fn pendulum_length_m(body_height_m: f64) -> f64 {
    PENDULUM_SHARE_OF_HEIGHT * body_height_m
}

/// The square of the pendulum's frequency, w0^2 = g / length, in 1/s^2.
pub(crate) fn pendulum_rate_per_s2(body_height_m: f64) -> Result<f64, NotAvailable> {
    if BODY_HEIGHTS_M.contains(&body_height_m) {
        Ok(GRAVITY_M_PER_S2 / pendulum_length_m(body_height_m))
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
    plans: ByLength<Plan>,
    transformed: Vec<Point>,
    scratch: Vec<Point>,
    body: Vec<Point>,
}

/// The transforms of one length, and the filter at one rate and pendulum.
struct Plan {
    forward: Arc<dyn Fft<f64>>,
    inverse: Arc<dyn Fft<f64>>,
    twiddles: Vec<Point>,
    rate_hz: f64,
    pendulum_rate_per_s2: f64,
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
            rate_hz: 0.0,
            pendulum_rate_per_s2: 0.0,
            keep: Vec::new(),
            cross: Vec::new(),
        }
    }

    fn n(&self) -> usize {
        self.forward.len()
    }

    fn prepare(&mut self, rate_hz: f64, pendulum_rate_per_s2: f64) {
        if (self.rate_hz, self.pendulum_rate_per_s2) == (rate_hz, pendulum_rate_per_s2) {
            return;
        }
        (self.rate_hz, self.pendulum_rate_per_s2) = (rate_hz, pendulum_rate_per_s2);
        let n = self.n();
        let gain = |k: usize| {
            let w = TAU * (k as f64 * rate_hz / (2 * n) as f64);
            1.0 / (1.0 + w * w / pendulum_rate_per_s2)
        };
        // The inverse transform leaves a factor N.
        let half = 0.5 / n as f64;
        self.keep.clear();
        self.keep.extend((0..=n / 2).map(|k| half * (gain(k) + gain(n - k))));
        self.cross.clear();
        let pairs = self.twiddles.iter().enumerate();
        self.cross.extend(pairs.map(|(k, twiddle)| twiddle * (half * (gain(k) - gain(n - k)))));
    }
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
        cop: &[Point],
        rate_hz: f64,
        pendulum_rate_per_s2: f64,
    ) -> &[Point] {
        let n = cop.len();
        self.body.clear();
        if n == 0 {
            return &self.body;
        }
        let plan = self.plans.of(n, Plan::new);
        plan.prepare(rate_hz, pendulum_rate_per_s2);
        let scratch_length =
            plan.forward.get_inplace_scratch_len().max(plan.inverse.get_inplace_scratch_len());
        self.scratch.resize(scratch_length, Point::default());

        let centre = mean(cop);
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
        self.body.extend(pairs.chain(&even[odd.len()..]).map(|value| value + centre));
        &self.body
    }
}

/// Sway of a body centre and of the centre of pressure about it; `centre` is the mean of both.
pub(crate) fn body_sway(cop: &[Point], body: &[Point], centre: Point) -> BodySway {
    let (mut of_body, mut of_cop) = (Point::default(), Point::default());
    let square = |d: Point| Point::new(d.re * d.re, d.im * d.im);
    for (cop, body) in cop.iter().zip(body) {
        of_body += square(body - centre);
        of_cop += square(cop - body);
    }
    let rms = |sum: f64| (sum / cop.len() as f64).sqrt();
    BodySway {
        mean: cop_from_point(centre),
        rms_ml_mm: rms(of_body.re),
        rms_ap_mm: rms(of_body.im),
        cop_rms_ml_mm: rms(of_cop.re),
        cop_rms_ap_mm: rms(of_cop.im),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::scattered;

    /// The definition: the transform of the path and its mirror image, term by term.
    fn by_definition(cop: &[Point], rate_hz: f64, pendulum_rate_per_s2: f64) -> Vec<Point> {
        let n = cop.len();
        let centre = mean(cop);
        let doubled: Vec<Point> = cop.iter().chain(cop.iter().rev()).map(|p| p - centre).collect();
        let turn =
            |k: usize, i: usize| Point::cis(TAU * ((k * i) % (2 * n)) as f64 / (2 * n) as f64);
        let spectrum: Vec<Point> = (0..2 * n)
            .map(|k| {
                let f = k.min(2 * n - k) as f64 * rate_hz / (2 * n) as f64;
                let gain = 1.0 / (1.0 + (TAU * f).powi(2) / pendulum_rate_per_s2);
                (0..2 * n).map(|i| doubled[i] * turn(k, i).conj()).sum::<Point>() * gain
            })
            .collect();
        (0..n)
            .map(|i| {
                let sum: Point = (0..2 * n).map(|k| spectrum[k] * turn(k, i)).sum();
                sum / (2 * n) as f64 + centre
            })
            .collect()
    }

    #[test]
    fn one_transform_of_half_the_length_gives_the_definition() {
        let mut filter = BodyCentreFilter::default();
        for n in 0..80 {
            let cop = scattered(n as u64, n);
            // Two pendulums in turn, so that a table kept too long would show.
            for pendulum in [8.7, 14.0] {
                let got = filter.run(&cop, 100.0, pendulum);
                let wanted = by_definition(&cop, 100.0, pendulum);
                assert_eq!(got.len(), n);
                for (got, wanted) in got.iter().zip(&wanted) {
                    assert!((got - wanted).norm() < 1e-10, "{n}: {got} {wanted}");
                }
            }
        }
    }

    #[test]
    fn a_swing_that_fits_the_record_is_scaled_by_the_gain() {
        // 12 half turns in 600 samples at 100 Hz are 1 Hz.
        let place = |i: usize| (PI * (2 * i + 1) as f64 * 12.0 / 1200.0).cos();
        let cop: Vec<Point> =
            (0..600).map(|i| Point::new(50.0 + 10.0 * place(i), -4.0 * place(i))).collect();
        let pendulum = pendulum_rate_per_s2(1.7).unwrap();
        let gain = 1.0 / (1.0 + TAU * TAU / pendulum);
        let mut filter = BodyCentreFilter::default();
        let body = filter.run(&cop, 100.0, pendulum);
        let sway = body_sway(&cop, body, mean(&cop));
        let root = 2.0_f64.sqrt();
        assert!((sway.rms_ml_mm - 10.0 * gain / root).abs() < 1e-10);
        assert!((sway.rms_ap_mm - 4.0 * gain / root).abs() < 1e-10);
        assert!((sway.cop_rms_ml_mm - 10.0 * (1.0 - gain) / root).abs() < 1e-10);
        assert!((sway.mean.ml_mm - 50.0).abs() < 1e-10);
    }

    #[test]
    fn the_offset_is_against_a_reference_of_the_same_session() {
        let at = |ml_mm: f64, ap_mm: f64| BodySway {
            mean: Cop::new(ml_mm, ap_mm),
            rms_ml_mm: 1.0,
            rms_ap_mm: 1.0,
            cop_rms_ml_mm: 1.0,
            cop_rms_ap_mm: 1.0,
        };
        let now = at(12.0, -3.0);
        assert_eq!(now.neutral_offset(Some(&at(10.0, 5.0))), Ok(Cop::new(2.0, -8.0)));
        assert_eq!(now.neutral_offset(None), Err(NotAvailable::NoReference));
    }

    #[test]
    fn heights_of_nobody_are_refused() {
        for height_m in [0.0, -1.7, 0.49, 170.0, f64::NAN, f64::INFINITY] {
            assert!(pendulum_rate_per_s2(height_m).is_err(), "{height_m}");
        }
    }
}
