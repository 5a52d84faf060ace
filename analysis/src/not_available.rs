//! Why a value does not exist.

use thiserror::Error;

/// A value, or the one reason why there is none. A value is always a finite number.
pub type Reading = Result<f64, NotAvailable>;

/// Why a measure has no value: never a made-up number, never "not a number".
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NotAvailable {
    /// The definition needs more samples.
    #[error("{n_samples} samples are too few, at least {needed} are needed")]
    TooFewSamples {
        /// How many there are.
        n_samples: usize,
        /// How many the definition needs.
        needed: usize,
    },
    /// The definition needs a longer record.
    #[error("{duration_s:.2} s is too short, more than {needed_s:.2} s are needed")]
    TooShort {
        /// How long the record is, in seconds.
        duration_s: f64,
        /// How long it would have to be, in seconds.
        needed_s: f64,
    },
    /// The record holds too little of the frequency band.
    #[error("{rate_hz} samples a second are too few, at least {needed_hz} are needed")]
    RateTooLow {
        /// Samples per second.
        rate_hz: f64,
        /// Samples per second that would do.
        needed_hz: f64,
    },
    /// Faster than any force plate, and more than the filter is made for.
    #[error("{rate_hz} samples a second are too many, at most {limit_hz} are allowed")]
    RateTooHigh {
        /// Samples per second.
        rate_hz: f64,
        /// The most that are allowed.
        limit_hz: f64,
    },
    /// A point so far away that nobody can be standing there.
    #[error("a point {distance_mm:.0} mm away cannot be on a board, the limit is {limit_mm:.0} mm")]
    OffTheBoard {
        /// The largest coordinate, in millimetres.
        distance_mm: f64,
        /// The largest coordinate that is allowed, in millimetres.
        limit_mm: f64,
    },
    /// The height given is not a person's.
    #[error("a body height of {height_m} m is outside {lowest_m} to {highest_m} m")]
    BodyHeightOutOfRange {
        /// The height offered, in metres.
        height_m: f64,
        /// Lowest height allowed, in metres.
        lowest_m: f64,
        /// Greatest height allowed, in metres.
        highest_m: f64,
    },
    /// Every sample is the same, so there is nothing to divide by.
    #[error("the centre of pressure does not move")]
    NoMovement,
    /// The sway is the same in every direction, so that none is the main one.
    #[error("the sway has no main direction")]
    NoDirection,
    /// There is no power in the frequency band.
    #[error("there is no movement between {low_hz} and {high_hz} Hz")]
    NoPower {
        /// Lower edge of the band in hertz.
        low_hz: f64,
        /// Upper edge of the band in hertz.
        high_hz: f64,
    },
    /// No pattern of the series comes twice.
    #[error("no pattern of the sway comes twice")]
    NoRepeats,
    /// The short-term and the long-term line do not cross after the start.
    #[error("the short-term and the long-term line do not cross")]
    NoCrossing,
    /// There is no reference of the same session at the same condition.
    #[error("there is no neutral reference of this session at this condition")]
    NoReference,
    /// The times do not grow from sample to sample.
    #[error("the time of sample {index} is not later than the one before")]
    TimeNotIncreasing {
        /// Position of the sample, from 0.
        index: usize,
    },
    /// The times do not fit an even grid.
    #[error("the samples are unevenly spaced: one is {deviation_ms:.2} ms off its place")]
    UnevenTimes {
        /// Largest distance from the even grid, in milliseconds.
        deviation_ms: f64,
    },
    /// No sample of the record has a centre of pressure.
    #[error("no sample carries a load")]
    NoLoad,
    /// A stretch without samples is too long.
    #[error("{gap_ms:.0} ms are missing in one stretch, the limit is {limit_ms:.0} ms")]
    GapTooLong {
        /// The longest stretch without a sample, in milliseconds.
        gap_ms: f64,
        /// The longest that is accepted, in milliseconds.
        limit_ms: f64,
    },
    /// Too many samples are missing in all.
    #[error("{lost_percent:.2} % of the samples are missing, the limit is {limit_percent} %")]
    TooManyLost {
        /// Share of samples missing, in per cent.
        lost_percent: f64,
        /// The share that is accepted, in per cent.
        limit_percent: f64,
    },
}
