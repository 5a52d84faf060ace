//! All measures of a trial in one go.

use crate::body_centre::{BodyCentreFilter, body_sway, pendulum_rate_per_s2};
use crate::displacement::DisplacementMeter;
use crate::ellipse::sway_ellipse;
use crate::frequency::{FrequencyContent, frequency_content};
use crate::measures::Measures;
use crate::not_available::NotAvailable;
use crate::point::{Point, cop_from_point, mean};
use crate::processing::Processor;
use crate::sample_rate::SampleRate;
use crate::settings::Settings;
use crate::spectrum::{Spectrum, Welch};
use crate::trace::Trace;
use crate::wobble::WobbleFinder;

/// Measures trials one after the other, keeping transform plans and working room from each to the
/// next. The values do not depend on what was measured before, bit for bit.
///
/// One analyser belongs to one thread; a batch makes one per thread.
#[derive(Default)]
pub struct Analyser {
    processor: Processor,
    displacement: DisplacementMeter,
    welch: Welch,
    body: BodyCentreFilter,
    wobble: WobbleFinder,
}

impl Analyser {
    /// An analyser that has measured nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Every measure of a trace. What cannot be measured says why in its place.
    pub fn measure(&mut self, trace: &Trace, settings: &Settings) -> Measures {
        let (points, rate) = match self.processor.run(trace, settings.processing) {
            Ok(record) => record,
            Err(reason) => return unavailable(trace, settings, reason),
        };
        let rate_hz = rate.hz();
        let n_samples = points.len();
        let centre = mean(points);
        let (displacement, scatter) = self.displacement.run(points, centre, rate_hz);
        let body = pendulum_rate_per_s2(assumed_height_m(settings))
            .map(|pendulum| self.body.run(points, rate_hz, pendulum));
        Measures {
            settings: *settings,
            plane: trace.plane(),
            rate,
            n_samples,
            body_height_assumed: settings.body_height_m.is_none(),
            duration_s: n_samples.saturating_sub(1) as f64 / rate_hz,
            mean_cop: at_least_one(n_samples).map(|()| cop_from_point(centre)),
            displacement,
            ellipse: sway_ellipse(centre, scatter, n_samples),
            body: body.and_then(|body| {
                at_least_one(n_samples)?;
                Ok(body_sway(points, body, centre))
            }),
            wobble: body.and_then(|body| self.wobble.run(body, rate_hz)),
            frequency: spectrum_of(&mut self.welch, points, rate_hz).and_then(frequency_content),
        }
    }

    /// The power spectral density that the frequency measures are made from.
    ///
    /// # Errors
    /// The reason there is none, such as too few samples.
    pub fn spectrum(
        &mut self,
        trace: &Trace,
        settings: &Settings,
    ) -> Result<Spectrum, NotAvailable> {
        let (points, rate) = self.processor.run(trace, settings.processing)?;
        spectrum_of(&mut self.welch, points, rate.hz()).cloned()
    }

    /// The path that the measures are made from: filtered, brought to 100 Hz and trimmed, or as
    /// recorded.
    ///
    /// # Errors
    /// The reason there is none, such as a record that is shorter than the trimmed part.
    pub fn processed(&mut self, trace: &Trace, settings: &Settings) -> Result<Trace, NotAvailable> {
        let (points, rate) = self.processor.run(trace, settings.processing)?;
        Ok(trace_of(points, rate, trace))
    }

    /// The estimated path of the body centre, sample by sample beside [`processed`](Self::processed).
    ///
    /// # Errors
    /// The reason there is none, such as a body height outside the range of people.
    pub fn body_centre(
        &mut self,
        trace: &Trace,
        settings: &Settings,
    ) -> Result<Trace, NotAvailable> {
        let pendulum = pendulum_rate_per_s2(assumed_height_m(settings))?;
        let (points, rate) = self.processor.run(trace, settings.processing)?;
        let body = self.body.run(points, rate.hz(), pendulum);
        Ok(trace_of(body, rate, trace))
    }

    /// The wobble of each 5 s window, in millimetres; windows start one second apart.
    ///
    /// # Errors
    /// The reason there is none. A record shorter than a window has no windows: that is not an
    /// error but an empty list.
    pub fn wobble_windows_mm(
        &mut self,
        trace: &Trace,
        settings: &Settings,
    ) -> Result<Vec<f64>, NotAvailable> {
        let pendulum = pendulum_rate_per_s2(assumed_height_m(settings))?;
        let (points, rate) = self.processor.run(trace, settings.processing)?;
        let body = self.body.run(points, rate.hz(), pendulum);
        Ok(self.wobble.windows_mm(body, rate.hz()).to_vec())
    }
}

/// Every measure of a trace; see [`Analyser`] for many of them.
pub fn measure(trace: &Trace, settings: &Settings) -> Measures {
    Analyser::new().measure(trace, settings)
}

/// The path that the measures are made from; see [`Analyser::processed`].
///
/// # Errors
/// The reason there is none.
pub fn processed(trace: &Trace, settings: &Settings) -> Result<Trace, NotAvailable> {
    Analyser::new().processed(trace, settings)
}

/// The estimated path of the body centre; see [`Analyser::body_centre`].
///
/// # Errors
/// The reason there is none.
pub fn body_centre(trace: &Trace, settings: &Settings) -> Result<Trace, NotAvailable> {
    Analyser::new().body_centre(trace, settings)
}

/// The power spectral density; see [`Analyser::spectrum`].
///
/// # Errors
/// The reason there is none.
pub fn spectrum(trace: &Trace, settings: &Settings) -> Result<Spectrum, NotAvailable> {
    Analyser::new().spectrum(trace, settings)
}

fn assumed_height_m(settings: &Settings) -> f64 {
    settings.body_height_m.unwrap_or(Settings::ASSUMED_BODY_HEIGHT_M)
}

fn at_least_one(n_samples: usize) -> Result<(), NotAvailable> {
    if n_samples == 0 { Err(NotAvailable::TooFewSamples { n_samples, needed: 1 }) } else { Ok(()) }
}

fn spectrum_of<'a>(
    welch: &'a mut Welch,
    points: &[Point],
    rate_hz: f64,
) -> Result<&'a Spectrum, NotAvailable> {
    /// Fewer samples give no segment of two.
    const NEEDED: usize = 4;
    if points.len() < NEEDED {
        return Err(NotAvailable::TooFewSamples { n_samples: points.len(), needed: NEEDED });
    }
    Ok(welch.run(points, rate_hz))
}

fn trace_of(points: &[Point], rate: SampleRate, like: &Trace) -> Trace {
    let points = points.iter().map(|&point| cop_from_point(point)).collect();
    Trace::from_finite(rate, like.plane(), points)
}

/// Measures of a record that cannot be processed: the one reason in every place.
fn unavailable(trace: &Trace, settings: &Settings, reason: NotAvailable) -> Measures {
    Measures {
        settings: *settings,
        plane: trace.plane(),
        rate: trace.rate(),
        n_samples: 0,
        body_height_assumed: settings.body_height_m.is_none(),
        duration_s: 0.0,
        mean_cop: Err(reason),
        displacement: Err(reason),
        ellipse: Err(reason),
        frequency: Err::<FrequencyContent, _>(reason),
        body: Err(reason),
        wobble: Err(reason),
    }
}
