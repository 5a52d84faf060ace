//! Sway measures of quiet standing, as values from values.
//!
//! This crate knows the vocabulary (trial, condition, centre of pressure), the definitions of every
//! measure and what may be compared with what. It knows nothing of files, clocks, threads, serial
//! ports or screens: slices and values go in, values come out, so it can be read, tested and built
//! for any target alone. The definitions are told in full in `analysis/docs/`.
//!
//! ```
//! use analysis::{Cop, MEASURES, Plane, SampleRate, Settings, Trace, measure};
//!
//! // A minute on a slow circle of 10 mm.
//! let place = |i: i32| (0.01 * f64::from(i)).sin_cos();
//! let points = (0..6000).map(place).map(|(sin, cos)| Cop::new(10.0 * cos, 10.0 * sin)).collect();
//! let trace = Trace::new(SampleRate::STANDARD, Plane::Plate, points).expect("finite points");
//!
//! let measures = measure(&trace, &Settings::standard(Some(1.70)));
//! let velocity = measures.displacement.expect("long enough").mean_velocity_mm_per_s;
//! assert!((velocity - 10.0).abs() < 0.01);
//! for measure in MEASURES {
//!     match (measure.value)(&measures) {
//!         Ok(value) => println!("{} {value} {}", measure.key, measure.unit),
//!         Err(reason) => println!("{} is not available: {reason}", measure.key),
//!     }
//! }
//! ```

// The words.
mod condition;
mod cop;
mod keyed;
mod sample_rate;
mod trace;
mod trial;

// What is asked, and the answer that there is none.
mod not_available;
mod settings;

// From a recording to an even, filtered path.
mod even_trace;
mod low_pass;
mod point;
mod processing;
mod resample;

// The measures.
mod body_centre;
mod displacement;
mod ellipse;
mod extent;
mod frequency;
mod hull;
mod percentile;
mod plans;
mod spectrum;
mod wobble;

// All of them at once, and by name.
mod analyser;
mod measure_table;
mod measures;

// How far they may be believed, and what they may stand beside.
mod board_noise;
mod compare;
mod neutral;
mod plane;
mod quality;
mod reference_people;
mod structure;

// What follows for the next session.
pub mod readiness;

pub use analyser::{Analyser, body_centre, measure, processed, spectrum};
pub use board_noise::{
    CorrectedPath, LARGEST_NOISE_SHARE, NoiseError, NoiseFloor, NoiseShare, TooNoisy, noise_share,
};
pub use body_centre::BodySway;
pub use compare::{
    Comparison, DetectableChange, Interval, IntervalBasis, MeasuredTrial, NotComparable,
    Repeatability, Scale, Side, Summary, check_comparable, compare, repeatability, summarise,
    surface_quotient, vision_quotient,
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
pub use measure_table::{Group, MEASURES, MeasureDef, Unit, WOBBLE};
pub use measures::Measures;
pub use neutral::{MeanPosition, Pull};
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
pub use wobble::{MM_PER_INCH, WOBBLE_WINDOW_MM, Wobble};
