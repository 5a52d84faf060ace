//! A force platform of a C3D file: where it lies, and where the pressure acts on it.
//!
//! Corners are told in the room's axes, the first in the quadrant of the platform's +x and +y, then
//! -x +y, -x -y, +x -y. ORIGIN is the way from the point about which moments are measured to the
//! middle of the surface, in the platform's axes; its z is negative, for these point into the floor.
//!
//! # Source
//! The C3D file format, group `FORCE_PLATFORM`, types 2, 3 and 4 (<https://www.c3d.org>); eight
//! channels to forces and moments: the usual relations of plates with four three-axis cells.

use analysis::Cop;

use super::C3dError;
use super::analog::Analog;
use super::axes::{RoomAxes, cross, difference, dot, scaled, sum};
use super::parameters::Parameters;
use crate::forces::LEAST_LOAD_NEWTONS;
use crate::import::column::ColumnUnit;
use crate::import::column::Dimension;

const GROUP: &str = "FORCE_PLATFORM";

/// Most platforms: what one dimension of a parameter can count.
const MAX_PLATFORMS: usize = 255;

/// Types that are read, as the format numbers them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PlatformType {
    /// Three forces and three moments.
    Six = 2,
    /// Eight forces of four cells.
    Eight = 3,
    /// As the first, after a matrix of calibration.
    SixByMatrix = 4,
}

#[derive(Debug)]
pub(super) struct Platform {
    kind: PlatformType,
    channels: Vec<usize>,
    /// What each channel is multiplied by to give newtons or newton millimetres.
    to_base: Vec<f64>,
    /// Rows of the matrix of calibration; empty without one.
    matrix: Vec<[f64; 6]>,
    origin_mm: [f64; 3],
    /// Half the distances between the cells of a platform with eight channels.
    cells_mm: [f64; 2],
    x_axis: [f64; 3],
    y_axis: [f64; 3],
    /// What the channels read with nothing on the platform.
    baseline: Vec<f64>,
}

impl Platform {
    /// The platform with this number, from 1.
    pub(super) fn of(
        parameters: &Parameters,
        analog: &Analog<'_>,
        number: usize,
    ) -> Result<Self, C3dError> {
        let n_platforms = parameters.number(GROUP, "USED").unwrap_or(0.0);
        if n_platforms < 1.0 {
            return Err(C3dError::NoForces);
        }
        let index = number
            .checked_sub(1)
            .filter(|index| *index < MAX_PLATFORMS && (*index as f64) < n_platforms);
        let index = index.ok_or(C3dError::NoPlatform { number, n_platforms })?;
        let type_number = parameters.numbers(GROUP, "TYPE").get(index).copied().unwrap_or(0.0);
        let kind = [PlatformType::Six, PlatformType::Eight, PlatformType::SixByMatrix]
            .into_iter()
            .find(|kind| f64::from(*kind as u8).to_bits() == type_number.to_bits())
            .ok_or(C3dError::UnknownType { number, type_number })?;
        let to_mm = length_unit(parameters)?;
        let corners: [f64; 12] = part(parameters, "CORNERS", index, number)?;
        let corner =
            |i: usize| scaled([corners[3 * i], corners[3 * i + 1], corners[3 * i + 2]], to_mm);
        let (x_axis, y_axis) = plane(corner(0), corner(1), corner(3))
            .ok_or(C3dError::Parameter { number, name: "CORNERS" })?;
        let origin: [f64; 3] = part(parameters, "ORIGIN", index, number)?;
        let channels = channels(parameters, analog, kind, index, number)?;
        let mut platform = Self {
            kind,
            to_base: to_base(analog, &channels, kind, to_mm),
            channels,
            matrix: matrix(parameters, kind, index, number)?,
            origin_mm: downward(kind, scaled(origin, to_mm)),
            // Such a platform's ORIGIN holds them in the place of x and y.
            cells_mm: [(origin[0] * to_mm).abs(), (origin[1] * to_mm).abs()],
            x_axis,
            y_axis,
            baseline: Vec::new(),
        };
        platform.baseline = platform.empty_reading(parameters, analog)?;
        Ok(platform)
    }

