//! Sway measures of quiet standing, as values from values.
//!
//! This crate knows the vocabulary (trial, condition, centre of pressure), the definitions of every
//! measure and what may be compared with what. It knows nothing of files, clocks, threads, serial
//! ports or screens: slices and values go in, values come out, so it can be read, tested and built
//! for any target alone. The definitions are told in full in `analysis/docs/`.

mod analyser;
mod board_noise;
mod body_centre;
mod compare;
mod condition;
mod cop;
mod displacement;
mod ellipse;
mod even_trace;
mod extent;
mod frequency;
mod hull;
mod keyed;
mod low_pass;
mod measure_table;
mod measures;
mod not_available;
mod percentile;
mod plane;
mod plans;
mod point;
mod processing;
mod quality;
pub mod readiness;
mod reference_people;
mod resample;
mod sample_rate;
mod settings;
mod spectrum;
mod structure;
mod trace;
mod trial;
mod wobble;

pub use analyser::{Analyser, body_centre, measure, processed, spectrum};
pub use board_noise::{
    CorrectedPath, LARGEST_NOISE_SHARE, NoiseError, NoiseFloor, NoiseShare, TooNoisy, noise_share,
};
pub use body_centre::BodySway;
pub use compare::{
    Comparison, DetectableChange, Interval, IntervalBasis, MeasuredTrial, NotComparable,
    Repeatability, Scale, Side, check_comparable, compare, repeatability, surface_quotient,
    vision_quotient,
};
pub use condition::{Band, Condition, Stance, Support, Surface, Vision};
pub use cop::{Cop, Plane};
pub use displacement::Displacement;
pub use ellipse::SwayEllipse;
pub use even_trace::{
    Continuity, EvenTrace, LONGEST_BRIDGED_GAP_MS, LONGEST_GAP_MS, MOST_LOST_SHARE, TimedCop,
    even_trace,
};
pub use frequency::{AxisFrequencies, FrequencyContent};
pub use keyed::UnknownKey;
pub use measure_table::{Group, MEASURES, MeasureDef, Unit};
pub use measures::Measures;
pub use not_available::{NotAvailable, Reading};
pub use plane::{SolePathError, sole_from_plate};
pub use quality::{
    FootShift, LoadChange, LoadedCop, Quality, QualityFlag, RecordFacts, foot_shifts, load_changes,
    standing_still_s, step_off_s, step_on_s,
};
pub use reference_people::{
    AgeBand, REFERENCE_SHARES, ReferenceGroup, ReferencePlace, reference_group,
};
pub use sample_rate::{BadSampleRate, SampleRate};
pub use settings::{Processing, Settings};
pub use spectrum::Spectrum;
pub use structure::{
    AxisStructure, Diffusion, STRUCTURE_MEASURES, Structure, StructureDef, structure,
};
pub use trace::Trace;
pub use trial::{BadPersonCode, Facing, PersonCode, Setup, Trial, TrialKind};
pub use wobble::{WOBBLE_WINDOW_MM, Wobble};
