//! The samples of a trial file: found with the HDF5 library, unpacked without it.

use analysis::Cop;
use hdf5::{Group, H5Type};

use super::chunks::{Chunks, Stored};
use super::layout::{MAX_SAMPLES, dataset, group};
use super::read::{ReadTrialError, find_dataset, find_group};
use crate::stored_trial::{RawSamples, Samples};

/// Where a trial's samples lie in its file.
pub(super) struct SamplePlaces {
    time: Chunks<u64, 1>,
    sequence: Chunks<u64, 1>,
    raw: Option<(Chunks<i32, 4>, Chunks<u16, 1>)>,
    forces: Option<Chunks<f64, 4>>,
    cop: Chunks<f64, 2>,
}

impl SamplePlaces {
    /// Those under the root of a trial file.
    pub(super) fn of(root: &Group) -> Result<Self, ReadTrialError> {
        let raw = find_group(root, group::RAW)?;
        Ok(Self {
            time: chunks(&raw, dataset::TIME)?,
            sequence: chunks(&raw, dataset::SEQUENCE)?,
            raw: if raw.link_exists(dataset::COUNTS) {
                Some((chunks(&raw, dataset::COUNTS)?, chunks(&raw, dataset::STATUS)?))
            } else {
                None
            },
            forces: if root.link_exists(dataset::FORCE) {
                Some(chunks(root, dataset::FORCE)?)
            } else {
                None
            },
            cop: chunks(root, dataset::COP)?,
        })
    }

    /// The samples, out of the bytes of the whole file.
    pub(super) fn samples(&self, file: &[u8]) -> Result<Samples, ReadTrialError> {
        let raw = self.raw.as_ref().map(|(counts, status)| {
            Ok::<_, ReadTrialError>(RawSamples {
                counts: counts.rows(file)?,
                status: status.rows(file)?.into_flattened(),
            })
        });
        Ok(Samples {
            time_us: self.time.rows(file)?.into_flattened(),
            sequence: self.sequence.rows(file)?.into_flattened(),
            raw: raw.transpose()?,
            forces_newtons: self.forces.as_ref().map(|forces| forces.rows(file)).transpose()?,
            cop: self.cop.rows(file)?.into_iter().map(cop_or_undefined).collect(),
        })
    }
}

fn chunks<T: Stored + H5Type, const M: usize>(
    place: &Group,
    name: &'static str,
) -> Result<Chunks<T, M>, ReadTrialError> {
    Chunks::of(&find_dataset(place, name)?, name, MAX_SAMPLES)
}

/// Undefined only if both coordinates are marked so; one alone is left for the check to refuse.
fn cop_or_undefined([ml_mm, ap_mm]: [f64; 2]) -> Option<Cop> {
    (!ml_mm.is_nan() || !ap_mm.is_nan()).then_some(Cop { ml_mm, ap_mm })
}
