//! How a note sounds, apart from its pitch.

use std::f64::consts::{PI, TAU};

/// Rise of a note from silence, in seconds: short enough to be crisp, long enough not to click
/// (our own choice).
const RISE_S: f64 = 0.008;

/// Fall of a sustained note into silence, in seconds (our own choice).
const FALL_S: f64 = 0.025;

/// Partials at or above this share of the sample rate are left out: beyond half of it they would
/// fold back into wrong pitches.
const HIGHEST_SHARE: f64 = 0.45;

/// A colour of sound.
///
/// They differ in partials and in how they die away, so that two cues of one pitch still differ to
/// an ear that hears little above 2 kHz: each has its strongest partials below that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Timbre {
    /// Struck and ringing out.
    Bell,
    /// Nearly a pure tone, sustained.
    Flute,
    /// Hollow: odd partials, sustained.
    Reed,
    /// Rough: many partials, sustained.
    Buzz,
    /// A knock on wood.
    Knock,
}

impl Timbre {
    /// Weight of each partial, the fundamental first.
    const fn partials(self) -> &'static [f64] {
        match self {
            Self::Bell => &[1.0, 0.5, 0.25, 0.1],
            Self::Flute => &[1.0, 0.08],
            Self::Reed => &[1.0, 0.0, 0.6, 0.0, 0.3],
            Self::Buzz => &[0.8, 0.9, 0.8, 0.6, 0.5, 0.4],
            Self::Knock => &[1.0, 0.3, 0.0, 0.4],
        }
    }

    const fn rings_out(self) -> bool {
        matches!(self, Self::Bell | Self::Knock)
    }

    /// Loudness over the note, 0 at both ends and at most 1; `at_s` from its beginning.
    pub(super) fn envelope(self, at_s: f64, lasts_s: f64) -> f64 {
        let rise = ramp(at_s / RISE_S.min(lasts_s / 4.0));
        let left_s = lasts_s - at_s;
        if self.rings_out() {
            let left = (left_s / lasts_s).clamp(0.0, 1.0);
            rise * left * left
        } else {
            rise * ramp(left_s / FALL_S.min(lasts_s / 4.0))
        }
    }

    /// The wave at `turns` of the fundamental, between -1 and 1.
    pub(super) fn wave(self, turns: f64, highest_hz: f64, rate_hz: f64) -> f64 {
        let (mut sum, mut weights) = (0.0, 0.0);
        for (i, weight) in self.partials().iter().enumerate() {
            let multiple = (i + 1) as f64;
            weights += weight;
            if multiple * highest_hz < HIGHEST_SHARE * rate_hz {
                sum += weight * (TAU * multiple * turns).sin();
            }
        }
        sum / weights
    }
}

/// From 0 at 0 to 1 at 1 along half a cosine, so that the slope is 0 at both ends.
pub(super) fn ramp(share: f64) -> f64 {
    (1.0 - (PI * share.clamp(0.0, 1.0)).cos()) / 2.0
}
