//! Force platforms in C3D files, the open standard of biomechanics, into a trial.
//!
//! Read by a reader of our own: what is needed is small, every size in such a file is the writer's
//! claim, and each is checked against the bytes that are there.

mod analog;
mod axes;
mod bytes;
mod parameters;
mod platform;
#[cfg(test)]
mod tests;

use std::fs::File;
use std::io::{self, Read as _};
use std::path::Path;

use analysis::SampleRate;
use sha2::{Digest as _, Sha256};
use thiserror::Error;

use super::text_lines::MAX_TEXT_FILE_BYTES;
use crate::stored_trial::{ImportOrigin, Origin, Samples, StoredTrial, TrialFacts};
use crate::trial_file::Digest;
use analog::{Analog, BLOCK_BYTES};
use axes::RoomAxes;
pub use axes::{RoomAxis, UnknownAxis};
use parameters::Parameters;
use platform::Platform;

/// Why a C3D file was not imported.
#[derive(Debug, Error)]
pub enum C3dError {
    /// There is none.
    #[error("there is no such file")]
    Missing,
    /// The system refuses.
    #[error("it cannot be read")]
    Unreadable(#[source] io::Error),
    /// More than is ever read.
    #[error("it is larger than the limit of {limit_bytes} bytes")]
    TooLarge {
        /// How many bytes it may have.
        limit_bytes: u64,
    },
    /// Not a C3D file.
    #[error("it is not a C3D file")]
    NotC3d,
    /// It contradicts itself or the format.
    #[error("it is damaged: {what}")]
    Damaged {
        /// In what way.
        what: &'static str,
    },
    /// Fewer frames than it says.
    #[error("it is cut short: {n_there} of {n_frames} frames are there")]
    CutShort {
        /// Frames it says it has.
        n_frames: usize,
        /// Frames it has.
        n_there: usize,
    },
    /// More samples than a trial can hold.
    #[error("it holds more than the limit of {limit} samples")]
    TooManySamples {
        /// How many there may be.
        limit: usize,
    },
    /// Too little to call it a record.
    #[error("it holds {n_samples} samples, at least 2 are needed")]
    TooFewSamples {
        /// How many there are.
        n_samples: usize,
    },
    /// No platform, or nothing measured by one.
    #[error("it holds no force platform")]
    NoForces,
    /// Another platform than there is.
    #[error("there is no force platform {number}; it has {n_platforms}")]
    NoPlatform {
        /// The number asked for.
        number: usize,
        /// How many there are.
        n_platforms: f64,
    },
    /// A platform of another type.
    #[error("force platform {number} is of type {type_number}; types 2, 3 and 4 are read")]
    UnknownType {
        /// The platform.
        number: usize,
        /// Its type.
        type_number: f64,
    },
    /// A platform that is not fully described.
    #[error("the {name} of force platform {number} cannot be used")]
    Parameter {
        /// The platform.
        number: usize,
        /// Which parameter.
        name: &'static str,
    },
    /// A channel that is not there.
    #[error("channel {channel} is not there")]
    Channel {
        /// Its number, from 1.
        channel: usize,
    },
    /// Lengths in a unit that is not known.
    #[error("its unit of length is {found:?}, not mm, cm or m")]
    LengthUnit {
        /// The unit, at most 20 characters of it.
        found: String,
    },
    /// A value that is no number.
    #[error("sample {sample} is not a finite number")]
    NotFinite {
        /// Its index, from 0.
        sample: usize,
    },
    /// A rate that is none.
    #[error("its rate of {hz} samples a second cannot be used")]
    Rate {
        /// The rate.
        hz: f64,
    },
}

/// Which platform, and how the person faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct C3dChoice {
    /// Number of the platform, from 1.
    pub platform: usize,
    /// Which way the person faces in the room's axes, seen from above with z up.
    pub forward: RoomAxis,
}

impl C3dChoice {
    /// As TOML text, which a trial file keeps.
    fn to_toml(self) -> String {
        format!("[c3d]\nplatform = {}\nforward = \"{}\"\n", self.platform, self.forward)
    }
}

/// Reads the centre of pressure of one force platform, from the middle of its surface.
///
/// With less vertical force than 50 N it is undefined. `facts` are taken over as they are.
///
/// # Errors
/// [`C3dError`]; nothing is ever repaired or left out.
pub fn read_c3d(
    path: &Path,
    choice: C3dChoice,
    facts: TrialFacts,
) -> Result<StoredTrial, C3dError> {
    let file = bounded(path)?;
    let samples = samples_of(&file, choice)?;
    let file_name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    let mut digest = Sha256::new();
    digest.update(&file);
    let origin = Origin::Imported(ImportOrigin {
        file_name: file_name.unwrap_or_default(),
        sha256: Digest::from(digest).to_string(),
        column_map: choice.to_toml(),
    });
    Ok(StoredTrial { facts, origin, samples })
}

fn bounded(path: &Path) -> Result<Vec<u8>, C3dError> {
    let file = File::open(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => C3dError::Missing,
        _ => C3dError::Unreadable(source),
    })?;
    if !file.metadata().map_err(C3dError::Unreadable)?.is_file() {
        return Err(C3dError::NotC3d);
    }
    let mut bytes = Vec::new();
    file.take(MAX_TEXT_FILE_BYTES + 1).read_to_end(&mut bytes).map_err(C3dError::Unreadable)?;
    if MAX_TEXT_FILE_BYTES < bytes.len() as u64 {
        return Err(C3dError::TooLarge { limit_bytes: MAX_TEXT_FILE_BYTES });
    }
    Ok(bytes)
}

/// The samples in the bytes of a file.
pub(super) fn samples_of(file: &[u8], choice: C3dChoice) -> Result<Samples, C3dError> {
    // The second byte is 80 in every C3D file; the first counts blocks to the parameters.
    let &[first_block, 0x50, ..] = file else { return Err(C3dError::NotC3d) };
    let start = usize::from(first_block).checked_sub(1).ok_or(C3dError::NotC3d)? * BLOCK_BYTES;
    let section = file.get(start..).ok_or(C3dError::NotC3d)?;
    let parameters = Parameters::read(section)?;
    let analog = Analog::of(file, &parameters)?;
    let platform = Platform::of(&parameters, &analog, choice.platform)?;
    let rate = SampleRate::from_hz(analog.rate_hz)
        .ok()
        .filter(|rate| (0.1..=100_000.0).contains(&rate.hz()))
        .ok_or(C3dError::Rate { hz: analog.rate_hz })?;
    let n_samples = analog.n_samples();
    if n_samples < 2 {
        return Err(C3dError::TooFewSamples { n_samples });
    }
    let axes = RoomAxes::facing(choice.forward);
    let mut samples = Samples::default();
    for index in 0..n_samples {
        samples.time_us.push(super::delimited::nth_time_us(index, rate.hz()));
        samples.sequence.push(index as u64);
        samples.cop.push(platform.cop(&analog, index, &axes)?);
    }
    Ok(samples)
}