    /// Where the pressure acts, from the middle of the platform; `None` with too little load.
    pub(super) fn cop(
        &self,
        analog: &Analog<'_>,
        sample: usize,
        axes: &RoomAxes,
    ) -> Result<Option<Cop>, C3dError> {
        let [fx, fy, fz, mx, my] = self.wrench(&self.reading(analog, sample)?);
        if fz.abs() < LEAST_LOAD_NEWTONS {
            return Ok(None);
        }
        // Moments about the point of measurement are those of the force where it acts:
        // M = r x F with r = ORIGIN + (x, y, 0).
        let [ox, oy, oz] = self.origin_mm;
        let x_mm = (oz * fx - my) / fz - ox;
        let y_mm = (oz * fy + mx) / fz - oy;
        let place = sum(scaled(self.x_axis, x_mm), scaled(self.y_axis, y_mm));
        let cop = axes.cop(place);
        if cop.ml_mm.is_finite() && cop.ap_mm.is_finite() {
            Ok(Some(cop))
        } else {
            Err(C3dError::NotFinite { sample })
        }
    }

    fn reading(&self, analog: &Analog<'_>, sample: usize) -> Result<Vec<f64>, C3dError> {
        let mut values = Vec::with_capacity(self.channels.len());
        for (index, (&channel, to_base)) in self.channels.iter().zip(&self.to_base).enumerate() {
            let empty = self.baseline.get(index).copied().unwrap_or(0.0);
            values.push(analog.value(sample, channel)? * to_base - empty);
        }
        Ok(values)
    }

    /// Three forces and the two moments that lie in the surface.
    fn wrench(&self, values: &[f64]) -> [f64; 5] {
        match (self.kind, values) {
            (PlatformType::Eight, &[fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4]) => {
                let [a, b] = self.cells_mm;
                [
                    fx12 + fx34,
                    fy14 + fy23,
                    fz1 + fz2 + fz3 + fz4,
                    b * (fz1 + fz2 - fz3 - fz4),
                    a * (-fz1 + fz2 + fz3 - fz4),
                ]
            }
            (PlatformType::SixByMatrix, values) => {
                let row = |row: &[f64; 6]| -> f64 {
                    row.iter().zip(values).map(|(factor, value)| factor * value).sum()
                };
                let mut wrench = [0.0; 5];
                for (value, factors) in wrench.iter_mut().zip(&self.matrix) {
                    *value = row(factors);
                }
                wrench
            }
            (_, values) => std::array::from_fn(|i| values.get(i).copied().unwrap_or(0.0)),
        }
    }

    /// What the channels read while nobody stood there: the mean over the frames that ZERO names, if
    /// it names any and the platform was empty in them.
    fn empty_reading(
        &self,
        parameters: &Parameters,
        analog: &Analog<'_>,
    ) -> Result<Vec<f64>, C3dError> {
        let zero = parameters.numbers(GROUP, "ZERO");
        let &[first, last] = zero else { return Ok(Vec::new()) };
        if !(1.0 <= first && first <= last && last <= analog.n_frames as f64) {
            return Ok(Vec::new());
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 1 and the number of frames"
        )]
        let (first, last) = (first as usize, last as usize);
        let samples = (first - 1) * analog.samples_per_frame()..last * analog.samples_per_frame();
        let n_samples = samples.len() as f64;
        let mut mean = vec![0.0; self.channels.len()];
        for sample in samples {
            for (mean, value) in mean.iter_mut().zip(self.reading(analog, sample)?) {
                *mean += value / n_samples;
            }
        }
        let [_, _, fz, _, _] = self.wrench(&mean);
        Ok(if fz.abs() < LEAST_LOAD_NEWTONS { mean } else { Vec::new() })
    }
}

/// The platform's two axes in the room's, of length 1; `None` if the corners span no surface.
fn plane(first: [f64; 3], second: [f64; 3], fourth: [f64; 3]) -> Option<([f64; 3], [f64; 3])> {
    let unit = |vector: [f64; 3]| {
        let length = dot(vector, vector).sqrt();
        (1.0 <= length && length.is_finite()).then(|| scaled(vector, 1.0 / length))
    };
    let x = unit(difference(first, second))?;
    let along = unit(difference(first, fourth))?;
    let z = cross(x, along);
    let z_length = dot(z, z).sqrt();
    if z_length < 0.5 {
        return None;
    }
    Some((x, cross(scaled(z, 1.0 / z_length), x)))
}

