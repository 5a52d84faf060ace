//! A trial out of an HDF5 file whose bytes are known to be whole, but not known to be ours.

use std::path::Path;

use analysis::{BadPersonCode, Condition, Setup, UnknownKey};
use hdf5::filters::Filter;
use hdf5::{Dataset, File, FileBuilder, Group, H5Type, LinkType, Location};
use thiserror::Error;

use super::attributes::Attributes;
use super::consistency::{self, Inconsistent};
use super::layout::{FORMAT, FORMAT_VERSION, MAX_COLUMN_MAP_BYTES, dataset, group};
use super::samples::SamplePlaces;
use crate::calibration::{Calibration, CornerPosition};
use crate::stored_trial::{
    BoardOrigin, ImportOrigin, LinkCounts, Origin, Recomputed, StoredTrial, TrialFacts,
};
use crate::wall_time::{BadWallTime, WallTime};
use crate::zero::Zero;

/// Why whole content is no trial this program can use.
#[derive(Debug, Error)]
pub enum ReadTrialError {
    /// Written by a later program.
    #[error("it is of format version {version}, this program reads up to {known}")]
    Newer {
        /// The version of the file.
        version: u32,
        /// The highest version that can be read.
        known: u32,
    },
    /// HDF5 of another kind.
    #[error("its content is not that of a trial file")]
    OtherContent,
    /// The library cannot read a part.
    #[error("its part {what:?} cannot be read")]
    Library {
        /// Which part.
        what: &'static str,
        /// What the library said.
        source: hdf5::Error,
    },
    /// A part of another type, shape or storage than the layout says.
    #[error("its part {what:?} is not {expected}")]
    Form {
        /// Which part.
        what: &'static str,
        /// What it should be.
        expected: String,
    },
    /// A word that means nothing here.
    #[error(transparent)]
    UnknownWord(#[from] UnknownKey),
    /// A person's code that is none.
    #[error(transparent)]
    Person(#[from] BadPersonCode),
    /// A start that is no time.
    #[error(transparent)]
    Started(#[from] BadWallTime),
    /// The parts contradict each other.
    #[error("it contradicts itself")]
    Inconsistent(#[from] Inconsistent),
    /// One of these, as the process that read the file put it.
    #[error("{what}")]
    Told {
        /// What it said.
        what: String,
    },
}

/// The whole trial in the file at `path`, whose bytes are `file`.
pub(super) fn trial(path: &Path, file: &[u8]) -> Result<StoredTrial, ReadTrialError> {
    let (facts, origin, places) = hdf5::sync::sync(|| {
        let root = open_root(path)?;
        Ok::<_, ReadTrialError>((read_facts(&root)?, read_origin(&root)?, SamplePlaces::of(&root)?))
    })?;
    let trial = StoredTrial { facts, origin, samples: places.samples(file)? };
    consistency::check(&trial)?;
    Ok(trial)
}

/// The facts and the number of samples of the trial in the file at `path`.
pub(super) fn outline(path: &Path) -> Result<(TrialFacts, usize), ReadTrialError> {
    let (facts, shape) = hdf5::sync::sync(|| {
        let root = open_root(path)?;
        let time = find_dataset(&find_group(&root, group::RAW)?, dataset::TIME)?;
        Ok::<_, ReadTrialError>((read_facts(&root)?, time.shape()))
    })?;
    consistency::check_facts(&facts)?;
    match shape[..] {
        [n_samples] => Ok((facts, n_samples)),
        _ => Err(form(dataset::TIME, "a list")),
    }
}

fn open_root(path: &Path) -> Result<File, ReadTrialError> {
    // In memory: the library would otherwise read it in some thirty small pieces.
    let root = FileBuilder::new()
        .with_fapl(|access| access.core_filebacked(false))
        .open(path)
        .map_err(|source| ReadTrialError::Library { what: "the file", source })?;
    let about = Attributes::of(&root)?;
    if about.text("format")?.as_deref() != Some(FORMAT) {
        return Err(ReadTrialError::OtherContent);
    }
    let version: u32 = about.required("format_version")?;
    if FORMAT_VERSION < version {
        return Err(ReadTrialError::Newer { version, known: FORMAT_VERSION });
    }
    Ok(root)
}

fn read_facts(root: &Location) -> Result<TrialFacts, ReadTrialError> {
    let about = Attributes::of(root)?;
    Ok(TrialFacts {
        id: about.required_text("id")?,
        person: about.required_text("person")?.parse()?,
        session: about.text("session")?,
        plan: about.text("plan")?,
        condition: Condition {
            surface: about.word("surface")?,
            stance: about.word("stance")?,
            vision: about.word("vision")?,
            support: about.word("support")?,
            band: about.word("band")?,
        },
        kind: about.word("kind")?,
        setup: Setup {
            board: about.required_text("board")?,
            sole_height_mm: about.scalar("sole_height_mm")?,
            facing: about.word("facing")?,
        },
        body_height_m: about.scalar("body_height_m")?,
        body_mass_kg: about.scalar("body_mass_kg")?,
        started: WallTime::new(
            about.required("started_unix_us")?,
            about.required("started_offset_s")?,
        )?,
        settled_s: about.required("settled_s")?,
        asked_s: about.required("asked_s")?,
        program: about.required_text("program")?,
    })
}

fn read_origin(root: &Group) -> Result<Origin, ReadTrialError> {
    if root.link_exists(group::BOARD) {
        read_board(root).map(|board| Origin::Board(Box::new(board)))
    } else {
        read_import(root).map(Origin::Imported)
    }
}

fn read_board(root: &Group) -> Result<BoardOrigin, ReadTrialError> {
    let place = find_group(root, group::BOARD)?;
    let about = Attributes::of(&place)?;
    let zero_after = if root.link_exists(group::ZERO_AFTER) {
        Some(read_zero(&find_group(root, group::ZERO_AFTER)?)?)
    } else {
        None
    };
    let recomputed = if root.link_exists(group::ORIGINAL) {
        let original = find_group(root, group::ORIGINAL)?;
        let about = Attributes::of(&original)?;
        Some(Recomputed {
            original_id: about.required_text("id")?,
            original_digest: about.required_text("digest")?,
        })
    } else {
        None
    };
    Ok(BoardOrigin {
        board_id: about.required_text("board_id")?,
        firmware: about.required_text("firmware")?,
        frames_per_s: about.required("frames_per_s")?,
        temperature_c: about.scalar("temperature_c")?,
        calibration: read_calibration(&find_group(root, group::CALIBRATION)?)?,
        zero: read_zero(&find_group(root, group::ZERO)?)?,
        zero_after,
        link: LinkCounts {
            lost_frames: about.required("lost_frames")?,
            damaged_frames: about.required("damaged_frames")?,
            repeated_frames: about.required("repeated_frames")?,
        },
        ended: about.word("ended")?,
        recomputed,
    })
}

fn read_zero(place: &Group) -> Result<Zero, ReadTrialError> {
    Ok(Zero {
        counts: small(place, dataset::COUNTS)?,
        board_time_us: Attributes::of(place)?.required("board_time_us")?,
    })
}

fn read_calibration(place: &Group) -> Result<Calibration, ReadTrialError> {
    let about = Attributes::of(place)?;
    let corners: [[f64; 2]; 4] = small_table(place, dataset::POSITIONS)?;
    let covariance = if place.link_exists(dataset::COVARIANCE) {
        Some(Box::new(small_table(place, dataset::COVARIANCE)?))
    } else {
        None
    };
    Ok(Calibration {
        id: about.required_text("id")?,
        version: about.required("version")?,
        made_at_unix_us: about.required("made_at_unix_us")?,
        board_id: about.required_text("board_id")?,
        kind: about.word("kind")?,
        newtons_per_count: small(place, dataset::GAINS)?,
        corners: corners.map(|[ml_mm, ap_mm]| CornerPosition { ml_mm, ap_mm }),
        covariance,
    })
}

fn read_import(root: &Group) -> Result<ImportOrigin, ReadTrialError> {
    let place = find_group(root, group::IMPORT)?;
    let about = Attributes::of(&place)?;
    let map = find_dataset(&place, dataset::COLUMN_MAP)?;
    let bytes = list::<u8>(&map, dataset::COLUMN_MAP, MAX_COLUMN_MAP_BYTES)?;
    Ok(ImportOrigin {
        file_name: about.required_text("file_name")?,
        sha256: about.required_text("sha256")?,
        column_map: String::from_utf8(bytes)
            .ok()
            .ok_or_else(|| form(dataset::COLUMN_MAP, "UTF-8 text"))?,
    })
}

fn small<const N: usize>(place: &Group, name: &'static str) -> Result<[f64; N], ReadTrialError> {
    let values = list::<f64>(&find_dataset(place, name)?, name, N)?;
    values.try_into().ok().ok_or_else(|| form(name, &format!("a list of {N}")))
}

fn small_table<const N: usize, const M: usize>(
    place: &Group,
    name: &'static str,
) -> Result<[[f64; M]; N], ReadTrialError> {
    let rows = table::<f64, M>(place, name, N)?;
    rows.try_into().ok().ok_or_else(|| form(name, &format!("a table of {N} rows")))
}

/// A dataset of one dimension with at most `limit` entries.
fn list<T: H5Type>(
    source: &Dataset,
    name: &'static str,
    limit: usize,
) -> Result<Vec<T>, ReadTrialError> {
    match source.shape()[..] {
        [n] if n <= limit => values(source, name),
        _ => Err(form(name, &format!("a list of at most {limit}"))),
    }
}

/// A dataset of rows of `M`, at most `limit` of them.
fn table<T: H5Type + Copy, const M: usize>(
    place: &Group,
    name: &'static str,
    limit: usize,
) -> Result<Vec<[T; M]>, ReadTrialError> {
    let source = find_dataset(place, name)?;
    match source.shape()[..] {
        [n, m] if n <= limit && m == M => {
            let flat = values::<T>(&source, name)?;
            Ok(flat.as_chunks::<M>().0.to_vec())
        }
        _ => Err(form(name, &format!("a table of {M} columns and at most {limit} rows"))),
    }
}

/// The values of a dataset whose size the caller has judged.
///
/// Only chunks within the file are followed, with filters that need no plug-in: a dataset may
/// otherwise name other files to read from, or code to load.
fn values<T: H5Type>(source: &Dataset, name: &'static str) -> Result<Vec<T>, ReadTrialError> {
    let failed = |error| ReadTrialError::Library { what: name, source: error };
    let built_in = |filter: &Filter| {
        matches!(filter, Filter::Shuffle | Filter::Deflate(_) | Filter::Fletcher32)
    };
    if !source.is_chunked() || !source.filters().iter().all(built_in) {
        return Err(form(name, "stored in plain chunks"));
    }
    let expected = T::type_descriptor();
    if source.dtype().and_then(|found| found.to_descriptor()).map_err(failed)? != expected {
        return Err(form(name, &format!("of type {expected}")));
    }
    source.read_raw().map_err(failed)
}

pub(super) fn find_group(place: &Group, name: &'static str) -> Result<Group, ReadTrialError> {
    ensure_inside(place, name)?;
    place.group(name).map_err(|source| ReadTrialError::Library { what: name, source })
}

pub(super) fn find_dataset(place: &Group, name: &'static str) -> Result<Dataset, ReadTrialError> {
    ensure_inside(place, name)?;
    place.dataset(name).map_err(|source| ReadTrialError::Library { what: name, source })
}

/// Refuses a name that leads elsewhere: links of other kinds may point into other files.
fn ensure_inside(place: &Group, name: &'static str) -> Result<(), ReadTrialError> {
    let found = place
        .iter_visit_default(None, |_, found, link, kind| {
            if found == name {
                *kind = Some(link.link_type);
            }
            kind.is_none()
        })
        .map_err(|source| ReadTrialError::Library { what: name, source })?;
    match found {
        Some(LinkType::Hard) => Ok(()),
        Some(_) => Err(form(name, "part of the file itself")),
        None => Err(form(name, "there")),
    }
}

pub(super) fn form(what: &'static str, expected: &str) -> ReadTrialError {
    ReadTrialError::Form { what, expected: expected.to_owned() }
}
