//! Where in frequency the sway lies.

use crate::not_available::NotAvailable;
use crate::point::STILL_MM;
use crate::spectrum::Spectrum;

/// Edges of the band in hertz (Prieto et al. 1996, IEEE Trans Biomed Eng 43:956).
pub(crate) const LOW_HZ: f64 = 0.15;
/// Upper edge of the band in hertz.
pub(crate) const HIGH_HZ: f64 = 5.0;
/// Bins that lie on an edge but for rounding belong to the band, in hertz.
const EDGE_TOLERANCE_HZ: f64 = 1e-9;

/// Frequency content of one axis between 0.15 and 5 Hz.
///
/// All moments are trapezoid integrals over the bins of the band.
///
/// # Source
/// Prieto et al. 1996, IEEE Trans Biomed Eng 43:956, for the set and the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisFrequencies {
    /// Power in the band, in square millimetres.
    pub power_mm2: f64,
    /// First moment over power, in hertz.
    pub mean_frequency_hz: f64,
    /// Frequency below which half of the band's power lies, in hertz.
    pub median_frequency_hz: f64,
    /// Frequency below which 95 % of the band's power lies, in hertz.
    pub f95_hz: f64,
    /// Root of the second moment over power, in hertz.
    pub centroidal_frequency_hz: f64,
    /// Spread of the spectrum: 0 for a pure tone, towards 1 for a wide one.
    pub frequency_dispersion: f64,
}

/// Frequency content of both axes and of the resultant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrequencyContent {
    /// Medio-lateral.
    pub ml: Result<AxisFrequencies, NotAvailable>,
    /// Antero-posterior.
    pub ap: Result<AxisFrequencies, NotAvailable>,
    /// Mean frequency of both axes, each weighted by its power in the band, in hertz.
    pub mean_frequency_hz: Result<f64, NotAvailable>,
    /// Mean frequency over all bins, 0 Hz included, each axis weighted by the plain sum of its
    /// bins, in hertz: the form published by Santos & Duarte 2016, `PeerJ` 4:e2648.
    pub mean_frequency_full_band_hz: Result<f64, NotAvailable>,
}

/// Frequency content of a spectrum.
pub(crate) fn frequency_content(spectrum: &Spectrum) -> Result<FrequencyContent, NotAvailable> {
    let highest_hz = spectrum.frequency_hz.last().copied().unwrap_or_default();
    if highest_hz < HIGH_HZ {
        return Err(NotAvailable::RateTooLow {
            rate_hz: 2.0 * highest_hz,
            needed_hz: 2.0 * HIGH_HZ,
        });
    }
    let from = spectrum.frequency_hz.partition_point(|&f| f < LOW_HZ - EDGE_TOLERANCE_HZ);
    let to = spectrum.frequency_hz.partition_point(|&f| f <= HIGH_HZ + EDGE_TOLERANCE_HZ);
    let frequency_hz = &spectrum.frequency_hz[from..to];
    let ml = axis_frequencies(frequency_hz, &spectrum.ml_mm2_per_hz[from..to]);
    let ap = axis_frequencies(frequency_hz, &spectrum.ap_mm2_per_hz[from..to]);
    Ok(FrequencyContent {
        ml,
        ap,
        mean_frequency_hz: weighted_mean(
            [ml, ap]
                .into_iter()
                .flatten()
                .map(|axis| Weighted { value: axis.mean_frequency_hz, weight: axis.power_mm2 }),
        ),
        mean_frequency_full_band_hz: weighted_mean(
            [&spectrum.ml_mm2_per_hz, &spectrum.ap_mm2_per_hz]
                .into_iter()
                .filter_map(|density| full_band(&spectrum.frequency_hz, density)),
        ),
    })
}

struct Weighted {
    value: f64,
    weight: f64,
}

fn weighted_mean(parts: impl Iterator<Item = Weighted>) -> Result<f64, NotAvailable> {
    let (sum, weight) =
        parts.fold((0.0, 0.0), |(s, w), part| (s + part.value * part.weight, w + part.weight));
    if 0.0 < weight { Ok(sum / weight) } else { Err(NO_POWER) }
}

const NO_POWER: NotAvailable = NotAvailable::NoPower { low_hz: LOW_HZ, high_hz: HIGH_HZ };

fn axis_frequencies(
    frequency_hz: &[f64],
    density: &[f64],
) -> Result<AxisFrequencies, NotAvailable> {
    let mut moments = [0.0; 3];
    for (f, p) in frequency_hz.windows(2).zip(density.windows(2)) {
        let half_step = 0.5 * (f[1] - f[0]);
        let (m0, m1) = ([p[0], p[1]], [f[0] * p[0], f[1] * p[1]]);
        moments[0] += half_step * (m0[0] + m0[1]);
        moments[1] += half_step * (m1[0] + m1[1]);
        moments[2] += half_step * (f[0] * m1[0] + f[1] * m1[1]);
    }
    let [power, first, second] = moments;
    // The axes share a transform, so that rounding of one leaves a trace on a still other.
    if power <= STILL_MM * STILL_MM {
        return Err(NO_POWER);
    }
    Ok(AxisFrequencies {
        power_mm2: power,
        mean_frequency_hz: first / power,
        median_frequency_hz: frequency_below(frequency_hz, density, 0.5 * power),
        f95_hz: frequency_below(frequency_hz, density, 0.95 * power),
        centroidal_frequency_hz: (second / power).sqrt(),
        frequency_dispersion: (1.0 - first * first / (power * second)).max(0.0).sqrt(),
    })
}

/// Frequency at which the running trapezoid integral reaches `power`, linear between bins.
fn frequency_below(frequency_hz: &[f64], density: &[f64], power: f64) -> f64 {
    let mut below = 0.0;
    for (f, p) in frequency_hz.windows(2).zip(density.windows(2)) {
        let step = f[1] - f[0];
        let here = 0.5 * step * (p[0] + p[1]);
        if power <= below + here {
            return f[0] + if 0.0 < here { step * ((power - below) / here).min(1.0) } else { 0.0 };
        }
        below += here;
    }
    frequency_hz.last().copied().unwrap_or_default()
}

fn full_band(frequency_hz: &[f64], density: &[f64]) -> Option<Weighted> {
    let (mut power, mut first) = (0.0, 0.0);
    for (f, p) in frequency_hz.windows(2).zip(density.windows(2)) {
        let half_step = 0.5 * (f[1] - f[0]);
        power += half_step * (p[0] + p[1]);
        first += half_step * (f[0] * p[0] + f[1] * p[1]);
    }
    (STILL_MM * STILL_MM < power)
        .then(|| Weighted { value: first / power, weight: density.iter().sum() })
}
