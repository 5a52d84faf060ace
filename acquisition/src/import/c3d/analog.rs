//! The measured channels of a C3D file in their physical units.

use super::C3dError;
use super::bytes::Processor;
use super::parameters::Parameters;
use crate::trial_file::MAX_SAMPLES;

/// Bytes of a block, in which the parts of a file are counted.
pub(super) const BLOCK_BYTES: usize = 512;

/// Most channels: what one parameter can describe.
const MAX_CHANNELS: usize = 255;

/// Where the channels' numbers lie and what they mean.
#[derive(Debug)]
pub(super) struct Analog<'f> {
    data: &'f [u8],
    processor: Processor,
    in_floats: bool,
    is_unsigned: bool,
    frame_values: usize,
    point_values: usize,
    n_channels: usize,
    samples_per_frame: usize,
    general_scale: f64,
    scales: Vec<f64>,
    offsets: Vec<f64>,
    /// Units as the file names them, one a channel or fewer.
    pub(super) units: Vec<String>,
    pub(super) rate_hz: f64,
    pub(super) n_frames: usize,
}

impl<'f> Analog<'f> {
    pub(super) fn of(file: &'f [u8], parameters: &Parameters) -> Result<Self, C3dError> {
        let damaged = |what| C3dError::Damaged { what };
        let processor = parameters.processor;
        let word = |number: usize| processor.u16_at(file, 2 * (number - 1)).map(usize::from);
        let header = |number| word(number).ok_or(damaged("its header is cut short"));
        let whole = |group, name| parameters.number(group, name).and_then(whole_number);
        let n_points = whole("POINT", "USED").map_or_else(|| header(2), Ok)?;
        let n_channels = whole("ANALOG", "USED").unwrap_or(0);
        if n_channels == 0 {
            return Err(C3dError::NoForces);
        }
        if MAX_CHANNELS < n_channels {
            return Err(damaged("it has more channels than the format describes"));
        }
        let samples_per_frame = header(10)?.max(1);
        let n_analog = n_channels * samples_per_frame;
        if header(3)? != n_analog {
            return Err(damaged("its header and its parameters disagree on the channels"));
        }
        let scale = parameters
            .number("POINT", "SCALE")
            .or_else(|| processor.f32_at(file, 12).map(f64::from))
            .ok_or(damaged("its header is cut short"))?;
        let start_block = whole("POINT", "DATA_START").map_or_else(|| header(9), Ok)?;
        let start =
            start_block.checked_sub(1).ok_or(damaged("its numbers begin before it does"))?;
        let data =
            file.get(start * BLOCK_BYTES..).ok_or(damaged("its numbers begin beyond its end"))?;
        let frame_rate = parameters
            .number("POINT", "RATE")
            .or_else(|| processor.f32_at(file, 20).map(f64::from))
            .ok_or(damaged("its header is cut short"))?;
        let rate_hz = parameters
            .number("ANALOG", "RATE")
            .filter(|rate| 0.0 < *rate)
            .unwrap_or(frame_rate * samples_per_frame as f64);
        let mut analog = Self {
            data,
            processor,
            // By the format's rule a negative scale of the points says that all numbers are floats.
            in_floats: scale < 0.0,
            is_unsigned: parameters.texts("ANALOG", "FORMAT").first().map(String::as_str)
                == Some("UNSIGNED"),
            frame_values: 4 * n_points + n_analog,
            point_values: 4 * n_points,
            n_channels,
            samples_per_frame,
            general_scale: parameters.number("ANALOG", "GEN_SCALE").unwrap_or(1.0),
            scales: parameters.numbers("ANALOG", "SCALE").to_vec(),
            offsets: parameters.numbers("ANALOG", "OFFSET").to_vec(),
            units: parameters.texts("ANALOG", "UNITS"),
            rate_hz,
            n_frames: 0,
        };
        analog.n_frames = analog.frames_there(parameters, header(4)?, header(5)?)?;
        Ok(analog)
    }

    /// Frames by what the file says, if it holds as many.
    fn frames_there(
        &self,
        parameters: &Parameters,
        first: usize,
        last: usize,
    ) -> Result<usize, C3dError> {
        let width = if self.in_floats { 4 } else { 2 };
        let whole = self.data.len() / (self.frame_values * width);
        let long = parameters.number("POINT", "LONG_FRAMES").and_then(whole_number);
        // Frames beyond 65,535 cannot be counted by the header: then all that is there is meant.
        let said = long.unwrap_or_else(|| {
            if last == usize::from(u16::MAX) { whole } else { (last + 1).saturating_sub(first) }
        });
        if whole < said {
            return Err(C3dError::CutShort { n_frames: said, n_there: whole });
        }
        if MAX_SAMPLES / self.samples_per_frame < said {
            return Err(C3dError::TooManySamples { limit: MAX_SAMPLES });
        }
        Ok(said)
    }

    pub(super) fn n_channels(&self) -> usize {
        self.n_channels
    }

    pub(super) fn n_samples(&self) -> usize {
        self.n_frames * self.samples_per_frame
    }

    pub(super) fn samples_per_frame(&self) -> usize {
        self.samples_per_frame
    }

    /// The value of a channel, counted from 0, in the unit the file names for it.
    pub(super) fn value(&self, sample: usize, channel: usize) -> Result<f64, C3dError> {
        let (frame, within) = (sample / self.samples_per_frame, sample % self.samples_per_frame);
        let place = frame * self.frame_values + self.point_values + within * self.n_channels;
        let raw = self.raw(place + channel).ok_or(C3dError::Channel { channel: channel + 1 })?;
        let offset = self.offsets.get(channel).copied().unwrap_or(0.0);
        let offset = if self.is_unsigned && offset < 0.0 { offset + 65_536.0 } else { offset };
        let scale = self.scales.get(channel).copied().unwrap_or(1.0);
        let value = (raw - offset) * scale * self.general_scale;
        if value.is_finite() { Ok(value) } else { Err(C3dError::NotFinite { sample }) }
    }

    fn raw(&self, place: usize) -> Option<f64> {
        if self.in_floats {
            return self.processor.f32_at(self.data, 4 * place).map(f64::from);
        }
        let word = self.processor.u16_at(self.data, 2 * place)?;
        let signed = f64::from(word.cast_signed());
        Some(if self.is_unsigned { f64::from(word) } else { signed })
    }
}

/// A count that a parameter gives, some of them as floats; a 16-bit one may have run over.
fn whole_number(value: f64) -> Option<usize> {
    let value = if value < 0.0 { value + 65_536.0 } else { value };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked: a whole number of at most ten digits"
    )]
    let count = (value.fract() == 0.0 && (0.0..1e10).contains(&value)).then_some(value as usize);
    count
}
