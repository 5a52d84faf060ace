//! A trial into an open HDF5 file.

use hdf5::types::FixedUnicode;
use hdf5::{Dataset, File, Group, H5Type, Location};
use ndarray::{ArrayView, ArrayView1, ArrayView2, Dimension};

use super::layout::{
    CHUNK_SAMPLES, FORMAT, FORMAT_VERSION, FRAME, MAX_COLUMN_MAP_BYTES, MAX_TEXT_BYTES, dataset,
    group,
};
use super::seal::SealError;
use crate::calibration::Calibration;
use crate::stored_trial::{BoardOrigin, ImportOrigin, Origin, Samples, StoredTrial, TrialFacts};
use crate::zero::Zero;

/// Writes all of `trial` into the root of `file`.
pub(super) fn write(file: &File, trial: &StoredTrial) -> Result<(), SealError> {
    text(file, "format", FORMAT)?;
    scalar(file, "format_version", &FORMAT_VERSION)?;
    text(file, "axes", FRAME)?;
    facts(file, &trial.facts)?;
    match &trial.origin {
        Origin::Board(board) => write_board(file, board)?,
        Origin::Imported(import) => write_import(file, import)?,
    }
    write_samples(file, &trial.samples)
}

fn facts(root: &Location, facts: &TrialFacts) -> Result<(), SealError> {
    text(root, "id", &facts.id)?;
    text(root, "person", facts.person.as_str())?;
    optional(facts.session.as_deref(), |id| text(root, "session", id))?;
    optional(facts.plan.as_deref(), |id| text(root, "plan", id))?;
    text(root, "surface", facts.condition.surface.key())?;
    text(root, "stance", facts.condition.stance.key())?;
    text(root, "vision", facts.condition.vision.key())?;
    text(root, "support", facts.condition.support.key())?;
    text(root, "band", facts.condition.band.key())?;
    text(root, "kind", facts.kind.key())?;
    text(root, "board", &facts.setup.board)?;
    text(root, "facing", facts.setup.facing.key())?;
    optional(facts.setup.sole_height_mm, |mm| scalar(root, "sole_height_mm", &mm))?;
    optional(facts.body_height_m, |m| scalar(root, "body_height_m", &m))?;
    optional(facts.body_mass_kg, |kg| scalar(root, "body_mass_kg", &kg))?;
    text(root, "started", &facts.started.to_string())?;
    scalar(root, "started_unix_us", &facts.started.unix_us)?;
    scalar(root, "started_offset_s", &facts.started.offset_s)?;
    scalar(root, "settled_s", &facts.settled_s)?;
    scalar(root, "asked_s", &facts.asked_s)?;
    text(root, "program", &facts.program)
}

fn write_board(file: &File, board: &BoardOrigin) -> Result<(), SealError> {
    let place = create_group(file, group::BOARD)?;
    text(&place, "board_id", &board.board_id)?;
    text(&place, "firmware", &board.firmware)?;
    scalar(&place, "frames_per_s", &board.frames_per_s)?;
    optional(board.temperature_c, |celsius| scalar(&place, "temperature_c", &celsius))?;
    scalar(&place, "lost_frames", &board.link.lost_frames)?;
    scalar(&place, "damaged_frames", &board.link.damaged_frames)?;
    scalar(&place, "repeated_frames", &board.link.repeated_frames)?;
    text(&place, "ended", board.ended.key())?;
    write_calibration(file, &board.calibration)?;
    write_zero(&create_group(file, group::ZERO)?, &board.zero)?;
    optional(board.zero_after, |zero| write_zero(&create_group(file, group::ZERO_AFTER)?, &zero))?;
    optional(board.recomputed.as_ref(), |original| {
        let place = create_group(file, group::ORIGINAL)?;
        text(&place, "id", &original.original_id)?;
        text(&place, "digest", &original.original_digest)
    })
}

fn write_zero(place: &Group, zero: &Zero) -> Result<(), SealError> {
    scalar(place, "board_time_us", &zero.board_time_us)?;
    let counts = ArrayView1::from(&zero.counts[..]);
    array(place, dataset::COUNTS, counts, &About { units: "counts", axes: "corner", columns: "" })
}

fn write_calibration(file: &File, calibration: &Calibration) -> Result<(), SealError> {
    let place = create_group(file, group::CALIBRATION)?;
    text(&place, "id", &calibration.id)?;
    scalar(&place, "version", &calibration.version)?;
    scalar(&place, "made_at_unix_us", &calibration.made_at_unix_us)?;
    text(&place, "board_id", &calibration.board_id)?;
    text(&place, "kind", calibration.kind.key())?;
    let gains = ArrayView1::from(&calibration.newtons_per_count[..]);
    let about = About { units: "N/count", axes: "corner", columns: "" };
    array(&place, dataset::GAINS, gains, &about)?;
    let positions: Vec<[f64; 2]> =
        calibration.corners.iter().map(|corner| [corner.ml_mm, corner.ap_mm]).collect();
    let about = About { units: "mm", axes: "corner, direction", columns: "ml, ap" };
    array(&place, dataset::POSITIONS, ArrayView2::from(&positions[..]), &about)?;
    optional(calibration.covariance.as_deref(), |rows| {
        let about = About {
            units: "products of N/count and mm",
            axes: "parameter, parameter",
            columns: "gain of corners 1 to 4, then ml and ap of corner 1, .., ml and ap of corner 4",
        };
        array(&place, dataset::COVARIANCE, ArrayView2::from(&rows[..]), &about)
    })
}

