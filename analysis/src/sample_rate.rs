//! Sample rate as a checked value.

use thiserror::Error;

/// Samples per second: finite and above zero by construction.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SampleRate(f64);

impl SampleRate {
    /// The rate at which `standard` measures are computed, in hertz; path length depends on it.
    pub const STANDARD: Self = Self(100.0);

    /// A rate from hertz.
    ///
    /// # Errors
    /// [`BadSampleRate`] unless `hz` is finite and above zero.
    pub fn from_hz(hz: f64) -> Result<Self, BadSampleRate> {
        if hz.is_finite() && 0.0 < hz { Ok(Self(hz)) } else { Err(BadSampleRate { hz }) }
    }

    /// Hertz.
    pub const fn hz(self) -> f64 {
        self.0
    }

    /// Whether the rate is within 100 ppm of [`STANDARD`](Self::STANDARD): a crystal's error, too
    /// small to be worth interpolating for. Such a rate is taken for the standard one.
    pub fn counts_as_standard(self) -> bool {
        (self.0 / Self::STANDARD.0 - 1.0).abs() <= 100e-6
    }

    /// Samples in a second, rounded.
    pub(crate) fn samples_in_a_second(self) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "above zero; a rate beyond usize saturates"
        )]
        let samples = self.0.round() as usize;
        samples
    }

    /// Time from one sample to the next, in seconds.
    pub fn interval_s(self) -> f64 {
        1.0 / self.0
    }
}

/// A number that cannot be a sample rate.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("a sample rate must be a finite number above 0 Hz, not {hz}")]
pub struct BadSampleRate {
    /// The number that was offered, in hertz.
    pub hz: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_finite_rates_above_zero_exist() {
        for hz in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(SampleRate::from_hz(hz).is_err(), "{hz}");
        }
        assert!((SampleRate::from_hz(250.0).unwrap().interval_s() - 0.004).abs() < 1e-15);
    }

    #[test]
    fn the_error_names_the_number() {
        let message = SampleRate::from_hz(-3.5).unwrap_err().to_string();
        assert_eq!(message, "a sample rate must be a finite number above 0 Hz, not -3.5");
    }
}
