//! What the station needs of a converter.

use board_wire::{Converter, Corner, Counts, FrameRate, Gain, Status};

/// One reading of all four corners, taken at the same moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Conversion {
    /// In the order of [`Corner::ALL`].
    pub counts: [Counts; 4],
}

impl Conversion {
    /// Flags that follow from the readings themselves.
    pub fn status(&self) -> Status {
        let mut status = Status::CLEAR;
        for (corner, counts) in Corner::ALL.into_iter().zip(self.counts) {
            if counts.is_saturated() {
                status |= Status::saturated(corner);
            }
        }
        status
    }
}

/// What the converter's inputs are connected to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Input {
    /// The cells.
    Cells,
    /// A short inside the converter: shows offset and noise of the electronics alone.
    Shorted,
    /// The cells, with a small current that drives an unconnected input to the end of its range.
    BurnOut,
}

/// Why a converter gave no reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BridgeFault {
    /// It does not answer, or answers nonsense.
    Silent,
    /// What it said was damaged on the way.
    Damaged,
    /// It has lost its settings, as after a dip of the supply.
    SettingsLost,
}

/// A converter that reads four bridges at once.
pub trait Bridge {
    /// Which converter it is.
    const CONVERTER: Converter;
    /// Gain it is used with.
    const GAIN: Gain;

    /// Writes all settings, connects the cells and starts all channels together.
    ///
    /// Takes the nearest rate the converter offers and returns it.
    ///
    /// # Errors
    /// [`BridgeFault`] if the settings could not be read back.
    fn start(&mut self, rate: FrameRate) -> Result<FrameRate, BridgeFault>;

    /// Connects the inputs otherwise and starts all channels together again.
    ///
    /// # Errors
    /// [`BridgeFault`] if the setting could not be read back.
    fn connect(&mut self, input: Input) -> Result<(), BridgeFault>;

    /// Reads the conversion that is ready.
    ///
    /// # Errors
    /// [`BridgeFault`] if there is none, or it was damaged, or the settings are gone.
    fn read(&mut self) -> Result<Conversion, BridgeFault>;
}

/// The rate among `offered` that is nearest to `wanted`; the first of two that are equally near.
pub(crate) fn nearest_rate(wanted: FrameRate, offered: &[u16]) -> Option<FrameRate> {
    let distance = |rate: &FrameRate| rate.frames_per_s().abs_diff(wanted.frames_per_s());
    offered.iter().filter_map(|&rate| FrameRate::new(rate)).min_by_key(distance)
}