fn write_import(file: &File, import: &ImportOrigin) -> Result<(), SealError> {
    let place = create_group(file, group::IMPORT)?;
    text(&place, "file_name", &import.file_name)?;
    text(&place, "sha256", &import.sha256)?;
    let map = import.column_map.as_bytes();
    if map.is_empty() || MAX_COLUMN_MAP_BYTES < map.len() {
        return Err(SealError::Text { what: dataset::COLUMN_MAP, limit: MAX_COLUMN_MAP_BYTES });
    }
    let about = About { units: "UTF-8 text in TOML", axes: "byte", columns: "" };
    array(&place, dataset::COLUMN_MAP, ArrayView1::from(map), &about)
}

fn write_samples(file: &File, samples: &Samples) -> Result<(), SealError> {
    let raw = create_group(file, group::RAW)?;
    let sample = |units| About { units, axes: "sample", columns: "" };
    array(&raw, dataset::TIME, ArrayView1::from(&samples.time_us), &sample("us"))?;
    array(&raw, dataset::SEQUENCE, ArrayView1::from(&samples.sequence), &sample("1"))?;
    let corners = "corner 1, corner 2, corner 3, corner 4";
    optional(samples.raw.as_ref(), |converters| {
        let about = About { units: "counts", axes: "sample, corner", columns: corners };
        array(&raw, dataset::COUNTS, ArrayView2::from(&converters.counts[..]), &about)?;
        let status = ArrayView1::from(&converters.status);
        array(&raw, dataset::STATUS, status, &sample("bits"))
    })?;
    optional(samples.forces_newtons.as_ref(), |forces| {
        let about = About { units: "N", axes: "sample, corner", columns: corners };
        array(file, dataset::FORCE, ArrayView2::from(&forces[..]), &about)
    })?;
    let undefined = [f64::NAN, f64::NAN];
    let cop: Vec<[f64; 2]> =
        samples.cop.iter().map(|cop| cop.map_or(undefined, |cop| [cop.ml_mm, cop.ap_mm])).collect();
    let about = About { units: "mm", axes: "sample, direction", columns: "ml, ap" };
    array(file, dataset::COP, ArrayView2::from(&cop[..]), &about)
}

/// What a dataset says of itself.
struct About {
    units: &'static str,
    /// What each dimension runs over.
    axes: &'static str,
    /// What the entries of the last dimension are; empty for one dimension.
    columns: &'static str,
}

fn array<T: H5Type, D: Dimension>(
    place: &Group,
    name: &'static str,
    values: ArrayView<'_, T, D>,
    about: &About,
) -> Result<(), SealError> {
    let mut chunk = values.shape().to_vec();
    chunk[0] = chunk[0].min(CHUNK_SAMPLES);
    let written: Dataset = place
        .new_dataset_builder()
        .chunk(chunk)
        .shuffle()
        .deflate(4)
        .fletcher32()
        .obj_track_times(false)
        .with_data(values)
        .create(name)
        .map_err(|source| SealError::Write { what: name, source })?;
    text(&written, "units", about.units)?;
    text(&written, "axes", about.axes)?;
    if about.columns.is_empty() { Ok(()) } else { text(&written, "columns", about.columns) }
}

fn create_group(place: &Group, name: &'static str) -> Result<Group, SealError> {
    place.create_group(name).map_err(|source| SealError::Write { what: name, source })
}

/// Writes a text of fixed length, padded with zeros, so it may not itself hold any.
fn text(place: &Location, name: &'static str, value: &str) -> Result<(), SealError> {
    let fits = value.parse::<FixedUnicode<MAX_TEXT_BYTES>>().ok();
    let value = fits
        .filter(|_| !value.contains('\0'))
        .ok_or(SealError::Text { what: name, limit: MAX_TEXT_BYTES })?;
    scalar(place, name, &value)
}

fn scalar<T: H5Type>(place: &Location, name: &'static str, value: &T) -> Result<(), SealError> {
    place
        .new_attr::<T>()
        .create(name)
        .and_then(|attribute| attribute.write_scalar(value))
        .map_err(|source| SealError::Write { what: name, source })
}

fn optional<T>(
    value: Option<T>,
    write: impl FnOnce(T) -> Result<(), SealError>,
) -> Result<(), SealError> {
    value.map_or(Ok(()), write)
}
