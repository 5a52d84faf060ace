//! From a recording to what is measured.

use crate::cop::Cop;
use crate::low_pass::{CUT_OFF_HZ, LowPass};
use crate::not_available::NotAvailable;
use crate::point::{Point, point_from_cop};
use crate::resample::Resampler;
use crate::sample_rate::SampleRate;
use crate::settings::Processing;
use crate::trace::Trace;

/// Discarded at the start by the standard processing, in seconds: a person settles after stepping
/// on. Sway goes on settling for some 20 s (Carroll & Freedman 1993, J Biomech 26:409).
pub(crate) const SETTLING_S: usize = 5;

/// Rates the standard processing accepts, in hertz. The lower is the least that the French
/// posturology association asks of a platform; the upper is our own choice, far above any platform.
const LOWEST_STANDARD_RATE_HZ: f64 = 40.0;
const HIGHEST_RATE_HZ: f64 = 20_000.0;

/// Below this, in hertz, a record says nothing of sway, processed or not: our own choice.
const LOWEST_RATE_HZ: f64 = 1.0;

/// No board is this large, in millimetres: our own choice. It keeps every sum of squares finite.
const LARGEST_COORDINATE_MM: f64 = 10_000.0;

/// Prepares recordings, keeping the room it works in.
#[derive(Default)]
pub(crate) struct Processor {
    record: Vec<Point>,
    resampler: Option<Resampler>,
    resampled: Vec<Point>,
}

impl Processor {
    /// What is measured of `trace`, and its rate.
    pub(crate) fn run(
        &mut self,
        trace: &Trace,
        processing: Processing,
    ) -> Result<(&[Point], SampleRate), NotAvailable> {
        let rate = trace.rate();
        if HIGHEST_RATE_HZ < rate.hz() {
            return Err(NotAvailable::RateTooHigh {
                rate_hz: rate.hz(),
                limit_hz: HIGHEST_RATE_HZ,
            });
        }
        if rate.hz() < LOWEST_RATE_HZ {
            return Err(NotAvailable::RateTooLow { rate_hz: rate.hz(), needed_hz: LOWEST_RATE_HZ });
        }
        check_on_board(trace)?;
        self.record.clear();
        match processing {
            Processing::AsRecorded => {
                self.record.extend(trace.points().iter().map(|&cop| point_from_cop(cop)));
                Ok((&self.record, rate))
            }
            Processing::Standard => self.standard(trace),
        }
    }

    fn standard(&mut self, trace: &Trace) -> Result<(&[Point], SampleRate), NotAvailable> {
        let rate =
            if trace.rate().counts_as_standard() { SampleRate::STANDARD } else { trace.rate() };
        if rate.hz() < LOWEST_STANDARD_RATE_HZ {
            return Err(NotAvailable::RateTooLow {
                rate_hz: rate.hz(),
                needed_hz: LOWEST_STANDARD_RATE_HZ,
            });
        }
        let too_short =
            NotAvailable::TooShort { duration_s: trace.elapsed_s(), needed_s: SETTLING_S as f64 };
        let n = trace.points().len();
        let n_reflected = rate.samples_in_a_second();
        if n <= SETTLING_S * n_reflected {
            return Err(too_short);
        }
        extend_by_odd_reflection(trace, n_reflected, &mut self.record);
        LowPass::new(rate.hz()).run_both_ways(&mut self.record);
        let filtered = &self.record[n_reflected..n_reflected + n];
        let n_settling = SETTLING_S * SampleRate::STANDARD.samples_in_a_second();
        let at_standard_rate = if rate == SampleRate::STANDARD {
            filtered
        } else {
            let resampler = self.resampler.get_or_insert_default();
            let to_hz = SampleRate::STANDARD.hz();
            resampler.run(filtered, rate.hz(), to_hz, &mut self.resampled);
            &self.resampled
        };
        let settled = at_standard_rate.get(n_settling..).unwrap_or_default();
        if settled.is_empty() { Err(too_short) } else { Ok((settled, SampleRate::STANDARD)) }
    }
}

/// Refuses a path that leaves any board there is.
pub(crate) fn check_on_board(trace: &Trace) -> Result<(), NotAvailable> {
    let reach_mm = |cop: &Cop| cop.ml_mm.abs().max(cop.ap_mm.abs());
    let off = |cop: &Cop| {
        (LARGEST_COORDINATE_MM < cop.ml_mm.abs()) | (LARGEST_COORDINATE_MM < cop.ap_mm.abs())
    };
    // Without a way out early, so that several are looked at in one step.
    if trace.points().iter().fold(false, |found, cop| found | off(cop)) {
        let distance_mm = trace.points().iter().map(reach_mm).fold(0.0, f64::max);
        return Err(NotAvailable::OffTheBoard { distance_mm, limit_mm: LARGEST_COORDINATE_MM });
    }
    Ok(())
}

/// The points with `n_reflected` more at each end: k samples before the first stands the k-th after
/// it, mirrored at the first point; after the last likewise.
fn extend_by_odd_reflection(trace: &Trace, n_reflected: usize, extended: &mut Vec<Point>) {
    let points = trace.points();
    let (first, last) = (point_from_cop(points[0]), point_from_cop(points[points.len() - 1]));
    let before = points[1..=n_reflected].iter().rev();
    let after = points[points.len() - 1 - n_reflected..points.len() - 1].iter().rev();
    extended.extend(before.map(|&cop| first * 2.0 - point_from_cop(cop)));
    extended.extend(points.iter().map(|&cop| point_from_cop(cop)));
    extended.extend(after.map(|&cop| last * 2.0 - point_from_cop(cop)));
}

// The filter needs room between its cut-off and half the rate.
const _: () = assert!(2.0 * CUT_OFF_HZ < LOWEST_STANDARD_RATE_HZ);