/// Part of a parameter that belongs to one platform.
fn part<const N: usize>(
    parameters: &Parameters,
    name: &'static str,
    index: usize,
    number: usize,
) -> Result<[f64; N], C3dError> {
    let values = parameters.numbers(GROUP, name).get(N * index..N * (index + 1));
    values
        .and_then(|values| values.try_into().ok())
        .filter(|values: &[f64; N]| values.iter().all(|value| value.is_finite()))
        .ok_or(C3dError::Parameter { number, name })
}

fn channels(
    parameters: &Parameters,
    analog: &Analog<'_>,
    kind: PlatformType,
    index: usize,
    number: usize,
) -> Result<Vec<usize>, C3dError> {
    let bad = || C3dError::Parameter { number, name: "CHANNEL" };
    let n_needed = if kind == PlatformType::Eight { 8 } else { 6 };
    let parameter = parameters.get(GROUP, "CHANNEL").ok_or_else(bad)?;
    let rows = parameter.dimensions.first().copied().filter(|rows| n_needed <= *rows);
    let start = rows.and_then(|rows| rows.checked_mul(index)).ok_or_else(bad)?;
    let all = parameters.numbers(GROUP, "CHANNEL");
    let some = all.get(start..start + n_needed).ok_or_else(bad)?;
    let place = |channel: &f64| {
        (1..=analog.n_channels()).find(|there| (*there as f64).to_bits() == channel.to_bits())
    };
    some.iter().map(|channel| Some(place(channel)? - 1)).collect::<Option<_>>().ok_or_else(bad)
}

fn matrix(
    parameters: &Parameters,
    kind: PlatformType,
    index: usize,
    number: usize,
) -> Result<Vec<[f64; 6]>, C3dError> {
    if kind != PlatformType::SixByMatrix {
        return Ok(Vec::new());
    }
    let stored: [f64; 36] = part(parameters, "CAL_MATRIX", index, number)?;
    // The first index is the row, and runs fastest.
    Ok((0..6).map(|row| std::array::from_fn(|column| stored[row + 6 * column])).collect())
}

/// Factor to newtons, or newton millimetres for the moments of the last three channels.
fn to_base(analog: &Analog<'_>, channels: &[usize], kind: PlatformType, to_mm: f64) -> Vec<f64> {
    let factor = |(place, channel): (usize, &usize)| {
        let is_moment = kind != PlatformType::Eight && 3 <= place;
        let named = analog.units.get(*channel).and_then(|unit| ColumnUnit::from_symbol(unit));
        let dimension = if is_moment { Dimension::Moment } else { Dimension::Force };
        match named.filter(|unit| unit.dimension() == dimension) {
            Some(unit) => unit.base_from(1.0),
            // By the format's rule moments without a unit are in newtons times the unit of length.
            None if is_moment => to_mm,
            None => 1.0,
        }
    };
    channels.iter().enumerate().map(factor).collect()
}

/// Millimetres to one unit of length of the file.
fn length_unit(parameters: &Parameters) -> Result<f64, C3dError> {
    let named = parameters.texts("POINT", "UNITS").into_iter().next().unwrap_or_default();
    match named.as_str() {
        "" => Ok(1.0),
        unit => ColumnUnit::from_symbol(unit)
            .filter(|unit| unit.dimension() == Dimension::Length)
            .map(|unit| unit.base_from(1.0))
            .ok_or(C3dError::LengthUnit { found: unit.chars().take(20).collect() }),
    }
}

/// ORIGIN with its z into the floor; some writers store the way back.
fn downward(kind: PlatformType, origin_mm: [f64; 3]) -> [f64; 3] {
    match (kind, origin_mm) {
        (PlatformType::Eight, [_, _, z]) => [0.0, 0.0, -z.abs()],
        (_, [_, _, z]) if 0.0 < z => scaled(origin_mm, -1.0),
        _ => origin_mm,
    }
}
