//! Sway measures of quiet standing, as values from values.
//!
//! This crate knows the vocabulary (trial, condition, centre of pressure), the definitions of every
//! measure and what may be compared with what. It knows nothing of files, clocks, threads, serial
//! ports or screens: slices and values go in, values come out, so it can be read, tested and built
//! for any target alone. The definitions are told in full in `analysis/docs/`.

mod condition;
mod cop;
mod keyed;
mod sample_rate;
mod trace;
mod trial;

pub use condition::{Band, Condition, Stance, Support, Surface, Vision};
pub use cop::{Cop, Plane};
pub use keyed::UnknownKey;
pub use sample_rate::{BadSampleRate, SampleRate};
pub use trace::Trace;
pub use trial::{BadPersonCode, Facing, PersonCode, Setup, Trial, TrialKind};
